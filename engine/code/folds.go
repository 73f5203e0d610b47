package code

import (
	"math"

	"gusset/engine/machine"
	"gusset/engine/program"
)

// wholeColumn returns the column that a list is, if it is a whole column and nothing else.
func (c *compiler) wholeColumn(i int32, e *program.Env) (*program.Column, bool) {
	switch n := c.p.Nodes[i]; n.Op {
	case program.OpColumn:
		return c.p.Columns[n.A], true
	case program.OpParam:
		return c.wholeColumn(e.Lists[n.A], e.Caller)
	}
	return nil, false
}

// columnProduct returns the two columns of table t whose product, row by row, a list is, if it is that and nothing
// else.
func (c *compiler) columnProduct(i int32, e *program.Env, t *program.Table) (one, other *program.Column, ok bool) {
	n, eachRow := c.p.Nodes[i], false
	switch n.Op {
	case program.OpParam:
		return c.columnProduct(e.Lists[n.A], e.Caller, t)
	case program.OpEach:
		n, eachRow = c.p.Nodes[n.B], true
	}
	if n.Op != program.OpMul {
		return nil, nil, false
	}
	column := func(i int32) *program.Column {
		switch n := c.p.Nodes[i]; {
		case n.Op == program.OpEntry && eachRow, n.Op == program.OpColumn:
			return c.p.Columns[n.A]
		case n.Op == program.OpParam && e.Lists[n.A] != program.None:
			whole, _ := c.wholeColumn(e.Lists[n.A], e.Caller)
			return whole
		}
		return nil
	}
	one, other = column(n.A), column(n.B)
	return one, other, one != nil && other != nil && one.Table == t && other.Table == t
}

// fold emits what brings a list together.
func (c *compiler) fold(n program.Node, e *program.Env, d int32) {
	t, filters, ok := c.rows(n.A, e, d)
	if !ok {
		return
	}
	kind, rows := program.FoldKind(&n), int32(len(t.RowName))
	if col, ok := c.wholeColumn(n.A, e); ok && kind == machine.Sum {
		c.emit(machine.Instr{Op: machine.SumRange, D: d, A: col.Base, B: rows})
		return
	}
	if one, other, ok := c.columnProduct(n.A, e, t); ok && kind == machine.Sum && len(filters) == 0 {
		c.emit(machine.Instr{Op: machine.SumProducts, D: d, A: one.Base, B: other.Base, C: rows})
		return
	}
	f := machine.Fold{Kind: kind, Rows: rows}
	c.foldRows(machine.FoldRows, f, filters, d, func(f *machine.Fold) { f.EachReg = c.reg(n.A, e) })
}

// interpolate emits what reads a table off between its rows.
func (c *compiler) interpolate(n program.Node, e *program.Env, d int32) {
	if t, filters, ok := c.rows(n.B, e, d); ok {
		f := machine.Fold{Kind: machine.Interpolate, Rows: int32(len(t.RowName)), AtReg: c.reg(n.A, e)}
		c.foldRows(machine.FoldRows, f, filters, d, func(f *machine.Fold) {
			f.EachReg, f.OtherReg = c.reg(n.B, e), c.reg(n.C, e)
		})
	}
}

// points emits what brings points together.
func (c *compiler) points(n program.Node, e *program.Env, d int32) {
	if t, filters, ok := c.rows(n.A, e, d); ok {
		f := machine.Fold{Kind: program.PointsKind(&n), Rows: int32(len(t.RowName))}
		c.foldRows(machine.FoldRows, f, filters, d, func(f *machine.Fold) {
			f.EachReg, f.OtherReg = c.reg(n.A, e), c.reg(n.B, e)
		})
	}
}

// stock emits what finds how many stocks it takes to cut the pieces of all rows.
func (c *compiler) stock(i int32, e *program.Env, d int32) {
	parts := c.p.Operands(i)
	t, filters, ok := c.rows(parts[program.StockPieces], e, d)
	if !ok {
		return
	}
	cut := &machine.Cutting{}
	reg := func(part int) {
		cut[part] = c.reg(parts[part], e)
	}
	f := machine.Fold{Rows: int32(len(t.RowName)), Cut: cut}
	for part := range parts {
		if !program.StockOfRow(part) {
			reg(part)
		}
	}
	c.foldRows(machine.StockNeeded, f, filters, d, func(*machine.Fold) {
		for part := range parts {
			if program.StockOfRow(part) {
				reg(part)
			}
		}
	})
}

// rows returns the table that a list goes through, and on which conditions. Where there is none, or it was not read
// whole, it emits that there is no value.
func (c *compiler) rows(list int32, e *program.Env, d int32) (t *program.Table, filters []program.Filtered, ok bool) {
	t, filters = c.p.ListRows(list, e)
	if ok = t != nil && t.Lost == program.None; !ok {
		c.emit(machine.Instr{Op: machine.Move, D: d, A: c.constant(math.NaN())})
	}
	return t, filters, ok
}

// foldRows emits an operation on a fold; each compiles what is worked out for a row.
func (c *compiler) foldRows(
	op machine.Op, f machine.Fold, filters []program.Filtered, d int32, each func(f *machine.Fold),
) {
	outer := c.code
	c.filter(&f, filters)
	each(&f)
	f.Each = c.code
	c.code = outer
	c.out.folds = append(c.out.folds, f)
	c.emit(machine.Instr{Op: op, D: d, A: int32(len(c.out.folds) - 1)})
}

// filter compiles the conditions on a fold's rows, and leaves the code at hand empty for what is worked out for each.
func (c *compiler) filter(f *machine.Fold, filters []program.Filtered) {
	c.code = nil
	for k, keep := range filters {
		r := c.reg(keep.Node, keep.Env)
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
		f.Keep = []machine.Instr{{Op: machine.Move, D: f.KeepReg, A: c.reg(filters[0].Node, filters[0].Env)}}
	}
	c.code = nil
}
