package units

import (
	"fmt"
	"strconv"
	"strings"
)

// Step is how finely a value is shown: a ruler fraction such as 1/16, or a
// decimal such as 0.1, 0.25 or 5, in the unit of the value. It is comparable.
// The zero Step means that the value is shown with four significant digits.
type Step struct {
	num, den int64 // the step is num/den
	places   int8  // decimals shown
	ruler    bool  // shown as 8-1/4
}

const (
	maxParts  = 1_000_000_000     // parts to the unit
	maxPlaces = 9                 // decimals
	maxStep   = 1_000_000_000_000 // num of a Step
)

// Given reports whether st is a step at all.
func (st Step) Given() bool { return st.den != 0 }

// Value returns the step as a number, 0 when none is given.
func (st Step) Value() float64 {
	if !st.Given() {
		return 0
	}
	return float64(st.num) / float64(st.den)
}

// String returns the step as ParseStep reads it; it is empty when none is given.
func (st Step) String() string {
	switch {
	case !st.Given():
		return ""
	case st.ruler:
		return fmt.Sprintf("1/%d", st.den)
	}
	return decimalText(uint64(st.num), int(st.places)).join()
}

// MarshalText gives the step as String does.
func (st Step) MarshalText() ([]byte, error) { return []byte(st.String()), nil }

// ParseStep reads a step: 1/64, 0.1, 0.25, 5. It fails with an *Error.
func ParseStep(text string) (Step, error) {
	step := strings.TrimSpace(text)
	refuse := func(msg, hint string) (Step, error) {
		from := strings.Index(text, step)
		return Step{}, &Error{Code: "step-form", From: from, To: from + len(step), Msg: msg, Hint: hint}
	}
	if step == "" {
		return refuse("a step is missing", "write one such as 1/16 or 0.1")
	}
	above, below, isFraction := strings.Cut(step, "/")
	if isFraction {
		return rulerStep(above, below, refuse)
	}
	whole, decimals, _ := strings.Cut(step, ".")
	n, _ := strconv.ParseUint(whole+decimals, 10, 64) // the greatest there is where it has too many figures
	switch {
	case len(step) > 30, !onlyDigits(whole + decimals), strings.HasSuffix(step, "."):
		return refuse(fmt.Sprintf("%.30s cannot be read as a step", step),
			"write one such as 1/16 or 0.1, in the unit of the value")
	case len(decimals) > maxPlaces || n > maxStep:
		return refuse("the step "+step+" is out of all range", "")
	case n == 0:
		return refuse("a step of 0 shows nothing", "write one such as 1/16 or 0.1")
	}
	return Step{num: int64(n), den: int64(pow10[len(decimals)]), places: int8(len(decimals))}, nil
}

func rulerStep(above, below string, refuse func(msg, hint string) (Step, error)) (Step, error) {
	d, _ := strconv.ParseUint(below, 10, 64) // the greatest there is where it has too many figures
	switch {
	case !onlyDigits(above) || !onlyDigits(below) || len(above) > 30:
		return refuse("the step cannot be read", "write one such as 1/16 or 0.1, in the unit of the value")
	case d > maxParts:
		return refuse("the step is finer than anything can be cut", "")
	case d == 0:
		return refuse("the step has 0 below the line", "write one such as 1/16")
	case above != "1":
		return refuse("the step "+above+"/"+below+" is not one part of a unit", "write 1/"+below)
	case d == 1:
		return Step{num: 1, den: 1}, nil
	}
	return Step{num: 1, den: int64(d), ruler: true}, nil
}

func onlyDigits(text string) bool {
	return text != "" && strings.Trim(text, "0123456789") == ""
}
