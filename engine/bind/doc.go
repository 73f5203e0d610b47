// Package bind makes a program out of texts: it reads a sheet and those that it uses, gives every value a slot, and
// binds every name in every formula. It is one of the hard parts, so here is how it goes.
//
// # Given and made
//
// Sheet is given the files of a project and the library (program.Sources) and the path of one sheet. It returns a
// program.Program with an order of work in which no types are known yet: check is next. It returns an error only
// where the sheet itself cannot be read. Whatever is wrong inside a sheet is a Diag of the program; binding goes on
// behind it.
//
// # Four layers
//
// Each layer has the one before it embedded and adds what it needs to know.
//
//	binder    declares: makes slots, cells, tables and columns out of statements. Knows nothing of formulas.
//	resolver  resolves: makes nodes out of formulas. Declares statements of the library when they are asked for.
//	scope     one formula that is being resolved: its sheet, its table, its parameters, the list functions around.
//	loader    the whole project: which sheets there are, their variants.
//
// # How one line walks through
//
//	parts.gusset:9    weight [oz] = parts["motor"].weight + trim
//
// It goes like this:
//
//  1. text.Parse has made it a *text.Cell with the unit tag "oz" and the formula as a Word: its text and its span.
//  2. declare.go, cells.go: declareCell reads the tag (units.go), adds a Cell and its Slot of kind Worked, and
//     enters weight among the Names of its Module. A second weight is reported here, and both cells are broken.
//  3. All statements of all sheets are declared before any formula is looked at: a formula may name what is set
//     below.
//  4. resolve.go: resolveCell makes a scope and gives it the Word. resolveText has formula.Parse make a tree of it.
//  5. expressions.go: resolve turns each piece into a Node. A bare name (trim) is looked up in this order: a
//     parameter, a column of the own table, pi and the like, the sheet, the library (lookup.go).
//  6. member.go: what has dots and brackets is read from the left. Each step leads to a base (a sheet, a table, a
//     row, a value), and the next step is taken from there. A row that is named in quotes is found now, and the
//     node is OpSlot; one whose name is computed becomes OpLookup.
//  7. The root goes into Slot.Root. If anything was wrong the slot is broken, with the number of the first Diag.
//
// The library's pages are indexed, not read: a statement is parsed and declared when its name is first asked for
// (library.go). So lists of the program may grow while it is being resolved, and loops over them go by number.
//
// # What holds
//
//   - A name is bound once. No later pass looks anything up in a text.
//   - Every formula that can be read as it is typed has a Root. One that cannot has a broken slot, and its names
//     are looked up all the same, so that all mistakes are reported in one go.
//   - A table that was not read whole has a slot Lost that is broken, and whatever goes through its rows has no
//     result (whole.go). A line that could not be read still sets its name (declareBad), so that nothing follows
//     from it.
//   - A stranger's sheet takes bounded time and memory: the limits are in load.go, and hints for unknown names stop
//     once program.Effort is spent.
//
// What was meant by a mistake is guessed at in files of its own: meant.go (names), otherwords.go (functions),
// missingfile.go (sheets).
package bind
