package text

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"gusset/units/nearest"
)

// Limits of a sheet. White space does not count towards the length of a line, so that a tidied line is never too long.
const (
	MaxFile    = 16 << 20 // bytes
	MaxLines   = 500_000
	MaxLine    = 16 << 10 // bytes
	MaxColumns = 200      // of a table's head
	MaxFormula = 8 << 10  // bytes
	MaxName    = 64       // bytes of a name, which is in every message, list and table about what it names
	MaxLabel   = 255      // bytes of what else things are found by: rows, pages, variants, titles
	MaxText    = 4 << 10  // bytes of a text
	MaxValues  = 200_000  // that are in one file: cells, entries of rows, what variants set
	MaxTold    = 1000     // mistakes and remarks that are reported of one file
)

// reserved holds the words that cannot be names: those of statements and those of formulas. The word adjust is not one
// of them: it begins a statement only where no mark or unit of a cell follows.
var reserved = set(`in or and not matches contains startsWith endsWith let if else true false nil yes no
	sheet use page table check variant chart formula source needs trust example caution unit each from to step so
	against as`)

func set(words string) map[string]bool {
	m := make(map[string]bool)
	for _, w := range strings.Fields(words) {
		m[w] = true
	}
	return m
}

// Parse reads a sheet. It always returns a tree, in which a line that could not be read is a *Bad, and what there is to
// say, in the order of the text; one mistake gives one message. A source that is not text, or too large, is a single
// *Bad.
func Parse(src *Source) (*File, Diags) {
	p := &parser{src: src, text: src.text}
	if !p.try(p.refuse) {
		return p.refused()
	}
	p.lines = splitLines(p.text, 0, len(p.text))
	f, diags := p.file()
	if p.values > MaxValues {
		p.diags = nil
		p.report("too-large", 0, 0, "the file has more than 200 000 values",
			"a range and worked columns make as many without writing them down")
		return p.refused()
	}
	return f, diags
}

// refused returns the whole file as one *Bad.
func (p *parser) refused() (*File, Diags) {
	return &File{Source: p.src, Nodes: []Node{&Bad{Lines: Lines{Span{0, int32(len(p.text))}}}}}, p.diags
}

// ParsePart is Parse for the whole lines [from, to) of a source that is known to be text, with places as in the source.
func ParsePart(src *Source, from, to int) (*File, Diags) {
	p := &parser{src: src, text: src.text}
	p.lines = splitLines(p.text, from, to)
	return p.file()
}

// file reads the lines into a tree.
func (p *parser) file() (*File, Diags) {
	f := &File{Source: p.src, Nodes: make([]Node, 0, len(p.lines))}
	for p.at < len(p.lines) && p.values <= MaxValues {
		f.Nodes = append(f.Nodes, p.statement())
	}
	f.Values = p.values
	markUnread(f)
	p.reportMore()
	p.diags.Sort()
	return f, p.diags
}

// parser goes through the lines of a source; at is the line that comes next.
type parser struct {
	src        *Source
	text       string
	lines      []line
	at         int
	diags      Diags
	titled     bool
	values     int   // that have been read
	unreported int   // mistakes and remarks beyond those that are kept
	commentEnd int   // where to look on for the line that ends a comment of another language
	tableAbove *line // of the table that the lines right above belong to
	rowTold    bool  // a row outside that table has been reported
}

// report adds a message about [from, to). After as many as are kept comes the latest one only.
func (p *parser) report(code string, from, to int, msg, hint string) {
	if len(p.diags) > MaxTold {
		p.diags = p.diags[:MaxTold]
		p.unreported++
	}
	p.diags = append(p.diags, Diag{Code: code, Msg: msg, Source: p.src, Span: Span{int32(from), int32(to)}, Hint: hint})
}

// nextReported is the number that the next message will have.
func (p *parser) nextReported() int { return min(len(p.diags), MaxTold) }

// fail reports a mistake in [from, to) and leaves what is being read.
func (p *parser) fail(code string, from, to int, msg, hint string) {
	p.report(code, from, to, msg, hint)
	panic(unreadable{})
}

// reportMore puts a message about those that are not kept in the place of the latest one.
func (p *parser) reportMore() {
	if len(p.diags) > MaxTold {
		last := &p.diags[MaxTold]
		*last = Diag{Code: "more-mistakes", Source: p.src, Span: last.Span,
			Msg: fmt.Sprintf("%d more messages about this file up to here: %d are told at most", p.unreported+1,
				MaxTold), Hint: "is this the right file?"}
	}
}

// remark adds a remark about [from, to).
func (p *parser) remark(code string, from, to int, msg, hint string) {
	p.report(code, from, to, msg, hint)
	p.diags[len(p.diags)-1].Sev = Remark
}

// zip is how a file begins that is packed, as those of office suites are.
const zip = "PK\x03\x04"

// refuse says why the source cannot be read at all, if it cannot.
func (p *parser) refuse() {
	if len(p.text) > MaxFile {
		p.fail("too-large", 0, 0, "the file is larger than 16 MiB",
			"a sheet is text of a few pages; is this the right file?")
	}
	if strings.Count(p.text, "\n") > MaxLines {
		p.fail("too-large", 0, 0, "the file has more than 500 000 lines",
			"a sheet is text of a few pages; is this the right file?")
	}
	if strings.HasPrefix(p.text, zip) && strings.Contains(p.text, "xl/workbook.xml") {
		p.fail("not-text", 0, 1, "this is a workbook, not a sheet",
			"to take back the values in it: gusset import OUT.xlsx my-model.gusset")
	}
	for _, mark := range []string{`{\rtf`, zip, "%PDF", "\xd0\xcf\x11\xe0"} {
		if strings.HasPrefix(p.text, mark) {
			p.fail("not-text", 0, 1, "this is the file of a word processor, not plain text",
				"save it as plain text, UTF-8, with the ending .gusset")
		}
	}
	for i := 0; i < len(p.text); {
		b := p.text[i]
		if b >= ' ' && b < 0x7f || b == '\t' || b == '\n' || b == '\r' && strings.HasPrefix(p.text[i+1:], "\n") {
			i++
			continue
		}
		c, n := utf8.DecodeRuneInString(p.text[i:])
		switch {
		case c == utf8.RuneError && n == 1:
			p.fail("not-text", i, i+1, "the file is not UTF-8 text", "save it as UTF-8")
		case steers(c):
			p.fail("control-character", i, i+n,
				"the file holds a control character ("+strings.ToUpper(strconv.FormatInt(int64(c), 16))+" hex)",
				"take it out; a sheet is plain text")
		}
		i += n
	}
}

// reader returns a reader of line i.
func (p *parser) reader(i int) *reader {
	r := &reader{}
	r.scanner = scanner{cursor: p.cursor(i), p: p, line: i}
	return r
}

// cursor returns a cursor at the beginning of line i.
func (p *parser) cursor(i int) cursor {
	return cursor{text: p.text, pos: int(p.lines[i].from), end: int(p.lines[i].to)}
}

// extent returns the lines [i, j) as an extent.
func (p *parser) extent(i, j int) Lines {
	return Lines{Span{p.lines[i].start, p.lines[j-1].next}}
}

func (p *parser) isComment(i int) bool {
	return strings.HasPrefix(p.text[p.lines[i].from:p.lines[i].to], "//")
}

// block returns the line after the block that line i opens: the lines indented deeper. Blank lines and comments never
// end a block, but those after its last deeper line are not part of it.
func (p *parser) block(i int) int { return p.deeper(i+1, p.lines[i].indent) }

// deeper returns the line after those that begin at line i and are indented deeper than indent.
func (p *parser) deeper(i int, indent int32) int {
	after := i
	for ; i < len(p.lines); i++ {
		l := p.lines[i]
		switch {
		case l.blank():
		case l.indent > indent:
			after = i + 1
		case !p.isComment(i):
			return after
		}
	}
	return after
}

// plain returns line i as a node if it is blank or a comment, and otherwise nil.
func (p *parser) plain(i int) Node {
	l := p.lines[i]
	switch {
	case l.blank():
		return &Blank{p.extent(i, i+1)}
	case p.isComment(i):
		r := p.reader(i)
		return &Comment{p.extent(i, i+1), r.word(r.pos+2, r.end)}
	}
	return nil
}

// statement reads the node at the present line and moves past it.
func (p *parser) statement() Node {
	i := p.at
	p.at++
	if n := p.plain(i); n != nil {
		return n
	}
	if p.tableAbove != nil && p.isRow(i) {
		return p.outdentedRow(i)
	}
	p.tableAbove = nil
	n, next := p.line(i, len(p.lines), (*reader).statement)
	p.at = max(p.at, next)
	return n
}

// line reads line i with read, and returns the line after it, or after those that its mistake spoils: it is a *Bad with
// them then, up to the line most.
func (p *parser) line(i, most int, read func(*reader, Lines) Node) (n Node, next int) {
	if n := p.plain(i); n != nil {
		return n, i + 1
	}
	r := p.reader(i)
	if p.try(func() { n = read(r, p.extent(i, i+1)) }) {
		return n, i + 1
	}
	next = min(max(i+1, r.swallow), most)
	return p.bad(i, next), next
}

// body reads the lines of the block below line i with read, and moves past them. The extent is that of the whole block.
func (p *parser) body(i int, read func(*reader, Lines) Node) (lines []Node, whole Lines) {
	p.at = p.block(i)
	for j := i + 1; j < p.at; {
		var n Node
		n, j = p.line(j, p.at, read)
		lines = append(lines, n)
	}
	return lines, p.extent(i, p.at)
}

// unreadable is what a reader panics with once it has reported a mistake; try recovers it.
type unreadable struct{}

// try calls read and reports whether it came to its end, which it does not where a scanner fails.
func (p *parser) try(read func()) (whole bool) {
	defer func() {
		if e := recover(); e != nil && e != any(unreadable{}) {
			panic(e)
		}
	}()
	read()
	return true
}

// statement reads the statement of the line; one that opens a block reads that too.
func (r *reader) statement(lines Lines) Node {
	p, from, word := r.p, r.pos, r.nameHere()
	if statements[word].block {
		r.swallow = p.block(r.line)
	}
	r.odd()
	r.pos += len(word)
	switch {
	case word == "adjust" && !r.markNext(word):
		return r.adjust(lines)
	case opensDrawing(word, r.text[r.pos:r.end]):
		return statements[word].read(r, lines)
	case !reserved[word] || r.markNext(word):
		r.pos, r.swallow = from, 0
		return r.cell(lines)
	}
	if read := statements[word].read; read != nil {
		return read(r, lines)
	}
	switch word {
	case "source", "needs", "trust", "example":
		r.fail("misplaced", from, from+len(word), word+" belongs to a formula", "indent it below its formula line")
	case "let":
		r.fail("reserved-name", from, from+len(word), "a line begins with its name",
			r.word(from+len(word), r.codeEnd()).Text)
	}
	r.failReserved(r.word(from, from+len(word)))
	return nil
}

// markNext reports whether a word of the language is followed by what only a cell's name is followed by.
func (r *reader) markNext(word string) bool {
	b := r.next()
	return b == ':' || b == '[' || b == '=' && word != "check"
}

// bad returns the lines [i, j) as a *Bad, with the name that line i was to set where that is clear.
func (p *parser) bad(i, j int) *Bad {
	at := p.cursor(i)
	return &Bad{Lines: p.extent(i, j), Name: at.intended(), Kind: p.badKind(i)}
}

// badKind returns what line i was to be.
func (p *parser) badKind(i int) BadKind {
	line := p.text[p.lines[i].from:p.lines[i].to]
	switch word := line[:nameAt(line)]; {
	case word == "check":
		return BadCheck
	case word != "adjust" && isStatement(word) || opensDrawing(word, line[len(word):]) || holdsBar(line):
		return BadStatement
	}
	return BadCell
}

// intended returns the name that a line was to set, where that much can be read; the cursor is at its beginning.
func (r *cursor) intended() Word {
	w := r.word(r.pos, r.pos+len(r.nameHere()))
	r.pos = int(w.Span.End)
	r.blanks()
	meant := r.meantStatement(w)
	if second := r.word(r.pos, r.pos+len(r.nameHere())); statements[meant].named && second.Given() {
		w = second
	}
	r.pos = int(w.Span.End)
	switch b := r.next(); {
	case reserved[w.Text]:
		return Word{}
	case meant == "adjust" && b == 'f': // from
		return w
	case b == 0 || strings.IndexByte(":=[({", b) >= 0:
		return w
	}
	return r.wordsFor(w)
}

// meantStatement returns the word of the statement that a line was to be, which begins with first and has a name at
// r.pos; first itself where none comes near.
func (r *cursor) meantStatement(first Word) string {
	after := strings.TrimLeft(r.text[r.pos+len(r.nameHere()):r.end], " \t")
	words := strings.Fields(after)
	word, near := nearest.Word(first.Text, statementWords)
	switch {
	case slices.Contains(words, "from") && slices.Contains(words, "to") && slices.Contains(words, "so"):
		return "adjust"
	case near && (after == "" || strings.IndexByte("=[(/", after[0]) >= 0):
		return word
	}
	return first.Text
}

// wordsFor returns the name that was meant by several words, or by words joined with dashes, in front of a mark or a
// unit; first is the first of them.
func (r *cursor) wordsFor(first Word) Word {
	from := int(first.Span.Start)
	n := strings.IndexAny(r.text[from:r.end], ":=[({|/\"")
	if n < 0 || r.text[from+n] == '|' || r.text[from+n] == '/' || r.text[from+n] == '"' {
		return Word{}
	}
	w := r.word(from, from+n)
	if w.Text = nameHint(w.Text); w.Text == wordlessHint {
		return Word{}
	}
	return w
}
