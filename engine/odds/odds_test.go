package odds

import (
	"context"
	"fmt"
	"math"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"gusset/engine/bind"
	"gusset/engine/code"
	"gusset/engine/explain"
	"gusset/engine/program"
	"gusset/engine/state"
)

// worked returns a sheet with its values.
func worked(t testing.TB, sheet string) *state.State {
	t.Helper()
	ctx := context.Background()
	files := fstest.MapFS{"x.gusset": {Data: []byte(sheet)}}
	p, err := bind.Sheet(ctx, program.Sources{Files: files}, "x.gusset")
	require.NoError(t, err)
	st, err := state.New(ctx, code.New(p), explain.Reasons)
	require.NoError(t, err)
	require.Empty(t, explain.New(st).Mistakes())
	return st
}

// oddsOf draws a sheet.
func oddsOf(t testing.TB, sheet string, o Options) *Odds {
	t.Helper()
	odds, err := Of(context.Background(), worked(t, sheet), o)
	require.NoError(t, err)
	return odds
}

// resultOf returns the result of a name.
func resultOf(t testing.TB, o *Odds, name string) Result {
	t.Helper()
	for _, r := range o.Results {
		if r.Name == name {
			return r
		}
	}
	t.Fatalf("there is no result %s", name)
	return Result{}
}

// near wants a figure of drawn builds to be within four of its standard deviations of the true one: of sound draws 1 of
// 16 000 are not. Seeds are fixed, so that the same ones are right for good.
func near(t *testing.T, what string, want, got, sd float64) {
	t.Helper()
	require.InDelta(t, want, got, 4*sd, "%s", what)
}

const builds = 200_000

// TestFourInputs is the additive model of JCGM 101:2008, 9.2: four inputs of mean 0 and standard deviation 1.
func TestFourInputs(t *testing.T) {
	sum := "y = x1 + x2 + x3 + x4\n"
	each := func(value string) string {
		s := ""
		for i := 1; i <= 4; i++ {
			s += fmt.Sprintf("x%d : %s\n", i, value)
		}
		return s + sum
	}
	for _, tt := range []struct {
		name, value, where string
		half               float64 // of the range that holds 95 of 100
	}{
		{"normal", "0 ± 1 sd", "9.2.2 and table 2: u 2.0, [-3.92, 3.92]", 3.919928},
		{"even", "0 ± 1.7320508075688772", "9.2.3: [-3.88, 3.88]; closed form 2 sqrt(3) (2 - (3/5)^(1/4))", 3.879406741},
	} {
		t.Run(tt.name, func(t *testing.T) {
			y := resultOf(t, oddsOf(t, each(tt.value), Options{Builds: builds, Seed: 1}), "y")
			root := math.Sqrt(builds)
			near(t, tt.where, 0, y.Mean, 2/root)
			near(t, tt.where, 2, y.SD, 2/root/math.Sqrt2)
			near(t, tt.where, -tt.half, y.Low, 2*tailError/root)
			near(t, tt.where, tt.half, y.High, 2*tailError/root)
			require.InDelta(t, 2, y.First.SD, 1e-9, tt.where)
			require.InDelta(t, 3.92, y.First.High, 1e-9)
			require.Len(t, y.Shares, 4)
			for _, s := range y.Shares {
				require.InDelta(t, 0.25, s.Share, 1e-6)
				near(t, "known, three are left", 1-math.Sqrt(0.75), s.Known, 0.01)
			}
		})
	}
}
