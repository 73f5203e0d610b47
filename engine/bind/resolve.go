package bind

import (
	"fmt"
	"strconv"

	"gusset/engine/check"
	"gusset/engine/formula"
	"gusset/engine/program"
	"gusset/sheets/text"
)

// scope is where a formula stands: what its names can mean.
type scope struct {
	*resolver
	mod    *program.Module
	params []program.Param // in the body of a formula
	cell   *program.Cell   // whose formula it is, if it is a cell's
	own    *program.Table  // in a row or a worked column of a table
	folds  []*program.Table
	said   int // number of the first Diag about this formula; -1: none

	quotable bool // a name here could be a text that lacks its quotes
	leading  bool // a name here stands in front of a dot or a bracket
}

// resolveAll reads every formula of the modules that are declared and binds its names. Formulas of the library are
// resolved when they are called, which may declare more; so the lists may grow while it runs.
func (rs *resolver) resolveAll() {
	for i := 0; i < len(rs.Cells) && rs.ctx.Err() == nil; i++ {
		rs.resolveCell(rs.Cells[i])
	}
	for i := 0; i < len(rs.Tables) && rs.ctx.Err() == nil; i++ {
		rs.resolveTable(rs.Tables[i])
	}
	for i := 0; i < len(rs.Formulas); i++ {
		if f := rs.Formulas[i]; !f.Mod.Library || f.Mod.Waiting == nil {
			rs.resolveFormula(f)
			rs.resolveExamples(f)
		}
	}
	for done := 0; done < len(rs.Cells)+len(rs.Tables); { // what the library's formulas have asked for
		done = len(rs.Cells) + len(rs.Tables)
		for _, c := range rs.Cells {
			rs.resolveCell(c)
		}
		for _, t := range rs.Tables {
			rs.resolveTable(t)
		}
	}
	for _, mod := range rs.Modules {
		for _, ch := range mod.Charts {
			rs.resolveChart(mod, ch)
		}
	}
}

func (rs *resolver) resolveCell(c *program.Cell) {
	if rs.Slots[c.Slot].Root != program.None || c.Kind == program.GivenCell || c.Unread() {
		return
	}
	if c.Kind == program.AdjustedCell {
		if rs.Slots[c.Adjust.Goal].Root == program.None {
			rs.resolveAdjust(c)
		}
		return
	}
	w := formulaOf(c.Node)
	root, said := (&scope{resolver: rs, mod: c.Mod, cell: c}).resolveText(w)
	rs.Slots[c.Slot].Root = root
	if said >= 0 {
		rs.BreakSlot(c.Slot, said)
	}
}

// formulaOf returns the formula of a worked cell or a check.
func formulaOf(n text.Node) text.Word {
	switch n := n.(type) {
	case *text.Cell:
		return n.Formula
	case *text.Check:
		return n.Condition
	}
	return text.Word{}
}

// resolveAdjust reads the bounds and both sides of an adjusted cell.
func (rs *resolver) resolveAdjust(c *program.Cell) {
	n := c.Node.(*text.Adjust)
	f := c.Adjust
	sc := func() *scope { return &scope{resolver: rs, mod: c.Mod} }
	said := -1
	keep := func(slot, root int32, wrong int) {
		rs.Slots[slot].Root = root
		if wrong >= 0 {
			said = wrong
			rs.BreakSlot(slot, wrong)
		}
	}
	bound := func(slot int32, w text.Word) {
		root, wrong := sc().resolveBound(w, c.Show)
		keep(slot, root, wrong)
	}
	bound(f.Lo, n.From)
	bound(f.Hi, n.To)
	root, wrong := sc().resolveText(n.Left)
	keep(f.Left, root, wrong)
	root, wrong = sc().resolveText(n.Right)
	keep(f.Right, root, wrong)
	left := rs.Add(program.Node{Op: program.OpSlot, A: f.Left, From: n.Left.Span.Start, To: n.Left.Span.End})
	right := rs.Add(program.Node{Op: program.OpSlot, A: f.Right, From: n.Right.Span.Start, To: n.Right.Span.End})
	rs.Slots[f.Goal].Root = rs.Add(program.Node{Op: program.OpSub, A: left, B: right, From: n.Left.Span.Start, To: n.Right.Span.End})
	if said >= 0 {
		rs.BreakSlot(c.Slot, said)
	}
}

// resolveBound reads an end of an adjusted cell's range: a workshop number in the cell's unit, or a formula.
func (sc *scope) resolveBound(w text.Word, sh *program.Show) (root int32, said int) {
	num, err := sc.mod.Units.ParseNumber(w.Text, sh.Unit)
	if err != nil {
		return sc.resolveText(w)
	}
	n := program.Node{Op: program.OpConst, Val: num.SI, C: sc.UnitNumber(num.Unit), From: w.Span.Start, To: w.Span.End}
	n.Typ = sc.TypeNumber(program.TypeOf(num.Unit))
	if num.HasUnit && num.Unit.Dim() != sh.Unit.Dim() {
		return sc.Add(n), sc.unfitting(sc.mod, w.Span, num, sh, true)
	}
	return sc.Add(n), -1
}

func (rs *resolver) resolveTable(t *program.Table) {
	if t.List || t.Headless {
		return
	}
	for i, c := range t.Cols {
		if c.Worked != nil {
			if c.Root != program.None {
				continue
			}
			root, said := (&scope{resolver: rs, mod: t.Mod, own: t}).resolveText(c.Worked.Formula)
			c.Root = root
			for row := range t.RowName {
				s := c.Base + int32(row)
				rs.Slots[s].Root = root
				if said >= 0 {
					rs.BreakSlot(s, said)
				}
			}
			continue
		}
		for row := range t.RowName {
			if i > 0 && !t.Ranged {
				rs.resolveEntry(t, c, i, row)
			}
		}
	}
}

func (rs *resolver) resolveEntry(t *program.Table, c *program.Column, i, row int) {
	s := c.Base + int32(row)
	values := t.Node.Rows[row].Values
	if i-1 >= len(values) || values[i-1].Kind != text.FormulaValue || rs.Slots[s].Root != program.None {
		return
	}
	root, said := (&scope{resolver: rs, mod: t.Mod, own: t}).resolveText(values[i-1].Word)
	rs.Slots[s].Root = root
	if said >= 0 {
		rs.BreakSlot(s, said)
	}
}

// resolveText reads a formula and binds its names. Said is the number of the first Diag about it, or -1. Of a formula that
// cannot be read as it is typed, the names are looked up all the same, so that all that is wrong with them is told at once.
func (sc *scope) resolveText(w text.Word) (root int32, said int) {
	sc.said = -1
	if sc.formulaSize += len(w.Text); sc.formulaSize > maxFormulas {
		root = sc.wrong(w.Span, text.Diag{
			Code: "formulas-large", Msg: fmt.Sprintf("the formulas of a project may have %d MiB together", maxFormulas>>20),
			Hint: "a worked column has one formula for all of its rows",
		})
		return root, sc.said
	}
	tree, mistakes := formula.Parse(w.Text, w.Span.Start)
	if len(mistakes) > 0 {
		if d, meant := sc.meantGiven(w); meant {
			root = sc.wrong(w.Span, d)
			return root, sc.said
		}
	}
	for i, d := range mistakes {
		if said := sc.Report(sc.mod, d); i == 0 {
			sc.said = said
		}
	}
	root = sc.resolve(tree)
	if len(mistakes) > 0 { // what the rest measures would be a guess
		root = sc.addBroken(w.Span)
	}
	return root, sc.said
}

// meantGiven tells, of a formula that cannot be read, that it is a given value: 4 ft 2 in.
func (sc *scope) meantGiven(w text.Word) (text.Diag, bool) {
	if sc.cell == nil || !w.Given() {
		return text.Diag{}, false
	}
	n, ok := sc.cell.Node.(*text.Cell)
	if !ok {
		return text.Diag{}, false
	}
	if _, err := sc.mod.Units.ParseNumber(w.Text, sc.cell.Show.Unit); err != nil {
		return text.Diag{}, false
	}
	return text.Diag{Code: "given-mark", Msg: "a given value has a colon, not an =", Hint: check.GivenHint(n, w.Text)}, true
}

// wrong reports a mistake in a piece of a formula and returns the node for that piece.
func (sc *scope) wrong(at text.Span, d text.Diag) int32 {
	d.Span = at
	return sc.brokenBy(at, sc.Report(sc.mod, d))
}

// brokenBy returns the node for a piece of a formula that a Diag tells of.
func (sc *scope) brokenBy(at text.Span, said int) int32 {
	if sc.said < 0 {
		sc.said = said
	}
	return sc.addBroken(at)
}

// addBroken adds a node for a piece of a formula in which a mistake has been reported.
func (rs *resolver) addBroken(at text.Span) int32 {
	return rs.Add(program.Node{Op: program.OpBroken, From: at.Start, To: at.End})
}

// typed returns a piece of a formula as it is in the sheet.
func (sc *scope) typed(at text.Span) string { return sc.mod.Src.Text()[at.Start:at.End] }

// resolve turns a piece of a formula into nodes.
func (sc *scope) resolve(n formula.Node) int32 {
	at := n.Span()
	switch n := n.(type) {
	case *formula.Number:
		return sc.Add(program.Node{Op: program.OpConst, Val: n.Value, From: at.Start, To: at.End})
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
		if c := sc.Nodes[a]; c.Op == program.OpConst && c.Typ == 0 { // a plain number's sign is part of it
			return sc.Add(program.Node{Op: program.OpConst, Val: -c.Val, From: at.Start, To: at.End})
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
			return sc.wrong(sc.Span(root), text.Diag{Code: "list-row", Msg: "a list can only hold values that are the same in every row", Hint: "make it a column of the table"})
		}
		roots = append(roots, root)
	}
	if sc.said >= 0 {
		return sc.addBroken(n.Span())
	}
	t := &program.Table{Mod: sc.mod, Name: text.Word{Text: "list"}, Page: program.None, Lost: program.None, Number: int32(len(sc.Tables)), ByName: map[int32]int32{}, List: true}
	sc.Tables = append(sc.Tables, t)
	for i := range roots {
		t.RowName = append(t.RowName, sc.Texts.Add(strconv.Itoa(i+1)))
		t.RowSpan = append(t.RowSpan, text.Span{Start: sc.Nodes[roots[i]].From, End: sc.Nodes[roots[i]].To})
	}
	c := sc.newColumn(t, text.Word{Text: "value", Span: t.RowSpan[0]}, "")
	sc.columnSlots(c, func(row int, s int32) {
		sc.Slots[s].Kind, sc.Slots[s].Root = program.Worked, roots[row]
	})
	return sc.Add(program.Node{Op: program.OpColumn, A: c.Number, From: n.Span().Start, To: n.Span().End})
}

// resolveQuantity reads a number and its unit.
func (sc *scope) resolveQuantity(number, unit text.Word, at text.Span) int32 {
	u, err := sc.mod.Units.Parse(unit.Text)
	if err != nil {
		return sc.brokenBy(at, sc.reportUnits(sc.mod, unit.Span, unit.Text, err))
	}
	if u.Mixed() {
		return sc.brokenBy(at, sc.Report(sc.mod, text.Diag{
			Code: "unit-mixed", Span: unit.Span, Msg: fmt.Sprintf("[%s] is a way to show a value, not to write one number", u),
			Hint: "give the number one unit, such as 50 [in]",
		}))
	}
	num, err := sc.mod.Units.ParseNumber(number.Text, u)
	if err != nil {
		return sc.brokenBy(at, sc.reportUnits(sc.mod, number.Span, number.Text, err))
	}
	return sc.Add(program.Node{Op: program.OpConst, Val: num.SI, Typ: sc.TypeNumber(program.TypeOf(u)), C: sc.UnitNumber(u), From: at.Start, To: at.End})
}
