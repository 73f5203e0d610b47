package engine

import (
	"fmt"
	"sort"
	"strconv"

	"github.com/expr-lang/expr/ast"

	"gusset/engine/formula"
	"gusset/sheets/text"
	"gusset/units"
)

// scope is where a formula stands: what its names can mean.
type scope struct {
	mod    *module
	params []param // in the body of a formula
	own    *table  // in a row or a worked column of a table
	folds  []*table
	read   *formula.Formula
	start  int32 // place of the formula's text in the sheet
	said   int   // number of the first Diag about this formula; -1: none
	text   string
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
	if m.slots[c.slot].root != none || c.kind == givenCell {
		return
	}
	if c.kind == foundCell {
		if m.slots[c.find.goal].root == none {
			m.resolveFind(c)
		}
		return
	}
	w := formulaOf(c.node)
	root, said := m.resolveText(&scope{mod: c.mod}, w)
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

// resolveFind reads the bounds and both sides of a find.
func (m *Model) resolveFind(c *cell) {
	n := c.node.(*text.Find)
	f := c.find
	sc := func() *scope { return &scope{mod: c.mod} }
	said := -1
	keep := func(slot int32, root int32, wrong int) {
		m.slots[slot].root = root
		if wrong >= 0 {
			said = wrong
			m.breakSlot(slot, wrong)
		}
	}
	keep2 := func(slot int32, w text.Word) {
		root, wrong := m.resolveBound(sc(), w, c.show)
		keep(slot, root, wrong)
	}
	keep2(f.lo, n.From)
	keep2(f.hi, n.To)
	root, wrong := m.resolveText(sc(), n.Left)
	keep(f.left, root, wrong)
	root, wrong = m.resolveText(sc(), n.Right)
	keep(f.right, root, wrong)
	left := m.add(node{op: opSlot, a: f.left, from: n.Left.Span.Start, to: n.Left.Span.End})
	right := m.add(node{op: opSlot, a: f.right, from: n.Right.Span.Start, to: n.Right.Span.End})
	m.slots[f.goal].root = m.add(node{op: opSub, a: left, b: right, from: n.Left.Span.Start, to: n.Right.Span.End})
	if said >= 0 {
		m.breakSlot(c.slot, said)
	}
}

// resolveBound reads an end of a find's range: a workshop number in the cell's unit, or a formula.
func (m *Model) resolveBound(sc *scope, w text.Word, sh *show) (root int32, said int) {
	num, err := sc.mod.units.ParseNumber(w.Text, sh.unit)
	if err != nil {
		return m.resolveText(sc, w)
	}
	n := node{op: opConst, val: num.SI, from: w.Span.Start, to: w.Span.End}
	n.typ = m.typeNumber(typeOf(num.Unit))
	if num.HasUnit && num.Unit.Dim() != sh.unit.Dim() {
		return m.add(n), m.unfitting(sc.mod, w.Span, num, sh, true)
	}
	return m.add(n), -1
}

func (m *Model) resolveTable(t *table) {
	if t.list {
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
	read, slip := formula.Parse(w.Text)
	if slip != nil {
		span := text.Span{Start: sc.start + int32(slip.From), End: sc.start + int32(slip.To)}
		if !w.Given() {
			span = w.Span
		}
		said := m.report(sc.mod, text.Diag{Code: slip.Code, Span: span, Msg: slip.Msg, Hint: slip.Hint})
		return m.add(node{op: opBroken, from: span.Start, to: span.End}), said
	}
	sc.read = read
	root = m.resolve(sc, read.Root)
	return root, sc.said
}

// wrong reports a mistake in a formula and returns the node that stands for it.
func (m *Model) wrong(sc *scope, from, to int32, d text.Diag) int32 {
	d.Span = text.Span{Start: from, End: to}
	said := m.report(sc.mod, d)
	if sc.said < 0 {
		sc.said = said
	}
	return m.add(node{op: opBroken, from: from, to: to})
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
		return m.add(node{op: opConst, val: float64(n.Value), from: from, to: to})
	case *ast.FloatNode:
		return m.add(node{op: opConst, val: n.Value, from: from, to: to})
	case *ast.StringNode:
		return m.add(node{op: opText, a: m.textNumber(n.Value), from: from, to: to})
	case *ast.BoolNode:
		return m.add(node{op: opTruth, val: truthValue(n.Value), from: from, to: to})
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
		return m.add(node{op: opChoose, a: a, b: b, c: c, from: m.nodes[a].from, to: m.nodes[c].to})
	case *ast.ArrayNode:
		return m.resolveList(sc, n, from, to)
	case *ast.BuiltinNode:
		return m.resolveFunction(sc, functionByName[n.Name], n.Name, n.Arguments, from, to)
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
	a := m.resolve(sc, n.Node)
	to := m.nodes[a].to
	switch n.Operator {
	case "-":
		if c := m.nodes[a]; c.op == opConst && c.typ == 0 { // a plain number's sign is part of it
			return m.add(node{op: opConst, val: -c.val, from: from, to: to})
		}
		return m.add(node{op: opNeg, a: a, from: from, to: to})
	case "+":
		return a
	default: // not, the only other one that passes the reader
		return m.add(node{op: opNot, a: a, from: from, to: to})
	}
}

func (m *Model) resolveBinary(sc *scope, n *ast.BinaryNode, from, to int32) int32 {
	a, b := m.resolve(sc, n.Left), m.resolve(sc, n.Right)
	nd := node{a: a, b: b, from: m.nodes[a].from, to: m.nodes[b].to}
	switch n.Operator {
	case ">":
		nd.op, nd.a, nd.b = opLess, b, a
	case ">=":
		nd.op, nd.a, nd.b = opLessEq, b, a
	default:
		o, ok := binaryOps[n.Operator]
		if !ok {
			return m.wrong(sc, from, to, text.Diag{Code: "formula-mark", Msg: fmt.Sprintf("a formula cannot use %s", n.Operator), Hint: "to look among the rows of a table write any(parts, .group == \"wing\")"})
		}
		nd.op = o
	}
	return m.add(nd)
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
	t := &table{mod: sc.mod, name: text.Word{Text: "list"}, page: none, number: int32(len(m.tables)), byName: map[int32]int32{}, list: true}
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
	return m.add(node{op: opColumn, a: c.number, from: from, to: m.nodes[roots[len(roots)-1]].to + 1})
}

// resolveName binds a name that stands by itself.
func (m *Model) resolveName(sc *scope, n *ast.IdentifierNode, from, to int32) int32 {
	if lit, ok := sc.read.Literal(n.Value); ok {
		return m.resolveLiteral(sc, lit, from, to)
	}
	for i := range sc.params {
		if sc.params[i].name.Text == n.Value {
			return m.add(node{op: opParam, a: int32(i), from: from, to: to})
		}
	}
	if sc.own != nil {
		if c := sc.own.column(n.Value); c != nil {
			return m.add(node{op: opOwn, a: c.number, from: from, to: to})
		}
	}
	switch n.Value {
	case "pi":
		return m.add(node{op: opConst, val: 3.141592653589793, from: from, to: to})
	case "yes", "no":
		return m.add(node{op: opTruth, val: truthValue(n.Value == "yes"), from: from, to: to})
	}
	switch _, r := m.lookUp(sc.mod, n.Value); r.kind {
	case cellRef:
		return m.add(node{op: opSlot, a: m.cells[r.num].slot, from: from, to: to})
	case tableRef:
		return m.add(node{op: opRows, a: r.num, from: from, to: to})
	case moduleRef:
		return m.wrong(sc, from, to, text.Diag{Code: "sheet-alone", Msg: fmt.Sprintf("%s is a whole sheet", n.Value), Hint: fmt.Sprintf("name one of its cells: %s.NAME", n.Value)})
	}
	return m.unknownName(sc, n.Value, from, to)
}

// lookUp finds what a name stands for in a module, or else in the library. It returns the module that holds it.
func (m *Model) lookUp(mod *module, name string) (*module, ref) {
	if r, ok := m.lookIn(mod, name); ok {
		return mod, r
	}
	for _, lib := range m.library {
		if r, ok := m.lookIn(lib, name); ok {
			return lib, r
		}
	}
	return nil, ref{}
}

// lookIn finds a name in one module; a cell or table of the library is declared when it is first asked for.
func (m *Model) lookIn(mod *module, name string) (ref, bool) {
	if r, ok := mod.names[name]; ok {
		return r, true
	}
	n, ok := mod.waiting[name]
	if !ok || mod.names == nil {
		return ref{}, false
	}
	m.declareNode(mod, n)
	r, ok := mod.names[name]
	return r, ok
}

func (m *Model) unknownName(sc *scope, name string, from, to int32) int32 {
	d := text.Diag{Code: "unknown-name", Msg: "unknown name " + name}
	if m.findFormula(sc.mod, name) != nil || functionByName[name] != nil {
		d.Code, d.Msg, d.Hint = "formula-alone", name+" is a formula and needs its values", name+"( ) with the values between the brackets"
		return m.wrong(sc, from, to, d)
	}
	if _, err := sc.mod.units.Parse(name); err == nil {
		d.Hint = fmt.Sprintf("a unit goes in brackets, behind a number: 1 [%s]", name)
	}
	if near, ok := units.Nearest(name, m.knownNames(sc)); ok {
		d.Hint = fmt.Sprintf("is it %s?%s", near, m.whereSet(sc, near))
	}
	return m.wrong(sc, from, to, d)
}

// knownNames returns every name that would be understood in this place.
func (m *Model) knownNames(sc *scope) []string {
	known := []string{"pi"}
	for _, p := range sc.params {
		known = append(known, p.name.Text)
	}
	if sc.own != nil {
		for _, c := range sc.own.cols {
			known = append(known, c.name.Text)
		}
	}
	for n := range sc.mod.names {
		known = append(known, n)
	}
	for _, lib := range m.library {
		for n := range lib.waiting {
			known = append(known, n)
		}
	}
	sort.Strings(known)
	return known
}

// whereSet tells where a name of the sheet is set; nothing for other names.
func (m *Model) whereSet(sc *scope, name string) string {
	if r, ok := sc.mod.names[name]; ok && r.span.Len() > 0 {
		return fmt.Sprintf(" It is set on line %d", sc.mod.src.Position(r.span.Start).Line)
	}
	return ""
}

func (m *Model) resolveLiteral(sc *scope, lit formula.Literal, from, to int32) int32 {
	at := func(a, b int) text.Span {
		return text.Span{Start: sc.start + int32(a), End: sc.start + int32(b)}
	}
	broken := func(said int) int32 {
		if sc.said < 0 {
			sc.said = said
		}
		return m.add(node{op: opBroken, from: from, to: to})
	}
	u, err := sc.mod.units.Parse(lit.Unit)
	if err != nil {
		return broken(m.reportUnits(sc.mod, at(lit.UnitFrom, lit.UnitTo), lit.Unit, err))
	}
	num, err := sc.mod.units.ParseNumber(lit.Number, u)
	if err != nil {
		return broken(m.reportUnits(sc.mod, at(lit.From, lit.From+len(lit.Number)), lit.Number, err))
	}
	return m.add(node{op: opConst, val: num.SI, typ: m.typeNumber(typeOf(u)), from: from, to: to})
}

// resolveCall binds a call of a formula or of a function that the parser does not know.
func (m *Model) resolveCall(sc *scope, n *ast.CallNode) int32 {
	from, to := sc.place(n)
	mod, name := sc.mod, ""
	switch callee := n.Callee.(type) {
	case *ast.IdentifierNode:
		name = callee.Value
		from, to = sc.place(callee)
	case *ast.MemberNode:
		id, isName := callee.Node.(*ast.IdentifierNode)
		prop, isProp := callee.Property.(*ast.StringNode)
		if isName && isProp {
			from, to = sc.place(id)
			to += 1 + int32(len(prop.Value))
			if _, r := m.lookUp(sc.mod, id.Value); r.kind == moduleRef {
				mod, name = sc.mod.uses[r.num], prop.Value
				break
			}
		}
		return m.wrong(sc, from, to, text.Diag{Code: "formula-form", Msg: "only a formula can be followed by values in brackets"})
	default:
		return m.wrong(sc, from, to, text.Diag{Code: "formula-form", Msg: "only a formula can be followed by values in brackets", Hint: "a product needs its *"})
	}
	if fn, ok := functionByName[name]; ok && mod == sc.mod {
		return m.resolveFunction(sc, fn, name, n.Arguments, from, to)
	}
	def := mod.formulas[name]
	if def == nil && mod == sc.mod {
		def = m.findFormula(mod, name)
	}
	if def == nil {
		return m.unknownFormula(sc, mod, name, from, to)
	}
	return m.resolveFormulaCall(sc, def, n.Arguments, from, to)
}

// findFormula finds a formula by name in a module, or else in the library.
func (m *Model) findFormula(mod *module, name string) *formulaDef {
	if f, ok := mod.formulas[name]; ok {
		return f
	}
	for _, lib := range m.library {
		if f, ok := lib.formulas[name]; ok {
			return f
		}
	}
	return nil
}

func (m *Model) unknownFormula(sc *scope, mod *module, name string, from, to int32) int32 {
	if _, r := m.lookUp(mod, name); r.kind != noRef {
		return m.wrong(sc, from, to, text.Diag{Code: "formula-form", Msg: name + " is not a formula", Hint: "a product needs its *"})
	}
	var known []string
	for n := range mod.formulas {
		known = append(known, n)
	}
	if mod == sc.mod {
		for _, lib := range m.library {
			for n := range lib.formulas {
				known = append(known, n)
			}
		}
		for _, f := range functions {
			known = append(known, f.name)
		}
	}
	sort.Strings(known)
	d := text.Diag{Code: "unknown-formula", Msg: "unknown formula " + name, Hint: "gusset library lists the formulas that are at hand"}
	if near, ok := units.Nearest(name, known); ok {
		d.Hint = fmt.Sprintf("is it %s?", near)
	}
	return m.wrong(sc, from, to, d)
}

// callEnd returns where a call's closing bracket stands: behind its last argument, or behind its name.
func (m *Model) callEnd(sc *scope, args []int32, to int32) int32 {
	if len(args) > 0 {
		to = m.nodes[args[len(args)-1]].to
	}
	rest := int(to - sc.start)
	for rest < len(sc.text) && sc.text[rest] != ')' {
		rest++
	}
	return min(sc.start+int32(rest)+1, sc.start+int32(len(sc.text)))
}

func (m *Model) resolveFormulaCall(sc *scope, def *formulaDef, arguments []ast.Node, from, to int32) int32 {
	m.resolveFormula(def)
	if def.state == resolving {
		return m.wrong(sc, from, to, text.Diag{Code: "formula-ring", Msg: def.node.Name.Text + " would need itself", Hint: "a formula cannot call itself, directly or by way of others"})
	}
	var args []int32
	for _, a := range arguments {
		args = append(args, m.resolve(sc, a))
	}
	end := m.callEnd(sc, args, to)
	if len(args) != len(def.params) {
		return m.wrong(sc, from, end, text.Diag{
			Code: "argument-count", Msg: fmt.Sprintf("%s takes %s, not %d", def.node.Name.Text, countOf(len(def.params), "value"), len(args)), Hint: "it is " + def.signature(),
		})
	}
	first := int32(len(m.lists))
	m.lists = append(m.lists, args...)
	return m.add(node{op: opCall, a: def.number, b: first, c: int32(len(args)), from: from, to: end})
}

// countOf says "1 value", "2 values".
func countOf(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// resolveFunction binds a call of a function that is always at hand.
func (m *Model) resolveFunction(sc *scope, fn *function, name string, arguments []ast.Node, from, to int32) int32 {
	if fn == nil {
		return m.wrong(sc, from, to, text.Diag{Code: "unknown-formula", Msg: "unknown formula " + name, Hint: "gusset library lists the formulas that are at hand"})
	}
	var args []int32
	closure := (fn.isFold || fn.op == opKeep || fn.op == opEach) && len(arguments) == 2 && fn.most == 2
	for i, a := range arguments {
		if i == 1 && closure {
			t, ok := m.tableOf(args[0])
			if !ok {
				return m.wrong(sc, m.nodes[args[0]].from, m.nodes[args[0]].to, text.Diag{Code: "not-rows", Msg: fmt.Sprintf("%s needs the rows of a table first", name), Hint: fmt.Sprintf("for example %s(parts, .weight)", name)})
			}
			sc.folds = append(sc.folds, t)
			args = append(args, m.resolve(sc, a))
			sc.folds = sc.folds[:len(sc.folds)-1]
			continue
		}
		args = append(args, m.resolve(sc, a))
	}
	end := m.callEnd(sc, args, to)
	if len(args) < fn.least || fn.most >= 0 && len(args) > fn.most {
		return m.wrong(sc, from, end, text.Diag{Code: "argument-count", Msg: fmt.Sprintf("%s takes %s, not %d", name, fn.counts(), len(args))})
	}
	return m.buildFunction(sc, fn, args, from, end)
}

// counts says how many values a function takes.
func (fn *function) counts() string {
	switch {
	case fn.most < 0:
		return "one value or more"
	case fn.least == fn.most:
		return countOf(fn.least, "value")
	}
	return fmt.Sprintf("%d or %d values", fn.least, fn.most)
}

func (m *Model) buildFunction(sc *scope, fn *function, args []int32, from, to int32) int32 {
	nd := node{op: fn.op, a: args[0], b: none, from: from, to: to}
	switch {
	case fn.name == "find" || (fn.name == "first" || fn.name == "last") && m.isRows(args[0]):
		list := args[0]
		if len(args) == 2 {
			list = m.add(node{op: opKeep, a: args[0], b: args[1], from: from, to: to})
		}
		return m.add(node{op: opPick, a: list, b: int32(fn.fold), from: from, to: to})
	case fn.isFold && (len(args) == 1 || fn.most == 2 || fn.least == 2):
		return m.buildFold(sc, fn, args, from, to)
	case fn.op == opMin || fn.op == opMax:
		nd.b = args[1]
		n := m.add(nd)
		for _, a := range args[2:] {
			n = m.add(node{op: fn.op, a: n, b: a, from: from, to: to})
		}
		return n
	case fn.op == opFunc:
		nd.c = int32(fn.fn)
		if fn.argument == roundToStep && len(args) == 1 {
			args = append(args, m.add(node{op: opConst, val: 1, from: to, to: to}))
		}
	}
	if len(args) == 2 {
		nd.b = args[1]
	}
	return m.add(nd)
}

// buildFold makes a fold; one that depends on nothing but whole columns is worked out once, in a slot of its own.
func (m *Model) buildFold(sc *scope, fn *function, args []int32, from, to int32) int32 {
	list := args[0]
	switch {
	case len(args) == 2 && fn.filter:
		list = m.add(node{op: opKeep, a: list, b: args[1], from: from, to: to})
	case len(args) == 2:
		list = m.add(node{op: opEach, a: list, b: args[1], from: from, to: to})
	}
	fold := m.add(node{op: opFold, a: list, b: int32(fn.fold), from: from, to: to})
	if sc.own == nil || len(sc.folds) > 0 || len(sc.params) > 0 || m.dependsOnRow(fold, false) || sc.said >= 0 {
		return fold
	}
	return m.add(node{op: opSlot, a: m.hiddenSlot(sc.mod, fold), from: from, to: to})
}

// dependsOnPlace reports whether a node reads a row or an argument, so that it has not one value.
func (m *Model) dependsOnPlace(i int32) bool {
	found := false
	m.walk(i, func(n *node) { found = found || n.op == opOwn || n.op == opEntry || n.op == opParam })
	return found
}

// dependsOnRow reports whether a node reads the row that its formula belongs to.
func (m *Model) dependsOnRow(i int32, found bool) bool {
	m.walk(i, func(n *node) { found = found || n.op == opOwn || n.op == opBroken })
	return found
}

// isRows reports whether a node is a list of rows rather than of values.
func (m *Model) isRows(i int32) bool {
	switch m.nodes[i].op {
	case opRows:
		return true
	case opKeep:
		return m.isRows(m.nodes[i].a)
	}
	return false
}

// tableOf returns the table whose rows a list goes through.
func (m *Model) tableOf(i int32) (*table, bool) {
	n := m.nodes[i]
	switch n.op {
	case opRows:
		return m.tables[n.a], true
	case opColumn:
		return m.columns[n.a].table, true
	case opKeep, opEach:
		return m.tableOf(n.a)
	}
	return nil, false
}

// resolveFormula reads a formula's parameters, its body and its conditions, once.
func (m *Model) resolveFormula(f *formulaDef) {
	if f.state != unresolved {
		return
	}
	f.state = resolving
	seen := map[string]bool{}
	for _, p := range f.node.Params {
		if seen[p.Name.Text] {
			m.report(f.mod, text.Diag{Code: "name-twice", Span: p.Name.Span, Msg: fmt.Sprintf("the formula %s has two values %s", f.node.Name.Text, p.Name.Text)})
		}
		seen[p.Name.Text] = true
		t, sh := m.tagType(f.mod, p.Unit)
		t.list = p.Each
		f.params = append(f.params, param{name: p.Name, each: p.Each, typ: t, show: sh})
	}
	f.typ, f.show = m.tagType(f.mod, f.node.Unit)
	f.body, _ = m.resolveText(&scope{mod: f.mod, params: f.params}, f.node.Expr)
	for _, c := range f.node.Needs {
		root, _ := m.resolveText(&scope{mod: f.mod, params: f.params}, c.Cond)
		f.needs = append(f.needs, condition{root, c})
	}
	for _, c := range f.node.Trusts {
		root, _ := m.resolveText(&scope{mod: f.mod, params: f.params}, c.Cond)
		f.trusts = append(f.trusts, condition{root, c})
	}
	f.state = resolved
}

// tagType reads the unit of a formula or of one of its values; [text] and [yes/no] are no units.
func (m *Model) tagType(mod *module, tag text.UnitTag) (typ, *show) {
	switch tag.Unit.Text {
	case "text":
		return writingType, m.plainShow()
	case "yes/no":
		return truthType, m.plainShow()
	}
	sh, ok := m.readTag(mod, tag)
	if !ok {
		return typ{}, sh
	}
	return typeOf(sh.unit), sh
}

// resolveExamples gives each example of a formula a slot.
func (m *Model) resolveExamples(f *formulaDef) {
	for _, n := range f.node.Examples {
		sh, ok := m.readTag(f.mod, n.Unit)
		if !ok {
			continue
		}
		num, err := f.mod.units.ParseNumber(n.Value.Text, sh.unit)
		if err != nil {
			m.reportUnits(f.mod, n.Value.Span, n.Value.Text, err)
			continue
		}
		root, said := m.resolveText(&scope{mod: f.mod}, n.Call)
		e := &example{formula: f, node: n, slot: m.hiddenSlot(f.mod, root), want: num.SI, within: lastPlace(n.Value.Text, sh.unit), show: sh}
		if said >= 0 {
			m.breakSlot(e.slot, said)
		}
		m.examples = append(m.examples, e)
	}
}

// resolveChart sees to it that a chart's table and columns are there. Charts are kept, and drawn by a later command.
func (m *Model) resolveChart(mod *module, ch *text.Chart) {
	r := mod.names[ch.Table.Text]
	if r.kind != tableRef {
		d := text.Diag{Code: "unknown-table", Span: ch.Table.Span, Msg: "unknown table " + ch.Table.Text}
		if near, ok := units.Nearest(ch.Table.Text, m.tableNames(mod)); ok {
			d.Hint = fmt.Sprintf("is it %s?", near)
		}
		m.report(mod, d)
		return
	}
	for _, w := range append([]text.Word{ch.X}, ch.Ys...) {
		if t := m.tables[r.num]; t.column(w.Text) == nil {
			d := m.unknownColumn(t, w.Text)
			d.Span = w.Span
			m.report(mod, d)
		}
	}
}

func (m *Model) tableNames(mod *module) []string {
	var names []string
	for n, r := range mod.names {
		if r.kind == tableRef {
			names = append(names, n)
		}
	}
	sort.Strings(names)
	return names
}

// unknownColumn tells that a table has no such column.
func (m *Model) unknownColumn(t *table, name string) text.Diag {
	d := text.Diag{Code: "unknown-column", Msg: fmt.Sprintf("the table %s has no column %s", t.name.Text, name)}
	var names []string
	for _, c := range t.cols {
		names = append(names, c.name.Text)
	}
	if near, ok := units.Nearest(name, names); ok {
		d.Hint = fmt.Sprintf("is it %s?", near)
	} else {
		d.Hint = "it has " + joinWords(names)
	}
	return d
}
