package bind

import (
	"fmt"
	"math"
	"strconv"

	"gusset/engine/formula"
	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

// scope is the surroundings of a formula that is being resolved: what its names can mean.
type scope struct {
	*resolver
	mod    *program.Module
	params []program.Param // in the body of a formula
	cell   *program.Cell   // whose formula it is, if it is a cell's
	own    *program.Table  // in a row or a worked column of a table
	folds  []*program.Table
	diag   int // number of the first Diag about this formula; -1: none

	quotable bool // a name here could be a text that lacks its quotes
	leading  bool // a name here is followed by a dot or a bracket
}

// resolve turns a piece of a formula into nodes.
func (sc *scope) resolve(n formula.Node) int32 {
	at := n.Span()
	switch n := n.(type) {
	case *formula.Number:
		return sc.Add(program.Node{Op: program.OpConst, From: at.Start, To: at.End}.WithNumber(n.Value))
	case *formula.Quantity:
		return sc.resolveQuantity(n.Number, n.Unit, at)
	case *formula.Text:
		return sc.Add(program.Node{Op: program.OpText, A: sc.Texts.Add(n.Value), From: at.Start, To: at.End})
	case *formula.Name:
		return sc.resolveName(n.Text, at)
	case *formula.Column, *formula.Member, *formula.Index:
		return sc.resolvePath(n)
	case *formula.Call:
		return sc.resolveCall(n)
	case *formula.Unary:
		return sc.resolveUnary(n)
	case *formula.Binary:
		return sc.resolveBinary(n)
	case *formula.Chain:
		return sc.resolveChain(n)
	case *formula.Choice:
		a, b, c := sc.resolve(n.If), sc.resolve(n.Then), sc.resolve(n.Else)
		return sc.Add(program.Node{Op: program.OpChoose, A: a, B: b, C: c, From: at.Start, To: at.End})
	case *formula.List:
		return sc.resolveList(n)
	case *formula.Brackets:
		return sc.resolve(n.X)
	case *formula.Bad:
		for _, part := range n.Parts { // for what else is wrong in it
			sc.resolve(part)
		}
		return sc.addBroken(at)
	}
	panic(fmt.Sprintf("engine: no meaning for %T", n))
}

func (sc *scope) resolveUnary(n *formula.Unary) int32 {
	at := n.Span()
	if q, ok := formula.Unbracket(n.X).(*formula.Quantity); ok && n.Op == formula.Negate {
		number := q.Number // the sign is part of the number: -5 [degC] is a cold day
		number.Text, number.Span.Start = "-"+number.Text, at.Start
		return sc.resolveQuantity(number, q.Unit, at)
	}
	a := sc.resolve(n.X)
	switch n.Op {
	case formula.Negate:
		if c := sc.Nodes[a]; c.Op == program.OpConst && c.Type == 0 { // a plain number's sign is part of it
			return sc.Add(program.Node{Op: program.OpConst, From: at.Start, To: at.End}.WithNumber(-c.Number()))
		}
		return sc.Add(program.Node{Op: program.OpNeg, A: a, From: at.Start, To: at.End})
	case formula.Not:
		return sc.Add(program.Node{Op: program.OpNot, A: a, From: at.Start, To: at.End})
	}
	return a // after a plus
}

func (sc *scope) resolveBinary(n *formula.Binary) int32 {
	if i, isName := sc.dashedName(n); isName {
		return i
	}
	a, b := sc.resolveSide(n, n.X), sc.resolveSide(n, n.Y)
	return sc.addBinary(n.Op, a, b, n.Span())
}

// addBinary adds the node of an operator between two values.
func (rs *resolver) addBinary(op formula.Op, a, b int32, at text.Span) int32 {
	if op == formula.Greater || op == formula.GreaterEqual {
		a, b = b, a
	}
	return rs.Add(program.Node{Op: program.BinaryOps[op], A: a, B: b, From: at.Start, To: at.End})
}

// resolveChain makes of comparisons with values in common, a < b < c, some that all have to hold.
func (sc *scope) resolveChain(n *formula.Chain) int32 {
	root, y := program.None, program.None
	for i, op := range n.Ops {
		from, to := n.Values[i].Span(), n.Values[i+1].Span()
		x := y // what is wrong with it is told once
		if i == 0 || sc.Nodes[y].Op != program.OpBroken {
			x = sc.resolve(n.Values[i])
		}
		y = sc.resolve(n.Values[i+1])
		holds := sc.addBinary(op, x, y, text.Span{Start: from.Start, End: to.End})
		if root != program.None {
			holds = sc.Add(program.Node{Op: program.OpAnd, A: root, B: holds, From: n.Span().Start, To: to.End})
		}
		root = holds
	}
	return root
}

// resolveSide resolves an operand. A name that is compared with something could be a text that lacks its quotes.
func (sc *scope) resolveSide(n *formula.Binary, side formula.Node) int32 {
	sc.quotable = isName(side) && (n.Op == formula.Equal || n.Op == formula.NotEqual)
	i := sc.resolve(side)
	sc.quotable = false
	return i
}

// isName reports whether a piece is a name by itself.
func isName(n formula.Node) bool {
	_, ok := formula.Unbracket(n).(*formula.Name)
	return ok
}

// resolveList makes a list of values, [a, b, c], into a column of a table without a name.
func (sc *scope) resolveList(n *formula.List) int32 {
	var roots []int32
	for _, e := range n.Items {
		root := sc.resolve(e)
		if sc.dependsOnPlace(root) {
			return sc.wrong(sc.Span(root), text.Diag{
				Code: "list-row", Msg: "a list can only hold values that are the same in every row",
				Hint: "make it a column of the table",
			})
		}
		roots = append(roots, root)
	}
	if sc.diag >= 0 {
		return sc.addBroken(n.Span())
	}
	t := &program.Table{
		Mod: sc.mod, Name: text.Word{Text: "list"}, Page: program.None, Lost: program.None,
		Number: int32(len(sc.Tables)), ByName: map[int32]int32{}, ByColumn: map[string]*program.Column{}, List: true,
	}
	sc.Tables = append(sc.Tables, t)
	for i := range roots {
		t.RowName = append(t.RowName, sc.Texts.Add(strconv.Itoa(i+1)))
		t.RowSpan = append(t.RowSpan, text.Span{Start: sc.Nodes[roots[i]].From, End: sc.Nodes[roots[i]].To})
	}
	c, _ := sc.newColumn(t, text.Word{Text: "value", Span: t.RowSpan[0]}, "", text.UnitTag{})
	c.Show = nil
	sc.columnSlots(c, true, func(row int, s int32) {
		sc.Slots[s].Kind, sc.Slots[s].Root = program.Worked, roots[row]
	})
	return sc.Add(program.Node{Op: program.OpColumn, A: c.Number, From: n.Span().Start, To: n.Span().End})
}

// resolveName binds a name without dots or brackets.
func (sc *scope) resolveName(name string, at text.Span) int32 {
	if nd, ok := sc.local(name); ok {
		nd.From, nd.To = at.Start, at.End
		return sc.Add(nd)
	}
	switch name {
	case "pi":
		return sc.Add(program.Node{Op: program.OpConst, From: at.Start, To: at.End}.WithNumber(math.Pi))
	case "yes", "no", "true", "false":
		yes := program.BooleanValue(name == "yes" || name == "true")
		return sc.Add(program.Node{Op: program.OpBoolean, From: at.Start, To: at.End}.WithNumber(yes))
	}
	mod, r := sc.lookUp(sc.mod, name)
	if place, ok := sc.PlaceOf(mod, r); ok {
		if i, ok := sc.placeNode(place, at); ok {
			return i
		}
		return sc.wrong(at, sc.NotOneValue(place, namePath(name, at)).Diag)
	}
	return sc.unknownName(name, at)
}

// local returns the node of a name that is an argument's, or that of a column of the row.
func (sc *scope) local(name string) (nd program.Node, ok bool) {
	for i := range sc.params {
		if sc.params[i].Name.Text == name {
			return program.Node{Op: program.OpParam, A: int32(i)}, true
		}
	}
	if sc.own == nil {
		return nd, false
	}
	switch c := sc.own.Column(name); {
	case c == nil:
		return nd, false
	case c.Refused != program.None:
		return program.Node{Op: program.OpSlot, A: c.Refused}, true
	default:
		return program.Node{Op: program.OpOwn, A: c.Number}, true
	}
}

// resolveQuantity reads a number and its unit.
func (sc *scope) resolveQuantity(number, unit text.Word, at text.Span) int32 {
	u, err := sc.mod.Units.Parse(unit.Text)
	if err != nil {
		return sc.brokenBy(at, sc.reportUnits(sc.mod, unit, err))
	}
	if u.Mixed() {
		return sc.brokenBy(at, sc.Report(sc.mod, text.Diag{
			Code: "unit-mixed", Span: unit.Span, Msg: fmt.Sprintf("[%s] is a way to show a value, not to write one number", u),
			Hint: "give the number one unit, such as 50 [" + sc.UsualUnit(u.Dim()) + "]",
		}))
	}
	num, err := sc.mod.Units.ParseNumber(number.Text, u)
	if err != nil {
		return sc.brokenBy(at, sc.reportUnits(sc.mod, number, err))
	}
	return sc.addQuantity(num.SI, u, at)
}

// addQuantity adds the node of a number that is written in a unit.
func (rs *resolver) addQuantity(si float64, u units.Unit, at text.Span) int32 {
	return rs.Add(program.Node{
		Op: program.OpConst, Type: rs.TypeNumber(program.TypeOf(u)), C: rs.UnitNumber(u), From: at.Start, To: at.End,
	}.WithNumber(si))
}

// wrong reports a mistake in a piece of a formula and returns the node for that piece.
func (sc *scope) wrong(at text.Span, d text.Diag) int32 {
	d.Span = at
	return sc.brokenBy(at, sc.Report(sc.mod, d))
}

// brokenBy returns the node for a piece of a formula that a Diag tells of.
func (sc *scope) brokenBy(at text.Span, diag int) int32 {
	if sc.diag < 0 {
		sc.diag = diag
	}
	return sc.addBroken(at)
}

// addBroken adds a node for a piece of a formula in which a mistake has been reported.
func (rs *resolver) addBroken(at text.Span) int32 {
	return rs.Add(program.Node{Op: program.OpBroken, From: at.Start, To: at.End})
}
