// Package odds finds out what the give or take of given values does to results: how wide their spread is, how often a
// check holds, and which value is worth weighing first.
//
// # Given and made
//
// Of is given a state.State and the names of results and checks. It draws each given value that carries a ±, and each
// guess, again and again, and has the state work each build out (state.Draws). What comes back is an Odds: numbers and
// shares of builds. Words for them are made where they are printed.
//
// # How one question walks through
//
//		Of(ctx, st, Options{Names: []string{"cg"}})
//
//	 1. ask.go: the name is looked up; the given values that cg can rest on and that carry a ± are its inputs.
//	 2. draw.go: number k of an input depends on the seed, on its name and value, and on k alone. So every processor can
//	    draw any build, an input can be drawn again when it is asked what it counts for, and two variants that have a
//	    piece in common draw it alike.
//	 3. build.go: batches of 10 000 builds, side by side, each summed up by itself. They are looked at in their order;
//	    when the figures of the batches agree to two digits of the spread, there are enough (JCGM 101:2008, 7.9).
//	 4. spread.go: over all builds mean, standard deviation, and the range that holds 95 of 100.
//	 5. odds.go: first order beside it, from slopes; remark.go: why the two are not alike, where they are not.
//	 6. shares.go: the inputs in the order of what they count for.
//	 7. undeclared.go, outside.go: what the numbers leave out, that is given values of which nobody says how far off
//	    they may be, and formulas that some builds use outside their range.
//
// Beside it, to first order and without any draws: Weights and Gains (weights.go) for what is worth weighing next, and
// Doubts (apart.go) for how far the difference of two states may be off.
//
// # What holds
//
//   - The same seed gives the same bytes on any number of processors.
//   - A build without a result is counted, and never dropped in silence.
//   - Nothing is cut off: a normal spread may reach across 0, and how often it does is said.
//   - Pieces are not laid out on stock again in each build: what rests on a stock_needed is as in the sheet, and said.
//   - The values of results are kept (4 bytes each: how far they are off the sheet's own) and those of inputs are not:
//     they are drawn again.
//
// JCGM 101:2008 is Supplement 1 to the Guide to the expression of uncertainty in measurement: Propagation of
// distributions using a Monte Carlo method; the Guide itself is JCGM 100:2008.
package odds
