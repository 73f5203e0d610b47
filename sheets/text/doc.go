// Package text is a sheet as text: it reads one into a tree, tells what is wrong with it, edits it and lays it out.
//
// [Parse] reads a [Source], and gives a [File] whatever is in it: a line that could not be read is a [Bad], and [Diags]
// say what is wrong, each with its place, a mark under it and at most one hint. A [Node] is a line of the sheet with
// what belongs to it, such as a [Cell] or a whole [Table]; NodesOf has those of one kind. Every byte of the text
// belongs to a node, so that a File that nobody has edited prints as it was.
//
// [SetGiven], [SetEntry], [AddRow] and [InsertPage] put something into a sheet, and [Format] gives it its one layout.
// None of them changes the File that it is given. What an edit does not concern stays as it was typed, byte for byte.
//
// Units, values and formulas are text here: nothing is looked up or worked out. That is what package engine does with a
// File. [ParsePath] reads the name of a value, as it is typed on a command line or in a form.
package text
