package program

import (
	"cmp"
	"fmt"

	"gusset/sheets/text"
)

// What a path leads to. Formulas, variants, settings and questions all follow a path by the same steps, and are told of a mistake
// in the same words; they differ in what they can do with what it leads to.

// PlaceKind tells what a path leads to.
type PlaceKind uint8

const (
	LostPlace   PlaceKind = iota // something that could not be read, which has been said
	SheetPlace                   // a used sheet
	CellPlace                    // a cell, an adjusted cell or a check
	TablePlace                   // a table
	ColumnPlace                  // a column of a table
	RowPlace                     // a row of a table
	EntryPlace                   // an entry of a table
)

// Place is what a path leads to. Of its fields those are set that belong to its kind; Mod is the sheet itself, or the one that
// it is in.
type Place struct {
	Kind   PlaceKind
	Mod    *Module
	Cell   *Cell
	Table  *Table
	Column *Column
	Row    int32
	Lost   int32 // a broken slot
}

// Mistake is what is wrong with a path, or with what it leads to.
type Mistake struct {
	text.Diag
	Kind ErrorKind
	Said bool // it follows from another mistake, which has been reported
}

// Err returns the mistake as the error of somebody who has asked for a name.
func (m *Mistake) Err(name string) error {
	if m.Hint == "" {
		return Errorf(m.Kind, name, "%s", m.Msg)
	}
	return Errorf(m.Kind, name, "%s; %s", m.Msg, m.Hint)
}

func mistake(kind ErrorKind, code string, at text.Span, msg, hint string) *Mistake {
	return &Mistake{Diag: text.Diag{Code: code, Span: at, Msg: msg, Hint: hint}, Kind: kind}
}

// Slot returns the slot of a single value.
func (at Place) Slot() (s int32, single bool) {
	switch at.Kind {
	case CellPlace:
		return at.Cell.Slot, true
	case EntryPlace:
		return at.Column.Base + at.Row, true
	}
	return None, false
}

// PlaceOf returns what a name of a sheet stands for; ok is false for names that stand for nothing a path can lead to.
func (p *Program) PlaceOf(mod *Module, r Ref) (at Place, ok bool) {
	switch r.Kind {
	case CellRef:
		return Place{Kind: CellPlace, Mod: mod, Cell: p.Cells[r.Num]}, true
	case TableRef:
		return Place{Kind: TablePlace, Mod: mod, Table: p.Tables[r.Num]}, true
	case ModuleRef:
		return Place{Kind: SheetPlace, Mod: mod.Uses[r.Num].Mod}, true
	}
	return Place{}, false
}

// Purpose tells what a path is followed for, since what might be meant by one that leads nowhere hangs on it.
type Purpose struct {
	Set    bool    // to give a value to what it leads to
	Leads  bool    // what is looked for is not the last part of it
	Effort *Effort // what may be looked through for what is meant; nil: anything
}

// Resolve follows a path from the sheet that was asked for. As in a formula, its own names come before those of the library;
// of these it finds what the sheets have asked for.
func (p *Program) Resolve(path text.Path, why Purpose) (Place, *Mistake) {
	name := path.Parts[0].Text
	at, ok := p.PlaceOf(p.Root, p.Root.Names[name])
	for _, lib := range p.LibraryModules {
		if !ok {
			at, ok = p.PlaceOf(lib, lib.Names[name])
		}
	}
	if !ok || why.Set && at.Mod.Library {
		return at, p.unknownFirst(path, why)
	}
	for n := 2; n <= len(path.Parts); n++ {
		var slip *Mistake
		if at, slip = p.Step(path.First(n), at, why); slip != nil {
			return at, slip
		}
	}
	return at, nil
}

// Find is Resolve for a path as it is typed on a command line.
func (p *Program) Find(name string, why Purpose) (Place, text.Path, error) {
	path, err := text.ParsePath(name)
	if err != nil {
		hint := cmp.Or(p.rowNamed(name), err.(text.Diags)[0].Msg)
		return Place{}, path, mistake(ErrNoSuchName, "unknown-name", path.Span, "unknown name "+text.Visible(name), hint).Err(name)
	}
	at, slip := p.Resolve(path, why)
	if slip != nil {
		return at, path, slip.Err(name)
	}
	return at, path, nil
}

// FindSlot returns the slot of the single value that a name on a command line leads to.
func (p *Program) FindSlot(name string) (int32, error) {
	at, path, err := p.Find(name, Purpose{})
	if err != nil {
		return None, err
	}
	if s, single := at.Slot(); single {
		return s, nil
	}
	return None, p.NotOneValue(at, path).Err(name)
}

// FindGiven returns the slot of the given value that a name on a command line leads to.
func (p *Program) FindGiven(name string) (int32, error) {
	at, path, err := p.Find(name, Purpose{Set: true})
	if err != nil {
		return None, err
	}
	s, slip := p.GivenSlot(at, path)
	if slip != nil {
		return None, slip.Err(name)
	}
	return s, nil
}

// Step takes the last part of a path, from what those before it lead to.
func (p *Program) Step(path text.Path, at Place, why Purpose) (Place, *Mistake) {
	part := path.Last()
	switch {
	case at.Kind == LostPlace:
		return at, nil
	case at.Kind == CellPlace && at.Cell.Unread():
		return Place{Kind: LostPlace, Lost: at.Cell.Slot}, nil
	case at.Kind == SheetPlace:
		return p.inSheet(path, at, why)
	case at.Kind == TablePlace && at.Table.Headless:
		return Place{Kind: LostPlace, Lost: at.Table.Lost}, nil
	case at.Kind == TablePlace && part.Row:
		return p.rowOf(part.Word, at, why)
	case at.Kind == TablePlace || at.Kind == RowPlace && !part.Row:
		return p.columnOf(part.Word, at, why)
	}
	return at, p.noParts(path, at)
}

// noParts tells that a value, a column or a row has no part of the kind that is last in a path.
func (p *Program) noParts(path text.Path, at Place) *Mistake {
	part, before := path.Last(), path.Before().String()
	wrong := func(code, msg, hint string) *Mistake { return mistake(ErrNoSuchName, code, path.Span, msg, hint) }
	switch {
	case at.Kind == RowPlace:
		return wrong("formula-form", "a column is named with a dot", "write "+before+"."+part.Text)
	case at.Kind == ColumnPlace && part.Row:
		return wrong("no-parts", "a row in brackets follows the table's name",
			fmt.Sprintf("write %s[%s].%s", path.Before().Before(), text.Quote(part.Text), at.Column.Name.Text))
	case at.Kind == ColumnPlace:
		return wrong("no-parts", before+" is a column already and has no columns of its own", "")
	}
	return wrong("no-parts", before+" is a single value and has no parts", "")
}

// inSheet finds what the last part of a path names in a used sheet.
func (p *Program) inSheet(path text.Path, at Place, why Purpose) (Place, *Mistake) {
	part, sheet := path.Last(), path.Before().String()
	if part.Row {
		return at, mistake(ErrNoSuchName, "sheet-alone", path.Before().Span, sheet+" is a whole sheet",
			fmt.Sprintf("name the table in it: %s.TABLE[%s]", sheet, text.Quote(part.Text)))
	}
	if found, ok := p.PlaceOf(at.Mod, at.Mod.Names[part.Text]); ok {
		return found, nil
	}
	slip := mistake(ErrNoSuchName, "unknown-name", part.Span, fmt.Sprintf("%s has no cell or table %s", sheet, part.Text), "")
	if why.Effort.Allow(len(at.Mod.Names) + len(p.Tables)) {
		slip.Hint = cmp.Or(p.Elsewhere(at.Mod, sheet+".", part.Text, why), p.nearName(at.Mod, sheet+".", part.Text))
	}
	return at, slip
}

// rowOf finds a row of a table.
func (p *Program) rowOf(name text.Word, at Place, why Purpose) (Place, *Mistake) {
	row, known := at.Table.row(p.Texts, name.Text)
	switch {
	case !known && at.Table.Lost != None:
		return Place{Kind: LostPlace, Lost: at.Table.Lost}, nil
	case !known:
		slip := &Mistake{Diag: p.UnknownRow(at.Table, name.Text, why.Effort), Kind: ErrNoSuchName}
		slip.Span = name.Span
		return at, slip
	}
	at.Kind, at.Row = RowPlace, row
	return at, nil
}

// columnOf finds a column of a table, or an entry of a row.
func (p *Program) columnOf(name text.Word, at Place, why Purpose) (Place, *Mistake) {
	c := at.Table.Column(name.Text)
	switch {
	case c == nil && at.Table.Lost != None:
		return Place{Kind: LostPlace, Lost: at.Table.Lost}, nil
	case c == nil:
		slip := &Mistake{Diag: p.UnknownColumn(at.Table, name.Text, why.Effort), Kind: ErrNoSuchName}
		slip.Span = name.Span
		return at, slip
	case c.Refused != None:
		return Place{Kind: LostPlace, Lost: c.Refused}, nil
	}
	at.Column = c
	switch at.Kind {
	case TablePlace:
		at.Kind = ColumnPlace
	default:
		at.Kind = EntryPlace
	}
	return at, nil
}

// unknownFirst tells that the first name of a path stands for nothing that would do.
func (p *Program) unknownFirst(path text.Path, why Purpose) *Mistake {
	first := path.Parts[0]
	name := first.Text
	wrong := func(kind ErrorKind, code, msg, hint string) *Mistake {
		return mistake(kind, code, first.Span, msg, hint)
	}
	shows := fmt.Sprintf("gusset library %s shows it", name)
	switch ofLibrary := p.Library.Sets(name, false); {
	case ofLibrary && why.Set:
		return wrong(ErrNotGiven, "setting-library", name+" is the library's, so it cannot be set",
			fmt.Sprintf("set %s in the sheet first, then it can have another value", name))
	case ofLibrary:
		return wrong(ErrNoSuchName, "library-unused", name+" is in the library, and nothing in this sheet asks for it", shows)
	}
	slip := wrong(ErrNoSuchName, "unknown-name", "unknown name "+name, "")
	if !why.Effort.Allow(len(p.Root.Names) + len(p.Tables)) {
		return slip
	}
	why.Leads = len(path.Parts) > 1
	slip.Hint = p.Elsewhere(p.Root, "", name, why)
	if slip.Hint == "" && p.Library.Sets(name, true) {
		return wrong(ErrNotOneValue, "formula-alone", name+" is a formula of the library", shows)
	}
	slip.Hint = cmp.Or(slip.Hint, p.rowNamed(name), p.nearName(p.Root, "", name))
	return slip
}

// NotOneValue tells that a path does not lead to a single value.
func (p *Program) NotOneValue(place Place, path text.Path) *Mistake {
	name, row, column := path.String(), "ROW", "COLUMN"
	if t := place.Table; t != nil && len(t.RowName) > 0 {
		row = p.Texts.At(t.RowName[0])
	}
	if t := place.Table; t != nil && len(t.Cols) > 1 {
		column = t.Cols[1].Name.Text
	}
	whole := func(what, hint string, args ...any) *Mistake {
		return mistake(ErrNotOneValue, what+"-alone", path.Span, name+" is a whole "+what, fmt.Sprintf(hint, args...))
	}
	switch place.Kind {
	case SheetPlace:
		return whole("sheet", "name one of its cells: %s.NAME", name)
	case TablePlace:
		return whole("table", "name one of its entries: %s[%s].%s", name, text.Quote(row), column)
	case ColumnPlace:
		return whole("column", "name one of its entries: %s[%s].%s", path.Before(), text.Quote(row), place.Column.Name.Text)
	case RowPlace:
		return whole("row", "name one of its columns: %s.%s", name, column)
	}
	slip := mistake(ErrUnread, "unread", path.Span, name+" cannot be told before its line can be read", "")
	slip.Said = true
	return slip
}

// GivenSlot returns the slot of a given value of a sheet, or tells why what a path leads to cannot be set.
func (p *Program) GivenSlot(place Place, path text.Path) (int32, *Mistake) {
	s, single := place.Slot()
	if !single {
		return None, p.NotOneValue(place, path)
	}
	name := path.String()
	slip := mistake(ErrNotGiven, "setting-worked", path.Span, "", "")
	switch t := place.Table; {
	case t != nil && t.Ranged:
		slip.Msg = fmt.Sprintf("the table %s makes its own rows, so none of them can be set", t.Name.Text)
		slip.Hint = fmt.Sprintf("change its range in the sheet, on line %d", t.Mod.Src.Position(t.Cols[0].Name.Span.Start).Line)
	case t != nil && place.Column == t.Cols[0]:
		slip.Code, slip.Span = "setting-row-name", path.Last().Span
		slip.Msg = fmt.Sprintf("%s names the rows of %s, so it cannot be set", place.Column.Name.Text, t.Name.Text)
		slip.Hint = "a row with another name goes into the table itself"
	case p.SlotShow(s) == UnreadShow || t == nil && place.Cell.Unread():
		slip.Kind, slip.Said, slip.Code, slip.Msg = ErrUnread, true, "unread", name+" cannot be set before its line and its unit can be read"
	case p.Slots[s].Kind == Given:
		return s, nil
	default:
		slip.Msg, slip.Hint = name+" is worked out, not given", "set what it is worked out from"
		if t == nil && place.Cell.IsCheck() {
			slip.Msg, slip.Hint = name+" is a check, not given", "set what it compares"
		} else if t == nil && place.Cell.Kind == AdjustedCell {
			slip.Msg, slip.Hint = name+" is adjusted, not given", "set what its condition rests on"
		}
		slip.Notes = []string{"it is on " + p.PlaceNote(p.ModuleOf(s), p.SlotSpan(s))}
	}
	return None, slip
}
