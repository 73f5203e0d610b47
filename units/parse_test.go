package units

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParse(t *testing.T) {
	for _, tt := range []struct{ in, text, same string }{
		{"in", "in", "in"},
		{" sq  in ", "sq in", "in^2"},
		{"in²", "in^2", "sq in"},
		{"in^2", "in^2", "in*in"},
		{"in in", "in^2", "sq in"},
		{"cu ft", "cu ft", "ft^3"},
		{"oz/sq ft", "oz/sq ft", "oz/ft^2"},
		{"lb / cu ft", "lb/cu ft", "lb ft^-3"},
		{"g/m²", "g/m^2", "g m⁻²"},
		{"g·m⁻²", "g/m^2", "g*m^-2"},
		{"oz in", "oz in", "in*oz"},
		{"ozf in", "ozf in", "oz-in"},
		{"in-oz", "oz-in", "ozf-in"},
		{"ft-lb", "lb-ft", "lbf ft"},
		{"N m", "N m", "N-m"},
		{"m/s/s", "m/s^2", "m/s^2"},
		{"kg/(m s)", "kg/(m s)", "Pa s"},
		{"kg/(m (s))", "kg/(m s)", "Pa s"},
		{"kg/(m/s)", "kg s/m", "kg s/m"},
		{"1/rad*deg", "deg/rad", "deg/rad"},
		{"m⋅s", "m s", "s m"},
		{"m × s", "m s", "s m"},
		{"in⁴/ft²", "in^4/ft^2", "in^4/sq ft"},
		{"1/s", "1/s", "Hz"},
		{"s^-1", "1/s", "Hz"},
		{"1", "", ""},
		{"", "", "1"},
		{"  ", "", "1"},
		{"m/m", "", ""},
		{"ft/in*in", "ft", "ft"},
		{"%", "%", "%"},
		{"rpm/V", "rpm/V", "rpm/V"},
		{"GBP/sq ft", "GBP/sq ft", "GBP/ft^2"},
		{"us floz", "us floz", "us floz"},
		{"us  floz/min", "us floz/min", "us floz/min"},
		{"µm", "µm", "um"},
		{"μm", "µm", "um"},
		{"mΩ", "mohm", "mohm"},
		{"m\u2126", "mohm", "mohm"},
		{"°", "deg", "deg"},
		{"°C", "degC", "degC"},
		{"thou", "mil", "mil"},
		{"usec", "µs", "µs"},
		{"m^(1/2)", "m^(1/2)", "m^(2/4)"},
		{"m^(-1/2)", "1/m^(1/2)", "m^(-6/12)"},
		{"ft in", "ft in", "ft in"},
		{"ft  in", "ft in", "ft in"},
		{"lb oz", "lb oz", "lb oz"},
		{"min s", "min s", "min s"},
		{"ft*in", "in ft", "in ft"},
		{"in ft", "in ft", "ft·in"},
		{"ft in/s", "ft in/s", "in ft/s"},
		{"sq in in", "in^3", "cu in"},
		{"1/(sq ft s)", "1/(sq ft s)", "1/(s ft^2)"},
		{"sq in in/in", "in^2", "sq in"},
		{"sq in sq in/sq in", "sq in", "in^2"},
		{"%m", "% m", "m*%"},
		{"1s", "s", "s"},
		{"m¹⁰", "m^10", "m^10"},
		{"m^(2)", "m^2", "m*m"},
		{"m^(150/2)", "m^75", "m^75"},
		{"m^(1/12)", "m^(1/12)", "m^(1/12)"},
		{"m^60 m^40", "m^100", "m^100"},
		{"km^39", "km^39", "km^39"},
		{"m" + strings.Repeat(" ", 119), "m", "m"},
	} {
		u, err := Builtin().Parse(tt.in)
		require.NoError(t, err, tt.in)
		assert.Equal(t, tt.text, u.String(), tt.in)
		assert.True(t, u.Equal(unit(t, tt.same)), "%s is the same as %s", tt.in, tt.same)
	}
}

func TestMixedUnits(t *testing.T) {
	for _, tt := range []struct {
		unit  string
		small string
	}{{"ft in", "in"}, {"lb oz", "oz"}, {"min s", "s"}} {
		u := unit(t, tt.unit)
		assert.True(t, u.Mixed(), tt.unit)
		assert.Equal(t, unit(t, tt.small).Factor(), u.Factor(), "a number counts the smaller part")
		assert.False(t, u.Equal(unit(t, tt.small)), "but it is shown in another way")
	}
	assert.False(t, unit(t, "ft*in").Mixed())
	assert.Equal(t, Area, unit(t, "ft*in").Dim())
	assert.False(t, unit(t, "in ft").Mixed())
}

// errorText returns all of an Error on one line: place, message and hint.
func errorText(t *testing.T, err error) string {
	t.Helper()
	require.Error(t, err)
	var e *Error
	require.ErrorAs(t, err, &e)
	text := fmt.Sprintf("%d-%d %s: %s", e.From, e.To, e.Code, e.Msg)
	if e.Hint != "" {
		text += " > " + e.Hint
	}
	return text
}

func TestUnitSlips(t *testing.T) {
	for _, tt := range []struct{ in, want string }{
		{"inches", "0-6 unknown-unit: unknown unit inches > write in"},
		{"lbs", "0-3 unknown-unit: unknown unit lbs > write lb"},
		{"oz per sq ft", "3-6 unknown-unit: per is written / > write / for per"},
		{"lbs/cu ft", "0-3 unknown-unit: unknown unit lbs > write lb"},
		{"oz/ounces", "3-9 unknown-unit: unknown unit ounces > write oz"},
		{"gr", "0-2 unknown-unit: unknown unit gr > write g for gram or grain for grain"},
		{"gauge", "0-5 unknown-unit: a gauge number is not a length > give the diameter, such as 1/16 in or 1.6 mm"},
		{"SWG", "0-3 unknown-unit: a gauge number is not a length > give the diameter, such as 1/16 in or 1.6 mm"},
		{`"`, `0-1 unknown-unit: unknown unit " > write in`},
		{"'", "0-1 unknown-unit: unknown unit ' > write ft"},
		{"sqin", "0-4 unknown-unit: unknown unit sqin > write sq in"},
		{"in2", "0-3 unknown-unit: unknown unit in2 > write sq in"},
		{"ft3", "0-3 unknown-unit: unknown unit ft3 > write cu ft"},
		{"g/m2", "2-4 unknown-unit: unknown unit m2 > write m^2"},
		{"oz/ft2", "3-6 unknown-unit: unknown unit ft2 > write sq ft"},
		{"m^(1/2", "1-6 unit-form: the power of the unit cannot be read > write a power such as ^2, ^-1 or ^(1/2)"},
		{"plonk7", "0-6 unknown-unit: unknown unit plonk7"},
		{"inch4", "0-5 unknown-unit: unknown unit inch4 > write in^4"},
		{"deg C", "0-5 unknown-unit: unknown unit deg C > write degC"},
		{"degrees F", "0-9 unknown-unit: unknown unit degrees F > write degF"},
		{"C", "0-1 unknown-unit: unknown unit C > write degC for a temperature; the C rating of a battery is a plain number"},
		{"F", "0-1 unknown-unit: unknown unit F > write degF"},
		{"oz.", "0-3 unit-form: a unit has no full stop in it > write oz"},
		{"sq. in.", "0-2 unit-form: sq needs a unit of length after it > write sq in"},
		{"hrs", "0-3 unknown-unit: unknown unit hrs > write h"},
		{"sec", "0-3 unknown-unit: unknown unit sec > write s"},
		{"amps", "0-4 unknown-unit: unknown unit amps > write A"},
		{"volt", "0-4 unknown-unit: unknown unit volt > write V"},
		{"watts", "0-5 unknown-unit: unknown unit watts > write W"},
		{"mAH", "0-3 unknown-unit: unknown unit mAH > write mAh"},
		{"MAH", "0-3 unknown-unit: unknown unit MAH > write mAh"},
		{"Kg", "0-2 unknown-unit: unknown unit Kg > write kg"},
		{"KM", "0-2 unknown-unit: unknown unit KM > write km"},
		{"OZ", "0-2 unknown-unit: unknown unit OZ > write oz"},
		{"KN", "0-2 unknown-unit: unknown unit KN > write kn for knots or kN for kilonewtons"},
		{"Kv", "0-2 unknown-unit: unknown unit Kv > write rpm/V"},
		{"Grad", "0-4 unknown-unit: unknown unit Grad > write deg for degrees; a gon is 0.9 deg"},
		{"g/qdm", "2-5 unknown-unit: unknown unit qdm > write dm^2"},
		{"gal", "0-3 unknown-unit: the US and the imperial gallon differ > write us gal or imp gal"},
		{"fl oz", "0-5 unknown-unit: the US and the imperial fluid ounce differ > write us floz or imp floz"},
		{"us fl oz", "0-8 unknown-unit: unknown unit us fl oz > write us floz"},
		{"ton", "0-3 unknown-unit: the ton differs from place to place > write tonne, or give it in lb"},
		{"pcs", "0-3 unknown-unit: a count needs no unit > leave the unit out"},
		{"each", "0-4 unknown-unit: a count needs no unit > leave the unit out"},
		{"nm", "0-2 unknown-unit: unknown unit nm > write N m for newton metres or nmi for nautical miles"},
		{"N-mm", "0-4 unknown-unit: unknown unit N-mm > write N mm"},
		{"ft lbs", "0-6 unknown-unit: unknown unit ft lbs > write ft-lb for a torque"},
		{"£", "0-2 unknown-unit: unknown unit £ > write GBP"},
		{"gbp/sq ft", "0-3 unknown-unit: unknown unit gbp > write GBP"},
		{"ouncess", "0-7 unknown-unit: unknown unit ouncess > write oz"},
		{"xyzzy", "0-5 unknown-unit: unknown unit xyzzy"},
		{"zz", "0-2 unknown-unit: unknown unit zz"},
		{"in 1/8", "3-6 unit-form: there is a number in the unit > a comma separates the unit from its step: in, 1/8"},
		{"oz 0.1", "3-6 unit-form: there is a number in the unit > a comma separates the unit from its step: oz, 0.1"},
		{"24 in", "0-2 unit-form: there is a number in the unit"},
		{
			"degC/m",
			"0-6 reading-in-compound: degC is a reading of temperature and cannot be part of another unit > use K for differences of temperature",
		},
		{
			"1/degF",
			"0-6 reading-in-compound: degF is a reading of temperature and cannot be part of another unit > use K for differences of temperature",
		},
		{"GBP/USD", "0-7 two-currencies: GBP and USD cannot be mixed > convert one of them first, with the rate of the day"},
		{
			"lb/ft s",
			"2-7 unit-ambiguous: what follows the / can be read two ways > write lb/(ft s) if both are below the line",
		},
		{
			"lb/ft sq in",
			"2-11 unit-ambiguous: what follows the / can be read two ways > write lb/(ft sq in) if both are below the line",
		},
		{
			"(kg/m s)",
			"3-8 unit-ambiguous: what follows the / can be read two ways > put brackets round what is below the line",
		},
		{
			"kg/m·s",
			"2-7 unit-ambiguous: what follows the / can be read two ways > write kg/(m s) if both are below the line",
		},
		{"m**s", "1-2 unit-form: a unit is missing beside *"},
		{"m/", "1-2 unit-form: a unit is missing beside /"},
		{"/s", "0-1 unit-form: a unit is missing beside /"},
		{"(m", "0-1 unit-form: the bracket is not closed"},
		{"m)", "1-2 unit-form: a bracket is closed that was not opened"},
		{"()", "1-2 unit-form: a unit is missing in the brackets"},
		{"m^", "1-2 unit-form: the power of the unit cannot be read > write a power such as ^2, ^-1 or ^(1/2)"},
		{"m^0", "1-3 unit-form: the power of the unit cannot be read > write a power such as ^2, ^-1 or ^(1/2)"},
		{"m^101", "1-5 unit-form: the power of the unit cannot be read > write a power such as ^2, ^-1 or ^(1/2)"},
		{"m^(1/0)", "1-7 unit-form: the power of the unit cannot be read > write a power such as ^2, ^-1 or ^(1/2)"},
		{"m^(1/5)", "1-7 unit-form: the power of the unit cannot be read > write a power such as ^2, ^-1 or ^(1/2)"},
		{"^2", "0-1 unit-form: a power needs a unit before it"},
		{"sq", "0-2 unit-form: sq needs a unit of length after it > write sq in"},
		{"sq lb", "3-5 unit-form: sq goes with a unit of length, and lb is a mass > write sq in"},
		{"us", "0-2 unknown-unit: unknown unit us > write us gal, us floz, imp gal or imp floz"},
		{"m&s", "1-2 unit-form: '&' has no place in a unit"},
		{"m^60 m^60", "0-9 power: the power of m is too high"},
		{"%^60 %^60", "0-9 power: the power of % is too high"},
		{"%^61", "0-4 unit-form: the unit is out of all range"},
		{"m^60 mm^60", "0-10 power: the powers of m^60 and m^60 together are too high"},
		{"m^99999999999999999999",
			"1-22 unit-form: the power of the unit cannot be read > write a power such as ^2, ^-1 or ^(1/2)"},
		{"m^-99999999999999999999",
			"1-23 unit-form: the power of the unit cannot be read > write a power such as ^2, ^-1 or ^(1/2)"},
		{"m^(2", "1-4 unit-form: the power of the unit cannot be read > write a power such as ^2, ^-1 or ^(1/2)"},
		{"m^x", "1-2 unit-form: the power of the unit cannot be read > write a power such as ^2, ^-1 or ^(1/2)"},
		{"L^60", "0-4 power: a volume cannot be raised to the power 60"},
		{"km^40", "0-5 unit-form: the unit is out of all range"},         // 1e120
		{"mm^40", "0-5 unit-form: the unit is out of all range"},         // 1e-120
		{"mile^(199/2)", "0-12 unit-form: the unit is out of all range"}, // 1e319: more than any float64
		{"thou^(199/2)", "0-12 unit-form: the unit is out of all range"}, // 1e-458: less than any
		{"sq xyzzy", "3-8 unknown-unit: unknown unit xyzzy"},
		{"-in", "0-1 unit-form: '-' has no place in a unit"},
		{"oz-", "2-3 unit-form: '-' has no place in a unit"},
		{"oz-2", "2-3 unit-form: '-' has no place in a unit"},
		{"12", "1-2 unit-form: there is a number in the unit"},
		{"us 1", "0-2 unknown-unit: unknown unit us > write us gal, us floz, imp gal or imp floz"},
		{"us /s", "0-2 unknown-unit: unknown unit us > write us gal, us floz, imp gal or imp floz"},
		{"in, 1/8", "2-3 unit-form: one comma separates the unit from its step > " +
			"write it as in [in, 0.1]"},
		{"in;s", "2-3 unit-form: one comma separates the unit from its step > write it as in [in, 0.1]"},
		{"m.p.h.", "0-6 unit-form: a unit has no full stop in it > write mph"},
		{"() m", "1-2 unit-form: a unit is missing in the brackets"},
		{"m) s", "1-2 unit-form: a bracket is closed that was not opened"},
		{"lbz", "0-3 unknown-unit: unknown unit lbz > write lb"},
		{"accs", "0-4 unknown-unit: unknown unit accs"}, // ccs is too short to guess at
		{"gramz", "0-5 unknown-unit: unknown unit gramz > write g"},
		{"secz", "0-4 unknown-unit: unknown unit secz > write s"},
		{"thouu", "0-5 unknown-unit: unknown unit thouu > write thou"},
		{"mile^40", "0-7 unit-form: the unit is out of all range"},
		{strings.Repeat("m", 121), "0-121 too-long: the unit is too long to be one"},
	} {
		_, err := Builtin().Parse(tt.in)
		assert.Equal(t, tt.want, errorText(t, err), tt.in)
	}
}

// What a slip is told to write must be right, and must be a slip to begin with.
func TestHintsCanBeTyped(t *testing.T) {
	for _, s := range spelled {
		_, err := Builtin().Parse(s.write)
		assert.NoError(t, err, s.write)
		for typed := range strings.FieldsSeq(s.typed) {
			_, err := Builtin().Parse(typed)
			if assert.Error(t, err, "%s is a unit: it needs no help", typed) && typed != "mi/h" {
				assert.Equal(t, "write "+s.write, err.(*Error).Hint, typed)
			}
		}
	}
	for _, p := range phrases {
		for typed := range strings.SplitSeq(p.typed, "|") {
			_, err := Builtin().Parse(typed)
			if assert.Error(t, err, typed) {
				assert.Equal(t, p.hint, err.(*Error).Hint, typed)
			}
		}
	}
}

func TestWith(t *testing.T) {
	s, err := Builtin().With("plank", 48, unit(t, "in"))
	require.NoError(t, err)
	plank, err := s.Parse("plank")
	require.NoError(t, err)
	assert.Equal(t, 0, plank.Exact().Cmp(rat(t, "1.2192")), "four feet")
	assert.Equal(t, "plank", plank.String())
	assert.Equal(t, Length, plank.Dim())

	square, err := s.Parse("oz/sq plank")
	require.NoError(t, err)
	assert.Equal(t, AreaDensity, square.Dim())

	_, err = Builtin().Parse("plank")
	assert.Error(t, err, "the set that was there before does not know it")

	s, err = s.With("crate", 12, plank)
	require.NoError(t, err)
	crate, err := s.Parse("crate")
	require.NoError(t, err)
	assert.Equal(t, 0, crate.Exact().Cmp(rat(t, "14.6304")), "a unit may rest on another of the sheet's own")

	names := s.Names()
	last := names[len(names)-1]
	assert.Equal(t, "plank", last.Name)
	assert.Equal(t, "48 in", last.Definition)

	for _, name := range []string{"μstrip", "rib٣", "Brett_2"} { // Greek mu; an Arabic three
		own, err := Builtin().With(name, 2, unit(t, "in"))
		require.NoError(t, err, name)
		u, err := own.Parse("oz/" + name)
		require.NoError(t, err, name)
		assert.Equal(t, LineDensity, u.Dim())
	}

	tenth, err := Builtin().With("tenth", 0.1, unit(t, "in"))
	require.NoError(t, err)
	u, err := tenth.Parse("tenth")
	require.NoError(t, err)
	assert.Equal(t, 0, u.Exact().Cmp(rat(t, "0.00254")), "0.1 is a tenth, not its float64")
}

func TestWithRefuses(t *testing.T) {
	inch := unit(t, "in")
	for _, tt := range []struct {
		name  string
		value float64
		in    Unit
		want  string
	}{
		{"ft", 1, inch, "0-2 unit-taken: there is a unit ft already > choose another name"},
		{"thou", 1, inch, "0-4 unit-taken: there is a unit thou already > choose another name"},
		{"GBP", 1, inch, "0-3 unit-taken: there is a unit GBP already > choose another name"},
		{"sq", 1, inch, "0-2 unit-taken: there is a unit sq already > choose another name"},
		{"", 1, inch, "0-0 unit-name: a unit needs a name"},
		{"2ft", 1, inch, `0-3 unit-name: "2ft" cannot name a unit > use a letter, then letters, digits and _`},
		{"_x", 1, inch, `0-2 unit-name: "_x" cannot name a unit > use a letter, then letters, digits and _`},
		{"a b", 1, inch, `0-3 unit-name: "a b" cannot name a unit > use a letter, then letters, digits and _`},
		{"span", 0, inch, "0-4 unit-value: the size of a unit must be above zero"},
		{"span", -1, inch, "0-4 unit-value: the size of a unit must be above zero"},
		{"span", 1e119, unit(t, "km"), "0-4 unit-value: the size of the unit span is out of all range"},
		{"span", 1e200, inch, "0-4 unit-value: the size of the unit span is out of all range"},
		{"bay", 1, unit(t, "ft in"), "0-3 unit-value: the size could be in in or ft > use [in] or [ft]"},
		{strings.Repeat("b", 41), 1, inch, "0-41 unit-name: the name of the unit is too long"},
		{"warm", 1, unit(t, "degC"),
			"0-4 unit-value: a unit cannot be made of degC, which is read off a scale > use K"},
	} {
		_, err := Builtin().With(tt.name, tt.value, tt.in)
		assert.Equal(t, tt.want, errorText(t, err), tt.name)
	}
}

func TestSetServesSeveralAtOnce(t *testing.T) {
	s, err := Builtin().With("plank", 48, unit(t, "in"))
	require.NoError(t, err)
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for _, text := range []string{"oz/sq plank", "in", "lb/cu ft", "rpm/V", "plank"} {
				_, err := s.Parse(text)
				assert.NoError(t, err)
			}
		})
	}
	wg.Wait()
}

// TestTurn: a quantity in another unit, as gusset units gives it. 25.4 mm is the inch of NIST SP 811.
func TestTurn(t *testing.T) {
	for _, tt := range []struct{ from, to, want string }{
		{"25.4 mm", "in", "1 in"},
		{"10 mm", "in", "0.393701 in, rounded"},
		{"10 mm", "in 1/16", "3/8 in"},
		{"10 mm", "in, 1/64", "25/64 in"},
		{"1282.7 mm", "ft in", "4 ft 2.5 in"},
		{"1282.7 mm", "ft in, 1/8", "4 ft 2-1/2 in"},
		{"10 mm", "ft in", "0.3937 in"},
		{"30 %", "1", "0.3"},
	} {
		got, err := Builtin().Turn(tt.from, tt.to)
		require.NoError(t, err, tt)
		assert.Equal(t, tt.want, got, "%s in %s", tt.from, tt.to)
	}
	for _, tt := range []struct{ from, to, want string }{
		{"x", "in", "0-1 number-form: x is not a number"},
		{"1 in", "zork", "0-4 unknown-unit: unknown unit zork"},
		{"1 in", "oz", "0-0 unlike: 1 in is a length, but oz is a mass"},
	} {
		_, err := Builtin().Turn(tt.from, tt.to)
		assert.Equal(t, tt.want, errorText(t, err))
	}
}

// TestBriefGuessesNothing: the same units, and no hint for one that is not known.
func TestBriefGuessesNothing(t *testing.T) {
	own, err := Builtin().With("plank", 48, unit(t, "in"))
	require.NoError(t, err)
	brief := own.Brief()
	assert.Same(t, brief, brief.Brief())
	assert.Equal(t, 1.2192, unitOf(t, brief, "plank").Factor())
	_, err = brief.Parse("inchs")
	assert.Equal(t, "0-5 unknown-unit: unknown unit inchs", errorText(t, err))
	_, err = own.Parse("inchs")
	assert.Equal(t, "0-5 unknown-unit: unknown unit inchs > write in", errorText(t, err))
}

// TestDataOf: a unit as data is what NIST SP 811 says of it.
func TestDataOf(t *testing.T) {
	assert.Equal(t, Data{Text: "in", Dim: unit(t, "m").Dim().String(), Num: "127", Den: "5000", Factor: 0.0254},
		DataOf(unit(t, "in")))
	degF := DataOf(unit(t, "degF"))
	assert.Equal(t, []string{"5", "9", "45967", "100"}, []string{degF.Num, degF.Den, degF.ZeroNum, degF.ZeroDen})
	assert.True(t, degF.Reading)
	assert.Equal(t, 459.67, degF.Zero)
	feet := DataOf(unit(t, "ft in"))
	assert.Equal(t, Data{Text: "ft in", Dim: feet.Dim, Num: "127", Den: "5000", Factor: 0.0254, Big: "ft", Small: "in",
		Per: 12}, feet)
	assert.Equal(t, 1, DataOf(unit(t, "deg")).Pi)
}

func TestZeroUnit(t *testing.T) {
	var u Unit
	assert.True(t, u.Dim().IsPlain())
	assert.Equal(t, 1.0, u.Factor())
	assert.Equal(t, 7.0, u.ToSI(7))
	assert.Equal(t, 7.0, u.FromSI(7))
	assert.Empty(t, u.String())
	assert.False(t, u.Mixed() || u.Reading())
	assert.Equal(t, "1", u.Exact().RatString())
}

// A unit that is written shorter than it is shown may be too long once it is shown, as that has to be read back.
func TestLongestUnit(t *testing.T) {
	below := "in/ft/yd/mil/mile/nmi/mm/cm/dm/km/oz/lb/mg/kg/stone/tonne/slug/N/ozf/lbf/kgf/gf/Pa/kPa/bar/psi/h/day"
	for more, length := range map[string]int{"/min/grain/m/s/g": 120, "/min/grain/m/s/hp": 121,
		"/min/grain/m/hp/gn": 122} {
		text := "1/" + below + more
		u, err := Builtin().Parse(text)
		if shown := "1/(" + strings.ReplaceAll(below+more, "/", " ") + ")"; length <= maxUnit {
			require.NoError(t, err, text)
			assert.Equal(t, shown, u.String())
			assert.Len(t, shown, length)
		} else {
			assert.Len(t, shown, length)
			assert.Equal(t, fmt.Sprintf("0-%d too-long: the unit is too long to be one", len(text)), errorText(t, err))
		}
	}
}

func TestExactFactors(t *testing.T) {
	root, err := Builtin().With("root", 3, unit(t, "in^(1/2)"))
	require.NoError(t, err)
	for text, want := range map[string]string{ // "": it is irrational
		"m^(1/2)": "1", "sq in": "16129/25000000", "in^(1/2)": "", "in^(1/2) oz": "", "oz in^(1/2)": "", "deg": "",
		"root": "", "oz root": "", "root oz": "", "root^2": "",
	} {
		u, err := root.Parse(text)
		require.NoError(t, err, text)
		exact := ""
		if r := u.Exact(); r != nil {
			exact = r.RatString()
		}
		assert.Equal(t, want, exact, text)
	}
	half, err := Builtin().With("half", 0.5, unit(t, "rev")) // pi rad
	require.NoError(t, err)
	assert.InEpsilon(t, math.Sqrt(math.Pi), unitOf(t, half, "half^(1/2)").Factor(), 1e-15)
	for text, want := range map[string]float64{
		"in^(1/2)": math.Sqrt(0.0254), "in^(3/2)": math.Pow(0.0254, 1.5), "1/in^(1/3)": 1 / math.Cbrt(0.0254),
		"deg^(1/2)": math.Sqrt(math.Pi / 180), "1/deg": 180 / math.Pi, "1/deg^2": math.Pow(180/math.Pi, 2),
	} {
		assert.InEpsilon(t, want, unit(t, text).Factor(), 1e-15, text)
	}
}

// Units of a sheet's own can be of any size that arithmetic has room for.
func TestOwnUnitsOfAnySize(t *testing.T) {
	metre := unit(t, "m")
	for _, size := range []float64{1e-100, 1e30, 1 << 53, 1 << 64, 1e100} {
		s, err := Builtin().With("own", size, metre)
		require.NoError(t, err)
		own, err := s.Parse("own")
		require.NoError(t, err)
		assert.Equal(t, size, own.Factor())
		assert.InEpsilon(t, 3*size, own.ToSI(3), 1e-15)
		assert.InEpsilon(t, 3, own.FromSI(3*size), 1e-15)
		n, err := s.ParseNumber("3 own", Unit{})
		require.NoError(t, err)
		assert.InEpsilon(t, 3*size, n.SI, 1e-15)
	}
	for _, size := range []float64{1e-100, 1e100} {
		s, err := Builtin().With("own", size, metre)
		require.NoError(t, err)
		_, err = s.Parse("own^(99/2)")
		assert.Equal(t, "0-10 unit-form: the unit is out of all range", errorText(t, err))
	}
	s, err := Builtin().With(strings.Repeat("b", 40), 2, metre)
	require.NoError(t, err)
	_, err = s.With("gbp", 2, metre)
	require.NoError(t, err)
}

func TestNamesThatDifferInCapitals(t *testing.T) {
	s, err := Builtin().With("gbp", 2, unit(t, "in"))
	require.NoError(t, err)
	_, err = s.Parse("Gbp")
	assert.Equal(t, "0-3 unknown-unit: unknown unit Gbp > write GBP or gbp", errorText(t, err))
}

func TestNames(t *testing.T) {
	s := Builtin()
	for _, name := range []string{"tray", "crate"} {
		var err error
		s, err = s.With(name, 12, unit(t, "in"))
		require.NoError(t, err)
	}
	all := s.Names()
	order := make([]string, len(all))
	found := map[string]Info{}
	for i, info := range all {
		order[i] = info.Name
		found[info.Name] = info
		assert.True(t, info.Unit.Equal(unitOf(t, s, info.Name)), info.Name)
		assert.NotEmpty(t, info.Describe, info.Name)
		if i > 0 {
			assert.LessOrEqual(t, slices.Index(groups, all[i-1].Group), slices.Index(groups, info.Group), info.Name)
		}
	}
	for _, tt := range []struct{ name, group, definition string }{
		{"m", "length", "base unit"},
		{"in", "length", "25.4 mm exactly"},
		{"sq in", "area", "1 in^2 exactly"},
		{"cu yd", "volume", "1 yd^3 exactly"},
		{"rev", "angle and rotation", "2 pi rad"},
		{"degF", "temperature", "t degF = (t + 459.67) * 5/9 K exactly"},
		{"ft in", "two units side by side", "12 in to the ft"},
		{"GBP", "money", "base unit"},
		{"tray", "the sheet's own", "12 in"},
	} {
		assert.Equal(t, tt.group, found[tt.name].Group, tt.name)
		assert.Equal(t, tt.definition, found[tt.name].Definition, tt.name)
	}
	assert.Equal(t, []string{"crate", "tray"}, order[len(order)-2:], "the sheet's own come last, by name")
	assert.Less(t, slices.Index(order, "in"), slices.Index(order, "ft"), "as in the table")
}

func unitOf(t *testing.T, s *Set, text string) Unit {
	t.Helper()
	u, err := s.Parse(text)
	require.NoError(t, err, text)
	return u
}

// What a Set remembers is bounded, whatever a sheet throws at it.
func TestSetRemembers(t *testing.T) {
	s := newSet(nil)
	_, err := s.Parse(" oz / sq ft")
	require.NoError(t, err)
	for _, text := range []string{" oz / sq ft", "\x00oz", "\x00ft"} {
		_, ok := s.cached(text)
		assert.True(t, ok, "%q", text)
	}
	for i := range 2 * cacheSize {
		s.remember(strings.Repeat("x", i%7)+strconv.Itoa(i), Unit{})
	}
	assert.Len(t, s.cache, cacheSize)
}

func TestEqualUnits(t *testing.T) {
	for _, pair := range [][2]string{{"m", "s"}, {"in", "ft"}, {"rad", "rev"}, {"K", "degC"}, {"degF", "degC"},
		{"%", "1"}} {
		assert.False(t, unit(t, pair[0]).Equal(unit(t, pair[1])), pair)
	}
	turn, err := Builtin().With("twice", 2, unit(t, "rad"))
	require.NoError(t, err)
	assert.False(t, unitOf(t, turn, "twice").Equal(unit(t, "rev")), "2 rad is not 2 pi rad")
}

// TestOther: a quantity can be turned into what it is counted in on the other side of the ocean.
func TestOther(t *testing.T) {
	for from, want := range map[string]string{
		"in": "mm", "mm": "in", "ft": "in", "oz": "g", "kg": "oz", "N": "ozf", "ozf": "N", "sq ft": "sq in", "mph": "m/s",
		"psi": "kPa", "kg-cm": "oz-in", "oz/sq ft": "g/dm^2", "s": "s", "deg": "rad",
	} {
		assert.Equal(t, want, unit(t, from).Other(), from)
	}
}

// TestAbout says of a unit what it is: by its definition where it has a name, else by what it comes to.
func TestAbout(t *testing.T) {
	assert.Equal(t, "in: inch, 25.4 mm exactly", Builtin().About(unit(t, "in")))
	// 28.349523125 g over 0.83612736 m^2
	assert.Equal(t, "oz/sq yd: a wing loading (mass per area); 1 oz/sq yd = 0.03390574747488229 kg/m^2",
		Builtin().About(unit(t, "oz/sq yd")))
}
