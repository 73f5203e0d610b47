package odds

import (
	"math"

	"gusset/units"
)

// Strip is how often a result is where: the share of builds in each of as many equal parts from From to To, which leave
// out one build of a thousand at either end.
type Strip struct {
	From, To float64
	Shares   []float64
}

// stripParts is how many parts a Strip has.
const stripParts = 48

// stripOf returns the Strip of values in some order, kept by a scale.
func stripOf(values []float32, by scale, unit units.Unit) Strip {
	n := len(values)
	if n < 2 {
		return Strip{From: math.NaN(), To: math.NaN()}
	}
	cut := n / 1000
	from := quickselect(values, cut)
	to := quickselect(values[cut:], n-1-2*cut)
	s := Strip{From: unit.Value(by.back(float64(from))), To: unit.Value(by.back(float64(to))),
		Shares: make([]float64, stripParts)}
	if wide := float64(to) - float64(from); wide > 0 {
		for _, v := range values {
			if v >= from && v <= to {
				s.Shares[min(int(stripParts*((float64(v)-float64(from))/wide)), stripParts-1)]++
			}
		}
		for i := range s.Shares {
			s.Shares[i] /= float64(n)
		}
	}
	return s
}
