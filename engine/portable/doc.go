// Package portable lays a worked sheet out as plain data, so that it can be run, shown and explained where there is no
// Gusset: in a page that somebody opens on a phone. It decides nothing about how that is done; who runs it, and how, is
// in sheets/page.
//
// # Given and made
//
// Of is given a State. Of its program it takes what the values of the sheet, and of those that it uses, rest on, and
// leaves out the rest: what of the library nothing asked for, examples, other variants. Every slot and every register
// keeps its number, so that a slot's number names a value here and there (explain.Place).
//
// # What is in it
//
//   - Instructions, plain: what the compiler fuses and chains is taken apart again by Instr.Plain, which comes to the
//     same bit for bit. Program.Ops tells of each instruction what its operands are, from the one table of shapes.
//   - What is left to the tool (Shape.ToolOnly) is sent with its results, in Cuts.
//   - The tree of formulas, for reasons, marks and "why": what the machine computed is walked again, as explain does.
//   - Names, units, steps and choices: what reading and showing needs.
//
// # What holds
//
//   - The data holds no pointer into the program, and nothing of it changes afterwards.
//   - A table in an order that both sides must know is sent as names: instructions, operators, functions and folds. Who
//     runs the data finds them by name and refuses one that it does not know.
package portable
