package engine

import (
	"math"

	"gusset/engine/state"
	"gusset/units"
)

// Handle looks a number, or yes and no, up, to read or to set it again and again. Name is as for Set.
func (m *Model) Handle(name string) (Handle, error) {
	st := m.state()
	st.Mu.RLock()
	defer st.Mu.RUnlock()
	h, err := st.HandleOf(name)
	if err != nil {
		return Handle{}, err
	}
	return Handle{st, h}, nil
}

// Handle is one number of a Model, which has been looked up. It is of that Model, whatever variant is in use; a fork
// has Handles of its own.
type Handle struct {
	st *state.State
	at state.Handle
}

// Unit returns the unit of the number.
func (h Handle) Unit() units.Unit { return h.at.Unit() }

// Value returns the number as it is now, in its Unit and as near as its arithmetic comes; NaN where there is none, and
// 1 and 0 for yes and no. Model.Value tells more.
func (h Handle) Value() float64 {
	if h.st == nil {
		return math.NaN()
	}
	h.st.Mu.RLock()
	defer h.st.Mu.RUnlock()
	return h.st.HandleNumber(h.at)
}

// Set gives the number a new value, in its Unit, and works out again what depends on it, as SetNumber does. What is
// typed is rounded once on its way to SI units, this maybe twice.
func (h Handle) Set(value float64) error {
	if h.st == nil {
		return (&Model{}).SetNumber("", value)
	}
	h.st.Mu.Lock()
	defer h.st.Mu.Unlock()
	return h.st.SetHandle(h.at, value)
}
