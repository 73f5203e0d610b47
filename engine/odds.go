package engine

import (
	"context"

	"gusset/engine/odds"
)

// What is drawn. Package odds has what they hold.
type (
	// Odds is what the give or take of the given values does to results and checks.
	//
	// Fields: Builds, Seed, Steady, Stopped, Drawn, Results, Checks, Outside, Looked, Texts.
	Odds = odds.Odds
	// OddsOptions is what is asked for: without Names the checks, and what nothing else uses.
	//
	// Fields: Names, Builds, Seed, Progress.
	OddsOptions = odds.Options
	// OddsResult is what it does to a number.
	//
	// Fields: Entry, Mean, SD, Low, High, First, Remark, None, Waits, NoneWhy, Strip, Shares, Undeclared.
	OddsResult = odds.Result
	// CheckOdds is in which share of builds a check holds, fails, waits, or has no result.
	//
	// Fields: Cell, Holds, Fails, Waits, None, Margin, Undeclared.
	CheckOdds = odds.CheckOdds
	// FirstOrder is the spread of a result as its slopes have it.
	//
	// Fields: SD, Low, High.
	FirstOrder = odds.FirstOrder
	// Share is how much of the doubt in a result comes from one given value.
	//
	// Fields: Name, Slot, Share, Known, Guess, Dim.
	Share = odds.Share
	// Strip is how often a result is where.
	//
	// Fields: From, To, Shares.
	Strip = odds.Strip
	// Drawn is a given value that was drawn for each build.
	//
	// Fields: Name, Slot, Guess, Off, Spread, Crosses.
	Drawn = odds.Drawn
	// OddsOutside is a formula that some builds use outside the range where it is to be trusted.
	//
	// Fields: Formula, Names, Share, Now.
	OddsOutside = odds.Outside
	// Undeclared is a given value of which nobody says how far off it may be.
	//
	// Fields: Name, Slot, Moves.
	Undeclared = odds.Undeclared
)

// OddsRemark says why the range to first order is not the range that holds 95 of 100 builds.
type OddsRemark = odds.Remark

// The remarks.
const (
	OddsAgree   = odds.Agrees
	OddsFlat    = odds.Flat
	OddsCurved  = odds.Curved
	OddsAtLimit = odds.AtLimit
	OddsStepped = odds.Stepped
	OddsFlip    = odds.Flips
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
	slots := func(places []Place) []int32 {
		list := make([]int32, len(places))
		for i, p := range places {
			list[i] = int32(p)
		}
		return list
	}
	return odds.Doubts(before, after, slots(ofA), slots(ofB))
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
