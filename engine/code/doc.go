// Package code compiles a program: out of the checked tree come instructions for the machine. It is one of the hard
// parts, so here is how it goes.
//
// # Given and made
//
// New is given a bound program and facts: what some given slots are other than the sheet as it stands tells (a
// variant may give a text where nothing was given). It copies what the check writes, checks, and compiles. A Code
// has the instructions (Instrs), where those of each step begin, the folds and searches that they name, and the
// registers as they are before a run (Image). Like the program it never changes, and any number of states run it.
//
// # Registers
//
//	0 ... slots-1     one for each slot, by its number: a formula leaves its value where the next one reads it
//	then              constants, each once
//	then              temporaries of the formula at hand, used again by the next formula
//
// Temporaries are numbered from tempBase until it is known how many constants there are (settle, in registers.go).
//
// # How one line walks through
//
//	weight [oz] = parts["motor"].weight + 2 [oz] * n
//
// It goes like this:
//
//  1. compile.go: Compile goes through the steps of the plan. slot compiles the formula of weight into register 7,
//     the slot's own, unless the slot is broken; then its register holds NaN from the start.
//  2. nodes.go: into emits code for a node and says where its value goes. A leaf needs none: a slot is its
//     register, a constant has one. A sum of a product is one instruction (MulAdd r7 = r12 * r5 + r4) where machine
//     has one.
//  3. A formula of the builder's own is compiled into its caller, with its parameters bound to registers or, for
//     columns, to nodes (program.Env). There are no calls and no jumps: both branches of a choice are computed.
//  4. folds.go: a list function is code of its own that the machine runs for every row; the sum of a whole column,
//     or of the product of two, is one instruction.
//  5. A step that is a search becomes one instruction, Solve; its body is code apart.
//  6. settle gives temporaries their registers and chains instructions.
//
// # What holds
//
//   - Code allocates nothing when it runs and looks at no unit. What could not be computed is NaN.
//   - steps.go: when a given slot changes, the code of the steps that depend on it, in order, is all that has to
//     run.
//   - work.go: what a run takes is counted before it begins, and a formula or a search that would take too long is
//     refused with a Diag. Nothing here depends on a clock.
package code
