// Package program holds a sheet as the engine knows it: numbered slots, one tree of formulas, and what was found
// wrong. It is plain data with the questions that every other room asks of it. It reads no files and computes no
// values.
//
// # What a Program is made of
//
// A Slot is a place for one value: a cell, an entry of a table, or something that a formula needs on the way (a
// hidden slot). Slots are numbered from 0, those of a column in one run, row by row, so that a column is a Base and
// a length. Every value is a float64: a number in SI units, yes and no as 1 and 0, a text as its number in Texts.
// NaN is no value.
//
// A formula is Nodes of the one Tree. A Node has an Op, up to three operands A, B and C whose meaning its Op
// decides, and the place in the text that it was read from. Names are bound: a node names a slot, a column, a table
// or a formula by number. Types are numbered too, since few of them occur.
//
//	weight [oz] = parts["motor"].weight + 2 [oz]
//
//	Slots[7]   {Kind: Worked, Owner: cell 3, Root: node 42}
//	Nodes[40]  {Op: OpSlot, A: 4}              parts["motor"].weight
//	Nodes[41]  {Op: OpConst, Number: 0.0567}   2 [oz], in kg
//	Nodes[42]  {Op: OpAdd, A: 40, B: 41}
//
// A Module is one sheet: the one asked for (Root), one that it uses, or a page of the library. Cells, Tables and
// Columns say what the slots are to the builder; a Show says in which unit and step a value is displayed.
//
// A mistake is a Diag in Messages. Report returns its number, and whatever cannot have a value because of it
// carries that number (Broken, Formula.Unread, Setting.Diag), or -1 where the mistake is reported elsewhere. So
// every mistake is reported once, however much rests on it.
//
// # Who fills it in
//
//	bind    Modules, Slots, Inputs, Cells, Tables, Columns, Formulas, Nodes, Variants; Diags about texts and names
//	order   Needs, Users, Plan, Loops, Searches; Diags about rings
//	check   Types, CellTypes, ColumnTypes, OpJoin; Diags about dimensions
//
// # What holds afterwards
//
//   - Once code has handed it over a Program never changes. Any number of states share one, from any goroutine.
//   - The operands of a node come before it: their numbers are lower.
//   - A slot without a mistake has a type; Unknown is the type of what has been reported, and of given values that
//     nobody has given.
//   - Things of the graph Needs are numbered slots first, then columns, then formulas (ColumnThing).
package program
