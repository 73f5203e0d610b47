package engine

// env is what a formula's own names stand for while it is compiled.
type env struct {
	row    int32   // the row that the formula belongs to
	args   []int32 // registers of a called formula's single values
	lists  []int32 // nodes of its columns, none for single values
	caller *env    // where those nodes stand
}

// filtered is a condition on the rows of a list, and where it is.
type filtered struct {
	node int32
	env  *env
}

// listRows returns the table whose rows a list goes through, and the conditions on them.
func (m *Program) listRows(i int32, e *env) (*table, []filtered) {
	n := m.nodes[i]
	switch n.op {
	case OpColumn:
		return m.columns[n.a].table, nil
	case OpRows:
		return m.tables[n.a], nil
	case OpKeep:
		t, f := m.listRows(n.a, e)
		return t, append(f, filtered{n.b, e})
	case OpEach:
		return m.listRows(n.a, e)
	case OpParam:
		return m.listRows(e.lists[n.a], e.caller)
	}
	for _, o := range m.operands(i) {
		if m.typeAt(o).list {
			return m.listRows(o, e)
		}
	}
	return nil, nil
}
