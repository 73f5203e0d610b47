package workbook

import (
	"fmt"
	"slices"
	"strings"

	"gusset/engine"
	"gusset/sheets/report"
	"gusset/sheets/workbook/formula"
	"gusset/sheets/workbook/xlsx"
)

// Beside each value that is a guess, or may come to rest on one, a hidden column of its page says 1 while it does: so
// the mark shows after what really rests on a guess at the time, as in the sheet. Likewise beside what may use a
// formula outside the range where it is to be trusted.

// flagKind is what such a hidden column says of a value.
type flagKind uint8

const (
	onGuess   flagKind = iota // it rests on a guess
	onOutside                 // it rests on a value that uses a formula outside its range
	isOutside                 // it uses one itself
	flagKinds
)

// flags are the hidden columns of a value, or of a column; 0: it can never be so.
type flags [flagKinds]int

// isMarked reports whether marks may be after the word of a check.
func (s *spot) isMarked() bool { return s.flags[onGuess] != 0 || s.flags[onOutside] != 0 }

// flagAll makes room beside some values for what says whether they are so.
func flagAll(p *plan, kind flagKind, some map[*spot]bool) {
	for s := range p.everySpot() {
		switch c := s.column; {
		case !some[s] || s.page.library:
		case c == nil:
			s.flags[kind] = s.page.room(&s.hidden, 1)
		default:
			if c.flags[kind] == 0 {
				c.flags[kind] = s.page.room(&c.table.hidden, 1)
			}
			s.flags[kind] = c.flags[kind]
		}
	}
}

// findOutside finds what may use a formula outside the range where it is to be trusted, and what may rest on that.
func findOutside(p *plan) {
	calls := trusting(p)
	may := map[*spot]bool{}
	var from []*spot
	for s := range p.everySpot() {
		if calls(s) && !s.page.library {
			may[s], from = true, append(from, s)
		}
	}
	flagAll(p, isOutside, may)
	flagAll(p, onOutside, p.restingOnAny(from))
}

// trusting returns what reports whether the formula of a value calls one that says where it is to be trusted.
func trusting(p *plan) func(*spot) bool {
	known := map[*engine.Definition]bool{}
	var calls func(e *engine.Expr) bool
	calls = func(e *engine.Expr) bool {
		for e := range pieces(e) {
			d := e.Formula
			if e.Op != engine.OpCall {
				continue
			}
			if _, looked := known[d]; !looked {
				known[d] = len(d.Trusted) > 0
				known[d] = known[d] || calls(d.Body)
			}
			if known[d] {
				return true
			}
		}
		return false
	}
	return func(s *spot) bool {
		found := calls(p.formulas.with(engine.OpCall, s.value.Place))
		p.visitSearch(s.value.Place, func(e *engine.Expr) { found = found || calls(e) })
		return found
	}
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

// marked is how values look whose flags are so many columns away.
type marked struct {
	format, unit   string
	guess, outside int // 0: never
}

// markedFormat returns the number format of a value that has marks after it.
func (m marked) markedFormat(marks report.Marks) string {
	return withUnit(m.format, marks.After(m.unit))
}

// markedLook tells how a value looks when marks are after it.
func markedLook(s *spot) marked {
	m := marked{format: "@"}
	if s.value.IsNumber() {
		m.format = plainFormat(s)
		if s.column == nil {
			m.unit = unitName(s.value)
		}
	}
	away := func(kind flagKind) int {
		if s.flags[kind] == 0 {
			return 0
		}
		return s.flags[kind] - s.col
	}
	m.guess, m.outside = away(onGuess), away(onOutside)
	return m
}

// flagged returns what is in a hidden column beside a value.
func (b *builder) flagged(s *spot, kind flagKind) content {
	c := content{kind: aNumber, style: b.style(look{})}
	if s.flags[kind] == 0 { // beside others that may be so
		return c
	}
	v := s.value
	if isSo := [...]bool{onGuess: v.Guesses > 0, onOutside: v.Remarked > 0, isOutside: len(v.Remarks) > 0}; isSo[kind] {
		c.number = 1
	}
	return c.live(b.plan, "the mark "+report.OutsideMark+" of "+s.called)(b.plan.flagFormula(s, kind))
}

// flags writes, for all values of a page, what makes them less sure, and shows the marks after them.
func (b *builder) flags(pg *page, g *grid) {
	alike := map[marked][]*spot{}
	var looks []marked
	for s := range b.plan.spotsOn(pg) {
		cols := s.flags
		if s.column != nil {
			cols = s.column.flags
		}
		for kind, col := range cols {
			if col != 0 {
				g.set(s.row, col, b.flagged(s, flagKind(kind)))
			}
		}
		l := markedLook(s)
		if s.kind == engine.Check || l.guess == 0 && l.outside == 0 { // a check says so itself
			continue
		}
		if alike[l] == nil {
			looks = append(looks, l)
		}
		alike[l] = append(alike[l], s)
	}
	for _, l := range looks {
		first := alike[l][0]
		b.showMarks(pg.sheet, first.row, first.col, areas(alike[l]), l)
	}
}

// showMarks shows the marks after values that look alike, of which one is in that row and column.
func (b *builder) showMarks(sheet string, row, col int, where string, l marked) {
	for _, marks := range []report.Marks{{Guess: true, Outside: true}, {Guess: true}, {Outside: true}} {
		if marks.Guess && l.guess == 0 || marks.Outside && l.outside == 0 {
			continue
		}
		criteria := "AND("
		if marks.Guess {
			criteria += xlsx.Address(row, col+l.guess) + "=1,"
		}
		if marks.Outside {
			criteria += xlsx.Address(row, col+l.outside) + "=1,"
		}
		criteria += fmt.Sprintf("NOT(ISERROR(%s)))", xlsx.Address(row, col))
		b.when(sheet, where, criteria, conditionalLook{format: l.markedFormat(marks)})
	}
}

// marksAfter writes the word of a check with the marks that are after it.
func (s *spot) marksAfter(word formula.Formula) formula.Formula {
	for _, m := range []struct {
		kind flagKind
		mark string
	}{{onGuess, report.GuessMark}, {onOutside, report.OutsideMark}} {
		if s.flags[m.kind] != 0 {
			is := formula.Equals.Of(formula.Cell(xlsx.Address(s.row, s.flags[m.kind])), one)
			word = formula.Join.Of(word, formula.If.Of(is, formula.Text(" "+m.mark), formula.Text("")))
		}
	}
	return word
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

// searchedOn returns what tells whether an adjusted value rests on guesses, or what is outside: the marks of all that
// its sides read and that does not itself rest on it.
func (mk *marker) searchedOn(s *spot) []mark {
	p := mk.tr.plan
	on := p.restingOnAny([]*spot{s})
	var marks []mark
	seen := map[thing]bool{}
	for o := range p.below(func(visit func(thing)) { visit(thing{place: s.value.Place}) }) {
		if !on[o] {
			continue
		}
		p.reads(o, func(t thing) {
			if seen[t] {
				return
			}
			seen[t] = true
			for _, s := range spotsOf(p, t) {
				if !on[s] {
					marks = mk.addSpot(marks, s)
				}
			}
		})
	}
	return marks
}
