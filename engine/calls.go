package engine

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gusset/engine/formula"
	"gusset/sheets/text"
	"gusset/units"
)

// resolveCall binds a call of a formula or of a function that is always at hand.
func (sc *scope) resolveCall(n *formula.Call) int32 {
	mod, alias, name := sc.mod, "", ""
	at := n.Func.Span()
	switch callee := n.Func.(type) {
	case *formula.Name:
		name = callee.Text
	case *formula.Member:
		id, isName := callee.X.(*formula.Name)
		if isName {
			_, r := sc.lookUp(sc.mod, id.Text)
			if r.kind == moduleRef {
				mod, alias, name = sc.mod.uses[r.num].mod, id.Text, callee.Name.Text
				break
			}
			if r.kind == cellRef && sc.cells[r.num].unread() { // a used sheet that could not be read
				return sc.add(node{op: OpSlot, a: sc.cells[r.num].slot, from: at.Start, to: at.End})
			}
		}
		return sc.wrong(at, text.Diag{Code: "formula-form", Msg: "only a formula can be followed by values in brackets"})
	case *formula.Column:
		return sc.wrong(at, text.Diag{Code: "formula-form", Msg: "only a formula can be followed by values in brackets"})
	default: // something bad, of which enough has been said
		sc.resolveValues(n.Args)
		return sc.addBroken(n.Span())
	}
	if fn, ok := functionByName[name]; ok && mod == sc.mod {
		return sc.resolveFunction(fn, n)
	}
	def := mod.formulas[name]
	if def == nil && mod == sc.mod {
		def = sc.findFormula(mod, name)
	}
	if def == nil {
		i := sc.unknownFormula(mod, alias, name, n)
		sc.resolveValues(n.Args)
		return i
	}
	return sc.resolveFormulaCall(def, n)
}

// resolveValues looks up the names in what is given to something that is not known, for what else is wrong. What has a
// column of a row is left out: whether there are rows is not known either.
func (sc *scope) resolveValues(values []formula.Node) {
	for _, v := range values {
		if !hasColumn(v) {
			sc.resolve(v)
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
func (rs *resolver) findFormula(mod *module, name string) *formulaDef {
	if f, ok := mod.formulas[name]; ok {
		return f
	}
	for _, lib := range rs.libraryHas(name) {
		if f, ok := lib.formulas[name]; ok {
			return f
		}
	}
	return nil
}

func (sc *scope) resolveFormulaCall(def *formulaDef, n *formula.Call) int32 {
	if sc.within < maxCalls {
		sc.resolveFormula(def)
	}
	switch {
	case def.state == resolving:
		return sc.wrong(n.Func.Span(), text.Diag{Code: "formula-ring", Msg: def.node.Name.Text + " would call itself", Hint: "a formula cannot call itself, directly or through others"})
	case def.state == unresolved || def.depth > maxCalls:
		return sc.wrong(n.Func.Span(), text.Diag{Code: "formula-deep", Msg: fmt.Sprintf("formulas call one another more than %d deep", maxCalls), Hint: "work it out in parts, each a cell of its own"})
	}
	args := make([]int32, len(n.Args))
	for i, a := range n.Args {
		args[i] = sc.resolve(a)
	}
	if len(args) != len(def.params) {
		return sc.wrongCount(n, text.Diag{
			Msg: fmt.Sprintf("%s takes %s, not %d", def.node.Name.Text, countOf(len(def.params), "value"), len(args)), Hint: "it is " + def.signature(),
		})
	}
	first := int32(len(sc.lists))
	sc.lists = append(sc.lists, args...)
	return sc.add(node{op: OpCall, a: def.number, b: first, c: int32(len(args)), from: n.Span().Start, to: n.Span().End})
}

// wrongCount reports a call with too few or too many values. Of a call in which a value is bad enough has been said: it
// may stand for several.
func (sc *scope) wrongCount(n *formula.Call, d text.Diag) int32 {
	for _, a := range n.Args {
		if _, bad := formula.Unbracket(a).(*formula.Bad); bad {
			return sc.addBroken(n.Span())
		}
	}
	d.Code = "argument-count"
	return sc.wrong(n.Span(), d)
}

// resolveFunction binds a call of a function that is always at hand.
func (sc *scope) resolveFunction(fn *function, n *formula.Call) int32 {
	at := n.Span()
	if len(n.Args) == 0 {
		return sc.wrong(text.Span{Start: at.End - 1, End: at.End}, text.Diag{Code: "value-missing", Msg: "a value is missing here"})
	}
	var args []int32
	closure := (fn.isFold || fn.op == OpKeep || fn.op == OpEach) && len(n.Args) == 2 && fn.most == 2
	for i, a := range n.Args {
		if i == 1 && closure {
			t, ok := sc.tableOf(args[0])
			switch {
			case sc.nodes[args[0]].op == OpBroken: // enough has been said of it
				return args[0]
			case !ok:
				return sc.wrong(sc.span(args[0]), text.Diag{Code: "not-rows", Msg: fmt.Sprintf("%s needs the rows of a table first", fn.name), Hint: sc.listCall(fn.name, n)})
			}
			sc.folds = append(sc.folds, t)
			args = append(args, sc.resolve(a))
			sc.folds = sc.folds[:len(sc.folds)-1]
			continue
		}
		args = append(args, sc.resolve(a))
	}
	if !closure && sc.isRows(args[0]) && sc.anyBroken(args[1:]) { // max(parts, .weight): a value for each row was meant
		return sc.addBroken(at)
	}
	if len(args) < fn.least || fn.most >= 0 && len(args) > fn.most {
		d := text.Diag{Msg: fmt.Sprintf("%s takes %s, not %d", fn.name, fn.counts(), len(args)), Hint: commaHint(sc.typed(at))}
		if d.Hint == "" && fn.bringsTogether() {
			d.Hint = sc.listCall(fn.name, n)
		}
		return sc.wrongCount(n, d)
	}
	return sc.buildFunction(fn, args, at.Start, at.End)
}

// anyBroken reports whether a mistake was found in one of several pieces.
func (rs *resolver) anyBroken(list []int32) bool {
	return slices.ContainsFunc(list, func(i int32) bool { return rs.nodes[i].op == OpBroken })
}

func (sc *scope) buildFunction(fn *function, args []int32, from, to int32) int32 {
	nd := node{op: fn.op, a: args[0], b: none, from: from, to: to}
	switch {
	case fn.name == "find" || (fn.name == "first" || fn.name == "last") && sc.isRows(args[0]):
		list := args[0]
		if len(args) == 2 {
			list = sc.add(node{op: OpKeep, a: args[0], b: args[1], from: from, to: to})
		}
		return sc.add(node{op: OpPick, a: list, b: int32(fn.fold), from: from, to: to})
	case fn.isFold && (len(args) == 1 || fn.most == 2 || fn.least == 2):
		return sc.buildFold(fn, args, from, to)
	case fn.op == OpMin || fn.op == OpMax:
		nd.b = args[1]
		n := sc.add(nd)
		for _, a := range args[2:] {
			n = sc.add(node{op: fn.op, a: n, b: a, from: from, to: to})
		}
		return n
	case fn.op == OpFunc:
		nd.c = int32(fn.fn)
		if fn.argument == roundToStep && len(args) == 1 {
			args = append(args, sc.add(node{op: OpConst, val: 1, from: to, to: to}))
		}
	}
	if len(args) > 1 {
		nd.b = args[1]
	}
	if len(args) > 2 {
		nd.c = args[2]
	}
	return sc.add(nd)
}

// buildFold makes a fold; one that depends on nothing but whole columns is worked out once, in a slot of its own.
func (sc *scope) buildFold(fn *function, args []int32, from, to int32) int32 {
	list := args[0]
	switch {
	case len(args) == 2 && fn.filter:
		list = sc.add(node{op: OpKeep, a: list, b: args[1], from: from, to: to})
	case len(args) == 2:
		list = sc.add(node{op: OpEach, a: list, b: args[1], from: from, to: to})
	}
	fold := sc.add(node{op: OpFold, a: list, b: int32(fn.fold), from: from, to: to})
	if sc.own == nil || len(sc.folds) > 0 || len(sc.params) > 0 || sc.dependsOnRow(fold) || sc.said >= 0 {
		return fold
	}
	return sc.add(node{op: OpSlot, a: sc.hiddenSlot(sc.mod, fold), from: from, to: to})
}

// dependsOnPlace reports whether a node reads a row or an argument, so that it has not one value. What goes through the rows
// of a table by itself and comes to one value does not.
func (rs *resolver) dependsOnPlace(i int32) bool {
	n := rs.nodes[i]
	switch n.op {
	case OpOwn, OpEntry, OpParam:
		return true
	case OpFold, OpPick:
		return rs.readsAround(n.a)
	case OpInterp:
		return rs.dependsOnPlace(n.a) || rs.readsAround(n.b) || rs.readsAround(n.c)
	}
	return slices.ContainsFunc(rs.operands(i), rs.dependsOnPlace)
}

// readsAround reports whether a list reads the row that its formula belongs to, or an argument.
func (rs *resolver) readsAround(i int32) bool {
	found := false
	rs.walk(i, func(n *node) { found = found || n.op == OpOwn || n.op == OpParam })
	return found
}

// dependsOnRow reports whether a node reads the row that its formula belongs to, or may do so but for a mistake.
func (rs *resolver) dependsOnRow(i int32) bool {
	found := false
	rs.walk(i, func(n *node) { found = found || n.op == OpOwn || n.op == OpBroken })
	return found
}

// resolveFormula reads a formula's parameters, its body and its conditions, once.
func (rs *resolver) resolveFormula(f *formulaDef) {
	if f.state != unresolved {
		return
	}
	f.state = resolving
	rs.within++
	seen := map[string]bool{}
	for _, p := range f.node.Params {
		if seen[p.Name.Text] {
			rs.report(f.mod, text.Diag{Code: "name-twice", Span: p.Name.Span, Msg: fmt.Sprintf("the formula %s has two values %s", f.node.Name.Text, p.Name.Text)})
		}
		seen[p.Name.Text] = true
		t, sh := rs.tagType(f.mod, p.Unit)
		t.list = p.Each
		pa := param{name: p.Name, each: p.Each, typ: t, show: sh}
		if p.Unit.Choice != nil {
			pa.choices = rs.choicesOf(f.mod, p.Unit.Choice)
		}
		f.params = append(f.params, pa)
	}
	f.typ, f.show = rs.tagType(f.mod, f.node.Unit)
	f.body, f.unread = (&scope{resolver: rs, mod: f.mod, params: f.params}).resolveText(f.node.Expr)
	for k, p := range f.params {
		if p.choices != nil && p.choices.table == nil && !p.each {
			f.needs = append(f.needs, condition{rs.chosenParam(int32(k), p), &text.Condition{Message: text.Word{Text: p.name.Text + " is not one of its choices: " + p.choices.hint(rs.Program, &rs.looked, "")}}})
		}
	}
	for _, c := range f.node.Needs {
		root, said := (&scope{resolver: rs, mod: f.mod, params: f.params}).resolveText(c.Cond)
		f.unread = max(f.unread, said)
		f.needs = append(f.needs, condition{root, c})
	}
	for _, c := range f.node.Trusts {
		root, _ := (&scope{resolver: rs, mod: f.mod, params: f.params}).resolveText(c.Cond)
		f.trusts = append(f.trusts, condition{root, c})
	}
	f.depth = rs.callDepth(f)
	rs.within--
	f.state = resolved
}

// callDepth returns how deep the calls below a formula go: 1 if it calls none.
func (rs *resolver) callDepth(f *formulaDef) int {
	deepest := 0
	see := func(n *node) {
		if n.op == OpCall {
			deepest = max(deepest, rs.formulas[n.a].depth)
		}
	}
	rs.walk(f.body, see)
	for _, c := range slices.Concat(f.needs, f.trusts) {
		rs.walk(c.root, see)
	}
	return deepest + 1
}

// tagType reads the unit of a formula or of one of its values; [text] and [yes/no] are no units.
func (rs *resolver) tagType(mod *module, tag text.UnitTag) (typ, *show) {
	if tag.Choice != nil {
		return writingType, plainShow
	}
	switch tag.Unit.Text {
	case "text":
		return writingType, plainShow
	case "yes/no":
		return truthType, plainShow
	}
	sh, ok := rs.readAnyTag(mod, tag)
	if !ok {
		return typ{}, sh
	}
	return typeOf(sh.unit), sh
}

// resolveExamples gives each example of a formula a slot.
func (rs *resolver) resolveExamples(f *formulaDef) {
	for _, n := range f.node.Examples {
		e := &example{formula: f, node: n}
		if !rs.readExample(e) {
			continue
		}
		root, said := (&scope{resolver: rs, mod: f.mod}).resolveText(n.Call)
		e.slot = rs.hiddenSlot(f.mod, root)
		if said >= 0 {
			rs.breakSlot(e.slot, said)
		}
		rs.slots[e.slot].example = true
		rs.examples = append(rs.examples, e)
	}
}

// readExample reads what an example says its formula gives. It reports false when there is a mistake, which has been said.
func (rs *resolver) readExample(e *example) bool {
	f, v := e.formula, e.node.Value
	sh, ok := rs.readTag(f.mod, e.node.Unit)
	e.show = sh
	switch {
	case !ok:
		return false
	case f.typ.kind == writing:
		e.want = float64(rs.texts.Add(v.Text))
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
		rs.report(f.mod, text.Diag{Code: "example-unit", Span: v.Span, Msg: fmt.Sprintf("this is %s, but %s gives %s", want, f.node.Name.Text, f.typ), Hint: fmt.Sprintf("write %s [%s]", v.Text, f.show.unit)})
		return false
	}
	num, err := f.mod.units.ParseNumber(v.Text, sh.unit)
	if err != nil {
		rs.reportUnits(f.mod, v.Span, v.Text, err)
		return false
	}
	if num.HasUnit && num.Unit.Dim() != sh.unit.Dim() {
		rs.unfitting(f.mod, v.Span, num, sh, true)
		return false
	}
	e.want, e.within = num.SI, lastPlace(v.Text, sh.unit)
	return true
}

// lastPlace returns half a step of the last digit of a number as it is written, in SI: an example's figure is met when
// the formula gives the digits that are printed. A fraction or a whole number is met to half a unit.
func lastPlace(written string, u units.Unit) float64 {
	number := strings.TrimSpace(written)
	exponent := 0
	if i := strings.IndexAny(number, "eE"); i >= 0 {
		fmt.Sscanf(number[i+1:], "%d", &exponent)
		number = number[:i]
	}
	places := 0
	if i := strings.IndexByte(number, '.'); i >= 0 {
		places = len(number) - i - 1
	}
	return 0.5000001 * math.Pow(10, float64(exponent-places)) * math.Abs(u.Factor())
}
