package units

import (
	"math"
	"math/big"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func scaleOf(t *testing.T, unit string) Scale {
	t.Helper()
	u, err := Builtin().Parse(unit)
	require.NoError(t, err)
	return u.Scale()
}

// The factors are those of the units' own definitions: NIST Special Publication 811 (2008), appendix B, gives the inch
// as 25.4 mm, the pound as 0.45359237 kg and the pound-force as 4.4482216152605 N, all exactly.
func TestMultiplier(t *testing.T) {
	for _, tt := range []struct {
		from, to string
		want     Multiplier
	}{
		{"ft", "in", Multiplier{Times: "12"}},
		{"in", "ft", Multiplier{Over: "12"}},
		{"in", "mm", Multiplier{Times: "25.4"}},
		{"mm", "in", Multiplier{Over: "25.4"}},
		{"oz/sq in", "oz/sq ft", Multiplier{Times: "144"}},
		{"sq in", "sq ft", Multiplier{Over: "144"}},
		{"lb", "kg", Multiplier{Times: "0.45359237"}},
		{"%", "1", Multiplier{Over: "100"}},
		{"deg", "rad", Multiplier{Over: "180", Pi: 1}},
		{"rad", "deg", Multiplier{Times: "180", Pi: -1}},
		{"rev", "rad", Multiplier{Times: "2", Pi: 1}},
		{"K", "degF", Multiplier{Times: "1.8"}},
		{"oz in", "oz in", Multiplier{}},
		{"min", "h", Multiplier{Over: "60"}},
		{"ft/min", "mph", Multiplier{Over: "88"}},
		{"ozf", "gf", Multiplier{Times: "28.349523125"}},
		{"mile", "nmi", Multiplier{Times: "50292", Over: "57875"}}, // 1609.344 m and 1852 m
		{"deg^2", "rad^2", Multiplier{Over: "32400", Pi: 2}},
	} {
		assert.Equal(t, tt.want, scaleOf(t, tt.from).Over(scaleOf(t, tt.to)).Multiplier(), "%s in %s", tt.from, tt.to)
	}
}

// Whatever two units are, what is written comes to what one is in the other.
func TestMultiplierComesToTheScale(t *testing.T) {
	all := Builtin().Names()
	part := func(s string) float64 {
		if s == "" {
			return 1
		}
		x, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return x
	}
	pairs := 0
	for _, a := range all {
		for _, b := range all {
			if a.Unit.Dim() != b.Unit.Dim() || a.Group == gMoney {
				continue
			}
			pairs++
			m := a.Unit.Scale().Over(b.Unit.Scale()).Multiplier()
			got := part(m.Times) / part(m.Over) * math.Pow(math.Pi, float64(m.Pi))
			assert.InEpsilon(t, a.Unit.Factor()/b.Unit.Factor(), got, 1e-14, "%s in %s", a.Name, b.Name)
		}
	}
	require.Greater(t, pairs, 300)
}

func TestScalePower(t *testing.T) {
	for _, tt := range []struct {
		unit     string
		num, den int
		want     string // the unit whose scale it is; empty: there is none
	}{
		{"sq in", 1, 2, "in"},
		{"in", 2, 1, "sq in"},
		{"in", -1, 1, "1/in"},
		{"cu ft", 1, 3, "ft"},
		{"ft^2", 3, 2, "cu ft"},
		{"in", 1, 2, ""},
		{"rev", 2, 1, "rev^2"},
		{"deg", 1, 2, ""},
		{"in", 100, 1, ""},
		{"ft", 64, 1, "ft^64"},
		{"ft", -64, 1, "ft^-64"},
		{"ft", 65, 1, ""},
		{"ft", -65, 1, ""},
		{"rev^2", 1, 2, "rev"},
		{"ft", 1, 0, ""},
		{"1", 7, 12, "1"},
	} {
		got, ok := scaleOf(t, tt.unit).Power(tt.num, tt.den)
		require.Equal(t, tt.want != "", ok, tt.unit)
		if ok {
			assert.True(t, got.Equal(scaleOf(t, tt.want)), "%s to the power %d/%d", tt.unit, tt.num, tt.den)
			assert.InEpsilon(t, math.Pow(scaleOf(t, tt.unit).Float(), float64(tt.num)/float64(tt.den)), got.Float(),
				1e-14)
		}
	}
	assert.True(t, Scale{}.Equal(scaleOf(t, "1")), "the zero Scale is 1")
}

func TestScaleArithmetic(t *testing.T) {
	deg, in := scaleOf(t, "deg"), scaleOf(t, "in")
	assert.True(t, deg.Times(deg).Equal(scaleOf(t, "deg^2")))
	assert.True(t, deg.Over(deg).Equal(Scale{}))
	assert.True(t, in.Times(deg).Over(deg).Equal(in))
	assert.False(t, in.Equal(scaleOf(t, "ft")))
	assert.False(t, scaleOf(t, "rad").Equal(Scale{pi: 1}), "1 is not pi")
}

// What is worked out exactly is bounded: by 1000 bits above and below the line, so that it is a
// number in a spreadsheet too, which has none of 1024 bits (IEEE 754, binary64).
func TestLongScales(t *testing.T) {
	power := func(n uint) *big.Int { return new(big.Int).Lsh(big.NewInt(1), n) }
	scale := func(above, below uint) Scale { return Scale{ratio: new(big.Rat).SetFrac(power(above), power(below))} }
	assert.False(t, scale(999, 0).Long())
	assert.True(t, scale(1000, 0).Long())
	assert.False(t, scale(0, 999).Long())
	assert.True(t, scale(0, 1000).Long())

	got, ok := scale(14, 0).Power(64, 1) // 15 bits, 64 times
	assert.True(t, ok && got.Equal(scale(14*64, 0)))
	got, ok = scale(14, 0).Power(-64, 1)
	assert.True(t, ok && got.Equal(scale(0, 14*64)))
	got, ok = scale(19, 0).Power(50, 1) // 1000 bits by this count
	assert.True(t, ok && got.Equal(scale(19*50, 0)))
	_, ok = scale(15, 0).Power(64, 1)
	assert.False(t, ok)
	_, ok = scale(15, 0).Power(-64, 1)
	assert.False(t, ok)
}

// A root is taken where both sides of the fraction, and the power of pi, have one.
func TestScaleRoots(t *testing.T) {
	for _, tt := range []struct {
		above, below int64
		pi, num, den int
		ok           bool
	}{
		{4, 9, 0, 1, 2, true}, {4, 3, 0, 1, 2, false}, {3, 4, 0, 1, 2, false}, {4, 1, 1, 3, 2, false},
		{4, 1, 2, 3, 2, true}, {8, 27, 3, 1, 3, true}, {1, 32, 5, 2, 5, true}, {1, 1, 0, 0, 1, true},
	} {
		got, ok := Scale{big.NewRat(tt.above, tt.below), tt.pi}.Power(tt.num, tt.den)
		assert.Equal(t, tt.ok, ok, tt)
		if ok {
			whole := math.Pow(float64(tt.above)/float64(tt.below)*math.Pow(math.Pi, float64(tt.pi)),
				float64(tt.num)/float64(tt.den))
			assert.InEpsilon(t, whole, got.Float(), 1e-14, tt)
		}
	}
}

// Of two ways to write a multiplier the shorter is taken: 18 characters are shorter than 17 and a sign more.
func TestShortestMultiplier(t *testing.T) {
	assert.Equal(t, Multiplier{Times: "10000019", Over: "87654323"},
		Scale{ratio: big.NewRat(10000019, 87654323)}.Multiplier())
}
