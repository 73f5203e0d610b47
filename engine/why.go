package engine

// Why explains a value: its formula, what went into it, and so on down to what was measured. Name is as for Set, or the
// name of a column, TABLE.COLUMN.
func (m *Model) Why(name string) (*Reason, error) {
	e, done := read(m)
	defer done()
	return e.Why(name)
}

// WhyOneStep explains a value by its formula and what went into it, and of each of these only where it comes from.
func (m *Model) WhyOneStep(name string) (*Reason, error) {
	e, done := read(m)
	defer done()
	return e.WhyOneStep(name)
}
