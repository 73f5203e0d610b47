package program

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"gusset/sheets/text"
	"gusset/units/nearest"
)

// Effort counts the names that have been looked through for what unknown ones could mean.
type Effort int

// maxEffort is how many are looked through, all in all, so that a stranger's sheet with a hundred thousand
// unknown names does not take hours.
const maxEffort = 1_000_000

// Allow takes count names more into account, and reports whether they may be looked through. Nil allows everything.
func (g *Effort) Allow(count int) bool {
	if g == nil {
		return true
	}
	*g += Effort(count)
	return *g <= maxEffort
}

// Elsewhere suggests where a name that a sheet does not have is found instead: in a sheet that it uses, or as a column
// of one of its tables. Prefix leads to the sheet.
func (p *Program) Elsewhere(mod *Module, prefix, name string, why Purpose) string {
	for _, u := range mod.Uses {
		if _, ok := u.Mod.Names[name]; ok {
			return fmt.Sprintf("is it %s%s.%s?", prefix, u.Alias, name)
		}
	}
	if _, isPage := mod.PageAt[name]; isPage && why.Leads {
		return fmt.Sprintf("a cell is named without its page: leave out %s.", name)
	}
	for _, t := range p.Tables {
		switch c := t.Column(name); {
		case t.Mod != mod || t.List || c == nil || why.Leads || why.Set && c.Worked != nil:
		case !why.Set:
			return fmt.Sprintf("is it %s%s.%s?", prefix, t.Name.Text, name)
		case len(t.RowName) > 0:
			return fmt.Sprintf("is it %s%s[%s].%s?", prefix, t.Name.Text, text.Quote(p.Texts.At(t.RowName[0])), name)
		}
	}
	return ""
}

// rowNamed suggests an entry, where the name of a row of the sheet that was asked for is typed for it, alone or with
// that of a column. Without one it is the first column, or to set a value the those with numbers of its own.
func rowNamed(p *Program, name, column string, why Purpose) string {
	for _, t := range p.Tables {
		row, isRow := t.row(p.Texts, name)
		if !isRow || t.Mod != p.Root || t.List || len(t.Cols) < 2 || column != "" && t.Column(column) == nil {
			continue
		}
		columns := []string{cmp.Or(column, t.Cols[1].Name.Text)}
		if column == "" && why.Set {
			columns = numbersOf(p, t, row)
		}
		for i, c := range columns {
			columns[i] = fmt.Sprintf("%s[%s].%s", t.Name.Text, text.Quote(name), c)
		}
		return "is it " + strings.Join(columns, " or ") + "?"
	}
	return ""
}

// numbersOf returns the columns in which a row has a number that can be set, a few of many, or else its first column.
func numbersOf(p *Program, t *Table, row int32) []string {
	var names []string
	for _, c := range t.Cols[1:] {
		if c.Worked == nil && c.Choices == nil && p.Slots[c.Base+row].Kind == Given && len(names) < 4 {
			names = append(names, c.Name.Text)
		}
	}
	if len(names) == 0 {
		names = []string{t.Cols[1].Name.Text}
	}
	return names
}

// nearName suggests a name like one that a sheet does not have.
func nearName(p *Program, mod *Module, prefix, name string) string {
	near, ok := nearest.Word(name, slices.Sorted(maps.Keys(mod.Names)))
	if !ok {
		return ""
	}
	return fmt.Sprintf("is it %s%s?%s", prefix, near, p.WhereSet(mod, near))
}

// WhereSet tells where the sheet that was asked for sets a name; nothing for other names.
func (p *Program) WhereSet(mod *Module, name string) string {
	if r := mod.Names[name]; mod == p.Root && r.Span.Len() > 0 {
		return fmt.Sprintf(" It is set on line %d", mod.Src.Position(r.Span.Start).Line)
	}
	return ""
}

// UnknownColumn tells that a table has no such column.
func (p *Program) UnknownColumn(t *Table, typed text.Word, g *Effort) text.Diag {
	name := typed.Text
	d := text.Diag{Code: "unknown-column", Span: typed.Span}
	d.Msg = fmt.Sprintf("the table %s has no column %s", t.Name.Text, name)
	if !g.Allow(len(t.Cols)) {
		return d
	}
	names := t.ColumnNames()
	if near, ok := nearest.Word(name, names); ok {
		d.Hint = fmt.Sprintf("is it %s?", near)
	} else {
		d.Hint = "it has " + JoinWords(names)
	}
	if _, isRow := t.row(p.Texts, name); isRow && len(t.Cols) > 1 {
		d.Hint = fmt.Sprintf("a row is named in brackets: %s[%q].%s", t.Name.Text, name, t.Cols[1].Name.Text)
	}
	return d
}

// UnknownRow tells that a table has no such row, and which comes nearest.
func (p *Program) UnknownRow(t *Table, typed text.Word, g *Effort) text.Diag {
	name := typed.Text
	d := text.Diag{Code: "unknown-row", Span: typed.Span}
	d.Msg = fmt.Sprintf("the table %s has no row %q", t.Name.Text, name)
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
		d.Hint = sizesOrAdd(name, names, add)
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

// sizesOrAdd suggests to add a row, after those of the same name in other sizes: nobody types one size for another by
// a slip of the finger, but may have taken one that there is.
func sizesOrAdd(name string, rows []string, add string) string {
	var sizes []string
	for _, r := range rows {
		if words := wordsOf(name); words != "" && wordsOf(r) == words {
			sizes = append(sizes, fmt.Sprintf("%q", r))
		}
	}
	if len(sizes) == 0 {
		return add
	}
	return "there is " + JoinSome(sizes, 3) + ". Else " + add
}

// wordsOf returns the letters of a name, in small letters.
func wordsOf(name string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsLetter(r) {
			return -1
		}
		return unicode.ToLower(r)
	}, name)
}

// addRow says where a row could be added: to another sheet of the builder's. It is empty for tables of the
// library, and for those of the sheet itself, which are plain to see.
func (sh *Sheets) addRow(t *Table) string {
	if t.Mod.Library || t.Mod == sh.Root {
		return ""
	}
	return "add it to " + t.Mod.Src.Name
}
