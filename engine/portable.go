package engine

import "gusset/engine/portable"

// Portable is a worked sheet as plain data, which can be run, shown and explained where there is no Gusset. Package
// portable says what it holds.
//
// Its fields are data for whoever runs it.
type Portable = portable.Program

// AsData lays a model out as plain data, with the values that it has. The error is of the kind ErrLimit where that is
// more than a page can hold, and ErrUnread where nothing has a value.
func AsData(m *Model) (*Portable, error) {
	st := m.state()
	st.Mu.Lock()
	defer st.Mu.Unlock()
	return portable.Of(st)
}
