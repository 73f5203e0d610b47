package program

// env is what a formula's own names stand for while it is compiled.
type Env struct {
	Row    int32   // the row that the formula belongs to
	Args   []int32 // registers of a called formula's single values
	Lists  []int32 // nodes of its columns, none for single values
	Caller *Env    // where those nodes stand
}

// filtered is a condition on the rows of a list, and where it is.
type Filtered struct {
	Node int32
	Env  *Env
}

// listRows returns the table whose rows a list goes through, and the conditions on them.
func (m *Program) ListRows(i int32, e *Env) (*Table, []Filtered) {
	n := m.Nodes[i]
	switch n.Op {
	case OpColumn:
		return m.Columns[n.A].Table, nil
	case OpRows:
		return m.Tables[n.A], nil
	case OpKeep:
		t, f := m.ListRows(n.A, e)
		return t, append(f, Filtered{n.B, e})
	case OpEach:
		return m.ListRows(n.A, e)
	case OpParam:
		return m.ListRows(e.Lists[n.A], e.Caller)
	}
	for _, o := range m.Operands(i) {
		if m.TypeAt(o).List {
			return m.ListRows(o, e)
		}
	}
	return nil, nil
}
