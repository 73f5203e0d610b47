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

// Names of worksheets that do not come from the sheet.
const (
	startSheet    = "Start here"
	librarySheet  = "Library"
	exportedSheet = "As exported"
)

// startWidths returns the widths of the first worksheet's columns.
func startWidths(p *plan) []float64 { return []float64{4, 30, max(14, chiefWidth(p)+4), 26, 50} }

// start writes the first worksheet: what this is, how to use it, how the checks stand, what to mind.
func (b *builder) start(file string) *grid {
	g := newGrid()
	b.grids[startSheet] = g
	s := &starter{b: b, g: g, row: 1, widths: startWidths(b.plan)}
	g.write(1, 1, b.plan.model.Title(), b.style(look{bold: true, size: 18}))
	g.heights[1] = 28
	s.row = 2
	s.para("A calculation for a model aircraft, made by Gusset from the sheet " + file +
		". Every number on the following pages is worked out " +
		"from what was measured and chosen: change that, and weight, balance, strength and the rest follow. " +
		"No macros, no links, nothing from outside.")
	s.row++
	s.heading("How to use it")
	advice := []string{"Change only tinted cells, on the page that they belong to. A cell that is empty has not been " +
		"measured yet; whatever needs it shows #N/A until you fill it in."}
	if fractionsTyped(b.plan) {
		advice = append(advice, "Type fractions of an inch with the whole number in front: 8 1/4, or 0 1/2. In a cell that "+
			"shows fractions a plain 1/2 is understood too. Decimals will always do.")
	}
	advice = append(advice, fmt.Sprintf("Look at the checks below: each %s, %s, %s, or %s.", report.Holds, report.Fails,
		report.Waits, report.OutOfStep.Are(1)),
		"A value that was adjusted and is tinted lilac does not follow by itself. When other values have changed "+
			"the line below it says "+outOfStep+", and what to do; "+
			"a check that rests on it says so too.")
	aboutAdjusted := len(advice)
	s.numbered(append(advice,
		"Other cells are locked so that nothing is typed over by mistake. There is no password. A row that you add to "+
			"a table counts once it has a name and the formulas of its neighbours; until then whatever adds up over "+
			"the table shows #N/A.",
		"Send the file back when you are done: its owner takes your values over with gusset import. "+
			"Rows and sheets may be moved; the names of cells are what counts.",
		"On paper the column of sources is left out: it is long, and stays on the right of each page on the screen.",
	)...)
	s.heading("What the tints mean")
	s.tint(tintGiven, "given", "measured or chosen: yours to change")
	s.tint("", "worked out", "a formula; the column on the right of its page says how")
	s.tint(tintAdjusted, "adjusted", fmt.Sprintf("searched for by Gusset; see %d", aboutAdjusted))
	s.tint(tintHolds, report.Holds.String(), "a check that is met, or an adjusted value that fits")
	s.tint(tintFails, report.Fails.String(),
		"a check that is not met, or an adjusted value that is out of step and what rests on it")
	s.tint(tintWaits, report.Waits.String(),
		"something that it needs is not given yet, or has no result; numbers show an error such as #N/A")
	s.row++
	s.chief()
	s.checks()
	s.guessesLeft()
	s.outside()
	s.list("What does not follow by itself",
		"These are values as they were when the workbook was made; they do not change with "+
			"the others. Send the workbook back to have them worked out.", b.plan.notLive, look{faint: true})
	s.list("Names that are written in another way",
		"In formulas, a dot in a name is written _ ; and these names, which a "+
			"spreadsheet does not take, are:", b.plan.renamed, look{})
	s.cautions()
	return g
}

// starter writes the first worksheet line by line.
type starter struct {
	b      *builder
	g      *grid
	row    int
	widths []float64
}

// span merges the columns from one on and writes a wrapped text into them.
func (s *starter) span(from int, text string, l look) {
	l.wrap = true
	to, width := len(s.widths), 0.0
	for col := from; col <= to; col++ {
		width += s.widths[col-1]
	}
	s.g.write(s.row, from, text, s.b.style(l))
	s.g.merge(s.row, from, to)
	s.g.heights[s.row] = float64(linesOf(text, int(width)))*lineHeight + 1
	s.row++
}

func (s *starter) para(text string) { s.span(1, text, look{}) }

func (s *starter) heading(text string) {
	st := s.b.style(look{bold: true, size: 13, under: true})
	for col := range s.widths {
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
	checks := map[string][]*spot{}
	sheets := []string{""} // the sheet itself and those that it uses, whose checks count apart as report.ChecksOf has them
	var adjusted []*spot
	for at := range s.b.plan.everySpot() {
		switch {
		case at.page.library:
		case at.kind == engine.Check:
			if alias := at.page.alias; checks[alias] == nil && alias != "" {
				sheets = append(sheets, alias)
			}
			checks[at.page.alias] = append(checks[at.page.alias], at)
		case at.kind == engine.Adjusted:
			adjusted = append(adjusted, at)
		}
	}
	for _, alias := range sheets {
		of := checks[alias]
		switch {
		case of == nil:
			continue
		case alias == "":
			s.heading("How the checks stand")
		default:
			s.heading("How the checks of " + of[0].page.from + " stand")
		}
		s.counts(of)
		for _, c := range of {
			s.line(c, s.saying(c, c.row, c.col, c.name))
		}
		s.row++
	}
	if len(adjusted) > 0 {
		s.heading("Values that were searched for")
		for _, f := range adjusted {
			s.line(f, s.saying(f, f.row+1, noteColumn, f.state()))
		}
		s.row++
	}
}

// saying returns how a check or an adjusted value stands, which a cell of its page says.
func (s *starter) saying(at *spot, row, col int, cell string) content {
	state := s.b.grids[at.page.sheet].at(row, col)
	state.formula, state.array, state.style = cell, false, s.b.style(look{right: true})
	return state
}

// line writes one result: its name, its value or how it stands, where it is, and what it means.
func (s *starter) line(at *spot, value content) {
	s.g.write(s.row, startName, inWords(at.called), s.b.style(look{wrap: true}))
	s.g.set(s.row, startValue, value)
	s.g.write(s.row, startPlace, "page "+at.page.sheet, s.b.style(look{faint: true, indent: true}))
	s.g.write(s.row, startNote, notEmpty(at.note), s.b.style(look{size: noteSize, wrap: true}))
	lines := linesOf(at.called, 28)
	if at.value.IsText {
		lines = max(lines, linesOf(value.text, int(s.widths[startValue-1])))
	}
	s.g.heights[s.row] = max(float64(linesOf(at.note, 58))*noteLine+3, float64(lines)*lineHeight)
	s.row++
}

// guessesLeft writes how many guesses are left.
func (s *starter) guessesLeft() {
	guesses := s.b.plan.guessesUsed
	if guesses == 0 {
		return
	}
	s.heading("Guesses")
	s.g.write(s.row, 4, "page "+guessSheet, s.b.style(look{faint: true, indent: true}))
	s.g.write(s.row, 5, "Each is marked "+guessMark+", and so is whatever rests on it.",
		s.b.style(look{size: noteSize, wrap: true}))
	s.count("how many are left", content{number: float64(guesses), formula: s.b.plan.guessesLeft()})
	s.row++
}

// counts writes how many checks hold, fail, and wait for values.
func (s *starter) counts(checks []*spot) {
	states := []report.State{report.Holds, report.Fails, report.Waits}
	if slices.ContainsFunc(checks, func(c *spot) bool { return len(c.rests) > 0 }) {
		states = append(states, report.OutOfStep)
	}
	var cells []engine.Cell
	for _, c := range checks {
		cells = append(cells, engine.Cell{Value: c.value})
	}
	sum := report.ChecksOf(cells)
	sum.Names[report.Waits] = append(sum.Names[report.Waits], sum.Names[report.NoResult]...) // as checkState has them
	may := func(kind flagKind) bool {
		return slices.ContainsFunc(checks, func(c *spot) bool { return c.flags[kind] != 0 })
	}
	both := report.Marks{Guess: true, Outside: true}
	marked := [...]struct {
		may   bool
		label string
		now   int
		marks report.Marks
	}{
		{may(onGuess), "of them on guesses", sum.Guessed, report.Marks{Guess: true}},
		{may(onOutside), "of them marked " + report.OutsideMark, sum.Outside, report.Marks{Outside: true}},
	}
	lines, isMarked := len(states), false
	for _, m := range marked {
		if m.may {
			lines, isMarked = lines+1, true
		}
	}
	area := xlsx.Address(s.row+lines, 3) + ":" + xlsx.Address(s.row+lines+len(checks)-1, 3)
	for _, state := range states {
		word := formula.Quote(state.String())
		count := content{number: float64(len(sum.Names[state])), formula: fmt.Sprintf("COUNTIF(%s,%s)", area, word)}
		if isMarked {
			word = formula.Quote(formula.UpTo(state.String(), statesFrom))
			count.formula, count.array = fmt.Sprintf("SUM(IF(LEFT(%s,%d)=%s,1,0))", area, statesFrom, word), true
		}
		s.count("how many "+state.Are(2), count)
		for _, m := range marked {
			if m.may && state == report.Holds {
				s.count(m.label, content{number: float64(m.now), array: true,
					formula: fmt.Sprintf("SUM(IF(%s=%s,1,0)+IF(%s=%s,1,0))", area, formula.Quote(m.marks.After(state.String())),
						area, formula.Quote(both.After(state.String())))})
			}
		}
	}
}

// count writes a line with a number.
func (s *starter) count(label string, c content) {
	c.kind, c.style = aNumber, s.b.style(look{bold: true})
	s.g.write(s.row, 2, label, s.b.style(look{faint: true}))
	s.g.set(s.row, 3, c)
	s.row++
}

// mostOutside is how many values outside a formula's range are listed.
const mostOutside = 40

// list writes a heading, what it is about, and lines of a name and what is said of it; nothing where there are none.
func (s *starter) list(heading, about string, lines []Remark, l look) {
	if len(lines) == 0 {
		return
	}
	s.heading(heading)
	s.para(about)
	for _, line := range lines {
		s.g.write(s.row, 2, line.Name, s.b.style(look{wrap: true}))
		s.span(3, line.Text, l)
	}
	s.row++
}

// outside tells how many values use a formula outside the range where it is to be trusted and, of those that did when
// the workbook was made, why, and whether they still do.
func (s *starter) outside() {
	var may []mark
	var did []*spot
	for at := range s.b.plan.everySpot() {
		if at.flags[isOutside] == 0 {
			continue
		}
		may = append(may, mark{area: at.flagArea(isOutside)})
		if len(at.value.Remarks) > 0 {
			did = append(did, at)
		}
	}
	if len(may) == 0 {
		return
	}
	s.heading("Outside the range of a formula")
	s.para("A value that uses a formula outside the range where it is to be trusted is marked " + report.OutsideMark +
		" on its page, and so is all that rests on it: they are less sure than they look.")
	s.count("how many use one so", content{number: float64(len(did)),
		formula: formula.Print(bringMarks(formula.Sum, may))})
	if len(did) > 0 {
		s.para("When the workbook was made:")
	}
	for _, at := range did[:min(len(did), mostOutside)] {
		why, row := atMost(strings.Join(at.value.Remarks, "; "), maxSaid), s.row
		s.g.write(row, 2, inWords(at.called), s.b.style(look{wrap: true}))
		s.span(3, why, look{faint: true})
		is := formula.Equals.Of(at.flagArea(isOutside).formula(), one)
		s.g.set(row, 3, s.g.at(row, 3).working(formula.If.Of(is, formula.Text(why), formula.Text("within its range now"))))
	}
	if more := len(did) - mostOutside; more > 0 {
		s.para(fmt.Sprintf("and %d more", more))
	}
	s.row++
}

func (s *starter) cautions() {
	s.heading("Cautions")
	s.para("These numbers are estimates from what was measured and from figures that vary from piece to piece. " +
		"They are no proof of strength and no licence to fly. " +
		"Follow your local rules, your club, and the makers of batteries and motors.")
	for _, c := range s.b.plan.model.Cautions() {
		s.g.write(s.row, 1, "–", s.b.style(look{center: true}))
		s.span(2, c, look{})
	}
}

// furnishStart sets what belongs to the first worksheet as a whole.
func (b *builder) furnishStart(last int) {
	widen(b, startSheet, startWidths(b.plan))
	hide(b, startSheet, startGuess, startOutside)
	b.tintStates(startSheet, fmt.Sprintf("C1:C%d", last))
	b.print(startSheet, false)
	b.protect(startSheet)
}
