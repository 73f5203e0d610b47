package engine

import (
	"context"

	"gusset/engine/explain"
	"gusset/engine/odds"
	"gusset/engine/program"
)

// OddsOf draws the given values of a Model that say how far off they may be, again and again, and tells what that does
// to its results and checks. It works on a fork, so that neither readers nor changes of the Model wait for it. The same
// options give the same Odds, on any number of processors. When ctx is done it returns what it has come to so far, with
// Stopped set.
//
// Errors are ErrNoSuchName for a name that is not there, and ErrLimit for more builds, or more results, than there is
// room for.
func OddsOf(ctx context.Context, m *Model, o OddsOptions) (*Odds, error) {
	st := m.state()
	st.Mu.Lock()
	fork := st.Fork()
	st.Mu.Unlock()
	return odds.Of(orNever(ctx), fork, o)
}

// Doubts returns, for each of some pairs of values in two Models, how far their difference may be off either way: 1.96
// standard deviations to first order, in SI. Given values that have name, value and give or take in common are one
// piece. It is NaN where that is not known, and nil where there are too many to find out.
func Doubts(a, b *Model, ofA, ofB []Place) []float64 {
	before, after := a.state(), b.state()
	if before != after { // of two locks, one is held while waiting for the other; a fork needs none
		before = a.Fork().st
	}
	after.Mu.RLock()
	defer after.Mu.RUnlock()
	return odds.Doubts(before, after, slotsOf(ofA), slotsOf(ofB))
}

// Weights returns how much each given value makes of the doubt in some results, to first order: its share in the result
// where that is largest. Values that make nothing of any are left out; it is nil where it takes too long to find out.
func Weights(m *Model, of []Place) map[Place]float64 {
	e, done := m.read()
	defer done()
	weights := map[Place]float64{}
	for s, w := range odds.Weights(e.State, slotsOf(of)) {
		weights[Place(s)] = w
	}
	return weights
}

// Gains returns by which share the variance of some results falls to first order, of the one where that is most, when
// a given value comes to be known, each of some by itself; values are what they are thought to be, in SI. It is nil
// where it takes too long to find out.
func Gains(m *Model, of, given []Place, values []float64) []float64 {
	return odds.Gains(m.Fork().st, slotsOf(of), slotsOf(given), values)
}

// WrittenAt names the given value into which it is written what another one comes to, once it is known: itself or,
// where it is a weight of which one estimate is made, and that has a place for a weighed figure (weighed ?? estimated),
// that figure. It is nothing for what the library holds.
func WrittenAt(m *Model, p Place) string {
	e, done := m.read()
	defer done()
	if s := explain.WrittenAt(e.State, int32(p)); s != program.None {
		return e.SlotName(s)
	}
	return ""
}

// MayBeOff reports whether any given value of a Model says that it may be off.
func MayBeOff(m *Model) bool {
	e, done := m.read()
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
	e, done := m.read()
	defer done()
	return explain.DoubtOf(e, p)
}

// slotsOf returns the slots that values are in.
func slotsOf(places []Place) []int32 {
	slots := make([]int32, len(places))
	for i, p := range places {
		slots[i] = int32(p)
	}
	return slots
}
