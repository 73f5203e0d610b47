package program

import (
	"fmt"
	"strings"

	"gusset/sheets/text"
	"gusset/units/nearest"
)

// Effort counts the names that have been looked through for what unknown ones could mean.
type Effort int

// maxGuessed is how many are looked through, all in all, so that a stranger's sheet with a hundred thousand
// unknown names does not take hours.
const maxEffort = 1_000_000

// Allow takes count names more into account, and reports whether they may be looked through.
func (g *Effort) Allow(count int) bool {
	*g += Effort(count)
	return *g <= maxEffort
}

// UnknownColumn tells that a table has no such column.
func (p *Program) UnknownColumn(t *Table, name string, g *Effort) text.Diag {
	d := text.Diag{Code: "unknown-column", Msg: fmt.Sprintf("the table %s has no column %s", t.Name.Text, name)}
	if !g.Allow(len(t.Cols)) {
		return d
	}
	var names []string
	for _, c := range t.Cols {
		names = append(names, c.Name.Text)
	}
	if near, ok := nearest.Word(name, names); ok {
		d.Hint = fmt.Sprintf("is it %s?", near)
	} else {
		d.Hint = "it has " + JoinWords(names)
	}
	if num, known := p.Texts.Find(name); known && len(t.Cols) > 1 {
		if _, isRow := t.ByName[num]; isRow {
			d.Hint = fmt.Sprintf("a row is named in brackets: %s[%q].%s", t.Name.Text, name, t.Cols[len(t.Cols)-1].Name.Text)
		}
	}
	return d
}

// UnknownRow tells that a table has no such row, and which comes nearest.
func (p *Program) UnknownRow(t *Table, name string, g *Effort) text.Diag {
	d := text.Diag{Code: "unknown-row", Msg: fmt.Sprintf("the table %s has no row %q", t.Name.Text, name)}
	if !g.Allow(len(t.RowName)) {
		return d
	}
	names := make([]string, len(t.RowName))
	for i, n := range t.RowName {
		names[i] = p.Texts.At(n)
	}
	add := p.addRow(t)
	if near, ok := nearest.Word(name, Sorted(names)); ok {
		d.Hint = nearOrAdd(near, add)
	} else if add != "" {
		d.Hint = add
	} else if like := rowsLike(name, names); len(like) > 0 && len(like) <= 6 {
		d.Hint = "it has " + JoinWords(like)
	} else if len(names) == 0 {
		d.Hint = "it has none"
	} else if len(names) <= 6 {
		d.Hint = "it has " + JoinWords(names)
	} else if t.Mod.Library {
		d.Hint = "gusset library " + t.Name.Text + " lists its rows"
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

// addRow says where a row could be added: to another sheet of the builder's. It is empty for tables of the
// library, and for those of the sheet itself, which are plain to see.
func (sh *Sheets) addRow(t *Table) string {
	if t.Mod.Library || t.Mod == sh.Root {
		return ""
	}
	return "add it to " + t.Mod.Src.Name
}
