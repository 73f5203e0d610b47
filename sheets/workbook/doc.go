// Package workbook writes a worked sheet as a workbook for a spreadsheet program, and reads given values back from
// one that such a program has saved.
//
// Formulas are written from the engine's checked tree, in the units of the sheet's own cells. A number carries along
// what 1 stands for (its scale, exactly); only where two scales meet, or where a cell shows its value in another one,
// a factor is written, the plainest there is. What is not filled in comes out as #N/A, as waiting does in the sheet;
// what has no result is another error. The cells themselves are written here, with formula and value side by side;
// all that surrounds them (styles, widths, names, charts) is left to excelize.
//
// A workbook that comes back is read by sub-room xlsx, within hard limits, and only by the names of its
// cells. A hidden worksheet keeps what was given when it was made, so that changes of the mate's can be told from those
// that the owner has made since.
package workbook
