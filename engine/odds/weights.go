package odds

import (
	"math"

	"gusset/engine/explain"
	"gusset/engine/state"
)

// mostWeighing is how many steps it may take to find weights: they are found again after each change.
const mostWeighing = 50e6

// leastGain is what rounding alone does not come to.
const leastGain = 1e-9

// mostGaining is how many steps it may take to find gains: they are found once, for a column.
const mostGaining = 2e9

// Weights returns how much each given value makes of the doubt in some results: its share of the variance to first
// order, in the result where that is largest. Values that make nothing of any are left out; it is nil where it takes
// too long to find out.
func Weights(st *state.State, results []int32) map[int32]float64 {
	inputs := explain.Drawn(st, results)
	if weighing(st, results, inputs) > mostWeighing {
		return nil
	}
	parts, variances := variancesOf(st, results, inputs)
	weights := map[int32]float64{}
	for r, row := range parts {
		for _, p := range row {
			if p.variance > 0 {
				weights[inputs[p.input]] = max(weights[inputs[p.input]], p.variance/variances[r])
			}
		}
	}
	return weights
}

// Gains returns by which share the variance of some results falls to first order, of the one where that is most, when
// a given slot gets a value, SI, that is known: for each slot by itself. That of one that lessens none is 0. It is nil
// where it takes too long to find out.
func Gains(st *state.State, results, slots []int32, values []float64) []float64 {
	inputs := explain.Drawn(st, results)
	if float64(len(slots))*weighing(st, results, inputs) > mostGaining {
		return nil
	}
	_, before := variancesOf(st, results, inputs)
	gains := make([]float64, len(slots))
	for k := range slots {
		known := state.Try(st, slots[k:k+1], values[k:k+1])
		_, after := variancesOf(known, results, explain.Drawn(known, results))
		for r := range results {
			if gain := 1 - after[r]/before[r]; gain > max(gains[k], leastGain) { // not where there was no variance
				gains[k] = gain
			}
		}
	}
	return gains
}

// weighing is how many steps it takes to find the variances of some results.
func weighing(st *state.State, results, inputs []int32) float64 {
	if len(results)*len(inputs) > mostSlopes {
		return math.Inf(1)
	}
	return float64(len(inputs)) * st.Work(st.UncutBetween(inputs, results))
}

// part is what one input makes of the variance of a result.
type part struct {
	input    int32 // its index
	variance float64
}

// variancesOf returns the variances of some results to first order, and the parts that inputs make of them; where a
// result jumps with an input that part is NaN, and is left out.
func variancesOf(st *state.State, results, inputs []int32) (parts [][]part, variances []float64) {
	parts, variances = make([][]part, len(results)), make([]float64, len(results))
	if len(inputs) == 0 {
		return parts, variances
	}
	deviations := make([]float64, len(inputs))
	for i, s := range inputs {
		spread, _, _ := state.SpreadOf(st, s)
		deviations[i] = spread.SD()
	}
	for r, row := range state.Derivatives(st, results, inputs) {
		for _, p := range row {
			u := p.Mean() * deviations[p.In]
			parts[r] = append(parts[r], part{p.In, u * u})
			if !math.IsNaN(u) {
				variances[r] += u * u
			}
		}
	}
	return parts, variances
}
