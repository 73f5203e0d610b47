package workbook

import (
	"fmt"
	"strings"

	"gusset/sheets/report"
	"gusset/sheets/workbook/formula"
)

// A guess keeps its mark until another value is typed over it, or its mark is cleared on the page of guesses.

// guessMark is shown after a value that is a guess, or rests on one.
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
	counts := map[string]bool{}
	for _, g := range p.model.Guesses() {
		counts[g.Name] = true
	}
	var unused []*spot
	for s := range p.everySpot() {
		switch {
		case !s.value.Guess || !s.input:
		case counts[s.called]:
			p.guesses = append(p.guesses, s)
		default: // of another sheet, and not read
			unused = append(unused, s)
		}
	}
	p.guessesUsed = len(p.guesses)
	p.guesses = append(p.guesses, unused...)
	for i, s := range p.guesses {
		s.guess = i + 1
	}
	if len(p.guesses) == 0 {
		return
	}
	flagAll(p, onGuess, p.restingOnAny(p.guesses))
	p.define("guess_names", fixedRange(guessSheet, guessTop, guessNames, guessTop+len(p.guesses)-1, guessNames))
	p.define("guess_marks", fixedRange(guessSheet, guessTop, guessMarks, guessTop+len(p.guesses)-1, guessMarks))
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
	g.write(2, 1, "Values that nobody has measured yet. Type what you measure over a value on its own page, and it is no "+
		"guess any more; where a guess was right, clear its "+guessMark+" here. Whatever rests on a guess shows a "+guessMark+
		" behind its value.", b.style(look{wrap: true}))
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
			l.format = withUnit(plainFormat(s), u)
		}
		v.style = b.style(l)
		g.set(row, guessValues, v)
		g.write(row, guessMarks, guessMark, b.style(look{tint: tintGiven, box: true, open: true, center: true}))
		g.write(row, guessPages, "page "+s.page.sheet, b.style(look{faint: true, indent: true}))
		note := s.note
		if i >= b.plan.guessesUsed {
			note = strings.TrimPrefix(note+"; ", "; ") + "nothing in this sheet rests on it, so it is not counted"
		}
		g.write(row, guessNotes, notEmpty(note), b.style(look{size: noteSize, wrap: true}))
		g.heights[row] = max(float64(linesOf(note, 58))*noteLine+3, float64(linesOf(s.called, 28))*lineHeight)
		g.set(row, guessFlags, content{style: b.style(look{})}.working(s.flagArea(onGuess).formula()))
	}
	widen(b, guessSheet, []float64{30, 16, 8, 26, 50})
	hide(b, guessSheet, guessFlags, guessFlags)
	b.print(guessSheet, false)
	b.protect(guessSheet)
}

// guessesLeft writes how many guesses are left.
func (p *plan) guessesLeft() string { return formula.Print(p.guessesLeftOf(p.guessesUsed)) }
