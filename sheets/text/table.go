package text

import (
	"slices"
	"strings"
)

// table reads what follows `table` and the block below it. When its head cannot be read, Head is empty and the rows are
// *Bad, without a message each.
func (r *reader) table(Lines) Node {
	t := &Table{Name: r.name("the table's name", "table parts")}
	if r.blanks() {
		r.failMoreWords(t.Name, "table", r.codeEnd())
	}
	t.Note = r.note()
	p := r.p
	p.rowTold = false
	p.tableAbove = &p.lines[r.line]
	b := &tableReader{p: p, t: t, names: make(map[string]bool), unreported: p.unreported}
	t.Body, t.Lines = p.body(r.line, b.line)
	if !b.headed {
		p.noHead(t)
	}
	b.columnsLast()
	b.oneMessage()
	return t
}

// noHead reports that a table has no head, or that its body is not indented; rows that follow then get no message.
func (p *parser) noHead(t *Table) {
	next := p.at
	for next < len(p.lines) && p.plain(next) != nil {
		next++
	}
	if next < len(p.lines) {
		if l := p.lines[next]; p.isRow(next) {
			p.report("not-indented", int(l.from), int(l.to), "the lines of a table are indented below it",
				"put four spaces before each")
			p.rowTold = true
			return
		}
	}
	p.report("no-head", int(t.Name.Span.Start), int(t.Name.Span.End), "the table has no head",
		"indented below it: "+headForm)
}

// tableReader reads the body of a table.
type tableReader struct {
	p       *parser
	t       *Table
	names   map[string]bool // of the columns so far
	headed  bool            // the line of the head has been read, well or badly
	refused bool            // a row of a table that makes its own rows has been reported

	headSpan   Span
	remarked   bool     // a bar too many at the end of a row has been remarked on
	edges      []int    // the messages about rows that lack a bar at an edge where the head has one
	misfits    []misfit // rows that have more or fewer entries than the head has columns
	unlike     bool     // and not all of them as many
	unreported int      // messages that were not kept before the table
}

// oneMessage makes one message about the head out of those about its rows, when the rows agree and the head does not.
func (b *tableReader) oneMessage() {
	if len(b.edges) >= 2 && len(b.misfits) == 0 && len(b.t.Rows) == 0 {
		b.withdraw(b.edges)
		b.p.report("edge-bar", int(b.headSpan.Start), int(b.headSpan.End),
			"the head has a bar at its edge, and no row has", "leave out the bar at the edge: "+
				strings.Trim(b.p.text[b.headSpan.Start:b.headSpan.End], "| "))
		return
	}
	if len(b.misfits) < 3 || b.unlike || len(b.t.Rows) > 0 {
		b.hintMisfits()
		return
	}
	var diags []int
	for _, m := range b.misfits {
		diags = append(diags, m.diag)
	}
	b.withdraw(diags)
	entries := b.misfits[0].n
	hint := "leave out the columns that no row has an entry for"
	if more := entries - len(b.t.Head); more > 0 {
		hint = "name each column: " + b.p.text[b.headSpan.Start:b.headSpan.End] + strings.Repeat(" | NAME", more)
	}
	b.p.report("entry-count", int(b.headSpan.Start), int(b.headSpan.End),
		"the head has "+count(len(b.t.Head), "column", "columns")+", every row has "+
			count(entries, "entry", "entries"), hint)
}

// withdraw takes messages back, whose numbers rise.
func (b *tableReader) withdraw(diags []int) {
	rest := b.p.diags[:diags[0]]
	for i := diags[0]; i < len(b.p.diags); i++ {
		if len(diags) > 0 && diags[0] == i {
			diags = diags[1:]
			continue
		}
		rest = append(rest, b.p.diags[i])
	}
	b.p.diags, b.p.unreported = rest, b.unreported
}

// line reads a line of the body.
func (b *tableReader) line(r *reader, lines Lines) Node {
	isHead := !b.headed
	b.headed = true
	r.odd()
	switch {
	case isHead:
		return b.head(r, lines)
	case b.isWorked(r):
		return b.worked(r, lines)
	}
	return b.row(r, lines)
}

const headForm = "motor | voltage [V] | current [A]"

// head reads the columns' names, or the range that makes the rows.
func (b *tableReader) head(r *reader, lines Lines) Node {
	if commentMark(r.text[r.pos:r.end]) == 0 {
		r.explain()
	}
	whole := r.word(r.pos, r.codeEnd())
	edges := Edges{Left: r.take('|')}
	start := r.pos
	var head []Column
	for more := true; more; more = r.take('|') {
		if edges.Right = len(head) > 0 && r.next() == 0; edges.Right {
			break
		}
		if b := r.next(); b == '"' || '0' <= b && b <= '9' || len(head) > 0 && b == '|' {
			r.fail("no-head", r.pos, r.pieceEnd(), "the first line of a table is its head", headForm)
		}
		c := Column{r.name("the column's name", headForm), r.tag()}
		if len(head) == 0 { // it names the rows
			c.Unit = r.unitOnly(c.Unit)
		}
		b.oneName(r, c.Name)
		head = append(head, c)
		if len(head) > MaxColumns {
			r.failAt(c.Name, "too-large", "a table has no more than 200 columns",
				"")
		}
	}
	rng := b.rangeOf(r, len(head) == 1)
	if r.next() != 0 && rng == nil && len(head) == 1 {
		r.failGaps(start)
	}
	last := head[len(head)-1]
	switch b := r.next(); {
	case b == ':' || b == '=':
		r.fail("no-head", r.pos, r.pos+1, "the first line of a table is its head", headForm)
	case last.Unit.Given():
	case r.nameHere() != "":
		w := r.word(int(last.Name.Span.Start), r.headEnd())
		r.failAt(w, "name-space", "a name is one word", nameHint(w.Text))
	case b == '(' || b == '{':
		r.failRoundUnit(last.Name)
	}
	note := r.note()
	b.t.Head, b.t.Range, b.t.HeadNote, b.t.Edges = head, rng, note, edges
	b.headSpan = whole.Span
	return &HeadLine{lines}
}

// failRoundUnit reports that the column's unit that is here is not in square brackets.
func (r *reader) failRoundUnit(column Word) {
	to := r.headEnd()
	w := r.word(r.pos, to)
	r.failAt(w, "round-tag", "a unit is in square brackets",
		column.Text+" ["+strings.Trim(w.Text, "(){} ")+"]")
}

// headEnd returns the end of the words at the present place: where a unit, a bar, a note or nothing follows.
func (r *reader) headEnd() int {
	end := r.codeEnd()
	if n := strings.IndexAny(r.text[r.pos:end], "[|:="); n >= 0 {
		return r.pos + n
	}
	return end
}

// rangeOf reads `from A to B step S` after the only column of a head.
func (b *tableReader) rangeOf(r *reader, only bool) *Range {
	const form = "incidence [deg] from -2 to 12 step 2"
	at := r.pos
	if !only || !r.takeWord("from") {
		return nil
	}
	r.pos = at
	end := r.codeEnd()
	return &Range{From: r.part("from", "to", end, form), To: r.part("to", "step", end, form),
		Step: r.part("step", "", end, form)}
}

// oneName reports an error when the table has a column of that name already.
func (b *tableReader) oneName(r *reader, name Word) {
	if b.names[name.Text] {
		r.failAt(name, "column-twice", "the table has a column "+name.Text+" already",
			"give one of the two another name")
	}
	b.names[name.Text] = true
}

// columnsLast reports worked columns that are not below the rows. They are not columns then: what was meant may be a
// row.
func (b *tableReader) columnsLast() {
	rows := false // below the line at hand
	misplaced := map[*Cell]bool{}
	for i := len(b.t.Body) - 1; i >= 0; i-- {
		switch n := b.t.Body[i].(type) {
		case *Row:
			rows = true
		case *Bad:
			rows = rows || holdsBar(b.p.text[n.Span.Start:n.Span.End])
		case *Cell:
			if !rows && !b.likeRow(n) {
				continue
			}
			msg := "a worked column comes below the rows"
			if !rows {
				msg = "this has no bar, and as a column it would be the same in every row"
			}
			b.p.report("column-place", int(n.Name.Span.Start), int(n.Formula().Span.End), msg, b.rowHint(n))
			b.t.Body[i] = &Bad{Lines: n.Lines, Name: n.Name}
			misplaced[n] = true
		}
	}
	b.t.Worked = slices.DeleteFunc(b.t.Worked, func(c *Cell) bool { return misplaced[c] })
}

// rowHint says how a worked column that may have been meant as a row is written as one.
func (b *tableReader) rowHint(c *Cell) string {
	if !b.likeRow(c) {
		return "move it below the last row"
	}
	entry := c.Formula().Text
	if !startsNumber(entry) || strings.ContainsAny(entry, "*+([") {
		entry = "= " + entry
	}
	row := c.Name.Text + " | " + entry + strings.Repeat(" |", len(b.t.Head)-2)
	return "if it is a row: " + row + "; a column comes below the rows"
}

// likeRow reports whether a line below the rows, NAME = FORMULA, would be a column with one value for all of them: it
// has no unit, and no column is in its formula. Its bar has been left out.
func (b *tableReader) likeRow(c *Cell) bool {
	if b.t.Range != nil || len(b.t.Head) < 2 || c.Unit.Given() {
		return false
	}
	words := strings.FieldsFunc(quoted().ReplaceAllString(c.Formula().Text, ""), func(c rune) bool { return !inName(c) })
	return !slices.ContainsFunc(words, func(word string) bool { return b.names[word] })
}

// openUnit matches a worked column whose unit has no closing bracket.
var openUnit = lazily(`^[\pL][\pL\d_]*\s*\[[^\]|"]*=[^\]|]*$`)

// isWorked reports whether the line is a worked column rather than a row: it has no bar, and a name with one =.
func (b *tableReader) isWorked(r *reader) bool {
	end := r.codeEnd()
	at := r.findByte('=', r.pos, end)
	if openUnit().MatchString(r.text[r.pos:end]) {
		return true // whose bracket is the mistake to report
	}
	if at < 0 || r.findByte('|', r.pos, end) >= 0 {
		return false
	}
	lead := r.word(r.pos, at).Text
	if name, _, _ := strings.Cut(lead, "["); strings.ContainsAny(name, "\",;\t") {
		return false // a row with other marks for its bars
	}
	n := nameAt(lead)
	unit := strings.TrimSpace(lead[n:])
	return len(b.t.Head) > 1 || b.t.Range != nil || n > 0 && !strings.HasPrefix(r.text[at+1:end], "=") &&
		(unit == "" || unit[0] == '[' && strings.HasSuffix(unit, "]"))
}

// worked reads a worked column.
func (b *tableReader) worked(r *reader, lines Lines) Node {
	from := r.pos
	if word := r.nameHere(); isStatement(word) {
		if r.pos += len(word); r.blanks() && r.nameHere() != "" {
			r.fail("misplaced", from, from+len(word), "this "+word+" line does not belong in a table",
				"indent it no deeper than the table line")
		}
		r.pos = from
	}
	c := r.cell(lines) // worked, as a given one has no = outside quotes and brackets
	b.oneName(r, c.Name)
	b.t.Worked = append(b.t.Worked, c)
	return c
}
