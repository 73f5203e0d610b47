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
	default: // something bad, of which enough has been reported
		sc.resolveValues(n.Args)
		return sc.addBroken(n.Span())
	}
	if fn, ok := program.FunctionByName[name]; ok && mod == sc.mod {
		return sc.resolveFunction(fn, n)
	}
	def := mod.Formulas[name]
	if name == program.SpreadForm && def == nil && mod == sc.mod {
		return resolveSpread(sc, n)
	}
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
	return slices.ContainsFunc(n.Children(), hasColumn)
}

func (sc *scope) resolveFormulaCall(def *program.Formula, n *formula.Call) int32 {
	if sc.within < maxCalls {
		sc.resolveFormula(def)
	}
	switch {
	case def.State == program.Resolving:
		return sc.wrong(n.Func.Span(), text.Diag{
			Code: "formula-ring", Msg: def.Node.Name.Text + " would call itself",
			Hint: "a formula cannot call itself, directly or through others",
		})
	case def.State == program.Unresolved || def.Depth > maxCalls:
		return sc.wrong(n.Func.Span(), text.Diag{
			Code: "formula-deep", Msg: fmt.Sprintf("formulas call one another more than %d deep", maxCalls),
			Hint: "work it out in parts, each a cell of its own",
		})
	}
	args := make([]int32, len(n.Args))
	for i, a := range n.Args {
		args[i] = sc.resolve(a)
	}
	if len(args) != len(def.Params) {
		return sc.wrongCount(n, text.Diag{
			Msg:  fmt.Sprintf("%s takes %s, not %d", def.Node.Name.Text, program.CountOf(len(def.Params), "value"), len(args)),
			Hint: "it is " + def.Signature(sc.BuilderUnits()),
		})
	}
	first := int32(len(sc.Lists))
	sc.Lists = append(sc.Lists, args...)
	return sc.Add(program.Node{
		Op: program.OpCall, A: def.Number, B: first, C: int32(len(args)),
		From: n.Span().Start, To: n.Span().End,
	})
}

// wrongCount reports a call with too few or too many values. Of a call in which a value is bad enough has been
// reported: it may stand for several.
func (sc *scope) wrongCount(n *formula.Call, d text.Diag) int32 {
	for _, a := range n.Args {
		if isBad(a) {
			return sc.addBroken(n.Span())
		}
	}
	d.Code = "argument-count"
	return sc.wrong(n.Span(), d)
}

// isBad reports whether a piece of a formula has no meaning, which has been reported.
func isBad(n formula.Node) bool {
	_, bad := formula.Unbracket(n).(*formula.Bad)
	return bad
}

// resolveFunction binds a call of a function that is always at hand.
func (sc *scope) resolveFunction(fn *program.Function, call *formula.Call) int32 {
	at := call.Span()
	if len(call.Args) == 0 {
		end := text.Span{Start: at.End - 1, End: at.End}
		return sc.wrong(end, text.Diag{Code: "value-missing", Msg: "a value is missing here"})
	}
	var args []int32
	closure := fn.OfRow(1, len(call.Args))
	for i, a := range call.Args {
		if fn.OfRow(i, len(call.Args)) {
			t, ok := sc.TableOf(args[0])
			switch n := sc.Nodes[args[0]]; {
			case n.Op == program.OpBroken, n.Op == program.OpSlot && sc.IsBroken(n.A): // enough has been reported
				return args[0]
			case !ok || fn.Op == program.OpStock && !sc.IsRows(args[0]):
				return sc.wrong(sc.Span(args[0]), text.Diag{
					Code: "not-rows", Msg: fmt.Sprintf("%s needs the rows of a table first", fn.Name),
					Hint: listCall(sc.mod, fn.Name, call),
				})
			}
			sc.folds = append(sc.folds, t)
			args = append(args, sc.resolve(a))
			sc.folds = sc.folds[:len(sc.folds)-1]
			continue
		}
		args = append(args, sc.resolve(a))
	}
	// max(parts, .weight): a value for each row was meant
	if !closure && sc.IsRows(args[0]) && anyBroken(sc.Program, args[1:]) {
		return sc.addBroken(at)
	}
	if len(args) < fn.Least || fn.Most >= 0 && len(args) > fn.Most {
		d := text.Diag{
			Msg:  fmt.Sprintf("%s takes %s, not %d", fn.Name, fn.Counts(), len(args)),
			Hint: commaHint(sc.mod.Typed(at)),
		}
		if d.Hint == "" && fn.BringsTogether() {
			d.Hint = listCall(sc.mod, fn.Name, call)
		} else if d.Hint == "" && fn.Op == program.OpStock {
			d.Hint = fn.Example()
		}
		return sc.wrongCount(call, d)
	}
	return sc.buildFunction(fn, args, at.Start, at.End)
}

// anyBroken reports whether a mistake was found in one of several pieces.
func anyBroken(p *program.Program, list []int32) bool {
	return slices.ContainsFunc(list, func(i int32) bool { return p.Nodes[i].Op == program.OpBroken })
}

func (sc *scope) buildFunction(fn *program.Function, args []int32, from, to int32) int32 {
	nd := program.Node{Op: fn.Op, A: args[0], B: program.None, From: from, To: to}
	switch {
	case fn.Op == program.OpStock:
		return buildStock(sc, args, from, to)
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
	case fn.Op == program.OpPoints:
		nd.B, nd.C = args[1], int32(fn.Fold)
		return onceForAll(sc, nd)
	case fn.Op == program.OpFunc:
		nd.C = int32(fn.Fn)
		if fn.Argument == program.RoundToStep && len(args) == 1 {
			args = append(args, sc.Add(program.Node{Op: program.OpConst, From: to, To: to}.WithNumber(1)))
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

// buildFold makes a fold.
func (sc *scope) buildFold(fn *program.Function, args []int32, from, to int32) int32 {
	list := args[0]
	switch {
	case len(args) == 2 && fn.Filter:
		list = sc.Add(program.Node{Op: program.OpKeep, A: list, B: args[1], From: from, To: to})
	case len(args) == 2:
		list = sc.Add(program.Node{Op: program.OpEach, A: list, B: args[1], From: from, To: to})
	}
	return onceForAll(sc, program.Node{Op: program.OpFold, A: list, B: int32(fn.Fold), From: from, To: to})
}

// buildStock makes an OpStock. Where nothing is said of the kerf there is none, and nothing is turned.
func buildStock(sc *scope, args []int32, from, to int32) int32 {
	rows, parts := args[0], slices.Clone(args[1:])
	if len(parts) == program.StockKerf {
		parts = append(parts, sc.Add(program.Node{Op: program.OpConst, From: to, To: to}))
	}
	if len(parts) == program.StockTurn {
		parts = append(parts, sc.Add(program.Node{Op: program.OpBoolean, From: to, To: to}))
	}
	for k, part := range parts {
		if n := sc.Nodes[part]; program.StockOfRow(k) {
			parts[k] = sc.Add(program.Node{Op: program.OpEach, A: rows, B: part, From: n.From, To: n.To})
		}
	}
	first := int32(len(sc.Lists))
	sc.Lists = append(sc.Lists, parts...)
	return onceForAll(sc, program.Node{Op: program.OpStock, B: first, C: program.StockParts, From: from, To: to})
}

// onceForAll adds what goes through rows; in a table, what depends on no row of it is worked out once, in a slot of its
// own.
func onceForAll(sc *scope, n program.Node) int32 {
	fold := sc.Add(n)
	if sc.own == nil || len(sc.folds) > 0 || len(sc.params) > 0 || sc.dependsOnRow(fold) || sc.diag >= 0 {
		return fold
	}
	return sc.Add(program.Node{Op: program.OpSlot, A: sc.hiddenSlot(sc.mod, fold), From: n.From, To: n.To})
}

// dependsOnPlace reports whether a node reads a row or an argument, so that it has not one value. What goes
// through the rows of a table by itself and comes to one value does not.
func (rs *resolver) dependsOnPlace(i int32) bool {
	n := rs.Nodes[i]
	switch n.Op {
	case program.OpOwn, program.OpEntry, program.OpParam:
		return true
	case program.OpFold, program.OpPick:
		return rs.readsAround(n.A)
	case program.OpPoints:
		return rs.readsAround(n.A) || rs.readsAround(n.B)
	case program.OpInterp:
		return rs.dependsOnPlace(n.A) || rs.readsAround(n.B) || rs.readsAround(n.C)
	case program.OpStock:
		for k, part := range rs.Operands(i) {
			if program.StockOfRow(k) && rs.readsAround(part) || !program.StockOfRow(k) && rs.dependsOnPlace(part) {
				return true
			}
		}
		return false
	}
	return slices.ContainsFunc(rs.Operands(i), rs.dependsOnPlace)
}

// readsAround reports whether a list reads the row that its formula belongs to, or an argument.
func (rs *resolver) readsAround(i int32) bool {
	return rs.Any(i, func(n *program.Node) bool { return n.Op == program.OpOwn || n.Op == program.OpParam })
}

// dependsOnRow reports whether a node reads the row that its formula belongs to, or may do so but for a mistake.
func (rs *resolver) dependsOnRow(i int32) bool {
	return rs.Any(i, func(n *program.Node) bool { return n.Op == program.OpOwn || n.Op == program.OpBroken })
}

// lastPlace returns half a step of the last digit of a number as it is written, in SI: an example's figure is met when
// the formula gives the digits that are printed. A fraction or a whole number is met to half a unit.
func lastPlace(written string, u units.Unit) float64 {
	return 0.5000001 * math.Pow(10, -float64(program.Decimals(strings.TrimSpace(written)))) * math.Abs(u.Factor())
}
