package text

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
)

// AddRow returns the file with one more row at the end of a table. Entries are as they are typed in a sheet, one for
// each column of the head but the first; those at the end may be missing. A tidy file stays tidy; in any other the bars
// come below those of the line above as far as there is room, and no other line changes. An error says what prevents
// it.
func AddRow(f *File, table, name string, entries ...string) (*File, error) {
	t, err := find("table", table, NodesOf[*Table](f), func(t *Table) Word { return t.Name })
	switch {
	case err != nil:
		return nil, err
	case t.Range != nil:
		return nil, fmt.Errorf("the table %s makes its own rows (line %d), so none can be added", table, f.line(t))
	case len(t.Head) == 0 || len(t.Unread) > 0:
		return nil, fmt.Errorf("the table %s cannot be read whole (line %d), so no row can be added", table, f.line(t))
	case slices.ContainsFunc(t.Rows, func(r *Row) bool { return r.Name.Text == name }):
		return nil, fmt.Errorf("%s is a row of %s already", name, table)
	}
	typed := rowNameTyped(name, len(t.Head))
	for i := range t.Head[1:] {
		entry := ""
		if i < len(entries) {
			entry = strings.TrimSpace(entries[i])
		}
		typed = append(typed, entry)
	}
	text, above := f.Source.Text(), f.lastRowLine(t)
	line := text[above.Start:above.End]
	ending := line[len(strings.TrimRight(line, "\r\n")):]
	lead := ""
	if ending == "" { // the file ends without a line end, and may go on doing so
		lead = "\n"
	}
	row := lead + belowBars(line, typed, t.Edges) + ending
	next, diags := Parse(NewSource(f.Source.Name, []byte(text[:above.End]+row+text[above.End:])))
	at := f.Source.Position(above.Start).Line + 1
	for _, d := range diags {
		if next.Source.Position(d.Span.Start).Line == at {
			return nil, fmt.Errorf("the row cannot be put on line %d: %s", at, d.Msg)
		}
	}
	if !bytes.Equal(Format(f), []byte(text)) {
		return next, nil
	}
	next, _ = Parse(NewSource(f.Source.Name, Format(next)))
	return next, nil
}

// rowNameTyped returns the name of a row as it is typed: in quotes where it would be read as something else.
func rowNameTyped(name string, columns int) []string {
	if strings.ContainsAny(name, `|"`) || strings.Contains(name, "//") || columns == 1 && strings.Contains(name, "=") {
		return []string{Quote(name)}
	}
	return []string{name}
}

// lastRowLine returns the line after which a row is added: that of the last row, or else of the head.
func (f *File) lastRowLine(t *Table) Span {
	var last Span
	for _, n := range t.Body {
		switch n.(type) {
		case *Row, *HeadLine:
			last = n.Extent()
		}
	}
	return last
}

// belowBars writes entries as a row whose bars come below those of the line above.
func belowBars(above string, entries []string, edges Edges) string {
	var bars []int
	for i, b := range outsideQuotes(above) {
		if b == '|' {
			bars = append(bars, columns(above[:i]))
		}
	}
	var b strings.Builder
	b.WriteString(above[:len(above)-len(strings.TrimLeft(above, " \t"))])
	bar := func(i int) {
		room := 1
		if i < len(bars) {
			room = max(1, bars[i]-columns(b.String()))
		}
		b.WriteString(strings.Repeat(" ", room) + "|")
	}
	if edges.Left {
		b.WriteString("| ")
		bars = bars[min(1, len(bars)):]
	}
	for i, e := range entries {
		if i > 0 {
			bar(i - 1)
			if e != "" {
				b.WriteString(" ")
			}
		}
		b.WriteString(e)
	}
	if edges.Right {
		bar(len(entries) - 1)
	}
	return strings.TrimRight(b.String(), " ")
}

// RowEntries returns the entries of a row of a table as they are typed, that of the first column left out; ok is false
// if there is no such row.
func RowEntries(f *File, table, name string) (entries []string, ok bool) {
	t, err := find("table", table, NodesOf[*Table](f), func(t *Table) Word { return t.Name })
	if err != nil {
		return nil, false
	}
	r, err := find("row of "+table, name, t.Rows, func(r *Row) Word { return r.Name })
	if err != nil {
		return nil, false
	}
	for _, v := range r.Values {
		typed := f.Source.Text()[v.Word.Span.Start:v.End()]
		if v.Kind == FormulaValue {
			typed = "= " + typed
		}
		entries = append(entries, typed)
	}
	return entries, true
}
