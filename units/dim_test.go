package units

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Dimensions of the derived SI units: The International System of Units, 9th
// edition, 2019, table 4.
func TestDerivedDimensions(t *testing.T) {
	for _, tt := range []struct {
		dim         Dim
		unit, bases string
	}{
		{Force, "N", "kg m/s^2"},
		{Pressure, "Pa", "kg/(m s^2)"},
		{Energy, "J", "kg m^2/s^2"},
		{Power, "W", "kg m^2/s^3"},
		{Charge, "Ah", "s A"},
		{Voltage, "V", "kg m^2/(s^3 A)"},
		{Resistance, "ohm", "kg m^2/(s^3 A^2)"},
		{Frequency, "Hz", "1/s"},
		{Length, "in", "m"},
		{Mass, "oz", "kg"},
		{Time, "h", "s"},
		{Current, "mA", "A"},
		{Temperature, "degF", "K"},
		{Angle, "deg", "rad"},
		{Area, "sq in", "m^2"},
		{Volume, "us gal", "m^3"},
		{AreaMoment, "in^4", "m^4"},
		{Speed, "mph", "m/s"},
		{Acceleration, "gn", "m/s^2"},
		{RotationSpeed, "rpm", "rad/s"},
		{Torque, "oz-in", "kg m^2/s^2"},
		{Density, "lb/cu ft", "kg/m^3"},
		{AreaDensity, "oz/sq ft", "kg/m^2"},
		{LineDensity, "oz/ft", "kg/m"},
		{MassMoment, "oz in", "kg m"},
		{Dim{}, "%", "1"},
	} {
		assert.Equal(t, tt.dim, unit(t, tt.unit).Dim(), tt.unit)
		assert.Equal(t, tt.bases, tt.dim.String(), tt.unit)
		si := tt.dim.Unit()
		assert.Equal(t, 1.0, si.Factor(), tt.unit)
		assert.Equal(t, tt.dim, unit(t, si.String()).Dim(), "the SI unit of %s is read back", tt.unit)
	}
}

func TestDescribe(t *testing.T) {
	for _, tt := range []struct{ unit, want string }{
		{"", "a plain number"},
		{"ft in", "a length"},
		{"sq in", "an area"},
		{"oz", "a mass"},
		{"ozf", "a force"},
		{"oz in", "a balance moment (mass times length)"},
		{"oz-in", "a torque or an energy"},
		{"mph", "a speed"},
		{"oz/sq ft", "a wing loading (mass per area)"},
		{"lb/cu ft", "a density (mass per volume)"},
		{"rpm", "a speed of rotation"},
		{"rpm/V", "a motor constant (speed of rotation per voltage)"},
		{"degC", "a temperature"},
		{"oz-in/A", "a torque per current"},
		{"lb sq ft", "a moment of inertia"},
		{"GBP", "an amount of money (GBP)"},
		{"GBP/ft", "a price per length (GBP)"},
		{"USD/sq ft", "a price per area (USD)"},
		{"EUR/L", "a price per volume (EUR)"},
		{"GBP/kg", "a price per mass (GBP)"},
		{"GBP/h", "a price per time (GBP)"},
		{"GBP^2", "a quantity in GBP^2"},
		{"kg m^2/s^5", "a quantity in kg m^2/s^5"},
		{"ft^(1/2)", "a quantity in m^(1/2)"},
		{"Pa s", "a dynamic viscosity"},
		{"money", "an amount of money in any currency"},
		{"money/ft", "a price per length in any currency"},
	} {
		assert.Equal(t, tt.want, unit(t, tt.unit).Dim().Describe(), tt.unit)
	}
}

// Every dimension that has a name: the units are those in which the quantity is given in ISO 80000, parts 3 to 6.
func TestDescribeNamesTheQuantity(t *testing.T) {
	described := map[string]string{
		"1":         "a plain number",
		"m":         "a length",
		"kg":        "a mass",
		"s":         "a time",
		"A":         "an electric current",
		"K":         "a temperature",
		"rad":       "an angle",
		"m^2":       "an area",
		"m^3":       "a volume",
		"m^4":       "a second moment of area",
		"m/s":       "a speed",
		"m/s^2":     "an acceleration",
		"Hz":        "a rate (per time)",
		"rad/s":     "a speed of rotation",
		"N":         "a force",
		"N m":       "a torque or an energy",
		"W":         "a power",
		"Pa":        "a pressure or a stress",
		"kg/m^3":    "a density (mass per volume)",
		"kg/m^2":    "a wing loading (mass per area)",
		"kg/m":      "a mass per length",
		"kg m":      "a balance moment (mass times length)",
		"A s":       "an electric charge",
		"V":         "a voltage",
		"ohm":       "an electric resistance",
		"1/m":       "a quantity per length",
		"kg/s":      "a mass flow (mass per time)",
		"m^3/s":     "a volume flow (volume per time)",
		"kg m^2":    "a moment of inertia",
		"Pa s":      "a dynamic viscosity",
		"m^2/s":     "a kinematic viscosity",
		"N/m":       "a force per length",
		"kg m/s":    "a momentum",
		"rad/s^2":   "an angular acceleration",
		"rad/m":     "an angle per length",
		"rad/(s V)": "a motor constant (speed of rotation per voltage)",
		"J/kg":      "an energy per mass",
		"W/kg":      "a power per mass",
		"N m/rad":   "a torque per angle",
		"ohm m":     "an electric resistivity",
		"ohm/m":     "an electric resistance per length",
		"1/K":       "a quantity per temperature",
		"N m/A":     "a torque per current",
		"K/m":       "a temperature per length",
		"1/rad":     "a quantity per angle",
		"1/m^2":     "a quantity per area",
		"1/m^3":     "a quantity per volume",
		"1/kg":      "a quantity per mass",
	}
	assert.Len(t, described, len(dimWords))
	for text, want := range described {
		assert.Equal(t, want, unit(t, text).Dim().Describe(), text)
	}
}

// A unit that is made of a dimension has no text where a plain number has none.
func TestUnitOfPlainDim(t *testing.T) {
	assert.Empty(t, Dim{}.Unit().String())
	assert.Equal(t, "money", unit(t, "money").Dim().String())
}

// The greatest powers are those that a Dim can hold, and no less.
func TestGreatestPowers(t *testing.T) {
	twelfth, err := Length.Pow(1, 12)
	require.NoError(t, err)
	for _, tt := range []struct {
		of       Dim
		num, den int
		want     string
	}{
		{Length, 100, 1, "m^100"}, {Length, -100, 1, "1/m^100"},
		{twelfth, 1200, 1, "m^100"}, {twelfth, -1200, 1, "1/m^100"},
		{unit(t, "m^100").Dim(), 1, 1200, "m^(1/12)"}, {unit(t, "m^100").Dim(), 1, -1200, "1/m^(1/12)"},
		{Dim{}, 5000, 1, "1"}, {Dim{}, 1, 5000, "1"},
	} {
		got, err := tt.of.Pow(tt.num, tt.den)
		require.NoError(t, err, "%s to %d/%d", tt.of, tt.num, tt.den)
		assert.Equal(t, tt.want, got.String())
	}
	for _, by := range []struct{ num, den int }{{1201, 1}, {-1201, 1}, {1, 1201}, {1, -1201}} {
		_, err := twelfth.Pow(by.num, by.den)
		assert.Error(t, err, by)
	}
}

func TestDimArithmetic(t *testing.T) {
	gbp, ok := Money("GBP")
	require.True(t, ok)
	usd, _ := Money("USD")

	area, err := Length.Mul(Length)
	require.NoError(t, err)
	assert.Equal(t, Area, area)

	back, err := area.Pow(1, 2)
	require.NoError(t, err)
	assert.Equal(t, Length, back, "a square root is exact")

	twelfth, err := Length.Pow(1, 12)
	require.NoError(t, err)
	again, err := twelfth.Pow(12, 1)
	require.NoError(t, err)
	assert.Equal(t, Length, again)

	plain, err := gbp.Div(gbp)
	require.NoError(t, err)
	assert.True(t, plain.IsPlain(), "money over money of the same currency is a plain number")
	_, err = plain.Mul(usd)
	assert.NoError(t, err, "and holds no currency any more")

	zero, err := gbp.Pow(0, 1)
	require.NoError(t, err)
	assert.Equal(t, Dim{}, zero)
}

func TestDimArithmeticFails(t *testing.T) {
	gbp, _ := Money("GBP")
	usd, _ := Money("USD")
	high, err := Length.Pow(100, 1)
	require.NoError(t, err)
	for _, tt := range []struct {
		name string
		do   func() (Dim, error)
		want string
	}{
		{"two currencies", func() (Dim, error) { return gbp.Mul(usd) },
			"GBP and USD cannot be mixed (convert one of them first, with the rate of the day)"},
		{"a rate of exchange", func() (Dim, error) { return gbp.Div(usd) },
			"GBP and USD cannot be mixed (convert one of them first, with the rate of the day)"},
		{"too high", func() (Dim, error) { return high.Mul(Length) },
			"the powers of m^100 and m together are too high"},
		{"fifth root", func() (Dim, error) { return Length.Pow(1, 5) }, "a length cannot be raised to the power 1/5"},
		{"hundred and first power", func() (Dim, error) { return Mass.Pow(101, 1) },
			"a mass cannot be raised to the power 101"},
		{"overflow", func() (Dim, error) { return Mass.Pow(1<<62, 1) },
			"a mass cannot be raised to the power 4611686018427387904"},
		{"zero below", func() (Dim, error) { return Mass.Pow(1, 0) }, "a power cannot have 0 below the line"},
	} {
		_, err := tt.do()
		assert.EqualError(t, err, tt.want, tt.name)
	}
}

// A plain number stays one, whatever its power.
func TestPlainPower(t *testing.T) {
	d, err := Dim{}.Pow(7, 5)
	require.NoError(t, err)
	assert.True(t, d.IsPlain())
}
