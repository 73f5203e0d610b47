package text

import (
	"slices"
	"strings"
)

// columnHead matches what begins the part of a comment that is about some columns: `long and wide: `.
var columnHead = lazily(`(?:^|[\s(])([\pL_][\pL\pN_]*(?:(?:, | and )[\pL_][\pL\pN_]*)*): `)

var columnNames = lazily(`[\pL_][\pL\pN_]*`)

// ColumnNote returns what the comments right above a table say of a column, where they say it as `COLUMN: words`, or
// `COLUMN and COLUMN: words`; up to the same about other columns. Without that, nothing.
func ColumnNote(f *File, table, column string) string {
	var above []string
	for _, n := range f.Nodes {
		switch n := n.(type) {
		case *Comment:
			above = append(above, n.Text.Text)
			continue
		case *Table:
			if n.Name.Text == table {
				return noteOn(strings.Join(above, " "), column, n)
			}
		}
		above = nil
	}
	return ""
}

// About returns what a file says of itself: the comments at its head, or right below its title.
func (f *File) About() string {
	var lines []string
	for _, n := range f.Nodes {
		c, isComment := n.(*Comment)
		_, isTitle := n.(*Title)
		_, isBlank := n.(*Blank)
		switch {
		case isComment:
			lines = append(lines, c.Text.Text)
		case isTitle, isBlank && len(lines) == 0:
		default:
			return strings.Join(lines, " ")
		}
	}
	return strings.Join(lines, " ")
}

// noteOn finds the part of a comment that is about a column of a table.
func noteOn(comment, column string, t *Table) string {
	isColumn := func(name string) bool {
		return slices.ContainsFunc(t.Head, func(c Column) bool { return c.Name.Text == name })
	}
	from := -1
	for _, at := range columnHead().FindAllStringSubmatchIndex(comment, -1) {
		names := columnNames().FindAllString(comment[at[2]:at[3]], -1)
		switch {
		case !slices.ContainsFunc(names, isColumn):
		case from >= 0:
			return strings.TrimSpace(comment[from:at[2]])
		case slices.Contains(names, column):
			from = at[1]
		}
	}
	if from < 0 {
		return ""
	}
	return strings.TrimSpace(comment[from:])
}
