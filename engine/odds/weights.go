package odds

import (
	"math"

	"gusset/engine/explain"
	"gusset/engine/machine"
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
	weights := map[int32]float64{}
	eachVariance(st, results, inputs, func(_ int, parts []float64, variance float64) {
		for i, v := range parts {
			if v > 0 {
				weights[inputs[i]] = max(weights[inputs[i]], v/variance)
			}
		}
	})
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
	before, gains := make([]float64, len(results)), make([]float64, len(slots))
	eachVariance(st, results, inputs, func(r int, _ []float64, variance float64) { before[r] = variance })
	for k := range slots {
		known := state.Try(st, slots[k:k+1], values[k:k+1])
		eachVariance(known, results, explain.Drawn(known, results), func(r int, _ []float64, after float64) {
			if gain := 1 - after/before[r]; gain > max(gains[k], leastGain) { // not where there was no variance
				gains[k] = gain
			}
		})
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

// eachVariance gives the variance of each of some results to first order, with the parts that inputs make of it.
func eachVariance(st *state.State, results, inputs []int32, give func(r int, parts []float64, variance float64)) {
	deviations := make([]float64, len(inputs))
	for i, s := range inputs {
		spread, _, _ := state.SpreadOf(st, s)
		deviations[i] = spread.SD()
	}
	for r, slopes := range state.Derivatives(st, results, inputs) {
		parts, variance := variances(slopes, deviations)
		give(r, parts, variance)
	}
}

// variances returns what each input makes of the variance of a result to first order, by the slopes of the result and
// the standard deviations of the inputs, and their sum. Where the result jumps with an input its part is NaN, and is
// left out of the sum.
func variances(slopes []machine.Partial, deviations []float64) (parts []float64, sum float64) {
	parts = make([]float64, len(deviations))
	for _, p := range slopes {
		u := p.Mean() * deviations[p.In]
		if parts[p.In] = u * u; u == u {
			sum += u * u
		}
	}
	return parts, sum
}
