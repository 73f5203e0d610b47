package engine

import (
	"math"

	"gusset/engine/machine"
	"gusset/units"
)

// Place is one value of a model: that of a cell, or of an entry of a table.
type Place int32

// Expr is a formula, or a part of one, as the checked tree has it: every name is bound, and everything that it measures is
// known. Numbers are in their own units; nothing has been converted yet.
type Expr struct {
	Op   Op
	Args []*Expr // what it is made of

	IsText, IsTruth bool
	List            bool      // one for each row
	Dim             units.Dim // of a number

	Number  float64     // of OpConst, in Unit; 1 or 0 for OpTruth
	Unit    units.Unit  // that OpConst is written with
	Text    string      // of OpText
	Place   Place       // of OpSlot
	Column  int         // of OpOwn, OpEntry, OpColumn and OpLookup
	Table   int         // of OpRows
	Func    string      // of OpFunc, and of OpFold: sum, mean, first ...
	Param   int         // of OpParam
	Formula *Definition // of OpCall
}

// Definition is a formula that others call.
type Definition struct {
	FormulaNote
	Params []string
	Needs  []*Expr
	Body   *Expr
}

// Formulas returns what lays open the formula of a place, or gives nil if it has none or there is a mistake in it. For an
// entry of a worked column, OpOwn means the entry of its row. A definition that many formulas call is expanded once,
// and shared by them. It is for one goroutine.
func (e *explainer) Formulas() func(Place) *Expr {
	l := &laying{m: e}
	return func(p Place) *Expr {
		e.mu.RLock()
		defer e.mu.RUnlock()
		return l.slot(int32(p))
	}
}

// Search is what an adjusted cell is searched with.
type Search struct {
	From, To    *Expr   // the range
	Left, Right *Expr   // what is to be equal
	Reach       float64 // how far apart the two are at the worse end of the range, or where they have no result at either, within it, SI; NaN if that is not known
}

// Search returns how an adjusted cell is searched for; ok is false if the place is no such cell or there is a mistake in it.
func (e *explainer) Search(p Place) (s Search, ok bool) {
	sl := e.slots[p]
	if sl.kind != adjusted || e.isBroken(int32(p)) {
		return Search{}, false
	}
	f := e.cells[sl.owner].adjust
	l := &laying{m: e}
	r := e.searched(e.cells[sl.owner])
	s = Search{From: l.slot(f.lo), To: l.slot(f.hi), Left: l.slot(f.left), Right: l.slot(f.right), Reach: math.NaN()}
	if r.searched {
		for _, sides := range [][2]float64{r.atLo, r.atHi} {
			if apart := math.Abs(sides[0] - sides[1]); !(apart <= s.Reach) && !math.IsNaN(apart) && !math.IsInf(apart, 0) {
				s.Reach = apart
			}
		}
		if math.IsNaN(s.Reach) {
			s.Reach = r.found.Farthest
		}
	}
	return s, s.From != nil && s.To != nil && s.Left != nil && s.Right != nil
}

// laying lays formulas open.
type laying struct {
	m    *explainer
	defs map[int32]*Definition
}

// slot lays the formula of a slot open.
func (l *laying) slot(s int32) *Expr {
	if root := l.m.slots[s].root; root != none && !l.m.isBroken(s) {
		return l.expr(root)
	}
	return nil
}

// expr lays node i open.
func (l *laying) expr(i int32) *Expr {
	m := l.m
	n := m.nodes[i]
	t := m.typeAt(i)
	e := &Expr{Op: n.op, IsText: t.kind == writing, IsTruth: t.kind == truth, List: t.list, Dim: t.dim}
	switch n.op {
	case OpConst:
		if n.c > 0 {
			e.Unit = m.written[n.c-1]
		}
		e.Number = e.Unit.Value(n.val)
		return e
	case OpTruth:
		e.Number = n.val
		return e
	case OpText:
		e.Text = m.texts.At(n.a)
		return e
	case OpSlot:
		if sl := m.slots[n.a]; sl.hidden && sl.root != none { // worked out once for many
			return l.expr(sl.root)
		}
		e.Place = Place(n.a)
		return e
	case OpOwn, OpEntry, OpColumn:
		e.Column = int(n.a)
		if m.columns[n.a].table.list {
			return l.list(e, m.columns[n.a])
		}
		return e
	case OpParam:
		e.Param = int(n.a)
		return e
	case OpRows:
		e.Table = int(n.a)
		return e
	case OpLookup:
		e.Column = int(n.b)
	case OpFold:
		e.Func = foldNames[foldKind(&n)]
	case OpFunc:
		e.Func = functionOf(machine.Func(n.c)).name
	case OpCall:
		e.Formula = l.definition(n.a)
	}
	for _, o := range m.operands(i) {
		e.Args = append(e.Args, l.expr(o))
	}
	return e
}

// foldNames are the names of what brings a list together.
var foldNames = func() map[machine.FoldKind]string {
	names := map[machine.FoldKind]string{}
	for _, f := range functions {
		if f.isFold && names[f.fold] == "" {
			names[f.fold] = f.name
		}
	}
	return names
}()

// list lays a list of values open: an OpColumn with Args.
func (l *laying) list(e *Expr, c *column) *Expr {
	e.Column = -1
	for row := range c.table.rowName {
		e.Args = append(e.Args, l.expr(l.m.slots[c.base+int32(row)].root))
	}
	return e
}

// definition lays a formula's definition open, once.
func (l *laying) definition(number int32) *Definition {
	if d := l.defs[number]; d != nil {
		return d
	}
	f := l.m.formulas[number]
	d := &Definition{FormulaNote: l.m.formulaNote(f)}
	for _, p := range f.params {
		d.Params = append(d.Params, p.name.Text)
	}
	for _, need := range f.needs {
		d.Needs = append(d.Needs, l.expr(need.root))
	}
	d.Body = l.expr(f.body)
	if l.defs == nil {
		l.defs = map[int32]*Definition{}
	}
	l.defs[number] = d
	return d
}
