package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"gusset/engine"
	"gusset/units"
)

// OddsLegend says what the words stand for that take the place of odds.
const OddsLegend = "likely is over 3 in 4, unlikely under 1 in 4, open what lies between"

// oddsWord returns the word for a share of builds, where something behind a check may be off by nobody knows how much.
func oddsWord(share float64) string {
	switch {
	case share > 0.75:
		return "likely"
	case share < 0.25:
		return "unlikely"
	}
	return "open"
}

// InHundred says in how many builds of 100 something is so; none and all are said only where it is so of every build.
func InHundred(share float64, builds int) string {
	switch of := math.Round(100 * share); {
	case share <= 0:
		return fmt.Sprintf("none of %s builds", Thousands(builds))
	case share >= 1:
		return fmt.Sprintf("all of %s builds", Thousands(builds))
	case share < 0.005:
		return "under 1 of 100"
	case share > 0.995:
		return "over 99 of 100"
	default:
		return fmt.Sprintf("%.0f of 100", of)
	}
}

// HoldsIn says how often a check holds: in odds, or with something undeclared behind it in a word. One of a safety that
// has a margin for scatter in it holds where the part keeps that margin, which is more than that it does not break. One
// that asks how far a value may be off asks it of the sheet as it stands: no build is asked.
func HoldsIn(c *engine.CheckOdds, builds int) string {
	verb := "holds"
	if c.Margin {
		verb = "keeps its safety"
	}
	if builds == 0 {
		return Show(c.Value).State.String()
	}
	if c.OnlySpread {
		return Show(c.Value).State.String() + ", by the sheet: a spread is not of one build"
	}
	said := verb + " in " + InHundred(c.Holds, builds)
	if len(c.Undeclared) > 0 {
		if said = oddsWord(c.Holds); c.Margin {
			said += " to keep its safety"
		}
	}
	without := withoutValueIn(c.Waits, c.None, builds)
	if c.Holds+c.Fails == 0 {
		return strings.TrimPrefix(without, ", ")
	}
	said += without
	if c.Spread {
		said += ", with the spread that the sheet has"
	}
	return said
}

// withoutValueIn says in how many builds something waits or has no result, after what is said of the others.
func withoutValueIn(waits, none float64, builds int) string {
	said := ""
	if waits > 0 {
		said += ", waits in " + InHundred(waits, builds)
	}
	if none > 0 {
		said += ", has no result in " + InHundred(none, builds)
	}
	return said
}

// OddsInShort says in how many builds all checks hold at once, or in a word how likely that is, which of them does so
// least often, and which range holds 95 of 100 builds of each result. It is nothing where nothing is drawn.
func OddsInShort(o *engine.Odds) []string {
	if o.Builds == 0 {
		return nil
	}
	var parts []string
	if len(o.Checks) > 0 {
		said := "all checks hold in " + InHundred(o.All.Holds, o.Builds)
		if len(o.All.Undeclared) > 0 {
			said = "all checks hold: " + oddsWord(o.All.Holds)
		}
		parts = append(parts, said+withoutValueIn(o.All.Waits, o.All.None, o.Builds))
		least := slices.MinFunc(o.Checks, func(a, b engine.CheckOdds) int { return cmp.Compare(a.Holds, b.Holds) })
		if least.Holds < 1 && len(o.Checks) > 1 {
			parts = append(parts, "least sure "+least.Name)
		}
	}
	for i := range o.Results {
		if r := &o.Results[i]; r.SD > 0 { // else nothing that is drawn moves it
			parts = append(parts, r.Name+" "+RangeOf(r)+withoutValueIn(r.Waits, r.None, o.Builds))
		}
	}
	return parts
}

// RangeIn says which range holds 95 of 100 builds of a result, of those that have one; nothing where nothing that is
// drawn moves it.
func RangeIn(r *engine.OddsResult, builds int) string {
	without := strings.TrimPrefix(withoutValueIn(r.Waits, r.None, builds), ", ")
	switch {
	case !(r.SD > 0):
		return without
	case without == "":
		return "95 of 100 builds: " + rangeOf(r)
	}
	return without + "; 95 of 100 of the others: " + rangeOf(r)
}

// RangeOf writes the range that holds 95 of 100 builds of a result, with its unit.
func RangeOf(r *engine.OddsResult) string {
	if r.Unit.Mixed() { // each end has it
		return rangeOf(r)
	}
	return strings.TrimSpace(rangeOf(r) + " " + r.Unit.String())
}

// rangeOf is RangeOf without the unit.
func rangeOf(r *engine.OddsResult) string {
	least := ""
	if len(r.Undeclared) > 0 {
		least = "at least "
	}
	return least + Between(r.Value, r.Low, r.High, r.SD)
}

// AddOdds puts what odds say of the cells of pages beside them.
func AddOdds(pages []Page, o *engine.Odds) {
	said := map[engine.Place]string{}
	for i := range o.Results {
		said[o.Results[i].Place] = RangeIn(&o.Results[i], o.Builds)
	}
	for i := range o.Checks {
		if o.Builds > 0 && !o.Checks[i].OnlySpread { // which comes out as it does beside it
			said[o.Checks[i].Place] = HoldsIn(&o.Checks[i], o.Builds)
		}
	}
	for c := range Cells(pages) {
		c.Odds = said[c.Place]
	}
}

// Thousands writes a number with a space before each three digits, from five digits on.
func Thousands(n int) string {
	s := strconv.Itoa(n)
	if len(s) < 5 {
		return s
	}
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + " " + s[i:]
	}
	return s
}

// Between writes the two ends of a range that is not sharper than sd, in the unit of a value.
func Between(v engine.Value, low, high, sd float64) string {
	from, to := Ends(v, low, high, sd)
	return from + " to " + to
}

// Ends writes the two ends of a range that is not sharper than sd, in the unit of a value: to the value's step where
// that is fine enough, whole where they are counts, else with as many decimals as two digits of sd have.
func Ends(v engine.Value, low, high, sd float64) (from, to string) {
	counts := v.Unit.String() == "" && !v.Step.Given()
	for _, x := range []float64{v.Number, low, high} {
		counts = counts && x == math.Trunc(x) && math.Abs(x) < 1e15
	}
	if counts {
		return strconv.FormatFloat(low, 'f', 0, 64), strconv.FormatFloat(high, 'f', 0, 64)
	}
	return oddsNumber(v, low, sd), oddsNumber(v, high, sd)
}

// oddsNumber writes one end of a range.
func oddsNumber(v engine.Value, x, sd float64) string {
	switch {
	case math.IsNaN(x):
		return "nothing"
	case v.Step.Given() && (v.Step.Value() <= sd || v.Unit.String() == "" && v.Step.Value() == 1),
		v.Unit.Mixed(), !(sd > 0):
		return units.Format(v.Unit.ToSI(x), v.Unit, v.Step)
	case math.Abs(x) >= 1e15 || sd < 1e-9:
		return strconv.FormatFloat(x, 'g', 3, 64)
	}
	decimals := 1 - int(math.Floor(math.Log10(sd)))
	if decimals < 0 {
		tens := math.Pow10(-decimals)
		return strconv.FormatFloat(math.Round(x/tens)*tens, 'f', 0, 64)
	}
	return cleanZero(strconv.FormatFloat(x, 'f', decimals, 64))
}

// cleanZero takes the sign off a number that has been rounded to 0.
func cleanZero(s string) string {
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// Percent writes a share.
func Percent(share float64) string {
	switch p := 100 * share; {
	case p < 0.95:
		return "under 1 %"
	case share < 1 && p > 99.5:
		return "over 99 %"
	default:
		return fmt.Sprintf("%.0f %%", p)
	}
}

// RemarkOnOdds says in a few words how the range to first order is off that of the builds, and what these words mean;
// nothing where it is not off.
func RemarkOnOdds(r *engine.OddsResult) (short, legend string) {
	switch r.Remark {
	case engine.OddsAgree:
		return "", ""
	case engine.OddsFlat:
		return "too wide", "values that are evenly likely between limits outweigh the others"
	case engine.OddsCurved:
		if r.First.SD == 0 {
			return "sees nothing", "the result is at a turning point"
		}
		return "off in a curve", "the result follows what is drawn in a curve"
	case engine.OddsAtLimit:
		return "off at a limit", "some builds end at a limit"
	case engine.OddsStepped:
		return "off in steps", "the result goes in steps"
	case engine.OddsFlip:
		return "by a choice", "one falls another way as soon as a value changes"
	case engine.OddsMissing:
		return "off where builds have none", "the range is of those builds only that have a result"
	}
	panic("a remark without words")
}

// Input is a given value that a result hangs on.
type Input struct {
	Name string
	Dim  units.Dim // what it measures
}

// InputNames names inputs as shortly as can be where no other of them is called so: an entry of a table by its row and
// column, a weight by its row alone.
func InputNames(inputs []Input) []string {
	short := make([]string, len(inputs))
	for i, in := range inputs {
		short[i] = in.Name
	}
	for _, columns := range []bool{true, false} {
		tried, count := slices.Clone(short), map[string]int{}
		for i, in := range inputs {
			if row, column, ok := entryName(in.Name); ok && (columns || in.Dim == units.Mass) {
				if tried[i] = row; columns {
					tried[i] += " " + column
				}
			}
			count[tried[i]]++
		}
		for i := range short {
			if count[tried[i]] == 1 {
				short[i] = tried[i]
			}
		}
	}
	return short
}

// ToDo is what is done to know some inputs: weights are weighed.
func ToDo(inputs []Input) string {
	weights := 0
	for _, in := range inputs {
		if in.Dim == units.Mass {
			weights++
		}
	}
	switch weights {
	case 0:
		return "measure"
	case len(inputs):
		return "weigh"
	}
	return "weigh or measure"
}

// entryName takes the name of an entry of a table apart; ok is false for any other.
func entryName(name string) (row, column string, ok bool) {
	_, rest, ok := strings.Cut(name, `["`)
	if !ok {
		return "", "", false
	}
	row, column, ok = strings.Cut(rest, `"].`)
	return row, column, ok && !strings.Contains(row, `\`)
}
