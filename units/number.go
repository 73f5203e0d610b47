package units

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Number is a workshop number, read and converted.
type Number struct {
	SI      float64
	Unit    Unit   // the unit that it was written in, or the one that was handed to ParseNumber
	HasUnit bool   // it was written with a unit of its own
	Amount  string // the number as written, without sign and unit; empty where it has two units: 4 ft 2 in

	exact exact // the number in Unit
}

const (
	maxNumber   = 200   // bytes in a number and its unit
	maxExponent = 400   // of ten, as written
	hugeSI      = 1e300 // beyond this a number is refused
	tinySI      = 1e-300
)

// ParseNumber reads a workshop number: 8.25, 8-1/4, 8 1/4, 3/16, 1.2e3, 155 g,
// 30 %, 4 ft 2-1/2 in. A minus in front covers the whole of it. A number that
// is written without a unit is in unit. The number is exact as typed and is
// rounded once, to float64, when it has been converted to SI. It fails with an *Error.
//
// A unit that is written need not be of the dimension of unit: whoever asks
// compares Number.Unit.Dim().
func (s *Set) ParseNumber(text string, unit Unit) (Number, error) {
	return s.parseNumber(text, unit, false)
}

// ParseDifference is ParseNumber for a difference of two numbers: 3 degF is 5/3 K then, and a number in a unit of two
// parts counts the smaller. unit is not a reading, nor a unit of two parts: see Unit.Difference.
func (s *Set) ParseDifference(text string, unit Unit) (Number, error) {
	return s.parseNumber(text, unit, true)
}

func (s *Set) parseNumber(text string, unit Unit, difference bool) (Number, error) {
	if len(text) > maxNumber {
		return Number{}, &Error{Code: "too-long", From: 0, To: len(text), Msg: "the number is too long"}
	}
	end := len(strings.TrimRightFunc(text, unicode.IsSpace))
	p := &numberParser{reader{set: s, text: text, end: end}, difference}
	var n Number
	if err := try(func() { n = p.number(unit) }); err != nil {
		return Number{}, err
	}
	return n, nil
}

// numberParser reads a number. Its text ends before the blanks at its end.
type numberParser struct {
	reader
	difference bool // it is one of two numbers
}

func (p *numberParser) number(unit Unit) Number {
	if p.end == 0 {
		p.fail("no-number", 0, len(p.text), "", "a number is missing")
	}
	p.skipSpace()
	start := p.at
	neg := p.sign()
	first := p.at
	x := p.amount()
	n := Number{Unit: unit, Amount: p.text[first:p.at]}
	p.skipSpace()
	p.malformed(start)
	n.HasUnit = p.at < p.end
	if n.HasUnit {
		x, n.Unit = p.units(x, start, unit)
		if n.Unit.Mixed() {
			n.Amount = ""
		}
		if p.difference {
			n.Unit = n.Unit.Difference()
		}
	} else if unit.Mixed() && !x.isZero() {
		p.failPair(start, p.end, unit)
	}
	x.neg = neg
	n.exact = x
	n.SI = n.Unit.siOf(x)
	p.checkRange(n, x, start)
	return n
}

// failPair refuses a number that may count either part of a unit of two parts;
// the number itself ends at end.
func (p *numberParser) failPair(start, end int, unit Unit) {
	pair, typed := unit.d().mixed, strings.TrimSpace(p.text[start:end])
	p.fail("which-unit", start, p.end, fmt.Sprintf("write %s %s or %s %s", typed, pair.small, typed, pair.big),
		"%s could be %s or %s", typed, pair.small, pair.big)
}

func (p *numberParser) checkRange(n Number, x exact, start int) {
	size := math.Abs(n.SI)
	switch {
	case size > hugeSI:
		p.fail("number-range", start, p.end, "", "the number is too large")
	case size < tinySI && !x.isZero() && !n.Unit.Reading():
		p.fail("number-range", start, p.end, "", "the number is too close to 0")
	case n.Unit.Reading() && n.SI < 0:
		p.fail("number-range", start, p.end, "", "%s is below absolute zero", strings.TrimSpace(p.text[start:p.end]))
	}
}

// sign reads + or -, also as typeset text has it.
func (p *numberParser) sign() bool {
	mark, n := utf8.DecodeRuneInString(p.rest())
	minus := mark == '-' || strings.ContainsRune(dashes, mark)
	if minus || mark == '+' {
		p.at += n
		p.skipSpace()
	}
	return minus
}

func (p *numberParser) digits() string {
	start := p.at
	for p.at < p.end && isDigit(rune(p.text[p.at])) {
		p.at++
	}
	return p.text[start:p.at]
}

// slash reads the line of a fraction when a digit follows it.
func (p *numberParser) slash() bool {
	for _, mark := range []string{"/", "⁄"} {
		if after, ok := strings.CutPrefix(p.rest(), mark); ok && startsWithDigit(after) {
			p.at += len(mark)
			return true
		}
	}
	return false
}

func startsWithDigit(text string) bool { return text != "" && isDigit(rune(text[0])) }

// amount reads one number, without a sign or a unit.
func (p *numberParser) amount() exact {
	if x, ok := p.vulgar(); ok {
		return x
	}
	start := p.at
	digits := p.digits()
	p.mistake(start)
	switch {
	case p.decimals(digits != ""):
		return p.decimal(start)
	case digits == "":
		p.notANumber(start)
	case p.slash():
		return p.fraction(start, digits, p.digits())
	}
	w := fromDigits(digits, 0)
	if f := p.fractionPart(start, digits); f.d != 0 {
		return w.plus(f)
	}
	return w
}

// decimals reads what follows the whole part of a decimal: .25, e3, .25e-3.
// A power of ten needs figures before it.
func (p *numberParser) decimals(figures bool) bool {
	start := p.at
	if p.at+1 < p.end && p.text[p.at] == '.' && isDigit(rune(p.text[p.at+1])) {
		p.at++
		p.digits()
		figures = true
	}
	if figures && p.at < p.end && (p.text[p.at] == 'e' || p.text[p.at] == 'E') {
		tail := strings.TrimLeft(p.text[p.at+1:min(p.at+2, p.end)], "+-")
		at := p.at + 2 - len(tail)
		if startsWithDigit(p.text[min(at, p.end):p.end]) {
			p.at = at
			p.digits()
		}
	}
	return p.at > start
}

// decimal converts the text from start up to here.
func (p *numberParser) decimal(start int) exact {
	text := p.text[start:p.at]
	mantissa, exponent := text, 0
	if i := strings.IndexAny(text, "eE"); i >= 0 {
		mantissa = text[:i]
		e, _ := strconv.Atoi(text[i+1:]) // out of range where it has too many figures
		if e > maxExponent || e < -maxExponent {
			p.fail("number-range", start, p.at, "", "the power of ten of %s is out of all range", text)
		}
		exponent = e
	}
	whole, decimals, _ := strings.Cut(mantissa, ".")
	return fromDigits(whole+decimals, exponent-len(decimals))
}

// fromDigits returns digits times ten to the power exp.
func fromDigits(digits string, exp int) exact {
	n, err := strconv.ParseUint(digits, 10, 64)
	if err == nil && exp <= 0 && exp >= -15 {
		return exact{n: n, d: pow10[-exp]}
	}
	if err == nil && exp > 0 && exp <= 15 {
		if tens, ok := mulFits(n, pow10[exp]); ok {
			return whole(tens)
		}
	}
	i, _ := new(big.Int).SetString(digits, 10)
	ten := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(exp, -exp))), nil)
	if exp < 0 {
		return exact{big: new(big.Rat).SetFrac(i, ten)}
	}
	return exact{big: new(big.Rat).SetInt(i.Mul(i, ten))}
}

var pow10 = [...]uint64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

const maxFraction = 15 // digits above or below the line

func (p *numberParser) fraction(start int, above, below string) exact {
	n, _ := strconv.ParseUint(above, 10, 64)
	d, _ := strconv.ParseUint(below, 10, 64)
	switch {
	case len(above) > maxFraction || len(below) > maxFraction:
		p.fail("number-form", start, p.at, "", "the fraction has too many digits")
	case d == 0:
		p.fail("zero-below", start, p.at, "", "%s has 0 below the line", p.text[start:p.at])
	case strings.HasPrefix(p.rest(), "/") && startsWithDigit(p.rest()[1:]):
		p.fail("number-form", start, p.at, "", "a fraction has only one /")
	}
	return exact{n: n, d: d}
}

// fractionPart reads the fraction that follows a whole number, after a dash or
// a space; the zero exact means that there is none.
func (p *numberParser) fractionPart(start int, whole string) exact {
	back := p.at
	if x, ok := p.vulgar(); ok {
		return x
	}
	p.skipSpace()
	spaced := p.at > back
	dash := p.dash()
	spaced = p.at > back+1 || spaced
	if x, ok := p.vulgar(); ok {
		return x
	}
	at := p.at
	above := p.digits()
	if above == "" || !p.slash() {
		if dash {
			p.failDash(start, whole, above)
		}
		p.at = back
		return exact{}
	}
	below := p.digits()
	f := p.fraction(at, above, below)
	if dash && spaced {
		p.fail("number-form", start, p.at, fmt.Sprintf("write %s-%s/%s", whole, above, below),
			"there is a space beside the dash of %s", p.text[start:p.at])
	}
	if f.n >= f.d {
		p.fail("improper-fraction", start, p.at, improper(whole, f), "%s/%s is not less than 1", above, below)
	}
	return f
}

func (p *numberParser) dash() bool {
	if p.at < p.end && p.text[p.at] == '-' {
		p.at++
		p.skipSpace()
		return true
	}
	return false
}

// units reads what follows the first amount: its unit, or "ft 2-1/2 in"; asked is the unit that the number is to be
// counted in.
func (p *numberParser) units(x exact, start int, asked Unit) (exact, Unit) {
	rest := p.rest()
	if startsWithDigit(rest) && (!strings.HasPrefix(rest, "1/") || startsWithDigit(rest[2:])) {
		p.twoNumbers(start)
	}
	if first, _ := utf8.DecodeRuneInString(rest); strings.ContainsRune("'′’", first) {
		p.footMark(start)
	}
	word := len(rest) - len(strings.TrimLeftFunc(rest, unicode.IsLetter))
	if i := slices.IndexFunc(mixedPairs, func(m *mixedPair) bool { return m.big == rest[:word] }); i >= 0 {
		if after := strings.TrimLeftFunc(rest[word:], unicode.IsSpace); p.startsAmount(after) {
			return p.mixed(x, mixedPairs[i], start, word)
		}
	}
	u, err := p.set.Parse(rest)
	if err != nil {
		p.twoQuantities(start)
		p.inSixtieths(start, asked)
		panic(err.(*Error).moved(p.at))
	}
	if u.Mixed() {
		p.failPair(start, p.at, u)
	}
	return x, u
}

// startsAmount reports whether a second amount begins text.
func (p *numberParser) startsAmount(text string) bool {
	r, _ := utf8.DecodeRuneInString(text)
	_, one := vulgar[r]
	return one || startsWithDigit(text) || r == '.' || r == '-' && startsWithDigit(text[1:])
}

// mixed reads the second part of 4 ft 2-1/2 in.
func (p *numberParser) mixed(x exact, pair *mixedPair, start, word int) (exact, Unit) {
	head := strings.TrimSpace(p.text[start:p.at])
	refuse := func(hint, format string, args ...any) {
		p.fail("mixed-number", start, p.end, hint, format, args...)
	}
	p.at += word
	p.skipSpace()
	if strings.HasPrefix(p.rest(), "-") {
		refuse(fmt.Sprintf("write %s %s %s", head, pair.big, p.rest()[1:]), "there is a dash inside %s",
			p.text[start:p.end])
	}
	at := p.at
	y := p.amount()
	second := strings.TrimSpace(p.text[at:p.at])
	whole := fmt.Sprintf("write %s %s %s %s", head, pair.big, second, pair.small)
	p.skipSpace()
	if p.at == p.end {
		refuse(whole, "%s has no unit", second)
	}
	if unit := p.rest(); unit != pair.small {
		if _, err := p.set.Parse(unit); err != nil {
			panic(err.(*Error).moved(p.at))
		}
		refuse(whole, "%s is followed by %s, not by %s", pair.big, pair.small, unit)
	}
	u, _ := p.set.parseMixed(pair.big + " " + pair.small)
	total := x.times(pair.per).plus(y)
	switch {
	case !x.isWhole():
		refuse("write "+Exact(u.siOf(total), u), "the number of %s must be whole when %s follow", pair.big, pair.small)
	case !y.below(pair.per):
		refuse("write "+Exact(u.siOf(total), u), "%s %s is 1 %s or more", second, pair.small, pair.big)
	}
	return total, u
}
