package engine

import (
	"fmt"
	"strconv"

	"gusset/engine/formula"
	"gusset/sheets/text"
)

// scope is where a formula stands: what its names can mean.
type scope struct {
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
func (m *Program) resolveAll() {
	for i := 0; i < len(m.cells); i++ {
		m.resolveCell(m.cells[i])
	}
	for i := 0; i < len(m.tables); i++ {
		m.resolveTable(m.tables[i])
	}
	for i := 0; i < len(m.formulas); i++ {
		if f := m.formulas[i]; !f.mod.library || f.mod.waiting == nil {
			m.resolveFormula(f)
			m.resolveExamples(f)
		}
	}
	for done := 0; done < len(m.cells)+len(m.tables); { // what the library's formulas have asked for
		done = len(m.cells) + len(m.tables)
		for _, c := range m.cells {
			m.resolveCell(c)
		}
		for _, t := range m.tables {
			m.resolveTable(t)
		}
	}
	for _, mod := range m.sheets {
		for _, ch := range mod.charts {
			m.resolveChart(mod, ch)
		}
	}
}

func (m *Program) resolveCell(c *cell) {
	if m.slots[c.slot].root != none || c.kind == givenCell || c.unread() {
		return
	}
	if c.kind == adjustedCell {
		if m.slots[c.adjust.goal].root == none {
			m.resolveAdjust(c)
		}
		return
	}
	w := formulaOf(c.node)
	root, said := m.resolveText(&scope{mod: c.mod, cell: c}, w)
	m.slots[c.slot].root = root
	if said >= 0 {
		m.breakSlot(c.slot, said)
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
func (m *Program) resolveAdjust(c *cell) {
	n := c.node.(*text.Adjust)
	f := c.adjust
	sc := func() *scope { return &scope{mod: c.mod} }
	said := -1
	keep := func(slot, root int32, wrong int) {
		m.slots[slot].root = root
		if wrong >= 0 {
			said = wrong
			m.breakSlot(slot, wrong)
		}
	}
	bound := func(slot int32, w text.Word) {
		root, wrong := m.resolveBound(sc(), w, c.show)
		keep(slot, root, wrong)
	}
	bound(f.lo, n.From)
	bound(f.hi, n.To)
	root, wrong := m.resolveText(sc(), n.Left)
	keep(f.left, root, wrong)
	root, wrong = m.resolveText(sc(), n.Right)
	keep(f.right, root, wrong)
	left := m.add(node{op: OpSlot, a: f.left, from: n.Left.Span.Start, to: n.Left.Span.End})
	right := m.add(node{op: OpSlot, a: f.right, from: n.Right.Span.Start, to: n.Right.Span.End})
	m.slots[f.goal].root = m.add(node{op: OpSub, a: left, b: right, from: n.Left.Span.Start, to: n.Right.Span.End})
	if said >= 0 {
		m.breakSlot(c.slot, said)
	}
}

// resolveBound reads an end of an adjusted cell's range: a workshop number in the cell's unit, or a formula.
func (m *Program) resolveBound(sc *scope, w text.Word, sh *show) (root int32, said int) {
	num, err := sc.mod.units.ParseNumber(w.Text, sh.unit)
	if err != nil {
		return m.resolveText(sc, w)
	}
	n := node{op: OpConst, val: num.SI, c: m.unitNumber(num.Unit), from: w.Span.Start, to: w.Span.End}
	n.typ = m.typeNumber(typeOf(num.Unit))
	if num.HasUnit && num.Unit.Dim() != sh.unit.Dim() {
		return m.add(n), m.unfitting(sc.mod, w.Span, num, sh, true)
	}
	return m.add(n), -1
}

func (m *Program) resolveTable(t *table) {
	if t.list || t.headless {
		return
	}
	for i, c := range t.cols {
		if c.worked != nil {
			if c.root != none {
				continue
			}
			root, said := m.resolveText(&scope{mod: t.mod, own: t}, c.worked.Formula)
			c.root = root
			for row := range t.rowName {
				s := c.base + int32(row)
				m.slots[s].root = root
				if said >= 0 {
					m.breakSlot(s, said)
				}
			}
			continue
		}
		for row := range t.rowName {
			if i > 0 && !t.ranged {
				m.resolveEntry(t, c, i, row)
			}
		}
	}
}

func (m *Program) resolveEntry(t *table, c *column, i, row int) {
	s := c.base + int32(row)
	values := t.node.Rows[row].Values
	if i-1 >= len(values) || values[i-1].Kind != text.FormulaValue || m.slots[s].root != none {
		return
	}
	root, said := m.resolveText(&scope{mod: t.mod, own: t}, values[i-1].Word)
	m.slots[s].root = root
	if said >= 0 {
		m.breakSlot(s, said)
	}
}

// resolveText reads a formula and binds its names. Said is the number of the first Diag about it, or -1. Of a formula that
// cannot be read as it is typed, the names are looked up all the same, so that all that is wrong with them is told at once.
func (m *Program) resolveText(sc *scope, w text.Word) (root int32, said int) {
	sc.said = -1
	if m.formulaSize += len(w.Text); m.formulaSize > maxFormulas {
		root = m.wrong(sc, w.Span, text.Diag{
			Code: "formulas-large", Msg: fmt.Sprintf("the formulas of a project may have %d MiB together", maxFormulas>>20),
			Hint: "a worked column has one formula for all of its rows",
		})
		return root, sc.said
	}
	tree, mistakes := formula.Parse(w.Text, w.Span.Start)
	if len(mistakes) > 0 {
		if d, meant := m.meantGiven(sc, w); meant {
			root = m.wrong(sc, w.Span, d)
			return root, sc.said
		}
	}
	for i, d := range mistakes {
		if said := m.report(sc.mod, d); i == 0 {
			sc.said = said
		}
	}
	root = m.resolve(sc, tree)
	if len(mistakes) > 0 { // what the rest measures would be a guess
		root = m.addBroken(w.Span)
	}
	return root, sc.said
}

// meantGiven tells, of a formula that cannot be read, that it is a given value: 4 ft 2 in.
func (m *Program) meantGiven(sc *scope, w text.Word) (text.Diag, bool) {
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
func (m *Program) wrong(sc *scope, at text.Span, d text.Diag) int32 {
	d.Span = at
	return m.brokenBy(sc, at, m.report(sc.mod, d))
}

// brokenBy returns the node for a piece of a formula that a Diag tells of.
func (m *Program) brokenBy(sc *scope, at text.Span, said int) int32 {
	if sc.said < 0 {
		sc.said = said
	}
	return m.addBroken(at)
}

// addBroken adds a node for a piece of a formula in which a mistake has been reported.
func (m *Program) addBroken(at text.Span) int32 {
	return m.add(node{op: OpBroken, from: at.Start, to: at.End})
}

// typed returns a piece of a formula as it is in the sheet.
func (sc *scope) typed(at text.Span) string { return sc.mod.src.Text()[at.Start:at.End] }

// resolve turns a piece of a formula into nodes.
func (m *Program) resolve(sc *scope, n formula.Node) int32 {
	at := n.Span()
	switch n := n.(type) {
	case *formula.Number:
		return m.add(node{op: OpConst, val: n.Value, from: at.Start, to: at.End})
	case *formula.Quantity:
		return m.resolveQuantity(sc, n.Number, n.Unit, at)
	case *formula.Text:
		return m.add(node{op: OpText, a: m.texts.Add(n.Value), from: at.Start, to: at.End})
	case *formula.Name:
		return m.resolveName(sc, n.Text, at)
	case *formula.Column, *formula.Member, *formula.Index:
		return m.resolvePath(sc, n)
	case *formula.Call:
		return m.resolveCall(sc, n)
	case *formula.Unary:
		return m.resolveUnary(sc, n)
	case *formula.Binary:
		return m.resolveBinary(sc, n)
	case *formula.Chain:
		return m.resolveChain(sc, n)
	case *formula.Choice:
		a, b, c := m.resolve(sc, n.If), m.resolve(sc, n.Then), m.resolve(sc, n.Else)
		return m.add(node{op: OpChoose, a: a, b: b, c: c, from: at.Start, to: at.End})
	case *formula.List:
		return m.resolveList(sc, n)
	case *formula.Brackets:
		return m.resolve(sc, n.X)
	case *formula.Bad:
		for _, part := range n.Parts { // for what else is wrong in it
			m.resolve(sc, part)
		}
		return m.addBroken(at)
	}
	panic(fmt.Sprintf("engine: no meaning for %T", n))
}

func (m *Program) resolveUnary(sc *scope, n *formula.Unary) int32 {
	at := n.Span()
	if q, ok := formula.Unbracket(n.X).(*formula.Quantity); ok && n.Op == formula.Negate {
		number := q.Number // the sign is part of the number: -5 [degC] is a cold day
		number.Text, number.Span.Start = "-"+number.Text, at.Start
		return m.resolveQuantity(sc, number, q.Unit, at)
	}
	a := m.resolve(sc, n.X)
	switch n.Op {
	case formula.Negate:
		if c := m.nodes[a]; c.op == OpConst && c.typ == 0 { // a plain number's sign is part of it
			return m.add(node{op: OpConst, val: -c.val, from: at.Start, to: at.End})
		}
		return m.add(node{op: OpNeg, a: a, from: at.Start, to: at.End})
	case formula.Not:
		return m.add(node{op: OpNot, a: a, from: at.Start, to: at.End})
	}
	return a // after a plus
}

func (m *Program) resolveBinary(sc *scope, n *formula.Binary) int32 {
	if i, isName := m.dashedName(sc, n); isName {
		return i
	}
	a, b := m.resolveSide(sc, n, n.X), m.resolveSide(sc, n, n.Y)
	return m.addBinary(n.Op, a, b, n.Span())
}

// addBinary adds the node of an operator between two values.
func (m *Program) addBinary(op formula.Op, a, b int32, at text.Span) int32 {
	if op == formula.Greater || op == formula.GreaterEqual {
		a, b = b, a
	}
	return m.add(node{op: binaryOps[op], a: a, b: b, from: at.Start, to: at.End})
}

// resolveChain makes of comparisons with values in common, a < b < c, some that all have to hold.
func (m *Program) resolveChain(sc *scope, n *formula.Chain) int32 {
	root, y := none, none
	for i, op := range n.Ops {
		from, to := n.Values[i].Span(), n.Values[i+1].Span()
		x := y // what is wrong with it is told once
		if i == 0 || m.nodes[y].op != OpBroken {
			x = m.resolve(sc, n.Values[i])
		}
		y = m.resolve(sc, n.Values[i+1])
		holds := m.addBinary(op, x, y, text.Span{Start: from.Start, End: to.End})
		if root != none {
			holds = m.add(node{op: OpAnd, a: root, b: holds, from: n.Span().Start, to: to.End})
		}
		root = holds
	}
	return root
}

// resolveSide resolves an operand. A name that is compared with something could be a text that lacks its quotes.
func (m *Program) resolveSide(sc *scope, n *formula.Binary, side formula.Node) int32 {
	sc.quotable = isName(side) && (n.Op == formula.Equal || n.Op == formula.NotEqual)
	i := m.resolve(sc, side)
	sc.quotable = false
	return i
}

// isName reports whether a piece is a name by itself.
func isName(n formula.Node) bool {
	_, ok := formula.Unbracket(n).(*formula.Name)
	return ok
}

// resolveList makes a list of values, [a, b, c], into a column of a table without a name.
func (m *Program) resolveList(sc *scope, n *formula.List) int32 {
	var roots []int32
	for _, e := range n.Items {
		root := m.resolve(sc, e)
		if m.dependsOnPlace(root) {
			return m.wrong(sc, m.span(root), text.Diag{Code: "list-row", Msg: "a list can only hold values that are the same in every row", Hint: "make it a column of the table"})
		}
		roots = append(roots, root)
	}
	if sc.said >= 0 {
		return m.addBroken(n.Span())
	}
	t := &table{mod: sc.mod, name: text.Word{Text: "list"}, page: none, lost: none, number: int32(len(m.tables)), byName: map[int32]int32{}, list: true}
	m.tables = append(m.tables, t)
	for i := range roots {
		t.rowName = append(t.rowName, m.texts.Add(strconv.Itoa(i+1)))
		t.rowSpan = append(t.rowSpan, text.Span{Start: m.nodes[roots[i]].from, End: m.nodes[roots[i]].to})
	}
	c := m.newColumn(t, text.Word{Text: "value", Span: t.rowSpan[0]}, "")
	m.columnSlots(c, func(row int, s int32) {
		m.slots[s].kind, m.slots[s].root = worked, roots[row]
	})
	return m.add(node{op: OpColumn, a: c.number, from: n.Span().Start, to: n.Span().End})
}

// resolveName binds a name that stands by itself.
func (m *Program) resolveName(sc *scope, name string, at text.Span) int32 {
	nd := node{from: at.Start, to: at.End}
	for i := range sc.params {
		if sc.params[i].name.Text == name {
			nd.op, nd.a = OpParam, int32(i)
			return m.add(nd)
		}
	}
	if sc.own != nil {
		if c := sc.own.column(name); c != nil {
			nd.op, nd.a = OpOwn, c.number
			if c.refused != none {
				nd.op, nd.a = OpSlot, c.refused
			}
			return m.add(nd)
		}
	}
	switch name {
	case "pi":
		nd.op, nd.val = OpConst, 3.141592653589793
		return m.add(nd)
	case "yes", "no", "true", "false":
		nd.op, nd.val = OpTruth, truthValue(name == "yes" || name == "true")
		return m.add(nd)
	}
	switch _, r := m.lookUp(sc.mod, name); r.kind {
	case cellRef:
		nd.op, nd.a = OpSlot, m.cells[r.num].slot
		return m.add(nd)
	case tableRef:
		nd.op, nd.a = OpRows, r.num
		if t := m.tables[r.num]; t.headless {
			nd.op, nd.a = OpSlot, t.lost
		}
		return m.add(nd)
	case moduleRef:
		return m.wrong(sc, at, text.Diag{Code: "sheet-alone", Msg: name + " is a whole sheet", Hint: fmt.Sprintf("name one of its cells: %s.NAME", name)})
	}
	return m.unknownName(sc, name, at)
}

// resolveQuantity reads a number and its unit.
func (m *Program) resolveQuantity(sc *scope, number, unit text.Word, at text.Span) int32 {
	u, err := sc.mod.units.Parse(unit.Text)
	if err != nil {
		return m.brokenBy(sc, at, m.reportUnits(sc.mod, unit.Span, unit.Text, err))
	}
	if u.Mixed() {
		return m.brokenBy(sc, at, m.report(sc.mod, text.Diag{
			Code: "unit-mixed", Span: unit.Span, Msg: fmt.Sprintf("[%s] is a way to show a value, not to write one number", u),
			Hint: "give the number one unit, such as 50 [in]",
		}))
	}
	num, err := sc.mod.units.ParseNumber(number.Text, u)
	if err != nil {
		return m.brokenBy(sc, at, m.reportUnits(sc.mod, number.Span, number.Text, err))
	}
	return m.add(node{op: OpConst, val: num.SI, typ: m.typeNumber(typeOf(u)), c: m.unitNumber(u), from: at.Start, to: at.End})
}
