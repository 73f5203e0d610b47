package engine

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// treloar is stress against stretch of a vulcanised natural rubber, on the unstretched area, in kgf/cm^2: L. R. G.
// Treloar, Trans. Faraday Soc. 40 (1944) 59-70, simple tension, as digitised in public data; every third row or so.
const treloar = `table rubber
  state | stretch | pull [kgf/cm^2]
  a     | 1.390   | 3.23
  b     | 1.585   | 4.16
  c     | 1.900   | 5.10
  d     | 2.180   | 6.00
  e     | 2.420   | 6.90
  f     | 3.020   | 8.80
  g     | 3.570   | 10.7
`

func TestInterpolate(t *testing.T) {
	for _, tt := range []struct {
		formula string
		want    float64
		how     string
	}{
		{"interpolate(1.5, rubber.stretch, rubber.pull) / 1 [kgf/cm^2]", 3.7546,
			"straight line between the rows, published at 50 % elongation"},
		{"interpolate(2, rubber.stretch, rubber.pull) / 1 [kgf/cm^2]", 5.4214, "the same at 100 %"},
		{"interpolate(3, rubber.stretch, rubber.pull) / 1 [kgf/cm^2]", 8.7367, "the same at 200 %"},
		{"interpolate(1.39, rubber.stretch, rubber.pull) / 1 [kgf/cm^2]", 3.23, "a row itself, at the end"},
		{"interpolate(3.57, rubber.stretch, rubber.pull) / 1 [kgf/cm^2]", 10.7, "the last row"},
		{"interpolate(2, [1, 3], [10, 20])", 15, "halfway, by hand"},
		{"interpolate(2, filter(rubber, .stretch < 1.5 or .stretch > 3).stretch, filter(rubber, .stretch < 1.5 or .stretch " +
			"> 3).pull) / 1 [kgf/cm^2]", 3.23 + 0.61/1.63*5.57, "between rows a and f, by hand"},
	} {
		m := loadText(t, treloar+"y = "+tt.formula+"\n")
		v, err := m.Value("y")
		require.NoError(t, err)
		require.InDelta(t, tt.want, v.Number, 5e-5, "%s: %s", tt.formula, tt.how)
	}
}

func TestInterpolateRefuses(t *testing.T) {
	for _, tt := range []struct{ formula, want string }{
		{"interpolate(1, rubber.stretch, rubber.pull)", "1 is outside the table (1.39 to 3.57)"},
		{"interpolate(4, rubber.stretch, rubber.pull)", "4 is outside the table (1.39 to 3.57)"},
		{"interpolate(2, [3, 1], [1 [psi], 2 [psi]])", "must rise from row to row"},
		{"interpolate(2, [1, 1], [1 [psi], 2 [psi]])", "must rise from row to row"},
		{"interpolate(2 [in], rubber.stretch, rubber.pull)",
			"must be of one kind, but one is a length and the other a plain number"},
		{"interpolate(2, rubber.stretch, [1, 2])", "these columns do not have the same rows"},
		{"interpolate(2, rubber.stretch, 3)", "interpolate needs a column of numbers here"},
		{"interpolate(2, rubber.state, rubber.pull)", "interpolate needs a column of numbers here"},
	} {
		m := load(t, treloar+"y [psi] = "+tt.formula+"\n")
		require.Contains(t, m.Problems().Error(), tt.want, tt.formula)
		require.Len(t, m.Problems(), 1, strings.TrimSpace(m.Problems().Error()))
	}
}
