package text

import (
	"slices"
	"strings"

	"gusset/units/nearest"
)

// number reads w as a number with, it may be, a give or take.
func (r *values) number(w Word) Value {
	at, n := plusMinus(w.Text)
	if at < 0 {
		return Value{Kind: NumberValue, Word: w}
	}
	from, to := int(w.Span.Start), int(w.Span.End)
	v := Value{Kind: NumberValue, Word: r.word(from, from+at), Doubt: &Doubt{GiveOrTake: r.word(from+at+n, to)}}
	again, m := plusMinus(v.GiveOrTake().Text)
	switch {
	case !v.Word.Given():
		r.fail("no-value", from, from+n, "there is no value before the give or take", "7 ± 1.5")
	case !v.GiveOrTake().Given():
		r.fail("tolerance-missing", from+at, from+at+n, "the give or take is missing", missingTolerance(v.Word.Text, ""))
	case again >= 0:
		again += int(v.GiveOrTake().Span.Start)
		r.fail("stray-words", again, again+m, "one give or take is enough", "")
	}
	r.takeSpread(v.Doubt)
	return v
}

// takeSpread splits what follows a ± into how far off the value may be and the word after it.
func (r *values) takeSpread(d *Doubt) {
	from, to := int(d.GiveOrTake.Span.Start), int(d.GiveOrTake.Span.End)
	at := strings.LastIndexAny(d.GiveOrTake.Text, " \t") + 1
	word := d.GiveOrTake.Text[at:]
	switch {
	case word != "normal" && word != "sd":
		return
	case at == 0:
		r.fail("tolerance-missing", from, to, "how far off it may be is missing before "+word,
			missingTolerance("", " "+word))
	}
	d.GiveOrTake, d.Spread = r.word(from, from+at), r.word(from+at, to)
	if before := strings.Fields(d.GiveOrTake.Text); slices.Contains([]string{"normal", "sd"}, before[len(before)-1]) {
		r.fail("stray-words", from+at, to, "one word says how the values are spread", "leave the "+word+" out")
	}
}

// missingTolerance returns what to do about a ± after which nothing says how far off a value may be. The number in it
// is an example, since only the builder can know.
func missingTolerance(value, word string) string {
	hint := "write how far off it may be after the ±, such as 46 ± 1/16" + word
	if value != "" {
		hint += ", or leave the ± out: " + value
	}
	return hint
}

// brokenPlusMinus matches a ± that was typed in another way than a sheet has it: 7 + - 1, 7 -+ 1, 7 + / - 1, 7 +/ 1.
var brokenPlusMinus = lazily(
	`^([0-9][^+]*?)\s*(?:\+\s*[-−–]|[-−–]\s*/?\s*\+|\+\s*/\s*[-−–]?)\s*([0-9.].*)$`)

// MeantTolerance returns a given value with the ± that was meant in it, if it was typed as something like + - instead;
// ok is false where that is not so.
func MeantTolerance(s string) (meant string, ok bool) {
	part := brokenPlusMinus().FindStringSubmatch(strings.TrimSpace(s))
	if part == nil {
		return "", false
	}
	return part[1] + " ± " + part[2], true
}

// plusMinus returns the place and the length of the first ±, +- or +/- in s, or -1.
func plusMinus(s string) (at, n int) {
	at = -1
	for _, typed := range []string{"±", "+-", "+/-"} {
		if i := strings.Index(s, typed); i >= 0 && (at < 0 || i < at) {
			at, n = i, len(typed)
		}
	}
	return at, n
}

// inWords matches a give or take in words: 46 plus or minus 1/16.
var inWords = lazily(
	`(?i)^(.*[^\s,])[,\s]+(?:plus(?: or |/|-|\s)minus|give or take|to within|within)\s+([0-9.].*)$`)

// twoLimits matches limits of a drawing that are not the same either way: 46 +1/16 -1/8.
var twoLimits = lazily(`^\S.*\s\+\s?[0-9.][0-9./]*\s*,?\s*[-−–]\s?[0-9.][0-9./]*$`)

// glued matches the word for how values are spread right after the number before it.
var glued = lazily(`^(.*[0-9%])(sd|normal)$`)

// spreadMeant holds words for how values are spread, in small letters, that sheets have others for; an empty one for
// what is meant where there is none.
var spreadMeant = map[string]string{
	"s.d.": "sd", "sigma": "sd", "σ": "sd", "std": "sd", "stdev": "sd", "stddev": "sd", "sd": "sd", "sd.": "sd",
	"deviation": "sd", "normal": "normal", "gauss": "normal", "gaussian": "normal",
	"rectangular": "", "uniform": "", "flat": "", "limits": "", "max": "", "max.": "", "maximum": "",
}

// sigmas matches a number of standard deviations: 1.5 2 sigma, 3σ.
var sigmas = lazily(`[0-9]\s*\S*\s+[0-9]+\s*\S+$`)

// bareTolerance returns a value with a give or take without the brackets around either; empty where there are none.
func bareTolerance(s string) string {
	at, n := plusMinus(s)
	if at < 0 || !strings.ContainsAny(s, "()[]") {
		return ""
	}
	bare := func(s string) string {
		s = strings.TrimSpace(s)
		if len(s) > 2 && (s[0] == '(' && s[len(s)-1] == ')' || s[0] == '[' && s[len(s)-1] == ']') {
			return strings.TrimSpace(s[1 : len(s)-1])
		}
		return s
	}
	value, off := s[:at], s[at+n:]
	switch inner := bare(s); {
	case inner != strings.TrimSpace(s): // (46 ± 1/16)
		at, n := plusMinus(inner)
		value, off = inner[:at], inner[at+n:]
	case strings.HasSuffix(value, "(") && strings.HasSuffix(off, ")"): // 46 (± 1/16)
		value, off = strings.TrimSuffix(value, "("), strings.TrimSuffix(off, ")")
	case bare(value) == strings.TrimSpace(value) && bare(off) == strings.TrimSpace(off):
		return ""
	}
	return bare(value) + " ± " + bare(off)
}

// failTolerance reports a give or take that is written in another way.
func (r *values) failTolerance(w Word) {
	from, to := int(w.Span.Start), int(w.Span.End)
	if bare := bareTolerance(w.Text); bare != "" {
		r.fail("tolerance-words", from, to, "a value and how far off it may be have no brackets", bare)
	}
	if !startsNumber(w.Text) && !strings.HasPrefix(w.Text, "yes") && !strings.HasPrefix(w.Text, "no") {
		return
	}
	if part := inWords().FindStringSubmatch(w.Text); part != nil {
		r.fail("tolerance-words", from, to, "how far off it may be follows ±", part[1]+" ± "+part[2])
	}
	if twoLimits().MatchString(w.Text) {
		r.fail("tolerance-words", from, to, "a value may be as far off one way as the other",
			"give the middle of the two limits, ± half of what is between them")
	}
	at, n := plusMinus(w.Text)
	if at < 0 {
		if meant, ok := MeantTolerance(w.Text); ok {
			r.fail("tolerance-words", from, to, "a give or take is written ±, +- or +/-", meant)
		}
		return
	}
	value, off := strings.TrimSpace(w.Text[:at]), strings.TrimSpace(w.Text[at+n:])
	if value == "yes" || value == "no" {
		r.fail("tolerance-kind", from+at, to, value+" cannot be off by some amount", value)
	}
	if before, guess := strings.CutSuffix(value, "?"); guess {
		r.fail("guess-first", from, to, "the ? of a guess comes after the value and its ±",
			strings.TrimSpace(before)+" ± "+off+" ?")
	}
	words := strings.Fields(off)
	if len(words) == 0 {
		return
	}
	last := words[len(words)-1]
	meant, known := spreadMeant[strings.ToLower(last)]
	if near, ok := nearest.Word(last, []string{"normal"}); ok && !known {
		meant, known = near, true
	}
	switch number := strings.Join(words[:len(words)-1], " "); {
	case known && meant == "sd" && sigmas().MatchString(off):
		r.fail("tolerance-words", from+at, to, "a give or take is one standard deviation, or limits",
			"write one standard deviation, such as 7 ± 1.5 sd")
	case known && meant != last && number != "":
		r.fail("tolerance-words", to-len(last), to, "the word after a give or take is normal or sd, or there is none",
			strings.TrimSpace(value+" ± "+number+" "+meant))
	case glued().MatchString(last):
		r.fail("tolerance-words", to-len(last), to, "a blank is missing before the word",
			value+" ± "+glued().ReplaceAllString(off, "$1 $2"))
	case startsWithLetter(off) && len(words) == 2 && startsNumber(last):
		r.fail("tolerance-words", from+at, to, "how far off it may be is a number", value+" ± "+last)
	}
}
