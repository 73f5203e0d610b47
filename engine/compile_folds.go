package engine

import (
	"math"

	"gusset/engine/machine"
)

// wholeColumn returns the column that a list is, if it is a whole column and nothing else.
func (c *compiler) wholeColumn(i int32, e *env) (*column, bool) {
	switch n := c.m.nodes[i]; n.op {
	case OpColumn:
		return c.m.columns[n.a], true
	case OpParam:
		return c.wholeColumn(e.lists[n.a], e.caller)
	}
	return nil, false
}

// columnProduct returns the two columns of table t whose product, row by row, a list is, if it is that and nothing
// else.
func (c *compiler) columnProduct(i int32, e *env, t *table) (one, other *column, ok bool) {
	n, eachRow := c.m.nodes[i], false
	switch n.op {
	case OpParam:
		return c.columnProduct(e.lists[n.a], e.caller, t)
	case OpEach:
		n, eachRow = c.m.nodes[n.b], true
	}
	if n.op != OpMul {
		return nil, nil, false
	}
	column := func(i int32) *column {
		switch n := c.m.nodes[i]; {
		case n.op == OpEntry && eachRow, n.op == OpColumn:
			return c.m.columns[n.a]
		case n.op == OpParam && e.lists[n.a] != none:
			if c, ok := c.wholeColumn(e.lists[n.a], e.caller); ok {
				return c
			}
		}
		return nil
	}
	one, other = column(n.a), column(n.b)
	return one, other, one != nil && other != nil && one.table == t && other.table == t
}

// fold emits what brings a list together.
func (c *compiler) fold(n node, e *env, d int32) {
	kind := foldKind(&n)
	t, filters := c.m.listRows(n.a, e)
	if t == nil || t.lost != none {
		c.emit(machine.Instr{Op: machine.Move, D: d, A: c.constant(math.NaN())})
		return
	}
	rows := int32(len(t.rowName))
	if col, ok := c.wholeColumn(n.a, e); ok && kind == machine.Sum {
		c.emit(machine.Instr{Op: machine.SumRange, D: d, A: col.base, B: rows})
		return
	}
	if one, other, ok := c.columnProduct(n.a, e, t); ok && kind == machine.Sum && len(filters) == 0 {
		c.emit(machine.Instr{Op: machine.SumProducts, D: d, A: one.base, B: other.base, C: rows})
		return
	}
	f := machine.Fold{Kind: kind, Rows: rows}
	outer := c.code
	c.filter(&f, filters)
	f.EachReg = c.reg(n.a, e)
	f.Each = c.code
	c.code = outer
	c.out.folds = append(c.out.folds, f)
	c.emit(machine.Instr{Op: machine.FoldRows, D: d, A: int32(len(c.out.folds) - 1)})
}

// interpolate emits what reads a table off between its rows.
func (c *compiler) interpolate(n node, e *env, d int32) {
	t, filters := c.m.listRows(n.b, e)
	if t == nil || t.lost != none {
		c.emit(machine.Instr{Op: machine.Move, D: d, A: c.constant(math.NaN())})
		return
	}
	f := machine.Fold{Kind: machine.Interpolate, Rows: int32(len(t.rowName)), AtReg: c.reg(n.a, e)}
	outer := c.code
	c.filter(&f, filters)
	f.EachReg, f.OtherReg = c.reg(n.b, e), c.reg(n.c, e)
	f.Each = c.code
	c.code = outer
	c.out.folds = append(c.out.folds, f)
	c.emit(machine.Instr{Op: machine.FoldRows, D: d, A: int32(len(c.out.folds) - 1)})
}

// filter compiles the conditions on a fold's rows, and leaves the code at hand empty for what is worked out for each.
func (c *compiler) filter(f *machine.Fold, filters []filtered) {
	c.code = nil
	for k, keep := range filters {
		r := c.reg(keep.node, keep.env)
		if k > 0 {
			both := c.temp()
			c.emit(machine.Instr{Op: machine.And, D: both, A: f.KeepReg, B: r})
			r = both
		}
		f.KeepReg = r
	}
	f.Keep = c.code
	if len(filters) > 0 && len(f.Keep) == 0 { // a condition that needs no code, such as yes
		f.KeepReg = c.temp()
		f.Keep = []machine.Instr{{Op: machine.Move, D: f.KeepReg, A: c.reg(filters[0].node, filters[0].env)}}
	}
	c.code = nil
}
