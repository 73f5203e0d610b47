package state

import "gusset/engine/program"

// SpreadOf returns how far off the value of a given slot is taken to be: what it says itself, or what is assumed of a
// guess that does not say it. ok is false where it is taken as it is, because it says nothing or has no value.
func SpreadOf(st *State, s int32) (off program.Tolerance, assumed, ok bool) {
	x := st.Mach.Regs[s]
	if !program.IsNumber(x) || st.Slots[s].Kind != program.Given {
		return off, false, false
	}
	if off, ok = st.Tolerance(s); ok || !st.Guess(s) {
		return off, false, ok
	}
	off, ok = program.GuessSpread(x, st.SlotType(s), st.SlotShow(s))
	return off, true, ok
}

// NeedsTolerance reports whether a given slot holds a number of which nobody can know that it is exact: one that is
// measured, not one that is counted, paid or looked up in the library.
func NeedsTolerance(st *State, s int32) bool {
	sl, t := st.Slots[s], st.SlotType(s)
	return sl.Kind == program.Given && t.Kind == program.Number && program.IsNumber(st.Mach.Regs[s]) &&
		!st.RowName(s) && !st.SlotShow(s).Whole() && t.Dim.Currency() == "" && !st.ModuleOf(s).Library
}
