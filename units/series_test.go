package units

import (
	"fmt"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func series(t *testing.T, from, to, step string, u Unit) (Series, error) {
	t.Helper()
	var n [3]Number
	for i, text := range []string{from, to, step} {
		var err error
		n[i], err = Builtin().ParseNumber(text, u)
		require.NoError(t, err, text)
	}
	return NewSeries(n[0], n[1], n[2], u, 10_000)
}

// decimalOfParts writes n parts of 10^-places, as people do.
func decimalOfParts(n int64, places int) string {
	s := new(big.Rat).SetFrac(big.NewInt(n), new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(places)),
		nil)).FloatString(places)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// checkSeries: number i is A + i S as worked out in whole parts, to the last digit, and is read back as the same value.
func checkSeries(t *testing.T, u Unit, from, step int64, places int, rows int64) {
	t.Helper()
	typed := func(n int64) string {
		if u.Mixed() {
			return decimalOfParts(n, places) + " " + u.String()[strings.IndexByte(u.String(), ' ')+1:]
		}
		return decimalOfParts(n, places)
	}
	s, err := series(t, typed(from), typed(from+(rows-1)*step), typed(step), u)
	require.NoError(t, err)
	require.Equal(t, int(rows), s.Len(), "[%s] from %s by %s", u, typed(from), typed(step))
	for i := range rows {
		value, shown := s.Value(int(i))
		assert.Equal(t, shown, Exact(s.SI(int(i)), u))
		assert.Equal(t, value, u.Value(s.SI(int(i))), shown)
		back, err := Builtin().ParseNumber(shown, u)
		require.NoError(t, err)
		assert.Equal(t, s.SI(int(i)), back.SI, shown)
		if !u.Mixed() {
			require.Equal(t, decimalOfParts(from+i*step, places), shown, "[%s] from %s by %s, number %d", u,
				typed(from), typed(step), i)
		}
	}
}

// Every unit of the table, and some made of several, counts in steps of all sizes without a digit too many.
func TestSeriesInEveryUnit(t *testing.T) {
	all := []Unit{{}}
	for _, info := range Builtin().Names() {
		if info.Group != gMoney || info.Name == "GBP" {
			all = append(all, info.Unit)
		}
	}
	for _, text := range []string{"oz/sq ft", "g/dm^2", "rpm/V", "deg/s", "oz-in", "lb/cu ft", "km/h", "GBP/sq ft",
		"in^2/s", "rad/min", "rev/in"} {
		u, err := Builtin().Parse(text)
		require.NoError(t, err)
		all = append(all, u)
	}
	require.Greater(t, len(all), 100)
	for i, u := range all {
		if testing.Short() && i%5 != 0 {
			continue
		}
		for places := range 4 {
			for _, step := range []int64{1, 2, 3, 5, 7, 25, 125} {
				checkSeries(t, u, 0, step, places, 40)
			}
			checkSeries(t, u, 1003, -1, places, 40)
			checkSeries(t, u, 17, 13, places, 40)
		}
	}
}

func FuzzSeries(f *testing.F) {
	f.Add("deg", int64(0), int64(5), uint8(0))
	f.Add("mph", int64(145), int64(5), uint8(1))
	f.Add("degF", int64(-40), int64(9), uint8(1))
	f.Add("oz/sq ft", int64(1), int64(3), uint8(6))
	f.Fuzz(func(t *testing.T, unit string, from, step int64, places uint8) {
		u, err := Builtin().parse(unit)
		const most = 1e9
		if err != nil || step == 0 || places > 5 || from > most || from < -most || step > most/20 || step < -most/20 {
			return
		}
		if u.Reading() && min(from, from+20*step) < -200 {
			return // below absolute zero
		}
		if x := u.Factor(); x > 1e100 || x < 1e-100 {
			return
		}
		checkSeries(t, u, from, step, int(places), 20)
	})
}

func TestSeriesBounds(t *testing.T) {
	unit := func(text string) Unit {
		u, err := Builtin().Parse(text)
		require.NoError(t, err)
		return u
	}
	for _, c := range []struct {
		unit, from, to, step string
		want                 string
	}{
		{"in", "0", "1", "1/8", "0 0.125 0.25 0.375 0.5 0.625 0.75 0.875 1"},
		{"in", "0", "1", "1/3", "0 0.3333333333333333 0.6666666666666666 1"},
		{"in", "0", "1 ft", "4", "0 4 8 12"},
		{"mm", "0", "1 in", "1/4 in", "0 6.35 12.7 19.05 25.4"},
		{"deg", "0", "1 rev", "90", "0 90 180 270 360"},
		{"deg", "0", "1 rad", "20", "0 20 40"},
		{"deg", "0", "1.5707963267948966 rad", "30", "0 30 60 90"}, // pi / 2
		{"degC", "0", "20", "5", "0 5 10 15 20"},
		{"degC", "0", "293.15 K", "10", "0 10 20"},
		{"K", "0 degC", "283.15", "5", "273.15 278.15 283.15"},
		{"degC", "0", "20", "9 K", "0 9 18"},
		{"degC", "32 degF", "68 degF", "10", "0 10 20"},
		{"degF", "32", "50", "5 K", "32 41 50"},
		{"", "1", "0", "-0.25", "1 0.75 0.5 0.25 0"},
		{"", "0", "0.9999999999", "1", "0"},
		{"", "2", "2", "1", "2"},
		// More parts than a whole number of 64 bits has room for.
		{"", "1e20", "1.002e20", "1e17", "1e+20 1.001e+20 1.002e+20"},
		{"", "-1e20", "-1.002e20", "-1e17", "-1e+20 -1.001e+20 -1.002e+20"},
		{"", "0", "3e-20", "1e-20", "0 1e-20 2e-20 3e-20"},
		// Where one of three is in rad, the last may be a row but for what rounding leaves.
		{"deg", "0.1 rad", "25.729577951308232", "10", "5.729577951308232 15.729577951308233 25.729577951308233"},
		{"deg", "12.91831180523293", "0.4 rad", "10", "12.91831180523293 22.91831180523293"},
		{"deg", "0", "57.29577951308232", "0.5 rad", "0 28.64788975654116 57.29577951308232"},
		{"deg", "0.3 rad", "37.188733853924695", "10", "17.188733853924695 27.188733853924695 37.188733853924695"},
	} {
		u := unit(c.unit)
		s, err := series(t, c.from, c.to, c.step, u)
		require.NoError(t, err, fmt.Sprint(c))
		var have []string
		for i := range s.Len() {
			_, text := s.Value(i)
			have = append(have, text)
		}
		assert.Equal(t, c.want, strings.Join(have, " "), fmt.Sprint(c))
	}
	_, err := series(t, "0", "10", "-1", unit("in"))
	assert.ErrorIs(t, err, ErrStep)
	_, err = series(t, "0", "10", "0", unit("in"))
	assert.ErrorIs(t, err, ErrStep)
	_, err = series(t, "0", "10000", "1", unit("in"))
	assert.ErrorIs(t, err, ErrSeriesLong)
	_, err = series(t, "0", "1e200", "1e-200", unit("in"))
	assert.ErrorIs(t, err, ErrSeriesLong)
}
