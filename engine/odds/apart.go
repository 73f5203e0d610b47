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
	slopesA, slopesB := state.Derivatives(a, ofA, inA), state.Derivatives(b, ofB, inB)
	keyOf := func(st *state.State, s int32) drawnKey {
		spread, _, _ := state.SpreadOf(st, s)
		return drawnKey{pieceName(st, s), st.Mach.Regs[s], spread}
	}
	common := map[drawnKey]int{} // place among inB
	for i, s := range inB {
		common[keyOf(b, s)] = i
	}
	doubts := make([]float64, len(ofA))
	for r := range doubts {
		variance := 0.0
		seen := make([]bool, len(inB))
		for i, s := range inA {
			key := keyOf(a, s)
			slope := slopesA[r][i]
			if k, both := common[key]; both {
				seen[k] = true
				slope -= slopesB[r][k]
			}
			u := slope * key.spread.SD()
			variance += u * u
		}
		for k, s := range inB {
			if !seen[k] {
				u := slopesB[r][k] * keyOf(b, s).spread.SD()
				variance += u * u
			}
		}
		doubts[r] = program.Coverage * math.Sqrt(variance)
	}
	return doubts
}
