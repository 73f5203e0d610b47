package report

import (
	"math"
	"strconv"
)

// Axis is a scale with its marks at round values: First, First + Step, and so on.
type Axis struct {
	First float64
	Step  float64 // 1, 2 or 5 times a power of ten
	Gaps  int     // between the marks
	exp   int     // that power
}

// roundAxis returns an axis with about so many gaps that holds lo and hi, after Paul S. Heckbert, "Nice numbers for
// graph labels", in Graphics Gems, 1990.
func roundAxis(lo, hi float64, gaps int) Axis {
	if size := max(math.Abs(lo), math.Abs(hi)); hi-lo <= 1e-9*size { // all one value
		pad := max(size/2, 1e-200)
		if size == 0 {
			pad = 1
		}
		lo, hi = lo-pad, hi+pad
	}
	digit, exp := round125((hi - lo) / float64(gaps))
	a := Axis{Step: digit * math.Pow10(exp), exp: exp}
	return a.around([2]float64{lo, hi})
}

// oneScale returns axes with the same marks for x and y, with about so many gaps along the longer one.
func oneScale(x, y [2]float64, gaps int) (along, up Axis) {
	long := x
	if y[1]-y[0] > x[1]-x[0] {
		long = y
	}
	a := roundAxis(long[0], long[1], gaps)
	return a.around(x), a.around(y)
}

// around returns an axis with the same step that holds other ends.
func (a Axis) around(ends [2]float64) Axis {
	const hair = 1e-9 // of a gap: what arithmetic leaves over does not make another
	below, above := math.Floor(ends[0]/a.Step+hair), math.Ceil(ends[1]/a.Step-hair)
	a.First, a.Gaps = below*a.Step, max(1, int(above-below))
	return a
}

// round125 rounds a length to 1, 2 or 5 times a power of ten.
func round125(x float64) (digit float64, exp int) {
	exp = int(math.Floor(math.Log10(x)))
	switch f := x / math.Pow10(exp); {
	case f < 1.5:
		return 1, exp
	case f < 3:
		return 2, exp
	case f < 7:
		return 5, exp
	}
	return 1, exp + 1
}

// Share tells where between the ends of the axis a value stands, from 0 to 1.
func (a Axis) Share(v float64) float64 {
	return min(max((v-a.First)/(a.Step*float64(a.Gaps)), 0), 1)
}

// Labels returns what is at the marks, all with as many decimals as the step has.
func (a Axis) Labels() []string {
	last := a.First + a.Step*float64(a.Gaps)
	size := max(math.Abs(a.First), math.Abs(last))
	var labels []string
	for i := range a.Gaps + 1 {
		v := a.Step * (math.Round(a.First/a.Step) + float64(i))
		label := strconv.FormatFloat(v, 'f', max(0, -a.exp), 64)
		if size >= 1e7 || size < 1e-4 {
			digits := int(math.Floor(math.Log10(size))) - a.exp
			label = strconv.FormatFloat(v, 'e', min(max(digits, 0), 16), 64)
		}
		if v == 0 {
			label = "0"
		}
		labels = append(labels, label)
	}
	return labels
}
