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
	for i, n := range f.Nodes {
		t.node(f.Nodes, i, n)
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
	_, bad := f.Nodes[0].(*Bad)
	return bad && (&parser{src: f.Source, text: f.Source.Text()}).refuse()
}

// tidier turns nodes into lines of the layout.
type tidier struct {
	text  string
	lines []shape
	level int // how far the content of the page is indented
	group int
}

// bodyIndent is how far lines that belong to another one are indented below it.
const bodyIndent = 2

// node adds the lines of n, which is nodes[i].
func (t *tidier) node(nodes []Node, i int, n Node) {
	switch n := n.(type) {
	case *Page:
		t.open(0)
		t.group++
		t.plain(0, t.join("page", t.raw(n.Name)), n.Note)
		t.level = bodyIndent
	case *Variant:
		t.open(0)
		t.level = 0 // or else what follows would look as if it belonged to the variant
		t.variant(n)
	case *Formula:
		t.open(t.level)
		t.formula(n)
	case *Table:
		t.table(n)
	case *Blank:
		t.add(shape{kind: blankLine})
	case *Comment:
		t.comment(t.level, n)
	case *Bad:
		t.bad(t.level, n)
	default:
		t.statement(n)
	}
}

// open puts a blank line in front of what follows and of the comments right above it, which it indents by level.
func (t *tidier) open(level int) {
	i := len(t.lines)
	for i > 0 && t.lines[i-1].kind == commentLine && t.lines[i-1].loose {
		i--
		t.lines[i].indent = level
	}
	t.lines = append(t.lines, shape{})
	copy(t.lines[i+1:], t.lines[i:])
	t.lines[i] = shape{kind: blankLine}
}

// statement adds the line of a statement that has no body.
func (t *tidier) statement(n Node) {
	switch n := n.(type) {
	case *Cell:
		t.cell(cellLine, t.level, n)
	case *Check:
		t.add(shape{kind: cellLine, indent: t.level, group: t.group,
			parts: []string{"check " + n.Name.Text, "", "= " + n.Condition.Text}, note: n.Note.Text})
	case *Title:
		t.plain(t.level, t.join("sheet", t.raw(n.Name)), n.Note)
	case *Use:
		t.plain(t.level, t.join("use", t.raw(n.Path), t.optional("as", n.As)), n.Note)
	case *Caution:
		t.plain(t.level, t.join("caution", t.raw(n.Text)), n.Note)
	case *UnitDef:
		t.plain(t.level, t.join("unit", n.Name.Text, "=", n.Value.Text, tagText(n.Unit)), n.Note)
	case *Adjust:
		t.plain(t.level, t.join("adjust", n.Name.Text, tagText(n.Unit), "from", n.From.Text, "to", n.To.Text, "so",
			n.Left.Text, "=", n.Right.Text), n.Note)
	case *Chart:
		ys := make([]string, len(n.Ys))
		for i, y := range n.Ys {
			ys[i] = y.Text
		}
		t.plain(t.level, t.join("chart", t.raw(n.Title), n.Table.Text+":", strings.Join(ys, ", "), "against", n.X.Text),
			n.Note)
	}
}

// cell adds a cell's line; a worked column has its unit next to its name.
func (t *tidier) cell(kind lineKind, indent int, c *Cell) {
	rest := "= " + c.Formula().Text
	if c.IsGiven() {
		rest = t.join(":", t.value(c.Value))
	}
	parts := []string{c.Name.Text, tagText(c.Unit), rest}
	if kind == workedLine {
		parts = []string{t.join(c.Name.Text, tagText(c.Unit)), rest}
	}
	t.add(shape{kind: kind, indent: indent, group: t.group, parts: parts, note: c.Note.Text})
}

func (t *tidier) table(n *Table) {
	t.plain(t.level, "table "+n.Name.Text, n.Note)
	outer := t.group
	t.group = len(t.lines) + 1<<24 // unlike the number of any page
	indent := t.level + bodyIndent
	asWritten := n.Edges != Edges{} &&
		slices.ContainsFunc(n.Body, func(line Node) bool { _, bad := line.(*Bad); return bad })
	for _, line := range n.Body {
		switch line := line.(type) {
		case *HeadLine:
			if asWritten {
				t.asWritten(indent, line.Span)
				continue
			}
			t.head(indent, n)
		case *Row:
			if asWritten {
				t.asWritten(indent, line.Span)
				continue
			}
			parts := []string{t.raw(line.Name)}
			for _, v := range line.Values {
				parts = append(parts, t.value(v))
			}
			t.add(shape{kind: rowLine, indent: indent, group: t.group, parts: parts, note: line.Note.Text})
		case *Cell:
			t.cell(workedLine, indent, line)
		default:
			t.inner(indent, line)
		}
	}
	t.group = outer
}

// asWritten adds a line of a table that keeps the bars at its edges, since another line of it could not be read: the
// head and the rows must go on agreeing.
func (t *tidier) asWritten(indent int, at Span) { t.bad(indent, &Bad{Lines: Lines{at}}) }

func (t *tidier) head(indent int, n *Table) {
	if r := n.Range; r != nil {
		c := n.Head[0]
		t.plain(indent, t.join(c.Name.Text, tagText(c.Unit), "from", r.From.Text, "to", r.To.Text, "step", r.Step.Text),
			n.HeadNote)
		return
	}
	parts := make([]string, len(n.Head))
	for i, c := range n.Head {
		parts[i] = t.join(c.Name.Text, tagText(c.Unit))
	}
	t.add(shape{kind: rowLine, indent: indent, group: t.group, parts: parts, note: n.HeadNote.Text})
}

func (t *tidier) variant(n *Variant) {
	t.plain(0, t.join("variant", t.raw(n.Name), t.optional("from", n.From)), n.Note)
	outer := t.group
	t.group = len(t.lines) + 1<<24
	for _, line := range n.Body {
		if s, ok := line.(*Setting); ok {
			t.add(shape{kind: cellLine, indent: bodyIndent, group: t.group,
				parts: []string{s.Target.Text, "", t.join(":", t.value(s.Value))}, note: s.Note.Text})
			continue
		}
		t.inner(bodyIndent, line)
	}
	t.group = outer
}

func (t *tidier) formula(n *Formula) {
	params := make([]string, len(n.Params))
	for i, p := range n.Params {
		each := ""
		if p.Each {
			each = "each"
		}
		params[i] = t.join(each, p.Name.Text, tagText(p.Unit))
	}
	t.plain(t.level, t.join("formula", n.Name.Text+"("+strings.Join(params, ", ")+")", tagText(n.Unit), "=",
		n.Expr.Text), n.Note)
	for _, line := range n.Body {
		t.formulaLine(t.level+bodyIndent, line)
	}
}

func (t *tidier) formulaLine(indent int, n Node) {
	switch n := n.(type) {
	case *Citation:
		t.plain(indent, t.join("source", t.raw(n.Text)), n.Note)
	case *Caution:
		t.plain(indent, t.join("caution", t.raw(n.Text)), n.Note)
	case *Condition:
		word := "needs"
		if n.Trust {
			word = "trust"
		}
		t.plain(indent, t.join(word, n.Cond.Text), n.Message)
	case *Example:
		t.plain(indent, t.join("example", n.Call.Text, "=", t.raw(n.Value), tagText(n.Unit)), n.Where)
	default:
		t.inner(indent, n)
	}
}

// inner adds a line of a body that is blank, a comment or bad.
func (t *tidier) inner(indent int, n Node) {
	switch n := n.(type) {
	case *Blank:
		t.add(shape{kind: blankLine})
	case *Comment:
		t.comment(indent, n)
		t.lines[len(t.lines)-1].loose = false
	case *Bad:
		t.bad(indent, n)
	}
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
	t.add(shape{kind: commentLine, indent: indent, parts: []string{"//" + words}, loose: true})
}

// bad adds lines that could not be read. Only how far they are indented is made to fit, so that they stay where they
// belong.
func (t *tidier) bad(indent int, n *Bad) {
	for start := int(n.Span.Start); start < int(n.Span.End); {
		next := int(n.Span.End)
		if i := strings.IndexByte(t.text[start:next], '\n'); i >= 0 {
			next = start + i + 1
		}
		l := newLine(t.text, start, next)
		s := shape{kind: badLine, indent: indent, parts: []string{t.text[l.from:l.to]}}
		if start > int(n.Span.Start) {
			s.indent += bodyIndent
		}
		if l.blank() {
			s = shape{kind: blankLine}
		}
		t.add(s)
		start = next
	}
}

func (t *tidier) add(s shape) { t.lines = append(t.lines, s) }

func (t *tidier) plain(indent int, code string, note Word) {
	t.add(shape{kind: plainLine, indent: indent, parts: []string{code}, note: note.Text})
}

// raw returns a word as written, with its quotes.
func (t *tidier) raw(w Word) string { return t.text[w.Span.Start:w.Span.End] }

// value returns a value as it is in a line.
func (t *tidier) value(v Value) string {
	if v.Kind == FormulaValue {
		return "= " + v.Word.Text
	}
	s := t.raw(v.Word)
	if v.GiveOrTake().Given() {
		s += " " + strings.TrimSpace(t.text[v.Word.Span.End:v.GiveOrTake().Span.Start]) + " " + v.GiveOrTake().Text
	}
	return t.join(s, v.Guess().Text)
}

// optional returns `word WORD`, or nothing when there is no such word.
func (t *tidier) optional(word string, w Word) string {
	if !w.Given() {
		return ""
	}
	return word + " " + t.raw(w)
}

// join puts one blank between the parts that are there.
func (t *tidier) join(parts ...string) string {
	var b strings.Builder
	for _, p := range parts {
		if p != "" && b.Len() > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(p)
	}
	return b.String()
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
			pad(&b, s.indent)
			b.WriteString(s.code)
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
