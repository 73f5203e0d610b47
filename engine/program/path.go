package program

import (
	"cmp"
	"fmt"
	"strings"

	"gusset/sheets/text"
)

// What a path leads to. Formulas, variants, settings and questions all follow a path by the same steps, and are told of
// a mistake in the same words; they differ in what they can do with what it leads to.

// PlaceKind tells what a path leads to.
type PlaceKind uint8

const (
	LostPlace   PlaceKind = iota // something that could not be read, which has been reported
	SheetPlace                   // a used sheet
	CellPlace                    // a cell, an adjusted cell or a check
	TablePlace                   // a table
	ColumnPlace                  // a column of a table
	RowPlace                     // a row of a table
	EntryPlace                   // an entry of a table
)

// Place is what a path leads to. Of its fields those are set that belong to its kind; Mod is the sheet itself, or the
// one that it is in.
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
	Kind     ErrorKind
	Reported bool // it follows from another mistake, which has been reported
}

// Err returns the mistake as the error of somebody who has asked for a name; nil if there is none.
func (m *Mistake) Err(name string) error {
	if m == nil {
		return nil
	}
	return Errorf(m.Kind, name, "%s", strings.TrimSuffix(m.Msg+"; "+m.Hint, "; "))
}

func noSuch(code string, at text.Span, msg, hint string) *Mistake {
	return &Mistake{Diag: text.Diag{Code: code, Span: at, Msg: msg, Hint: hint}, Kind: ErrNoSuchName}
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

// Unread returns the broken slot of a place whose parts cannot be known, since it could not be read.
func (at Place) Unread() (slot int32, unread bool) {
	switch {
	case at.Kind == LostPlace:
		return at.Lost, true
	case at.Kind == CellPlace && at.Cell.Unread():
		return at.Cell.Slot, true
	case at.Kind == TablePlace && at.Table.Headless:
		return at.Table.Lost, true
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

// Resolve follows a path from a sheet. As in a formula, its own names come before those of the library; of these it
// finds what the sheets have asked for.
func (p *Program) Resolve(mod *Module, path text.Path, why Purpose) (Place, *Mistake) {
	name := path.Parts[0].Text
	at, ok := p.PlaceOf(mod, mod.Names[name])
	for _, lib := range p.LibraryModules {
		if !ok {
			at, ok = p.PlaceOf(lib, lib.Names[name])
		}
	}
	if !ok || why.Set && at.Mod.Library {
		return at, unknownFirst(p, mod, path, why)
	}
	for n := 2; n <= len(path.Parts); n++ {
		var slip *Mistake
		if at, slip = p.Step(path.First(n), at, why); slip != nil {
			if at.Kind == TablePlace && n < len(path.Parts) { // TABLE.ROW.COLUMN
				_, isRow := at.Table.row(p.Texts, path.Parts[n-1].Text)
				if c := at.Table.Column(path.Parts[n].Text); isRow && c != nil {
					slip.Hint = fmt.Sprintf("a row is named in brackets: %s[%s].%s", at.Table.Name.Text,
						text.Quote(path.Parts[n-1].Text), c.Name.Text)
				}
			}
			return at, slip
		}
	}
	return at, nil
}

// Find is Resolve for a path as it is typed on a command line.
func (p *Program) Find(name string, why Purpose) (at Place, path text.Path, err error) {
	var slip *Mistake
	if path, err = text.ParsePath(name); err == nil {
		at, slip = p.Resolve(p.Root, path, why)
	} else {
		slip = &Mistake{Kind: ErrNoSuchName, Diag: text.Diag{Msg: "unknown name " + text.Visible(name)}}
		if strings.TrimSpace(name) == "" {
			slip.Msg = "a name is missing"
		}
		slip.Hint = cmp.Or(rowNamed(p, name, "", why), err.(text.Diags)[0].Msg)
	}
	return at, path, slip.Err(name)
}

// FindSlot returns the slot of the single value that a name on a command line leads to.
func (p *Program) FindSlot(name string) (int32, error) {
	at, path, err := p.Find(name, Purpose{})
	s, single := at.Slot()
	if err == nil && !single {
		err = p.NotOneValue(at, path).Err(name)
	}
	return s, err
}

// FindGiven returns the slot of the given value that a name on a command line leads to.
func (p *Program) FindGiven(name string) (int32, error) {
	at, path, err := p.Find(name, Purpose{Set: true})
	if err != nil {
		return None, err
	}
	s, slip := p.GivenSlot(at, path)
	return s, slip.Err(name)
}

// Step takes the last part of a path, from what those before it lead to.
func (p *Program) Step(path text.Path, at Place, why Purpose) (Place, *Mistake) {
	part := path.Last()
	if slot, lost := at.Unread(); lost {
		return Place{Lost: slot}, nil
	}
	switch {
	case at.Kind == SheetPlace:
		return inSheet(p, path, at, why)
	case at.Kind == TablePlace && part.Row:
		return rowOf(p, part.Word, at, why)
	case at.Kind == TablePlace || at.Kind == RowPlace && !part.Row:
		return columnOf(p, part.Word, at, why)
	}
	return at, noParts(p, path, at, why)
}

// noParts tells that a value, a column or a row has no part of the kind that is last in a path.
func noParts(p *Program, path text.Path, at Place, why Purpose) *Mistake {
	part, before := path.Last(), path.Before().String()
	switch {
	case at.Kind == RowPlace:
		return noSuch("formula-form", path.Span, "a column is named with a dot", "write "+before+"."+part.Text)
	case at.Kind == ColumnPlace && part.Row:
		hint := fmt.Sprintf("write %s[%s].%s", path.Before().Before(), text.Quote(part.Text), at.Column.Name.Text)
		return noSuch("no-parts", path.Span, "a row in brackets follows the table's name", hint)
	case at.Kind == ColumnPlace:
		return noSuch("no-parts", path.Span, before+" is a column already and has no columns of its own", "")
	}
	return noSuch("no-parts", path.Span, before+" is a single value and has no parts",
		rowNamed(p, before, part.Text, why))
}

// inSheet finds what the last part of a path names in a used sheet.
func inSheet(p *Program, path text.Path, at Place, why Purpose) (Place, *Mistake) {
	part, sheet := path.Last(), path.Before().String()
	if part.Row {
		hint := fmt.Sprintf("name the table in it: %s.TABLE[%s]", sheet, text.Quote(part.Text))
		return at, noSuch("sheet-alone", path.Before().Span, sheet+" is a whole sheet", hint)
	}
	if found, ok := p.PlaceOf(at.Mod, at.Mod.Names[part.Text]); ok {
		return found, nil
	}
	slip := noSuch("unknown-name", part.Span, fmt.Sprintf("%s has no cell or table %s", sheet, part.Text), "")
	if why.Effort.Allow(len(at.Mod.Names) + len(p.Tables)) {
		sheet += "."
		slip.Hint = cmp.Or(p.Elsewhere(at.Mod, sheet, part.Text, why), nearName(p, at.Mod, sheet, part.Text))
	}
	return at, slip
}

// rowOf finds a row of a table.
func rowOf(p *Program, name text.Word, at Place, why Purpose) (Place, *Mistake) {
	row, known := at.Table.row(p.Texts, name.Text)
	switch {
	case known:
		at.Kind, at.Row = RowPlace, row
		return at, nil
	case at.Table.Lost != None:
		return Place{Lost: at.Table.Lost}, nil
	}
	return at, &Mistake{Diag: p.UnknownRow(at.Table, name, why.Effort), Kind: ErrNoSuchName}
}

// columnOf finds a column of a table, or an entry of a row.
func columnOf(p *Program, name text.Word, at Place, why Purpose) (Place, *Mistake) {
	c := at.Table.Column(name.Text)
	switch {
	case c == nil && at.Table.Lost != None:
		return Place{Lost: at.Table.Lost}, nil
	case c == nil:
		return at, &Mistake{Diag: p.UnknownColumn(at.Table, name, why.Effort), Kind: ErrNoSuchName}
	case c.Refused != None:
		return Place{Lost: c.Refused}, nil
	case at.Kind == RowPlace:
		return Place{EntryPlace, at.Mod, nil, at.Table, c, at.Row, None}, nil
	}
	return Place{ColumnPlace, at.Mod, nil, at.Table, c, None, None}, nil
}

// unknownFirst tells that the first name of a path stands for nothing that would do.
func unknownFirst(p *Program, mod *Module, path text.Path, why Purpose) *Mistake {
	name := path.Parts[0].Text
	slip := noSuch("unknown-name", path.Parts[0].Span, "unknown name "+name, "gusset library "+name+" shows it")
	switch ofLibrary := p.Library.Sets(name, false); {
	case ofLibrary && why.Set:
		slip.Kind, slip.Code, slip.Msg = ErrNotGiven, "setting-library", name+" is the library's, so it cannot be set"
		slip.Hint = fmt.Sprintf("set %s in the sheet first, then it can have another value", name)
		return slip
	case ofLibrary:
		slip.Msg = name + " is in the library, and nothing in this sheet asks for it"
		return slip
	case !why.Effort.Allow(len(mod.Names) + len(p.Tables)):
		slip.Hint = ""
		return slip
	}
	why.Leads = len(path.Parts) > 1
	elsewhere := p.Elsewhere(mod, "", name, why)
	if elsewhere == "" && p.Library.Sets(name, true) {
		slip.Kind, slip.Code, slip.Msg = ErrNotOneValue, "formula-alone", name+" is a formula of the library"
		return slip
	}
	column := ""
	if len(path.Parts) > 1 {
		column = path.Parts[1].Text
	}
	slip.Hint = cmp.Or(elsewhere, rowNamed(p, name, column, why), rowNamed(p, name, "", why),
		nearName(p, mod, "", name))
	return slip
}

// NotOneValue tells that a path does not lead to a single value.
func (p *Program) NotOneValue(at Place, path text.Path) *Mistake {
	row, column := "ROW", "COLUMN"
	if at.Table != nil && len(at.Table.RowName) > 0 {
		row = p.Texts.At(at.Table.RowName[0])
	}
	if at.Table != nil && len(at.Table.Cols) > 1 {
		column = at.Table.Cols[1].Name.Text
	}
	what, hint := "", ""
	switch at.Kind {
	case SheetPlace:
		what, hint = "sheet", fmt.Sprintf("name one of its cells: %s.NAME", path)
	case TablePlace:
		what, hint = "table", fmt.Sprintf("name one of its entries: %s[%s].%s", path, text.Quote(row), column)
	case ColumnPlace:
		column = path.Last().Text
		what, hint = "column", fmt.Sprintf("name one of its entries: %s[%s].%s", path.Before(), text.Quote(row), column)
	case RowPlace:
		columns := []string{column}
		if len(at.Table.Cols) > 1 {
			columns = numbersOf(p, at.Table, at.Row)
		}
		what, hint = "row", fmt.Sprintf("name one of its columns: %s.%s", path, strings.Join(columns, " or ."))
	default:
		return unread(path, "known")
	}
	slip := noSuch(what+"-alone", path.Span, fmt.Sprintf("%s is a whole %s", path, what), hint)
	slip.Kind = ErrNotOneValue
	return slip
}

// unread tells that nothing can be done with what a path leads to.
func unread(path text.Path, done string) *Mistake {
	msg := fmt.Sprintf("%s cannot be %s before its line and its unit can be read", path, done)
	return &Mistake{Diag: text.Diag{Code: "unread", Span: path.Span, Msg: msg}, Kind: ErrUnread, Reported: true}
}

// GivenSlot returns the slot of a given value of a sheet, or tells why what a path leads to cannot be set.
func (p *Program) GivenSlot(at Place, path text.Path) (int32, *Mistake) {
	s, single := at.Slot()
	if !single {
		return None, p.NotOneValue(at, path)
	}
	name, t, c := path.String(), at.Table, at.Cell
	slip := noSuch("setting-worked", path.Span, name+" is worked out, not given", "")
	slip.Kind = ErrNotGiven
	switch {
	case t != nil && t.Ranged:
		slip.Msg = fmt.Sprintf("the table %s makes its own rows, so none of them can be set", t.Name.Text)
		at := t.Mod.Src.Position(t.Cols[0].Name.Span.Start)
		slip.Hint = fmt.Sprintf("change its range in the sheet, on line %d", at.Line)
		return None, slip
	case t != nil && at.Column == t.Cols[0]:
		slip.Code, slip.Span = "setting-row-name", path.Last().Span
		slip.Msg = fmt.Sprintf("%s names the rows of %s, so it cannot be set", at.Column.Name.Text, t.Name.Text)
		slip.Hint = "a row with another name goes into the table itself"
		return None, slip
	case p.SlotShow(s) == UnreadShow || c != nil && c.Unread():
		return None, unread(path, "set")
	case p.Slots[s].Kind == Given:
		return s, nil
	case c != nil && c.IsCheck():
		slip.Msg, slip.Hint = name+" is a check, not given", "set what it compares"
	case c != nil && c.Kind == AdjustedCell:
		slip.Msg, slip.Hint = name+" is adjusted, not given", "set what its condition rests on"
	default:
		slip.Hint = setInstead(p, s)
	}
	slip.Notes = []string{"it is on " + p.PlaceNote(p.ModuleOf(s), p.SlotSpan(s))}
	return None, slip
}
