package program

// IsRows reports whether a node is a list of rows rather than of values.
func (t *Tree) IsRows(i int32) bool {
	switch t.Nodes[i].Op {
	case OpRows:
		return true
	case OpKeep:
		return t.IsRows(t.Nodes[i].A)
	}
	return false
}

// TableOf returns the table whose rows a list goes through.
func (p *Program) TableOf(i int32) (*Table, bool) {
	n := p.Nodes[i]
	switch n.Op {
	case OpRows:
		return p.Tables[n.A], true
	case OpColumn:
		return p.Columns[n.A].Table, true
	case OpKeep, OpEach:
		return p.TableOf(n.A)
	}
	return nil, false
}

// Env is what a formula's own names stand for while it is compiled.
type Env struct {
	Row    int32   // the row that the formula belongs to
	Args   []int32 // registers of a called formula's single values
	Lists  []int32 // nodes of its columns, none for single values
	Caller *Env    // where those nodes are
}

// Filtered is a condition on the rows of a list, and where it is.
type Filtered struct {
	Node int32
	Env  *Env
}

// ListRows returns the table whose rows a list goes through, and the conditions on them.
func (p *Program) ListRows(i int32, e *Env) (*Table, []Filtered) {
	n := p.Nodes[i]
	switch n.Op {
	case OpColumn, OpRows:
		t, _ := p.TableOf(i)
		return t, nil
	case OpKeep:
		t, f := p.ListRows(n.A, e)
		return t, append(f, Filtered{n.B, e})
	case OpParam:
		return p.ListRows(e.Lists[n.A], e.Caller)
	}
	for _, o := range p.Operands(i) {
		if p.TypeAt(o).List {
			return p.ListRows(o, e)
		}
	}
	return nil, nil
}
