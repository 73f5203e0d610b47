package text

import (
	"slices"
	"strconv"
	"strings"
)

// What to write instead, made of the builder's own line.

// lineFrom returns the code of the line from its start up to to.
func (r *scanner) lineFrom(to int) string {
	return r.text[r.p.lines[r.line].from:to]
}

// failColon reports that there is a : where an = belongs.
func (r *slips) failColon(hint string) {
	at := r.pos
	if end := r.codeEnd(); r.word(at+1, end).Given() {
		hint = r.lineFrom(at) + "= " + strings.TrimLeft(r.text[at+1:end], "= \t")
	}
	r.fail("wrong-mark", at, at+1, "an = belongs here", strings.TrimSpace(hint))
}

// failWords reports a name of several words in front of an =, in a statement that begins with a word and a name.
func (r *slips) failWords() {
	end := r.codeEnd()
	mark := r.findEquals(r.pos, end)
	if mark < 0 || strings.ContainsAny(r.text[r.pos:mark], "[]()<>+*/\"") {
		return
	}
	from := int(r.p.lines[r.line].from)
	keyword := nameAt(r.text[from:])
	name := r.word(from+keyword, mark)
	r.failAt(name, "name-space", "a name is one word",
		r.lineFrom(from+keyword)+" "+nameHint(name.Text)+" "+strings.TrimSpace(r.text[mark:end]))
}

// failMoreWords reports an error when words go on after a statement's name, up to a unit or to end.
func (r *slips) failMoreWords(name Word, keyword string, end int) {
	if nameAt(r.text[r.pos:end]) == 0 {
		return
	}
	if n := strings.IndexByte(r.text[r.pos:end], '['); n >= 0 {
		end = r.pos + n
	}
	w := r.word(int(name.Span.Start), end)
	r.failAt(w, "name-space", "a name is one word", keyword+" "+nameHint(w.Text))
}

// feetInches matches what may be in front of the mark of inches: 50, 4' 2, 8-1/4, 8 ¼.
var feetInches = lazily(`[\pN][\pN./⁄'’′ -]*$`)

// feetMarks are what people type for ft.
var feetMarks = strings.NewReplacer("'", " ft ", "’", " ft ", "′", " ft ")

// failInches reports that inches are not written with a quote, which is in [i, to) after a digit.
func (r *scanner) failInches(i, to int) {
	number := feetInches().FindString(r.lineFrom(i))
	from := i - len(number)
	lineStart := int(r.p.lines[r.line].from)
	value := strings.Join(strings.Fields(feetMarks.Replace(number)+" in"), " ")
	if mark := r.firstMark(lineStart, from); mark >= 0 && r.text[mark] == '=' {
		value = number + " [in]"
		if strings.ContainsAny(number, "'’′") {
			value = "4 [ft] + 2 [in]"
		}
	}
	r.fail("inch-mark", from, to, "feet and inches are written ft and in", "write "+value)
}

// twoSizes matches what people write for a size: 8x6, 3 × 1/4.
var twoSizes = lazily(`^([0-9][0-9./-]*)\s*[x×]\s*([0-9][0-9./-]*)$`)

// wordsBefore matches a number after a word or a mark that says something of it.
var wordsBefore = lazily(`^([~≈<>]+=?|\pL[\pL.]* )\s*([0-9].*)$`)

// doubt matches words and marks that make a number a guess.
var doubt = lazily(`(?i)^(?:[~≈]|about|around|approx\.?|approximately|roughly|ca\.?|circa|nearly|maybe|` +
	`perhaps|guess|guessed|est\.?|estimated|estimate|or so)$`)

// failWordsBefore reports a value that is a number with words or a mark in front.
func (r *slips) failWordsBefore(w Word, lead string) {
	part := wordsBefore().FindStringSubmatch(w.Text)
	if part == nil {
		return
	}
	word := strings.TrimSpace(part[1])
	number, note := splitNote(part[2])
	from, to, name := int(w.Span.Start), int(w.Span.End), lead[:nameAt(lead)]
	switch {
	case doubt().MatchString(word):
		r.failDoubt(from, to, lead, number, note)
	case strings.ContainsAny(word, "<>") && name == "":
		r.fail("bound", from, to, "a bound is not a value",
			"give the value itself, and the bound as a check below the table")
	case strings.ContainsAny(word, "<>"):
		r.fail("bound", from, to, "a bound is not a value", "give the value itself, and the bound as a check: check "+
			name+"_fits = "+name+" "+word+" "+number+unitIn(lead))
	case unitIn(lead) == "": // it may be a text
	case strings.EqualFold(word, "minus"):
		r.fail("not-sure", from, to, "a value is the number alone", lead+" : -"+number)
	default:
		r.fail("not-sure", from, to, "a value is the number alone", lead+" : "+number+" // "+
			strings.TrimSpace(word+" "+note))
	}
}

// unitIn returns the unit in the line in front of a mark, in its brackets and with a blank before it. What is in quotes
// names a row: a line of a variant has no unit.
func unitIn(lead string) string {
	_, tag, found := strings.Cut(lead, "[")
	unit := strings.TrimRight(strings.Split(tag, ",")[0], "] \t")
	if !found || strings.HasPrefix(unit, `"`) {
		return ""
	}
	return " [" + unit + "]"
}

// failDoubt reports the words in [from, to), which make a number a guess, as the mark of one does.
func (r *slips) failDoubt(from, to int, lead, number, note string) {
	hint := number + " ?"
	if lead != "" {
		hint = lead + " : " + hint
	}
	if note != "" && lead != "" {
		hint += " // " + note
	}
	r.fail("not-sure", from, to, "what is not sure has a ? after it", hint)
}

// guessWithin matches a number with the mark of a guess before its unit, before words, or in brackets.
var guessWithin = lazily(`^([-−+]?[0-9.½¼¾][^?:<>=*()\[\]]*?)\s*(?:\(\s*\?\s*\)|\?)\s*(\pL[^?:]*)?$`)

// failGuessWithin reports a number whose mark of a guess is not at its end: 5 ? mm.
func (r *slips) failGuessWithin(w Word, lead string) {
	part := guessWithin().FindStringSubmatch(w.Text)
	if part == nil {
		return
	}
	hint := part[1] + " ?"
	switch area := strings.HasPrefix(part[2], "sq ") || strings.HasPrefix(part[2], "cu "); {
	case part[2] == "":
	case area || !strings.ContainsAny(part[2], " \t"):
		hint = part[1] + " " + part[2] + " ?"
	case lead != "":
		hint = lead + " : " + hint + " // " + part[2]
	}
	r.fail("guess-first", int(w.Span.Start), int(w.Span.End), "the ? of a guess comes after the value", hint)
}

// isCellName reports whether a value may be meant as the name of a cell: it is none of the words that stand for a
// value, or for one that is not known.
func isCellName(s string) bool {
	lower := strings.ToLower(s)
	return isName(s) && !reserved[s] && !unknownYet[lower] && yesNo[lower] == "" &&
		!slices.Contains(numberWords, lower)
}

// failNotNumber reports a value that is two numbers, or words where the unit asks for a number.
func (r *slips) failNotNumber(w Word, lead string) {
	from, to := int(w.Span.Start), int(w.Span.End)
	hasUnit, words := unitIn(lead) != "" && !isChoice().MatchString(lead), startsWithLetter(w.Text)
	name := lead[:nameAt(lead)]
	switch {
	case twoSizes().MatchString(w.Text) && hasUnit:
		r.fail("two-numbers", from, to, "a value is one number", "give each size a line of its own")
	case twoSizes().MatchString(w.Text):
		hint := Quote(w.Text) + " if it is a text"
		if lead == "" { // an entry, whose unit stands in the head
			hint += "; a product is = " + twoSizes().ReplaceAllString(w.Text, "$1 * $2") + " [UNIT]"
		}
		r.fail("two-numbers", from, to, "a value is one number", hint)
	case hasUnit && words && len(strings.Fields(w.Text)) > 3:
		r.fail("no-quotes", from, to, "a note begins with //", "// "+w.Text)
	case hasUnit && isCellName(w.Text):
		r.fail("no-quotes", from, to, "a number is needed here, since "+name+" has a unit",
			lead+" = "+w.Text+" if that is the name of another cell")
	case hasUnit && words:
		r.fail("no-quotes", from, to, "a number is needed here, since "+name+" has a unit",
			name+" : "+Quote(strings.ReplaceAll(w.Text, `"`, ""))+" if it is a text")
	}
}

// noteWord matches a word that begins a remark, not a unit.
var noteWord = lazily(`^(?:at|of|the|for|from|with|on|over|under|without|or|max\.?|maximum|` +
	`measured|weighed|plan|\(\pL{4,}.*)$`)

// failWordsAfter reports a note after a number that does not begin with //.
func (r *slips) failWordsAfter(w Word, lead string) {
	if !startsNumber(w.Text) {
		return
	}
	from, to := int(w.Span.Start), int(w.Span.End)
	if about, ish := strings.CutSuffix(w.Text, "ish"); ish && !endsWithLetter(about) {
		r.failDoubt(from, to, lead, strings.TrimRight(about, "- "), "")
	}
	if at := strings.Index(w.Text, " / "); at > 0 && len(strings.Fields(w.Text[at:])) > 3 { // one slash is missing
		r.fail("comment-mark", from+at+1, to, "a note begins with //",
			"write "+strings.TrimSpace(w.Text[:at])+" // "+strings.TrimSpace(w.Text[at+2:]))
	}
	value, note := splitNote(w.Text)
	if note == "" {
		return
	}
	first := strings.TrimRight(strings.Fields(note)[0], ",;:")
	at := strings.Index(w.Text, first)
	from += at - strings.Count(w.Text[at-1:at], "(")
	switch {
	case doubt().MatchString(note):
		r.failDoubt(from, to, lead, value, "")
	case doubt().MatchString(first):
		r.failDoubt(from, to, lead, value, note)
	case lead == "":
		r.fail("comment-mark", from, to, "a note begins with //", "at the end of the row write // "+note)
	}
	r.fail("comment-mark", from, to, "a note begins with //", "write "+value+" // "+note)
}

// splitNote splits a number, with its unit, from a note after it that does not begin with //; there may be none.
func splitNote(s string) (value, note string) {
	words := strings.Fields(s)
	for i := 1; i < len(words); i++ {
		first := strings.Trim(words[i], "()")
		if !noteWord().MatchString(words[i]) && !doubt().MatchString(first) && !(words[i] == "off" && i+1 < len(words)) {
			continue
		}
		note = strings.Join(words[i:], " ")
		if note[0] == '(' && strings.HasSuffix(note, ")") {
			note = note[1 : len(note)-1]
		}
		return strings.TrimRight(strings.Join(words[:i], " "), ",;-–"), note
	}
	return s, ""
}

// secondCell matches a second cell after the value of the first.
var secondCell = lazily(`[,;]?\s+\pL[\pL\d_]*\s*(\[[^\]]*\]\s*)?[:=]`)

// failSecond reports two cells on one line.
func (r *slips) failSecond(w Word, lead string) {
	at := secondCell().FindStringIndex(w.Text)
	if lead == "" || at == nil || !startsNumber(w.Text) {
		return
	}
	second := strings.TrimLeft(w.Text[at[0]:], ",; \t")
	r.fail("two-statements", int(w.Span.End)-len(second), int(w.Span.End), "a second cell starts here",
		"give it a line of its own")
}

// textAfter matches a text in quotes after a number.
var textAfter = lazily(`^([^"]*[^"\s])\s+"([^"]*)"$`)

// failTextAfter reports a text in quotes after a number, which may be a note, or an entry without its bar.
func (r *slips) failTextAfter(w Word) {
	part := textAfter().FindStringSubmatch(w.Text)
	if part == nil || !startsNumber(w.Text) {
		return
	}
	from := int(w.Span.Start) + strings.IndexByte(w.Text, '"')
	r.fail("stray-words", from, int(w.Span.End), "this is left over after the number",
		"a note goes at the end of the line: // "+part[2])
}

// numberWords are numbers as words.
var numberWords = strings.Fields("zero one two three four five six seven eight nine ten eleven twelve thirteen " +
	"fourteen fifteen sixteen seventeen eighteen nineteen twenty")

// failNumberWord reports a number that is written as a word.
func (r *slips) failNumberWord(w Word, lead string) {
	n := slices.Index(numberWords, strings.ToLower(w.Text))
	if n < 0 || isChoice().MatchString(lead) {
		return
	}
	hint := "write " + strconv.Itoa(n)
	if unitIn(lead) == "" {
		hint += ", or " + Quote(w.Text) + " if it is a text"
	}
	r.failAt(w, "number-word", "a number is written in figures", hint)
}

// isChoice matches what is in front of the mark of a cell that has choices.
var isChoice = lazily(`\[\s*one\s+of\b`)

// endsOpen matches a formula that goes on.
var endsOpen = lazily(`(?:[+*/^(,<>?-]|\b(?:and|or|not))$`)

// failBrokenOff reports a formula that goes on in the line below. The line below is passed over.
func (r *slips) failBrokenOff(w Word) {
	next := r.line + 1
	if next >= len(r.p.lines) {
		return
	}
	if below := r.p.lines[next]; below.blank() || below.indent <= r.p.lines[r.line].indent || r.p.isComment(next) {
		return // as nearly always, so the slow search comes last
	}
	at := endsOpen().FindStringIndex(w.Text)
	if at == nil {
		return
	}
	r.swallow = next + 1
	r.fail("broken-off", int(w.Span.Start)+at[0], int(w.Span.End), "a formula is on one line",
		"join the line below to this one")
}

// columnGap matches what people separate columns with when they know no bars.
var columnGap = lazily(`\s*[;,]\s+|\s*;|\t+| {2,}`)

// failGaps reports a head whose columns are separated by tabs, blanks, commas or semicolons.
func (r *slips) failGaps(from int) {
	if head := r.word(from, r.codeEnd()); !strings.Contains(head.Text, "|") && columnGap().MatchString(head.Text) {
		r.failAt(head, "head-bars", "the columns of a table are separated by bars",
			columnGap().ReplaceAllString(head.Text, " | "))
	}
}

// withoutMark reports a statement's word that is followed by a : like a cell's name.
func (r *slips) withoutMark(word Word) {
	if !statements[word.Text].text || r.next() != ':' {
		return
	}
	if rest := r.word(r.pos+1, r.codeEnd()); startsWithLetter(rest.Text) || strings.HasPrefix(rest.Text, `"`) {
		r.fail("stray-mark", r.pos, r.pos+1, "no : belongs after "+word.Text, word.Text+" "+rest.Text)
	}
}

// aCompare matches a comparison.
var aCompare = lazily(`==|<=|>=|!=|<|>`)

// failCondition reports what is wrong with the condition w of an adjust line, which has no single =.
func (r *slips) failCondition(w Word) {
	at := aCompare().FindStringIndex(w.Text)
	if at == nil {
		r.failAt(w, "no-mark", "there is no single = after so", adjustForm)
	}
	msg := "adjust needs an =: the value is searched for on the edge"
	if w.Text[at[0]:at[1]] == "==" {
		msg = "one = is enough here"
	}
	r.fail("no-mark", int(w.Span.Start)+at[0], int(w.Span.Start)+at[1], msg, "so "+w.Text[:at[0]]+"="+w.Text[at[1]:])
}
