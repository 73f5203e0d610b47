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
	} {
		assert.Equal(t, tt.want, unit(t, tt.unit).Dim().Describe(), tt.unit)
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
