package workbook

import (
	"fmt"
	"math"

	"gusset/engine"
	"gusset/units"
)

// A number that comes back may be a mistake of the mate: the decimal point in another place, or another unit than that
// of the sheet. It is taken all the same, with a word beside it.

// mateUnits are units that a mate may measure in, whatever the sheet counts in.
var mateUnits = []string{
	"mm", "cm", "m", "in", "ft", "g", "kg", "oz", "lb", "mm^2", "cm^2", "dm^2", "m^2", "sq in", "sq ft",
	"m/s", "km/h", "mph", "kn", "N", "kgf", "gf", "ozf", "lbf", "W", "hp", "min", "s", "h", "deg", "rad",
}

// How near to such a factor a number has to be, as a share of it. A new measure is hardly ever an exact multiple of the
// old one.
const (
	nearTen  = 0.01
	nearUnit = 0.002
)

// doubt says what a number may be by mistake, held against what the value was; nothing when there is no such likeness.
func doubt(was engine.Value, now float64) string {
	if was.Status != engine.OK || was.Unit.Reading() || was.Unit.Mixed() || was.Number == 0 || now == 0 {
		return ""
	}
	if now/was.Number < 0 {
		return fmt.Sprintf("%s 0, unlike what it was: is the sign meant?", side(now))
	}
	ratio := now / was.Number
	unit := meantUnit(was.Unit, ratio)
	if times := timesTen(ratio); times != "" {
		ask := "is the decimal point where it should be"
		if unit != "" {
			ask += ", or is it [" + unit + "]"
		}
		return fmt.Sprintf("%s what it was: %s?", times, ask)
	}
	if unit == "" {
		return ""
	}
	return fmt.Sprintf("%.4g times what it was, as if it were [%s]: the sheet has [%s]", ratio, unit, was.Unit)
}

// side says on which side of zero a number is.
func side(x float64) string {
	if x < 0 {
		return "below"
	}
	return "above"
}

// timesTen says how many times ten, a hundred or a thousand a number has grown or shrunk; nothing for other numbers.
func timesTen(ratio float64) string {
	for _, t := range []struct {
		ratio float64
		words string
	}{
		{10, "10 times"}, {100, "100 times"}, {1000, "1000 times"},
		{0.1, "a tenth of"}, {0.01, "a hundredth of"}, {0.001, "a thousandth of"},
	} {
		if math.Abs(ratio/t.ratio-1) <= nearTen {
			return t.words
		}
	}
	return ""
}

// meantUnit returns the unit in which a number, so many times what it was in u, would be what it was.
func meantUnit(u units.Unit, ratio float64) string {
	for _, name := range mateUnits {
		other, err := units.Builtin().Parse(name)
		if err != nil || other.Dim() != u.Dim() || other.Equal(u) {
			continue
		}
		if math.Abs(ratio*other.Factor()/u.Factor()-1) <= nearUnit {
			return name
		}
	}
	return ""
}
