package workbook

import (
	"fmt"
	"slices"
	"strings"

	"gusset/engine"
	"gusset/sheets/workbook/formula"
	"gusset/sheets/workbook/xlsx"
)

// Names of worksheets that do not come from the sheet.
const (
	startSheet    = "Start here"
	librarySheet  = "Library"
	exportedSheet = "As exported"
)

// startWidths are the widths of the first worksheet's columns.
var startWidths = []float64{4, 30, 14, 26, 50}

// start writes the first worksheet: what this is, how to use it, how the checks stand, what to mind.
func (b *builder) start(file string) *grid {
	g := newGrid()
	b.grids[startSheet] = g
	s := &starter{b: b, g: g, row: 1}
	g.write(1, 1, b.plan.model.Title(), b.style(look{bold: true, size: 18}))
	g.heights[1] = 28
	s.row = 2
	s.para("A calculation for a model aircraft, made by Gusset from the sheet " + file + ". Every number on the following pages is worked out " +
		"from what was measured and chosen: change that, and weight, balance, strength and the rest follow. No macros, no links, nothing from outside.")
	s.row++
	s.heading("How to use it")
	s.numbered(
		"Change only tinted cells, on the page that they belong to. A cell that is empty has not been measured yet; whatever needs it shows #N/A until you fill it in.",
		"Type fractions of an inch with the whole number in front: 8 1/4, or 0 1/2. In a cell that shows fractions a plain 1/2 is understood too. Decimals will always do.",
		"Look at the checks below: each holds, fails, waits, or is out of step.",
		"A value that was adjusted and is tinted lilac does not follow by itself. When other values have changed the line below it says OUT OF STEP, and what to do; a check that rests on it says so too.",
		"Other cells are locked so that nothing is typed over by mistake. There is no password. A row that you add to a table counts once it has a name and the formulas of its neighbours; until then whatever adds up over the table shows #N/A.",
		"Send the file back when you are done: its owner takes your values over with gusset import. Rows and sheets may be moved; the names of cells are what counts.",
	)
	s.heading("What the tints mean")
	s.tint(tintGiven, "given", "measured or chosen: yours to change")
	s.tint("", "worked out", "a formula; the column on the right of its page says how")
	s.tint(tintAdjusted, "adjusted", "searched for by Gusset; see 4")
	s.tint(tintHolds, "holds", "a check that is met, or an adjusted value that fits")
	s.tint(tintFails, "fails", "a check that is not met, or an adjusted value that is out of step and what rests on it")
	s.tint(tintWaits, "waits", "something that it needs is not given yet, or has no result; numbers show an error such as #N/A")
	s.row++
	s.checks()
	s.guessesLeft()
	s.outside()
	s.notLive()
	s.renamed()
	s.cautions()
	return g
}

// starter writes the first worksheet line by line.
type starter struct {
	b   *builder
	g   *grid
	row int
}

// span merges the columns from one on and writes a wrapped text into them.
func (s *starter) span(from int, text string, l look) {
	l.wrap = true
	to, width := len(startWidths), 0.0
	for col := from; col <= to; col++ {
		width += startWidths[col-1]
	}
	s.g.write(s.row, from, text, s.b.style(l))
	s.g.merge(s.row, from, to)
	s.g.heights[s.row] = float64(linesOf(text, int(width)))*lineHeight + 1
	s.row++
}

func (s *starter) para(text string) { s.span(1, text, look{}) }

func (s *starter) heading(text string) {
	st := s.b.style(look{bold: true, size: 13, under: true})
	for col := range startWidths {
		s.g.set(s.row, col+1, content{style: st})
	}
	s.g.write(s.row, 1, text, st)
	s.g.heights[s.row] = 22
	s.row++
}

func (s *starter) numbered(lines ...string) {
	for i, line := range lines {
		s.g.write(s.row, 1, fmt.Sprintf("%d", i+1), s.b.style(look{faint: true, center: true}))
		s.span(2, line, look{})
	}
	s.row++
}

func (s *starter) tint(color, name, meaning string) {
	s.g.write(s.row, 2, name, s.b.style(look{tint: color, box: true}))
	s.span(3, meaning, look{indent: true})
}

// checks lists the checks, each with how it stands now.
func (s *starter) checks() {
	var checks, adjusted []*spot
	for _, pg := range s.b.plan.pages {
		for _, it := range pg.items {
			if it.Cell == nil || pg.library {
				continue
			}
			switch at := s.b.plan.spots[it.Cell.Place]; it.Cell.Kind {
			case engine.Check:
				checks = append(checks, at)
			case engine.Adjusted:
				adjusted = append(adjusted, at)
			}
		}
	}
	if len(checks) > 0 {
		s.heading("How the checks stand")
		s.counts(checks)
		for _, c := range checks {
			v := s.b.grids[c.page.sheet].at(c.row, c.col)
			v.formula, v.array = c.name, false
			v.style = s.b.style(look{right: true})
			s.line(c, v)
		}
		s.row++
	}
	if len(adjusted) > 0 {
		s.heading("Values that were searched for")
		for _, f := range adjusted {
			state := s.b.grids[f.page.sheet].at(f.row+1, noteColumn)
			state.formula, state.array = f.state(), false
			state.style = s.b.style(look{right: true})
			s.line(f, state)
		}
		s.row++
	}
}

// line writes one check or adjusted value: its name, how it stands, where it is, and what it means.
func (s *starter) line(at *spot, state content) {
	s.g.write(s.row, 2, inWords(at.called), s.b.style(look{wrap: true}))
	s.g.set(s.row, 3, state)
	s.g.write(s.row, 4, "page "+at.page.sheet, s.b.style(look{faint: true, indent: true}))
	s.g.write(s.row, 5, at.note, s.b.style(look{size: noteSize, wrap: true}))
	s.g.heights[s.row] = max(float64(linesOf(at.note, 58))*noteLine+3, float64(linesOf(at.called, 28))*lineHeight)
	s.row++
}

// onGuesses stands for the checks that hold and rest on guesses, among the states of checks.
const onGuesses = "on guesses"

// guessesLeft writes how many guesses are left.
func (s *starter) guessesLeft() {
	guesses := s.b.plan.guesses
	if len(guesses) == 0 {
		return
	}
	s.heading("Guesses")
	s.g.write(s.row, 2, "how many are left", s.b.style(look{faint: true}))
	s.g.set(s.row, 3, content{kind: aNumber, number: float64(len(guesses)), formula: s.b.plan.guessesLeft(), style: s.b.style(look{bold: true})})
	s.g.write(s.row, 4, "page "+guessSheet, s.b.style(look{faint: true, indent: true}))
	s.g.write(s.row, 5, "Each is marked "+guessMark+", and so is whatever rests on it.", s.b.style(look{size: noteSize, wrap: true}))
	s.row += 2
}

// counts writes how many checks hold, fail, wait and are out of step.
func (s *starter) counts(checks []*spot) {
	states := []string{"holds", "fails", "waits"}
	if slices.ContainsFunc(checks, func(c *spot) bool { return len(c.rests) > 0 }) {
		states = append(states, "out of step")
	}
	guessed := slices.ContainsFunc(checks, func(c *spot) bool { return c.flag != 0 })
	if guessed {
		states = slices.Insert(states, 1, onGuesses)
	}
	first, last := xlsx.Address(s.row+len(states), 3), xlsx.Address(s.row+len(states)+len(checks)-1, 3)
	for _, state := range states {
		n := 0
		for _, c := range checks {
			text := s.b.grids[c.page.sheet].at(c.row, c.col).text
			if text == state || state == onGuesses && text == "holds "+guessMark || state != onGuesses && text == state+" "+guessMark {
				n++
			}
		}
		count := content{kind: aNumber, number: float64(n), formula: fmt.Sprintf(`COUNTIF(%s:%s,%s)`, first, last, formula.Quote(state)), style: s.b.style(look{bold: true})}
		switch {
		case state == onGuesses:
			count.formula, count.array = fmt.Sprintf(`SUM(IF(%s:%s=%s,1,0))`, first, last, formula.Quote("holds "+guessMark)), true
		case guessed:
			count.formula, count.array = fmt.Sprintf(`SUM(IF(LEFT(%s:%s,5)=%s,1,0))`, first, last, formula.Quote(formula.UpTo(state, 5))), true
		}
		s.g.write(s.row, 2, map[string]string{"holds": "how many hold", onGuesses: "of them on guesses", "fails": "how many fail", "waits": "how many wait", "out of step": "how many are out of step"}[state], s.b.style(look{faint: true}))
		s.g.set(s.row, 3, count)
		s.row++
	}
}

// mostOutside is how many values outside a formula's range are listed.
const mostOutside = 40

// outside lists the values that used a formula outside the range where it is to be trusted when the workbook was made. They
// are the model's own and those of the sheets it uses, in the order of the pages.
func (s *starter) outside() {
	var list []*spot
	for _, at := range s.b.plan.spots {
		if len(at.value.Remarks) > 0 && !at.page.library {
			list = append(list, at)
		}
	}
	if len(list) == 0 {
		if s.trusting() {
			s.heading("Outside the range of a formula, as of the export")
			s.para("When this workbook was made, every formula was used within the range where it is to be trusted. " +
				"A later change may take one outside, and this page does not show it: send the workbook back to have it looked at again.")
			s.row++
		}
		return
	}
	slices.SortFunc(list, func(a, b *spot) int { return int(a.value.Place) - int(b.value.Place) })
	s.heading("Outside the range of a formula, as of the export")
	s.para("When this workbook was made, these values used a formula outside the range where it is to be trusted. " +
		"They, and all that rests on them, are less sure than they look. " +
		"The list does not follow later changes: send the workbook back to have it made again.")
	for _, at := range list[:min(len(list), mostOutside)] {
		s.g.write(s.row, 2, inWords(at.called), s.b.style(look{wrap: true}))
		s.span(3, strings.Join(at.value.Remarks, "; "), look{faint: true})
	}
	if more := len(list) - mostOutside; more > 0 {
		s.para(fmt.Sprintf("and %d more", more))
	}
	s.row++
}

// trusting reports whether the values of the model call a formula that says where it is to be trusted.
func (s *starter) trusting() bool {
	var calls func(e *engine.Expr) bool
	calls = func(e *engine.Expr) bool {
		return e.Op == engine.OpCall && len(e.Formula.Trusts) > 0 || slices.ContainsFunc(e.Args, calls)
	}
	for at := range s.b.plan.everySpot() {
		e := s.b.plan.formulas.with(engine.OpCall, at.value.Place)
		if e != nil && !at.page.library && calls(e) {
			return true
		}
	}
	return false
}

// notLive says what a spreadsheet cannot work out.
func (s *starter) notLive() {
	if len(s.b.plan.notLive) == 0 {
		return
	}
	s.heading("What does not follow by itself")
	s.para("These are values as they were when the workbook was made; they do not change with the others. Send the workbook back to have them worked out.")
	for _, n := range s.b.plan.notLive {
		s.g.write(s.row, 2, n.name, s.b.style(look{wrap: true}))
		s.span(3, n.why, look{faint: true})
	}
	s.row++
}

// renamed says which names are written in another way.
func (s *starter) renamed() {
	if len(s.b.plan.renamed) == 0 {
		return
	}
	s.heading("Names that are written in another way")
	s.para("In formulas, a dot in a name is written _ ; and these names, which a spreadsheet does not take, are:")
	for _, r := range s.b.plan.renamed {
		s.g.write(s.row, 2, r[0], s.b.style(look{wrap: true}))
		s.span(3, r[1], look{})
	}
	s.row++
}

func (s *starter) cautions() {
	s.heading("Cautions")
	s.para("These numbers are estimates from what was measured and from figures that vary from piece to piece. They are no proof of strength and no licence to fly. " +
		"Follow your local rules, your club, and the makers of batteries and motors.")
	for _, c := range s.b.plan.model.Cautions() {
		s.g.write(s.row, 1, "–", s.b.style(look{center: true}))
		s.span(2, c, look{})
	}
}

// furnishStart sets what belongs to the first worksheet as a whole.
func (b *builder) furnishStart(last int) {
	for i, w := range startWidths {
		b.note(b.file.SetColWidth(startSheet, xlsx.ColumnLetters(i+1), xlsx.ColumnLetters(i+1), w))
	}
	b.tintStates(startSheet, fmt.Sprintf("C1:C%d", last))
	b.print(startSheet, false)
	b.protect(startSheet)
}

// exported writes what ties the workbook to its sheet, and what was given when it was made, so that what has been changed since
// can be told from what the sheet's owner has changed meanwhile. The worksheet is hidden.
func (b *builder) exported(src Source) {
	g := newGrid()
	b.grids[exportedSheet] = g
	_, err := b.file.NewSheet(exportedSheet)
	b.note(err)
	st := b.style(look{})
	for i, tie := range [][2]string{{"form", form}, {"sheet", src.File}, {"fingerprint of its text", Fingerprint(src.Text)}} {
		g.write(i+1, 1, tie[0], st)
		g.write(i+1, 2, tie[1], st)
	}
	g.write(sheetRow, 3, b.plan.model.Title(), st)
	for i, head := range exportedHead {
		g.write(exportedTop, i+1, head, b.style(look{bold: true}))
	}
	row := exportedTop + 1
	add := func(s *spot, cells, keys, rowName string) {
		v, kind := b.grids[s.page.sheet].at(s.row, s.col), kindOf(s)
		if kind == "worked" && v.formula == "" { // it does not follow
			kind = "constant"
		}
		for i, text := range []string{kind, s.called, cells, keys, rowName, unitName(s.value)} {
			if text != "" {
				g.write(row, i+1, text, st)
			}
		}
		v.formula, v.array, v.style = "", false, st
		g.set(row, len(exportedHead), v)
		row++
	}
	for _, pg := range b.plan.pages {
		for _, it := range pg.items {
			switch {
			case it.Cell != nil:
				s := b.plan.spots[it.Cell.Place]
				add(s, s.name, "", "")
			case it.Table != nil:
				for _, c := range b.plan.tables[it.Table.Number].cols[1:] {
					for i, s := range c.entries {
						add(s, c.name, c.table.key().name, rowName(cellOf(c.table.key().entries[i].value)))
					}
				}
			}
		}
	}
	col := listsFrom
	for _, l := range b.plan.lists {
		if l.kept == nil {
			continue
		}
		for i, text := range l.kept {
			g.write(listsTop+i, col, text, st)
		}
		col++
	}
	b.note(b.file.SetSheetVisible(exportedSheet, false))
	b.protect(exportedSheet)
}

// form is that of the workbook itself: a newer one may be another.
const form = "1"

// Rows of the hidden worksheet: its ties, each in the second column (the sheet's title beside its file), and the heading of
// its columns.
const (
	formRow        = 1
	sheetRow       = 2
	fingerprintRow = 3
	exportedTop    = 4
)

// exportedHead are the columns of the hidden worksheet.
var exportedHead = []string{"kind", "called", "cells", "keys", "row", "unit", "value"}

// kindOf tells how a value comes about: input, constant, worked or adjusted.
func kindOf(s *spot) string {
	switch {
	case s.input:
		return "input"
	case s.kind == engine.Given:
		return "constant"
	case s.stays():
		return "adjusted"
	}
	return "worked"
}
