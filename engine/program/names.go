package program

import (
	"fmt"
	"strings"

	"gusset/sheets/text"
	"gusset/units/nearest"
)

// FindSlot finds a slot by the name that a builder would write.
func (p *Program) FindSlot(name string) (int32, error) {
	mod := p.Root
	rest := strings.TrimSpace(name)
	for {
		head, tail, dotted := CutName(rest)
		r, ok := mod.Names[head]
		switch {
		case !ok:
			return 0, p.NoSuchName(mod, head)
		case r.Kind == ModuleRef && dotted:
			mod, rest = mod.Uses[r.Num].Mod, tail[1:]
		case r.Kind == CellRef && tail == "":
			return p.Cells[r.Num].Slot, nil
		case r.Kind == TableRef:
			return p.findEntry(p.Tables[r.Num], tail)
		default:
			return 0, fmt.Errorf("%s is not the name of one value", name)
		}
	}
}

// CutName parts a name from what stands behind it; dotted tells whether that is a dot.
func CutName(s string) (head, tail string, dotted bool) {
	i := strings.IndexAny(s, ".[")
	if i < 0 {
		return s, "", false
	}
	return s[:i], s[i:], s[i] == '.'
}

func (p *Program) NoSuchName(mod *Module, name string) error {
	for _, t := range p.Tables {
		if t.Mod == mod && !t.List && t.Column(name) != nil {
			return fmt.Errorf("there is no %s in %s; is it %s.%s?", name, mod.Src.Name, t.Name.Text, name)
		}
	}
	var known []string
	for n := range mod.Names {
		known = append(known, n)
	}
	if near, ok := nearest.Word(name, Sorted(known)); ok {
		return fmt.Errorf("there is no %s in %s; is it %s?", name, mod.Src.Name, near)
	}
	return fmt.Errorf("there is no %s in %s", name, mod.Src.Name)
}

// findEntry finds ["ROW"].COLUMN in a table; the quotes may be missing, since shells take them.
func (p *Program) findEntry(t *Table, tail string) (int32, error) {
	end := strings.LastIndex(tail, "].")
	if !strings.HasPrefix(tail, "[") || end < 0 {
		return 0, fmt.Errorf("%s is a table; name one of its values: %s[\"ROW\"].COLUMN", t.Name.Text, t.Name.Text)
	}
	row, err := p.FindRow(t, tail[1:end])
	if err != nil {
		return 0, err
	}
	colName := tail[end+2:]
	c := t.Column(colName)
	if c == nil {
		d := p.UnknownColumn(t, colName, new(Effort))
		return 0, fmt.Errorf("%s (%s)", d.Msg, d.Hint)
	}
	return c.Base + row, nil
}

// FindRow finds a row of a table; the quotes of its name may be missing, since shells take them.
func (p *Program) FindRow(t *Table, name string) (int32, error) {
	if v, err := text.ParseValue(name); err == nil && v.Kind == text.TextValue {
		name = v.Word.Text
	} else {
		name = strings.Trim(name, `"'`)
	}
	num, known := p.Texts.Find(name)
	if row, ok := t.ByName[num]; known && ok {
		return row, nil
	}
	names := make([]string, len(t.RowName))
	for i, n := range t.RowName {
		names[i] = p.Texts.At(n)
	}
	if near, ok := nearest.Word(name, Sorted(names)); ok {
		return 0, fmt.Errorf("the table %s has no row %q; is it %q?", t.Name.Text, name, near)
	}
	return 0, fmt.Errorf("the table %s has no row %q", t.Name.Text, name)
}

// ColumnNamed returns the column that TABLE.COLUMN or SHEET.TABLE.COLUMN names, if there is one.
func (p *Program) ColumnNamed(name string) *Column {
	parts := strings.Split(name, ".")
	mod := p.Root
	if len(parts) == 3 {
		r := mod.Names[parts[0]]
		if r.Kind != ModuleRef {
			return nil
		}
		mod, parts = mod.Uses[r.Num].Mod, parts[1:]
	}
	if len(parts) != 2 || mod.Names[parts[0]].Kind != TableRef {
		return nil
	}
	return p.Tables[mod.Names[parts[0]].Num].Column(parts[1])
}
