package odds

import (
	"cmp"
	"math"
	"slices"

	"gusset/engine/explain"
	"gusset/units"
)

// How shares are measured: over at most so many builds, of which each part of an input's range gets the same number.
const (
	measuredBuilds = 20_000
	parts          = 16
	mostMeasured   = 10     // inputs of a result, those with the largest shares to first order
	mostFlat       = 1000   // inputs that bear on no result to first order, which are measured as well
	leastShare     = 0.0005 // below it nothing is said
	sureShare      = 1e-12  // what float32 leaves of a share of all
)

// column is what an input was in the builds by which shares are measured.
type column struct {
	x    []float64
	part []uint8
}

// draw draws an input again for the first builds.
func (c *column) draw(in *input, builds int) {
	c.x, c.part = slices.Grow(c.x[:0], builds)[:builds], slices.Grow(c.part[:0], builds)[:builds]
	in.fill(c.x, 0)
	for k := range c.part {
		c.part[k] = uint8(parts * in.stream.uniform(k))
	}
}

// measure returns by which share the variance of a result falls, on average, where an input is known: the variance of
// the mean that the result has for each value of the input, over that of the result (the first-order index of Sobol:
// Sensitivity estimates for nonlinear mathematical models, 1993). That mean is taken to be a straight line within each
// part of the input's range. Chance alone makes no more than noise of an input that does not bear on the result: that
// is six standard deviations.
func (c *column) measure(values []float32) (share, noise float64) {
	type sums struct{ n, x, y, xx, xy float64 }
	var of [parts]sums
	var all sums
	at := math.NaN() // differences keep all digits of values that are close together
	for k, v := range values {
		y := float64(v)
		if y != y {
			continue
		}
		if at != at {
			at = y
		}
		x, y := c.x[k]-c.x[0], y-at
		s := &of[c.part[k]]
		s.n++
		s.x += x
		s.y += y
		s.xx += x * x
		s.xy += x * y
		all.n++
		all.y += y
		all.xy += y * y
	}
	total := all.xy - all.y*all.y/all.n
	explained, free := -all.y*all.y/all.n, -1.0 // how much the lines account for, and with how many figures
	for _, s := range of {
		if s.n == 0 {
			continue
		}
		explained += s.y * s.y / s.n
		free++
		if xx := s.xx - s.x*s.x/s.n; xx > 1e-9*s.xx {
			xy := s.xy - s.x*s.y/s.n
			explained += xy * xy / xx
			free++
		}
	}
	rest := all.n - 1 - free
	if !(total > 0) || rest < parts {
		return 0, 1
	}
	share = (explained - free*(total-explained)/rest) / total
	if share > 1-sureShare {
		share = 1
	}
	return max(share, 0), 6 * math.Sqrt(2*free) / rest
}

// Share is how much of the doubt in a result comes from one input.
type Share struct {
	Name  string
	Place explain.Place
	Share float64 // of the variance
	// Known is by which share the range gets narrower, on average, once the input is known; NaN where it has not been
	// measured, since others count more.
	Known float64
	Guess bool      // the input is a guess without a ±, and has the wide spread of one
	Dim   units.Dim // what the input measures
}

// rank measures what is worth measuring, and puts the inputs of each result in order, the largest share first. Where
// first order does not tell what the builds do, what is measured counts.
func (q *question) rank(results []Result, batches []*batch) {
	byFirstOrder := func(a, b Share) int { return cmp.Compare(b.Share, a.Share) }
	values := make([][]float32, len(results))
	wanted := make([]map[int32]int, len(results)) // for each result the inputs to measure, with their place
	for r := range results {
		res := &results[r]
		values[r] = firstValues(batches, r)
		wanted[r] = map[int32]int{}
		behind := q.behind(r)
		for i, s := range res.Shares {
			if behind != nil && !behind[int32(s.Place)] {
				continue
			}
			if i < mostMeasured || s.Share == 0 && len(wanted[r]) < mostFlat {
				wanted[r][int32(s.Place)] = i
			}
		}
	}
	var c column
	for i := range q.inputs {
		drawn := false
		for r := range results {
			at, asked := wanted[r][q.inputs[i].slot]
			if !asked || len(values[r]) == 0 {
				continue
			}
			if !drawn {
				c.draw(&q.inputs[i], len(values[r]))
				drawn = true
			}
			share, noise := c.measure(values[r])
			s := &results[r].Shares[at]
			if s.Share == 0 && share <= noise {
				continue
			}
			s.Known = narrower(share)
			if s.Share == 0 || !results[r].Remark.FirstOrderHolds() {
				s.Share = share
			}
		}
	}
	for r := range results {
		res := &results[r]
		res.Shares = slices.DeleteFunc(res.Shares, func(s Share) bool { return s.Share < leastShare })
		slices.SortStableFunc(res.Shares, byFirstOrder)
	}
}

// behind returns the inputs that a result can rest on; nil where there are too many results to find out for each.
func (q *question) behind(r int) map[int32]bool {
	if len(q.results) > mostApart {
		return nil
	}
	of := map[int32]bool{}
	for _, s := range explain.Drawn(q.st, q.results[r:r+1]) {
		of[s] = true
	}
	return of
}

// firstValues returns the values of a result in the builds by which shares are measured.
func firstValues(batches []*batch, r int) []float32 {
	var values []float32
	for _, w := range batches {
		if values = append(values, w.values[r]...); len(values) >= measuredBuilds {
			return values[:measuredBuilds]
		}
	}
	return values
}

// narrower is by which share a range gets narrower where a share of the variance goes.
func narrower(share float64) float64 { return 1 - math.Sqrt(1-share) }
