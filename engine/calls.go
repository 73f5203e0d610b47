package engine

import (
	"fmt"
	"slices"

	"gusset/engine/formula"
	"gusset/sheets/text"
	"gusset/units"
)

// resolveCall binds a call of a formula or of a function that is always at hand.
func (m *Program) resolveCall(sc *scope, n *formula.Call) int32 {
	mod, alias, name := sc.mod, "", ""
	at := n.Func.Span()
	switch callee := n.Func.(type) {
	case *formula.Name:
		name = callee.Text
	case *formula.Member:
		id, isName := callee.X.(*formula.Name)
		if isName {
			_, r := m.lookUp(sc.mod, id.Text)
			if r.kind == moduleRef {
				mod, alias, name = sc.mod.uses[r.num].mod, id.Text, callee.Name.Text
				break
			}
			if r.kind == cellRef && m.cells[r.num].unread() { // a used sheet that could not be read
				return m.add(node{op: OpSlot, a: m.cells[r.num].slot, from: at.Start, to: at.End})
			}
		}
		return m.wrong(sc, at, text.Diag{Code: "formula-form", Msg: "only a formula can be followed by values in brackets"})
	case *formula.Column:
		return m.wrong(sc, at, text.Diag{Code: "formula-form", Msg: "only a formula can be followed by values in brackets"})
	default: // something bad, of which enough has been said
		m.resolveValues(sc, n.Args)
		return m.addBroken(n.Span())
	}
	if fn, ok := functionByName[name]; ok && mod == sc.mod {
		return m.resolveFunction(sc, fn, n)
	}
	def := mod.formulas[name]
	if def == nil && mod == sc.mod {
		def = m.findFormula(mod, name)
	}
	if def == nil {
		i := m.unknownFormula(sc, mod, alias, name, n)
		m.resolveValues(sc, n.Args)
		return i
	}
	return m.resolveFormulaCall(sc, def, n)
}

// resolveValues looks up the names in what is given to something that is not known, for what else is wrong. What has a
// column of a row is left out: whether there are rows is not known either.
func (m *Program) resolveValues(sc *scope, values []formula.Node) {
	for _, v := range values {
		if !hasColumn(v) {
			m.resolve(sc, v)
		}
	}
}

// hasColumn reports whether a column of the row is named in a piece of a formula.
func hasColumn(n formula.Node) bool {
	if _, ok := n.(*formula.Column); ok {
		return true
	}
	return slices.ContainsFunc(formula.Children(n), hasColumn)
}

// findFormula finds a formula by name in a module, or else in the library.
func (m *Program) findFormula(mod *module, name string) *formulaDef {
	if f, ok := mod.formulas[name]; ok {
		return f
	}
	for _, lib := range m.libraryHas(name) {
		if f, ok := lib.formulas[name]; ok {
			return f
		}
	}
	return nil
}

func (m *Program) resolveFormulaCall(sc *scope, def *formulaDef, n *formula.Call) int32 {
	if m.within < maxCalls {
		m.resolveFormula(def)
	}
	switch {
	case def.state == resolving:
		return m.wrong(sc, n.Func.Span(), text.Diag{Code: "formula-ring", Msg: def.node.Name.Text + " would call itself", Hint: "a formula cannot call itself, directly or through others"})
	case def.state == unresolved || def.depth > maxCalls:
		return m.wrong(sc, n.Func.Span(), text.Diag{Code: "formula-deep", Msg: fmt.Sprintf("formulas call one another more than %d deep", maxCalls), Hint: "work it out in parts, each a cell of its own"})
	}
	args := make([]int32, len(n.Args))
	for i, a := range n.Args {
		args[i] = m.resolve(sc, a)
	}
	if len(args) != len(def.params) {
		return m.wrongCount(sc, n, text.Diag{
			Msg: fmt.Sprintf("%s takes %s, not %d", def.node.Name.Text, countOf(len(def.params), "value"), len(args)), Hint: "it is " + def.signature(),
		})
	}
	first := int32(len(m.lists))
	m.lists = append(m.lists, args...)
	return m.add(node{op: OpCall, a: def.number, b: first, c: int32(len(args)), from: n.Span().Start, to: n.Span().End})
}

// wrongCount reports a call with too few or too many values. Of a call in which a value is bad enough has been said: it
// may stand for several.
func (m *Program) wrongCount(sc *scope, n *formula.Call, d text.Diag) int32 {
	for _, a := range n.Args {
		if _, bad := formula.Unbracket(a).(*formula.Bad); bad {
			return m.addBroken(n.Span())
		}
	}
	d.Code = "argument-count"
	return m.wrong(sc, n.Span(), d)
}

// resolveFunction binds a call of a function that is always at hand.
func (m *Program) resolveFunction(sc *scope, fn *function, n *formula.Call) int32 {
	at := n.Span()
	if len(n.Args) == 0 {
		return m.wrong(sc, text.Span{Start: at.End - 1, End: at.End}, text.Diag{Code: "value-missing", Msg: "a value is missing here"})
	}
	var args []int32
	closure := (fn.isFold || fn.op == OpKeep || fn.op == OpEach) && len(n.Args) == 2 && fn.most == 2
	for i, a := range n.Args {
		if i == 1 && closure {
			t, ok := m.tableOf(args[0])
			switch {
			case m.nodes[args[0]].op == OpBroken: // enough has been said of it
				return args[0]
			case !ok:
				return m.wrong(sc, m.span(args[0]), text.Diag{Code: "not-rows", Msg: fmt.Sprintf("%s needs the rows of a table first", fn.name), Hint: m.listCall(sc, fn.name, n)})
			}
			sc.folds = append(sc.folds, t)
			args = append(args, m.resolve(sc, a))
			sc.folds = sc.folds[:len(sc.folds)-1]
			continue
		}
		args = append(args, m.resolve(sc, a))
	}
	if !closure && m.isRows(args[0]) && m.anyBroken(args[1:]) { // max(parts, .weight): a value for each row was meant
		return m.addBroken(at)
	}
	if len(args) < fn.least || fn.most >= 0 && len(args) > fn.most {
		d := text.Diag{Msg: fmt.Sprintf("%s takes %s, not %d", fn.name, fn.counts(), len(args)), Hint: commaHint(sc.typed(at))}
		if d.Hint == "" && fn.bringsTogether() {
			d.Hint = m.listCall(sc, fn.name, n)
		}
		return m.wrongCount(sc, n, d)
	}
	return m.buildFunction(sc, fn, args, at.Start, at.End)
}

// anyBroken reports whether a mistake was found in one of several pieces.
func (m *Program) anyBroken(list []int32) bool {
	return slices.ContainsFunc(list, func(i int32) bool { return m.nodes[i].op == OpBroken })
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

func (m *Program) buildFunction(sc *scope, fn *function, args []int32, from, to int32) int32 {
	nd := node{op: fn.op, a: args[0], b: none, from: from, to: to}
	switch {
	case fn.name == "find" || (fn.name == "first" || fn.name == "last") && m.isRows(args[0]):
		list := args[0]
		if len(args) == 2 {
			list = m.add(node{op: OpKeep, a: args[0], b: args[1], from: from, to: to})
		}
		return m.add(node{op: OpPick, a: list, b: int32(fn.fold), from: from, to: to})
	case fn.isFold && (len(args) == 1 || fn.most == 2 || fn.least == 2):
		return m.buildFold(sc, fn, args, from, to)
	case fn.op == OpMin || fn.op == OpMax:
		nd.b = args[1]
		n := m.add(nd)
		for _, a := range args[2:] {
			n = m.add(node{op: fn.op, a: n, b: a, from: from, to: to})
		}
		return n
	case fn.op == OpFunc:
		nd.c = int32(fn.fn)
		if fn.argument == roundToStep && len(args) == 1 {
			args = append(args, m.add(node{op: OpConst, val: 1, from: to, to: to}))
		}
	}
	if len(args) > 1 {
		nd.b = args[1]
	}
	if len(args) > 2 {
		nd.c = args[2]
	}
	return m.add(nd)
}

// buildFold makes a fold; one that depends on nothing but whole columns is worked out once, in a slot of its own.
func (m *Program) buildFold(sc *scope, fn *function, args []int32, from, to int32) int32 {
	list := args[0]
	switch {
	case len(args) == 2 && fn.filter:
		list = m.add(node{op: OpKeep, a: list, b: args[1], from: from, to: to})
	case len(args) == 2:
		list = m.add(node{op: OpEach, a: list, b: args[1], from: from, to: to})
	}
	fold := m.add(node{op: OpFold, a: list, b: int32(fn.fold), from: from, to: to})
	if sc.own == nil || len(sc.folds) > 0 || len(sc.params) > 0 || m.dependsOnRow(fold) || sc.said >= 0 {
		return fold
	}
	return m.add(node{op: OpSlot, a: m.hiddenSlot(sc.mod, fold), from: from, to: to})
}

// dependsOnPlace reports whether a node reads a row or an argument, so that it has not one value. What goes through the rows
// of a table by itself and comes to one value does not.
func (m *Program) dependsOnPlace(i int32) bool {
	n := m.nodes[i]
	switch n.op {
	case OpOwn, OpEntry, OpParam:
		return true
	case OpFold, OpPick:
		return m.readsAround(n.a)
	case OpInterp:
		return m.dependsOnPlace(n.a) || m.readsAround(n.b) || m.readsAround(n.c)
	}
	return slices.ContainsFunc(m.operands(i), m.dependsOnPlace)
}

// readsAround reports whether a list reads the row that its formula belongs to, or an argument.
func (m *Program) readsAround(i int32) bool {
	found := false
	m.walk(i, func(n *node) { found = found || n.op == OpOwn || n.op == OpParam })
	return found
}

// dependsOnRow reports whether a node reads the row that its formula belongs to, or may do so but for a mistake.
func (m *Program) dependsOnRow(i int32) bool {
	found := false
	m.walk(i, func(n *node) { found = found || n.op == OpOwn || n.op == OpBroken })
	return found
}

// resolveFormula reads a formula's parameters, its body and its conditions, once.
func (m *Program) resolveFormula(f *formulaDef) {
	if f.state != unresolved {
		return
	}
	f.state = resolving
	m.within++
	seen := map[string]bool{}
	for _, p := range f.node.Params {
		if seen[p.Name.Text] {
			m.report(f.mod, text.Diag{Code: "name-twice", Span: p.Name.Span, Msg: fmt.Sprintf("the formula %s has two values %s", f.node.Name.Text, p.Name.Text)})
		}
		seen[p.Name.Text] = true
		t, sh := m.tagType(f.mod, p.Unit)
		t.list = p.Each
		pa := param{name: p.Name, each: p.Each, typ: t, show: sh}
		if p.Unit.Choice != nil {
			pa.choices = m.choicesOf(f.mod, p.Unit.Choice)
		}
		f.params = append(f.params, pa)
	}
	f.typ, f.show = m.tagType(f.mod, f.node.Unit)
	f.body, f.unread = m.resolveText(&scope{mod: f.mod, params: f.params}, f.node.Expr)
	for k, p := range f.params {
		if p.choices != nil && p.choices.table == nil && !p.each {
			f.needs = append(f.needs, condition{m.chosenParam(int32(k), p), &text.Condition{Message: text.Word{Text: p.name.Text + " is not one of its choices: " + p.choices.hint(m, &m.looked, "")}}})
		}
	}
	for _, c := range f.node.Needs {
		root, said := m.resolveText(&scope{mod: f.mod, params: f.params}, c.Cond)
		f.unread = max(f.unread, said)
		f.needs = append(f.needs, condition{root, c})
	}
	for _, c := range f.node.Trusts {
		root, _ := m.resolveText(&scope{mod: f.mod, params: f.params}, c.Cond)
		f.trusts = append(f.trusts, condition{root, c})
	}
	f.depth = m.callDepth(f)
	m.within--
	f.state = resolved
}

// callDepth returns how deep the calls below a formula go: 1 if it calls none.
func (m *Program) callDepth(f *formulaDef) int {
	deepest := 0
	see := func(n *node) {
		if n.op == OpCall {
			deepest = max(deepest, m.formulas[n.a].depth)
		}
	}
	m.walk(f.body, see)
	for _, c := range slices.Concat(f.needs, f.trusts) {
		m.walk(c.root, see)
	}
	return deepest + 1
}

// tagType reads the unit of a formula or of one of its values; [text] and [yes/no] are no units.
func (m *Program) tagType(mod *module, tag text.UnitTag) (typ, *show) {
	if tag.Choice != nil {
		return writingType, plainShow
	}
	switch tag.Unit.Text {
	case "text":
		return writingType, plainShow
	case "yes/no":
		return truthType, plainShow
	}
	sh, ok := m.readAnyTag(mod, tag)
	if !ok {
		return typ{}, sh
	}
	return typeOf(sh.unit), sh
}

// resolveExamples gives each example of a formula a slot.
func (m *Program) resolveExamples(f *formulaDef) {
	for _, n := range f.node.Examples {
		e := &example{formula: f, node: n}
		if !m.readExample(e) {
			continue
		}
		root, said := m.resolveText(&scope{mod: f.mod}, n.Call)
		e.slot = m.hiddenSlot(f.mod, root)
		if said >= 0 {
			m.breakSlot(e.slot, said)
		}
		m.slots[e.slot].example = true
		m.examples = append(m.examples, e)
	}
}

// readExample reads what an example says its formula gives. It reports false when there is a mistake, which has been said.
func (m *Program) readExample(e *example) bool {
	f, v := e.formula, e.node.Value
	sh, ok := m.readTag(f.mod, e.node.Unit)
	e.show = sh
	switch {
	case !ok:
		return false
	case f.typ.kind == writing:
		e.want = float64(m.texts.Add(v.Text))
		return true
	case f.typ.kind == truth && (v.Text == "yes" || v.Text == "no"):
		e.want = truthValue(v.Text == "yes")
		return true
	}
	given := f.typ.dim
	if given.Currency() == units.AnyMoney {
		given = given.WithCurrency(sh.unit.Dim().Currency())
	}
	if want := typeOf(sh.unit); f.typ.kind == number && given != want.dim {
		m.report(f.mod, text.Diag{Code: "example-unit", Span: v.Span, Msg: fmt.Sprintf("this is %s, but %s gives %s", want, f.node.Name.Text, f.typ), Hint: fmt.Sprintf("write %s [%s]", v.Text, f.show.unit)})
		return false
	}
	num, err := f.mod.units.ParseNumber(v.Text, sh.unit)
	if err != nil {
		m.reportUnits(f.mod, v.Span, v.Text, err)
		return false
	}
	if num.HasUnit && num.Unit.Dim() != sh.unit.Dim() {
		m.unfitting(f.mod, v.Span, num, sh, true)
		return false
	}
	e.want, e.within = num.SI, lastPlace(v.Text, sh.unit)
	return true
}
