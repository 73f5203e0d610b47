// Package report is a worked sheet as it is shown. It decides, once for everything that shows a sheet, what is shown:
// what is in the place of a value, and which marks come after it; in which unit a column and a picture are counted,
// and which columns share a picture; how an axis is rounded; how a change is said; what is said of a sheet that has
// mistakes. The terminal and the workbook write this view, each in its own medium; where and how large something
// is on a page, and in which colour, they decide.
//
// Of returns the whole view of a model: a Sheet of pages with cells, tables and charts. The rules themselves, such as
// Show for a value and ChangeOf for one that moved, are there for whoever holds single values.
//
// How something stands is a State, never a word: only State.String and its neighbours in state.go know English.
package report
