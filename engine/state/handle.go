package state

import (
	"math"
	"strconv"

	"gusset/engine/program"
	"gusset/units"
)

// Handle is one number of a state, looked up once: to be read, or set, again and again.
type Handle struct {
	name  string
	slot  int32
	unit  units.Unit
	whole bool // it is counted
	given bool
}

// Unit returns the unit of the number.
func (h Handle) Unit() units.Unit { return h.unit }

// HandleOf looks a number, or yes and no, up.
func (st *State) HandleOf(name string) (Handle, error) {
	s, err := st.FindSlot(name)
	if err != nil {
		return Handle{}, err
	}
	if st.SlotType(s).Kind == program.Text {
		return Handle{}, program.Errorf(program.ErrWrongKind, name, "%s is a text, not a number", name)
	}
	_, notGiven := st.FindGiven(name)
	return handleAt(st, name, s, notGiven == nil), nil
}

func handleAt(st *State, name string, s int32, given bool) Handle {
	sh := st.SlotShow(s)
	return Handle{name: name, slot: s, unit: sh.Unit, whole: sh.Whole(), given: given}
}

// HandleNumber returns what the number of a handle is now, in its unit; NaN when there is none.
func (st *State) HandleNumber(h Handle) float64 {
	return h.unit.FromSI(st.Mach.Regs[h.slot])
}

// SetNumber is Set for a number in the unit of the cell, or for yes and no as 1 and 0.
func (st *State) SetNumber(name string, value float64) error {
	s, err := st.FindGiven(name)
	if err != nil {
		return err
	}
	h := handleAt(st, name, s, true)
	si := h.unit.ToSI(value)
	if num, err := st.ModuleOf(h.slot).Units.ParseNumber(strconv.FormatFloat(value, 'g', -1, 64), h.unit); err == nil {
		si = num.SI // as if it were typed, and so rounded once
	}
	return putNumber(st, h, value, si)
}

// SetHandle is SetNumber for the number of a handle. What is typed is rounded once, this maybe twice.
func (st *State) SetHandle(h Handle, value float64) error {
	si := h.unit.ToSI(value)
	if o := st.Last.own; o != nil && st.Last.slot == h.slot && st.ctx == nil && !h.whole && math.Abs(si) <= mostGiven {
		o.value, o.doubt = si, doubt{}
		st.Assign(h.slot, o.value)
		return nil
	}
	return putNumber(st, h, value, si)
}

// putNumber gives a handle's slot a value, which comes to si, if it can be given and keeps the choices as they are.
func putNumber(st *State, h Handle, value, si float64) error {
	if err := fits(st, h, value); err != nil {
		return err
	}
	r := change{Slot: h.slot, value: si, typ: st.SlotType(h.slot)}
	if err := keepsChoices(st, r); err != nil {
		return err
	}
	return st.Put(r)
}

// mostGiven is how large a number is that can be given, in SI: none that is typed is larger.
const mostGiven = 1e300

// fits tells why a number cannot be given.
func fits(st *State, h Handle, value float64) error {
	switch {
	case !h.given:
		return program.Errorf(program.ErrNotGiven, h.name, "%s is not a given number", h.name)
	case st.SlotType(h.slot).Kind == program.Boolean && (value == 0 || value == 1):
		return nil
	case st.SlotType(h.slot).Kind == program.Boolean:
		return program.Errorf(program.ErrWrongKind, h.name, "%s needs 1 for yes or 0 for no", h.name)
	case st.SlotType(h.slot).Kind != program.Number:
		return program.Errorf(program.ErrWrongKind, h.name, "%s is not a given number", h.name)
	case !program.IsNumber(value):
		return program.Errorf(program.ErrWrongKind, h.name, "%s: %v is not a number that can be worked with",
			h.name, value)
	case math.Abs(h.unit.ToSI(value)) > mostGiven:
		return program.Errorf(program.ErrLimit, h.name, "%s: the number is too large", h.name)
	case h.whole && !program.IsWhole(value):
		return program.Errorf(program.ErrWrongKind, h.name, "%s is counted in whole numbers (%s)",
			h.name, program.WholeHint(value))
	}
	return nil
}
