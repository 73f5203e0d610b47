package explain

import (
	"slices"

	"gusset/engine/program"
	"gusset/engine/state"
)

// marks is what makes values less sure: guesses, and formulas used outside the range where they are to be trusted. It
// is worked out whole and only read then, so that several readers share one.
type marks struct {
	guesses  *resting          // what rests on guesses
	outside  map[int32][]fault // uses of formulas outside their range, of each slot that has some
	remarked *resting          // how many of the slots with such uses each slot rests on, itself included
}

// marks returns the marks of all values. The State keeps them until a value changes; while they are worked out it keeps
// other readers waiting, so that they must not be asked for on the way.
func (e *Explainer) marks() *marks {
	return e.Derive(func() any { return findMarks(e.causes) }).(*marks)
}

// findMarks works the marks of all values out.
func findMarks(cs *causes) *marks {
	st := cs.st
	mk := &marks{outside: map[int32][]fault{}}
	var guesses, remarked []int32
	if st.HasGuesses() {
		for _, mod := range st.Modules {
			guesses = append(guesses, guessSlots(st, mod)...)
		}
	}
	if st.Trusting != nil {
		for i := range st.Slots {
			s := int32(i)
			if found := cs.trust.outsideOf(s); len(found) > 0 {
				mk.outside[s] = found
				if !program.InFormula(st.Program, s) {
					remarked = append(remarked, s)
				}
			}
		}
	}
	mk.guesses, mk.remarked = restingOn(cs, guesses), restingOn(cs, remarked)
	return mk
}

// remarksOf returns what there is to remark on a slot's own value.
func (mk *marks) remarksOf(s int32) []string {
	var remarks []string
	for _, f := range mk.outside[s] {
		if !slices.Contains(remarks, f.msg) {
			remarks = append(remarks, f.msg)
		}
	}
	return remarks
}

// guessSlots returns the slots of a sheet that hold a guess, in the order of the text.
func guessSlots(st *state.State, mod *program.Module) []int32 {
	var list []int32
	for s := range Values(st.Program, mod) {
		if st.Guess(s) {
			list = append(list, s)
		}
	}
	return list
}
