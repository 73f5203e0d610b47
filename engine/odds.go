package engine

import (
	"context"

	"gusset/engine/explain"
	"gusset/engine/odds"
	"gusset/engine/program"
	"gusset/engine/state"
)

// OddsOf draws the given values of a Model that say how far off they may be, again and again, and tells what that does
// to its results and checks. It works on a fork, so that neither readers nor changes of the Model wait for it. The same
// options give the same Odds, on any number of processors. When ctx is done it returns what it has come to so far, with
// Stopped set.
//
// Numbers are in the Unit of their result, shares from 0 to 1. Errors are ErrNoSuchName for a name that is not there,
// and ErrLimit for more builds, or more results, than there is room for.
func OddsOf(ctx context.Context, m *Model, o OddsOptions) (*Odds, error) {
	st := m.state()
	st.Mu.Lock()
	fork := st.ForkContext(context.Background()) // it has that of the question instead
	st.Mu.Unlock()
	return odds.Of(orNever(ctx), fork, o)
}

// DoubtsOfDifferences returns, for each of some pairs of values in two Models, how far their difference may be off
// either way: 1.96 standard deviations to first order, in SI. Given values that have name, value and give or take in
// common are one piece. It is NaN where that is not known, and nil where there are too many to find out, or the values
// are not pairs of these Models.
func DoubtsOfDifferences(a, b *Model, ofA, ofB []Place) []float64 {
	before, after, done := readBoth(a, b)
	defer done()
	slotsA, knownA := slotsOf(before, ofA)
	slotsB, knownB := slotsOf(after, ofB)
	if !knownA || !knownB || len(ofA) != len(ofB) {
		return nil
	}
	return odds.Doubts(before, after, slotsA, slotsB)
}

// VarianceShares returns how much each given value makes of the variance of some results, to first order: its share in
// the result where that is largest, from 0 to 1. Values that make nothing of any are left out; it is empty where it
// takes too long to find out, or a place is not one of the Model.
func VarianceShares(m *Model, of []Place) map[Place]float64 {
	e, done := read(m)
	defer done()
	weights := map[Place]float64{}
	slots, known := slotsOf(e.State, of)
	if !known {
		return weights
	}
	for s, w := range odds.Weights(e.State, slots) {
		weights[Place(s)] = w
	}
	return weights
}

// VarianceSaved returns by which share, from 0 to 1, the variance of some results falls to first order, of the one
// where that is most, when a given value comes to be known, each of some by itself; values are what they are thought to
// be, in SI. It is nil where it takes too long to find out, a place is not one of the Model, or there is not one value
// for each.
func VarianceSaved(m *Model, of, given []Place, values []float64) []float64 {
	st := m.Fork().st
	results, known := slotsOf(st, of)
	inputs, knownToo := slotsOf(st, given)
	if !known || !knownToo || len(given) != len(values) {
		return nil
	}
	return odds.Gains(st, results, inputs, values)
}

// WrittenAt names the given value into which it is written what another one comes to, once it is known: itself or,
// where it is a weight of which one estimate is made, and that has a place for a weighed figure (weighed ?? estimated),
// that figure. It is nothing for what the library holds, and where there is no such value.
func WrittenAt(m *Model, p Place) string {
	e, done := read(m)
	defer done()
	s, known := explain.SlotAt(e.State, p)
	if known {
		s = explain.WrittenAt(e.State, s)
	}
	if !known || s == program.None {
		return ""
	}
	return e.SlotName(s)
}

// MayBeOff reports whether any given value of a Model says that it may be off.
func MayBeOff(m *Model) bool {
	e, done := read(m)
	defer done()
	for s := range e.Slots {
		if _, off := e.Tolerance(int32(s)); off {
			return true
		}
	}
	return false
}

// DoubtOf returns how far a value may be off, to first order; nil where nothing behind it may be, or it is no number.
func DoubtOf(m *Model, p Place) *Doubt {
	e, done := read(m)
	defer done()
	return explain.DoubtOf(e, p)
}

// slotsOf returns the slots that values are in, and whether the state has all of them.
func slotsOf(st *state.State, places []Place) (slots []int32, known bool) {
	slots = make([]int32, len(places))
	for i, p := range places {
		if slots[i], known = explain.SlotAt(st, p); !known {
			return nil, false
		}
	}
	return slots, true
}
