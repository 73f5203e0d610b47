package text

import (
	"bytes"
	"strings"
	"unicode/utf8"
)

// lineKind says how a line of the layout is aligned.
type lineKind uint8

const (
	plainLine   lineKind = iota
	blankLine            // has no parts
	commentLine          // aligned with nothing
	badLine              // aligned with nothing
	cellLine             // name, unit, and mark with what follows
	workedLine           // name with unit, and mark with what follows
	rowLine              // entries of a table
)

// shape is one line on its way into the layout: first its parts, then its code.
type shape struct {
	kind   lineKind
	loose  bool // a comment that belongs to no block
	indent int
	group  int // lines of one kind and group are in line with one another
	parts  []string
	note   string
	code   string
}

// The layout, in columns. The least widths make short pages line up with one another; the greatest keep one long
// name from pushing all others to the right.
const (
	leastName, mostName     = 15, 28 // of a name that has a unit
	leastTag, mostTag       = 10, 20
	mostPlainName           = 40 // of a name that has none
	leastWorked, mostWorked = 16, 40
	mostEntry               = 40
	leastNote, mostNote     = 55, 76 // where notes begin
)

// dropBlanks returns lines with one blank line for each run of them, and none at either end.
func dropBlanks(lines []shape) []shape {
	kept := lines[:0]
	for _, s := range lines {
		if s.kind != blankLine || len(kept) > 0 && kept[len(kept)-1].kind != blankLine {
			kept = append(kept, s)
		}
	}
	if n := len(kept); n > 0 && kept[n-1].kind == blankLine {
		kept = kept[:n-1]
	}
	return kept
}

// align makes the code of each line from its parts.
func align(lines []shape) {
	type key struct {
		kind  lineKind
		group int
	}
	groups := make(map[key][]*shape)
	for i := range lines {
		s := &lines[i]
		switch s.kind {
		case blankLine:
		case cellLine, workedLine, rowLine:
			k := key{s.kind, s.group}
			groups[k] = append(groups[k], s)
		default:
			s.code = s.parts[0]
		}
	}
	for k, group := range groups {
		switch k.kind {
		case cellLine:
			alignCells(group)
		case workedLine:
			alignWorked(group)
		case rowLine:
			alignRows(group)
		}
	}
}

// alignCells puts the units in one column, and the marks in another.
func alignCells(group []*shape) {
	name, tag, mark := leastName, leastTag, 0
	for _, s := range group {
		switch n := columns(s.parts[0]); {
		case s.parts[1] != "":
			name, tag = widest(name, n, mostName), widest(tag, columns(s.parts[1]), mostTag)
		default:
			mark = widest(mark, n+1, mostPlainName)
		}
	}
	mark = max(mark, name+1+tag+2)
	for _, s := range group {
		var b bytes.Buffer
		b.WriteString(s.parts[0])
		if s.parts[1] != "" {
			padTo(&b, name+1)
			b.WriteString(s.parts[1])
		}
		padTo(&b, mark)
		b.WriteString(s.parts[2])
		s.code = b.String()
	}
}

// alignWorked puts the marks of a table's worked columns in one column.
func alignWorked(group []*shape) {
	mark := leastWorked
	for _, s := range group {
		mark = widest(mark, columns(s.parts[0]), mostWorked)
	}
	for _, s := range group {
		var b bytes.Buffer
		b.WriteString(s.parts[0])
		padTo(&b, mark+1)
		b.WriteString(s.parts[1])
		s.code = b.String()
	}
}

// alignRows puts the bars of a table's head and rows in columns.
func alignRows(group []*shape) {
	widths := make([]int, len(group[0].parts))
	for _, s := range group {
		for i, p := range s.parts {
			widths[i] = widest(widths[i], columns(p), mostEntry)
		}
	}
	for _, s := range group {
		var b bytes.Buffer
		for i, p := range s.parts {
			if i > 0 {
				b.WriteString("| ")
			}
			b.WriteString(p)
			if i < len(s.parts)-1 {
				pad(&b, max(widths[i]-columns(p), 0)+1)
			}
		}
		s.code = strings.TrimRight(b.String(), " ")
	}
}

// alignNotes puts the notes of lines that are right below one another in one column, and after their code.
func alignNotes(lines []shape) {
	for i := 0; i < len(lines); {
		j := i + 1
		for j < len(lines) && takesNote(lines[i]) && takesNote(lines[j]) && lines[i].indent == lines[j].indent {
			j++
		}
		alignRun(lines[i:j])
		i = j
	}
}

func takesNote(s shape) bool {
	return s.kind != blankLine && s.kind != commentLine && s.kind != badLine
}

func alignRun(run []shape) {
	column := leastNote
	for _, s := range run {
		if s.note != "" {
			column = widest(column, s.indent+columns(s.code)+2, mostNote)
		}
	}
	for i := range run {
		if s := &run[i]; s.note != "" {
			s.code += strings.Repeat(" ", max(column-s.indent-columns(s.code), 2)) + "//"
			if s.note[0] != '/' {
				s.code += " "
			}
			s.code += s.note
		}
	}
}

// widest returns the greater of w and n, unless n is more than most.
func widest(w, n, most int) int {
	if n > most {
		return w
	}
	return max(w, n)
}

// columns returns how many columns of a screen s takes.
func columns(s string) int {
	for i := 0; i < len(s); i++ {
		if s[i] >= utf8.RuneSelf {
			return width.StringWidth(s)
		}
	}
	return len(s)
}

// padTo adds blanks up to a column, and at least one.
func padTo(b *bytes.Buffer, column int) {
	pad(b, max(column-columns(b.String()), 1))
}

func pad(b *bytes.Buffer, n int) {
	for ; n > 0; n-- {
		b.WriteByte(' ')
	}
}
