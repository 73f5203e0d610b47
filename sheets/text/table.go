package text

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// table reads what follows `table` and the block below it. When its head cannot be read, Head is empty and the rows are
// *Bad, without a message each.
func (p *parser) table(i int, r *reader) Node {
	t := &Table{Name: r.name("the table's name", "table parts")}
	if r.blanks() {
		r.failMoreWords(t.Name, "table", r.codeEnd())
	}
	t.Note = r.note()
	end := p.block(i)
	if r.bad {
		return p.finishBlock(i)
	}
	p.at = end
	t.Lines = p.extent(i, end)
	b := &tableReader{p: p, t: t, names: make(map[string]bool), untold: p.untold}
	for j := i + 1; j < end; j++ {
		n := b.line(j)
		if b.swallow > j+1 {
			n = p.bad(j, min(b.swallow, end))
			j = min(b.swallow, end) - 1
		}
		t.Body = append(t.Body, n)
	}
	if !b.headed {
		p.noHead(i, r, t)
	}
	b.columnsLast()
	b.oneMessage()
	return t
}

// noHead tells that a table has no head, or that its body is not indented; rows that follow then get no message.
func (p *parser) noHead(i int, r *reader, t *Table) {
	next := p.at
	for next < len(p.lines) && p.plain(next) != nil {
		next++
	}
	if next < len(p.lines) {
		row := p.reader(next)
		if isRow(row.text[row.pos:row.end]) {
			p.tell("not-indented", row.pos, row.end, "the lines of a table are indented below it", "put four spaces before each")
			p.strayRow = next
			return
		}
	}
	p.tell("no-head", int(t.Name.Span.Start), int(t.Name.Span.End), "the table has no head", "indented below it: part | weight [oz]")
}

// tableReader reads the body of a table.
type tableReader struct {
	p       *parser
	t       *Table
	names   map[string]bool // of the columns so far
	headed  bool            // the line of the head has been read, well or badly
	refused bool            // a row of a table that makes its own rows has been told of
	swallow int

	headSpan Span
	remarked bool  // a bar too many at the end of a row has been remarked on
	edges    []int // the messages about rows that lack a bar at an edge where the head has one
	misfits  []int // the messages about rows that have more or fewer entries than the head has columns
	entries  int   // how many the first of those rows has
	unlike   bool  // and not all of them as many
	untold   int   // messages that were not told before the table
}

// oneMessage makes one message about the head out of those about its rows, when the rows agree and the head does not.
func (b *tableReader) oneMessage() {
	if len(b.edges) >= 2 && len(b.misfits) == 0 && len(b.t.Rows) == 0 {
		b.withdraw(b.edges)
		b.p.tell("edge-bar", int(b.headSpan.Start), int(b.headSpan.End), "the head has a bar at its edge, and no row has", "leave out the bar at the edge: "+headForm)
		return
	}
	if len(b.misfits) < 3 || b.unlike || len(b.t.Rows) > 0 {
		return
	}
	b.withdraw(b.misfits)
	b.p.tell("entry-count", int(b.headSpan.Start), int(b.headSpan.End), "the head has "+count(len(b.t.Head), "column", "columns")+", every row has "+
		count(b.entries, "entry", "entries"), headForm)
}

// withdraw takes messages back, whose numbers rise.
func (b *tableReader) withdraw(said []int) {
	rest := b.p.diags[:said[0]]
	for i := said[0]; i < len(b.p.diags); i++ {
		if len(said) > 0 && said[0] == i {
			said = said[1:]
			continue
		}
		rest = append(rest, b.p.diags[i])
	}
	b.p.diags, b.p.untold = rest, b.untold
}

// misfit tells of a row that has n entries, unlike the head.
func (b *tableReader) misfit(r *reader, code Word, n int) {
	b.unlike = b.unlike || len(b.misfits) > 0 && n != b.entries
	b.entries = n
	b.misfits = append(b.misfits, b.p.nextTold())
	r.fail("entry-count", int(code.Span.Start), int(code.Span.End), "the row has "+count(n, "entry", "entries")+", the head has "+count(len(b.t.Head), "column", "columns"), b.countHint(code, n))
}

// line reads line j of the body.
func (b *tableReader) line(j int) Node {
	if n := b.p.plain(j); n != nil {
		return n
	}
	r := b.p.reader(j)
	var n Node
	switch isHead := !b.headed; {
	case r.odd():
		b.headed = true
	case isHead:
		b.headed = true
		n = b.head(r, j)
	case b.isWorked(r):
		n = b.worked(r, j)
	default:
		n = b.row(r, j)
	}
	if r.bad {
		b.swallow = r.swallow
		return b.p.bad(j, j+1)
	}
	return n
}

const headForm = "part | station [in] | weight [oz]"

// head reads the columns' names, or the range that makes the rows.
func (b *tableReader) head(r *reader, j int) Node {
	if commentMark(r.text[r.pos:r.end]) == 0 {
		r.explain()
		return nil
	}
	whole := r.word(r.pos, r.codeEnd())
	edges := Edges{Left: r.take('|')}
	start := r.pos
	var head []Column
	for more := true; more && !r.bad; more = r.take('|') {
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
			r.fail("too-large", int(c.Name.Span.Start), int(c.Name.Span.End), "a table has no more than 200 columns", "")
		}
	}
	rng := b.rangeOf(r, len(head) == 1)
	if b := r.next(); b != 0 && rng == nil && len(head) == 1 && r.failGaps(start) {
		return nil
	} else if b == ':' || b == '=' {
		r.fail("no-head", r.pos, r.pos+1, "the first line of a table is its head", headForm)
	} else if b != 0 && len(head) > 0 && nameAt(r.text[r.pos:r.end]) > 0 && !head[len(head)-1].Unit.Given() {
		last := head[len(head)-1].Name
		w := r.word(int(last.Span.Start), r.headEnd())
		r.fail("name-space", int(w.Span.Start), int(w.Span.End), "a name is one word", nameHint(w.Text))
	} else if (b == '(' || b == '{') && len(head) > 0 && !head[len(head)-1].Unit.Given() {
		r.failRoundUnit(head[len(head)-1].Name)
	}
	note := r.note()
	if r.bad {
		return nil
	}
	b.t.Head, b.t.Range, b.t.HeadNote, b.t.Edges = head, rng, note, edges
	b.headSpan = whole.Span
	return &HeadLine{b.p.extent(j, j+1)}
}

// failRoundUnit tells that a column's unit, which stands here, is not in square brackets.
func (r *reader) failRoundUnit(column Word) {
	to := r.headEnd()
	w := r.word(r.pos, to)
	r.fail("round-tag", int(w.Span.Start), int(w.Span.End), "a unit is in square brackets", column.Text+" ["+strings.Trim(w.Text, "(){} ")+"]")
}

// headEnd returns the end of the words at the present place: where a unit, a bar, a note or nothing follows.
func (r *reader) headEnd() int {
	end := r.codeEnd()
	if n := strings.IndexAny(r.text[r.pos:end], "[|:="); n >= 0 {
		return r.pos + n
	}
	return end
}

// rangeOf reads `from A to B step S` behind the only column of a head.
func (b *tableReader) rangeOf(r *reader, only bool) *Range {
	const form = "airspeed [mph] from 10 to 50 step 5"
	at := r.pos
	if !only || r.bad || !r.takeWord("from") {
		return nil
	}
	r.pos = at
	end := r.codeEnd()
	rng := &Range{From: r.part("from", "to", end, form), To: r.part("to", "step", end, form), Step: r.part("step", "", end, form)}
	return rng
}

// oneName tells when the table has a column of that name already.
func (b *tableReader) oneName(r *reader, name Word) {
	if b.names[name.Text] && !r.bad {
		r.fail("column-twice", int(name.Span.Start), int(name.Span.End), "the table has a column "+name.Text+" already", "give one of the two another name")
	}
	b.names[name.Text] = true
}

// columnsLast tells of worked columns that are not below the rows. They are no columns then: what was meant may be a row.
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
			b.p.tell("column-place", int(n.Name.Span.Start), int(n.Formula.Span.End), msg, b.rowHint(n))
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
	entry := c.Formula.Text
	if !startsNumber(entry) || strings.ContainsAny(entry, "*+([") {
		entry = "= " + entry
	}
	row := c.Name.Text + " | " + entry + strings.Repeat(" |", len(b.t.Head)-2)
	return "if it is a row: " + row + "; a column comes below the rows"
}

// likeRow reports whether a line below the rows, NAME = FORMULA, would be a column with one value for all of them: it has no
// unit, and no column is in its formula. Its bar has been left out.
func (b *tableReader) likeRow(c *Cell) bool {
	if b.t.Range != nil || len(b.t.Head) < 2 || c.Unit.Given() {
		return false
	}
	code := c.Formula.Text
	for i := 0; i < len(code); {
		switch n := nameAt(code[i:]); {
		case n > 0 && b.names[code[i:i+n]]:
			return false
		case n > 0:
			i += n
		case code[i] == '"':
			if end := closingQuote(code, i, len(code)); end > 0 {
				i = end
			}
			i++
		default:
			i++
		}
	}
	return true
}

// isWorked reports whether the line is a worked column rather than a row: it has no bar, and a name with one =.
func (b *tableReader) isWorked(r *reader) bool {
	probe := *r
	probe.bad = true // says nothing
	end := probe.codeEnd()
	if probe.findByte('|', probe.pos, end) >= 0 {
		return false
	}
	if len(b.t.Head) > 1 || b.t.Range != nil {
		return probe.findByte('=', probe.pos, end) >= 0
	}
	probe.bad = false
	probe.p = &parser{}
	n := nameAt(probe.text[probe.pos:probe.end])
	probe.pos += n
	probe.tag()
	return n > 0 && probe.take('=') && !strings.HasPrefix(probe.text[probe.pos:probe.end], "=")
}

// worked reads a worked column.
func (b *tableReader) worked(r *reader, j int) Node {
	from := r.pos
	if word := r.text[from : from+nameAt(r.text[from:r.end])]; isStatement[word] {
		if r.pos += len(word); r.blanks() && nameAt(r.text[r.pos:r.end]) > 0 {
			r.fail("misplaced", from, from+len(word), "this "+word+" line does not belong in a table", "indent it no deeper than the table line")
			return nil
		}
		r.pos = from
	}
	c, _ := r.cell(b.p.extent(j, j+1)).(*Cell)
	if r.bad {
		return nil
	}
	if c.IsGiven() {
		r.fail("wrong-mark", int(c.Mark.Span.Start), int(c.Mark.Span.End), "a column below the rows is worked out", c.Name.Text+" = ...")
		return nil
	}
	if b.oneName(r, c.Name); r.bad {
		return nil
	}
	b.t.Worked = append(b.t.Worked, c)
	return c
}

var isStatement = set("sheet use page table check adjust variant chart formula source needs trust example caution unit")

// row reads a row.
func (b *tableReader) row(r *reader, j int) Node {
	code := r.word(r.pos, r.codeEnd())
	switch {
	case r.bad:
	case commentMark(code.Text) == 0:
		r.explain()
	case len(b.t.Head) == 0:
		r.bad = true // the head has been told of
	case b.t.Range != nil:
		if r.bad = b.refused; !b.refused {
			r.fail("stray-row", int(code.Span.Start), int(code.Span.End), "this table makes its own rows, from its range", "leave the row out, or the range")
		}
		b.refused = true
	case len(b.t.Head) > 1 && strings.Trim(code.Text, "-|:+= \t") == "":
		r.fail("ruled-line", int(code.Span.Start), int(code.Span.End), "a table needs no rule below its head", "leave this line out")
	case len(b.t.Head) > 1 && r.findByte(':', r.pos, int(code.Span.End)) > 0 && r.findByte('|', r.pos, int(code.Span.End)) < 0:
		r.fail("wrong-mark", int(code.Span.Start), int(code.Span.End), "a table holds rows and worked columns only", "a given cell goes outside, no deeper than the table line")
	}
	if r.bad {
		return nil
	}
	row := &Row{Lines: b.p.extent(j, j+1)}
	entries := b.cut(r, code)
	if b.p.values += len(entries); b.p.values > MaxValues {
		r.bad = true // the file is refused
	}
	if r.bad {
		return nil
	}
	r.pos = int(entries[0].Start)
	row.Name = r.rowName(int(entries[0].End))
	row.Values = make([]Value, 0, len(entries)-1)
	for k := 1; k < len(entries) && !r.bad; k++ {
		row.Values = append(row.Values, r.entry(int(entries[k].Start), int(entries[k].End)))
	}
	if r.bad {
		return nil
	}
	r.pos = int(code.Span.End)
	row.Note = r.note()
	b.t.Rows = append(b.t.Rows, row)
	return row
}

// cut returns where the entries of a row are, and tells when there are not as many as the head has columns.
func (b *tableReader) cut(r *reader, code Word) []Span {
	entries := make([]Span, 0, len(b.t.Head)+2)
	from := code.Span.Start
	for i := int(code.Span.Start); i < int(code.Span.End); i++ {
		switch r.text[i] {
		case '"':
			i = r.skipQuote(i)
		case '|':
			entries = append(entries, Span{from, int32(i)})
			from = int32(i) + 1
		}
	}
	entries = append(entries, Span{from, code.Span.End})
	if r.bad {
		return nil
	}
	entries = b.withoutEdges(r, code, entries)
	if n := len(entries); !r.bad && n == len(b.t.Head)+1 && b.oneTooMany(r, entries) {
		if bar := int(entries[n-1].Start) - 1; !b.remarked {
			b.p.remark("edge-bar", bar, bar+1, "this bar is one too many", "leave out the bar at the end, or give the head one too")
		}
		b.remarked = true // once for each table
		entries = entries[:n-1]
	} else if !r.bad && n != len(b.t.Head) {
		b.misfit(r, code, n)
	}
	return entries
}

// withoutEdges leaves out what is beyond the bars at the edges of a row, where the head has them. It tells when the row
// has not.
func (b *tableReader) withoutEdges(r *reader, code Word, entries []Span) []Span {
	missing := func(where, hint string) []Span {
		b.edges = append(b.edges, b.p.nextTold())
		r.fail("edge-bar", int(code.Span.Start), int(code.Span.End), "the head "+where+" with a bar, this row does not", hint)
		return nil
	}
	if b.t.Edges.Left {
		if !strings.HasPrefix(code.Text, "|") {
			return missing("begins", "| "+code.Text)
		}
		entries = entries[1:]
	}
	if b.t.Edges.Right {
		last := len(entries) - 1
		if last < 1 || entries[last].Len() > 0 {
			return missing("ends", code.Text+" |")
		}
		entries = entries[:last]
	}
	return entries
}

// oneTooMany reports whether the last entry of a row, which has one more than the head, is empty and can be left out. Where an
// empty entry comes before a filled one, the bar that is too many may be that one's.
func (b *tableReader) oneTooMany(r *reader, entries []Span) bool {
	empty := false
	for _, at := range entries {
		filled := r.word(int(at.Start), int(at.End)).Given()
		if empty && filled {
			return false
		}
		empty = empty || !filled
	}
	return entries[len(entries)-1].Len() == 0
}

func (b *tableReader) countHint(code Word, n int) string {
	m := len(b.t.Head)
	switch {
	case strings.HasPrefix(code.Text, "|"):
		return "a row does not begin with a bar"
	case n == m+1 && strings.HasSuffix(code.Text, "|"):
		return "leave out the bar at the end"
	case n < m:
		return "an entry that is not known yet keeps its bar: " + strings.TrimRight(code.Text+strings.Repeat(" |", m-n), " ")
	}
	if !strings.ContainsFunc(strings.Join(strings.Split(code.Text, "|")[1:], ""), unicode.IsLetter) {
		return "take a bar out here, or give the head a column more"
	}
	return "text that holds a bar goes in quotes"
}

// rowName reads the name of a row, which ends at end.
func (r *reader) rowName(end int) Word {
	if r.next() == '"' && r.pos < end {
		w := r.label("the row's name", "")
		if r.blanks(); !r.bad && r.pos < end {
			r.fail("stray-words", r.pos, end, "this is left over after the row's name", "")
		}
		return w
	}
	w := r.word(r.pos, end)
	if !r.bad && !w.Given() {
		r.missing("no-name", "the row has no name", "each row begins with its name")
	}
	return r.keep(w, MaxLabel, "the row's name")
}

// entry reads the entry [from, to) of a row.
func (r *reader) entry(from, to int) Value {
	w := r.word(from, to)
	switch {
	case !w.Given():
		return Value{Word: r.word(from, from)}
	case w.Text[0] == '=':
		at := int(w.Span.Start)
		r.pos = at + 1
		r.singleEquals(at)
		f := r.word(at+1, to)
		if !r.bad && !f.Given() {
			r.fail("empty-formula", at, at+1, "there is no formula after the =", "")
		}
		r.checkFormula(f)
		return Value{Kind: FormulaValue, Word: f}
	case w.Text[0] == '"':
		r.pos = int(w.Span.Start)
		v := r.takeGuess(r.textValue(), to)
		if !r.bad && v.End() < w.Span.End {
			r.fail("stray-words", int(v.End()), int(w.Span.End), "this is left over after the text", "")
		}
		return v
	}
	return r.plainValue(w, "")
}

// count returns n with the word for one or for more.
func count(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + more
}
