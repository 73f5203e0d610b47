package text

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// cell reads NAME [UNIT, STEP] : VALUE or NAME [UNIT, STEP] = FORMULA.
func (r *values) cell(lines Lines) *Cell {
	from := r.pos
	r.pos += len(r.nameHere())
	c := &Cell{Lines: lines, Name: r.word(from, r.pos)}
	if b := r.next(); !c.Name.Given() || b != '[' && b != ':' && b != '=' {
		r.pos = from
		r.explain()
	}
	if reserved[c.Name.Text] {
		r.withoutMark(c.Name)
		r.failReserved(c.Name)
	}
	r.keep(c.Name, MaxName, "the name")
	r.p.values++
	c.Unit = r.tag()
	if mark := r.mark(from); mark.Text == ":" {
		c.Value = r.given(from)
	} else {
		c.Unit = r.unitOnly(c.Unit)
		c.Value = Value{Kind: FormulaValue, Word: r.formulaText()}
	}
	c.Note = r.note()
	return c
}

// mark reads the : or = of the cell that starts at from.
func (r *values) mark(from int) Word {
	b := r.next()
	at := r.pos
	lead := strings.TrimSpace(r.text[from:at])
	switch {
	case b == '[' && strings.HasSuffix(lead, "]"):
		r.fail("two-tags", at, r.pieceEnd(), "the unit and the step share one bracket",
			lead[:len(lead)-1]+", "+strings.TrimLeft(r.text[at+1:r.codeEnd()], " \t"))
	case b != ':' && b != '=':
		rest := r.word(at, r.codeEnd())
		r.fail("no-mark", from, int(rest.Span.End), "there is no : or = after the name",
			markHint(lead, rest.Text))
	case strings.HasPrefix(r.text[at:r.end], ":="):
		r.fail("double-mark", at, at+2, "write : for what is given, or = for what is worked out", "")
	}
	r.pos++
	r.singleEquals(at)
	return r.word(at, at+1)
}

// markHint says how a cell that lacks its mark might go on.
func markHint(lead, rest string) string {
	switch {
	case rest == "" || startsNumber(rest) || strings.HasPrefix(rest, `"`):
		return strings.TrimSpace(lead + " : " + rest)
	case strings.ContainsAny(rest, "*/+-()"):
		return lead + " = " + rest
	}
	return "NAME : VALUE, NAME = FORMULA, or // and a remark"
}

// singleEquals reports an error when the = at at, which is after r, is followed by another one.
func (r *values) singleEquals(at int) {
	if r.text[at] == '=' && r.pos < r.end && r.text[r.pos] == '=' {
		r.fail("double-mark", at, at+2, "one = is enough here", "== compares two things, inside a formula")
	}
}

// equals reads the = after a statement's name.
func (r *values) equals(hint string) {
	switch b := r.next(); {
	case b == ':':
		r.failColon(hint)
	case b != '=':
		r.failWords()
		r.missing("no-mark", "an = is missing", hint)
	}
	r.pos++
	r.singleEquals(r.pos - 1)
}

// formulaText reads the formula that is the rest of the line's code.
func (r *values) formulaText() Word {
	w := r.rest()
	if !w.Given() {
		r.missing("empty-formula", "there is no formula after the =", "")
	}
	r.checkFormula(w)
	r.failBrokenOff(w)
	return w
}

// checkFormula reports an error when w is too long for a formula or holds the mark of a comment. Its form is for others
// to judge.
func (r *values) checkFormula(w Word) {
	if len(w.Text) > MaxFormula {
		r.failAt(w, "long-formula", "the formula is longer than 8 KiB",
			"work it out in steps, each in a cell of its own")
	}
	if strings.HasPrefix(w.Text, "let") { // so that other formulas are not searched
		if part := letForm().FindStringSubmatch(w.Text); part != nil {
			r.failAt(w, "formula-word", "a formula cannot use let",
				"give "+part[1]+" a line of its own, "+part[1]+" = "+strings.TrimSpace(part[2])+", and name it here")
		}
	}
	if !strings.ContainsAny(w.Text, ";#*-") {
		return
	}
	r.outside(int(w.Span.Start), int(w.Span.End), func(i, depth int) bool {
		if at := i - int(w.Span.Start); depth == 0 && isCommentMark(w.Text, at) {
			r.failComment(w, at)
		}
		return true
	})
}

// letForm matches a formula that names a part of itself: let x = 3; x * 2.
var letForm = lazily(`^let\s+(\pL[\pL\d_]*)\s*=([^;]*);`)

// given reads the value of the given cell whose line starts at from.
func (r *values) given(from int) Value {
	mark := r.pos
	lead := strings.TrimSpace(r.text[from : mark-1])
	switch r.next() {
	case '"':
		return r.textOrGuess()
	case '=':
		r.failWorked("double-mark", mark-1, r.pos+1, "write : for what is given, or = for what is worked out",
			strings.TrimSpace(lead+" = "+r.word(r.pos+1, r.codeEnd()).Text))
	}
	w := r.rest()
	if !w.Given() {
		return Value{Word: r.word(mark, mark)}
	}
	return r.plainValue(w, lead)
}

// failWorked reports a formula where a value is given; msg and hint are for a cell.
func (r *values) failWorked(code string, from, to int, msg, hint string) {
	if r.target != "" {
		msg, hint = "a variant gives values, not formulas", "write the value itself: "+r.target+" : VALUE"
	}
	r.fail(code, from, to, msg, hint)
}

// textOrGuess reads a text that is given, with the mark of a guess that it may have.
func (r *values) textOrGuess() Value {
	v := r.textValue()
	r.next()
	if at, n := plusMinus(r.text[r.pos:r.end]); at == 0 {
		r.fail("tolerance-kind", r.pos, r.pos+n, "a text cannot be off by some amount", Quote(v.Word.Text))
	}
	return r.takeGuess(v)
}

func (r *values) textValue() Value {
	return Value{Kind: TextValue, Word: r.keep(r.quoted("the text", ""), MaxText, "the text")}
}

// plainValue reports w, which is where a value is given and is not in quotes, by what it looks like. lead is the text
// of the line in front of the mark, for hints; it is empty in a row.
func (r *values) plainValue(w Word, lead string) Value {
	from, to := int(w.Span.Start), int(w.Span.End)
	fail := func(code, msg, hint string) { r.fail(code, from, to, msg, hint) }
	lower := strings.ToLower(w.Text)
	switch {
	case isGuess(w.Text):
		v := r.plainValue(r.word(from, to-1), lead)
		r.pos = to - 1
		return r.takeGuess(v)
	case w.Text == "yes" || w.Text == "no":
		return Value{Kind: YesNoValue, Word: w}
	case isDecimal(w.Text): // most are, and none of what follows is meant
		return r.number(w)
	case commentMark(w.Text) > 0:
		r.failComment(w, commentMark(w.Text))
	case loneSlash().MatchString(w.Text):
		r.failComment(w, 0)
	case unknownYet[lower] && lead == "":
		fail("no-value", "what is not known yet is left out", "leave the place between its bars empty")
	case unknownYet[lower]:
		fail("no-value", "what is not known yet is left out", lead+" :")
	case manyMarks().MatchString(w.Text):
		r.fail("guess-twice", to-len(manyMarks().FindString(w.Text)), to, "one ? is enough for a guess",
			strings.TrimRight(w.Text, "? \t")+" ?")
	case w.Text[0] == '?':
		fail("guess-first", "the ? of a guess comes after the value", strings.TrimLeft(w.Text, "? \t")+" ?")
	case yesNo[lower] != "":
		fail("yes-no", "write yes or no", yesNo[lower])
	case aDate().MatchString(w.Text):
		fail("no-quotes", "a date goes in quotes, like any text", Quote(w.Text))
	case strings.HasSuffix(w.Text, ",") && startsNumber(w.Text):
		r.fail("stray-mark", to-1, to, "nothing is needed after a value", "leave the , out")
	}
	r.failTolerance(w)
	r.failSecond(w, lead)
	r.failTextAfter(w)
	r.failNumberWord(w, lead)
	r.failGuessWithin(w, lead)
	r.failWordsBefore(w, lead)
	switch {
	case looksWorked(w.Text) && lead == "":
		fail("formula-given", "a formula in a row starts with =", "= "+w.Text)
	case looksWorked(w.Text):
		r.failWorked("formula-given", from, to, "a formula follows =, not :", strings.TrimSpace(workedHint(lead, w.Text)))
	case strings.HasSuffix(w.Text, "]") || strings.HasPrefix(w.Text, "["):
		r.failLateUnit(w, lead)
	case w.Text[0] == '\'':
		fail("no-quotes", `text goes in quotes of this kind: "`, Quote(strings.Trim(w.Text, "'")))
	}
	r.failNotNumber(w, lead)
	r.failWordsAfter(w, lead)
	if startsWithLetter(w.Text) {
		fail("no-quotes", "text goes in quotes", Quote(strings.ReplaceAll(w.Text, `"`, "")))
	}
	return r.number(w)
}

// twoNumbers matches a sum, a difference or a product of two workshop numbers.
var twoNumbers = lazily(`^(` + oneNumber + `)\s*([+*]|-)\s*(` + oneNumber + `)$`)

const oneNumber = `[0-9.]+(?:-[0-9]+/[0-9]+|/[0-9]+)?`

// workedHint says how what was given after a : is worked out: its numbers have the unit of the line.
func workedHint(lead, formula string) string {
	part := twoNumbers().FindStringSubmatch(formula)
	if unitIn(lead) == "" || part == nil {
		return lead + " = " + formula
	}
	switch tag := unitIn(lead); {
	case part[2] == "+" && strings.Trim(part[1], "0123456789") == "" && strings.Contains(part[3], "/") &&
		!strings.Contains(part[3], "-"):
		return lead + " : " + part[1] + "-" + part[3] // 43+3/4
	case part[2] == "*":
		return lead + " = " + part[1] + " * " + part[3] + tag
	default:
		return lead + " = " + part[1] + tag + " " + part[2] + " " + part[3] + tag
	}
}

// isGuess reports whether a value has the mark of a guess at its end, with something to guess before it.
func isGuess(s string) bool {
	value, marked := strings.CutSuffix(s, "?")
	return marked && strings.Trim(value, "? \t") != "" && !strings.Contains(value, "?")
}

// isDecimal reports whether a word is a number of nothing but digits and, it may be, a point.
func isDecimal(s string) bool {
	return strings.Trim(s, "0123456789") == "" || strings.Count(s, ".") == 1 && strings.Trim(s, "0123456789.") == ""
}

// aDate matches a date: 12.5.1968, 5/12/68, 1968-05-12.
var aDate = lazily(`^(?:\d{1,2}(?:\.\d{1,2}\.|/\d{1,2}/)(?:\d{4}|\d{2})|\d{4}-\d{2}-\d{2})$`)

// manyMarks matches the marks at the end of a value where one would do.
var manyMarks = lazily(`\?[ \t]*\?$`)

// loneSlash matches a note that begins with one slash.
var loneSlash = lazily(`^/\s*\pL`)

var unknownYet = set("? ?? - -- --- – — ... … tbd n/a none unknown")

var yesNo = map[string]string{"yes": "yes", "no": "no", "true": "yes", "false": "no"}

func startsNumber(s string) bool {
	c, _ := utf8.DecodeRuneInString(s)
	return strings.ContainsRune("+-.−–—", c) || unicode.IsNumber(c)
}

func startsWithLetter(s string) bool {
	c, _ := utf8.DecodeRuneInString(s)
	return unicode.IsLetter(c)
}

func endsWithLetter(s string) bool {
	c, _ := utf8.DecodeLastRuneInString(s)
	return unicode.IsLetter(c)
}

// looksWorked reports whether s, which is where a value is given, looks like a formula instead. It is careful with
// what may be a unit: N*m, oz/sq ft, hp(metric).
func looksWorked(s string) bool {
	bracket := strings.IndexByte(s, '[')
	switch {
	case s[0] == '(' || strings.ContainsAny(s, "<>=?"):
		return true
	case startsWithLetter(s):
		n := nameAt(s)
		return strings.ContainsAny(s, "*[^") || strings.HasPrefix(s[n:], "(") ||
			strings.HasPrefix(s[n:], ".") && isName(s[n+1:]) ||
			strings.Contains(s, " / ") || strings.Contains(s, " + ") || strings.Contains(s, " - ")
	case bracket > 0 && (!strings.HasSuffix(s, "]") || strings.Count(s, "[") > 1):
		return true
	}
	tail := strings.TrimLeft(strings.TrimLeft(s, "+-.0123456789"), " \t")
	times := strings.IndexByte(s, '*')
	return times >= 0 && startsNumber(strings.TrimLeft(s[times+1:], " \t")) || strings.HasPrefix(tail, "*") ||
		strings.HasPrefix(tail, "/ ") || strings.HasPrefix(tail, "+ ") || closeSum().MatchString(s)
}

// closeSum matches a sum that a number might be taken for: 22+22, 5-1/2 - 3, 4 in + 1/8 in.
var closeSum = lazily(`^[0-9][^+±*\[\]]*\+ *[0-9(]|^[0-9-]+/[0-9]+ +- *[0-9]`)

// failLateUnit reports a unit in brackets that comes after the mark.
func (r *values) failLateUnit(w Word, lead string) {
	open, shut := strings.IndexByte(w.Text, '['), strings.LastIndexByte(w.Text, ']')
	from, to := int(w.Span.Start)+max(open, 0), int(w.Span.Start)+shut+1
	if open < 0 || shut < open {
		r.failAt(w, "open-bracket", "this bracket has no partner", "")
	}
	number := strings.TrimSpace(w.Text[:open] + w.Text[shut+1:])
	if r.target != "" {
		r.fail("late-unit", from, to, "the unit of a value has no brackets",
			r.target+" : "+number+" "+w.Text[open+1:shut])
	}
	if name := lead[:nameAt(lead)]; name != "" {
		r.fail("late-unit", from, to, "the unit in brackets comes after the name",
			name+" "+w.Text[open:shut+1]+" : "+number)
	}
	r.fail("late-unit", from, to, "the unit in brackets belongs in the table's head",
		"in a row write "+number+" "+w.Text[open+1:shut])
}
