package engine

import (
	"slices"

	"gusset/engine/explain"
	"gusset/engine/program"
	"gusset/engine/state"
)

// Slope is by how much a number grows for each 1, in its own unit, that a given number grows in its: the derivative,
// exact but for rounding. At a kink, as where the larger of two equal values is taken, Up is for changes upwards and
// Down for changes downwards; elsewhere they are the same. Both are NaN where the number has no value, or jumps as soon
// as the given one changes.
type Slope struct {
	Name     string // of the given number, as for Set
	Up, Down float64
}

// MarshalJSON writes its fields, with null for a number that is none.
func (s Slope) MarshalJSON() ([]byte, error) { return explain.MarshalFields(s) }

// SlopesOf returns the slopes of a number in some given numbers, at the values that the Model has. Names are as for
// Set.
//
// Errors are ErrNoSuchName and ErrNotOneValue for what is not the name of a value, ErrWrongKind for one that is not a
// number, and ErrNotGiven for a slope in one that is not given.
func SlopesOf(m *Model, of string, given ...string) ([]Slope, error) {
	e, done := read(m)
	defer done()
	numberOf := func(name string) (int32, error) {
		s, err := e.FindSlot(name)
		if err == nil && e.SlotType(s).Kind != program.Number {
			err = program.Errorf(program.ErrWrongKind, name, "%s is not a number", name)
		}
		return s, err
	}
	result, err := numberOf(of)
	if err != nil {
		return nil, err
	}
	slopes, inputs := make([]Slope, len(given)), make([]int32, len(given))
	for i, name := range given {
		if inputs[i], err = numberOf(name); err != nil {
			return nil, err
		}
		if e.Slots[inputs[i]].Kind != program.Given {
			return nil, program.Errorf(program.ErrNotGiven, name, "%s is worked out, not given", name)
		}
		slopes[i].Name = name
	}
	one, each := e.SlotShow(result).Unit.Factor(), slices.Compact(slices.Sorted(slices.Values(inputs)))
	for _, p := range state.Derivatives(e.State, []int32{result}, each)[0] {
		factor := e.SlotShow(each[p.In]).Unit.Factor() / one
		for i, in := range inputs { // which may be named twice
			if in == each[p.In] {
				slopes[i].Up, slopes[i].Down = p.Up*factor, p.Down*factor
			}
		}
	}
	return slopes, nil
}
