package engine

import (
	"fmt"
	"strings"

	"gusset/sheets/text"
	"gusset/units/nearest"
)

// findSlot finds a slot by the name that a builder would write.
func (m *Program) findSlot(name string) (int32, error) {
	mod := m.root
	rest := strings.TrimSpace(name)
	for {
		head, tail, dotted := cutName(rest)
		r, ok := mod.names[head]
		switch {
		case !ok:
			return 0, m.noSuchName(mod, head)
		case r.kind == moduleRef && dotted:
			mod, rest = mod.uses[r.num].mod, tail[1:]
		case r.kind == cellRef && tail == "":
			return m.cells[r.num].slot, nil
		case r.kind == tableRef:
			return m.findEntry(m.tables[r.num], tail)
		default:
			return 0, fmt.Errorf("%s is not the name of one value", name)
		}
	}
}

// cutName parts a name from what stands behind it; dotted tells whether that is a dot.
func cutName(s string) (head, tail string, dotted bool) {
	i := strings.IndexAny(s, ".[")
	if i < 0 {
		return s, "", false
	}
	return s[:i], s[i:], s[i] == '.'
}

func (m *Program) noSuchName(mod *module, name string) error {
	for _, t := range m.tables {
		if t.mod == mod && !t.list && t.column(name) != nil {
			return fmt.Errorf("there is no %s in %s; is it %s.%s?", name, mod.src.Name, t.name.Text, name)
		}
	}
	var known []string
	for n := range mod.names {
		known = append(known, n)
	}
	if near, ok := nearest.Word(name, sorted(known)); ok {
		return fmt.Errorf("there is no %s in %s; is it %s?", name, mod.src.Name, near)
	}
	return fmt.Errorf("there is no %s in %s", name, mod.src.Name)
}

// findEntry finds ["ROW"].COLUMN in a table; the quotes may be missing, since shells take them.
func (m *Program) findEntry(t *table, tail string) (int32, error) {
	end := strings.LastIndex(tail, "].")
	if !strings.HasPrefix(tail, "[") || end < 0 {
		return 0, fmt.Errorf("%s is a table; name one of its values: %s[\"ROW\"].COLUMN", t.name.Text, t.name.Text)
	}
	row, err := m.findRow(t, tail[1:end])
	if err != nil {
		return 0, err
	}
	colName := tail[end+2:]
	c := t.column(colName)
	if c == nil {
		d := m.unknownColumn(t, colName, new(effort))
		return 0, fmt.Errorf("%s (%s)", d.Msg, d.Hint)
	}
	return c.base + row, nil
}

// findRow finds a row of a table; the quotes of its name may be missing, since shells take them.
func (m *Program) findRow(t *table, name string) (int32, error) {
	if v, err := text.ParseValue(name); err == nil && v.Kind == text.TextValue {
		name = v.Word.Text
	} else {
		name = strings.Trim(name, `"'`)
	}
	num, known := m.texts.Find(name)
	if row, ok := t.byName[num]; known && ok {
		return row, nil
	}
	names := make([]string, len(t.rowName))
	for i, n := range t.rowName {
		names[i] = m.texts.At(n)
	}
	if near, ok := nearest.Word(name, sorted(names)); ok {
		return 0, fmt.Errorf("the table %s has no row %q; is it %q?", t.name.Text, name, near)
	}
	return 0, fmt.Errorf("the table %s has no row %q", t.name.Text, name)
}

// columnNamed returns the column that TABLE.COLUMN or SHEET.TABLE.COLUMN names, if there is one.
func (m *Program) columnNamed(name string) *column {
	parts := strings.Split(name, ".")
	mod := m.root
	if len(parts) == 3 {
		r := mod.names[parts[0]]
		if r.kind != moduleRef {
			return nil
		}
		mod, parts = mod.uses[r.num].mod, parts[1:]
	}
	if len(parts) != 2 || mod.names[parts[0]].kind != tableRef {
		return nil
	}
	return m.tables[mod.names[parts[0]].num].column(parts[1])
}
