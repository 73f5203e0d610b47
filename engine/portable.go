package engine

import "gusset/engine/portable"

// AsData lays a model out as plain data, with the values that it has. The error is of the kind ErrLimit where that is
// more than a page can hold, and ErrUnread where nothing has a value.
func AsData(m *Model) (*Portable, error) {
	st, done := change(m)
	defer done()
	return portable.Of(st)
}
