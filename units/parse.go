package units

import (
	"fmt"
	"math"
	"math/big"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

const (
	maxUnit = 120 // bytes in the text of a unit
	maxWord = 40  // bytes in the name of a unit
)

// Parse reads a unit, such as "sq in", "oz/sq ft", "kg/(m s)" or "ft in"; the
// package comment gives the rules. A blank text and "1" are the plain number.
// It fails with an *Error.
func (s *Set) Parse(text string) (Unit, error) {
	if u, ok := s.cached(text); ok {
		return u, nil
	}
	u, err := s.parse(text)
	if err != nil {
		return Unit{}, err
	}
	s.remember(text, u)
	return u, nil
}

func (s *Set) parse(text string) (Unit, *Error) {
	if len(text) > maxUnit {
		return Unit{}, &Error{Code: "too-long", From: 0, To: len(text), Msg: "the unit is too long to be one"}
	}
	if u, ok := s.parseMixed(text); ok {
		return u, nil
	}
	p := &unitParser{set: s, text: text}
	if err := p.product(1, false); err != nil {
		if s.brief {
			return Unit{}, err
		}
		if phrase := phraseSlip(text); phrase != nil {
			return Unit{}, phrase
		}
		if found := stepBehindUnit.FindStringSubmatch(text); found != nil && err.Code == "unit-form" {
			err.From, err.To = len(text)-len(found[2]), len(text)
			err.Hint = "a comma parts the unit from its step: " + found[1] + ", " + found[2]
		}
		return Unit{}, err
	}
	if p.at < len(text) {
		return Unit{}, p.errorf(p.at, p.at+1, "unit-form", "", "a bracket is closed that was not opened")
	}
	return p.unit()
}

// stepBehindUnit matches a unit with its step behind it, the comma forgotten.
var stepBehindUnit = regexp.MustCompile(`^([^\d,;]*[^\s\d,;])\s+(1/\d+|0?\.\d+)$`)

// parseMixed reads two units side by side that are one: "ft in", "lb oz".
func (s *Set) parseMixed(text string) (Unit, bool) {
	fields := strings.Fields(text)
	if len(fields) != 2 {
		return Unit{}, false
	}
	i := slices.IndexFunc(mixedPairs, func(p *mixedPair) bool { return p.big == fields[0] && p.small == fields[1] })
	if i < 0 {
		return Unit{}, false
	}
	small, ok := s.word(fields[1])
	if !ok {
		return Unit{}, false
	}
	d := *small.d()
	d.text = fields[0] + " " + fields[1]
	d.mixed = mixedPairs[i]
	return Unit{&d}, true
}

// term is one name in a compound unit, with its power in twelfths.
type term struct {
	name string
	unit Unit
	exp  int
	word string // "sq" or "cu" when it was written so
}

type unitParser struct {
	set   *Set
	text  string
	at    int
	terms []term
}

func (p *unitParser) errorf(from, to int, code, hint, format string, args ...any) *Error {
	return &Error{Code: code, From: from, To: min(to, len(p.text)), Msg: fmt.Sprintf(format, args...), Hint: hint}
}

func (p *unitParser) peek() (rune, int) { return utf8.DecodeRuneInString(p.text[p.at:]) }

func (p *unitParser) skipSpace() {
	for p.at < len(p.text) {
		r, n := p.peek()
		if !unicode.IsSpace(r) {
			return
		}
		p.at += n
	}
}

// product reads operands up to the end or a closing bracket; sign is that of
// their powers.
func (p *unitParser) product(sign int, inside bool) *Error {
	divided := false
	for first := true; ; first = false {
		p.skipSpace()
		if p.at == len(p.text) || p.text[p.at] == ')' {
			if first && inside {
				return p.errorf(p.at, p.at+1, "unit-form", "", "a unit is missing in the brackets")
			}
			return nil
		}
		start := p.at
		op := p.operator()
		if first && op != 0 || op != 0 && p.ended() {
			return p.errorf(start, p.at, "unit-form", "", "a unit is missing beside %s", strings.TrimSpace(p.text[start:p.at]))
		}
		opSign := sign
		switch {
		case op == '/':
			opSign = -sign
			divided = true
		case op != '*' && divided:
			return p.ambiguous(start)
		}
		if err := p.operand(opSign); err != nil {
			return err
		}
	}
}

// operator reads *, / or the raised dot; it gives 0 when there is none.
func (p *unitParser) operator() rune {
	r, n := p.peek()
	if !strings.ContainsRune("*/·⋅×", r) {
		return 0
	}
	p.at += n
	p.skipSpace()
	if r == '⋅' || r == '×' {
		return '·'
	}
	return r
}

func (p *unitParser) ended() bool {
	return p.at == len(p.text) || strings.ContainsRune("*/·⋅×)^", rune(p.text[p.at]))
}

// ambiguous refuses "a/b c", which one reader takes for a/(b c) and another for a c/b.
func (p *unitParser) ambiguous(at int) *Error {
	slash := strings.LastIndexByte(p.text[:at], '/')
	before, below := strings.TrimSpace(p.text[:slash]), strings.TrimSpace(p.text[slash+1:at])
	after := strings.TrimSpace(strings.TrimLeft(p.text[at:], " ·⋅×"))
	hint := "put brackets round what is below the line"
	if !strings.ContainsAny(before+below+after, "()*/") {
		hint = fmt.Sprintf("write %s/(%s %s) if both are below the line", before, below, after)
	}
	return p.errorf(slash, len(p.text), "unit-ambiguous", hint, "what follows the / can be read two ways")
}

// operand reads a bracketed product or a name, with its power.
func (p *unitParser) operand(sign int) *Error {
	if p.text[p.at] == '(' {
		open := p.at
		p.at++
		if err := p.product(sign, true); err != nil {
			return err
		}
		if p.at == len(p.text) {
			return p.errorf(open, open+1, "unit-form", "", "the bracket is not closed")
		}
		p.at++
		return nil
	}
	start := p.at
	word := p.word()
	switch word {
	case "":
		return p.notAWord(start)
	case "1":
		return nil
	case "sq", "cu":
		return p.powered(word, start, sign)
	case "us", "imp":
		if second := p.nextWord(); second != "" {
			word += " " + second
		}
	}
	t, err := p.term(word, start)
	if err != nil {
		return err
	}
	if t.exp, err = p.power(sign); err != nil {
		return err
	}
	p.terms = append(p.terms, t)
	return nil
}

// powered reads the unit of length after sq or cu.
func (p *unitParser) powered(word string, start, sign int) *Error {
	p.skipSpace()
	at := p.at
	name := p.word()
	if name == "" {
		return p.errorf(start, p.at, "unit-form", "write "+word+" in", "%s needs a unit of length after it", word)
	}
	t, err := p.term(name, at)
	if err != nil {
		return err
	}
	if t.unit.Dim() != Length {
		return p.errorf(at, p.at, "unit-form", "write "+word+" in", "%s goes with a unit of length, and %s is %s", word, name, t.unit.Dim().Describe())
	}
	t.word, t.exp = word, sign*powerOf(word)*parts
	p.terms = append(p.terms, t)
	return nil
}

func powerOf(word string) int {
	if word == "cu" {
		return 3
	}
	return 2
}

// word reads the name of a unit, or "1".
func (p *unitParser) word() string {
	start := p.at
	for p.at < len(p.text) {
		r, n := p.peek()
		switch {
		case p.at == start && strings.ContainsRune("%°º#\"'′″’”“£$€¥", r):
			p.at += n
			if r == '°' && p.at < len(p.text) && unicode.IsLetter(rune(p.text[p.at])) {
				continue
			}
			return p.text[start:p.at]
		case unicode.IsLetter(r), r == '_', unicode.IsDigit(r):
		case r == '-' && p.at > start && p.letterAt(p.at+1):
		default:
			return p.text[start:p.at]
		}
		p.at += n
		if p.text[start:p.at] == "1" {
			return "1"
		}
	}
	return p.text[start:p.at]
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

func (p *unitParser) letterAt(i int) bool {
	r, _ := utf8.DecodeRuneInString(p.text[i:])
	return unicode.IsLetter(r)
}

// nextWord reads a second word after a space, when there is one.
func (p *unitParser) nextWord() string {
	back := p.at
	p.skipSpace()
	if w := p.word(); w != "" && w != "1" {
		return w
	}
	p.at = back
	return ""
}

func (p *unitParser) notAWord(at int) *Error {
	r, n := p.peek()
	switch {
	case r == '.':
		return p.errorf(0, len(p.text), "unit-form", "write "+p.withoutStops(), "a unit has no full stop in it")
	case r == '^':
		return p.errorf(at, at+n, "unit-form", "", "a power needs a unit before it")
	case r == ',' || r == ';':
		return p.errorf(at, at+n, "unit-form", "write it as in [in, 1/16] or [in, 0.1]", "one comma parts the unit from its step")
	}
	return p.errorf(at, at+n, "unit-form", "", "%q has no place in a unit", r)
}

// withoutStops returns the text without its full stops: mph for m.p.h., sq in for sq. in.
func (p *unitParser) withoutStops() string {
	joined := strings.ReplaceAll(p.text, ".", "")
	if _, err := p.set.Parse(joined); err == nil {
		return joined
	}
	return strings.Join(strings.Fields(strings.ReplaceAll(p.text, ".", " ")), " ")
}

// term looks a name up.
func (p *unitParser) term(name string, start int) (term, *Error) {
	u, ok := p.set.word(spelling(name))
	if !ok {
		return term{}, p.set.unknown(name, start, p.at)
	}
	return term{name: u.String(), unit: u}, nil
}

// spelling puts letters that look alike into the one form of the table: both
// forms of micro, and both of ohm.
func spelling(name string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case 'μ':
			return 'µ'
		case '\u2126':
			return 'Ω'
		}
		return r
	}, name)
}

const superscripts = "⁰¹²³⁴⁵⁶⁷⁸⁹"

// power reads ^2, ^-1, ^(1/2), ² or ⁻¹ and gives it in twelfths, with the sign.
func (p *unitParser) power(sign int) (int, *Error) {
	if p.at == len(p.text) {
		return sign * parts, nil
	}
	r, n := p.peek()
	switch {
	case r == '^':
		p.at += n
		return p.caret(sign, p.at-n)
	case r == '⁻' || strings.ContainsRune(superscripts, r):
		return p.raised(sign)
	}
	return sign * parts, nil
}

// raised reads a power in small raised figures.
func (p *unitParser) raised(sign int) (int, *Error) {
	start := p.at
	digits := ""
	for p.at < len(p.text) {
		r, n := p.peek()
		i := strings.IndexRune(superscripts, r)
		switch {
		case r == '⁻' && digits == "":
			digits = "-"
		case i >= 0:
			digits += strconv.Itoa(utf8.RuneCountInString(superscripts[:i]))
		default:
			return p.twelfths(digits, "1", sign, start)
		}
		p.at += n
	}
	return p.twelfths(digits, "1", sign, start)
}

// caret reads what follows a ^.
func (p *unitParser) caret(sign, start int) (int, *Error) {
	if p.at < len(p.text) && p.text[p.at] == '(' {
		p.at++
		num := p.integer()
		den := "1"
		if p.at < len(p.text) && p.text[p.at] == '/' {
			p.at++
			den = p.integer()
		}
		if p.at == len(p.text) || p.text[p.at] != ')' {
			return 0, p.badPower(start)
		}
		p.at++
		return p.twelfths(num, den, sign, start)
	}
	return p.twelfths(p.integer(), "1", sign, start)
}

func (p *unitParser) integer() string {
	start := p.at
	for p.at < len(p.text) && (isDigit(rune(p.text[p.at])) || p.at == start && strings.IndexByte("-+", p.text[p.at]) >= 0) {
		p.at++
	}
	return p.text[start:p.at]
}

func (p *unitParser) twelfths(num, den string, sign, start int) (int, *Error) {
	n, err1 := strconv.Atoi(num)
	d, err2 := strconv.Atoi(den)
	if err1 != nil || err2 != nil || n == 0 || d < 1 || d > parts || parts%d != 0 || max(n, -n) > maxExp*d {
		return 0, p.badPower(start)
	}
	return sign * n * parts / d, nil
}

func (p *unitParser) badPower(start int) *Error {
	return p.errorf(start, p.at, "unit-form", "write a power such as ^2, ^-1 or ^(1/2)", "the power of the unit cannot be read")
}

// unit multiplies the terms.
func (p *unitParser) unit() (Unit, *Error) {
	terms := merge(p.terms)
	if len(terms) == 0 {
		return Unit{}, nil
	}
	if len(terms) == 1 && terms[0].exp == parts {
		return terms[0].unit, nil
	}
	text := prettyTerms(terms)
	if len(text) > maxUnit {
		return Unit{}, p.errorf(0, len(p.text), "too-long", "", "the unit is too long to be one")
	}
	d := &unitDef{ratio: new(big.Rat).Set(one)}
	for _, t := range terms {
		if max(t.exp, -t.exp) > maxExp*parts {
			return Unit{}, p.errorf(0, len(p.text), "power", "", "the power of %s is too high", t.name)
		}
		if t.unit.Reading() {
			return Unit{}, p.errorf(0, len(p.text), "reading-in-compound", "use K for differences of temperature",
				"%s is a reading of temperature and cannot be part of another unit", t.unit)
		}
		if err := d.multiply(t); err != nil {
			return Unit{}, err.(*Error).over(p.text)
		}
	}
	if f := timesPi(d.ratio, d.pi); !factorInRange(f) {
		return Unit{}, p.errorf(0, len(p.text), "unit-form", "", "the unit is out of all range")
	}
	whole := newDef(text, d.dim, d.ratio, d.pi)
	whole.approx = d.approx
	return Unit{whole}, nil
}

// factorInRange keeps factors to where float64 has room to spare.
func factorInRange(f float64) bool { return f > 1e-120 && f < 1e120 }

func (e *Error) over(text string) *Error {
	m := *e
	m.From, m.To = 0, len(text)
	return &m
}

// multiply multiplies d by a term.
func (d *unitDef) multiply(t term) error {
	td := t.unit.d()
	dim, err := td.dim.Pow(t.exp, parts)
	if err != nil {
		return err
	}
	if d.dim, err = d.dim.Mul(dim); err != nil {
		return err
	}
	d.approx = d.approx || td.approx
	if t.exp%parts == 0 {
		d.ratio.Mul(d.ratio, ratPower(td.ratio, t.exp/parts))
		d.pi += td.pi * (t.exp / parts)
		return nil
	}
	if td.ratio.Cmp(one) == 0 && td.pi == 0 {
		return nil
	}
	root := new(big.Rat).SetFloat64(math.Pow(td.factor, float64(t.exp)/parts))
	if root == nil || root.Sign() == 0 {
		return &Error{Code: "unit-form", Msg: "the unit is out of all range"}
	}
	d.ratio.Mul(d.ratio, root)
	d.approx = true
	return nil
}

func ratPower(r *big.Rat, n int) *big.Rat {
	p := new(big.Rat).Set(one)
	for range max(n, -n) {
		p.Mul(p, r)
	}
	if n < 0 {
		p.Inv(p)
	}
	return p
}

// merge joins terms of one name, and drops those that cancel.
func merge(terms []term) []term {
	var merged []term
	for _, t := range terms {
		i := slices.IndexFunc(merged, func(m term) bool { return m.name == t.name })
		if i < 0 {
			merged = append(merged, t)
			continue
		}
		merged[i].exp += t.exp
		if merged[i].word != t.word {
			merged[i].word = ""
		}
	}
	return slices.DeleteFunc(merged, func(t term) bool { return t.exp == 0 })
}

// prettyTerms writes a compound unit: what is above the line, then what is below.
func prettyTerms(terms []term) string {
	var above, below []string
	for _, t := range terms {
		if t.exp > 0 {
			above = append(above, t.pretty())
		} else {
			t.exp = -t.exp
			below = append(below, t.pretty())
		}
	}
	if len(below) == 0 && len(above) == 2 && isMixedText(above) {
		above[0], above[1] = above[1], above[0]
	}
	top := strings.Join(above, " ")
	if top == "" {
		top = "1"
	}
	switch len(below) {
	case 0:
		return top
	case 1:
		return top + "/" + below[0]
	}
	return top + "/(" + strings.Join(below, " ") + ")"
}

// isMixedText reports whether two names side by side would read as feet and
// inches and the like, where their product is meant.
func isMixedText(names []string) bool {
	return slices.ContainsFunc(mixedPairs, func(p *mixedPair) bool { return p.big == names[0] && p.small == names[1] })
}

func (t term) pretty() string {
	switch {
	case t.exp == parts:
		return t.name
	case t.word != "" && t.exp == powerOf(t.word)*parts:
		return t.word + " " + t.name
	case t.exp%parts == 0:
		return t.name + "^" + strconv.Itoa(t.exp/parts)
	}
	r := big.NewRat(int64(t.exp), parts)
	return t.name + "^(" + r.RatString() + ")"
}
