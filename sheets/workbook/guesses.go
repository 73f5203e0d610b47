package workbook

import (
	"fmt"
	"slices"
	"strings"

	"gusset/engine"
	"gusset/sheets/report"
	"gusset/sheets/workbook/xlsx"
)

// A guess keeps its mark until another value is typed over it, or its mark is cleared on the page of guesses. Beside each value
// that is a guess, or may come to rest on one, a hidden column of its page says 1 while it does: so the mark shows behind
// what really rests on a guess at the time, as in the sheet.

// guessMark is shown behind a value that is a guess, or rests on one.
const guessMark = report.GuessMark

// The page of guesses.
const (
	guessSheet  = "Guesses"
	guessTop    = 4 // the first row
	guessNames  = 1 // columns
	guessValues = 2
	guessMarks  = 3
	guessPages  = 4
	guessNotes  = 5
	guessFlags  = 6 // hidden
)

// findGuesses finds the guesses and what may rest on them, and makes room for what says whether it does.
func (p *plan) findGuesses() {
	for _, pg := range p.pages {
		p.visitSpots(pg, func(s *spot) {
			if s.value.Guess && s.input {
				p.guesses = append(p.guesses, s)
				s.guess = len(p.guesses)
			}
		})
	}
	if len(p.guesses) == 0 {
		return
	}
	may := p.restingOnAny(p.guesses)
	for _, pg := range p.pages {
		p.visitSpots(pg, func(s *spot) {
			switch {
			case !may[s] || pg.library:
			case s.column == nil:
				s.flag = pg.room(&s.hidden, 1)
			case s.column.flag == 0:
				s.column.flag = pg.room(&s.column.table.hidden, 1)
			}
		})
		p.visitSpots(pg, func(s *spot) {
			if may[s] && s.column != nil {
				s.flag = s.column.flag
			}
		})
	}
	p.define("guess_names", fixedRange(guessSheet, guessTop, guessNames, guessTop+len(p.guesses)-1, guessNames))
	p.define("guess_marks", fixedRange(guessSheet, guessTop, guessMarks, guessTop+len(p.guesses)-1, guessMarks))
}

// restingOnAny returns what may rest on some values, themselves included.
func (p *plan) restingOnAny(on []*spot) map[*spot]bool {
	readers := p.readers()
	seen := map[*spot]bool{}
	columns := map[*columnSpot]bool{}
	work := slices.Clone(on)
	for len(work) > 0 {
		s := work[len(work)-1]
		work = work[:len(work)-1]
		if seen[s] {
			continue
		}
		seen[s] = true
		work = append(work, readers[s.value.Place]...)
		if s.column != nil && !columns[s.column] {
			columns[s.column] = true
			work = append(work, s.column.readers...)
		}
	}
	return seen
}

// flagAt returns where it is said whether a value rests on a guess.
func (s *spot) flagAt() string { return fixed(s.page.sheet, s.row, s.flag) }

// flags returns where that is said of all entries of a column.
func (c *columnSpot) flags() string {
	return fixedRange(c.table.page.sheet, c.table.top, c.flag, c.table.top+c.table.rows()-1, c.flag)
}

// marker writes whether what a formula reads rests on a guess.
type marker struct {
	tr    *translator
	array bool
}

// flagFormula writes whether a value rests on a guess: 1 or 0.
func (p *plan) flagFormula(s *spot) (formula string, array bool) {
	mk := &marker{tr: &translator{plan: p, brief: true}}
	at := &place{row: -1, at: -1}
	var parts []string
	switch {
	case s.kind == engine.Given:
		return p.stillGuess(s), false
	case s.kind == engine.Adjusted:
		parts = p.searchedOnGuesses(s)
	default:
		if s.column != nil {
			at.row = p.rowOf(s)
		}
		parts = mk.parts(p.expr(s), at)
	}
	if formula = most(parts); beyondFormula(formula) != nil { // all that are left, then
		return "IF(" + p.guessesLeft() + ">0,1,0)", false
	}
	return formula, mk.array
}

// stillGuess writes whether a given value is still a guess: its mark and its value are what they were.
func (p *plan) stillGuess(s *spot) string {
	if s.guess == 0 {
		return "0"
	}
	mark, at := fixed(guessSheet, guessTop+s.guess-1, guessMarks), s.local()
	same := fmt.Sprintf("EXACT(%s,%s)", at, quoted(s.value.Text))
	if !s.value.IsText && !s.value.IsTruth {
		x := constantTerm(s.value.Number, s.value.Unit.Scale())
		same = fmt.Sprintf("IF(ISNUMBER(%s),ABS(%s-%s)<=%s*ABS(%s),FALSE)", at, at, x.at(multiplying), hair, at)
	}
	return fmt.Sprintf(`IF(%s="",0,IF(%s,1,0))`, mark, same)
}

// most writes the largest of some flags.
func most(parts []string) string {
	slices.Sort(parts)
	parts = slices.Compact(parts)
	for len(parts) > maxArguments {
		var fewer []string
		for some := range slices.Chunk(parts, maxArguments) {
			fewer = append(fewer, "MAX("+strings.Join(some, ",")+")")
		}
		parts = fewer
	}
	switch {
	case len(parts) == 0:
		return "0"
	case len(parts) == 1 && !strings.Contains(parts[0], ":"):
		return parts[0]
	}
	return "MAX(" + strings.Join(parts, ",") + ")"
}

// parts writes what tells whether an expression rests on guesses, one for each thing that it reads.
func (mk *marker) parts(e *engine.Expr, at *place) []string {
	p := mk.tr.plan
	one := func(s *spot) []string {
		if s == nil || s.flag == 0 {
			return nil
		}
		return []string{s.flagAt()}
	}
	switch e.Op {
	case engine.OpSlot:
		return one(p.spots[e.Place])
	case engine.OpOwn:
		return one(p.columns[e.Column].entry(at.row))
	case engine.OpEntry, engine.OpColumn:
		if e.Column < 0 {
			return mk.all(e.Args, at)
		}
		return mk.column(p.columns[e.Column])
	case engine.OpParam:
		return mk.parts(at.args[e.Param], at.caller)
	case engine.OpLookup:
		return append(mk.all(e.Args, at), mk.lookup(e, at)...)
	case engine.OpCall: // whatever it is given counts, and what its body reads beside that
		parts := mk.all(e.Args, at)
		for _, t := range p.bodyReads(e.Formula) {
			if t.column != nil {
				parts = append(parts, mk.column(t.column)...)
			} else {
				parts = append(parts, one(p.spots[t.place])...)
			}
		}
		return parts
	case engine.OpFold:
		return mk.fold(e, at)
	case engine.OpGiven:
		return mk.given(e, at)
	case engine.OpChoose:
		return mk.choose(e, at)
	}
	return mk.all(e.Args, at)
}

func (mk *marker) all(list []*engine.Expr, at *place) []string {
	var parts []string
	for _, e := range list {
		parts = append(parts, mk.parts(e, at)...)
	}
	return parts
}

func (mk *marker) column(c *columnSpot) []string {
	if c.flag == 0 {
		return nil
	}
	return []string{c.flags()}
}

// write writes an expression, or tells that it cannot be done here.
func (mk *marker) write(e *engine.Expr, at *place) (t term, ok bool) {
	t, err := mk.tr.trial(mk.tr.write, e, at, nil)
	return guarded(t), err == nil && len(t.folds) == 0
}

// lookup is parts for the entry in the row that a name leads to.
func (mk *marker) lookup(e *engine.Expr, at *place) []string {
	c := mk.tr.plan.columns[e.Column]
	if c.flag == 0 {
		return nil
	}
	if key, ok := mk.write(e.Args[0], at); ok && c.table.plainKeys {
		return []string{fmt.Sprintf("IFERROR(INDEX(%s,MATCH(%s,%s,0)),0)", c.flags(), key.text, c.table.key().name)}
	}
	return mk.column(c)
}

// given is parts for the first of two that is given: what it takes counts.
func (mk *marker) given(e *engine.Expr, at *place) []string {
	first, rest := e.Args[0], e.Args[1]
	if first.Op == engine.OpGiven { // a ?? b ?? c: a or else, b or else c
		later := &engine.Expr{Op: engine.OpGiven, Args: []*engine.Expr{first.Args[1], rest}, IsText: e.IsText, IsTruth: e.IsTruth}
		first, rest = first.Args[0], later
	}
	a, b := mk.parts(first, at), mk.parts(rest, at)
	t, err := mk.tr.trial(mk.tr.reading, first, at, nil)
	if err != nil || len(t.folds) > 0 || t.search != "" || len(a)+len(b) == 0 {
		return append(a, b...)
	}
	there := "NOT(ISNA(" + t.ref + "))"
	switch {
	case t.mayLack && (t.truth || e.IsText):
		there = t.ref + `<>""`
	case t.mayLack:
		there = "ISNUMBER(" + t.ref + ")"
	}
	return []string{fmt.Sprintf("IF(%s,%s,%s)", there, most(a), most(b))}
}

// choose is parts for a choice: its condition counts, and what it takes.
func (mk *marker) choose(e *engine.Expr, at *place) []string {
	condition, a, b := mk.parts(e.Args[0], at), mk.parts(e.Args[1], at), mk.parts(e.Args[2], at)
	t, ok := mk.write(e.Args[0], at)
	if !ok || t.array || len(a)+len(b) == 0 {
		return slices.Concat(condition, a, b)
	}
	return append(condition, fmt.Sprintf("IFERROR(IF(%s,%s,%s),0)", t.text, most(a), most(b)))
}

// fold is parts for what brings rows together: the conditions count for all rows, all else for those that are kept.
func (mk *marker) fold(e *engine.Expr, at *place) []string {
	rows, ok := mk.tr.rows(e.Args[0], at)
	if !ok || rows.table == nil {
		return mk.all(e.Args, at)
	}
	var parts []string
	for _, k := range rows.keeps {
		parts = append(parts, mk.parts(k.cond, inFold(k.at, 1, -1))...)
	}
	values := mk.values(e.Args[0], at)
	mk.tr.folds++
	keep, err := mk.tr.keep(rows, inFold(at, mk.tr.folds, -1))
	if keep == nil || err != nil || outside(*keep, nil, mk.tr.folds) {
		return append(parts, values...)
	}
	for _, v := range values {
		if !strings.Contains(v, ":") || strings.Contains(v, "(") {
			parts = append(parts, v)
			continue
		}
		mk.array = true
		parts = append(parts, fmt.Sprintf("IFERROR(MAX(IF(%s,%s,0)),0)", guarded(*keep).text, v))
	}
	return parts
}

// values is parts for a list, but for the conditions on its rows.
func (mk *marker) values(e *engine.Expr, at *place) []string {
	switch e.Op {
	case engine.OpKeep:
		return mk.values(e.Args[0], at)
	case engine.OpEach:
		return mk.values(e.Args[1], at)
	}
	return mk.parts(e, at)
}

// searchedOnGuesses writes what tells whether an adjusted value rests on guesses: those of all that its sides read and that does
// not itself rest on it.
func (p *plan) searchedOnGuesses(s *spot) []string {
	on := p.restingOnAny([]*spot{s})
	var parts []string
	seen := map[thing]bool{}
	var visit func(t thing)
	read := func(o *spot) {
		switch {
		case o == nil:
		case on[o]:
			visit(thing{place: o.value.Place})
		case o.flag != 0:
			parts = append(parts, o.flagAt())
		}
	}
	visit = func(t thing) {
		if seen[t] {
			return
		}
		seen[t] = true
		if t.column == nil {
			if o := p.spots[t.place]; o != nil && on[o] {
				p.reads(o, visit)
			} else {
				read(o)
			}
			return
		}
		c := t.column
		for from := 0; from < len(c.entries); {
			to := from
			for to < len(c.entries) && !on[c.entries[to]] {
				to++
			}
			switch {
			case to == from:
				read(c.entries[from])
				to++
			case c.flag != 0:
				parts = append(parts, fixedRange(c.table.page.sheet, c.table.top+from, c.flag, c.table.top+to-1, c.flag))
			}
			from = to
		}
	}
	p.reads(s, visit)
	return parts
}

// guessFormat returns the number format of a value that has the mark of a guess behind it.
func (s *spot) guessFormat() string {
	if s.value.IsText || s.value.IsTruth {
		return `@" ` + guessMark + `"`
	}
	behind := guessMark
	if u := unitName(s.value); u != "" && s.column == nil {
		behind = u + " " + guessMark
	}
	return withUnitBehind(plainFormat(s), behind)
}

// marked is how values look whose flags are so many columns away.
type marked struct {
	format string
	away   int
}

// flags writes, for all values of a page, whether they rest on guesses, and shows the mark behind those that do.
func (b *builder) flags(pg *page, g *grid) {
	plain := b.style(look{})
	alike := map[marked][]*spot{}
	var looks []marked
	b.plan.visitSpots(pg, func(s *spot) {
		if s.flag == 0 {
			if s.column != nil && s.column.flag != 0 { // beside others that do
				g.set(s.row, s.column.flag, content{kind: aNumber, style: plain})
			}
			return
		}
		formula, array := b.plan.flagFormula(s)
		rests := content{kind: aNumber, formula: formula, array: array, style: plain}
		if s.value.Guesses > 0 {
			rests.number = 1
		}
		g.set(s.row, s.flag, rests)
		if s.kind == engine.Check { // which says so itself
			return
		}
		l := marked{s.guessFormat(), s.flag - s.col}
		if alike[l] == nil {
			looks = append(looks, l)
		}
		alike[l] = append(alike[l], s)
	})
	for _, l := range looks {
		first := alike[l][0]
		criteria := fmt.Sprintf("AND(%s=1,NOT(ISERROR(%s)))", xlsx.Address(first.row, first.flag), first.local())
		b.when(pg.sheet, areas(alike[l]), criteria, conditionalLook{format: l.format})
	}
}

// areas returns where values are, those below one another together: B4:B9 B12.
func areas(spots []*spot) string {
	var list []string
	for i := 0; i < len(spots); {
		last := i
		for last+1 < len(spots) && spots[last+1].col == spots[i].col && spots[last+1].row == spots[last].row+1 {
			last++
		}
		area := spots[i].local()
		if last > i {
			area += ":" + spots[last].local()
		}
		list = append(list, area)
		i = last + 1
	}
	return strings.Join(list, " ")
}

// guessPage writes the page that lists the guesses, each with its mark, which may be cleared.
func (b *builder) guessPage() {
	if len(b.plan.guesses) == 0 {
		return
	}
	g := newGrid()
	b.grids[guessSheet] = g
	g.write(1, 1, guessSheet, b.style(look{bold: true, size: 16}))
	g.heights[1] = 24
	g.write(2, 1, "Values that nobody has measured yet. Type what you measure over a value on its own page, and it is no guess any more; where a guess was right, "+
		"clear its "+guessMark+" here. Whatever rests on a guess shows a "+guessMark+" behind its value.", b.style(look{wrap: true}))
	g.merge(2, 1, guessNotes)
	g.heights[2] = 2*lineHeight + 1
	head := b.style(look{bold: true, tint: tintHead, under: true})
	for i, text := range []string{"name", "value", "guess", "page", "note"} {
		g.write(guessTop-1, i+1, text, head)
	}
	for i, s := range b.plan.guesses {
		row := guessTop + i
		g.write(row, guessNames, s.called, b.style(look{wrap: true}))
		v := known(s.value)
		v.formula = fmt.Sprintf(`IF(%s="","",%s)`, s.fixed(), s.fixed())
		l := valueLook(s)
		l.tint, l.box, l.open = "", false, false
		if u := unitName(s.value); u != "" && s.column != nil { // which its table says in the heading
			l.format = withUnitBehind(plainFormat(s), u)
		}
		v.style = b.style(l)
		g.set(row, guessValues, v)
		g.write(row, guessMarks, guessMark, b.style(look{tint: tintGiven, box: true, open: true, center: true}))
		g.write(row, guessPages, "page "+s.page.sheet, b.style(look{faint: true, indent: true}))
		g.write(row, guessNotes, s.note, b.style(look{size: noteSize, wrap: true}))
		g.heights[row] = max(float64(linesOf(s.note, 58))*noteLine+3, float64(linesOf(s.called, 28))*lineHeight)
		g.set(row, guessFlags, content{formula: s.flagAt(), style: b.style(look{})})
	}
	for i, w := range []float64{30, 16, 8, 26, 50} {
		b.note(b.file.SetColWidth(guessSheet, xlsx.ColumnLetters(i+1), xlsx.ColumnLetters(i+1), w))
	}
	b.note(b.file.SetColVisible(guessSheet, xlsx.ColumnLetters(guessFlags), false))
	b.print(guessSheet, false)
	b.protect(guessSheet)
}

// guessesLeft writes how many guesses are left.
func (p *plan) guessesLeft() string {
	return fmt.Sprintf("SUM(%s)", fixedRange(guessSheet, guessTop, guessFlags, guessTop+len(p.guesses)-1, guessFlags))
}
