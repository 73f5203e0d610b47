package engine

import (
	"fmt"
	"strconv"

	"gusset/engine/formula"
	"gusset/sheets/text"
)

// scope is where a formula stands: what its names can mean.
type scope struct {
	*resolver
	mod    *module
	params []param // in the body of a formula
	cell   *cell   // whose formula it is, if it is a cell's
	own    *table  // in a row or a worked column of a table
	folds  []*table
	said   int // number of the first Diag about this formula; -1: none

	quotable bool // a name here could be a text that lacks its quotes
	leading  bool // a name here stands in front of a dot or a bracket
}

// resolveAll reads every formula of the modules that are declared and binds its names. Formulas of the library are
// resolved when they are called, which may declare more; so the lists may grow while it runs.
func (rs *resolver) resolveAll() {
	for i := 0; i < len(rs.cells); i++ {
		rs.resolveCell(rs.cells[i])
	}
	for i := 0; i < len(rs.tables); i++ {
		rs.resolveTable(rs.tables[i])
	}
	for i := 0; i < len(rs.formulas); i++ {
		if f := rs.formulas[i]; !f.mod.library || f.mod.waiting == nil {
			rs.resolveFormula(f)
			rs.resolveExamples(f)
		}
	}
	for done := 0; done < len(rs.cells)+len(rs.tables); { // what the library's formulas have asked for
		done = len(rs.cells) + len(rs.tables)
		for _, c := range rs.cells {
			rs.resolveCell(c)
		}
		for _, t := range rs.tables {
			rs.resolveTable(t)
		}
	}
	for _, mod := range rs.sheets {
		for _, ch := range mod.charts {
			rs.resolveChart(mod, ch)
		}
	}
}

func (rs *resolver) resolveCell(c *cell) {
	if rs.slots[c.slot].root != none || c.kind == givenCell || c.unread() {
		return
	}
	if c.kind == adjustedCell {
		if rs.slots[c.adjust.goal].root == none {
			rs.resolveAdjust(c)
		}
		return
	}
	w := formulaOf(c.node)
	root, said := (&scope{resolver: rs, mod: c.mod, cell: c}).resolveText(w)
	rs.slots[c.slot].root = root
	if said >= 0 {
		rs.breakSlot(c.slot, said)
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
func (rs *resolver) resolveAdjust(c *cell) {
	n := c.node.(*text.Adjust)
	f := c.adjust
	sc := func() *scope { return &scope{resolver: rs, mod: c.mod} }
	said := -1
	keep := func(slot, root int32, wrong int) {
		rs.slots[slot].root = root
		if wrong >= 0 {
			said = wrong
			rs.breakSlot(slot, wrong)
		}
	}
	bound := func(slot int32, w text.Word) {
		root, wrong := sc().resolveBound(w, c.show)
		keep(slot, root, wrong)
	}
	bound(f.lo, n.From)
	bound(f.hi, n.To)
	root, wrong := sc().resolveText(n.Left)
	keep(f.left, root, wrong)
	root, wrong = sc().resolveText(n.Right)
	keep(f.right, root, wrong)
	left := rs.add(node{op: OpSlot, a: f.left, from: n.Left.Span.Start, to: n.Left.Span.End})
	right := rs.add(node{op: OpSlot, a: f.right, from: n.Right.Span.Start, to: n.Right.Span.End})
	rs.slots[f.goal].root = rs.add(node{op: OpSub, a: left, b: right, from: n.Left.Span.Start, to: n.Right.Span.End})
	if said >= 0 {
		rs.breakSlot(c.slot, said)
	}
}

// resolveBound reads an end of an adjusted cell's range: a workshop number in the cell's unit, or a formula.
func (sc *scope) resolveBound(w text.Word, sh *show) (root int32, said int) {
	num, err := sc.mod.units.ParseNumber(w.Text, sh.unit)
	if err != nil {
		return sc.resolveText(w)
	}
	n := node{op: OpConst, val: num.SI, c: sc.unitNumber(num.Unit), from: w.Span.Start, to: w.Span.End}
	n.typ = sc.typeNumber(typeOf(num.Unit))
	if num.HasUnit && num.Unit.Dim() != sh.unit.Dim() {
		return sc.add(n), sc.unfitting(sc.mod, w.Span, num, sh, true)
	}
	return sc.add(n), -1
}

func (rs *resolver) resolveTable(t *table) {
	if t.list || t.headless {
		return
	}
	for i, c := range t.cols {
		if c.worked != nil {
			if c.root != none {
				continue
			}
			root, said := (&scope{resolver: rs, mod: t.mod, own: t}).resolveText(c.worked.Formula)
			c.root = root
			for row := range t.rowName {
				s := c.base + int32(row)
				rs.slots[s].root = root
				if said >= 0 {
					rs.breakSlot(s, said)
				}
			}
			continue
		}
		for row := range t.rowName {
			if i > 0 && !t.ranged {
				rs.resolveEntry(t, c, i, row)
			}
		}
	}
}

func (rs *resolver) resolveEntry(t *table, c *column, i, row int) {
	s := c.base + int32(row)
	values := t.node.Rows[row].Values
	if i-1 >= len(values) || values[i-1].Kind != text.FormulaValue || rs.slots[s].root != none {
		return
	}
	root, said := (&scope{resolver: rs, mod: t.mod, own: t}).resolveText(values[i-1].Word)
	rs.slots[s].root = root
	if said >= 0 {
		rs.breakSlot(s, said)
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
		if said := sc.report(sc.mod, d); i == 0 {
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
	n, ok := sc.cell.node.(*text.Cell)
	if !ok {
		return text.Diag{}, false
	}
	if _, err := sc.mod.units.ParseNumber(w.Text, sc.cell.show.unit); err != nil {
		return text.Diag{}, false
	}
	return text.Diag{Code: "given-mark", Msg: "a given value has a colon, not an =", Hint: givenHint(n, w.Text)}, true
}

// wrong reports a mistake in a piece of a formula and returns the node for that piece.
func (sc *scope) wrong(at text.Span, d text.Diag) int32 {
	d.Span = at
	return sc.brokenBy(at, sc.report(sc.mod, d))
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
	return rs.add(node{op: OpBroken, from: at.Start, to: at.End})
}

// typed returns a piece of a formula as it is in the sheet.
func (sc *scope) typed(at text.Span) string { return sc.mod.src.Text()[at.Start:at.End] }

// resolve turns a piece of a formula into nodes.
func (sc *scope) resolve(n formula.Node) int32 {
	at := n.Span()
	switch n := n.(type) {
	case *formula.Number:
		return sc.add(node{op: OpConst, val: n.Value, from: at.Start, to: at.End})
	case *formula.Quantity:
		return sc.resolveQuantity(n.Number, n.Unit, at)
	case *formula.Text:
		return sc.add(node{op: OpText, a: sc.texts.Add(n.Value), from: at.Start, to: at.End})
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
		return sc.add(node{op: OpChoose, a: a, b: b, c: c, from: at.Start, to: at.End})
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
		if c := sc.nodes[a]; c.op == OpConst && c.typ == 0 { // a plain number's sign is part of it
			return sc.add(node{op: OpConst, val: -c.val, from: at.Start, to: at.End})
		}
		return sc.add(node{op: OpNeg, a: a, from: at.Start, to: at.End})
	case formula.Not:
		return sc.add(node{op: OpNot, a: a, from: at.Start, to: at.End})
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
	return rs.add(node{op: binaryOps[op], a: a, b: b, from: at.Start, to: at.End})
}

// resolveChain makes of comparisons with values in common, a < b < c, some that all have to hold.
func (sc *scope) resolveChain(n *formula.Chain) int32 {
	root, y := none, none
	for i, op := range n.Ops {
		from, to := n.Values[i].Span(), n.Values[i+1].Span()
		x := y // what is wrong with it is told once
		if i == 0 || sc.nodes[y].op != OpBroken {
			x = sc.resolve(n.Values[i])
		}
		y = sc.resolve(n.Values[i+1])
		holds := sc.addBinary(op, x, y, text.Span{Start: from.Start, End: to.End})
		if root != none {
			holds = sc.add(node{op: OpAnd, a: root, b: holds, from: n.Span().Start, to: to.End})
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
			return sc.wrong(sc.span(root), text.Diag{Code: "list-row", Msg: "a list can only hold values that are the same in every row", Hint: "make it a column of the table"})
		}
		roots = append(roots, root)
	}
	if sc.said >= 0 {
		return sc.addBroken(n.Span())
	}
	t := &table{mod: sc.mod, name: text.Word{Text: "list"}, page: none, lost: none, number: int32(len(sc.tables)), byName: map[int32]int32{}, list: true}
	sc.tables = append(sc.tables, t)
	for i := range roots {
		t.rowName = append(t.rowName, sc.texts.Add(strconv.Itoa(i+1)))
		t.rowSpan = append(t.rowSpan, text.Span{Start: sc.nodes[roots[i]].from, End: sc.nodes[roots[i]].to})
	}
	c := sc.newColumn(t, text.Word{Text: "value", Span: t.rowSpan[0]}, "")
	sc.columnSlots(c, func(row int, s int32) {
		sc.slots[s].kind, sc.slots[s].root = worked, roots[row]
	})
	return sc.add(node{op: OpColumn, a: c.number, from: n.Span().Start, to: n.Span().End})
}

// resolveName binds a name that stands by itself.
func (sc *scope) resolveName(name string, at text.Span) int32 {
	nd := node{from: at.Start, to: at.End}
	for i := range sc.params {
		if sc.params[i].name.Text == name {
			nd.op, nd.a = OpParam, int32(i)
			return sc.add(nd)
		}
	}
	if sc.own != nil {
		if c := sc.own.column(name); c != nil {
			nd.op, nd.a = OpOwn, c.number
			if c.refused != none {
				nd.op, nd.a = OpSlot, c.refused
			}
			return sc.add(nd)
		}
	}
	switch name {
	case "pi":
		nd.op, nd.val = OpConst, 3.141592653589793
		return sc.add(nd)
	case "yes", "no", "true", "false":
		nd.op, nd.val = OpTruth, truthValue(name == "yes" || name == "true")
		return sc.add(nd)
	}
	switch _, r := sc.lookUp(sc.mod, name); r.kind {
	case cellRef:
		nd.op, nd.a = OpSlot, sc.cells[r.num].slot
		return sc.add(nd)
	case tableRef:
		nd.op, nd.a = OpRows, r.num
		if t := sc.tables[r.num]; t.headless {
			nd.op, nd.a = OpSlot, t.lost
		}
		return sc.add(nd)
	case moduleRef:
		return sc.wrong(at, text.Diag{Code: "sheet-alone", Msg: name + " is a whole sheet", Hint: fmt.Sprintf("name one of its cells: %s.NAME", name)})
	}
	return sc.unknownName(name, at)
}

// resolveQuantity reads a number and its unit.
func (sc *scope) resolveQuantity(number, unit text.Word, at text.Span) int32 {
	u, err := sc.mod.units.Parse(unit.Text)
	if err != nil {
		return sc.brokenBy(at, sc.reportUnits(sc.mod, unit.Span, unit.Text, err))
	}
	if u.Mixed() {
		return sc.brokenBy(at, sc.report(sc.mod, text.Diag{
			Code: "unit-mixed", Span: unit.Span, Msg: fmt.Sprintf("[%s] is a way to show a value, not to write one number", u),
			Hint: "give the number one unit, such as 50 [in]",
		}))
	}
	num, err := sc.mod.units.ParseNumber(number.Text, u)
	if err != nil {
		return sc.brokenBy(at, sc.reportUnits(sc.mod, number.Span, number.Text, err))
	}
	return sc.add(node{op: OpConst, val: num.SI, typ: sc.typeNumber(typeOf(u)), c: sc.unitNumber(u), from: at.Start, to: at.End})
}
