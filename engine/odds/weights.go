package odds

import (
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
	weights := map[int32]float64{}
	for _, row := range state.Derivatives(st, results, inputs) {
		variance := 0.0
		for i, s := range inputs {
			spread, _, _ := state.SpreadOf(st, s)
			row[i] *= spread.SD()
			if row[i] *= row[i]; row[i] == row[i] {
				variance += row[i]
			}
		}
		for i, s := range inputs {
			if row[i] > 0 {
				weights[s] = max(weights[s], row[i]/variance)
			}
		}
	}
	return weights
}
