package report

import (
	"fmt"
	"slices"
	"strings"

	"gusset/engine"
	"gusset/units"
)

// Shown is what is shown of a value.
type Shown struct {
	State State
	Text  string // what is in its place: the value without its unit, or the word for its State
	Unit  string // what is after that; in brackets where a value is to be given
	Off   string // how far off a given number may be, in that unit: ± 1/16; empty where it does not say
	Marks Marks
}

// Show returns what is shown of a value by itself.
func Show(v engine.Value) Shown {
	s := Shown{State: StateOf(v), Marks: MarksOf(v), Text: v.Text}
	switch {
	case s.State == NotGiven:
		s.Text, s.Unit = s.State.String(), InBrackets(v.Unit)
	case s.State != Known:
		s.Text = s.State.String()
	case v.IsNumber() && !v.Unit.Mixed():
		s.Unit, s.Off = v.Unit.String(), OffBy(v)
	default:
		s.Off = OffBy(v)
	}
	return s
}

// OffBy returns how far off a value may be as it is shown after the unit, which it has as well: ± 1/16, ± 18 % sd. It
// is empty where the value does not say.
func OffBy(v engine.Value) string {
	if v.Off == nil || v.Status != engine.OK {
		return ""
	}
	return v.Off.Text(units.Unit{})
}

// NotGivenHere is what a table shows, where the words would hide what is there.
const NotGivenHere = "·"

// ShowEntry returns what is shown of an entry of a table, the head of which has the unit.
func ShowEntry(v engine.Value) Shown {
	s := Show(v)
	s.Unit = ""
	if s.State == NotGiven {
		s.Text = NotGivenHere
	}
	return s
}

// AfterText returns what is after the text: the unit, how far off it may be, and the marks.
func (s Shown) AfterText() string { return s.Marks.After(strings.TrimSpace(s.Unit + " " + s.Off)) }

// String returns the text with all that is after it.
func (s Shown) String() string { return strings.TrimSpace(s.Text + " " + s.AfterText()) }

// WhyNot says why there is no value, but where that is plain to see: it is to be given.
func WhyNot(v engine.Value) string {
	if StateOf(v) == NotGiven {
		return ""
	}
	return v.Reason
}

// InFull returns what is shown of a value, and why there is none, in one line.
func InFull(v engine.Value) string {
	switch s := Show(v); s.State {
	case NoResult:
		return s.Text + ": " + v.Reason
	case NotGiven:
		return s.Text
	case Waits:
		return v.Reason
	case Holds, Fails:
		return s.String()
	}
	return MarksOf(v).After(strings.TrimSpace(v.Quantity() + " " + OffBy(v)))
}

// Beside returns what is said beside a cell: BesideNow, and then BesideAlways.
func Beside(c *engine.Cell) string { return joined(BesideNow(c), BesideAlways(c)) }

// Beside returns what is said beside a cell, how sure it is first.
func (c *Cell) Beside() string { return joined(c.Odds, Beside(c.Cell)) }

// BesideNow returns what is said beside a cell of its present value: why there is none, which part of a check fails, by
// how much and for which rows, and what makes it less sure.
func BesideNow(c *engine.Cell) string {
	list := []string{WhyNot(c.Value)}
	if c.Kind == engine.Check {
		if StateOf(c.Value) == Fails { // and is not gone since
			list = append(list, UnmetParts(c.Unmet, c.Formula)...)
		}
		list = append(list, restsOn(c.Value))
	}
	return joined(list...)
}

// BesideAlways returns what is said beside a cell whatever its value is: its condition, what it is adjusted for, and
// the note.
func BesideAlways(c *engine.Cell) string {
	switch {
	case c.Kind == engine.Check:
		return joined(c.Formula, c.Note)
	case c.Kind == engine.Adjusted && c.Status == engine.OK:
		return joined("adjusted so that "+c.Formula, c.Note)
	}
	return c.Note
}

// joined joins what is said beside something; what is empty says nothing.
func joined(said ...string) string {
	return strings.Join(slices.DeleteFunc(said, func(s string) bool { return s == "" }), " · ")
}

// GivenMark returns the mark between name and value, as in the sheet: : of what is given, = of what is worked out.
func GivenMark(k engine.Kind) string {
	if k == engine.Given {
		return ":"
	}
	return "="
}

// Counting returns the unit that plain numbers count where values are in u: the smaller one of a unit in two parts.
func Counting(u units.Unit) units.Unit {
	if !u.Mixed() {
		return u
	}
	parts := strings.Fields(u.String())
	small, err := units.Builtin().Parse(parts[len(parts)-1])
	if err != nil {
		return u
	}
	return small
}

// InBrackets returns a unit as it is beside a name; nothing for plain numbers.
func InBrackets(u units.Unit) string {
	if u.String() == "" {
		return ""
	}
	return "[" + u.String() + "]"
}

// Label returns a name with the unit that its numbers count.
func Label(name string, u units.Unit) string { return strings.TrimSpace(name + " " + InBrackets(u)) }

// Count says "1 value", "2 values", "3 guesses".
func Count(n int, what string) string {
	switch {
	case n == 1:
		return "1 " + what
	case strings.HasSuffix(what, "s"):
		what += "e"
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// CountThat is Count with the verb that goes with one, or with several.
func CountThat(n int, what, one, several string) string {
	if n == 1 {
		several = one
	}
	return Count(n, what) + " " + several
}
