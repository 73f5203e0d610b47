package bind

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gusset/engine/formula"
	"gusset/engine/program"
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
		b := sc.resolveBase(callee.X)
		if b.kind == baseBroken {
			sc.resolveValues(n.Args)
			return b.node
		}
		if s := sc.unreadSlot(b); s != program.None { // a used sheet that could not be read
			return sc.Add(program.Node{Op: program.OpSlot, A: s, From: at.Start, To: at.End})
		}
		if b.kind != basePlace || b.place.Kind != program.SheetPlace {
			return sc.wrong(at, text.Diag{Code: "formula-form", Msg: "only a formula can be followed by values in brackets"})
		}
		mod, alias, name = b.place.Mod, b.path.String(), callee.Name.Text
	case *formula.Column:
		return sc.wrong(at, text.Diag{Code: "formula-form", Msg: "only a formula can be followed by values in brackets"})
	default: // something bad, of which enough has been said
		sc.resolveValues(n.Args)
		return sc.addBroken(n.Span())
	}
	if fn, ok := program.FunctionByName[name]; ok && mod == sc.mod {
		return sc.resolveFunction(fn, n)
	}
	def := mod.Formulas[name]
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
func (rs *resolver) findFormula(mod *program.Module, name string) *program.Formula {
	if f, ok := mod.Formulas[name]; ok {
		return f
	}
	for _, lib := range rs.libraryHas(name) {
		if f, ok := lib.Formulas[name]; ok {
			return f
		}
	}
	return nil
}

func (sc *scope) resolveFormulaCall(def *program.Formula, n *formula.Call) int32 {
	if sc.within < maxCalls {
		sc.resolveFormula(def)
	}
	switch {
	case def.State == program.Resolving:
		return sc.wrong(n.Func.Span(), text.Diag{Code: "formula-ring", Msg: def.Node.Name.Text + " would call itself", Hint: "a formula cannot call itself, directly or through others"})
	case def.State == program.Unresolved || def.Depth > maxCalls:
		return sc.wrong(n.Func.Span(), text.Diag{Code: "formula-deep", Msg: fmt.Sprintf("formulas call one another more than %d deep", maxCalls), Hint: "work it out in parts, each a cell of its own"})
	}
	args := make([]int32, len(n.Args))
	for i, a := range n.Args {
		args[i] = sc.resolve(a)
	}
	if len(args) != len(def.Params) {
		return sc.wrongCount(n, text.Diag{
			Msg: fmt.Sprintf("%s takes %s, not %d", def.Node.Name.Text, program.CountOf(len(def.Params), "value"), len(args)), Hint: "it is " + def.Signature(),
		})
	}
	first := int32(len(sc.Lists))
	sc.Lists = append(sc.Lists, args...)
	return sc.Add(program.Node{Op: program.OpCall, A: def.Number, B: first, C: int32(len(args)), From: n.Span().Start, To: n.Span().End})
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
func (sc *scope) resolveFunction(fn *program.Function, n *formula.Call) int32 {
	at := n.Span()
	if len(n.Args) == 0 {
		return sc.wrong(text.Span{Start: at.End - 1, End: at.End}, text.Diag{Code: "value-missing", Msg: "a value is missing here"})
	}
	var args []int32
	closure := (fn.IsFold || fn.Op == program.OpKeep || fn.Op == program.OpEach) && len(n.Args) == 2 && fn.Most == 2
	for i, a := range n.Args {
		if i == 1 && closure {
			t, ok := sc.TableOf(args[0])
			switch {
			case sc.Nodes[args[0]].Op == program.OpBroken: // enough has been said of it
				return args[0]
			case !ok:
				return sc.wrong(sc.Span(args[0]), text.Diag{Code: "not-rows", Msg: fmt.Sprintf("%s needs the rows of a table first", fn.Name), Hint: sc.listCall(fn.Name, n)})
			}
			sc.folds = append(sc.folds, t)
			args = append(args, sc.resolve(a))
			sc.folds = sc.folds[:len(sc.folds)-1]
			continue
		}
		args = append(args, sc.resolve(a))
	}
	if !closure && sc.IsRows(args[0]) && sc.anyBroken(args[1:]) { // max(parts, .weight): a value for each row was meant
		return sc.addBroken(at)
	}
	if len(args) < fn.Least || fn.Most >= 0 && len(args) > fn.Most {
		d := text.Diag{Msg: fmt.Sprintf("%s takes %s, not %d", fn.Name, fn.Counts(), len(args)), Hint: commaHint(sc.typed(at))}
		if d.Hint == "" && fn.BringsTogether() {
			d.Hint = sc.listCall(fn.Name, n)
		}
		return sc.wrongCount(n, d)
	}
	return sc.buildFunction(fn, args, at.Start, at.End)
}

// anyBroken reports whether a mistake was found in one of several pieces.
func (rs *resolver) anyBroken(list []int32) bool {
	return slices.ContainsFunc(list, func(i int32) bool { return rs.Nodes[i].Op == program.OpBroken })
}

func (sc *scope) buildFunction(fn *program.Function, args []int32, from, to int32) int32 {
	nd := program.Node{Op: fn.Op, A: args[0], B: program.None, From: from, To: to}
	switch {
	case fn.Name == "find" || (fn.Name == "first" || fn.Name == "last") && sc.IsRows(args[0]):
		list := args[0]
		if len(args) == 2 {
			list = sc.Add(program.Node{Op: program.OpKeep, A: args[0], B: args[1], From: from, To: to})
		}
		return sc.Add(program.Node{Op: program.OpPick, A: list, B: int32(fn.Fold), From: from, To: to})
	case fn.IsFold && (len(args) == 1 || fn.Most == 2 || fn.Least == 2):
		return sc.buildFold(fn, args, from, to)
	case fn.Op == program.OpMin || fn.Op == program.OpMax:
		nd.B = args[1]
		n := sc.Add(nd)
		for _, a := range args[2:] {
			n = sc.Add(program.Node{Op: fn.Op, A: n, B: a, From: from, To: to})
		}
		return n
	case fn.Op == program.OpFunc:
		nd.C = int32(fn.Fn)
		if fn.Argument == program.RoundToStep && len(args) == 1 {
			args = append(args, sc.Add(program.Node{Op: program.OpConst, Val: 1, From: to, To: to}))
		}
	}
	if len(args) > 1 {
		nd.B = args[1]
	}
	if len(args) > 2 {
		nd.C = args[2]
	}
	return sc.Add(nd)
}

// buildFold makes a fold; one that depends on nothing but whole columns is worked out once, in a slot of its own.
func (sc *scope) buildFold(fn *program.Function, args []int32, from, to int32) int32 {
	list := args[0]
	switch {
	case len(args) == 2 && fn.Filter:
		list = sc.Add(program.Node{Op: program.OpKeep, A: list, B: args[1], From: from, To: to})
	case len(args) == 2:
		list = sc.Add(program.Node{Op: program.OpEach, A: list, B: args[1], From: from, To: to})
	}
	fold := sc.Add(program.Node{Op: program.OpFold, A: list, B: int32(fn.Fold), From: from, To: to})
	if sc.own == nil || len(sc.folds) > 0 || len(sc.params) > 0 || sc.dependsOnRow(fold) || sc.said >= 0 {
		return fold
	}
	return sc.Add(program.Node{Op: program.OpSlot, A: sc.hiddenSlot(sc.mod, fold), From: from, To: to})
}

// dependsOnPlace reports whether a node reads a row or an argument, so that it has not one value. What goes through the rows
// of a table by itself and comes to one value does not.
func (rs *resolver) dependsOnPlace(i int32) bool {
	n := rs.Nodes[i]
	switch n.Op {
	case program.OpOwn, program.OpEntry, program.OpParam:
		return true
	case program.OpFold, program.OpPick:
		return rs.readsAround(n.A)
	case program.OpInterp:
		return rs.dependsOnPlace(n.A) || rs.readsAround(n.B) || rs.readsAround(n.C)
	}
	return slices.ContainsFunc(rs.Operands(i), rs.dependsOnPlace)
}

// readsAround reports whether a list reads the row that its formula belongs to, or an argument.
func (rs *resolver) readsAround(i int32) bool {
	found := false
	rs.Walk(i, func(n *program.Node) { found = found || n.Op == program.OpOwn || n.Op == program.OpParam })
	return found
}

// dependsOnRow reports whether a node reads the row that its formula belongs to, or may do so but for a mistake.
func (rs *resolver) dependsOnRow(i int32) bool {
	found := false
	rs.Walk(i, func(n *program.Node) { found = found || n.Op == program.OpOwn || n.Op == program.OpBroken })
	return found
}

// resolveFormula reads a formula's parameters, its body and its conditions, once.
func (rs *resolver) resolveFormula(f *program.Formula) {
	if f.State != program.Unresolved {
		return
	}
	f.State = program.Resolving
	rs.within++
	seen := map[string]bool{}
	for _, p := range f.Node.Params {
		if seen[p.Name.Text] {
			rs.Report(f.Mod, text.Diag{Code: "name-twice", Span: p.Name.Span, Msg: fmt.Sprintf("the formula %s has two values %s", f.Node.Name.Text, p.Name.Text)})
		}
		seen[p.Name.Text] = true
		t, sh := rs.tagType(f.Mod, p.Unit)
		t.List = p.Each
		pa := program.Param{Name: p.Name, Each: p.Each, Typ: t, Show: sh}
		if p.Unit.Choice != nil {
			pa.Choices = rs.choicesOf(f.Mod, p.Unit.Choice)
		}
		f.Params = append(f.Params, pa)
	}
	f.Typ, f.Show = rs.tagType(f.Mod, f.Node.Unit)
	f.Body, f.Unread = (&scope{resolver: rs, mod: f.Mod, params: f.Params}).resolveText(f.Node.Expr)
	for k, p := range f.Params {
		if p.Choices != nil && p.Choices.Table == nil && !p.Each {
			f.Needs = append(f.Needs, program.Condition{Root: rs.chosenParam(int32(k), p), Node: &text.Condition{Message: text.Word{Text: p.Name.Text + " is not one of its choices: " + p.Choices.Hint(rs.Program, &rs.Looked, "")}}})
		}
	}
	for _, c := range f.Node.Needs {
		root, said := (&scope{resolver: rs, mod: f.Mod, params: f.Params}).resolveText(c.Cond)
		f.Unread = max(f.Unread, said)
		f.Needs = append(f.Needs, program.Condition{Root: root, Node: c})
	}
	for _, c := range f.Node.Trusts {
		root, _ := (&scope{resolver: rs, mod: f.Mod, params: f.Params}).resolveText(c.Cond)
		f.Trusts = append(f.Trusts, program.Condition{Root: root, Node: c})
	}
	f.Depth = rs.callDepth(f)
	rs.within--
	f.State = program.Resolved
}

// callDepth returns how deep the calls below a formula go: 1 if it calls none.
func (rs *resolver) callDepth(f *program.Formula) int {
	deepest := 0
	see := func(n *program.Node) {
		if n.Op == program.OpCall {
			deepest = max(deepest, rs.Formulas[n.A].Depth)
		}
	}
	rs.Walk(f.Body, see)
	for _, c := range slices.Concat(f.Needs, f.Trusts) {
		rs.Walk(c.Root, see)
	}
	return deepest + 1
}

// tagType reads the unit of a formula or of one of its values; [text] and [yes/no] are no units.
func (rs *resolver) tagType(mod *program.Module, tag text.UnitTag) (program.Type, *program.Show) {
	if tag.Choice != nil {
		return program.WritingType, program.PlainShow
	}
	switch tag.Unit.Text {
	case "text":
		return program.WritingType, program.PlainShow
	case "yes/no":
		return program.TruthType, program.PlainShow
	}
	sh, ok := rs.readAnyTag(mod, tag)
	if !ok {
		return program.Type{}, sh
	}
	return program.TypeOf(sh.Unit), sh
}

// resolveExamples gives each example of a formula a slot.
func (rs *resolver) resolveExamples(f *program.Formula) {
	for _, n := range f.Node.Examples {
		e := &program.Example{Formula: f, Node: n}
		if !rs.readExample(e) {
			continue
		}
		root, said := (&scope{resolver: rs, mod: f.Mod}).resolveText(n.Call)
		e.Slot = rs.hiddenSlot(f.Mod, root)
		if said >= 0 {
			rs.BreakSlot(e.Slot, said)
		}
		rs.Slots[e.Slot].Example = true
		rs.Examples = append(rs.Examples, e)
	}
}

// readExample reads what an example says its formula gives. It reports false when there is a mistake, which has been said.
func (rs *resolver) readExample(e *program.Example) bool {
	f, v := e.Formula, e.Node.Value
	sh, ok := rs.readTag(f.Mod, e.Node.Unit)
	e.Show = sh
	switch {
	case !ok:
		return false
	case f.Typ.Kind == program.Writing:
		e.Want = float64(rs.Texts.Add(v.Text))
		return true
	case f.Typ.Kind == program.Truth && (v.Text == "yes" || v.Text == "no"):
		e.Want = program.TruthValue(v.Text == "yes")
		return true
	}
	given := f.Typ.Dim
	if given.Currency() == units.AnyMoney {
		given = given.WithCurrency(sh.Unit.Dim().Currency())
	}
	if want := program.TypeOf(sh.Unit); f.Typ.Kind == program.Number && given != want.Dim {
		rs.Report(f.Mod, text.Diag{Code: "example-unit", Span: v.Span, Msg: fmt.Sprintf("this is %s, but %s gives %s", want, f.Node.Name.Text, f.Typ), Hint: fmt.Sprintf("write %s [%s]", v.Text, f.Show.Unit)})
		return false
	}
	num, err := f.Mod.Units.ParseNumber(v.Text, sh.Unit)
	if err != nil {
		rs.reportUnits(f.Mod, v.Span, v.Text, err)
		return false
	}
	if num.HasUnit && num.Unit.Dim() != sh.Unit.Dim() {
		rs.unfitting(f.Mod, v.Span, num, sh, true)
		return false
	}
	e.Want, e.Within = num.SI, lastPlace(v.Text, sh.Unit)
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
