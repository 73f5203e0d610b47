package engine

import (
	"fmt"
	"strconv"

	"github.com/expr-lang/expr/ast"

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
	read   *formula.Formula
	start  int32 // place of the formula's text in the sheet
	said   int   // number of the first Diag about this formula; -1: none
	text   string

	quotable bool // a name here could be a text that lacks its quotes
	leading  bool // a name here stands in front of a dot or a bracket
}

// resolveAll reads every formula of the modules that are declared and binds its names. Formulas of the library are
// resolved when they are called, which may declare more; so the lists may grow while it runs.
func (m *Model) resolveAll() {
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

func (m *Model) resolveCell(c *cell) {
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
func (m *Model) resolveAdjust(c *cell) {
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
func (m *Model) resolveBound(sc *scope, w text.Word, sh *show) (root int32, said int) {
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

func (m *Model) resolveTable(t *table) {
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

func (m *Model) resolveEntry(t *table, c *column, i, row int) {
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

// resolveText reads a formula and binds its names. Said is the number of the first Diag about it, or -1.
func (m *Model) resolveText(sc *scope, w text.Word) (root int32, said int) {
	sc.said, sc.start, sc.text = -1, w.Span.Start, w.Text
	if m.formulaSize += len(w.Text); m.formulaSize > maxFormulas {
		said := m.report(sc.mod, text.Diag{Code: "formulas-large", Span: w.Span, Msg: fmt.Sprintf("the formulas of a project may have %d MiB together", maxFormulas>>20), Hint: "a worked column has one formula for all of its rows"})
		return m.add(node{op: OpBroken, from: w.Span.Start, to: w.Span.End}), said
	}
	read, slip := formula.Parse(w.Text)
	if slip != nil {
		span := text.Span{Start: sc.start + int32(slip.From), End: sc.start + int32(slip.To)}
		if !w.Given() {
			span = w.Span
		}
		d := text.Diag{Code: slip.Code, Span: span, Msg: slip.Msg, Hint: slip.Hint}
		m.meantGiven(sc, w, &d)
		said := m.report(sc.mod, d)
		return m.add(node{op: OpBroken, from: span.Start, to: span.End}), said
	}
	sc.read = read
	root = m.resolve(sc, read.Root)
	return root, sc.said
}

// meantGiven tells, of a formula that cannot be read, that it is a given value: 4 ft 2 in.
func (m *Model) meantGiven(sc *scope, w text.Word, d *text.Diag) {
	if sc.cell == nil || !w.Given() {
		return
	}
	n, ok := sc.cell.node.(*text.Cell)
	if !ok {
		return
	}
	if _, err := sc.mod.units.ParseNumber(w.Text, sc.cell.show.unit); err == nil {
		*d = text.Diag{Code: "given-mark", Span: w.Span, Msg: "a given value has a colon, not an =", Hint: givenHint(n, w.Text)}
	}
}

// wrong reports a mistake in a formula and returns the node that stands for it.
func (m *Model) wrong(sc *scope, from, to int32, d text.Diag) int32 {
	d.Span = text.Span{Start: from, End: to}
	return m.brokenBy(sc, from, to, m.report(sc.mod, d))
}

// brokenBy returns the node that stands for a mistake in a formula that a Diag tells of.
func (m *Model) brokenBy(sc *scope, from, to int32, said int) int32 {
	if sc.said < 0 {
		sc.said = said
	}
	return m.add(node{op: OpBroken, from: from, to: to})
}

// place returns where a node's own token stands in the sheet.
func (sc *scope) place(n ast.Node) (from, to int32) {
	a, b := sc.read.Place(n)
	return sc.start + int32(a), sc.start + int32(b)
}

// resolve turns a piece of a formula into nodes.
func (m *Model) resolve(sc *scope, n ast.Node) int32 {
	from, to := sc.place(n)
	switch n := n.(type) {
	case *ast.IntegerNode:
		return m.add(node{op: OpConst, val: float64(n.Value), from: from, to: to})
	case *ast.FloatNode:
		return m.add(node{op: OpConst, val: n.Value, from: from, to: to})
	case *ast.StringNode:
		return m.add(node{op: OpText, a: m.textNumber(n.Value), from: from, to: to})
	case *ast.BoolNode:
		return m.add(node{op: OpTruth, val: truthValue(n.Value), from: from, to: to})
	case *ast.IdentifierNode:
		return m.resolveName(sc, n, from, to)
	case *ast.MemberNode:
		return m.resolveMember(sc, n)
	case *ast.UnaryNode:
		return m.resolveUnary(sc, n, from)
	case *ast.BinaryNode:
		return m.resolveBinary(sc, n, from, to)
	case *ast.ConditionalNode:
		a, b, c := m.resolve(sc, n.Cond), m.resolve(sc, n.Exp1), m.resolve(sc, n.Exp2)
		return m.add(node{op: OpChoose, a: a, b: b, c: c, from: m.nodes[a].from, to: m.nodes[c].to})
	case *ast.ArrayNode:
		return m.resolveList(sc, n, from, to)
	case *ast.BuiltinNode:
		name := sc.read.Function(n)
		return m.resolveFunction(sc, functionByName[name], name, n.Arguments, from, to)
	case *ast.CallNode:
		return m.resolveCall(sc, n)
	case *ast.PredicateNode:
		return m.resolve(sc, n.Node)
	case *ast.PointerNode:
		return m.wrong(sc, from, to, text.Diag{Code: "formula-mark", Msg: "name a column of the row with a dot", Hint: "for example sum(parts, .weight)"})
	}
	return m.wrong(sc, from, to, text.Diag{Code: "formula-form", Msg: "a formula cannot do this"})
}

func truthValue(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

func (m *Model) resolveUnary(sc *scope, n *ast.UnaryNode, from int32) int32 {
	if id, ok := n.Node.(*ast.IdentifierNode); ok && n.Operator == "-" {
		if lit, ok := sc.read.Literal(id.Value); ok { // the sign is part of the number: -5 [degC] is a cold day
			lit.Number = "-" + lit.Number
			_, to := sc.place(id)
			return m.resolveLiteral(sc, lit, from, to)
		}
	}
	a := m.resolve(sc, n.Node)
	from, to := sc.around(from, m.nodes[a].to, from, m.nodes[a].from)
	switch n.Operator {
	case "-":
		if c := m.nodes[a]; c.op == OpConst && c.typ == 0 { // a plain number's sign is part of it
			return m.add(node{op: OpConst, val: -c.val, from: from, to: to})
		}
		return m.add(node{op: OpNeg, a: a, from: from, to: to})
	case "+":
		return a
	default: // not, the only other one that passes the reader
		return m.add(node{op: OpNot, a: a, from: from, to: to})
	}
}

func (m *Model) resolveBinary(sc *scope, n *ast.BinaryNode, from, to int32) int32 {
	if i, isName := m.dashedName(sc, n); isName {
		return i
	}
	a, b := m.resolveSide(sc, n, n.Left), m.resolveSide(sc, n, n.Right)
	nd := node{a: a, b: b}
	nd.from, nd.to = sc.around(m.nodes[a].from, m.nodes[b].to, m.nodes[a].to, m.nodes[b].from)
	switch n.Operator {
	case ">":
		nd.op, nd.a, nd.b = OpLess, b, a
	case ">=":
		nd.op, nd.a, nd.b = OpLessEq, b, a
	default:
		o, ok := binaryOps[n.Operator]
		if !ok {
			return m.wrong(sc, from, to, text.Diag{Code: "formula-mark", Msg: fmt.Sprintf("a formula cannot use %s", n.Operator), Hint: "to look among the rows of a table write any(parts, .group == \"wing\")"})
		}
		nd.op = o
	}
	return m.add(nd)
}

// around widens the place of a piece of a formula over the round brackets that stand around its parts and that the
// parser leaves out: those opened or closed in the gap between the parts.
func (sc *scope) around(from, to, gapFrom, gapTo int32) (int32, int32) {
	at := func(i int32) byte {
		if i < sc.start || int(i-sc.start) >= len(sc.text) {
			return 0
		}
		return sc.text[i-sc.start]
	}
	opened, closed := 0, 0
	for i := gapFrom; i < gapTo; i++ {
		switch at(i) {
		case '(':
			opened++
		case ')':
			if opened > 0 {
				opened--
			} else {
				closed++
			}
		}
	}
	for i := from - 1; closed > 0 && (at(i) == '(' || at(i) == ' '); i-- {
		if at(i) == '(' {
			from = i
			closed--
		}
	}
	for i := to; opened > 0 && (at(i) == ')' || at(i) == ' '); i++ {
		if at(i) == ')' {
			to = i + 1
			opened--
		}
	}
	return from, to
}

// resolveSide resolves an operand. A name that is compared with something could be a text that lacks its quotes.
func (m *Model) resolveSide(sc *scope, n *ast.BinaryNode, side ast.Node) int32 {
	_, isName := side.(*ast.IdentifierNode)
	sc.quotable = isName && (n.Operator == "==" || n.Operator == "!=")
	i := m.resolve(sc, side)
	sc.quotable = false
	return i
}

// resolveList makes a list of values, [a, b, c], into a column of a table without a name.
func (m *Model) resolveList(sc *scope, n *ast.ArrayNode, from, to int32) int32 {
	var roots []int32
	for _, e := range n.Nodes {
		root := m.resolve(sc, e)
		if m.dependsOnPlace(root) {
			return m.wrong(sc, m.nodes[root].from, m.nodes[root].to, text.Diag{Code: "list-row", Msg: "a list can only hold values that are the same in every row", Hint: "make it a column of the table"})
		}
		roots = append(roots, root)
	}
	if len(roots) == 0 || sc.said >= 0 {
		return m.wrong(sc, from, to, text.Diag{Code: "list-empty", Msg: "this list is empty"})
	}
	t := &table{mod: sc.mod, name: text.Word{Text: "list"}, page: none, lost: none, number: int32(len(m.tables)), byName: map[int32]int32{}, list: true}
	m.tables = append(m.tables, t)
	for i := range roots {
		t.rowName = append(t.rowName, m.textNumber(strconv.Itoa(i+1)))
		t.rowSpan = append(t.rowSpan, text.Span{Start: m.nodes[roots[i]].from, End: m.nodes[roots[i]].to})
	}
	c := m.newColumn(t, text.Word{Text: "value", Span: t.rowSpan[0]}, "")
	c.show = m.plainShow()
	m.columnSlots(c, func(row int, s int32) {
		m.slots[s].kind, m.slots[s].root = worked, roots[row]
	})
	return m.add(node{op: OpColumn, a: c.number, from: from, to: m.nodes[roots[len(roots)-1]].to + 1})
}

// resolveName binds a name that stands by itself.
func (m *Model) resolveName(sc *scope, n *ast.IdentifierNode, from, to int32) int32 {
	if lit, ok := sc.read.Literal(n.Value); ok {
		return m.resolveLiteral(sc, lit, from, to)
	}
	for i := range sc.params {
		if sc.params[i].name.Text == n.Value {
			return m.add(node{op: OpParam, a: int32(i), from: from, to: to})
		}
	}
	if sc.own != nil {
		if c := sc.own.column(n.Value); c != nil {
			if c.refused != none {
				return m.add(node{op: OpSlot, a: c.refused, from: from, to: to})
			}
			return m.add(node{op: OpOwn, a: c.number, from: from, to: to})
		}
	}
	switch n.Value {
	case "pi":
		return m.add(node{op: OpConst, val: 3.141592653589793, from: from, to: to})
	case "yes", "no":
		return m.add(node{op: OpTruth, val: truthValue(n.Value == "yes"), from: from, to: to})
	}
	switch _, r := m.lookUp(sc.mod, n.Value); r.kind {
	case cellRef:
		return m.add(node{op: OpSlot, a: m.cells[r.num].slot, from: from, to: to})
	case tableRef:
		if t := m.tables[r.num]; t.headless {
			return m.add(node{op: OpSlot, a: t.lost, from: from, to: to})
		}
		return m.add(node{op: OpRows, a: r.num, from: from, to: to})
	case moduleRef:
		return m.wrong(sc, from, to, text.Diag{Code: "sheet-alone", Msg: fmt.Sprintf("%s is a whole sheet", n.Value), Hint: fmt.Sprintf("name one of its cells: %s.NAME", n.Value)})
	}
	return m.unknownName(sc, n.Value, from, to)
}

func (m *Model) resolveLiteral(sc *scope, lit formula.Literal, from, to int32) int32 {
	at := func(a, b int) text.Span {
		return text.Span{Start: sc.start + int32(a), End: sc.start + int32(b)}
	}
	broken := func(said int) int32 {
		if sc.said < 0 {
			sc.said = said
		}
		return m.add(node{op: OpBroken, from: from, to: to})
	}
	u, err := sc.mod.units.Parse(lit.Unit)
	if err != nil {
		return broken(m.reportUnits(sc.mod, at(lit.UnitFrom, lit.UnitTo), lit.Unit, err))
	}
	if u.Mixed() {
		return broken(m.report(sc.mod, text.Diag{Code: "unit-mixed", Span: at(lit.UnitFrom, lit.UnitTo), Msg: fmt.Sprintf("[%s] is a way to show a value, not to write one number", u), Hint: "give the number one unit, such as 50 [in]"}))
	}
	num, err := sc.mod.units.ParseNumber(lit.Number, u)
	if err != nil {
		return broken(m.reportUnits(sc.mod, at(lit.From, lit.From+len(lit.Number)), lit.Number, err))
	}
	return m.add(node{op: OpConst, val: num.SI, typ: m.typeNumber(typeOf(u)), c: m.unitNumber(u), from: from, to: to})
}
