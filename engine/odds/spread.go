package odds

import "math"

// covered is the share of builds that a range holds.
const covered = 0.95

// summary is what many values of a result come to.
type summary struct {
	n                   int // values
	mean, sd, low, high float64
}

// noSummary is that of no values.
var noSummary = summary{mean: math.NaN(), sd: math.NaN(), low: math.NaN(), high: math.NaN()}

// summarize works out mean, standard deviation and the range that holds 95 of 100 values, as many of the others below
// it as above (JCGM 101:2008, 7.6 and 7.7.2). It puts the values into another order.
func summarize(values []float32) summary {
	n := len(values)
	if n == 0 {
		return noSummary
	}
	at := float64(values[0]) // sums of differences keep all digits of values that are close together
	sum, squares := 0.0, 0.0
	for _, v := range values {
		d := float64(v) - at
		sum += d
		squares += d * d
	}
	s := summary{n: n, mean: at + sum/float64(n), sd: math.NaN()}
	if n > 1 {
		s.sd = math.Sqrt(max(0, squares-sum*(sum/float64(n))) / float64(n-1))
	}
	in := int(covered*float64(n) + 0.5)
	low := (n - in + 1) / 2 // counted from 1
	low = max(low, 1)
	high := min(low+in, n)
	s.low = float64(quickselect(values, low-1))
	s.high = float64(quickselect(values[low-1:], high-low))
	return s
}

// quickselect returns the value that would be at place k if the values were in order, and leaves none that is larger
// before it and none that is smaller after it (Hoare, Algorithm 65: find, Communications of the ACM 4, 1961).
func quickselect(values []float32, k int) float32 {
	low, high := 0, len(values)-1
	for low < high {
		pivot := median3(values[low], values[(low+high)/2], values[high])
		i, j := low, high
		for i <= j {
			for values[i] < pivot {
				i++
			}
			for values[j] > pivot {
				j--
			}
			if i <= j {
				values[i], values[j] = values[j], values[i]
				i++
				j--
			}
		}
		switch {
		case k <= j:
			high = j
		case k >= i:
			low = i
		default:
			return values[k]
		}
	}
	return values[k]
}

// median3 returns the middle one of three numbers.
func median3(a, b, c float32) float32 {
	return max(min(a, b), min(max(a, b), c))
}

// lastDigit returns half of what one counts for in the second digit of a standard deviation: JCGM 101:2008, 7.9.2, with
// two digits.
func lastDigit(sd float64) float64 {
	if !(sd > 0) {
		return 0
	}
	l := math.Floor(math.Log10(sd)) - 1
	if math.Round(sd/math.Pow(10, l)) >= 100 {
		l++
	}
	return math.Pow(10, l) / 2
}

// steadiness is how far the figures of a result may be off after some batches, as a standard deviation: the batches
// have figures of their own, and their mean is as steady as they are alike.
type steadiness struct{ mean, sd, low, high float64 }

// steady works out the steadiness of a result after some batches.
func steady(batches []summary) steadiness {
	of := func(figure func(s *summary) float64) float64 {
		at, sum, squares := figure(&batches[0]), 0.0, 0.0
		for i := range batches {
			d := figure(&batches[i]) - at
			sum += d
			squares += d * d
		}
		h := float64(len(batches))
		return math.Sqrt(max(0, squares-sum*(sum/h)) / (h * (h - 1)))
	}
	return steadiness{
		mean: of(func(s *summary) float64 { return s.mean }),
		sd:   of(func(s *summary) float64 { return s.sd }),
		low:  of(func(s *summary) float64 { return s.low }),
		high: of(func(s *summary) float64 { return s.high }),
	}
}

// within reports whether twice the steadiness of every figure is within a tolerance (JCGM 101:2008, 7.9.4 h).
func (s steadiness) within(tolerance float64) bool {
	return 2*max(s.mean, s.sd, s.low, s.high) <= tolerance
}
