package state

import "gusset/engine/program"

// SpreadOf returns how far off the value of a given slot is taken to be: what it says itself, or what is assumed of a
// guess that does not say it. ok is false where it is taken as it is, because it says nothing or has no value.
func SpreadOf(st *State, s int32) (off program.Tolerance, assumed, ok bool) {
	x := st.Mach.Regs[s]
	if !program.IsNumber(x) {
		return off, false, false
	}
	if off, ok = st.Tolerance(s); ok || !st.Guess(s) {
		return off, false, ok
	}
	off, ok = program.GuessSpread(x, st.SlotType(s), st.SlotShow(s))
	return off, true, ok
}

// AnySpread reports whether any given slot may be taken to be off: where none is, nothing has to be looked through.
func AnySpread(st *State) bool {
	if len(st.Tolerances) > 0 || st.HasGuesses() {
		return true
	}
	for _, o := range st.overrides {
		if o.off != nil {
			return true
		}
	}
	return false
}

// NeedsTolerance reports whether a given slot holds a number of which nobody can know that it is exact: one that is
// measured, not one that is counted, paid or looked up in the library. What is chosen, as a limit is, needs none where
// it is a formula, and so is not given; how a given number is used does not tell whether it was chosen.
func NeedsTolerance(st *State, s int32) bool {
	sl, t := st.Slots[s], st.SlotType(s)
	return sl.Kind == program.Given && t.Kind == program.Number && program.IsNumber(st.Mach.Regs[s]) &&
		!st.RowName(s) && !st.SlotShow(s).Whole() && t.Dim.Currency() == "" && !st.ModuleOf(s).Library
}
