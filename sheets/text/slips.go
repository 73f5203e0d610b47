package text

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"gusset/units/nearest"
)

// The slips that a line may hold besides those that its own statement knows of.

// odd reports what makes the line unreadable as a whole: its length, or a character that only looks like one of ours.
func (r *slips) odd() {
	if r.end-r.pos > MaxLine {
		ink := 0
		for i := r.pos; i < r.end; i++ {
			if !isBlank(r.text[i]) {
				ink++
			}
		}
		if ink > MaxLine {
			r.fail("long-line", r.pos, r.end, "the line is longer than 16 KiB", "part it")
		}
	}
	for i := r.pos; i < r.end; i++ {
		switch b := r.text[i]; {
		case b == '"':
			end := closingQuote(r.text, i, r.end)
			if end < 0 {
				return // that quote is the mistake to report
			}
			i = end
		case b == '/' && strings.HasPrefix(r.text[i+1:r.end], "/"):
			return
		case b >= utf8.RuneSelf:
			c, n := utf8.DecodeRuneInString(r.text[i:])
			r.oddCharacter(i, c, n)
			i += n - 1
		}
	}
}

// oddCharacter reports an error when c, of n bytes, is a quote or a space that no keyboard types, or is not seen.
func (r *slips) oddCharacter(i int, c rune, n int) {
	switch {
	case strings.ContainsRune("“”″", c) && i > r.pos && '0' <= r.text[i-1] && r.text[i-1] <= '9':
		r.failInches(i, i+n)
	case strings.ContainsRune("“”„‟", c):
		r.fail("curly-quote", i, i+n, "this quote is a curly one", `type a straight one: "`)
	case unicode.Is(unicode.Zs, c):
		r.fail("hard-space", i, i+n, "this space is not a plain one", "type it again with the space bar")
	case invisible(c):
		r.fail("invisible-character", i, i+n, fmt.Sprintf("there is a character here that nobody can see (%U)", c),
			"delete it")
	}
}

// commentMark returns the place of the first mark in s that other languages begin a comment with, or -1.
func commentMark(s string) int {
	for i := range outsideQuotes(s) {
		if isCommentMark(s, i) {
			return i
		}
	}
	return -1
}

// isCommentMark reports whether such a mark is at s[i].
func isCommentMark(s string, i int) bool {
	switch s[i] {
	case ';', '#':
		return true
	case '/':
		return strings.HasPrefix(s[i:], "/*")
	case '-':
		return strings.HasPrefix(s[i:], "-- ") && (i == 0 || isBlank(s[i-1]))
	}
	return false
}

// figuresLast and figuresFirst match the figures around a semicolon where a point may be meant: 1;5.
var (
	figuresLast  = lazily(`[0-9]+$`)
	figuresFirst = lazily(`^;[0-9]+`)
)

// aCell matches a cell after the mark that ends a statement in other notations.
var aCell = lazily(`^;\s*\pL[\pL\d_]*\s*(?:\[[^\]]*\]\s*)?[:=][^=]`)

// failComment reports that the mark at w.Text[at] does not begin a note.
func (r *scanner) failComment(w Word, at int) {
	before, after := figuresLast().FindString(w.Text[:at]), figuresFirst().FindString(w.Text[at:])
	if before != "" && after != "" {
		from := int(w.Span.Start) + at - len(before)
		r.fail("decimal-mark", from, from+len(before)+len(after), "the decimal mark is a point",
			"write "+before+"."+after[1:]+" if that is one number")
	}
	if second := w.Text[at:]; w.Text[at] == ';' && aCell().MatchString(second) {
		second = strings.TrimSpace(second[1:])
		r.fail("two-statements", int(w.Span.End)-len(second), int(w.Span.End), "a second cell starts here",
			"give it a line of its own")
	}
	note := strings.TrimSpace(strings.TrimSuffix(strings.TrimLeft(w.Text[at:], ";#-/*"), "*/"))
	if note == "" && w.Text[at] == ';' {
		r.fail("comment-mark", int(w.Span.Start)+at, int(w.Span.Start)+at+1, "nothing is needed at the end of a line",
			"leave the ; out")
	}
	r.fail("comment-mark", int(w.Span.Start)+at, int(w.Span.End), "a note begins with //",
		strings.TrimSpace("// "+note))
}

// explain reports why the line, which starts at r.pos, is neither a statement nor a cell.
func (r *slips) explain() {
	from := r.pos
	code := r.word(from, r.codeEnd())
	end := int(code.Span.End)
	mark := r.firstMark(from, end)
	switch {
	case commentMark(code.Text) == 0:
		r.swallowComment(code.Text)
		r.failComment(code, 0)
	case isRow(code.Text):
		r.strayRow(code)
	}
	r.slipOfKeyword(code.Text[:nameAt(code.Text)], code, mark)
	if mark >= 0 {
		r.failName(from, mark)
	}
	lead, rest, _ := strings.Cut(code.Text, " ")
	if !isName(lead) {
		lead, rest = "NAME", ""
	}
	r.fail("no-mark", from, end, "there is no : or = on this line", markHint(lead, strings.TrimSpace(rest)))
}

// firstMark returns the place of the first : or = in [from, end) outside quotes and brackets, or -1.
func (r *scanner) firstMark(from, end int) int {
	colon, equals := r.findByte(':', from, end), r.findByte('=', from, end)
	if colon < 0 || equals >= 0 && equals < colon {
		return equals
	}
	return colon
}

// swallowComment passes over the lines of a comment that begins with /* in code.
func (r *slips) swallowComment(code string) {
	if !strings.HasPrefix(code, "/*") {
		return
	}
	p := r.p
	for p.commentEnd = max(p.commentEnd, r.line); p.commentEnd < len(p.lines); p.commentEnd++ {
		if l := p.lines[p.commentEnd]; strings.Contains(r.text[l.from:l.to], "*/") {
			r.swallow = p.commentEnd + 1
			return
		}
	}
}

// strayRow reports that a row is outside a table.
func (r *slips) strayRow(code Word) {
	r.swallow = r.p.rowsEnd(r.line, nil)
	r.failAt(code, "stray-row", "this row is not in a table",
		"indent it below a line such as: table parts")
}

// outdentedRow reads a row that is indented less than the table above it asks for, with the lines below it that were to
// be in that table too. Only the first such row is reported.
func (p *parser) outdentedRow(i int) Node {
	if !p.rowTold {
		p.try(p.reader(i).failOutdented)
	}
	p.rowTold = true
	p.at = p.rowsEnd(i, p.tableAbove)
	return p.bad(i, p.at)
}

func (r *reader) failOutdented() {
	code, hint := r.word(r.pos, r.codeEnd()), "indent it as the lines above it"
	p, next := r.p, r.line+1
	if next < len(p.lines) && p.lines[next].indent <= p.tableAbove.indent && p.isRow(next) {
		hint = "indent it, and the rows below it, as the lines above"
	}
	r.failAt(code, "stray-row", "this row is outside the table above it, as it is indented less", hint)
}

// rowsEnd returns the line after the rows that begin at line i, and after what among them is indented deeper than the
// line of a table.
func (p *parser) rowsEnd(i int, table *line) int {
	for i++; i < len(p.lines) && p.isRow(i); i++ {
	}
	if table == nil {
		return i
	}
	after := p.deeper(i, table.indent)
	if after < len(p.lines) && p.isRow(after) {
		return p.rowsEnd(after, table)
	}
	return after
}

// isRow reports whether line i looks like the row of a table, and not like a page whose name has a bar.
func (p *parser) isRow(i int) bool {
	code := p.text[p.lines[i].from:p.lines[i].to]
	rest, isPage := strings.CutPrefix(code, "page ")
	return isRow(code) && (!isPage || strings.HasPrefix(strings.TrimLeft(rest, " \t"), "|"))
}

// isRow reports whether a line looks like the row of a table: it has a bar, and no mark of a cell in front of it.
func isRow(s string) bool {
	for _, b := range outsideQuotes(s) {
		switch b {
		case '|':
			return true
		case ':', '=':
			return false
		}
	}
	return false
}

// slipOfKeyword reports an error when the first word of a line is nearly a word that a statement begins with.
func (r *slips) slipOfKeyword(first string, code Word, mark int) {
	from := int(code.Span.Start)
	rest := strings.TrimSpace(code.Text[len(first):])
	marked := mark >= 0 && !strings.HasPrefix(rest, `"`)
	if first == "" || marked && (r.text[mark] == ':' || !startsWithLetter(rest)) {
		return
	}
	word, ok := nearest.Word(first, statementWords)
	if r.hasAdjustWords(from, int(code.Span.End)) {
		word, ok = "adjust", true
		rest = strings.Replace(rest, "==", "=", 1)
	}
	if !ok || marked && !statements[word].equals {
		return
	}
	if statements[word].block {
		r.swallow = r.p.block(r.line)
	}
	r.fail("unknown-statement", from, from+len(first), "no statement begins with "+first,
		strings.TrimSpace(word+" "+rest))
}

// hasAdjustWords reports whether [from, end) holds from, to and so in their order, as only an adjust line does.
func (r *slips) hasAdjustWords(from, end int) bool {
	for _, word := range []string{"from", "to", "so"} {
		if from = r.findWord(word, from, end); from < 0 {
			return false
		}
	}
	return true
}

// failName reports what is wrong with [from, mark), the place of a cell's name and unit.
func (r *slips) failName(from, mark int) {
	lead := r.word(from, mark)
	name, tag := lead.Text, ""
	if i := strings.IndexByte(name, '['); i >= 0 {
		name, tag = strings.TrimRight(name[:i], " \t"), name[i:]
	}
	to := from + len(name)
	switch c, _ := utf8.DecodeRuneInString(name); {
	case lead.Text == "":
		r.fail("no-name", mark, mark+1, "there is no name before the "+r.text[mark:mark+1],
			"NAME "+r.text[mark:mark+1]+" ...")
	case name == "":
		hint := "NAME " + tag
		if shut := strings.IndexByte(tag, ']'); isName(strings.TrimSpace(tag[shut+1:])) {
			hint = strings.TrimSpace(tag[shut+1:]) + " " + tag[:shut+1]
		}
		r.fail("no-name", from, int(lead.Span.End), "there is no name before the unit",
			hint+" "+r.text[mark:mark+1]+" ...")
	case strings.HasSuffix(name, "]"):
		r.fail("open-bracket", to-1, to, "this bracket was never opened", openedHint(name))
	case unicode.IsDigit(c):
		r.fail("bad-name", from, to, "a name starts with a letter", digitsLast(name))
	case roundTag().MatchString(name) && tag == "":
		part := roundTag().FindStringSubmatch(name)
		r.fail("round-tag", from+len(part[1]), to, "a unit is in square brackets",
			strings.TrimSpace(part[1])+" ["+part[2]+"] "+r.text[mark:mark+1]+" ...")
	case c == '_':
		r.fail("bad-name", from, to, "a name starts with a letter", nameHint(name))
	case strings.ContainsAny(name, " \t"):
		r.fail("name-space", from, to, "a name is one word", nameHint(name))
	default:
		r.fail("bad-name", from, to, "a name holds letters, digits and _ only", nameHint(name))
	}
}

// openedHint opens the bracket that a name ends with before its unit; where there is no unit it leaves the bracket out.
func openedHint(name string) string {
	name = strings.TrimRight(name, "] \t")
	if n := nameAt(name); n < len(name) && isBlank(name[n]) {
		return "write " + name[:n] + " [" + strings.TrimSpace(name[n:]) + "]"
	}
	return "leave the ] out"
}

// roundTag matches a name with its unit in brackets that are not square.
var roundTag = lazily(`^([\pL][\pL\d_]*\s*)[({]([^(){}]*)[)}]$`)

// digitsLast makes a name of one that begins with digits: 3spar becomes spar_3.
func digitsLast(name string) string {
	word := strings.TrimLeftFunc(name, unicode.IsDigit)
	if nameHint(word) == wordlessHint {
		return nameHint("no_" + name)
	}
	return nameHint(word + "_" + name[:len(name)-len(word)])
}

// wordlessHint is for names that hold nothing a name could be made of.
const wordlessHint = "NAME : VALUE"

// nameHint returns name with what cannot be in a name made into underscores.
func nameHint(name string) string {
	parts := strings.FieldsFunc(name, func(c rune) bool {
		return c == '_' || !inName(c)
	})
	hint := strings.Join(parts, "_")
	if !isName(hint) {
		return wordlessHint
	}
	return hint
}
