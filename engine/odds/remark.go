package odds

import "math"

// Remark says why the range to first order is not the range that holds 95 of 100 builds.
type Remark uint8

// The remarks.
const (
	Agrees  Remark = iota // it is, to two digits of the spread
	Flat                  // the inputs that are spread evenly between limits outweigh the others: it is narrower
	Curved                // the result follows the inputs in a curve
	AtLimit               // some builds end at the same least or greatest value
	Stepped               // the result goes in steps, as a count does
	Flips                 // a choice falls another way as soon as an input changes
	Missing               // some builds have no result, so that the range is of the others only
)

// FirstOrderHolds reports whether the shares to first order say what the builds do.
func (r Remark) FirstOrderHolds() bool { return r == Agrees || r == Flat }

// String names the remark for programs.
func (r Remark) String() string {
	return [...]string{"agrees", "flat", "curved", "at a limit", "stepped", "flips", "missing"}[r]
}

// MarshalText gives the name of the remark.
func (r Remark) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

const (
	// tailError is the standard deviation of the end of a range, for a normal spread of standard deviation 1 and one
	// build; for more it is to be divided by the root of their number.
	tailError = 2.67
	// heap is the share of builds with one and the same value, or with none, from which on that is worth a word.
	heap = 0.02
	// fewValues is how many values a result has at most that goes in steps, among some thousands of its builds.
	fewValues, lookedAt = 40, 4000
)

// remarkOn compares the range of builds with that to first order, both in SI: their ends are to be the same to two
// digits of the spread (JCGM 101:2008, 8.1), counted in a unit that comes to factor. The values are those of the
// builds, on any scale.
func remarkOn(values []float32, builds, first summary, factor float64) Remark {
	switch {
	case builds.n < 2 || math.IsNaN(first.mean):
		return Agrees // there is nothing to compare
	case math.IsNaN(first.sd):
		return Flips
	}
	off := lastDigit(builds.sd/factor)*factor + 3*tailError*builds.sd/math.Sqrt(float64(builds.n))
	if math.Abs(builds.low-first.low) <= off && math.Abs(builds.high-first.high) <= off {
		return Agrees
	}
	least, most, distinct := values[0], values[0], map[float32]bool{}
	every := len(values)/lookedAt + 1
	for i, v := range values {
		least, most = min(least, v), max(most, v)
		if i%every == 0 && len(distinct) <= fewValues {
			distinct[v] = true
		}
	}
	atEnds := 0
	for _, v := range values {
		if v == least || v == most {
			atEnds++
		}
	}
	skew := (builds.high - builds.mean) - (builds.mean - builds.low)
	switch {
	case len(distinct) <= fewValues && len(values) > 2*fewValues:
		return Stepped
	case float64(atEnds) > heap*float64(len(values)):
		return AtLimit
	case math.Abs(builds.sd-first.sd) <= 0.03*builds.sd+off/2 &&
		math.Abs(builds.mean-first.mean) <= 0.03*builds.sd+off/2 &&
		math.Abs(skew) <= 0.1*builds.sd+2*off:
		return Flat
	}
	return Curved
}
