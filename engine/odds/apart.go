package odds

import (
	"math"

	"gusset/engine/explain"
	"gusset/engine/program"
	"gusset/engine/state"
)

// drawnKey says which given values of two states are one piece: those of one name, value and give or take.
type drawnKey struct {
	name   string
	value  float64
	spread program.Tolerance
}

// Doubts returns how far the differences between values of two states may be off either way: 1.96 standard deviations
// to first order, in SI. Given values that have name, value and give or take in common are one piece, and its doubt is
// in both; what differs is drawn apart. It is NaN where that cannot be known, and nil where there are too many.
func Doubts(a, b *state.State, ofA, ofB []int32) []float64 {
	inA, inB := explain.Drawn(a, ofA), explain.Drawn(b, ofB)
	if len(ofA)*(len(inA)+len(inB)) > mostSlopes {
		return nil
	}
	pieces := map[drawnKey]int{}
	var deviations []float64 // of each piece
	piecesOf := func(st *state.State, inputs []int32) []int {
		numbers := make([]int, len(inputs))
		for i, s := range inputs {
			spread, _, _ := state.SpreadOf(st, s)
			key := drawnKey{pieceName(st, s), st.Mach.Regs[s], spread}
			k, known := pieces[key]
			if !known {
				k = len(deviations)
				pieces[key], deviations = k, append(deviations, spread.SD())
			}
			numbers[i] = k
		}
		return numbers
	}
	piecesA, piecesB := piecesOf(a, inA), piecesOf(b, inB)
	slopesA, slopesB := state.Derivatives(a, ofA, inA), state.Derivatives(b, ofB, inB)
	doubts, slopes := make([]float64, len(ofA)), make([]float64, len(deviations))
	for r := range doubts {
		clear(slopes)
		for _, p := range slopesA[r] {
			slopes[piecesA[p.In]] += p.Mean()
		}
		for _, p := range slopesB[r] {
			slopes[piecesB[p.In]] -= p.Mean()
		}
		variance := 0.0
		for k, slope := range slopes {
			u := slope * deviations[k]
			variance += u * u
		}
		doubts[r] = program.Coverage * math.Sqrt(variance)
	}
	return doubts
}
