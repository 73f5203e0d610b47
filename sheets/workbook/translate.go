package workbook

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf16"

	"gusset/engine"
	"gusset/sheets/workbook/xlsx"
	"gusset/units"
)

// Why a formula has no counterpart in a spreadsheet.
var (
	errLong  = errors.New("the formula would grow longer than a spreadsheet takes")
	errDeep  = errors.New("the formula would nest deeper than a spreadsheet takes")
	errWork  = errors.New("the formula would take too much work to write out in one piece")
	errNoRow = errors.New("a row of one table is looked through for each row of another")
	// errNothing is for what the language has and nobody has written a rule for: rather that than another formula.
	errNothing = errors.New("a spreadsheet has nothing for it")
)

// Limits on a formula. Spreadsheets take 8192 characters, 64 calls within one another, and 255 characters of a text.
const (
	maxFormula = 8000
	maxNesting = 60
	maxLiteral = 250
	maxStored  = 16_000 // bytes, as some keep formulas: they take 16384

	storedNumber, storedName = 9, 7 // bytes of a number, and at most of a name or a function
)

// Limits on work: a formula that calls others is written out with theirs in it, again for each time that an argument is
// used, and a sheet may be made to do harm. What is beyond them does not follow.
const (
	maxPieces = 200_000   // of one formula; a long one has some thousands
	maxWork   = 4_000_000 // pieces of all formulas, which take a second
)

// place is where a formula is being written.
type place struct {
	row    int // of the table that the formula stands in; -1 outside
	fold   int // the fold whose rows are gone through; 0 outside
	at     int // the one row of that fold that is being written, or -1 for all of them at once
	args   []*engine.Expr
	caller *place
	tested []string // what formulas around have made sure of, and in the rows of which folds
}

// translator writes formulas.
type translator struct {
	plan   *plan
	in     *trial // with another value of an adjusted cell, or nil
	brief  bool   // where one condition waits and another is not met, #N/A will do
	folds  int    // so far
	pieces int    // so far
}

// failure carries an error out of a translation.
type failure struct{ error }

// formula writes a formula for a cell that shows its value in unit u: a number, a text, or "yes" and "no". Row is that of
// the table which the cell stands in, or -1. Array tells that it has to be entered as an array formula.
func (p *plan) formula(e *engine.Expr, row int, u units.Unit) (text string, array bool, err error) {
	return p.formulaIn(nil, e, row, u)
}

// formulaIn is formula with another value of an adjusted cell.
func (p *plan) formulaIn(in *trial, e *engine.Expr, row int, u units.Unit) (text string, array bool, err error) {
	return p.shortest(e, func(brief bool) (string, bool, error) {
		return p.formulaAs(&translator{plan: p, in: in, brief: brief}, e, row, u)
	})
}

// shortest writes a formula, more briefly if it would be too long, and nothing but the kind of an error depends on that.
func (p *plan) shortest(e *engine.Expr, write func(brief bool) (string, bool, error)) (text string, array bool, err error) {
	text, array, err = write(false)
	if (errors.Is(err, errLong) || errors.Is(err, errDeep)) && !p.asked[e] {
		return write(true)
	}
	return text, array, err
}

func (p *plan) formulaAs(tr *translator, e *engine.Expr, row int, u units.Unit) (text string, array bool, err error) {
	scale := u.Scale()
	t, err := tr.term(e, row, &scale)
	if err != nil {
		return "", false, err
	}
	switch {
	case t.truth:
		t = with(`IF(`+t.text+`,"yes","no")`, whole, t)
	case !e.IsText:
		t = t.shownIn(u)
	case t.empties: // as a value, an empty cell is 0
		t.text, t.level = t.at(joining)+`&""`, joining
	}
	t = guarded(t)
	return t.text, t.array, beyondFormula(t.text)
}

// checked writes the formula of a check: holds, fails, or waits while it cannot be told; or out of step, as an adjusted value
// is that it rests on.
func (p *plan) checked(s *spot) (text string, array bool, err error) {
	return p.shortest(p.expr(s), func(brief bool) (string, bool, error) { return p.checkedAs(&translator{plan: p, brief: brief}, s) })
}

func (p *plan) checkedAs(tr *translator, s *spot) (text string, array bool, err error) {
	t, err := tr.term(p.expr(s), -1, nil)
	if err != nil {
		return "", false, err
	}
	mark := ""
	if s.flag != 0 {
		mark = fmt.Sprintf(`&IF(%s=1," %s","")`, xlsx.Address(s.row, s.flag), guessMark)
	}
	t = guarded(with(`IF(`+t.text+`,"holds","fails")`+mark, joining, t))
	text = `IFERROR(` + t.text + `,"waits")`
	for _, says := range []string{"waits", "out of step"} { // capitals do not count
		if any := s.anyRestsSays(says); any != "" {
			text = fmt.Sprintf("IF(%s,%s,%s)", any, quoted(says), text)
		}
	}
	return text, t.array, beyondFormula(text)
}

// beyondFormula tells that a formula is more than a spreadsheet takes.
func beyondFormula(text string) error {
	depth, deepest, stored, quoted, inWord := 0, 0, 0, false, false
	for _, c := range text {
		if c == '"' {
			quoted = !quoted
		}
		if quoted {
			stored += 2 * utf16.RuneLen(c)
			continue
		}
		word := c == '_' || c == '.' || unicode.IsLetter(c) || unicode.IsDigit(c)
		switch {
		case !word:
			stored++
		case !inWord && unicode.IsDigit(c):
			stored += storedNumber
		case !inWord:
			stored += storedName
		}
		inWord = word
		switch c {
		case '(':
			depth++
		case ')':
			depth--
		}
		deepest = max(deepest, depth)
	}
	switch {
	case len(text) > maxFormula || stored > maxStored:
		return errLong
	case deepest > maxNesting:
		return errDeep
	}
	return nil
}

// term writes a formula.
func (tr *translator) term(e *engine.Expr, row int, want *units.Scale) (t term, err error) {
	defer func() {
		if f, failed := recover().(failure); failed {
			err = f.error
		}
	}()
	return tr.reading(e, &place{row: row, at: -1}, want), nil
}

func (tr *translator) fail(err error) term { panic(failure{err}) }

// write writes an expression; want is the scale that would suit best.
func (tr *translator) write(e *engine.Expr, at *place, want *units.Scale) term {
	return tr.reading(e, at, want).settled()
}

// reading is write for who can deal with a reading that is counted from a zero of its own.
func (tr *translator) reading(e *engine.Expr, at *place, want *units.Scale) term {
	tr.pieces++
	tr.plan.work++
	if tr.pieces > maxPieces || tr.plan.work > maxWork {
		return tr.fail(errWork)
	}
	t := tr.piece(e, at, want)
	tr.plan.work += len(t.needs)/8 + len(t.text)/512 // which have been copied
	if len(t.text) > maxFormula {
		return tr.fail(errLong)
	}
	return t
}

func (tr *translator) piece(e *engine.Expr, at *place, want *units.Scale) term {
	switch e.Op {
	case engine.OpConst:
		return literal(e)
	case engine.OpText:
		return term{text: quoted(e.Text), level: whole, constant: true}
	case engine.OpTruth:
		return term{text: map[bool]string{true: "TRUE", false: "FALSE"}[e.Number == 1], level: whole, truth: true}
	case engine.OpSlot:
		return tr.slot(e.Place)
	case engine.OpOwn:
		return tr.columnAt(e.Column).entry(at.row).term()
	case engine.OpEntry, engine.OpColumn:
		return tr.column(e, at)
	case engine.OpRows: // which are only counted
		return constantTerm(1, units.Scale{})
	case engine.OpParam:
		return tr.argument(e, at, want)
	case engine.OpLookup:
		return tr.lookup(e, at)
	case engine.OpKeep: // its conditions are seen to by the fold
		return tr.reading(e.Args[0], at, want)
	case engine.OpEach:
		return tr.reading(e.Args[1], at, want)
	case engine.OpFold:
		return tr.fold(e, at, want)
	case engine.OpInterp:
		return tr.interpolate(e, at)
	case engine.OpCall:
		return tr.call(e, at, want)
	case engine.OpFunc:
		return tr.function(e, at, want)
	}
	return tr.operator(e, at, want)
}

// slot writes the value of a cell, or of an entry that is named.
func (tr *translator) slot(at engine.Place) term {
	if tr.in != nil && tr.in.spots[at] != nil {
		return tr.in.spots[at].elsewhere()
	}
	return tr.plan.spots[at].term()
}

// columnAt returns a column of a table.
func (tr *translator) columnAt(number int) *columnSpot {
	if tr.in != nil && tr.in.columns[number] != nil {
		return tr.in.columns[number]
	}
	return tr.plan.columns[number]
}

// literal writes a number of a formula as it is written there.
func literal(e *engine.Expr) term {
	if e.Unit.Reading() {
		t := constantTerm(e.Number, e.Unit.Scale())
		t.zero = e.Unit.Zero()
		return t
	}
	if e.Unit.String() == "%" {
		t := constantTerm(e.Number/100, units.Scale{})
		t.text = numeral(e.Number) + "%"
		return t
	}
	t := constantTerm(e.Number, e.Unit.Scale())
	t.free = e.Number == 0 && e.Unit.String() == ""
	if e.Number == math.Pi && e.Unit.String() == "" {
		t.text, t.constant = "PI()", false
	}
	return t
}

// quoted writes a text as formulas have it.
func quoted(s string) string {
	var parts []string
	for s != "" || parts == nil {
		part := upTo(s, maxLiteral)
		parts = append(parts, `"`+strings.ReplaceAll(part, `"`, `""`)+`"`)
		s = s[len(part):]
	}
	if len(parts) > 1 {
		return "(" + strings.Join(parts, "&") + ")"
	}
	return parts[0]
}

// column writes a column: all of its rows, or the one that is being written.
func (tr *translator) column(e *engine.Expr, at *place) term {
	if e.Column < 0 {
		return tr.list(e, at)
	}
	c := tr.columnAt(e.Column)
	if at.fold == 0 {
		return tr.fail(errNoRow)
	}
	if at.at >= 0 {
		return c.entry(at.at).elsewhere()
	}
	return c.term(at.fold)
}

// list writes a list of values that stands in a formula.
func (tr *translator) list(e *engine.Expr, at *place) term {
	if at.at < 0 {
		return tr.fail(errNoRow)
	}
	return tr.write(e.Args[at.at], at, nil)
}

// argument writes what a formula was given.
func (tr *translator) argument(e *engine.Expr, at *place, want *units.Scale) term {
	caller := *at.caller
	if at.args[e.Param].List {
		caller.fold, caller.at = at.fold, at.at
	}
	caller.tested = at.tested
	return tr.reading(at.args[e.Param], &caller, want)
}

// call writes a formula's body with what it is given, once what it needs has been tested.
func (tr *translator) call(e *engine.Expr, at *place, want *units.Scale) term {
	def := e.Formula
	inner := &place{row: -1, at: -1, args: e.Args, caller: at, tested: slices.Clone(at.tested)}
	var tests []part
	for _, n := range def.Needs {
		for _, t := range tr.parts(&engine.Expr{Op: engine.OpAnd, Args: []*engine.Expr{n}}, engine.OpAnd, inner, nil) {
			if said := fmt.Sprint(t.folds, t.text); t.text != "TRUE" && !slices.Contains(inner.tested, said) {
				tests = append(tests, t)
				inner.tested = append(inner.tested, said)
			}
		}
	}
	body := tr.reading(def.Body, inner, want)
	if len(tests) == 0 {
		return body
	}
	body = body.settled()
	if want != nil && !body.truth && !def.Body.IsText { // where the formula is, rather than behind its brackets
		body = body.in(*want)
	}
	test := tr.met(tests, def.Body)
	body = body.guardedFor(test.needs) // where the needs are not met, it does not matter what else waits
	t := with("IF("+test.text+","+body.text+","+noResult+")", whole, test, body)
	t.scale, t.truth, t.array = body.scale, body.truth, t.array || len(test.folds) > 0
	return t
}

// met writes that what a formula needs is met, in front of its body.
func (tr *translator) met(tests []part, body *engine.Expr) term {
	rows := slices.ContainsFunc(tests, func(t part) bool { return len(t.folds) > 0 })
	switch {
	case tr.brief || knownTogether(tests):
		return joinedTruth(engine.OpAnd, tests)
	case rows || slices.ContainsFunc(tests, func(t part) bool { return !knownWith(body, t.expr) }):
		return tr.decided(engine.OpAnd, tests)
	}
	conds := takeConds(tests)
	var terms []term
	for _, t := range tests {
		terms = append(terms, t.term)
	}
	none, _ := noneDecides(engine.OpAnd, tests) // what waits has the body wait
	t := with("AND("+strings.Join(none, ",")+")", whole, terms...)
	t.needs, t.truth = conds, true
	return t
}

// allOf writes that all conditions are met, where it does not matter which of them has no answer.
func allOf(tests []term) term {
	t := with(tests[len(tests)-1].text, whole, tests...)
	switch {
	case len(tests) == 1:
		return tests[0]
	case len(t.folds) == 0:
		t = calling("AND", tests...)
	default: // AND would bring the rows together
		for _, c := range slices.Backward(tests[:len(tests)-1]) {
			t.text = "IF(" + c.text + "," + t.text + ",FALSE)"
		}
	}
	t.truth = true
	return t
}

// lookup writes the entry in the row that a name leads to.
func (tr *translator) lookup(e *engine.Expr, at *place) term {
	c := tr.columnAt(e.Column)
	key := tr.write(e.Args[0], at, nil)
	if len(key.folds) > 0 && (!c.table.plainKeys || c != tr.plan.columns[e.Column]) {
		return tr.fail(errNoRow)
	}
	search := fmt.Sprintf("MATCH(%s,%s,0)", key.text, c.table.key().name)
	if !c.table.plainKeys {
		search = fmt.Sprintf("MATCH(TRUE,EXACT(%s,%s),0)", c.table.key().name, key.text)
	}
	text := fmt.Sprintf("INDEX(%s,%s)", c.name, search)
	if len(key.folds) > 0 { // gives a value for each row, which INDEX does not everywhere
		text = c.lookUpEach(key)
	}
	t := with(text, whole, key)
	t.search = search
	t.needs = nil // without its key it is not found, and says so
	t.array = t.array || len(key.folds) > 0 || !c.table.plainKeys
	fold := 0
	if len(key.folds) > 0 {
		filled := *c
		filled.mayLack = false // that has been seen to
		c, fold = &filled, key.folds[0]
	}
	return c.dress(t, fold)
}

// lookUpEach writes the lookup of a value for each row, which INDEX does not do everywhere. VLOOKUP takes an empty cell for 0:
// only rows that are filled in are looked for first.
func (c *columnSpot) lookUpEach(key term) string {
	text := fmt.Sprintf("VLOOKUP(%s,%s,%d,FALSE)", key.text, c.table.name, c.index+1)
	if !c.mayLack {
		return text
	}
	filled := "ISNUMBER(" + c.name + ")"
	if c.isText || c.isTruth {
		filled = c.name + `<>""`
	}
	return fmt.Sprintf("IF(MATCH(%s,IF(%s,%s),0),%s)", key.text, filled, c.table.key().name, text)
}

// interpolate writes what reads a table off between its rows.
func (tr *translator) interpolate(e *engine.Expr, at *place) term {
	x := tr.reading(e.Args[0], at, nil)
	cx, cy := tr.whole(e.Args[1], at), tr.whole(e.Args[2], at)
	if len(x.folds) > 0 || cx == nil || cy == nil || cx.table.rows() < 2 {
		return tr.fail(errNoRow)
	}
	x = x.countedAs(cx.term(0))
	xs, ys := cx.name, cy.name
	from, below, above := x.text, "", ""
	if !x.typed || !cx.term(0).typed { // just outside, by rounding, is at the end
		from = fmt.Sprintf("MAX(%s,MIN(%s))", x.text, xs)
		far := hair + "*ABS(" + x.plus(cx.term(0).zero).text + ")"
		below, above = "-"+far, "+"+far
	}
	before := fmt.Sprintf("MIN(MATCH(%s,%s,1),ROWS(%s)-1)", from, xs, xs)
	two := func(c string) string { return fmt.Sprintf("INDEX(%s,%s):INDEX(%s,%s+1)", c, before, c, before) }
	beyond := fmt.Sprintf("%s<MIN(%s)%s,%s>MAX(%s)%s", x.at(adding), xs, below, x.at(adding), xs, above)
	if !cx.fixed() { // its rows may come to stand out of order
		beyond += fmt.Sprintf(",SUMPRODUCT(1*(INDEX(%s,2):INDEX(%s,ROWS(%s))<=INDEX(%s,1):INDEX(%s,ROWS(%s)-1)))>0", xs, xs, xs, xs, xs, xs)
	}
	text := fmt.Sprintf("IF(OR(%s),%s,FORECAST(%s,%s,%s))", beyond, noResult, x.text, two(ys), two(xs))
	t := with(text, whole, x)
	for _, c := range []*columnSpot{cx, cy} {
		switch {
		case !c.fixed(): // even what is worked out
			t.needs = append(t.needs, need{ref: c.name, rows: true, mixed: c.mixed})
		case c.worked() && c.table.counted != "":
			t.needs = append(t.needs, need{cond: c.filled()})
		}
	}
	if cx.table.counted != "" {
		t.needs = append(t.needs, need{cond: cx.table.counted})
	}
	y := cy.term(0)
	t.scale, t.zero = y.scale, y.zero
	return t
}

// whole returns the column that an expression is, if it is that and nothing else.
func (tr *translator) whole(e *engine.Expr, at *place) *columnSpot {
	switch {
	case e.Op == engine.OpColumn && e.Column >= 0:
		return tr.columnAt(e.Column)
	case e.Op == engine.OpParam:
		return tr.whole(at.args[e.Param], at.caller)
	}
	return nil
}
