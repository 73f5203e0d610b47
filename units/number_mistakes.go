package units

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// improper says how a fraction after a whole number is written that is not less than 1. Where it would be one of a
// ruler with its figures the other way round, only the builder knows which is meant.
func improper(whole string, f exact) string {
	w, err := strconv.ParseUint(whole, 10, 32)
	if err != nil {
		return ""
	}
	k := w + f.n/f.d
	sum := fmt.Sprintf("write %d-%d/%d", k, f.n%f.d, f.d)
	if f.n%f.d == 0 {
		sum = fmt.Sprintf("write %d", k)
	}
	if onRuler(f.n) && f.d%2 == 1 {
		return fmt.Sprintf("%s, or %s-%d/%d if its figures are the wrong way round", sum, whole, f.d, f.n)
	}
	return sum
}

// onRuler reports whether a ruler has marks at one part in n of an inch.
func onRuler(n uint64) bool { return 2 <= n && n <= 64 && n&(n-1) == 0 }

// twoDashes matches a fraction with a dash for its line: 11-29-32.
var twoDashes = regexp.MustCompile(`^([0-9]+)-([0-9]+)-([0-9]+)`)

// failDash refuses a dash after a whole number that no fraction follows: what follows it may be the greater number of a
// range.
func (p *numberParser) failDash(start int, whole, after string) {
	if part := twoDashes.FindStringSubmatch(p.text[start:p.end]); part != nil {
		above, _ := strconv.ParseUint(part[2], 10, 64)
		if below, _ := strconv.ParseUint(part[3], 10, 64); onRuler(below) && above < below {
			p.fail("number-form", start, start+len(part[0]),
				fmt.Sprintf("write %s-%s/%s if that is meant", part[1], part[2], part[3]),
				"a fraction has a slash, not a second dash")
		}
	}
	first, _ := strconv.Atoi(whole)
	if last, _ := strconv.Atoi(after); last > first && onRuler(uint64(last)) && p.at == p.end {
		p.fail("number-form", start, p.at,
			fmt.Sprintf("write %s/%s if a fraction is meant; of a range %s", whole, after, middleOne), oneNum)
	} else if last > first {
		p.failRange(start, p.at)
	}
	p.fail("number-form", start, p.at, fmt.Sprintf("write a fraction such as %s-1/4, or a decimal", whole),
		"no fraction follows the dash of %s", strings.TrimSpace(p.text[start:p.at]))
}

// mistake reports the commas, marks and words that people put in numbers.
func (p *numberParser) mistake(start int) {
	if p.at == p.end {
		return
	}
	run := p.at
	for run < p.end && strings.IndexByte("0123456789.,_", p.text[run]) >= 0 {
		run++
	}
	typed := p.text[start:run]
	p.raisedFraction(start)
	switch c := p.text[p.at]; {
	case c == ',' && run > p.at+1 || c == '.' && strings.Contains(typed, ","):
		p.comma(start, run, typed)
	case strings.Contains(typed, ".."):
		p.failRange(start, run)
	case c == '_':
		p.fail("number-form", start, run, "write "+strings.ReplaceAll(typed, "_", ""),
			"a number has no underscore in it")
	case (c == 'x' || c == 'X') && typed == "0":
		p.fail("number-form", start, p.end, "", "a number is written with the figures 0 to 9")
	case c == '.' && run == p.at+1 && p.at > start:
		p.fail("number-form", start, run, "write "+typed[:len(typed)-1], "no figure follows the point of %s", typed)
	}
}

// failRange reports a lowest and a highest number where there should be one.
func (p *numberParser) failRange(start, end int) {
	p.fail("number-form", start, end, middleOne, oneNum)
}

// raisedFigures are the small figures that a word processor makes of a fraction.
var raisedFigures = strings.NewReplacer(
	"⁰", "0", "¹", "1", "²", "2", "³", "3", "⁴", "4", "⁵", "5", "⁶", "6", "⁷", "7", "⁸", "8", "⁹", "9",
	"₀", "0", "₁", "1", "₂", "2", "₃", "3", "₄", "4", "₅", "5", "₆", "6", "₇", "7", "₈", "8", "₉", "9",
	"⁄", "/", "⁻", "-",
)

// smallFraction matches a fraction in small figures.
var smallFraction = regexp.MustCompile(`^([⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉]+)[/⁄]([⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉]+)`)

// raisedFraction reports a fraction in small figures after a whole number: 11¹⁵⁄₁₆.
func (p *numberParser) raisedFraction(start int) {
	if p.text[p.at] < utf8.RuneSelf {
		return // as nearly always, so the slow search comes last
	}
	if part := smallFraction.FindStringSubmatch(p.rest()); part != nil {
		p.fail("number-form", start, p.at+len(part[0]), fmt.Sprintf("write %s-%s/%s", strings.TrimSpace(p.text[start:p.at]),
			raisedFigures.Replace(part[1]), raisedFigures.Replace(part[2])), "a fraction is written in plain figures")
	}
}

func (p *numberParser) comma(start, run int, typed string) {
	joined := strings.ReplaceAll(typed, ",", "")
	whole, decimals, _ := strings.Cut(typed, ".")
	groups := strings.Split(whole, ",")
	thousands := len(groups[0]) <= 3 && groups[0] != "" && !strings.Contains(decimals, ",") &&
		!slices.ContainsFunc(groups[1:], func(g string) bool { return len(g) != 3 })
	switch {
	case strings.Count(typed, ",") == 1 && strings.Contains(typed, ".") &&
		strings.LastIndex(typed, ".") < strings.Index(typed, ","):
		decimal := strings.Replace(strings.ReplaceAll(typed, ".", ""), ",", ".", 1)
		p.fail("decimal-comma", start, run, "write "+decimal,
			"the decimal mark is a point, and nothing separates thousands")
	case thousands && (len(groups) > 2 || strings.Contains(typed, ".")):
		p.fail("thousands-comma", start, run, "write "+joined, "thousands are not separated by a comma")
	case thousands && groups[0] != "0":
		p.fail("thousands-comma", start, run,
			fmt.Sprintf("write %s, or %s if a decimal is meant", joined, strings.Replace(typed, ",", ".", 1)),
			"a comma has no place in a number")
	case len(groups) == 2 && !strings.Contains(typed, "."):
		p.fail("decimal-comma", start, run, "write "+strings.Replace(typed, ",", ".", 1),
			"the decimal mark is a point")
	}
	p.fail("number-form", start, run, "", "%s cannot be read as a number", typed)
}

// symbols of currencies that people put in front of an amount.
var symbols = map[rune]string{'£': "GBP", '€': "EUR", '$': "USD", '¥': "JPY"}

func (p *numberParser) notANumber(start int) {
	word := p.rest()
	if i := strings.IndexFunc(word, unicode.IsSpace); i > 0 {
		word = word[:i]
	}
	if word == "" {
		p.fail("no-number", 0, p.end, "", "a number is missing after %s", strings.TrimSpace(p.text[:p.end]))
	}
	hint := ""
	if symbol, n := utf8.DecodeRuneInString(word); symbols[symbol] != "" && startsWithDigit(word[n:]) {
		p.fail("number-form", start, start+len(word), "write "+word[n:]+" "+symbols[symbol],
			"money is written with its ISO 4217 code, after the number")
	}
	if _, ok := p.set.word(word); ok {
		p.fail("number-form", start, start+len(word), "", "the unit %s has no number before it", word)
	}
	if word == "." && start > 0 && unicode.IsLetter(rune(p.text[start-1])) {
		p.fail("unit-form", 0, p.end, "write "+unitStop.ReplaceAllString(p.text, "$1"),
			"a unit has no full stop in it")
	}
	if strings.EqualFold(word, "inf") || strings.EqualFold(word, "infinity") || strings.EqualFold(word, "nan") {
		hint = "leave the value blank if it is not known yet"
	}
	p.fail("number-form", start, start+len(word), hint, "%s is not a number", word)
}

// aPoint and aFraction are the two parts of 8.1/2, which may be read as 8-1/2 or as half of 8.1.
var (
	aPoint    = regexp.MustCompile(`^([0-9]+)\.([0-9]+)$`)
	aFraction = regexp.MustCompile(`^[0-9]+`)
)

// halfPoint says how to write either of what 8.1/2 may mean.
func halfPoint(read, tail string) string {
	parts, below := aPoint.FindStringSubmatch(read), aFraction.FindString(tail)
	if parts == nil {
		return ""
	}
	above, err := strconv.Atoi(parts[2])
	if under, err2 := strconv.Atoi(below); err != nil || err2 != nil || above >= under {
		return fmt.Sprintf("a division is worked out: = %s/%s", read, below)
	}
	return fmt.Sprintf("write %s-%s/%s, or, where %s is to be divided, = %s/%s", parts[1], parts[2], below,
		read, read, below)
}

// dashes are those that are in typeset text where a hyphen is meant.
const dashes = "–—−‒‐‑"

// malformed reports what goes wrong between a number and its unit: a second
// point, a fraction with spaces or decimals in it, a long dash.
func (p *numberParser) malformed(start int) {
	rest := p.rest()
	first, width := utf8.DecodeRuneInString(rest)
	tail := strings.TrimSpace(rest[width:])
	read := strings.TrimSpace(p.text[start:p.at])
	switch {
	case first == '.' && startsWithDigit(tail):
		p.fail("number-form", start, p.end, "", "%s has a point too many", p.text[start:p.end])
	case strings.ContainsRune(dashes, first) && startsWithDigit(tail):
		p.fail("number-form", start, p.end, "write "+read+"-"+tail, "the dash of a fraction is a hyphen")
	case (first == '/' || first == '⁄') && startsWithDigit(tail):
		if !onlyDigits(read) {
			p.fail("number-form", start, p.end, halfPoint(read, tail),
				"a fraction has whole numbers above and below the line")
		}
		p.fail("number-form", start, p.end, "write "+read+"/"+tail, "there is a space in the fraction %s",
			p.text[start:p.end])
	}
}

// thousandsMarked matches 12'345, as some write thousands.
var thousandsMarked = regexp.MustCompile(`^[0-9]{1,3}(['’][0-9]{3})+(\D|$)`)

// footMark reports 4' 2-1/2".
func (p *numberParser) footMark(start int) {
	if typed := p.text[start:p.end]; thousandsMarked.MatchString(typed) {
		p.fail("number-form", start, p.end, "write "+strings.NewReplacer("'", "", "’", "").Replace(typed),
			"nothing parts thousands")
	}
	marks := strings.NewReplacer("'", " ft ", "′", " ft ", "’", " ft ", `"`, " in ", "″", " in ", "”", " in ")
	write := strings.Join(strings.Fields(marks.Replace(p.text[start:p.end])), " ")
	if unicode.IsDigit(rune(write[len(write)-1])) {
		write += " in"
	}
	p.fail("unknown-unit", start, p.end, "write "+write, "feet and inches are written ft and in")
}

func (p *numberParser) twoNumbers(start int) {
	first := strings.TrimSpace(p.text[start:p.at])
	second := p.digits()
	to, joined := p.at, first+second
	for p.skipSpace(); startsWithDigit(p.rest()); p.skipSpace() {
		group := p.digits()
		to, joined = p.at, joined+group
	}
	hint := ""
	if len(second) == 3 && onlyDigits(first) {
		hint = "write " + joined
	}
	p.fail("two-numbers", start, to, hint, "%s and %s are two numbers", first, second)
}

// secondQuantity matches a unit and, after it, what looks like another number with its unit: cm 3 mm.
var secondQuantity = regexp.MustCompile(`^([^\d.,]*[^\d.,\s]) +(\d.*)$`)

// twoQuantities reports two numbers of one kind, each with its unit: 5 cm 3 mm. The hint is their sum, in the second.
func (p *numberParser) twoQuantities(start int) {
	parts := secondQuantity.FindStringSubmatch(p.rest())
	if parts == nil {
		return
	}
	head := strings.TrimSpace(p.text[start:p.at])
	a, errA := p.set.ParseNumber(head+" "+parts[1], Unit{})
	b, errB := p.set.ParseNumber(parts[2], Unit{})
	if errA != nil || errB != nil || !b.HasUnit || a.Unit.Dim() != b.Unit.Dim() || a.Unit.Reading() || b.Unit.Reading() {
		return
	}
	sum := a.SI + b.SI
	if a.exact.neg {
		sum = a.SI - b.SI // the minus covers the whole, as it does in 4 ft 2 in
	}
	hint, written := "", strconv.FormatFloat(b.Unit.FromSI(sum), 'g', 12, 64)
	if !b.Unit.Mixed() && !strings.Contains(written, "e") {
		hint = fmt.Sprintf("write %s %s", written, b.Unit)
	}
	p.fail("two-numbers", start, p.end, hint,
		"%s %s and %s are two numbers with a unit each", head, parts[1], parts[2])
}

// sixties matches a number of degrees, hours or minutes with the sixtieths after it: 5° 30', 2h 15m, 1:30.
var sixties = regexp.MustCompile(`^([0-9]+)\s*(°|º|deg|:|h|hrs?|m|min)\s*([0-9]+)\s*(?:m|mins?|'|′|’|s|secs?)?$`)

// inSixtieths reports such a number; unit is what it is to be counted in.
func (p *numberParser) inSixtieths(start int, unit Unit) {
	part := sixties.FindStringSubmatch(p.text[start:p.end])
	if part == nil {
		return
	}
	whole, _ := strconv.Atoi(part[1])
	sixtieths, _ := strconv.Atoi(part[3])
	hint := fmt.Sprintf("write %d min %d s", whole, sixtieths)
	switch mark := part[2]; {
	case strings.ContainsAny(mark, "°ºd"):
		hint = "write " + strconv.FormatFloat(float64(whole)+float64(sixtieths)/60, 'g', 6, 64) + " deg"
	case mark[0] == 'h' || mark == ":" && unit.String() == "h":
		hint = fmt.Sprintf("write %d min", 60*whole+sixtieths)
	case mark == ":" && unit.Dim() != Time:
		hint = fmt.Sprintf("a ratio is worked out: = %d/%d", whole, sixtieths)
	}
	p.fail("two-numbers", start, p.end, hint, oneNum)
}

// unitStop matches a unit with the full stop of an abbreviation: ft. in.
var unitStop = regexp.MustCompile(`(\pL)\.`)
