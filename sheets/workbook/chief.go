package workbook

import (
	"fmt"
	"unicode/utf8"

	"gusset/sheets/report"
	"gusset/sheets/workbook/xlsx"
)

// The chief results are what is read first, so the first worksheet has them too: each is read by its name from the page
// where it is worked out, and so are its marks, into hidden columns beside it.

// The columns of a line of the first worksheet; the last two are hidden.
const (
	startName = iota + 2
	startValue
	startPlace
	startNote
	startGuess
	startOutside
)

// mostChief is how many chief results are listed: a sheet that does not say which they are can have very many.
const mostChief = 40

// findChief finds the chief results.
func findChief(p *plan) {
	for _, c := range report.Chief(p.model) {
		if s := p.spots[c.Place]; s != nil {
			p.chief = append(p.chief, s)
		}
	}
}

// chief writes the chief results, with their marks.
func (s *starter) chief() {
	if len(s.b.plan.chief) == 0 {
		return
	}
	s.heading("Chief results")
	pg := &page{sheet: startSheet, reduced: map[fractions][]rowsFromTo{}}
	for _, c := range s.b.plan.chief[:min(len(s.b.plan.chief), mostChief)] {
		s.chiefFlag(c, onGuess, startGuess)
		s.chiefFlag(c, onOutside, startOutside)
		l := markedLook(c)
		l.guess, l.outside = away(c, onGuess, startGuess), away(c, onOutside, startOutside)
		s.b.showMarks(startSheet, s.row, startValue, xlsx.Address(s.row, startValue), l)
		pg.reduce(c.value, unitName(c.value), s.row, 1, startValue)
		s.line(c, s.chiefValue(c))
	}
	s.b.reduced(pg)
	if more := len(s.b.plan.chief) - mostChief; more > 0 {
		s.para(fmt.Sprintf("and %d more", more))
	}
	s.row++
}

// chiefValue returns a chief result as its page has it, not to be changed here.
func (s *starter) chiefValue(c *spot) content {
	l := valueLook(c)
	l.tint, l.box, l.open, l.indent, l.right = "", false, false, false, true
	v := known(c.value)
	v.formula, v.style = c.name, s.b.style(l)
	return v
}

// chiefFlag says in a hidden column whether a chief result is marked, where it may be.
func (s *starter) chiefFlag(c *spot, kind flagKind, col int) {
	if c.flags[kind] == 0 {
		return
	}
	flag := s.b.grids[c.page.sheet].at(c.row, c.flags[kind])
	flag.style = s.b.style(look{})
	s.g.set(s.row, col, flag.working(c.flagArea(kind).formula()))
}

// away is how many columns from the value a mark's hidden column is; 0 where there is none.
func away(c *spot, kind flagKind, col int) int {
	if c.flags[kind] == 0 {
		return 0
	}
	return col - startValue
}

// chiefWidth is how wide the widest chief result is.
func chiefWidth(p *plan) float64 {
	width := 0
	for _, c := range p.chief[:min(len(p.chief), mostChief)] {
		width = max(width, utf8.RuneCountInString(c.value.Quantity()))
	}
	return float64(min(width, widestText))
}
