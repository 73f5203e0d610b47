package units

import (
	"cmp"
	"fmt"
	"regexp"
	"strconv"
	"strings"
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

func (s *Set) parse(text string) (u Unit, err *Error) {
	if len(text) > maxUnit {
		return Unit{}, &Error{Code: "too-long", From: 0, To: len(text), Msg: "the unit is too long to be one"}
	}
	if u, ok := s.parseMixed(text); ok {
		return u, nil
	}
	p := &unitParser{reader: reader{set: s, text: text, end: len(text)}}
	if err := try(func() { p.product(1, false) }); err != nil {
		return Unit{}, s.likely(text, err)
	}
	err = try(func() { u = p.unit() })
	return u, err
}

// likely returns what is the matter with a unit in which err was found: a slip of several words or a comma that was
// forgotten says more.
func (s *Set) likely(text string, err *Error) *Error {
	if s.brief {
		return err
	}
	if phrase := phraseSlip(text); phrase != nil {
		return phrase
	}
	if found := stepAfterUnit.FindStringSubmatch(text); found != nil && err.Code == "unit-form" {
		err.From, err.To = len(text)-len(found[2]), len(text)
		err.Hint = "a comma separates the unit from its step: " + found[1] + ", " + found[2]
	}
	return err
}

// stepAfterUnit matches a unit with its step after it, the comma forgotten.
var stepAfterUnit = regexp.MustCompile(`^([^\d,;]*[^\s\d,;])\s+(1/\d+|0?\.\d+)$`)

// parseMixed reads two units side by side that are one: "ft in", "lb oz".
func (s *Set) parseMixed(text string) (Unit, bool) {
	pair := pairOf(strings.Fields(text))
	if pair == nil {
		return Unit{}, false
	}
	small, _ := s.word(pair.small)
	d := *small.d()
	d.text = pair.big + " " + pair.small
	d.mixed = pair
	return Unit{&d}, true
}

type unitParser struct {
	reader
	terms []term
}

func (p *unitParser) peek() (rune, int) { return utf8.DecodeRuneInString(p.rest()) }

// product reads operands up to the end or a closing bracket; sign is that of
// their powers.
func (p *unitParser) product(sign int, inside bool) {
	divided := false
	for first := true; ; first = false {
		p.skipSpace()
		switch ended := p.at == p.end; {
		case !ended && p.text[p.at] != ')':
		case first && inside:
			p.fail("unit-form", p.at, p.at+1, "", "a unit is missing in the brackets")
		case !ended && !inside:
			p.fail("unit-form", p.at, p.at+1, "", "a bracket is closed that was not opened")
		default:
			return
		}
		start := p.at
		op := p.operator()
		if first && op != 0 || op != 0 && p.ended() {
			p.fail("unit-form", start, p.at, "", "a unit is missing beside %s", strings.TrimSpace(p.text[start:p.at]))
		}
		opSign := sign
		switch {
		case op == '/':
			opSign = -sign
			divided = true
		case op != '*' && divided:
			p.ambiguous(start)
		}
		p.operand(opSign)
	}
}

// operator reads *, /, a raised dot or ×; it returns 0 when there is none.
func (p *unitParser) operator() rune {
	r, n := p.peek()
	if !strings.ContainsRune("*/·⋅×", r) {
		return 0
	}
	p.at += n
	p.skipSpace()
	return r
}

func (p *unitParser) ended() bool {
	return p.at == p.end || strings.ContainsRune("*/·⋅×)^", rune(p.text[p.at]))
}

// ambiguous refuses "a/b c", which one reader takes for a/(b c) and another for a c/b.
func (p *unitParser) ambiguous(at int) {
	slash := strings.LastIndexByte(p.text[:at], '/')
	before, below := strings.TrimSpace(p.text[:slash]), strings.TrimSpace(p.text[slash+1:at])
	after := strings.TrimSpace(strings.TrimLeft(p.text[at:], " ·⋅×"))
	hint := "put brackets round what is below the line"
	if !strings.ContainsAny(before+below+after, "()*/") {
		hint = fmt.Sprintf("write %s/(%s %s) if both are below the line", before, below, after)
	}
	p.fail("unit-ambiguous", slash, len(p.text), hint, "what follows the / can be read two ways")
}

// operand reads a bracketed product or a name, with its power.
func (p *unitParser) operand(sign int) {
	start := p.at
	if p.text[p.at] == '(' {
		p.at++
		p.product(sign, true)
		if p.at == p.end {
			p.fail("unit-form", start, start+1, "", "the bracket is not closed")
		}
		p.at++
		return
	}
	word := p.word()
	switch word {
	case "":
		p.notAWord(start)
	case "1":
		return
	case "sq", "cu":
		p.powered(word, start, sign)
		return
	case "us", "imp":
		if second := p.nextWord(); second != "" {
			word += " " + second
		}
	}
	t := p.term(word, start)
	t.exp = p.power(sign)
	p.terms = append(p.terms, t)
}

// powered reads the unit of length after sq or cu.
func (p *unitParser) powered(word string, start, sign int) {
	p.skipSpace()
	at := p.at
	name := p.word()
	if name == "" {
		p.fail("unit-form", start, p.at, "write "+word+" in", "%s needs a unit of length after it", word)
	}
	t := p.term(name, at)
	if t.unit.Dim() != Length {
		p.fail("unit-form", at, p.at, "write "+word+" in", "%s goes with a unit of length, and %s is %s", word,
			name, t.unit.Dim().Describe())
	}
	t.word, t.exp = word, sign*powerOf(word)*parts
	p.terms = append(p.terms, t)
}

func powerOf(word string) int {
	if word == "cu" {
		return 3
	}
	return 2
}

// word reads the name of a unit, or "1".
func (p *unitParser) word() string {
	w := unitWord.FindString(p.rest())
	p.at += len(w)
	return w
}

// unitWord matches 1, a mark or a name: °C, %, oz-in, hp_metric.
var unitWord = regexp.MustCompile(`^(?:1|°\pL(?:[\pL_\p{Nd}]|-\pL)*|[%°º#"'′″’”“£$€¥]|` +
	`[\pL_\p{Nd}](?:[\pL_\p{Nd}]|-\pL)*)`)

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

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

func (p *unitParser) notAWord(at int) {
	r, n := p.peek()
	switch r {
	case '.':
		p.fail("unit-form", 0, len(p.text), "write "+p.withoutStops(), "a unit has no full stop in it")
	case '^':
		p.fail("unit-form", at, at+n, "", "a power needs a unit before it")
	case ',', ';':
		p.fail("unit-form", at, at+n, p.stepHint(at), "one comma separates the unit from its step")
	}
	p.fail("unit-form", at, at+n, "", "%q has no place in a unit", r)
}

// withoutStops returns the text without its full stops: mph for m.p.h., sq in for sq. in.
func (p *unitParser) withoutStops() string {
	joined := strings.TrimSpace(strings.ReplaceAll(p.text, ".", ""))
	if _, err := p.set.Parse(joined); err == nil {
		return joined
	}
	return strings.Join(strings.Fields(strings.ReplaceAll(p.text, ".", " ")), " ")
}

// term looks a name up.
func (p *unitParser) term(name string, start int) term {
	u, ok := p.set.word(spelling(name))
	if !ok {
		panic(p.set.unknown(name, start, p.at))
	}
	return term{name: u.String(), unit: u}
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

// unitPower matches a power: ^2, ^-1, ^(1/2), ² or ⁻¹. The bracket may lack its end.
var unitPower = regexp.MustCompile(`^(?:\^\(([-+]?\d*)(?:/([-+]?\d*))?\)?|\^([-+]?\d*)|([⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+))`)

// power reads a power and gives it in twelfths, with the sign.
func (p *unitParser) power(sign int) int {
	start, found := p.at, unitPower.FindStringSubmatch(p.rest())
	if found == nil {
		return sign * parts
	}
	p.at += len(found[0])
	open := strings.Contains(found[0], "(") != strings.Contains(found[0], ")")
	n, err := strconv.Atoi(found[1] + found[3] + raisedFigures.Replace(found[4]))
	d, _ := strconv.Atoi(cmp.Or(found[2], "1")) // 0 or too great where it cannot be read
	if open || err != nil || n == 0 || d < 1 || d > parts || parts%d != 0 || max(n, -n) > maxExp*d {
		p.fail("unit-form", start, p.at, "write a power such as ^2, ^-1 or ^(1/2)",
			"the power of the unit cannot be read")
	}
	return sign * n * parts / d
}
