package state

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"gusset/engine/machine"
	"gusset/engine/program"
)

// FirstOrder is how far a value may be off, as its slopes have it: the sum of what each given value behind it makes of
// it alone (JCGM 100:2008, 5.1.2).
type FirstOrder struct {
	Half       float64 // 1.96 standard deviations, SI; NaN where it is not known
	Least      float64 // of what says how far it may be off; NaN where the value jumps within that
	Shares     []InputShare
	Undeclared []int32 // given slots that the value hangs on and of which nobody says how far off they may be
	TooMany    bool    // there are more than MostBehind given values behind it
}

// MostBehind is how many given values there may be behind one of which it is asked how far off it may be.
const MostBehind = 2000

// InputShare is what one given slot makes of the variance.
type InputShare struct {
	Slot  int32
	Share float64
}

// FirstOrderOf works out how far the value of a slot may be off. Shares come with the largest first.
func FirstOrderOf(st *State, s int32) FirstOrder {
	off := FirstOrder{Half: math.NaN(), Least: math.NaN()}
	if known, ok := st.firstOrders[s]; ok {
		return known
	}
	if !program.IsNumber(st.Mach.Regs[s]) {
		return off
	}
	drawn, undeclared := st.reasons(st).Behind(s)
	if off.TooMany = len(drawn)+len(undeclared) > MostBehind; off.TooMany {
		return off
	}
	inputs, near := append(slices.Clone(drawn), undeclared...), &edges{}
	slopes := meansOf(derivatives(st, []int32{s}, inputs, near)[0], len(inputs))
	if stopped(st) {
		return off
	}
	for i, u := range undeclared {
		if slopes[len(drawn)+i] != 0 {
			off.Undeclared = append(off.Undeclared, u)
		}
	}
	if slices.ContainsFunc(slopes, math.IsNaN) {
		slopes = meansOf(Derivatives(st, []int32{s}, inputs)[0], len(inputs))
	}
	variance := 0.0
	for i, in := range drawn {
		t, _, _ := SpreadOf(st, in)
		u := slopes[i] * t.SD()
		variance += u * u
		off.Shares = append(off.Shares, InputShare{in, u * u})
	}
	for i := range off.Shares {
		off.Shares[i].Share /= variance
	}
	slices.SortStableFunc(off.Shares, func(a, b InputShare) int { return -cmp.Compare(a.Share, b.Share) })
	off.Least = program.Coverage * math.Sqrt(variance)
	if len(off.Undeclared) > 0 { // which may be off by anything: what they come to is not in it
		near = &edges{}
		derivatives(st, []int32{s}, drawn, near)
		inputs, slopes = drawn, slopes[:len(drawn)]
	}
	if !near.mildFor(st, s, inputs, slopes, off.Least) {
		off.Least = math.NaN()
	}
	if len(off.Undeclared) == 0 {
		off.Half = off.Least
	}
	return off
}

// meansOf returns the slopes of a value in n inputs.
func meansOf(partials []machine.Partial, n int) []float64 {
	slopes := make([]float64, n)
	for _, p := range partials {
		slopes[p.In] = p.Mean()
	}
	return slopes
}

// updateSpreads works out how far those values may be off of which a check asks it, and runs what hangs on that.
func updateSpreads(st *State) {
	if len(st.Spreads) == 0 {
		return
	}
	found := map[int32]FirstOrder{}
	byStep := func(a, b int32) int { return cmp.Or(cmp.Compare(st.StepOf[a], st.StepOf[b]), cmp.Compare(a, b)) }
	for _, s := range slices.SortedFunc(maps.Keys(st.Spreads), byStep) {
		off := FirstOrderOf(st, st.Spreads[s])
		found[st.Spreads[s]], st.Mach.Regs[s] = off, off.Half
		run(st, st.GatherCode(nil, st.RangesOf(st.StepsFrom([]int32{s}))))
	}
	st.firstOrders = found
}
