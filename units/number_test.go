package units

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// SI values follow from the definitions (inch 25.4 mm, pound 0.45359237 kg),
// worked by hand: 8.25 in is 209.55 mm, 4 ft 2-1/2 in is 50.5 in = 1.2827 m,
// 3 lb 5 oz is 3.3125 lb = 1.502524725625 kg.
func TestParseNumber(t *testing.T) {
	for _, tt := range []struct {
		in, unit string
		si       float64
		written  string // the unit that it was written in; "" when it has none
	}{
		{"8.25", "in", 0.20955, ""},
		{"8-1/4", "in", 0.20955, ""},
		{"8 1/4", "in", 0.20955, ""},
		{"8  1/4", "in", 0.20955, ""},
		{" 8-1/4 ", "in", 0.20955, ""},
		{"8¼", "in", 0.20955, ""},
		{"8 ¼", "in", 0.20955, ""},
		{"8-¼", "in", 0.20955, ""},
		{"8-1/4 in", "mm", 0.20955, "in"},
		{"8-1/4in", "mm", 0.20955, "in"},
		{"8 1/4 in", "mm", 0.20955, "in"},
		{"209.55 mm", "in", 0.20955, "mm"},
		{"3/16", "in", 0.0047625, ""},
		{"3⁄16", "in", 0.0047625, ""},
		{"6/32", "in", 0.0047625, ""},
		{"19/8", "in", 0.060325, ""},
		{"0/8", "in", 0, ""},
		{"½", "in", 0.0127, ""},
		{"-7-1/2", "in", -0.1905, ""},
		{"−7-1/2", "in", -0.1905, ""},
		{"- 7.5", "in", -0.1905, ""},
		{"–7-1/2", "in", -0.1905, ""},
		{"— 7.5", "in", -0.1905, ""},
		{"‑7.5 in", "mm", -0.1905, "in"},
		{"+3", "in", 0.0762, ""},
		{".5", "in", 0.0127, ""},
		{"0", "in", 0, ""},
		{"-0", "in", 0, ""},
		{"0", "ft in", 0, ""},
		{"1.2e3", "in", 30.48, ""},
		{"1.2E+3", "in", 30.48, ""},
		{"12e-1", "in", 0.03048, ""},
		{"007", "in", 0.1778, ""},
		{"4 ft 2-1/2 in", "in", 1.2827, "ft in"},
		{"4ft 2-1/2in", "in", 1.2827, "ft in"},
		{"4ft2.5in", "in", 1.2827, "ft in"},
		{"4 ft 2 1/2 in", "in", 1.2827, "ft in"},
		{"4 ft 2½ in", "in", 1.2827, "ft in"},
		{"-4 ft 2-1/2 in", "in", -1.2827, "ft in"},
		{"0 ft 0 in", "in", 0, "ft in"},
		{"12345678901234567 ft 1 in", "in", 3762962929096296, "ft in"},
		{"1 ft 0.12345678901234567890 in", "in", 0.30793580244091357, "ft in"},
		{"4 ft", "in", 1.2192, "ft"},
		{"4-1/2 ft", "in", 1.3716, "ft"},
		{"3 lb 5 oz", "g", 1.502524725625, "lb oz"},
		{"5 min 30 s", "s", 330, "min s"},
		{"155 g", "oz", 0.155, "g"},
		{"155g", "oz", 0.155, "g"},
		{"30 %", "", 0.3, "%"},
		{"30%", "", 0.3, "%"},
		{"12V", "V", 12, "V"},
		{"5 1/s", "", 5, "1/s"},
		{"5 ft-lb", "", 6.779089741657002, "lb-ft"},
		{"3.50 GBP/sq ft", "", 37.67368645848403, "GBP/sq ft"},
		{"20 degC", "degC", 293.15, "degC"},
		{"68", "degF", 293.15, ""},
		{"180", "deg", 3.141592653589793, ""},
		{"6000 rpm", "", 628.3185307179587, "rpm"},
		{"9007199254740993", "", 9007199254740992, ""}, // 2^53 + 1 is halfway: to even
		{"0.1", "", 0.1, ""},
		{"123456789012345678901234567890", "", 1.2345678901234568e29, ""},
		{"-1", "", -1, ""},
		{".5e3", "mm", 0.5, ""},
		{"½ in", "mm", 0.0127, "in"},
		{"1/123456789012345", "", 1. / 123456789012345, ""},
		{"123456789012345/2", "", 61728394506172.5, ""},
		// The fraction is lost beside the whole number, and nothing else is: 2^64 parts are more than 64 bits hold.
		{"9007199254740991-1/999999999999999", "", 9007199254740991, ""},
		{"1099511627776-1/16777216", "", 1099511627776, ""},
		// The ends of the range are still in it.
		{"1e300", "", 1e300, ""},
		{"-1e300", "", -1e300, ""},
		{"1e-300", "", 1e-300, ""},
		{strings.Repeat("0", 199) + "7", "", 7, ""},
	} {
		n, err := Builtin().ParseNumber(tt.in, unit(t, tt.unit))
		require.NoError(t, err, tt.in)
		assert.Equal(t, tt.si, n.SI, tt.in)
		assert.Equal(t, tt.written != "", n.HasUnit, tt.in)
		want := tt.written
		if want == "" {
			want = tt.unit
		}
		assert.Equal(t, want, n.Unit.String(), tt.in)
	}
}

func TestNumberSlips(t *testing.T) {
	for _, tt := range []struct{ in, want string }{
		{"", "0-0 no-number: a number is missing"},
		{"  ", "0-2 no-number: a number is missing"},
		{"-", "0-1 no-number: a number is missing after -"},
		{"8,25", "0-4 decimal-comma: the decimal mark is a point > write 8.25"},
		{" 0,125 in", "1-6 decimal-comma: the decimal mark is a point > write 0.125"},
		{"1,250", "0-5 thousands-comma: a comma has no place in a number > write 1250, or 1.250 if a decimal is meant"},
		{"1,234,567", "0-9 thousands-comma: thousands are not separated by a comma > write 1234567"},
		{"1,234.5", "0-7 thousands-comma: thousands are not separated by a comma > write 1234.5"},
		{"1.117,6 mm", "0-7 decimal-comma: the decimal mark is a point, and nothing separates thousands > write 1117.6"},
		{"11¹⁵⁄₁₆", "0-16 number-form: a fraction is written in plain figures > write 11-15/16"},
		{"11³/₄ in", "0-8 number-form: a fraction is written in plain figures > write 11-3/4"},
		{"12,34,56", "0-8 number-form: 12,34,56 cannot be read as a number"},
		{"1 000", "0-5 two-numbers: 1 and 000 are two numbers > write 1000"},
		{"1 000 000 mm", "0-9 two-numbers: 1 and 000 are two numbers > write 1000000"},
		{"8 25", "0-4 two-numbers: 8 and 25 are two numbers"},
		{"8 1/4 3", "0-7 two-numbers: 8 1/4 and 3 are two numbers"},
		{"8-1/4 1/2", "0-7 two-numbers: 8-1/4 and 1 are two numbers"},
		{"8 -1/4", "0-6 number-form: there is a space beside the dash of 8 -1/4 > write 8-1/4"},
		{"8- 1/4", "0-6 number-form: there is a space beside the dash of 8- 1/4 > write 8-1/4"},
		{"8 - 1/4 in", "0-7 number-form: there is a space beside the dash of 8 - 1/4 > write 8-1/4"},
		{"8–1/4", "0-7 number-form: the dash of a fraction is a hyphen > write 8-1/4"},
		{"8-1", "0-3 number-form: no fraction follows the dash of 8-1 > write a fraction such as 8-1/4, or a decimal"},
		{"6-6", "0-3 number-form: no fraction follows the dash of 6-6 > write a fraction such as 6-1/4, or a decimal"},
		{"5-", "0-2 number-form: no fraction follows the dash of 5- > write a fraction such as 5-1/4, or a decimal"},
		{"8-5/4", "0-5 improper-fraction: 5/4 is not less than 1 > write 9-1/4"},
		{"8-7/3", "0-5 improper-fraction: 7/3 is not less than 1 > write 10-1/3"},
		{"8-8/3", "0-5 improper-fraction: 8/3 is not less than 1 > write 10-2/3, or 8-3/8 if its figures are the wrong " +
			"way round"},
		{"8-64/7", "0-6 improper-fraction: 64/7 is not less than 1 > write 17-1/7, or 8-7/64 if its figures are the wrong " +
			"way round"},
		{"8-128/7", "0-7 improper-fraction: 128/7 is not less than 1 > write 26-2/7"},
		{"8-2/1", "0-5 improper-fraction: 2/1 is not less than 1 > write 10, or 8-1/2 if its figures are the wrong " +
			"way round"},
		{"8-8/4", "0-5 improper-fraction: 8/4 is not less than 1 > write 10"},
		{"1/0", "0-3 zero-below: 1/0 has 0 below the line"},
		{"8-1/0", "2-5 zero-below: 1/0 has 0 below the line"},
		{"1/2/3", "0-3 number-form: a fraction has only one /"},
		{"1 /4", "0-4 number-form: there is a space in the fraction 1 /4 > write 1/4"},
		{"1/ 4 in", "0-7 number-form: there is a space in the fraction 1/ 4 in > write 1/4 in"},
		{
			"1.5/2",
			"0-5 number-form: a fraction has whole numbers above and below the line > a division is worked out: = 1.5/2",
		},
		{
			"8.1/2",
			"0-5 number-form: a fraction has whole numbers above and below the line > write 8-1/2, or, where 8.1 is to be divided, = 8.1/2",
		},
		{"3/4. in", "3-7 unit-form: a unit has no full stop in it > write in"},
		{"8.2/2", "0-5 number-form: a fraction has whole numbers above and below the line > a division is worked out: " +
			"= 8.2/2"},
		{"1/2.5", "0-5 number-form: 1/2.5 has a point too many"},
		{"5.", "0-2 number-form: no figure follows the point of 5. > write 5"},
		{"5.5.5", "0-5 number-form: 5.5.5 has a point too many"},
		{"1_000", "0-5 number-form: a number has no underscore in it > write 1000"},
		{"0x10", "0-4 number-form: a number is written with the figures 0 to 9"},
		{"inf", "0-3 number-form: inf is not a number > leave the value blank if it is not known yet"},
		{"NaN", "0-3 number-form: NaN is not a number > leave the value blank if it is not known yet"},
		{"-infinity", "1-9 number-form: infinity is not a number > leave the value blank if it is not known yet"},
		{"--5", "1-3 number-form: -5 is not a number"},
		{"e5", "0-2 number-form: e5 is not a number"},
		{".e5", "0-3 number-form: .e5 is not a number"},
		{"abc", "0-3 number-form: abc is not a number"},
		{"in 5", "0-2 number-form: the unit in has no number before it"},
		{"£5.20", "0-6 number-form: money is written with its ISO 4217 code, after the number > write 5.20 GBP"},
		{"８", "0-3 number-form: ８ is not a number"},
		{"1e401", "0-5 number-range: the power of ten of 1e401 is out of all range"},
		{"1e99999999999999999999", "0-22 number-range: the power of ten of 1e99999999999999999999 is out of all range"},
		{"1e303 m", "0-7 number-range: the number is too large"},
		{"1e299 km", "0-8 number-range: the number is too large"},
		{"1e-301 m", "0-8 number-range: the number is too close to 0"},
		{"1e-400", "0-6 number-range: the number is too close to 0"},
		{"-300 degC", "0-9 number-range: -300 degC is below absolute zero"},
		{"4' 2-1/2\"", "0-9 unknown-unit: feet and inches are written ft and in > write 4 ft 2-1/2 in"},
		{"12'345.5 mm", "0-11 number-form: nothing parts thousands > write 12345.5 mm"},
		{"8-1/4\"", "5-6 unknown-unit: unknown unit \" > write in"},
		{"8 lbs", "2-5 unknown-unit: unknown unit lbs > write lb"},
		{"8 lbs 3 oz", "2-5 unknown-unit: unknown unit lbs > write lb"},
		{"  12 gr", "5-7 unknown-unit: unknown unit gr > write g for gram or grain for grain"},
		{"2200 MAH", "5-8 unknown-unit: unknown unit MAH > write mAh"},
		{"22 gauge", "3-8 unknown-unit: a gauge number is not a length > give the diameter, such as 1/16 in or 1.6 mm"},
		{"4 ft 2", "0-6 mixed-number: 2 has no unit > write 4 ft 2 in"},
		{"4 ft 2 mm", "0-9 mixed-number: ft is followed by in, not by mm > write 4 ft 2 in"},
		{"4 ft 2 inches", "7-13 unknown-unit: unknown unit inches > write in"},
		{"4 ft -2 in", "0-10 mixed-number: there is a dash inside 4 ft -2 in > write 4 ft 2 in"},
		{"4 ft 14-1/2 in", "0-14 mixed-number: 14-1/2 in is 1 ft or more > write 5 ft 2.5 in"},
		{"4.5 ft 2 in", "0-11 mixed-number: the number of ft must be whole when in follow > write 4 ft 8 in"},
		{"50 ft in", "0-8 which-unit: 50 could be in or ft > write 50 in or 50 ft"},
		{"12345678901234567890.5 ft 2 in",
			"0-30 mixed-number: the number of ft must be whole when in follow > write 1.4814814681481482e+20 in"},
		{"1 ft 12345678901234567890 in",
			"0-28 mixed-number: 12345678901234567890 in is 1 ft or more > write 1.2345678901234568e+19 in"},
		{"99999999999-5/4", "0-15 improper-fraction: 5/4 is not less than 1"},
		{"8-123/0", "2-7 zero-below: 123/0 has 0 below the line"},
		{"4 ft 1,5 in", "5-8 decimal-comma: the decimal mark is a point > write 1.5"},
		{"4 ft 2 inn", "7-10 unknown-unit: unknown unit inn > write in"},
		{"5 cm 3 mm", "0-9 two-numbers: 5 cm and 3 mm are two numbers with a unit each > write 53 mm"},
		{"-5 cm 3 mm", "0-10 two-numbers: -5 cm and 3 mm are two numbers with a unit each > write -53 mm"},
		{"1 h 30 min", "0-10 two-numbers: 1 h and 30 min are two numbers with a unit each > write 90 min"},
		{"0 h 30 min", "0-10 two-numbers: 0 h and 30 min are two numbers with a unit each > write 30 min"},
		{"-0 h 30 min", "0-11 two-numbers: -0 h and 30 min are two numbers with a unit each > write -30 min"},
		{"2 kg 300 g", "0-10 two-numbers: 2 kg and 300 g are two numbers with a unit each > write 2300 g"},
		{"5 cm 3 g", "5-6 unit-form: there is a number in the unit"},
		{"20 degC 3 degC", "8-9 unit-form: there is a number in the unit"},
		{"5 zork 3 %", "2-6 unknown-unit: unknown unit zork"},
		{"5 cm 3 zork", "5-6 unit-form: there is a number in the unit"},
		{"123456789012 m 3 mm", "0-19 two-numbers: 123456789012 m and 3 mm are two numbers with a unit each"},
		{"5 % 3", "4-5 unit-form: there is a number in the unit"},
		{"1e3/2", "0-5 number-form: a fraction has whole numbers above and below the line"},
		{"8-1/4 / 2", "0-9 number-form: a fraction has whole numbers above and below the line"},
		{"8– in", "1-4 unit-form: '–' has no place in a unit"},
		{"1.234,567,8", "0-11 number-form: 1.234,567,8 cannot be read as a number"},
		{"5 cm 3", "5-6 unit-form: there is a number in the unit"},
		{"4 ft 2 in 3", "10-11 unit-form: there is a number in the unit"},
		{".", "0-1 number-form: . is not a number"},
		{"5e", "1-2 unknown-unit: unknown unit e"},
		{"5e+", "1-2 unknown-unit: unknown unit e"},
		{"1e400", "0-5 number-range: the number is too large"},
		{"8-4/4", "0-5 improper-fraction: 4/4 is not less than 1 > write 9"},
		{"1.234.567,8", "0-11 decimal-comma: the decimal mark is a point, and nothing separates thousands > write 1234567.8"},
		{"8,", "1-2 unit-form: one comma separates the unit from its step > leave it out"},
		{"11¹⁵", "2-4 unit-form: '¹' has no place in a unit"},
		{",250", "0-4 decimal-comma: the decimal mark is a point > write .250"},
		{"123,456", "0-7 thousands-comma: a comma has no place in a number > write 123456, " +
			"or 123.456 if a decimal is meant"},
		{"1234,567", "0-8 decimal-comma: the decimal mark is a point > write 1234.567"},
		{"40-44", "0-5 number-form: a value is one number > give the middle one with a ? after it, and the range in the note"},
		{"1-2", "0-3 number-form: a value is one number > write 1/2 if a fraction is meant; of a range give the middle one " +
			"with a ? after it, and the range in the note"},
		{"11-29-32", "0-8 number-form: a fraction has a slash, not a second dash > write 11-29/32 if that is meant"},
		{"11-32-29", "0-5 number-form: a value is one number > give the middle one with a ? after it, and the range in the note"},
		{"4' 2", "0-4 unknown-unit: feet and inches are written ft and in > write 4 ft 2 in"},
		{"1.5 250", "0-7 two-numbers: 1.5 and 250 are two numbers"},
		{"1..4", "0-4 number-form: a value is one number > give the middle one with a ? after it, and the range in the note"},
		{"5° 30'", "0-7 two-numbers: a value is one number > write 5.5 deg"},
		{"5 deg 20 min", "0-12 two-numbers: a value is one number > write 5.33333 deg"},
		{"2h 15m", "0-6 two-numbers: a value is one number > write 135 min"},
		{"1m30s", "0-5 two-numbers: a value is one number > write 1 min 30 s"},
		{"1:30", "0-4 two-numbers: a value is one number > a ratio is worked out: = 1/30"},
		{"4′ 2-1/2″", "0-13 unknown-unit: feet and inches are written ft and in > write 4 ft 2-1/2 in"},
		{"4’ 2”", "0-9 unknown-unit: feet and inches are written ft and in > write 4 ft 2 in"},
		{"4 ft. 2 in", "0-10 unit-form: a unit has no full stop in it > write 4 ft 2 in"},
		{"4 ft . 2 in", "5-6 number-form: . is not a number"},
		{"1 ft 12 in", "0-10 mixed-number: 12 in is 1 ft or more > write 2 ft"},
		{"1 ft 12.00000000000000000000 in",
			"0-31 mixed-number: 12.00000000000000000000 in is 1 ft or more > write 2 ft"},
		{"1/1234567890123456", "0-18 number-form: the fraction has too many digits"},
		{strings.Repeat("1", 201), "0-201 too-long: the number is too long"},
	} {
		_, err := Builtin().ParseNumber(tt.in, unit(t, "in"))
		assert.Equal(t, tt.want, errorText(t, err), tt.in)
	}
}

// A number of feet and inches must say which it counts.
func TestBareNumberInAMixedUnit(t *testing.T) {
	_, err := Builtin().ParseNumber("50", unit(t, "ft in"))
	assert.Equal(t, "0-2 which-unit: 50 could be in or ft > write 50 in or 50 ft", errorText(t, err))
}

// The fractions that are one character, with the values that the Unicode Character Database gives them (property
// Numeric_Value of U+00BC to U+00BE and U+2150 to U+215E).
func TestFractionsOfOneCharacter(t *testing.T) {
	read := map[rune]float64{
		'½': 1. / 2, '¼': 1. / 4, '¾': 3. / 4, '⅛': 1. / 8, '⅜': 3. / 8, '⅝': 5. / 8, '⅞': 7. / 8,
		'⅓': 1. / 3, '⅔': 2. / 3, '⅕': 1. / 5, '⅖': 2. / 5, '⅗': 3. / 5, '⅘': 4. / 5,
		'⅙': 1. / 6, '⅚': 5. / 6, '⅒': 1. / 10,
	}
	assert.Len(t, read, len(vulgar))
	for c, want := range read {
		n, err := Builtin().ParseNumber(string(c), Unit{})
		require.NoError(t, err)
		assert.Equal(t, want, n.SI, string(c))
	}
}

// A decimal is read as strconv reads it, however many places it has.
func TestDecimalPlaces(t *testing.T) {
	for _, text := range []string{"9007199254740993", "18446744073709551615", "18446744073709551616", "900719925474099.35",
		"1844.6744073709551615", "9007199254740.993e3", "9007199254740993e4"} {
		want, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err)
		n, err := Builtin().ParseNumber(text, Unit{})
		require.NoError(t, err)
		assert.Equal(t, want, n.SI, text)
	}
	for places := range 25 {
		text := "0." + strings.Repeat("0", places) + "7"
		want, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err)
		n, err := Builtin().ParseNumber(text, Unit{})
		require.NoError(t, err)
		assert.Equal(t, want, n.SI, text)
		n, err = Builtin().ParseNumber(text+" km", Unit{})
		require.NoError(t, err)
		assert.InEpsilon(t, 1000*want, n.SI, 3e-16, text)
	}
}

func TestNoMinusZero(t *testing.T) {
	for _, text := range []string{"-0", "-0 m", "-0.0 in", "-0 deg", "-0.0 rpm", "-0 %", "-0 ft 0 in"} {
		n, err := Builtin().ParseNumber(text, Unit{})
		require.NoError(t, err)
		assert.False(t, math.Signbit(n.SI), text)
	}
}

// Fractions are exact until the one rounding at the end: whatever the
// denominator, the value is that of the correctly rounded quotient in metres.
func TestFractionsAreRoundedOnce(t *testing.T) {
	for _, tt := range []struct {
		in   string
		want string // metres, exactly: numerator * 127 / (denominator * 5000)
	}{
		{"1/3", "127/15000"}, {"2/7", "254/35000"}, {"12-5/9", "14351/45000"}, {"1/64", "127/320000"},
	} {
		n, err := Builtin().ParseNumber(tt.in, unit(t, "in"))
		require.NoError(t, err)
		want, _ := rat(t, tt.want).Float64()
		assert.Equal(t, want, n.SI, tt.in)
	}
}

// TestOnlyMistakesAreRecovered: what is wrong with the program itself is not taken for a mistake in a number.
func TestOnlyMistakesAreRecovered(t *testing.T) {
	assert.Nil(t, try(func() {}))
	assert.Equal(t, "code", try(func() { panic(&Error{Code: "code"}) }).Code)
	var none *numberParser
	assert.Panics(t, func() { _ = try(func() { none.at++ }) })
	assert.PanicsWithValue(t, "other", func() { _ = try(func() { panic("other") }) })
}
