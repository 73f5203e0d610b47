package text

import (
	"bytes"
	"slices"
	"strings"
)

// Format returns the file in the one layout that sheets have. It moves things and adds or takes away blanks and blank
// lines; every value, name, formula and comment stays as it was written, and so do lines that could not be read.
// A tidy file stays the same. A byte order mark stays, and so do line ends of the kind that the file has most of.
func Format(f *File) []byte {
	if len(f.Nodes) == 1 && isRefused(f) {
		return []byte(f.Source.Text())
	}
	t := &tidier{text: f.Source.Text()}
	for _, n := range f.Nodes {
		t.node(t.level, n)
	}
	t.lines = dropBlanks(t.lines)
	align(t.lines)
	alignNotes(t.lines)
	out := t.write()
	if len(out) > MaxFile {
		return []byte(f.Source.Text()) // what no sheet could be read from is not a layout
	}
	return out
}

// isRefused reports whether the only node of f is there because the file is not a sheet at all.
func isRefused(f *File) bool {
	p := &parser{src: f.Source, text: f.Source.Text()}
	return isBad(f.Nodes[0]) && !p.try(p.refuse)
}

// tidier turns nodes into lines of the layout.
type tidier struct {
	text  string
	lines []shape
	level int // how far the content of the page is indented
	group int
	table *Table // whose body is at hand
	// The table keeps the bars at its edges, since a line of it could not be read: its head and its rows must go on
	// agreeing.
	barsStay bool
}

// bodyIndent is how far lines that belong to another one are indented below it.
const bodyIndent = 2

// node adds the lines of n.
func (t *tidier) node(indent int, n Node) {
	switch n := n.(type) {
	case *Page:
		t.open(0)
		t.group++
		t.plain(0, n.Note, "page", t.raw(n.Name))
		t.level = bodyIndent
	case *Variant:
		t.open(0)
		t.level = 0 // or else what follows would look as if it belonged to the variant
		t.plain(0, n.Note, "variant", t.raw(n.Name), t.optional("from", n.From))
		t.body(n.Body)
	case *Formula:
		t.open(indent)
		t.plain(indent, n.Note, "formula", n.Name.Text+"("+paramsText(n.Params)+")", tagText(n.Unit), "=", n.Expr.Text)
		t.body(n.Body)
	case *Table:
		t.plain(indent, n.Note, "table", n.Name.Text)
		t.table, t.barsStay = n, n.Edges != Edges{} && slices.ContainsFunc(n.Body, isBad)
		t.body(n.Body)
		t.table = nil
	case *HeadLine:
		t.head(indent, n)
	case *Row:
		t.row(indent, n)
	case *Cell:
		t.cell(indent, n)
	case *Check:
		t.add(cellLine, indent, n.Note, "check "+n.Name.Text, "", "= "+n.Condition.Text)
	case *Setting:
		t.add(cellLine, indent, n.Note, n.Target.Text, "", join(":", t.value(n.Value)))
	case *Blank:
		t.lines = append(t.lines, shape{kind: blankLine})
	case *Comment:
		t.comment(indent, n)
	case *Bad:
		t.asWritten(indent, n.Span)
	default:
		t.statement(indent, n)
	}
}

// body adds the lines below those of a statement.
func (t *tidier) body(lines []Node) {
	outer := t.group
	t.group = len(t.lines) + 1<<24 // unlike the number of any page
	for _, n := range lines {
		t.node(t.level+bodyIndent, n)
	}
	t.group = outer
}

func isBad(n Node) bool {
	_, bad := n.(*Bad)
	return bad
}

// open puts a blank line in front of what follows and of the comments right above it, which it indents by level.
func (t *tidier) open(level int) {
	i := len(t.lines)
	for i > 0 && t.lines[i-1].kind == commentLine && t.lines[i-1].loose {
		i--
		t.lines[i].indent = level
	}
	t.lines = slices.Insert(t.lines, i, shape{kind: blankLine})
}

// statement adds a line that is aligned with no other.
func (t *tidier) statement(indent int, n Node) {
	switch n := n.(type) {
	case *Title:
		t.plain(indent, n.Note, "sheet", t.raw(n.Name))
	case *Use:
		t.plain(indent, n.Note, "use", t.raw(n.Path), t.optional("as", n.As))
	case *Caution:
		t.plain(indent, n.Note, "caution", t.raw(n.Text))
	case *UnitDef:
		t.plain(indent, n.Note, "unit", n.Name.Text, "=", n.Value.Text, tagText(n.Unit))
	case *Adjust:
		t.plain(indent, n.Note, "adjust", n.Name.Text, tagText(n.Unit), "from", n.From.Text, "to", n.To.Text, "so",
			n.Left.Text, "=", n.Right.Text)
	case *Chart:
		t.chart(indent, n)
	case *Citation:
		t.plain(indent, n.Note, "source", t.raw(n.Text))
	case *Condition:
		word := "needs"
		if n.Trust {
			word = "trust"
		}
		t.plain(indent, n.Message, word, n.Cond.Text)
	case *Example:
		t.plain(indent, n.Where, "example", n.Call.Text, "=", t.raw(n.Value), tagText(n.Unit))
	}
}

// cell adds a cell's line; a worked column has its unit next to its name.
func (t *tidier) cell(indent int, c *Cell) {
	switch {
	case t.table != nil:
		t.add(workedLine, indent, c.Note, join(c.Name.Text, tagText(c.Unit)), t.value(c.Value))
	case c.IsGiven():
		t.add(cellLine, indent, c.Note, c.Name.Text, tagText(c.Unit), join(":", t.value(c.Value)))
	default:
		t.add(cellLine, indent, c.Note, c.Name.Text, tagText(c.Unit), t.value(c.Value))
	}
}

func (t *tidier) head(indent int, line *HeadLine) {
	n := t.table
	if t.barsStay {
		t.asWritten(indent, line.Span)
		return
	}
	parts := make([]string, len(n.Head))
	for i, c := range n.Head {
		parts[i] = join(c.Name.Text, tagText(c.Unit))
	}
	if r := n.Range; r != nil {
		t.plain(indent, n.HeadNote, parts[0], "from", r.From.Text, "to", r.To.Text, "step", r.Step.Text)
		return
	}
	t.add(rowLine, indent, n.HeadNote, parts...)
}

func (t *tidier) row(indent int, n *Row) {
	if t.barsStay {
		t.asWritten(indent, n.Span)
		return
	}
	parts := []string{t.raw(n.Name)}
	for _, v := range n.Values {
		parts = append(parts, t.value(v))
	}
	t.add(rowLine, indent, n.Note, parts...)
}

func paramsText(params []Param) string {
	list := make([]string, len(params))
	for i, p := range params {
		if p.Each {
			list[i] = "each "
		}
		list[i] += join(p.Name.Text, tagText(p.Unit))
	}
	return strings.Join(list, ", ")
}

// comment adds a comment; blanks after its slashes may be the layout of a drawing and stay.
func (t *tidier) comment(indent int, n *Comment) {
	l := newLine(t.text, int(n.Span.Start), int(n.Span.End))
	words := t.text[l.from+2 : l.to]
	lead := words[:len(words)-len(strings.TrimLeft(words, " \t"))]
	words = strings.ReplaceAll(lead, "\t", "    ") + words[len(lead):]
	if words != "" && words[0] != ' ' && words[0] != '/' {
		words = " " + words
	}
	t.lines = append(t.lines, shape{kind: commentLine, indent: indent, parts: []string{"//" + words},
		loose: indent == t.level})
}

// asWritten adds lines that could not be read, or that must stay as they are. Only how far they are indented is made to
// fit, so that they stay where they belong.
func (t *tidier) asWritten(indent int, at Span) {
	for _, l := range splitLines(t.text, int(at.Start), int(at.End)) {
		s := shape{kind: badLine, indent: indent, parts: []string{t.text[l.from:l.to]}}
		if l.start > at.Start {
			s.indent += bodyIndent
		}
		if l.blank() {
			s = shape{kind: blankLine}
		}
		t.lines = append(t.lines, s)
	}
}

func (t *tidier) add(kind lineKind, indent int, note Word, parts ...string) {
	t.lines = append(t.lines, shape{kind: kind, indent: indent, group: t.group, parts: parts, note: note.Text})
}

// plain adds a line that is aligned with no other.
func (t *tidier) plain(indent int, note Word, parts ...string) {
	t.add(plainLine, indent, note, join(parts...))
}

// raw returns a word as written, with its quotes.
func (t *tidier) raw(w Word) string { return t.text[w.Span.Start:w.Span.End] }

// value returns a value as it is in a line.
func (t *tidier) value(v Value) string {
	if v.Kind == FormulaValue {
		return "= " + v.Word.Text
	}
	return join(t.raw(v.Word), v.Tolerance(), v.Guess().Text)
}

// optional returns `word WORD`, or nothing when there is no such word.
func (t *tidier) optional(word string, w Word) string {
	if !w.Given() {
		return ""
	}
	return word + " " + t.raw(w)
}

// join puts one blank between the parts that are there.
func join(parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(p string) bool { return p == "" }), " ")
}

func tagText(u UnitTag) string {
	switch {
	case u.Choice != nil:
		return "[" + u.Choice.Whole.Text + "]"
	case !u.Given():
		return ""
	case u.Step.Given():
		return "[" + u.Unit.Text + ", " + u.Step.Text + "]"
	}
	return "[" + u.Unit.Text + "]"
}

// write returns the lines as text.
func (t *tidier) write() []byte {
	var b bytes.Buffer
	b.Grow(len(t.text) + len(t.text)/4)
	if strings.HasPrefix(t.text, byteOrderMark) {
		b.WriteString(byteOrderMark)
	}
	end := lineEnd(t.text)
	for _, s := range t.lines {
		if s.kind != blankLine {
			b.WriteString(strings.Repeat(" ", s.indent) + s.code)
		}
		b.WriteString(end)
	}
	return b.Bytes()
}

// lineEnd returns the line end that text has most of.
func lineEnd(text string) string {
	if crlf := strings.Count(text, "\r\n"); 2*crlf > strings.Count(text, "\n") {
		return "\r\n"
	}
	return "\n"
}

// chart writes a chart, an outline or a picture.
func (t *tidier) chart(indent int, n *Chart) {
	word, join := "chart", "against"
	switch {
	case n.Outline:
		word = "outline"
	case n.Picture:
		word, join = "picture", "at"
	}
	var ys, marks []string
	for _, y := range n.Ys {
		ys = append(ys, y.Text)
	}
	for _, m := range n.Marks {
		marks = append(marks, m.Text)
	}
	marked := ""
	if len(marks) > 0 {
		marked = "mark " + strings.Join(marks, ", ")
	}
	t.plain(indent, n.Note, word, t.raw(n.Title), n.Table.Text+":", strings.Join(ys, ", "), join, n.X.Text, marked)
}
