package workbook

import (
	"fmt"

	"github.com/xuri/excelize/v2"

	"gusset/engine"
	"gusset/sheets/workbook/formula"
)

// validate bounds what may be typed into an input.
func (b *builder) validate(s *spot) {
	if !s.input && !s.stays() {
		return
	}
	dv := excelize.NewDataValidation(true)
	dv.SetSqref(s.local())
	refuse := func(title, say string) {
		dv.SetError(excelize.DataValidationErrorStyleStop, title, atMost(say, mostMessage))
	}
	list := func(source, say string) {
		dv.Type, dv.Formula1 = "list", escaped(source)
		refuse("Choose from the list", say)
	}
	choices := b.plan.choices[s.value.Place]
	switch {
	case s.value.IsBoolean:
		list(`"yes,no"`, "This cell says yes or no.")
	case s.choices != nil && s.choices.name != "":
		list(s.choices.name, "This cell says one of a few words or names: choose one from its list.")
	case s.value.IsText && choices != nil && choices.rows() > 0:
		list(choices.key().name, "This cell names a row of the table "+inWords(choices.Name)+".")
	case s.value.IsText, s.value.Status != engine.OK && s.value.Unit.String() == "":
		return // any text, or it is not known yet what goes here
	case inHundredths(s.value):
		_, hi := bounds(s.value)
		expected := percent(formula.Cell(s.local()), hi, leastPercent(s.value))
		dv.Type, dv.Formula1 = "custom", escaped(formula.Print(expected))
		refuse("Not what was expected", "A number in percent is expected here, typed without the sign: "+
			s.value.Text+", not "+s.value.Text+"%.")
	default:
		lo, hi := bounds(s.value)
		dv.Type, dv.Operator = "decimal", "between"
		dv.Formula1, dv.Formula2 = formula.Numeral(lo), formula.Numeral(hi)
		what := "A number is expected here"
		if u := unitName(s.value); u != "" {
			what += ", in " + u
		}
		refuse("Not what was expected", fmt.Sprintf("%s, between %s and %s. A half is typed 0.5 or 0 1/2.",
			what, plainNumber(lo), plainNumber(hi)))
	}
	b.note(b.file.AddDataValidation(s.page.sheet, dv))
}

// percent writes that a cell holds a number no further from 0 than most, and further than one in hundredths would be.
func percent(cell formula.Formula, most, least float64) formula.Formula {
	size := formula.Abs.Of(cell)
	zeroOrMore := formula.Or.Of(formula.Equals.Of(cell, zero), formula.Greater.Of(size, formula.Num(least)))
	return formula.And.Of(formula.IsNumber.Of(cell), formula.LessEqual.Of(size, formula.Num(most)), zeroOrMore)
}

// mostMessage is how many characters a message about what was typed may have.
const mostMessage = 220

// atMost cuts a text that is too long for where it goes.
func atMost(s string, most int) string {
	if formula.UpTo(s, most) == s {
		return s
	}
	return formula.UpTo(s, most-1) + "…"
}

func plainNumber(x float64) string { return fmt.Sprintf("%.0f", x) }
