package program

import (
	"fmt"
	"math"
	"strconv"

	"gusset/sheets/text"
	"gusset/units"
)

// Spread is how the values that a given number may really have are spread about it.
type Spread uint8

// The kinds of spread.
const (
	Rectangular Spread = iota // anywhere between the limits, evenly likely: JCGM 100:2008, 4.3.7
	Normal95                  // normal, 95 of 100 within Half, 1.96 standard deviations: JCGM 100:2008, 4.3.4
	Normal1                   // normal, Half is one standard deviation
)

// The words that a sheet has for them after the ±, and that JSON has.
var spreadWords = [...]string{Rectangular: "rectangular", Normal95: "normal", Normal1: "sd"}

// String returns rectangular, normal or sd.
func (k Spread) String() string { return spreadWords[k] }

// MarshalText names the spread as String does.
func (k Spread) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// Coverage is how many standard deviations the half-width of a 95 % interval of a normal spread has.
const Coverage = 1.96

// Tolerance is how far off a given number may be.
type Tolerance struct {
	Half  float64 // SI, above 0; of a reading of temperature a difference
	Kind  Spread
	Whole bool   // what it is about is counted in whole numbers, and is drawn so; limits are whole then
	Share bool   // it was given as a share of the value, and Shown ends in %
	Shown string // Half in the unit in which the value is shown, as typed where it was typed in that
}

// SD returns the standard deviation, SI.
func (t Tolerance) SD() float64 {
	switch {
	case t.Kind == Normal1:
		return t.Half
	case t.Kind == Normal95:
		return t.Half / Coverage
	case t.Whole: // of 2 Half + 1 whole numbers
		return math.Sqrt(t.Half * (t.Half + 1) / 3)
	}
	return t.Half / math.Sqrt(3)
}

// In returns the tolerance as it is shown where its value is shown in u, another unit than its own.
func (t Tolerance) In(u units.Unit) Tolerance {
	if !t.Share {
		t.Shown = shownIn(t.Half, u.Difference())
	}
	return t
}

// shownIn shows half the width of a tolerance in a unit in which it was not typed. Two digits are what is known of a
// doubt: JCGM 100:2008, 7.2.6.
func shownIn(half float64, u units.Unit) string {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(u.Value(half), 'g', 2, 64), 64)
	if err != nil {
		return units.Format(half, u, units.Step{})
	}
	return units.Format(u.ToSI(rounded), u, units.Step{})
}

// Text returns the tolerance as a sheet writes it, with the unit that its value is shown in: ± 1/16 in, ± 18 % sd.
func (t Tolerance) Text(u units.Unit) string {
	s := "± " + t.Shown
	if unit := u.Difference().String(); unit != "" && !t.Share {
		s += " " + unit
	}
	if t.Kind != Rectangular {
		s += " " + t.Kind.String()
	}
	return s
}

// mostGiven is how large a number is that can be given, in SI, and leastGiven how small.
const (
	mostGiven  = 1e300
	leastGiven = 1 / mostGiven
)

// ReadTolerance reads what a value says of how far off it may be; nil where it says nothing. num is the value, and sh
// how it is shown. The error is one of package units, about v.GiveOrTake(), or text.Diags.
func ReadTolerance(set *units.Set, v text.Value, num units.Number, sh *Show) (*Tolerance, error) {
	if !v.GiveOrTake().Given() {
		return nil, nil
	}
	by, err := set.ParseDifference(v.GiveOrTake().Text, num.Unit.Difference())
	if err != nil {
		return nil, err
	}
	r := toleranceReader{v, num, by, sh}
	t := &Tolerance{Half: by.SI, Whole: sh.Whole(), Share: by.HasUnit && isPercent(by.Unit)}
	switch v.Spread().Text {
	case "normal":
		t.Kind = Normal95
	case "sd":
		t.Kind = Normal1
	}
	if t.Share {
		t.Half *= math.Abs(num.SI)
	}
	if d := r.mistake(t); d != nil {
		d.Span = v.GiveOrTake().Span
		return nil, text.Diags{*d}
	}
	if t.Whole && t.Kind == Rectangular {
		t.Half = wholeWithin(t.Half)
	}
	switch in := sh.Unit.Difference(); {
	case t.Share:
		t.Shown = by.Amount + " %"
	case by.Amount != "" && by.Unit.Equal(in):
		t.Shown = by.Amount
	default:
		t.Shown = shownIn(by.SI, in)
	}
	return t, nil
}

func isPercent(u units.Unit) bool { return u.String() == "%" }

// wholeWithin returns the largest whole number that is not above x, which may be a little less than the one it means.
func wholeWithin(x float64) float64 { return math.Floor(x * (1 + 1e-12)) }

// toleranceReader is what is at hand to say what is wrong with a tolerance.
type toleranceReader struct {
	value text.Value
	num   units.Number
	by    units.Number
	show  *Show
}

// mistake returns what is wrong with t; nil if nothing is.
func (r toleranceReader) mistake(t *Tolerance) *text.Diag {
	typed, value := r.value.GiveOrTake().Text, r.value.Word.Text
	switch {
	case r.by.SI < 0:
		return &text.Diag{Code: "tolerance-size", Msg: "what follows a ± has no minus: the value may be off by it either way",
			Hint: "leave the minus out: " + value + " ± " + r.amount(r.by.HasUnit)}
	case r.by.SI == 0:
		return &text.Diag{Code: "tolerance-size", Msg: "what follows a ± is more than 0",
			Hint: fmt.Sprintf("leave ± %s out: %s", typed, value) + r.asFormula()}
	case t.Share && (isPercent(r.num.Unit) || isPercent(r.show.Unit)):
		return r.twoReadings()
	case t.Share && r.num.Unit.Reading():
		return &text.Diag{Code: "tolerance-share",
			Msg:  "a share of a temperature depends on where its scale has its 0",
			Hint: fmt.Sprintf("write how many degrees it may be off: %s ± 1", value)}
	case t.Share && r.num.SI == 0:
		return &text.Diag{Code: "tolerance-share", Msg: fmt.Sprintf("%s of 0 is nothing", typed),
			Hint: fmt.Sprintf("write how far off it may be without the %%: %s ± 1", value)}
	case !t.Share && r.by.Unit.Dim() != r.num.Unit.Dim():
		return r.unfit()
	case !(t.Half <= mostGiven-math.Abs(r.num.SI)):
		return &text.Diag{Code: "number-range", Msg: "the give or take is too large"}
	case t.Half < leastGiven:
		return &text.Diag{Code: "number-range", Msg: "the give or take is too close to 0"}
	case r.num.Unit.Reading() && t.Half > r.num.SI:
		return &text.Diag{Code: "number-range",
			Msg: fmt.Sprintf("%s less than %s is below absolute zero", typed, value)}
	case t.Whole && t.Kind == Rectangular && wholeWithin(t.Half) == 0:
		return &text.Diag{Code: "not-whole",
			Msg:  fmt.Sprintf("this is counted in whole numbers, and within ± %s of %s there is no other", typed, value),
			Hint: fmt.Sprintf("write %s ± 1, or leave ± %s out", value, typed)}
	}
	return nil
}

// asFormula says how to write a value that is exact since somebody chose it; nothing where formulas cannot have its
// unit.
func (r toleranceReader) asFormula() string {
	if r.num.Unit.Mixed() {
		return ""
	}
	number := units.Format(r.num.SI, r.num.Unit, units.Step{})
	if u := r.num.Unit.String(); u != "" {
		number += " [" + u + "]"
	}
	return "; a limit that was chosen is exact as a formula: = " + number
}

// unfit reports a tolerance that measures something else than its value does.
func (r toleranceReader) unfit() *text.Diag {
	d := &text.Diag{Code: "unit-unfit", Msg: fmt.Sprintf("this is %s, but what may be off by it is %s",
		r.by.Unit.Dim().Describe(), r.num.Unit.Dim().Describe())}
	d.Hint = fmt.Sprintf("write %s ± %s, or a share of it in %%", r.value.Word.Text, r.amount(false))
	return d
}

// amount writes the number of the tolerance without its sign, and where that is asked for with its unit.
func (r toleranceReader) amount(unit bool) string {
	s := r.by.Amount
	if s == "" {
		s = units.Format(math.Abs(r.by.SI), r.by.Unit, units.Step{})
	}
	if u := r.by.Unit.String(); unit && u != "" {
		s += " " + u
	}
	return s
}

// twoReadings refuses a tolerance in % of a value in %, and says how to write either of what it may mean.
func (r toleranceReader) twoReadings() *text.Diag {
	in := r.num.Unit
	ofValue := r.by.SI * math.Abs(r.num.SI)
	plain := func(si float64) string { return units.Format(si, in, units.Step{}) }
	between := func(half float64) string { return plain(r.num.SI-half) + " to " + plain(r.num.SI+half) }
	typed := r.value.GiveOrTake().Text
	d := &text.Diag{Code: "tolerance-percent",
		Msg:  fmt.Sprintf("%s may be %s of the hundred, or %s of the value", typed, plain(r.by.SI), typed),
		Hint: fmt.Sprintf("write ± %s for %s", plain(r.by.SI), between(r.by.SI))}
	if ofValue > 0 {
		d.Hint += fmt.Sprintf(", or ± %s for %s", plain(ofValue), between(ofValue))
	}
	return d
}

// What a guess that does not say how far off it may be is taken for: these shares of it either way, evenly likely.
// Common practice, no source: weights guessed by eye are a quarter off, shares of a blank or of a price nearly a third.
const (
	guessedShare = 0.25 // of a weight, and of whatever is not named here
	guessedPart  = 0.30 // of what is counted in %
	guessedSteps = 2    // of a length, or of a temperature read off a scale, with a step
	guessedWarm  = 5    // K, of such a temperature without a step
)

// GuessSpread returns how far off a guess is taken to be that does not say it itself; ok is false where it is taken as
// it is: a guess of 0, of money, or of what is counted in whole numbers. v is in SI.
func GuessSpread(v float64, t Type, sh *Show) (off Tolerance, ok bool) {
	if t.Kind != Number || !IsNumber(v) || sh.Whole() || t.Dim.Currency() != "" {
		return off, false
	}
	share := guessedShare
	switch in, steps := sh.Unit.Difference(), sh.Step.Value()*guessedSteps; {
	case sh.Unit.Reading() && !sh.Step.Given():
		return Tolerance{Half: guessedWarm, Shown: units.Format(guessedWarm, in, units.Step{})}, true
	case sh.Step.Given() && (t.Dim == units.Length || sh.Unit.Reading()):
		half := in.ToSI(steps)
		return Tolerance{Half: half, Shown: units.Format(half, in, sh.Step)}, true
	case isPercent(sh.Unit):
		share = guessedPart
	}
	off = Tolerance{Half: math.Abs(v) * share, Share: true, Shown: fmt.Sprintf("%.0f %%", share*100)}
	return off, off.Half >= leastGiven
}
