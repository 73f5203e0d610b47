// Package explain tells what the values of a model are and why they are so: what is shown of them, what is wrong, how a
// value came about, what it rests on, and what the formulas look like from outside.
//
// It is given a state.State, a checked program with its values, and changes nothing in it. New makes an Explainer for
// as long as no value changes; each question gets one of its own, since it remembers what it has found out. Whoever
// asks has locked the State for reading. Numbers come in as SI and go out in the unit of their cell; a value that is
// missing is NaN inside and a Status with a reason outside. Errors are of names only: what is wrong in a sheet is no
// error but a text.Diag, with the place in the sheet.
//
// Each subject is a type of its own over the State:
//
//   - causes (causes.go, searches.go) finds why a slot has no value: a fault, that is an operation without a result
//     (fault.go), or the slots that it lacks, which origin follows to where the lack begins. A State asks it too, by
//     way of Reasons, while it works values out: ?? gives way to what waits, and not to what has no result.
//   - evaluator (evaluate*.go) works one formula out again by its tree, and takes notes: what is missing, the first
//     fault, and if asked what was read and which formulas were used outside their range (limits.go says where).
//   - trust (trust.go) finds such uses for whole slots. marks (marks.go) holds them and all guesses, and what rests on
//     them (resting.go), for as long as no value changes; the State keeps one for all readers.
//   - Givens (givens.go) lists what is given, or still to be given, and which of it some values need: by an evaluator
//     that looks at both sides of what is not settled.
//   - reporter (problems.go) makes messages of causes and marks, with suspects (suspects.go), misspelt texts and
//     examples that are not met.
//   - teller (why.go) explains a value, one step or down to what was measured. printing (printed.go) gives the numbers
//     of its formula as many digits as it takes for what is printed to be true; blame (unmet.go) finds because of
//     which parts, and for which rows, a condition fails, marginFinder (margin.go) how far one is from coming out
//     otherwise.
//   - Inputs (inputs.go), Undeclared and Doubt (spread.go) say which given values behind a value may be off, and how
//     far off it may be for that; WrittenAt (weighing.go) where a weighed figure goes.
//   - CutPlans (cuts.go) shows how pieces are cut from stock.
//   - expander (expr.go) expands formulas, for other programs to run.
//   - Explainer itself is the view: cells, tables, pages and entries as they are shown.
//
// These hold. A value is worked out by the machine and only looked at here: the evaluator is the second opinion, and
// the two agree (TestEveryFunctionIsEvaluated). Only what a value really used counts, for causes, guesses and trust
// alike: a branch that was not taken and an estimate beside a weighed figure do not. Every walk has a limit, so that a
// stranger's sheet takes bounded time and memory; chains of cells are followed with lists of work, not by way of the
// stack. Answers do not depend on what was asked before.
//
// To follow one value: in a = b / c, with c = 0, the machine leaves NaN in the slot of a. Value("a") shows the slot,
// and asks causes, which finds no broken line and no table to mend, and has an evaluator walk b / c. That reads b and
// c, both numbers, and fails at the division: a fault at the node of c, "this is 0, and nothing can be divided by 0".
// It is the Reason of a, whose Status is None; in d = a + 1 the evaluator meets no fault but a slot without a value, so
// that d Waits "for a, which has no result". Problems makes one message of it, at the c in the text.
package explain
