package workbook

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"gusset/engine"
	"gusset/sheets/text"
	"gusset/sheets/workbook/xlsx"
	"gusset/units"
	"gusset/units/nearest"
)

// What is done with a given value that has been changed in a workbook.

// input takes a given value over, or says why it cannot; its cell is at a place of the workbook.
func (r *returning) input(l exportedLine, s *spot, cell xlsx.Cell, at string) {
	now := cellOf(s.value)
	if unchanged(l.value, cell) || unchanged(now, cell) { // the mate has not touched it, or both have come to the same
		if cell.Formula {
			r.note(s, "holds a formula, in %s, whose value is the one in the sheet: nothing is taken", at)
		}
		r.measured(l, s, now)
		return
	}
	c, why := r.change(l, s, cell, now)
	switch {
	case why != "" && cell.Formula:
		r.remain(s.called, "%s; its cell, %s, holds a formula, of which nothing is taken", why, at)
		return
	case why != "":
		r.remain(s.called, "%s", why)
		return
	case cell.Formula:
		r.note(s, "holds a formula, in %s: its value, %s, is taken, and not the formula", at, c.Now)
	}
	r.Changes = append(r.Changes, c)
}

// refused leaves out the changes that the sheet refuses, such as one of what decides about choices: those that cannot
// be made by themselves, and then one after the other of those that cannot be made together.
func (r *returning) refused(m *engine.Model) {
	leave := func(why func(Change) error) {
		r.Changes = slices.DeleteFunc(r.Changes, func(c Change) bool {
			err := why(c)
			if err != nil {
				r.remain(c.Name, "is %s in %s and was %s, but %s", c.Now, r.what, c.Was,
					strings.TrimPrefix(err.Error(), c.Name+": "))
			}
			return err != nil
		})
	}
	leave(func(c Change) error {
		_, err := m.Target(engine.Setting{Name: c.Name, Value: c.Value})
		return err
	})
	for {
		var settings []engine.Setting
		for _, c := range slices.Concat(r.Changes, r.Measured) {
			settings = append(settings, engine.Setting{Name: c.Name, Value: c.Value})
		}
		var why *engine.Error
		if !errors.As(m.Fork().SetAll(settings...), &why) {
			return
		}
		before := len(r.Changes)
		leave(func(c Change) error {
			if c.Name == why.Name {
				return why
			}
			return nil
		})
		if len(r.Changes) == before { // it is not about a change: who puts them in will say so
			return
		}
	}
}

func (r *returning) note(s *spot, format string, args ...any) {
	r.Notes = append(r.Notes, Remark{s.called, fmt.Sprintf(format, args...)})
}

// change returns the change that a cell of the workbook makes to a value, or why it makes none; now is what the sheet
// has.
func (r *returning) change(l exportedLine, s *spot, cell, now xlsx.Cell) (c Change, why string) {
	mark, guessed := r.marks[s.called]
	switch {
	case guessed && mark != "" && !s.value.Guess && !r.Other:
		return c, fmt.Sprintf("has been changed on both sides since: it was %s %s, is no guess any more in the sheet, "+
			"and is %s in the workbook", shownCell(l.value), guessMark, shownCell(cell))
	case !unchanged(l.value, now):
		since := "has been changed on both sides since: it"
		if r.Other {
			since = "is not what it was in the other sheet: it"
		}
		return c, fmt.Sprintf("%s was %s, is %s in the sheet and %s in the workbook",
			since, shownCell(l.value), shownCell(now), shownCell(cell))
	case cell.Kind == xlsx.Blank && cell.Formula:
		return c, "has no value in the workbook, since none was saved"
	case cell.Kind == xlsx.Blank:
		return c, fmt.Sprintf("was %s and has been cleared", quantity(s.value))
	case cell.Kind == xlsx.Fault:
		return c, "shows the error " + printable(cell.Text)
	}
	value, why := r.valueOf(s, cell)
	if why != "" {
		return c, why
	}
	c = Change{Name: s.called, Was: quantity(s.value), Now: value, Value: value}
	if u := unitName(s.value); u != "" && !s.value.Unit.Mixed() {
		c.Now += " " + u
	}
	if s.value.IsText {
		c.Value = text.Quote(value)
		c.Now = c.Value
	} else if !s.value.IsBoolean {
		c.Doubt = doubt(s.value, cell.Number)
	}
	if s.page.alias != "" {
		r.Elsewhere = append(r.Elsewhere, c)
		return c, fmt.Sprintf("is %s and was %s, but it belongs to another sheet, which other models may use: "+
			"change it there", c.Now, c.Was)
	}
	c.entry = s.entry()
	return c, ""
}

// inBrackets returns a unit as it is after a name in a sheet.
func inBrackets(unit string) string {
	if unit == "" {
		unit = "1"
	}
	return "[" + unit + "]"
}

// unchanged reports whether two cells hold the same. Some programs keep 15 digits of a number.
func unchanged(a, b xlsx.Cell) bool {
	switch {
	case empties(a) && empties(b):
		return true
	case a.Kind != b.Kind:
		return false
	case a.Kind == xlsx.Number:
		return math.Abs(a.Number-b.Number) <= 1e-14*math.Abs(a.Number)
	}
	return a.Text == b.Text && a.Number == b.Number
}

// empties reports whether a cell is empty; some programs take a text of no letters for nothing.
func empties(c xlsx.Cell) bool {
	return c.Kind == xlsx.Blank && !c.Formula || c.Kind == xlsx.Text && c.Text == ""
}

// shownCell shows what a cell holds.
func shownCell(c xlsx.Cell) string {
	switch c.Kind {
	case xlsx.Blank:
		return "nothing"
	case xlsx.Number:
		return shownNumber(c.Number)
	case xlsx.Boolean:
		return map[bool]string{true: "TRUE", false: "FALSE"}[c.Number == 1]
	}
	return inQuotes(c.Text)
}

func shownNumber(x float64) string { return strconv.FormatFloat(x, 'g', 10, 64) }

// cellOf returns a value as a cell of the workbook has it.
func cellOf(v engine.Value) xlsx.Cell {
	switch c := known(v); c.kind {
	case aNumber:
		return xlsx.Cell{Kind: xlsx.Number, Number: c.number}
	case aText:
		return xlsx.Cell{Kind: xlsx.Text, Text: c.text}
	}
	return xlsx.Cell{}
}

// valueOf returns a cell's content as it is typed in the sheet, or why it cannot be what is meant.
func (r *returning) valueOf(s *spot, c xlsx.Cell) (value, why string) {
	v := s.value
	switch {
	case v.IsText:
		return r.textOf(s, c)
	case v.IsBoolean:
		return booleanOf(c)
	case v.Status != engine.OK && v.Unit.String() == "" && s.column == nil && c.Kind == xlsx.Text: // a text may be meant
		return "", fmt.Sprintf("holds the text %s: set it in the sheet, where a text has quotes", inQuotes(c.Text))
	case c.Kind == xlsx.Text:
		return "", fmt.Sprintf("holds the text %s where a number is expected", inQuotes(c.Text))
	case c.Kind == xlsx.Boolean:
		return "", fmt.Sprintf("says %s where a number is expected", shownCell(c))
	case xlsx.IsDate(c.Format):
		return "", "has been turned into a date or a time: a half is typed 0.5 or 0 1/2"
	case xlsx.IsPercent(c.Format):
		return "", fmt.Sprintf("was typed with a %%: %s may mean %s", shownCell(c), shownNumber(c.Number*100))
	}
	if why := tooFar(v, c.Number, shownCell(c)); why != "" {
		return "", why
	}
	if v.Whole() && c.Number != math.Trunc(c.Number) {
		return "", fmt.Sprintf("is %s now, where only a whole number can be", shownCell(c))
	}
	if inHundredths(v) && c.Number != 0 && math.Abs(c.Number) <= leastPercent(v) {
		return "", fmt.Sprintf("is %s now: a value in %% is typed without the sign, such as %s",
			shownCell(c), shownNumber(v.Number))
	}
	if v.Unit.Mixed() { // its two parts could both be meant
		return workshop(c.Number, v) + " " + unitName(v), ""
	}
	return workshop(c.Number, v), ""
}

// textOf takes a text over.
func (r *returning) textOf(s *spot, c xlsx.Cell) (value, why string) {
	if c.Kind != xlsx.Text {
		return "", fmt.Sprintf("holds %s where a text is expected", shownCell(c))
	}
	if why := r.notChosen(s, c.Text); why != "" {
		return "", why
	}
	if len(c.Text) > text.MaxText {
		return "", fmt.Sprintf("holds a text of more than %d bytes", text.MaxText)
	}
	if strings.ContainsFunc(c.Text, func(r rune) bool { return r < ' ' }) {
		return "", "holds a text of several lines"
	}
	return c.Text, ""
}

// notChosen tells why a text cannot be chosen, or nothing if it can.
func (r *returning) notChosen(s *spot, said string) string {
	var choices []string
	why := fmt.Sprintf("says %s, which is not ", inQuotes(said))
	switch t := r.plan.choices[s.value.Place]; {
	case s.choices != nil:
		choices, why = s.choices.texts, why+"one of its choices"
	case t != nil:
		choices, why = rowNames(t.Table), why+"a row of "+t.called
	default:
		return ""
	}
	if slices.Contains(choices, said) {
		return ""
	}
	if r.compared += len(choices); r.compared > maxCompared {
		return why
	}
	if near, ok := nearest.Word(said, choices); ok {
		return why + fmt.Sprintf("; is it %q?", near)
	}
	if len(choices) > 0 && len(choices) <= maxListed {
		return why + "; choose from " + strings.Join(quotedEach(choices), ", ")
	}
	return why
}

// maxCompared is how many choices are held against what a workbook says, to name the nearest: a mate mistypes some, a
// stranger all of thousands of cells that have thousands of choices.
const maxCompared = 100_000

// maxListed is how many choices are listed in a message.
const maxListed = 6

func quotedEach(texts []string) []string {
	var list []string
	for _, t := range texts {
		list = append(list, strconv.Quote(t))
	}
	return list
}

// booleanOf takes a yes or no over.
func booleanOf(c xlsx.Cell) (value, why string) {
	switch said := strings.ToLower(strings.TrimSpace(c.Text)); {
	case c.Kind == xlsx.Text && (said == "yes" || said == "no"):
		return said, ""
	case c.Kind == xlsx.Boolean && c.Number == 1:
		return "yes", ""
	case c.Kind == xlsx.Boolean:
		return "no", ""
	}
	return "", fmt.Sprintf("holds %s where yes or no is expected", shownCell(c))
}

// finestMark is the finest part of an inch on a ruler.
const finestMark = 64

// workshop writes a number as it is typed in the sheet: in fractions of a ruler where its step is one and it falls on a
// mark, else with all of its digits.
func workshop(x float64, v engine.Value) string {
	if isRuler(v.Step) || inchLike(engine.Value{Unit: v.Unit, Number: x}) {
		if marked, ok := units.OnRuler(x, finestMark); ok {
			return marked
		}
	}
	return strings.Replace(strconv.FormatFloat(x, 'g', 15, 64), "e+", "e", 1)
}

// inQuotes returns what a workbook says in quotes and short enough for a message.
func inQuotes(s string) string { return strconv.Quote(atMost(s, 60)) }

// printable returns what a workbook says without what could steer a terminal.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsPrint(r) {
			return r
		}
		return -1
	}, atMost(s, 500))
}
