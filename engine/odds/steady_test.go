package odds

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestSteadyIsTheErrorOfAMean: the steadiness of a figure is the standard deviation of the mean of those of the batches
// (JCGM 101:2008, 7.9.4): of 1, 2 and 4, whose squares of differences add up to 42/9, the root of 42/9/2/3.
func TestSteadyIsTheErrorOfAMean(t *testing.T) {
	want := math.Sqrt(42. / 9 / 2 / 3)
	got := steady([]summary{
		{mean: 1, sd: 10, low: 4, high: 3}, {mean: 2, sd: 20, low: 2, high: 3}, {mean: 4, sd: 40, low: 1, high: 3},
	})
	assert.InDelta(t, want, got.mean, 1e-12)
	assert.InDelta(t, 10*want, got.sd, 1e-12)
	assert.InDelta(t, want, got.low, 1e-12)
	assert.Zero(t, got.high)
	assert.True(t, got.within(20*want*1.001))
	assert.False(t, got.within(20*want*0.999))
}

// TestRemarks: why the range to first order is not that of the builds.
func TestRemarks(t *testing.T) {
	for sheet, want := range map[string]Remark{
		"a : 5 ± 1 sd\ny = 2 * a\n":              Agrees,
		"a : 5 ± 1\ny = 2 * a\n":                 Flat,
		"a : 5 ± 2 sd\ny = a ^ 3\n":              Curved,
		"a : 1 ± 1\ny = min(a, 1.5)\n":           AtLimit,
		"a : 5.5 ± 2\nz = ceil(a)\n":             Stepped,
		"a : 5 ± 2\ny = a < 5 ? a + 2 : a - 2\n": Flips,
	} {
		o := oddsOf(t, sheet, Options{Builds: 40_000, Seed: 2})
		assert.Equal(t, want, o.Results[len(o.Results)-1].Remark, sheet)
	}
}

// TestSteadinessOfAShare is that of a binomial count: the root of p (1 - p) / n.
func TestSteadinessOfAShare(t *testing.T) {
	assert.InDelta(t, 0.04, tally{holds: 80, fails: 15, without: without{waits: 2, none: 3}}.steadiness(), 1e-12)
}

// TestLastDigit is half of what one counts for in the second digit of a spread (JCGM 101:2008, 7.9.2).
func TestLastDigit(t *testing.T) {
	for sd, want := range map[float64]float64{0.035: 0.0005, 35: 0.5, 350: 5, 9.99: 0.5, 1: 0.05, 0: 0} {
		assert.InDelta(t, want, lastDigit(sd), 1e-12, "%g", sd)
	}
}

// TestSharesAreThoseOfTheVariance: of 3 a + 4 b, both with a standard deviation of 1, 9 and 16 parts of 25.
func TestSharesAreThoseOfTheVariance(t *testing.T) {
	r := oddsOf(t, "a : 50 ± 1 sd\nb : 70 ± 1 sd\ny = 3 * a + 4 * b\n", Options{Builds: 2000}).Results[0]
	assert.Equal(t, "b", r.Shares[0].Name)
	assert.InDelta(t, 0.64, r.Shares[0].Share, 1e-9)
	assert.InDelta(t, 0.36, r.Shares[1].Share, 1e-9)
}

// TestEnoughBuilds: a result that has hardly ever a value is not waited for; another is until two batches are alike.
func TestEnoughBuilds(t *testing.T) {
	of := func(sums ...summary) (batches []*batch) {
		for _, s := range sums {
			batches = append(batches, &batch{sums: []summary{s}, checks: make([]tally, 1)})
		}
		return batches
	}
	rare, some := summary{n: 1, mean: 5, sd: math.NaN(), low: 5, high: 5}, summary{n: 9, mean: 5, sd: 1, low: 3, high: 7}
	other := summary{n: 9, mean: 6, sd: 1, low: 4, high: 8}
	assert.True(t, enough(of(some, some), []float64{1}))
	assert.False(t, enough(of(some), []float64{1}), "one alone")
	assert.False(t, enough(of(some, other), []float64{1}))
	assert.True(t, enough(of(rare, rare, noSummary), []float64{1}))
	assert.True(t, enough(of(some, rare, some), []float64{1}))
	assert.True(t, enough(of(some, rare), []float64{1}))
}
