package text

import (
	"encoding/json"
	"fmt"
	"sort"
	"strings"
	"unicode/utf8"
)

// Source is one sheet's text with the name it goes by in messages.
type Source struct {
	Name string // as the user would recognise it: a path relative to where they are

	text  string
	lines []int32 // byte offset at which each line begins
}

// NewSource returns data as a source called name.
func NewSource(name string, data []byte) *Source {
	s := &Source{Name: name, text: string(data)}
	s.lines = make([]int32, 1, strings.Count(s.text, "\n")+1)
	next := 0
	for line := range strings.Lines(s.text) {
		if next += len(line); strings.HasSuffix(line, "\n") {
			s.lines = append(s.lines, int32(next))
		}
	}
	return s
}

// Text returns the data.
func (s *Source) Text() string { return s.text }

// Span is a run of bytes of a source: [Start, End).
type Span struct{ Start, End int32 }

// Len returns the number of bytes in the span.
func (s Span) Len() int { return int(s.End - s.Start) }

// Position is a place as people count it: lines and characters from 1. Offset counts bytes from 0.
type Position struct{ Line, Column, Offset int }

// Position returns the line and the column (in characters, not bytes) of a byte offset.
func (s *Source) Position(offset int32) Position {
	offset = min(max(offset, 0), int32(len(s.text)))
	line := sort.Search(len(s.lines), func(i int) bool { return s.lines[i] > offset })
	start := int32(0)
	if line > 0 { // a zero Source has no lines
		start = s.lines[line-1]
	}
	line = max(line, 1)
	if line == 1 && strings.HasPrefix(s.text, "\ufeff") && offset >= 3 {
		start = 3 // a byte order mark is not a character that anyone sees
	}
	return Position{Line: line, Column: utf8.RuneCountInString(s.text[start:offset]) + 1, Offset: int(offset)}
}

// Line returns the text of a line, counted from 1, without its line end and without a byte order mark.
func (s *Source) Line(n int) string {
	if n < 1 || n > len(s.lines) {
		return ""
	}
	end := len(s.text)
	if n < len(s.lines) {
		end = int(s.lines[n])
	}
	line := strings.TrimRight(s.text[s.lines[n-1]:end], "\r\n")
	if n == 1 {
		line = strings.TrimPrefix(line, "\ufeff")
	}
	return line
}

// Severity distinguishes an error from a remark.
type Severity uint8

// The severities of a Diag.
const (
	Error  Severity = iota // something that must be mended
	Remark                 // something that a builder may want to know; the sheet is worked out all the same
)

// Diag is one thing to say about a sheet, with its place.
type Diag struct {
	Code   string // a stable word for tests and documents, such as "unknown-unit"
	Msg    string // lower case, no full stop
	Source *Source
	Span   Span
	Sev    Severity
	Notes  []string // the facts: values, units, where they were set
	Hint   string   // at most one thing to do about it
}

// Error renders the whole message: place and message, the line, a mark under the span, the notes and the hint. Without
// a Source it has no place.
func (d Diag) Error() string { return d.render(shownColumns) }

// InColumns is Error for a terminal of a width: there a longer line would go on below, and its mark stand nowhere.
func (d Diag) InColumns(width int) string {
	const indent, cuts = 4, 2 // in front of the line, and … at both of its ends
	return d.render(min(max(width-indent-cuts, shownColumns/4), shownColumns))
}

// render is Error with that much of the line.
func (d Diag) render(columns int) string {
	var b strings.Builder
	if d.Source != nil {
		d.writePlace(&b, columns)
	} else {
		b.WriteString(d.Msg)
	}
	for _, n := range d.Notes {
		b.WriteString("\n    " + n)
	}
	if d.Hint != "" {
		b.WriteString("\n    hint: " + d.Hint)
	}
	return b.String()
}

// writePlace writes place and message, that much of the line, and a mark under the span.
func (d Diag) writePlace(b *strings.Builder, columns int) {
	pos := d.Source.Position(d.Span.Start)
	fmt.Fprintf(b, "%s:%d:%d: %s", d.Source.Name, pos.Line, pos.Column, d.Msg)
	if line := d.Source.Line(pos.Line); strings.TrimSpace(line) != "" {
		shown, mark := marked(line, pos.Column-1, columns, d.Source, d.Span)
		fmt.Fprintf(b, "\n    %s\n    %s", shown, mark)
	}
}

// MarshalJSON writes the message with the place where it begins, rather than with the whole text that it is about.
func (d Diag) MarshalJSON() ([]byte, error) {
	said := struct {
		Code, Msg    string
		File         string
		Line, Column int
		Severity     string // error or remark
		Notes        []string
		Hint         string
	}{Code: d.Code, Msg: d.Msg, Severity: "error", Notes: d.Notes, Hint: d.Hint}
	if d.Sev == Remark {
		said.Severity = "remark"
	}
	if d.Source != nil {
		at := d.Source.Position(d.Span.Start)
		said.File, said.Line, said.Column = d.Source.Name, at.Line, at.Column
	}
	return json.Marshal(said)
}

// Diags is everything there is to say about a sheet, in the order of the text.
type Diags []Diag

// Err returns nil when no Diag is an error, and otherwise all of ds as one error.
func (ds Diags) Err() error {
	for _, d := range ds {
		if d.Sev == Error {
			return ds
		}
	}
	return nil
}

// Error renders every entry, separated by line ends.
func (ds Diags) Error() string {
	all := make([]string, len(ds))
	for i, d := range ds {
		all[i] = d.Error()
	}
	return strings.Join(all, "\n")
}

// Sort puts ds in the order of files and places; entries at one place keep their order.
func (ds Diags) Sort() {
	sort.SliceStable(ds, func(i, j int) bool {
		a, b := ds[i], ds[j]
		if a.Source.Name != b.Source.Name {
			return a.Source.Name < b.Source.Name
		}
		return a.Span.Start < b.Span.Start
	})
}
