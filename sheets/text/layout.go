package text

import (
	"slices"
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
	blank := func(s shape) bool { return s.kind == blankLine }
	lines = slices.CompactFunc(lines, func(a, b shape) bool { return blank(a) && blank(b) })
	if len(lines) > 0 && blank(lines[0]) {
		lines = lines[1:]
	}
	if n := len(lines); n > 0 && blank(lines[n-1]) {
		lines = lines[:n-1]
	}
	return lines
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
			alignParts(group, leastWorked, mostWorked, "")
		case rowLine:
			alignParts(group, 0, mostEntry, "| ")
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
		code := s.parts[0]
		if s.parts[1] != "" {
			code = padded(code, name+1) + s.parts[1]
		}
		s.code = padded(code, mark) + s.parts[2]
	}
}

// alignParts puts the parts of lines in columns, with a mark in front of each but the first: the entries of a table's
// rows, the name and the formula of its worked columns.
func alignParts(group []*shape, least, most int, mark string) {
	widths := slices.Repeat([]int{least}, len(group[0].parts))
	for _, s := range group {
		for i, p := range s.parts {
			widths[i] = widest(widths[i], columns(p), most)
		}
	}
	for _, s := range group {
		var b strings.Builder
		last := len(s.parts) - 1
		for i, p := range s.parts[:last] {
			b.WriteString(padded(p, widths[i]+1) + mark)
		}
		s.code = strings.TrimRight(b.String()+s.parts[last], " ")
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

// padded adds blanks to s up to a column, and at least one.
func padded(s string, column int) string {
	return s + strings.Repeat(" ", max(column-columns(s), 1))
}
