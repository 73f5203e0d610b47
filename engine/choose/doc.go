// Package choose tries every combination of what some given values may be, and finds those for which all checks hold.
//
// # Given and made
//
// Of is given a state, whose values are the sheet as it stands, and a Question: which given values to vary, what for,
// and how many combinations are wanted. It returns an Answer: how many were tried, how many hold, which checks rule
// out most, and the best of them, explained.
//
// # How one combination walks through
//
// It goes like this:
//
//  1. tried.go: names are looked up, and all that is to be tried is read. A combination is a number: the last name
//     counts fastest.
//  2. plan.go: checks and goals are split into those that no choice touches, those that choices touch, and those that
//     hang on pieces laid out on stock or on how far off a value may be, which takes a thousand times as long.
//  3. run.go: blocks of combinations are worked out as draws (state.Draws), by several workers side by side. What
//     nothing has ruled out is run once more for what is laid out on stock.
//  4. rank.go: what holds is put in order; where nothing does, what comes nearest is looked for.
//  5. explain.go: the few that are reported are set in a state of their own, and explained as a sheet is.
//  6. odds.go: of the first of these it is found out how sure they are, if that is asked for.
//
// # What holds
//
//   - The answer is the same on any number of processors.
//   - Every combination comes out as if its values were set in the sheet.
//   - A check that has no value rules a combination out, and is counted apart from one that fails.
//   - The given state does not change.
package choose
