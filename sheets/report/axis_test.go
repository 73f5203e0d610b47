package report

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestAxisMarks: the marks of an axis are round, hold the values between them, and no more of it than a gap is empty at
// either end.
func TestAxisMarks(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 20_000 {
		lo := (r.Float64() - 0.5) * math.Pow10(r.IntN(30)-15)
		hi := lo + r.Float64()*math.Pow10(r.IntN(30)-15)
		gaps := 1 + r.IntN(9)
		a := roundAxis(lo, hi, gaps)
		what := fmt.Sprintf("%v to %v in %d: %+v", lo, hi, gaps, a)

		digit := a.Step / math.Pow10(a.exp)
		require.Contains(t, []int{1, 2, 5}, int(math.Round(digit)), what)
		require.InDelta(t, math.Round(digit), digit, 1e-9, what)
		require.InDelta(t, math.Round(a.First/a.Step), a.First/a.Step, 1e-6*math.Abs(a.First/a.Step)+1e-6, what)
		last := a.First + a.Step*float64(a.Gaps)
		hair := 1e-6*a.Step + 1e-9*max(math.Abs(lo), math.Abs(hi))
		require.LessOrEqual(t, a.First, lo+hair, what)
		require.GreaterOrEqual(t, last, hi-hair, what)
		if hi-lo > 1e-6*max(math.Abs(lo), math.Abs(hi)) {
			require.Greater(t, a.First+a.Step, lo-hair, what)
			require.Less(t, last-a.Step, hi+hair, what)
			require.LessOrEqual(t, a.Gaps, 2*gaps+2, what)
		}
		require.Len(t, a.Labels(), a.Gaps+1, what)
	}
}

func TestAxisLabels(t *testing.T) {
	for _, tt := range []struct {
		lo, hi float64
		gaps   int
		want   string
	}{
		{0, 10, 5, "0 2 4 6 8 10"},
		{0.13, 0.52, 5, "0.1 0.2 0.3 0.4 0.5 0.6"},
		{-3, 3, 5, "-3 -2 -1 0 1 2 3"},
		{97, 103, 5, "97 98 99 100 101 102 103"},
		{0, 60e6, 5, "0 1e+07 2e+07 3e+07 4e+07 5e+07 6e+07"},
		{0.00002, 0.00006, 4, "2e-05 3e-05 4e-05 5e-05 6e-05"},
		{5, 5, 5, "2 3 4 5 6 7 8"},
		{0, 0, 4, "-1.0 -0.5 0 0.5 1.0"},
	} {
		assert.Equal(t, tt.want, strings.Join(roundAxis(tt.lo, tt.hi, tt.gaps).Labels(), " "))
	}
}
