package explain

import (
	"math"

	"gusset/engine/machine"
	"gusset/engine/program"
	"gusset/engine/state"
	"gusset/sheets/text"
	"gusset/units"
)

// Place is one value of a model: that of a cell, or of an entry of a table.
type Place int32

// SlotAt returns the slot that a place is; known is false where a state has none there.
func SlotAt(st *state.State, p Place) (s int32, known bool) {
	return int32(p), p >= 0 && int(p) < len(st.Slots)
}

// Expr is a formula, or a part of one, as the checked tree has it: every name is bound, and everything that it measures
// is known. Numbers are in their own units; nothing has been converted yet.
type Expr struct {
	Op   program.Op
	Args []*Expr // what it is made of

	IsText, IsBoolean bool
	List              bool      // one for each row
	Dim               units.Dim // of a number

	Number  float64     // of OpConst, in Unit; 1 or 0 for OpBoolean
	Unit    units.Unit  // that OpConst is written with
	Text    string      // of OpText
	Place   Place       // of OpSlot, and of OpSpread
	Column  int         // of OpOwn, OpEntry, OpColumn and OpLookup
	Table   int         // of OpRows
	Func    string      // of OpFunc, OpFold and OpPoints: sum, mean, first ...
	Param   int         // of OpParam
	Formula *Definition // of OpCall
}

// IsNumber reports whether it comes to a number, or to one for each row.
func (e *Expr) IsNumber() bool { return e != nil && !e.IsText && !e.IsBoolean }

// Definition is a formula that others call.
type Definition struct {
	FormulaNote
	Params  []string
	Needs   []*Expr
	Trusted []*Expr // the conditions under which it is to be trusted
	Body    *Expr
}

// FormulaFinder returns what expands the formula of a place as a tree, or gives nil if it has none or there is a
// mistake in it. For an entry of a worked column, OpOwn means the entry of its row. A definition that many formulas
// call is expanded once, and shared by them. It is for one goroutine, and locks the State by itself.
func (e *Explainer) FormulaFinder() func(Place) *Expr {
	o := &expander{st: e.State}
	return func(p Place) *Expr {
		e.Mu.RLock()
		defer e.Mu.RUnlock()
		if s, known := SlotAt(e.State, p); known {
			return o.slot(s)
		}
		return nil
	}
}

// Search is what an adjusted cell is searched with.
type Search struct {
	From, To    *Expr // the range
	Left, Right *Expr // what is to be equal
	LeftText    string
	RightText   string     // as they are written
	Unit        units.Unit // in which both are told
	Step        units.Step // likewise
	Lacks       []string   // why it found no value: what it came to at the ends of the range, and what may help
	// FirstDegree reports whether Left - Right is a straight line in the value, or one over another, and nothing else
	// is searched for with it. Then Between has the values that depend on it, and that Left and Right depend on.
	FirstDegree bool
	Between     []Place
	// Reach is how far apart the two are at the worse end of the range or, where they have no result at either, within
	// it; SI, NaN if that is not known.
	Reach float64
	// Near is how far apart they are half a shown step beside the value found, on the side where that is less; Size is
	// the larger of them at the value found. Both SI, NaN where nothing was found.
	Near, Size float64
}

// Search returns how an adjusted cell is searched for; ok is false if the place is no such cell or there is a mistake
// in it.
func (e *Explainer) Search(p Place) (s Search, ok bool) {
	slot, known := SlotAt(e.State, p)
	if !known || e.Slots[slot].Kind != program.Adjusted || e.IsBroken(slot) {
		return Search{}, false
	}
	c := e.Cells[e.Slots[slot].Owner]
	f, o := c.Adjust, &expander{st: e.State}
	s = Search{From: o.slot(f.Lo), To: o.slot(f.Hi), Left: o.slot(f.Left), Right: o.slot(f.Right), Reach: reachOf(e, c)}
	if s.From == nil || s.To == nil || s.Left == nil || s.Right == nil {
		return s, false
	}
	n := c.Node.(*text.Adjust)
	s.LeftText, s.RightText = n.Left.Text, n.Right.Text
	show := sidesShow(e.State, e.Slots[f.Left].Root, e.Slots[f.Right].Root)[0]
	if s.Unit, s.Step = show.Unit, show.Step; s.Unit.Reading() { // they are told as how far they are apart
		s.Unit, s.Step = s.Left.Dim.Unit(), units.Step{}
	}
	if why := e.causes.of(slot).fault; why != nil {
		s.Lacks = append([]string{why.msg}, why.notes...)
		if why.hint != "" {
			s.Lacks = append(s.Lacks, why.hint)
		}
	}
	r := e.Searched(c)
	s.Near, s.Size = r.Near, max(math.Abs(r.Met[0]), math.Abs(r.Met[1]))
	if s.FirstDegree = e.FirstDegree(f.Search); s.FirstDegree {
		for _, slot := range e.Code.Between(f.Search) {
			s.Between = append(s.Between, Place(slot))
		}
	}
	return s, true
}

// reachOf is the Reach of a Search.
func reachOf(e *Explainer, c *program.Cell) float64 {
	r, reach := e.Searched(c), math.NaN()
	if !r.Searched {
		return reach
	}
	for _, sides := range [][2]float64{r.AtLo, r.AtHi} {
		if apart := math.Abs(sides[0] - sides[1]); program.IsNumber(apart) && !(apart <= reach) {
			reach = apart
		}
	}
	if math.IsNaN(reach) {
		return r.Found.Farthest
	}
	return reach
}

// expander expands formulas, as trees.
type expander struct {
	st   *state.State
	defs map[int32]*Definition // by number of the formula
}

// slot expands the formula of a slot.
func (o *expander) slot(s int32) *Expr {
	if root := o.st.Slots[s].Root; root != program.None && !o.st.IsBroken(s) {
		return o.expr(root)
	}
	return nil
}

// expr expands node i.
func (o *expander) expr(i int32) *Expr {
	i = innerNode(o.st, i)
	n, t := o.st.Nodes[i], o.st.TypeAt(i)
	e := &Expr{Op: n.Op, IsText: t.Kind == program.Text, IsBoolean: t.Kind == program.Boolean, List: t.List, Dim: t.Dim}
	switch n.Op {
	case program.OpConst:
		if n.C > 0 {
			e.Unit = o.st.Written[n.C-1]
		}
		e.Number = e.Unit.Value(n.Number())
	case program.OpBoolean:
		e.Number = n.Number()
	case program.OpText:
		e.Text = o.st.Texts.At(n.A)
	case program.OpSlot, program.OpSpread:
		e.Place = Place(n.A)
	case program.OpOwn, program.OpEntry, program.OpColumn:
		e.Column = int(n.A)
		if o.st.Columns[n.A].Table.List {
			return o.list(e, o.st.Columns[n.A])
		}
	case program.OpParam:
		e.Param = int(n.A)
	case program.OpRows:
		e.Table = int(n.A)
	case program.OpLookup:
		e.Column = int(n.B)
	case program.OpFold:
		e.Func = foldNames[program.FoldKind(&n)]
	case program.OpPoints:
		e.Func = program.PointsFunction(program.PointsKind(&n)).Name
	case program.OpFunc:
		e.Func = program.FunctionOf(machine.Func(n.C)).Name
	case program.OpCall:
		e.Formula = o.definition(n.A)
	}
	for _, arg := range o.st.Operands(i) {
		e.Args = append(e.Args, o.expr(arg))
	}
	return e
}

// foldNames are the names of what brings a list together.
var foldNames = func() map[machine.FoldKind]string {
	names := map[machine.FoldKind]string{}
	for _, f := range program.Functions {
		if f.IsFold && names[f.Fold] == "" {
			names[f.Fold] = f.Name
		}
	}
	return names
}()

// list expands a list of values: an OpColumn with Args.
func (o *expander) list(e *Expr, c *program.Column) *Expr {
	e.Column = -1
	for row := range c.Table.RowName {
		e.Args = append(e.Args, o.expr(o.st.Slots[c.Base+int32(row)].Root))
	}
	return e
}

// definition expands a formula's definition, once.
func (o *expander) definition(number int32) *Definition {
	if d := o.defs[number]; d != nil {
		return d
	}
	f := o.st.Formulas[number]
	d := &Definition{FormulaNote: formulaNote(o.st.Program, f)}
	for _, p := range f.Params {
		d.Params = append(d.Params, p.Name.Text)
	}
	for _, need := range f.Needs {
		d.Needs = append(d.Needs, o.expr(need.Root))
	}
	for _, t := range f.Trusts {
		d.Trusted = append(d.Trusted, o.expr(t.Root))
	}
	d.Body = o.expr(f.Body)
	if o.defs == nil {
		o.defs = map[int32]*Definition{}
	}
	o.defs[number] = d
	return d
}
