package units

import (
	"bytes"
	"math/big"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Exact factors. They follow by rational arithmetic from the inch of 25.4 mm
// and the pound of 0.45359237 kg (international yard and pound agreement, 1959),
// standard gravity 9.80665 m/s^2, the US gallon of 231 cu in and the imperial
// gallon of 4.54609 L.
var exactFactors = []struct {
	unit, in string
	want     string // unit in the unit in
	sp811    string // as printed in NIST Special Publication 811, 2008, appendix B.8; empty where it has none
	sp811in  string // the unit of sp811
}{
	{"in", "mm", "25.4", "2.54", "cm"},
	{"ft", "m", "0.3048", "0.3048", "m"},
	{"yd", "m", "0.9144", "0.9144", "m"},
	{"mil", "mm", "0.0254", "0.0254", "mm"},
	{"mile", "m", "1609.344", "1609.344", "m"},
	{"nmi", "m", "1852", "1852", "m"},
	{"sq in", "mm^2", "645.16", "", ""},
	{"sq in", "dm^2", "0.064516", "", ""},
	{"sq ft", "m^2", "0.09290304", "", ""},
	{"sq ft", "dm^2", "9.290304", "", ""},
	{"sq yd", "m^2", "0.83612736", "", ""},
	{"cu in", "cm^3", "16.387064", "1.638706e-5", "m^3"},
	{"cu in", "cc", "16.387064", "", ""},
	{"cu ft", "m^3", "0.028316846592", "0.02831685", "m^3"},
	{"cu yd", "cu ft", "27", "", ""},
	{"lb", "kg", "0.45359237", "0.4535924", "kg"},
	{"oz", "g", "28.349523125", "28.34952", "g"},
	{"grain", "mg", "64.79891", "64.79891", "mg"},
	{"stone", "kg", "6.35029318", "", ""},
	{"slug", "kg", "8896443230521/609600000000", "14.5939", "kg"},
	{"lbf", "N", "4.4482216152605", "4.448222", "N"},
	{"ozf", "N", "0.27801385095378125", "0.2780139", "N"},
	{"gf", "mN", "9.80665", "", ""},
	{"kgf", "N", "9.80665", "9.80665", "N"},
	{"kN", "N", "1000", "", ""},
	{"gn", "m/s^2", "9.80665", "", ""},
	{"oz-in", "mN m", "7.06155181422604375", "7.061552", "mN m"},
	{"oz-in", "gf cm", "72.0077887375", "", ""},
	{"lb-in", "N m", "0.1129848290276167", "0.1129848", "N m"},
	{"lb-ft", "N m", "1.3558179483314004", "1.355818", "N m"},
	{"ft-lb", "lb-ft", "1", "", ""},
	{"in-oz", "oz-in", "1", "", ""},
	{"in-lb", "lb-in", "1", "", ""},
	{"kg-cm", "N m", "0.0980665", "", ""},
	{"g-cm", "N m", "0.0000980665", "", ""},
	{"N-m", "N m", "1", "", ""},
	{"us floz", "mL", "29.5735295625", "29.57353", "mL"},
	{"imp floz", "mL", "28.4130625", "28.41306", "mL"},
	{"us pt", "mL", "473.176473", "0.4731765", "L"},
	{"imp pt", "mL", "568.26125", "", ""},
	{"us gal", "L", "3.785411784", "3.785412", "L"},
	{"imp gal", "L", "4.54609", "4.54609", "L"},
	{"L", "m^3", "0.001", "", ""},
	{"hp", "W", "745.69987158227022", "745.6999", "W"},
	{"hp_metric", "W", "735.49875", "735.4988", "W"},
	{"ft lbf/min", "W", "0.0225969658055233400", "0.02259697", "W"},
	{"mph", "m/s", "0.44704", "", ""},
	{"mph", "km/h", "1.609344", "1.609344", "km/h"},
	{"kn", "m/s", "463/900", "0.5144444", "m/s"},
	{"kn", "km/h", "1.852", "", ""},
	{"fpm", "m/s", "0.00508", "0.00508", "m/s"},
	{"psi", "Pa", "8896443230521/1290320000", "6894.757", "Pa"},
	{"psf", "Pa", "8896443230521/185806080000", "47.88026", "Pa"},
	{"mmHg", "Pa", "133.322387415", "133.3224", "Pa"},
	{"inHg", "Pa", "3386.388640341", "3386.389", "Pa"},
	{"atm", "Pa", "101325", "101325", "Pa"},
	{"bar", "Pa", "100000", "100000", "Pa"},
	{"mbar", "hPa", "1", "", ""},
	{"N/mm^2", "MPa", "1", "", ""},
	{"lb/sq ft", "kg/m^2", "45359237/9290304", "4.882428", "kg/m^2"},
	{"oz/sq ft", "g/dm^2", "226796185/74322432", "0.3051517", "kg/m^2"},
	{"g/dm^2", "oz/sq ft", "74322432/226796185", "", ""},
	{"oz/sq yd", "g/m^2", "5669904625/167225472", "0.03390575", "kg/m^2"},
	{"oz/sq in", "g/cm^2", "45359237/10322560", "43.94185", "kg/m^2"},
	{"lb/cu ft", "kg/m^3", "28349523125/1769802912", "16.01846", "kg/m^3"},
	{"oz/cu in", "g/cm^3", "226796185/131096512", "1729.994", "kg/m^3"},
	{"oz/cu ft", "kg/m^3", "28349523125/28316846592", "", ""},
	{"lb/cu in", "kg/m^3", "56699046250/2048383", "27679.9", "kg/m^3"},
	{"slug/cu ft", "kg/m^3", "515.378818393196203", "515.3788", "kg/m^3"},
	{"lb/us gal", "kg/L", "2945405/24580596", "0.1198264", "kg/L"},
	{"Wh", "J", "3600", "3600", "J"},
	{"mAh", "A s", "3.6", "", ""},
	{"h", "s", "3600", "3600", "s"},
	{"day", "h", "24", "", ""},
	{"rev", "deg", "360", "", ""},
	{"deg", "arcmin", "60", "", ""},
	{"rpm", "rev/s", "1/60", "", ""},
	{"rpm/V", "rev/(min V)", "1", "", ""},
	{"%", "1", "0.01", "", ""},
}

func unit(t testing.TB, text string) Unit {
	t.Helper()
	u, err := Builtin().Parse(text)
	require.NoError(t, err, text)
	return u
}

func rat(t testing.TB, text string) *big.Rat {
	t.Helper()
	r, ok := new(big.Rat).SetString(text)
	require.True(t, ok, text)
	return r
}

// quotient returns a in units of b, exactly. The powers of pi must cancel.
func quotient(t testing.TB, a, b Unit) *big.Rat {
	t.Helper()
	require.Equal(t, a.Dim(), b.Dim(), "%s and %s", a, b)
	require.Equal(t, a.d().pi, b.d().pi, "%s and %s", a, b)
	return new(big.Rat).Quo(a.d().ratio, b.d().ratio)
}

func TestFactorsAreExact(t *testing.T) {
	for _, tt := range exactFactors {
		want := rat(t, tt.want)
		// Figures of 15 digits and more that do not end: slug/cu ft, hp and
		// ft lbf/min are given here to 18 digits.
		got := quotient(t, unit(t, tt.unit), unit(t, tt.in))
		if got.Cmp(want) == 0 {
			continue
		}
		assert.Equal(t, want.FloatString(15), got.FloatString(15), "%s in %s", tt.unit, tt.in)
		assert.Contains(t, []string{"slug/cu ft", "hp", "ft lbf/min"}, tt.unit, "only these are not exact as written")
	}
}

// SP 811 prints factors to at most seven significant digits: the difference
// must be less than one in the last digit printed.
func TestFactorsAgreeWithSP811(t *testing.T) {
	checked := 0
	for _, tt := range exactFactors {
		if tt.sp811 == "" {
			continue
		}
		got := quotient(t, unit(t, tt.unit), unit(t, tt.sp811in))
		want := rat(t, tt.sp811)
		gap := new(big.Rat).Quo(got, want)
		f, _ := gap.Sub(gap, one).Float64()
		assert.InDelta(t, 0, f, 1e-6, "%s: %s %s", tt.unit, tt.sp811, tt.sp811in)
		checked++
	}
	assert.Greater(t, checked, 35)
}

// The angle factors hold pi: the expected figures are the 17-digit decimals of
// pi/180, 2 pi and pi/30 (worked from pi = 3.14159265358979323846, in ISO 80000-2).
func TestAngleFactors(t *testing.T) {
	for _, tt := range []struct {
		unit string
		want float64
	}{
		{"deg", 0.017453292519943296}, // 0.01745329252 in SP 811 B.8
		{"rev", 6.283185307179586},    // 6.283185 in SP 811 B.8
		{"rpm", 0.10471975511965978},  // 0.1047198 in SP 811 B.8
		{"deg/s", 0.017453292519943296},
		{"rad", 1},
	} {
		u := unit(t, tt.unit)
		assert.InEpsilon(t, tt.want, u.Factor(), 2.3e-16, tt.unit) // one unit in the last place
		if tt.unit != "rad" {
			assert.Nil(t, u.Exact(), tt.unit)
		}
	}
	assert.Equal(t, "1/57", unit(t, "deg/deg").Exact().Mul(rat(t, "1/57"), one).String(),
		"deg/deg is the plain number 1")
	assert.Equal(t, 0, unit(t, "rev/deg").Exact().Cmp(rat(t, "360")))
}

// TestEveryUnitIsDefined reads the whole table, so that no definition can be
// wrong in form, and holds each name and alias against the parser.
func TestEveryUnitIsDefined(t *testing.T) {
	seen := map[string]bool{}
	for _, info := range Builtin().Names() {
		for _, name := range append([]string{info.Name}, info.Aliases...) {
			assert.False(t, seen[name], "%s is in the table twice", name)
			seen[name] = true
			u := unit(t, name)
			assert.True(t, u.Equal(info.Unit), name)
			assert.Equal(t, info.Name, u.String(), "an alias is shown by the name")
		}
		assert.NotEmpty(t, info.Definition, info.Name)
		assert.NotEmpty(t, info.Describe, info.Name)
		assert.Contains(t, groups, info.Group)
	}
	for _, e := range table {
		assert.True(t, seen[e.name], e.name)
	}
	assert.Greater(t, len(seen), 250)
}

// How a unit is called in the data file of the general-purpose program units,
// where that differs from our name.
var programNames = map[string]string{
	"nmi": "nauticalmile", "µm": "micron", "gn": "gravity",
	"us gal": "usgallon", "us qt": "usquart", "us pt": "uspint", "us floz": "usfluidounce",
	"imp gal": "brgallon", "imp qt": "brquart", "imp pt": "brpint", "imp floz": "brfluidounce",
	"ozf": "oz force", "gf": "gram force",
	"oz-in": "oz force in", "lb-in": "lbf in", "lb-ft": "lbf ft", "g-cm": "gram force cm", "kg-cm": "kgf cm",
	"N-m": "N m", "N-cm": "N cm", "mN-m": "mN m", "psf": "lbf/ft^2",
	"kn": "knot", "fpm": "ft/min", "deg": "degree", "h": "hour", "µs": "microsecond", "mohm": "milliohm",
	"kohm": "kiloohm", "Ah": "A hour", "mAh": "mA hour", "Wh": "W hour", "mWh": "mW hour", "kWh": "kW hour",
	"hp_metric": "metrichorsepower", "%": "percent", "sq in": "in^2", "sq ft": "ft^2", "sq yd": "yd^2",
	"cu in": "in^3", "cu ft": "ft^3", "cu yd": "yd^3", "arcmin": "arcminute", "rev": "revolution",
	"rpm": "revolution/minute", "rad": "radian", "mrad": "milliradian",
}

// TestFactorsAgreeWithTheUnitsProgram asks the general-purpose program units
// (GNU, definitions after NIST and the BIPM) for every unit but the readings,
// the pairs and the currencies. Agreement is to 1e-15: the program
// works in float64, with a rounding for every step of a definition.
func TestFactorsAgreeWithTheUnitsProgram(t *testing.T) {
	program, err := exec.LookPath("units")
	if err != nil {
		require.NotEqual(t, "true", os.Getenv("CI"), "the program units must be installed here")
		t.Log("the program units is not installed: its factors were NOT compared")
		return
	}
	for _, info := range Builtin().Names() {
		if info.Group == gMoney || info.Group == gMixed || info.Unit.Reading() {
			continue
		}
		name := programNames[info.Name]
		if name == "" {
			name = info.Name
		}
		si := strings.ReplaceAll(info.Unit.Dim().String(), "rad", "radian")
		out, err := exec.Command(program, "-t", "-o", "%.17g", "--", name, si).CombinedOutput()
		require.NoError(t, err, "%s: %s", info.Name, out)
		want := rat(t, string(bytes.TrimSpace(out)))
		f, _ := want.Float64()
		assert.InEpsilon(t, f, info.Unit.Factor(), 1e-15, info.Name)
	}
}

// Fixed points of the scales: Celsius and Fahrenheit by their definitions; -40
// is where they meet; 15 degC = 59 degF is the standard atmosphere at sea level
// (ISO 2533:1975).
func TestReadings(t *testing.T) {
	for _, tt := range []struct {
		c, f string
		k    float64
	}{
		{"0", "32", 273.15}, {"100", "212", 373.15}, {"-40", "-40", 233.15}, {"15", "59", 288.15},
		{"20", "68", 293.15}, {"-273.15", "-459.67", 0},
	} {
		for _, reading := range []string{tt.c + " degC", tt.f + " degF"} {
			n, err := Builtin().ParseNumber(reading, Unit{})
			require.NoError(t, err)
			assert.Equal(t, tt.k, n.SI, reading)
			number, name, _ := strings.Cut(reading, " ")
			assert.Equal(t, number, Exact(n.SI, unit(t, name)), reading)
		}
	}
	f := unit(t, "degF")
	assert.True(t, f.Reading())
	assert.InDelta(t, 5.0/9, f.Factor(), 1e-16)
	assert.InDelta(t, 288.15, f.ToSI(59), 1e-12)
	assert.InDelta(t, 59, f.FromSI(288.15), 1e-12)
	assert.False(t, unit(t, "K").Reading())
}

// A round reading comes back round.
func TestReadingsComeBack(t *testing.T) {
	for _, name := range []string{"degC", "degF"} {
		u := unit(t, name)
		for n := -60; n <= 150; n++ {
			require.Equal(t, strconv.Itoa(n), Exact(u.ToSI(float64(n)), u), name)
		}
	}
}
