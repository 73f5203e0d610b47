package text

import (
	"strconv"
	"strings"
)

// row reads a row.
func (b *tableReader) row(r *reader, lines Lines) Node {
	code := r.word(r.pos, r.codeEnd())
	switch {
	case commentMark(code.Text) == 0:
		r.explain()
	case len(b.t.Head) == 0:
		r.leave() // the head has been reported
	case b.refused:
		r.leave()
	case b.t.Range != nil:
		b.refused = true
		r.failAt(code, "stray-row", "this table makes its own rows, from its range", "leave the row out, or the range")
	case len(b.t.Head) > 1 && strings.Trim(code.Text, "-|:+= \t") == "":
		r.failAt(code, "ruled-line", "a table needs no rule below its head",
			"leave this line out")
	case len(b.t.Head) > 1 && r.findByte(':', r.pos, int(code.Span.End)) > 0 &&
		r.findByte('|', r.pos, int(code.Span.End)) < 0:
		r.failAt(code, "wrong-mark", "a table holds rows and worked columns only",
			"a given cell goes outside, no deeper than the table line")
	case len(b.t.Head) == 1 && !strings.HasPrefix(code.Text, `"`) && strings.Contains(code.Text, "="):
		// each line could be a name of such a table, and so could a worked column with a mistake
		r.failAt(code, "name-formula", "a row's name with = in it goes in quotes",
			"if it is a column: NAME [UNIT] = FORMULA")
	}
	entries := b.cut(r, code)
	if b.p.values += len(b.t.Head); b.p.values > MaxValues {
		r.leave() // the file is refused
	}
	r.pos = int(entries[0].Start)
	row := &Row{Lines: lines, Name: r.rowName(int(entries[0].End))}
	row.Values = make([]Value, 0, len(b.t.Head)-1)
	for i, at := range entries[1:len(b.t.Head)] {
		if w := r.word(int(at.Start), int(at.End)); b.t.Head[i+1].Unit.Given() && isCellName(w.Text) {
			r.failAt(w, "no-quotes", "a number is needed here, since "+b.t.Head[i+1].Name.Text+" has a unit",
				"= "+w.Text+" if that is the name of a cell")
		}
		row.Values = append(row.Values, r.entry(int(at.Start), int(at.End)))
	}
	r.pos = int(code.Span.End)
	row.Note = r.note()
	b.t.Rows = append(b.t.Rows, row)
	if bar := int(code.Span.End); len(entries) > len(b.t.Head) && !b.remarked {
		b.remarked = true // once for each table
		b.p.remark("edge-bar", bar-1, bar, "this bar is one too many",
			"leave out the bar at the end, or give the head one too")
	}
	return row
}

// cut returns where the entries of a row are, and reports an error when there are not as many as the head has columns;
// an empty one more may be at the end.
func (b *tableReader) cut(r *reader, code Word) []Span {
	entries := make([]Span, 0, len(b.t.Head)+2)
	from := code.Span.Start
	for i, c := range outsideQuotes(code.Text) {
		if c == '|' {
			bar := code.Span.Start + int32(i)
			entries = append(entries, Span{from, bar})
			from = bar + 1
		}
	}
	entries = append(entries, Span{from, code.Span.End})
	entries = b.withoutEdges(r, code, entries)
	if n := len(entries); n != len(b.t.Head) && !(n == len(b.t.Head)+1 && b.oneTooMany(r, entries)) {
		b.misfit(r, code, n)
	}
	return entries
}

// withoutEdges leaves out what is beyond the bars at the edges of a row, where the head has them. It reports an error
// when the row has not.
func (b *tableReader) withoutEdges(r *reader, code Word, entries []Span) []Span {
	missing := func(where, hint string) {
		b.edges = append(b.edges, b.p.nextReported())
		r.failAt(code, "edge-bar", "the head "+where+" with a bar, this row does not",
			hint)
	}
	if b.t.Edges.Left {
		if !strings.HasPrefix(code.Text, "|") {
			missing("begins", "| "+code.Text)
		}
		entries = entries[1:]
	}
	if b.t.Edges.Right {
		last := len(entries) - 1
		if last < 1 || entries[last].Len() > 0 {
			missing("ends", code.Text+" |")
		}
		entries = entries[:last]
	}
	return entries
}

// oneTooMany reports whether the last entry of a row, which has one more than the head, is empty and can be left out.
// Where an empty entry comes before a filled one, the bar that is too many may be that one's.
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

// endsWithNumber matches a row without bars that seems to have entries all the same.
var endsWithNumber = lazily(`\s[-+.]?[0-9][^\s]*(?:\s+[\pL%]+)?$`)

var (
	quoted    = lazily(`"[^"]*"`)
	looseText = lazily(`^\s*\pL`) // an entry that may be text without its quotes
)

// rowName reads the name of a row, which ends at end.
func (r *values) rowName(end int) Word {
	if r.next() == '"' {
		w := r.label("the row's name", "")
		if r.blanks(); r.pos < end {
			r.fail("stray-words", r.pos, end, "this is left over after the row's name", "")
		}
		return w
	}
	w := r.word(r.pos, end)
	if !w.Given() {
		r.missing("no-name", "the row has no name", "each row begins with its name")
	}
	return r.keep(w, MaxLabel, "the row's name")
}

// entry reads the entry [from, to) of a row.
func (r *values) entry(from, to int) Value {
	w := r.word(from, to)
	switch {
	case !w.Given():
		return Value{Word: r.word(from, from)}
	case w.Text[0] == '=':
		at := int(w.Span.Start)
		r.pos = at + 1
		r.singleEquals(at)
		f := r.word(at+1, to)
		if !f.Given() {
			r.fail("empty-formula", at, at+1, "there is no formula after the =", "")
		}
		r.checkFormula(f)
		return Value{Kind: FormulaValue, Word: f}
	case w.Text[0] == '"':
		r.pos = int(w.Span.Start)
		v := r.textOrGuess()
		if v.End() < w.Span.End {
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
