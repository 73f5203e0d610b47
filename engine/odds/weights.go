package odds

import (
	"math"

	"gusset/engine/explain"
	"gusset/engine/state"
)

// mostWeighing is how many steps it may take to find weights: they are found again after each change.
const mostWeighing = 50e6

// Weights returns how much each given value makes of the doubt in some results: its share of the variance to first
// order, in the result where that is largest. Values that make nothing of any are left out; it is nil where it takes
// too long to find out.
func Weights(st *state.State, results []int32) map[int32]float64 {
	inputs := explain.Drawn(st, results)
	if len(inputs) == 0 || len(results)*len(inputs) > mostSlopes ||
		float64(len(inputs))*st.Work(st.UncutBetween(inputs, results)) > mostWeighing {
		return nil
	}
	deviations, squares := make([]float64, len(inputs)), make([]float64, len(inputs))
	for i, s := range inputs {
		spread, _, _ := state.SpreadOf(st, s)
		deviations[i] = spread.SD()
	}
	weights := map[int32]float64{}
	for _, row := range state.Derivatives(st, results, inputs) {
		variance := 0.0
		for _, p := range row {
			u := p.Mean() * deviations[p.In]
			if squares[p.In] = u * u; !math.IsNaN(u) {
				variance += u * u
			}
		}
		for _, p := range row {
			if square := squares[p.In]; square > 0 {
				weights[inputs[p.In]] = max(weights[inputs[p.In]], square/variance)
			}
		}
	}
	return weights
}
