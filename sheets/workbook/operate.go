package workbook

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"gusset/engine"
	"gusset/units"
)

// operator writes an operator.
func (tr *translator) operator(e *engine.Expr, at *place, want *units.Scale) term {
	switch e.Op {
	case engine.OpAdd, engine.OpSub:
		return tr.sum(e, at, want)
	case engine.OpMul, engine.OpDiv:
		return tr.product(e, at)
	case engine.OpPow:
		return tr.power(e, at)
	case engine.OpNeg:
		return tr.of(e.Args[0], at, want, func(t term) (string, level) { return "-" + t.at(negating), negating })
	case engine.OpAbs:
		return tr.of(e.Args[0], at, want, call("ABS"))
	case engine.OpSqrt:
		return tr.root(e, at, 2, call("SQRT"))
	case engine.OpMin, engine.OpMax:
		return tr.least(e, at, want)
	case engine.OpLess, engine.OpLessEq, engine.OpEqual, engine.OpNotEqual:
		return tr.compare(e, at)
	case engine.OpAnd, engine.OpOr, engine.OpNot:
		return tr.truth(e, at)
	case engine.OpChoose:
		return tr.choose(e, at, want)
	case engine.OpGiven:
		return tr.given(e, at, want)
	case engine.OpJoin:
		a, b := tr.write(e.Args[0], at, nil), tr.write(e.Args[1], at, nil)
		return with(a.at(joining)+"&"+b.at(adding), joining, a, b)
	}
	return tr.fail(errNothing)
}

// call writes a function of one value.
func call(name string) func(t term) (string, level) {
	return func(t term) (string, level) { return name + "(" + t.text + ")", whole }
}

// of writes what is made of one number and keeps its scale.
func (tr *translator) of(e *engine.Expr, at *place, want *units.Scale, make func(t term) (string, level)) term {
	t := tr.write(e, at, want)
	text, l := make(t)
	r := with(text, l, t)
	r.scale, r.free = t.scale, t.free
	return r
}

func (tr *translator) sum(e *engine.Expr, at *place, want *units.Scale) term {
	a, b := tr.reading(e.Args[0], at, want), tr.reading(e.Args[1], at, want)
	zero := 0.0
	switch {
	case e.Op == engine.OpSub && b.zero != 0: // one reading less another
		sameZero(&a, &b)
	case a.zero != 0:
		zero, want = a.zero, &a.scale
	case b.zero != 0:
		zero, want = b.zero, &b.scale
	}
	a.zero, b.zero = 0, 0
	scale := alike(want, &a, &b)
	mark, right := "+", adding
	if e.Op == engine.OpSub {
		mark, right = "-", multiplying
	}
	if strings.HasPrefix(b.text, "-") { // 3--2 is hard to read
		right = whole
	}
	t := with(a.at(adding)+mark+b.at(right), adding, a, b)
	t.scale, t.zero = scale, zero
	return t
}

func (tr *translator) product(e *engine.Expr, at *place) term {
	a, b := tr.write(e.Args[0], at, nil), tr.write(e.Args[1], at, nil)
	mark, right, scaled := "*", multiplying, units.Scale.Times
	if e.Op == engine.OpDiv {
		mark, right, scaled = "/", raising, units.Scale.Over
	}
	if scaled(a.scale, b.scale).Long() {
		a, b = a.in(units.Scale{}), b.in(units.Scale{})
	}
	if strings.HasPrefix(b.text, "-") {
		right = whole
	}
	t := with(a.at(multiplying)+mark+b.at(right), multiplying, a, b)
	switch { // a factor of 1 is there for its unit
	case b.isOne():
		t = with(a.text, a.level, a)
	case a.isOne() && e.Op == engine.OpMul:
		t = with(b.text, b.level, b)
	}
	t.scale = scaled(a.scale, b.scale)
	return t
}

func (t term) isOne() bool { return t.constant && t.number == 1 && t.text == "1" }

// power writes a power. Its exponent is worked out if it stands in the formula, since the unit takes it too.
func (tr *translator) power(e *engine.Expr, at *place) term {
	a, b := tr.write(e.Args[0], at, nil), tr.write(e.Args[1], at, nil).in(units.Scale{})
	scale, ok := units.Scale{}, a.scale.Equal(units.Scale{})
	if x, known := constant(e.Args[1]); known && !ok {
		scale, ok = scalePower(a.scale, x)
	}
	if !ok {
		a, scale = a.in(units.Scale{}), units.Scale{}
	}
	l := whole
	if b.level == negating {
		l = negating
	}
	t := with(a.at(whole)+"^"+b.at(l), raising, a, b)
	t.scale = scale
	return t
}

// scalePower raises a scale to a power that is a fraction of twelve.
func scalePower(s units.Scale, x float64) (units.Scale, bool) {
	n := math.Round(x * 12)
	if math.Abs(x*12-n) > 1e-9 || math.Abs(n) > 600 {
		return units.Scale{}, false
	}
	num, den := int(n), 12
	for _, k := range []int{2, 2, 3} {
		if num%k == 0 && den%k == 0 {
			num, den = num/k, den/k
		}
	}
	return s.Power(num, den)
}

// constant works out a number that stands in a formula.
func constant(e *engine.Expr) (float64, bool) {
	var v []float64
	for _, a := range e.Args {
		x, ok := constant(a)
		if !ok {
			return 0, false
		}
		v = append(v, x)
	}
	switch e.Op {
	case engine.OpConst:
		return e.Number * e.Unit.Factor(), true
	case engine.OpNeg:
		return -v[0], true
	case engine.OpAdd:
		return v[0] + v[1], true
	case engine.OpSub:
		return v[0] - v[1], true
	case engine.OpMul:
		return v[0] * v[1], true
	case engine.OpDiv:
		return v[0] / v[1], v[1] != 0
	}
	return 0, false
}

// root writes a root, of which the unit is taken too.
func (tr *translator) root(e *engine.Expr, at *place, den int, make func(t term) (string, level)) term {
	a := tr.write(e.Args[0], at, nil)
	scale, ok := a.scale.Power(1, den)
	if !ok {
		a, scale = a.in(units.Scale{}), units.Scale{}
	}
	text, l := make(a)
	t := with(text, l, a)
	t.scale = scale
	return t
}

// least writes the smaller or the larger of two.
func (tr *translator) least(e *engine.Expr, at *place, want *units.Scale) term {
	a, b := tr.reading(e.Args[0], at, want), tr.reading(e.Args[1], at, want)
	zero := sameZero(&a, &b)
	scale := alike(want, &a, &b)
	name, mark := "MIN", "<"
	if e.Op == engine.OpMax {
		name, mark = "MAX", ">"
	}
	t := calling(name, a, b)
	if len(t.folds) > 0 { // MIN would bring the rows together
		t.text, t.array = fmt.Sprintf("IF(%s%s%s,%s,%s)", a.at(adding), mark, b.at(adding), a.text, b.text), true
		t.function = ""
	}
	t.scale, t.zero = scale, zero
	return t
}

// hair is how far two numbers may be apart, as a share of them, and still count as equal: as in the sheet.
const (
	hair       = "1E-12"
	hairNumber = 1e-12
)

// compare writes a comparison. Numbers that have been worked out differ in their last digits from what they should be.
func (tr *translator) compare(e *engine.Expr, at *place) term {
	a, b := tr.reading(e.Args[0], at, nil), tr.reading(e.Args[1], at, nil)
	if !a.typed || !b.typed { // how far they may be apart counts from absolute zero
		a, b = a.settled(), b.settled()
	}
	sameZero(&a, &b)
	if e.Args[0].IsText || e.Args[0].IsTruth {
		return same(e, a, b)
	}
	a.free = a.free || a.constant && a.number == 0 // in any unit
	b.free = b.free || b.constant && b.number == 0
	alike(nil, &a, &b)
	t := with(compared(e.Op, a, b), comparing, a, b)
	if a.constant && b.constant && (e.Op == engine.OpLess || e.Op == engine.OpLessEq) && a.number != b.number {
		t.text, t.level = truthText(a.number < b.number), whole
	}
	t.truth = true
	return t
}

// same writes whether two texts, or two conditions, are the same.
func same(e *engine.Expr, a, b term) term {
	t := with("EXACT("+a.text+","+b.text+")", whole, a, b)
	t.truth = true
	switch {
	case e.Args[0].IsTruth:
		t.text, t.level = "("+a.text+")=("+b.text+")", comparing
	case a.constant && b.constant:
		t.text = truthText((a.text == b.text) == (e.Op == engine.OpEqual))
		return t
	}
	if e.Op == engine.OpNotEqual {
		t.text, t.level = "NOT("+t.text+")", whole
	}
	return t
}

func truthText(b bool) string {
	if b {
		return "TRUE"
	}
	return "FALSE"
}

// marks are the comparisons, and those that mean the same from the other side.
var marks, turned = map[engine.Op]string{engine.OpLess: "<", engine.OpLessEq: "<=", engine.OpEqual: "=", engine.OpNotEqual: "<>"},
	map[engine.Op]string{engine.OpLess: ">", engine.OpLessEq: ">=", engine.OpEqual: "=", engine.OpNotEqual: "<>"}

// compared writes the comparison of two numbers in one scale, the one that stands in the formula last.
func compared(o engine.Op, a, b term) string {
	mark, away := marks[o], 1
	if a.constant && !b.constant {
		a, b, mark, away = b, a, turned[o], -1
	}
	left, right := a.at(adding), b.at(adding)
	zero := b.constant && b.number == 0
	if a.typed && b.typed || zero {
		return left + mark + right
	}
	ends := b // the side that tells how much a hair is
	if !b.constant && len(a.text) < len(b.text) {
		ends = a
	}
	apart := hair + "*ABS(" + ends.text + ")"
	if ends.constant {
		apart = numeral(shortened(hairNumber * math.Abs(ends.number)))
	}
	if o == engine.OpEqual || o == engine.OpNotEqual {
		return "ABS(" + left + "-" + b.at(multiplying) + ")" + map[engine.Op]string{engine.OpEqual: "<=", engine.OpNotEqual: ">"}[o] + apart
	}
	sign := "+"
	if (o == engine.OpLess) == (away > 0) {
		sign = "-"
	}
	return left + mark + right + sign + apart
}

// shortened returns a number to three digits, for what need not be exact.
func shortened(x float64) float64 {
	short, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 3, 64), 64)
	return short
}

// truth writes and, or and not.
func (tr *translator) truth(e *engine.Expr, at *place) term {
	if e.Op == engine.OpNot {
		a := tr.write(e.Args[0], at, nil)
		t := with("NOT("+a.text+")", whole, a)
		t.truth = true
		return t
	}
	parts := tr.parts(e, e.Op, at, nil)
	decides := truthText(e.Op == engine.OpOr) // and what says the other goes without saying
	for _, p := range parts {
		if p.text == decides {
			return p.term
		}
	}
	undecided := truthText(e.Op != engine.OpOr)
	parts = slices.DeleteFunc(parts, func(p part) bool { return p.text == undecided })
	switch {
	case len(parts) == 0:
		return term{text: undecided, level: whole, truth: true}
	case len(parts) == 1:
		return parts[0].term
	case knownTogether(parts):
		t := joinedTruth(e.Op, parts)
		t.array = t.array || len(t.folds) > 0
		return t
	}
	return tr.decided(e.Op, parts)
}

// part is one of the conditions that are joined by and, or by or.
type part struct {
	term
	expr  *engine.Expr
	fails bool // it may fail, rather than only wait
	waits bool // it may wait though all that it needs is filled in
}

// partOf returns a condition as it is written.
func (tr *translator) partOf(t term, e *engine.Expr, at *place) part {
	return part{t, e, tr.mayFail(e, at), tr.joins(e, at)}
}

// parts writes the conditions that an operator joins, as many as there are side by side.
func (tr *translator) parts(e *engine.Expr, op engine.Op, at *place, list []part) []part {
	for _, a := range e.Args {
		if a.Op == op && !(knownWith(a.Args[0], a.Args[1]) && knownWith(a.Args[1], a.Args[0])) {
			list = tr.parts(a, op, at, list)
			continue
		}
		list = append(list, tr.partOf(tr.write(a, at, nil), a, at))
	}
	return list
}

// knownTogether reports whether all conditions have an answer as soon as one of them has.
func knownTogether(parts []part) bool {
	for i, p := range parts[1:] {
		if q := parts[i]; !knownWith(p.expr, q.expr) || !knownWith(q.expr, p.expr) {
			return false
		}
	}
	return true
}

// joinedTruth writes conditions joined by an operator, where it does not matter which of them has no answer.
func joinedTruth(op engine.Op, parts []part) term {
	var terms []term
	for _, p := range parts {
		terms = append(terms, p.term)
	}
	if op == engine.OpAnd {
		return allOf(terms)
	}
	t := with(terms[len(terms)-1].text, whole, terms...)
	if len(t.folds) == 0 {
		t = calling("OR", terms...)
	} else { // OR would bring the rows together
		for _, c := range slices.Backward(terms[:len(terms)-1]) {
			t.text = "IF(" + c.text + ",TRUE," + t.text + ")"
		}
	}
	t.truth = true
	return t
}

// decided writes conditions joined by an operator, one of which decides even where others have no answer. Where none decides,
// a failure comes before what is not filled in.
func (tr *translator) decided(op engine.Op, parts []part) term {
	conds := takeConds(parts)
	none, rows := noneDecides(op, parts) // which would be enough
	for i := range parts {
		parts[i].term = guarded(parts[i].term)
	}
	t := joinedTruth(op, parts)
	for _, p := range slices.Backward(parts) { // which of several errors AND and OR show differs from program to program
		if p.fails {
			t.text = fmt.Sprintf("IF(ISERR(%s),%s,%s)", p.text, p.text, t.text)
		}
	}
	form := "IF(%s,%s,FALSE)"
	if op == engine.OpOr {
		form = "IF(%s,TRUE,%s)"
	}
	switch {
	case rows: // AND and OR would bring the rows together
		for _, n := range slices.Backward(none) {
			t.text = fmt.Sprintf(form, n, t.text)
		}
	case op == engine.OpOr:
		t.text = fmt.Sprintf(form, "OR("+strings.Join(none, ",")+")", t.text)
	default:
		t.text = fmt.Sprintf(form, "AND("+strings.Join(none, ",")+")", t.text)
	}
	t.level, t.function, t.values, t.array = whole, "", "", t.array || rows
	t.needs = conds
	return t
}

// takeConds takes from some conditions what all of a table needs, which is asked once around all of them.
func takeConds(parts []part) []need {
	var conds []need
	for i := range parts {
		var rest []need
		for _, n := range parts[i].needs {
			switch {
			case n.cond == "":
				rest = append(rest, n)
			case !slices.Contains(conds, n):
				conds = append(conds, n)
			}
		}
		parts[i].needs = rest
	}
	return conds
}

// noneDecides writes each of some conditions so that what has no answer does not decide, and reports whether one of them has an
// answer for each row.
func noneDecides(op engine.Op, parts []part) (texts []string, rows bool) {
	undecided := truthText(op == engine.OpAnd)
	for _, p := range parts {
		rows = rows || len(p.folds) > 0
		if t := p.guardedOr(undecided, nil); !p.fails && !p.waits {
			texts = append(texts, t.text)
			continue
		}
		texts = append(texts, "IFERROR("+guarded(p.term).text+","+undecided+")")
	}
	return texts, rows
}

// mayFail reports whether a condition may fail, rather than only wait as a comparison of given values does.
func (tr *translator) mayFail(e *engine.Expr, at *place) bool {
	switch e.Op {
	case engine.OpConst, engine.OpText, engine.OpTruth:
		return false
	case engine.OpSlot:
		return tr.plan.spots[e.Place].kind != engine.Given || tr.in != nil && tr.in.spots[e.Place] != nil
	case engine.OpParam:
		return tr.mayFail(at.args[e.Param], at.caller)
	case engine.OpLess, engine.OpLessEq, engine.OpEqual, engine.OpNotEqual, engine.OpAnd, engine.OpOr, engine.OpNot, engine.OpAdd, engine.OpSub, engine.OpMul, engine.OpNeg:
		return slices.ContainsFunc(e.Args, func(a *engine.Expr) bool { return tr.mayFail(a, at) })
	}
	return true
}

// joins reports whether conditions are joined in an expression, which see to what waits themselves.
func (tr *translator) joins(e *engine.Expr, at *place) bool {
	switch e.Op {
	case engine.OpAnd, engine.OpOr:
		return true
	case engine.OpParam:
		return tr.joins(at.args[e.Param], at.caller)
	}
	return slices.ContainsFunc(e.Args, func(a *engine.Expr) bool { return tr.joins(a, at) })
}

// knownWith reports whether condition b has an answer wherever a has: it is a comparison of values that a reads too, or of
// numbers that stand in the formula.
func knownWith(a, b *engine.Expr) bool {
	read := map[engine.Place]bool{}
	columns := map[int]bool{}
	given := map[int]bool{} // to a formula
	var note func(e *engine.Expr)
	note = func(e *engine.Expr) {
		always := e.Args
		switch e.Op {
		case engine.OpSlot:
			read[e.Place] = true
		case engine.OpOwn:
			columns[e.Column] = true
		case engine.OpParam:
			given[e.Param] = true
		case engine.OpAnd, engine.OpOr: // one side may be enough
			always = nil
		case engine.OpChoose: // only one of the two is needed
			always = e.Args[:1]
		case engine.OpGiven, engine.OpCall, engine.OpFold: // which need not read all that they name
			always = nil
		}
		for _, x := range always {
			note(x)
		}
	}
	note(a)
	if marks[b.Op] == "" {
		return false
	}
	for _, x := range b.Args {
		switch {
		case x.Op == engine.OpConst || x.Op == engine.OpText:
		case x.Op == engine.OpSlot && read[x.Place] || x.Op == engine.OpOwn && columns[x.Column] || x.Op == engine.OpParam && given[x.Param]:
		default:
			return false
		}
	}
	return true
}

// choose writes a choice. What is not taken need not be there.
func (tr *translator) choose(e *engine.Expr, at *place, want *units.Scale) term {
	c, a, b := tr.write(e.Args[0], at, nil), tr.reading(e.Args[1], at, want), tr.reading(e.Args[2], at, want)
	switch c.text {
	case "TRUE":
		return a
	case "FALSE":
		return b
	}
	zero := sameZero(&a, &b)
	scale := alike(want, &a, &b)
	a, b = a.guardedFor(c.needs), b.guardedFor(c.needs)
	t := with("IF("+c.text+","+a.text+","+b.text+")", whole, c, a, b)
	t.scale, t.zero, t.truth, t.array = scale, zero, a.truth, t.array || len(t.folds) > 0
	return t
}

// given writes the first of two that is given.
func (tr *translator) given(e *engine.Expr, at *place, want *units.Scale) term {
	first := e.Args[0]
	if first.Op == engine.OpGiven { // a ?? b ?? c: a or else, b or else c
		rest := *e
		rest.Args = []*engine.Expr{first.Args[1], e.Args[1]}
		outer := *e
		outer.Args = []*engine.Expr{first.Args[0], &rest}
		return tr.given(&outer, at, want)
	}
	a, b := tr.reading(first, at, want), tr.reading(e.Args[1], at, want)
	if first.Op == engine.OpLookup && len(a.folds) > 0 { // what is empty is no different there from a row that is missing
		return tr.fail(errNoRow)
	}
	asked := a // as it stands in its cell
	if first.Op == engine.OpSlot && !e.IsText && !e.IsTruth && !e.Dim.IsPlain() && tr.plan.spots[first.Place].unknown() {
		a = term{text: noResult, level: multiplying, free: true} // a plain number is none of what is meant
	}
	zero := sameZero(&a, &b)
	scale := alike(want, &a, &b)
	b = guarded(b)
	t := with("", whole, asked, b)
	t.needs = b.needs
	t.scale, t.zero, t.truth, t.array = scale, zero, a.truth, t.array || len(t.folds) > 0
	switch {
	case asked.mayLack && (a.truth || e.IsText):
		t.text = fmt.Sprintf(`IF(%s="",%s,%s)`, asked.ref, b.text, a.text)
	case asked.mayLack:
		t.text = fmt.Sprintf("IF(ISNUMBER(%s),%s,%s)", asked.ref, a.text, b.text)
	default:
		t.text = fmt.Sprintf("IF(ISNA(%s),%s,%s)", asked.ref, b.text, a.text)
	}
	if asked.mayLack && asked.mixed { // a failure is not replaced
		t.text = fmt.Sprintf("IF(ISERR(%s),%s,%s)", asked.ref, asked.ref, t.text)
	}
	if asked.search != "" { // nor is an entry of which nobody knows which it is
		t.text = fmt.Sprintf("IF(ISNUMBER(%s),%s,NA())", asked.search, t.text)
	}
	return t
}
