// Package order lays out the order of work of a program, reports what depends on itself, and decides which searches
// can be done.
//
// # Given and made
//
// All is given a bound program. It fills in Needs (a graph of things), Users (the same the other way round, made
// when it is first asked for), Searches and Loops (one for each adjusted cell) and Plan: the steps of work, each
// after what it needs. Slots on a ring, and adjusted cells that cannot be searched for, are broken.
//
// # How one line walks through
//
//	area = span * chord
//
// It goes like this:
//
//  1. Things are numbered: slots, then columns, then formulas of the builder's own. The slot of area needs those
//     of span and chord (program.SlotNeeds). A whole column is one thing that needs its entries, so that a
//     thousand rows that each read a column of a thousand rows make two thousand edges rather than a million. A
//     formula needs what its body reads, and a slot that calls it needs the formula.
//  2. graph.Order sorts by depth, then by place: the same sheet always has the same order.
//  3. adjust chord [in] from 5 to 10 so area = 400 [sq in] makes a loop: from its unknown (chord) to its goal (the
//     difference of both sides). What is on the way between them is the body of one step, which a search runs again
//     and again.
//  4. A ring that no loop explains is reported once, as the path that the builder has to break (order.go).
//  5. searches.go: a search whose range depends on its unknown, that is the third one inside another, or whose
//     unknown has no effect on its goal, is refused.
//
// # What holds afterwards
//
//   - Each slot that can have a value is in exactly one step of the Plan, and after all that it needs.
//   - Searches that are not broken are within one another at most two deep.
package order
