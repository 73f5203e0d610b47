package engine

import (
	"fmt"
	"gusset/sheets/text"
	"gusset/units/nearest"
	"slices"
	"strings"
)

// guesses counts the names that have been looked through for what unknown ones could mean.
type effort int

// maxGuessed is how many are looked through, all in all, so that a stranger's sheet with a hundred thousand unknown names
// does not take hours.
const maxEffort = 1_000_000

// allow takes count names more into account, and reports whether they may be looked through.
func (g *effort) allow(count int) bool {
	*g += effort(count)
	return *g <= maxEffort
}

// unknownColumn tells that a table has no such column.
func (m *Program) unknownColumn(t *table, name string, g *effort) text.Diag {
	d := text.Diag{Code: "unknown-column", Msg: fmt.Sprintf("the table %s has no column %s", t.name.Text, name)}
	if !g.allow(len(t.cols)) {
		return d
	}
	var names []string
	for _, c := range t.cols {
		names = append(names, c.name.Text)
	}
	if near, ok := nearest.Word(name, names); ok {
		d.Hint = fmt.Sprintf("is it %s?", near)
	} else {
		d.Hint = "it has " + joinWords(names)
	}
	if num, known := m.texts.Find(name); known && len(t.cols) > 1 {
		if _, isRow := t.byName[num]; isRow {
			d.Hint = fmt.Sprintf("a row is named in brackets: %s[%q].%s", t.name.Text, name, t.cols[len(t.cols)-1].name.Text)
		}
	}
	return d
}

// unknownRow tells that a table has no such row, and which comes nearest.
func (m *Program) unknownRow(t *table, name string, g *effort) text.Diag {
	d := text.Diag{Code: "unknown-row", Msg: fmt.Sprintf("the table %s has no row %q", t.name.Text, name)}
	if !g.allow(len(t.rowName)) {
		return d
	}
	names := make([]string, len(t.rowName))
	for i, n := range t.rowName {
		names[i] = m.texts.At(n)
	}
	add := m.addRow(t)
	if near, ok := nearest.Word(name, sorted(names)); ok {
		d.Hint = nearOrAdd(near, add)
	} else if add != "" {
		d.Hint = add
	} else if like := rowsLike(name, names); len(like) > 0 && len(like) <= 6 {
		d.Hint = "it has " + joinWords(like)
	} else if len(names) == 0 {
		d.Hint = "it has none"
	} else if len(names) <= 6 {
		d.Hint = "it has " + joinWords(names)
	} else if t.mod.library {
		d.Hint = "gusset library " + t.name.Text + " lists its rows"
	}
	return d
}

// rowsLike returns the rows whose names hold a name that stands for none of them: Sitka spruce for spruce.
func rowsLike(name string, rows []string) []string {
	var like []string
	for _, r := range rows {
		if name != "" && strings.Contains(strings.ToLower(r), strings.ToLower(name)) {
			like = append(like, r)
		}
	}
	return like
}

// nearOrAdd suggests a row of a name like the one that is not there, or else to add that one.
func nearOrAdd(near, add string) string {
	hint := fmt.Sprintf("is it %q?", near)
	if add != "" {
		hint += " Else " + add
	}
	return hint
}

// addRow says where a row could be added: to another sheet of the builder's. It is empty for tables of the library, and for
// those of the sheet itself, which are plain to see.
func (m *Program) addRow(t *table) string {
	if t.mod.library || t.mod == m.root {
		return ""
	}
	return "add it to " + t.mod.src.Name
}

// sorted returns words in order.
func sorted(words []string) []string {
	slices.Sort(words)
	return words
}

// joinWords writes a list as people do: a, b and c.
func joinWords(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// countOf says "1 value", "2 values".
func countOf(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
