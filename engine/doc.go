// Package engine works a sheet out.
//
// A sheet goes through five passes. Resolve turns statements and formulas into numbered slots and one tree of nodes,
// with every name bound. Order puts the slots into an order in which each comes after what it needs, with rings
// reported and searches (adjust) laid out as loops. Check gives every node its dimension, once. Compile writes register
// code for the machine. Run works it out: plain float64 in SI units, nothing allocated, no unit ever looked at.
//
// The checked tree is the hub. The machine runs code compiled from it; the package's own tree walker reads it to
// explain a number or a failure.
package engine
