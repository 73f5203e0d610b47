package units

import (
	"bytes"
	"math"
	"math/big"
	"math/bits"
	"strconv"
	"strings"
)

// decimal is the number 0.DIGITS times ten to the power exp. Its digits begin
// and end with one that is not 0; zero has none.
type decimal struct {
	neg    bool
	digits string
	exp    int
}

// shortest returns the decimal that strconv writes for x with so many significant
// digits, or with as few as tell x apart when digits is 0.
func shortest(x float64, digits int) decimal {
	var buf [32]byte
	if x == math.Trunc(x) && math.Abs(x) <= exactFloat { // most are, and have all their digits at once
		text := strconv.AppendUint(buf[:0], uint64(math.Abs(x)), 10)
		if digits == 0 || len(text) <= digits {
			return ofDigits(x < 0, text, len(text))
		}
	}
	return scientific(strconv.AppendFloat(buf[:0], x, 'e', digits-1, 64))
}

// scientific reads what strconv and math/big write with the format 'e', and overwrites it.
func scientific(text []byte) decimal {
	text, neg := bytes.CutPrefix(text, []byte("-"))
	mantissa, exponent, _ := bytes.Cut(text, []byte("e"))
	e, _ := strconv.Atoi(string(exponent))
	if len(mantissa) > 1 { // the first digit takes the place of the point
		mantissa[1] = mantissa[0]
		mantissa = mantissa[1:]
	}
	return ofDigits(neg, mantissa, e+1)
}

// ofDigits returns the decimal 0.DIGITS times ten to the power exp, of digits that may end with zeros.
func ofDigits(neg bool, digits []byte, exp int) decimal {
	for len(digits) > 0 && digits[len(digits)-1] == '0' {
		digits = digits[:len(digits)-1]
	}
	if len(digits) == 0 {
		return decimal{}
	}
	return decimal{neg, string(digits), exp}
}

func (d decimal) exact() exact {
	if d.digits == "" {
		return whole(0)
	}
	x := fromDigits(d.digits, d.exp-len(d.digits))
	x.neg = d.neg
	return x
}

// clean returns si as a decimal number in u: the one with the fewest digits that
// is converted back to the same SI value.
func (u Unit) clean(si float64) decimal {
	d := u.d()
	if d.isSI() {
		return shortest(si, 0)
	}
	// No two numbers of 15 digits fall on one float64, unless an offset, which
	// makes the SI value the coarser, has been added.
	digits := sure
	if d.offset != nil {
		digits = 1
	}
	if x := u.FromSI(si); !math.IsInf(x, 0) {
		for ; digits <= sure; digits++ {
			if c := shortest(x, digits); u.siOf(c.exact()) == si {
				return c
			}
		}
	}
	x := u.quotient(si)
	if c := scientific(x.Append(nil, 'e', 15)); u.siOf(c.exact()) == si {
		return c
	}
	return scientific(x.Append(nil, 'e', 16))
}

// sure is how many digits float64 is sure to keep.
const sure = 15

// quotient works out si in u with no rounding that matters on the way.
func (u Unit) quotient(si float64) *big.Float {
	d := u.d()
	r, _ := new(big.Float).SetFloat64(si).Rat(nil)
	r.Quo(r, d.ratio)
	if d.offset != nil {
		r.Sub(r, d.offset)
	}
	x := new(big.Float).SetPrec(piBits).SetRat(r)
	if d.pi == 0 {
		return x
	}
	return x.Quo(x, piPower(d.pi))
}

// near returns si in u to the digits that can be relied on: all that a rounded
// number needs, and free of the noise of sums.
func (u Unit) near(si float64) decimal {
	x := u.FromSI(si)
	if math.Abs(x) >= 1e15 { // 15 digits would not reach the ones
		return u.clean(si)
	}
	digits := sure
	if u.Reading() { // its offset makes the noise as large for small numbers as for large ones
		digits = min(sure, int(math.Ceil(math.Log10(math.Abs(x))))+sureDecimals)
		if digits < 1 || x == 0 {
			return decimal{}
		}
	}
	return shortest(x, digits)
}

// sureDecimals is how many decimals of a reading in degrees float64 is sure to keep in K, up to temperatures at which
// sure is less.
const sureDecimals = 11

// Value returns si as a number in u. Where a number of 15 digits is converted
// back to si it is that one, free of the noise that a conversion leaves in the
// last digits; otherwise it is as near as float64 arithmetic comes.
func (u Unit) Value(si float64) float64 {
	d := u.d()
	if math.IsNaN(si) || d.isSI() {
		return si
	}
	x := u.FromSI(si)
	if math.IsInf(x, 0) {
		return x
	}
	c := u.near(si)
	y, _ := strconv.ParseFloat(c.scientific(), 64)
	if math.Abs(y-x) > 1e-15*(math.Abs(x)+d.off) { // soon found out: it is another number
		return x
	}
	if u.siOf(c.exact()) != si {
		return x
	}
	return y
}

// scientific returns d as strconv reads it.
func (d decimal) scientific() string {
	sign := ""
	if d.neg {
		sign = "-"
	}
	return sign + "0." + d.digits + "0e" + strconv.Itoa(d.exp)
}

// Exact returns si as a number in u with as many digits as it takes for
// ParseNumber to read the same SI value back. Like Format it gives no unit,
// except for units that are shown in two parts.
func Exact(si float64, u Unit) string {
	if text, odd := oddFloat(si); odd {
		return text
	}
	return u.inTwoUnits(u.clean(si).shown(15, -6))
}

// Format returns si as a number in u, for people: rounded to the step st, or to
// four significant digits but never to less than whole numbers when no step is
// given. Halves are rounded away from zero. A ruler step gives ruler fractions,
// 8-1/4; a decimal step as many decimals as it has. The unit itself is not
// given, except for units that are shown in two parts: 4 ft 2-1/2 in.
func Format(si float64, u Unit, st Step) string {
	if text, odd := oddFloat(si); odd {
		return text
	}
	c := u.near(si)
	if st.Given() {
		if s, ok := c.stepped(st); ok {
			return u.inTwoUnits(s)
		}
	}
	return u.inTwoUnits(c.rounded(significant).shown(9, -4))
}

// short returns si as Exact does where that is short, and otherwise with six significant digits, which it reports.
func short(si float64, u Unit) (text string, rounded bool) {
	const long, digits = 9, 6
	if text = Exact(si, u); len(strings.TrimLeft(text, "-0.")) <= long {
		return text, false
	}
	if _, odd := oddFloat(si); odd {
		return text, false
	}
	return u.inTwoUnits(u.near(si).rounded(digits).shown(15, -6)), true
}

// oddFloat returns the words for what no cell should hold.
func oddFloat(x float64) (string, bool) {
	switch {
	case math.IsNaN(x):
		return "not a number", true
	case math.IsInf(x, 0):
		return "beyond all numbers", true
	}
	return "", false
}

// shown is a number made ready: a sign, a whole part, and what follows it,
// ".25" or "1/4". When sci is not empty it is the whole text.
type shown struct {
	neg  bool
	n    uint64
	frac string
	sci  string
}

// join returns the text without a unit.
func (s shown) join() string {
	sign := ""
	if s.neg {
		sign = "-"
	}
	switch {
	case s.sci != "":
		return sign + s.sci
	case s.frac == "" || s.frac[0] == '.':
		return sign + strconv.FormatUint(s.n, 10) + s.frac
	case s.n == 0:
		return sign + s.frac
	}
	return sign + strconv.FormatUint(s.n, 10) + "-" + s.frac
}

// inTwoUnits adds the units of a number in two parts.
func (u Unit) inTwoUnits(s shown) string {
	pair := u.d().mixed
	if pair == nil {
		return s.join()
	}
	if s.n < pair.per { // as with a power of ten, where it is 0
		return s.join() + " " + pair.small
	}
	big := shown{neg: s.neg, n: s.n / pair.per}.join() + " " + pair.big
	small := shown{n: s.n % pair.per, frac: s.frac}
	if small.n == 0 && strings.Trim(small.frac, ".0") == "" {
		return big
	}
	return big + " " + small.join() + " " + pair.small
}

// shown writes d in full, or with a power of ten when it is at least ten to the
// power huge or less than ten to the power tiny.
func (d decimal) shown(huge, tiny int) shown {
	if d.digits == "" {
		return shown{}
	}
	if d.exp > huge || d.exp <= tiny {
		return shown{neg: d.neg, sci: d.power()}
	}
	digits := d.digits
	if d.exp > len(digits) {
		digits += strings.Repeat("0", d.exp-len(digits))
	}
	if d.exp < 0 {
		digits = strings.Repeat("0", -d.exp) + digits
	}
	point := max(d.exp, 0)
	n, _ := strconv.ParseUint("0"+digits[:point], 10, 64)
	frac := ""
	if point < len(digits) {
		frac = "." + digits[point:]
	}
	return shown{neg: d.neg, n: n, frac: frac}
}

// power writes d with a power of ten, as in 1.2e-05.
func (d decimal) power() string {
	text := d.digits[:1]
	if len(d.digits) > 1 {
		text += "." + d.digits[1:]
	}
	sign, e := "+", d.exp-1
	if e < 0 {
		sign, e = "-", -e
	}
	if e < 10 {
		sign += "0"
	}
	return text + "e" + sign + strconv.Itoa(e)
}

const significant = 4

// LastDigit returns what one more in the last of the digits is worth in which a number without a step is shown; NaN for
// 0, which has none.
func LastDigit(x float64) float64 {
	if x == 0 {
		return math.NaN()
	}
	digit := math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-significant+1)
	if math.Abs(x) < 1e9 {
		return math.Min(digit, 1)
	}
	return digit
}

// rounded keeps some significant digits, and whole digits below a thousand million.
func (d decimal) rounded(keep int) decimal {
	if d.exp > keep && d.exp <= 9 {
		keep = d.exp
	}
	if len(d.digits) <= keep {
		return d
	}
	n, _ := strconv.ParseUint(d.digits[:keep], 10, 64)
	if d.digits[keep] >= '5' {
		n++
	}
	digits := strconv.FormatUint(n, 10)
	return decimal{d.neg, strings.TrimRight(digits, "0"), d.exp + len(digits) - keep}
}

// maxSteps bounds how many steps a value may have: beyond it float64 does not
// tell one step from the next.
const maxSteps = 1e15

// stepped rounds d to a step; it fails when the value is too large for the step.
func (d decimal) stepped(st Step) (shown, bool) {
	count, ok := d.steps(st)
	if !ok {
		return shown{}, false
	}
	neg := d.neg && count > 0
	if st.ruler {
		return rulerMark(neg, count, uint64(st.den)), true
	}
	hi, total := bits.Mul64(count, uint64(st.num))
	if hi != 0 {
		return shown{}, false
	}
	s := decimalText(total, int(st.places))
	s.neg = neg
	return s, true
}

// decimalText writes n with its last digits after the point.
func decimalText(n uint64, places int) shown {
	s := shown{n: n / pow10[places]}
	if places > 0 {
		tail := strconv.FormatUint(n%pow10[places], 10)
		s.frac = "." + strings.Repeat("0", places-len(tail)) + tail
	}
	return s
}

// steps counts the steps in d, without its sign, halves rounded away from zero.
func (d decimal) steps(st Step) (uint64, bool) {
	if d.exp > 28 {
		return 0, false
	}
	if d.exp < -28 {
		return 0, true
	}
	x := d.exact()
	x.neg = false
	// In halves of a step, plus one half: the count is the whole part of half of it. Where x is big, d and half are 0.
	if half, ok := mulFits(x.d, uint64(st.num)); ok {
		hi, lo := bits.Mul64(x.n, 2*uint64(st.den))
		lo, carry := bits.Add64(lo, half, 0)
		if hi += carry; hi < 2*half {
			count, _ := bits.Div64(hi, lo, 2*half)
			return count, count <= maxSteps
		}
	}
	r := x.rat()
	r.Mul(r, big.NewRat(2*st.den, st.num))
	r.Add(r, one)
	q := new(big.Int).Quo(r.Num(), new(big.Int).Lsh(r.Denom(), 1))
	if !q.IsUint64() || q.Uint64() > maxSteps {
		return 0, false
	}
	return q.Uint64(), true
}
