package workbook

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"

	"gusset/engine"
	"gusset/sheets/text"
	"gusset/sheets/workbook/xlsx"
)

// Returned is what a workbook brings back, compared with the sheet as it is now.
type Returned struct {
	From      string   // the file that the workbook was made from
	SameText  bool     // the sheet says what it said then
	Changed   bool     // it is known to say something else now
	Other     bool     // the workbook was made from another sheet
	Changes   []Change // in the order of the sheet
	Measured  []Change // guesses whose mark has been cleared, and whose value is what it was
	Remaining []Remark // what cannot be taken over, and why
	Elsewhere []Change // of those that remain: what belongs to a sheet that this one uses, by the name that it has here
	Notes     []Remark // what was taken over, but not as plainly as it could be
}

// Change is a given value that has been changed in the workbook.
type Change struct {
	Name  string // as formulas have it: parts["motor"].weighed
	Was   string // with its unit
	Now   string // with its unit
	Value string // as it is typed in the sheet
	Doubt string // why it may be a mistake all the same; empty when nothing speaks for that
	entry [3]string
}

// Put puts the change into a sheet's text, where it touches this one value.
func (c Change) Put(f *text.File) (*text.File, error) {
	if c.entry[0] == "" {
		return text.SetGiven(f, c.Name, c.Value)
	}
	return text.SetEntry(f, c.entry[0], c.entry[1], c.entry[2], c.Value)
}

// Return reads what has been changed in a workbook, of size bytes, that was made from a sheet. It fails when
// the workbook cannot be read or is none of ours, and, with an *OtherSheet, when it was made from another
// sheet, unless any sheet will do. Its errors do not name the workbook.
func Return(workbook io.ReaderAt, size int64, m *engine.Model, src Source, anySheet bool) (*Returned, error) {
	m = m.ForkContext(context.Background()) // what is tried here is bounded by itself
	b, err := xlsx.Read(workbook, size)
	if err != nil {
		return nil, err
	}
	kept := sheetNamed(b, exportedSheet)
	if kept == nil {
		return nil, errors.New("this workbook was not made by gusset export, or what ties it to its sheet has been taken out")
	}
	tie := func(row int) string { return printable(kept.Cell(row, 2).Text) }
	title := printable(kept.Cell(sheetRow, 3).Text)
	if tie(formRow) != form {
		return nil, errors.New("this workbook was made by a newer Gusset")
	}
	plan, err := newPlan(m)
	if err != nil {
		return nil, err
	}
	r := &returning{
		book: b, spots: map[string]*spot{}, names: map[string]string{}, plan: plan, keys: map[string]*keyColumn{},
		marks: map[string]string{}, what: "the workbook",
		Returned: Returned{From: tie(sheetRow), SameText: tie(fingerprintRow) == text.Fingerprint(src.Text)},
	}
	r.Changed = !r.SameText
	for _, n := range b.Names {
		if n.Sheet == nil {
			r.names[strings.ToLower(n.Name)] = n.RefersTo
		}
	}
	for _, s := range r.plan.spots {
		r.spots[s.called] = s
	}
	lines, err := readExported(kept)
	if err != nil {
		return nil, err
	}
	names, known := r.known(lines)
	r.Other = !r.SameText && (r.From != printable(src.File) && title != printable(m.Title()) || known*2 < names)
	if r.Other && !anySheet {
		return nil, &OtherSheet{"this workbook was", r.From, title, names, known, r.aliasHere(lines)}
	}
	r.readMarks()
	sheet, _ := text.Parse(text.NewSource("sheet", src.Text))
	r.given = text.Given(sheet)
	for _, l := range lines {
		r.line(l)
	}
	r.refused(m)
	r.addedRows()
	r.rowsOutside()
	return &r.Returned, nil
}

// readMarks reads the marks of guesses.
func (r *returning) readMarks() {
	if _, guesses := r.names["guess_marks"]; !guesses {
		return
	}
	names, err := r.area("guess_names")
	marks, err2 := r.area("guess_marks")
	if err = errors.Join(err, err2); err != nil || names.Rows != marks.Rows || names.Rows > maxKeyRows {
		r.remain("the page of guesses", "cannot be read, so that no mark is taken off")
		return
	}
	for i := range names.Rows {
		r.marks[printable(names.Sheet.Cell(names.Row+
			i, names.Col).Text)] = strings.TrimSpace(shownMark(marks.Sheet.Cell(marks.Row+i, marks.Col)))
	}
}

// shownMark returns what is in the place of a mark; nothing if it has been cleared.
func shownMark(c xlsx.Cell) string {
	if empties(c) {
		return ""
	}
	return shownCell(c)
}

// measured takes the mark off a guess whose value is what it was, if it has been cleared.
func (r *returning) measured(l exportedLine, s *spot, now xlsx.Cell) {
	mark, was := r.marks[s.called]
	given, known := r.given[s.called]
	switch {
	case !was || mark != "" || !s.value.Guess:
	case s.page.alias != "":
		r.remain(s.called, "is marked as a guess no more, but it belongs to another sheet: take its ? away there")
	case !unchanged(l.value, now) || !known:
		r.remain(
			s.called, "is marked as a guess no more, but it was %s then and is %s in the sheet now",
			shownCell(l.value), shownCell(now),
		)
	default:
		is := quantity(s.value)
		r.Measured = append(r.Measured, Change{Name: s.called, Was: is + " " + guessMark, Now: is, Value: given.Confirmed(),
			entry: s.entry()})
	}
}

// entry returns the table, row and column of a value; of a cell they are empty.
func (s *spot) entry() [3]string {
	if s.column == nil {
		return [3]string{}
	}
	return [3]string{s.column.table.Name, s.rowName, s.column.Name}
}

// sheetNamed returns a worksheet by its name.
func sheetNamed(b *xlsx.Book, name string) *xlsx.Sheet {
	for _, s := range b.Sheets {
		if strings.EqualFold(s.Name, name) {
			return s
		}
	}
	return nil
}

// exportedLine is a line of the hidden worksheet.
type exportedLine struct {
	kind, called, cells, keys, row, unit string
	value                                xlsx.Cell
}

// readExported reads the hidden worksheet. A workbook of ours has no more values than it may have, and none of
// them twice.
func readExported(s *xlsx.Sheet) ([]exportedLine, error) {
	var lines []exportedLine
	called := map[string]bool{}
	for row := exportedTop + 1; ; row++ {
		at := func(i int) string { return printable(s.Cell(row, i+1).Text) }
		l := exportedLine{
			kind: at(0), called: at(1), cells: at(2), keys: at(3), row: at(4), unit: at(5),
			value: s.Cell(row, len(exportedHead)),
		}
		if l.kind == "" || l.called == "" {
			return lines, nil
		}
		if called[l.called] || len(lines) == maxValues {
			return nil, errors.New("what ties this workbook to its sheet has been changed; export it again")
		}
		called[l.called] = true
		lines = append(lines, l)
	}
}

// returning reads a workbook's changes.
type returning struct {
	Returned
	what     string // that brings them back
	book     *xlsx.Book
	plan     *plan
	spots    map[string]*spot      // by what the sheet calls them
	names    map[string]string     // defined names, in small letters, to what they refer to
	keys     map[string]*keyColumn // by their defined name
	rows     int                   // of all of these
	compared int                   // choices that were held against a text
	marks    map[string]string     // what stands for the mark of what was a guess, by what the sheet calls it
	given    map[string]text.Value
}

// maxKeyRows is how many rows of tables are looked at: far more than a workbook of ours has, and few enough to
// wait for. maxAddedRows is how many of those that were added are named.
const (
	maxKeyRows   = 200_000
	maxAddedRows = 1000
)

// keyColumn is the column that names the rows of a table, as it is in the workbook now.
type keyColumn struct {
	area  xlsx.Area
	rows  map[string]int // from the name of a row to where it stands, from 0
	twice map[string]bool
	known map[string]bool // rows that the workbook was made with
	table string
}

func (r *returning) remain(name, format string, args ...any) {
	r.Remaining = append(r.Remaining, Remark{name, fmt.Sprintf(format, args...)})
}

// line looks at one value of the workbook.
func (r *returning) line(l exportedLine) {
	at, err := r.find(l)
	if err != nil {
		r.remain(l.called, "cannot be found: %v", err)
		return
	}
	cell := at.Sheet.Cell(at.Row, at.Col)
	s, isInput := r.spots[l.called], l.kind == "input"
	switch touched := !unchanged(l.value, cell); {
	case isInput && s != nil && s.input && l.unit == unitName(s.value):
		r.input(l, s, cell, placeName(at))
	case l.kind == "worked" && !cell.Formula:
		r.remain(l.called, "should be worked out, but %s has been typed over its formula", shownCell(cell))
	case l.kind == "worked" || !touched:
	case isInput && s == nil && r.Other:
		r.remain(l.called, "is not in this sheet")
	case isInput && s == nil:
		r.remain(l.called, "is not in the sheet any more")
	case isInput && !s.input:
		r.remain(l.called, "is worked out in the sheet now, so it cannot be given")
	case isInput:
		r.remain(l.called, "is %s %s in the workbook, but the sheet counts it in %s now: set it there", shownCell(cell),
			inBrackets(l.unit), inBrackets(unitName(s.value)))
	case !cell.Formula: // constant or adjusted
		r.remain(l.called, "was %s and is %s in the workbook, but it is not given: it stays as it is", shownCell(l.value),
			shownCell(cell))
	}
}

// find finds a value's cell by its name, and within a table by the name of its row.
func (r *returning) find(l exportedLine) (xlsx.Area, error) {
	at, err := r.area(l.cells)
	if err != nil || l.keys == "" {
		return at, err
	}
	k, err := r.keyColumn(l)
	if err != nil {
		return at, err
	}
	row, ok := k.rows[l.row]
	switch {
	case !ok:
		return at, fmt.Errorf("the row %q is gone from the workbook", l.row)
	case k.twice[l.row]:
		return at, fmt.Errorf("the workbook has two rows %q", l.row)
	}
	at.Row = k.area.Row + row
	return at, nil
}

// placeName names the first cell of an area as a spreadsheet program does.
func placeName(a xlsx.Area) string {
	return printable(a.Sheet.Name) + "!" + xlsx.Address(a.Row, a.Col)
}

// area returns the cells that a defined name stands for.
func (r *returning) area(name string) (xlsx.Area, error) {
	refersTo, ok := r.names[strings.ToLower(name)]
	if !ok {
		return xlsx.Area{}, fmt.Errorf("the name %s is gone from the workbook", name)
	}
	area, err := r.book.Resolve(refersTo)
	if errors.Is(err, xlsx.ErrGone) {
		return xlsx.Area{}, errors.New("deleted in the workbook")
	}
	return area, err
}

// keyColumn reads the names of a table's rows, once.
func (r *returning) keyColumn(l exportedLine) (*keyColumn, error) {
	if k := r.keys[l.keys]; k != nil {
		k.known[l.row] = true
		return k, nil
	}
	area, err := r.area(l.keys)
	if err != nil {
		return nil, err
	}
	if r.rows += area.Rows; r.rows > maxKeyRows {
		return nil, errors.New("the tables of the workbook have grown too long")
	}
	k := &keyColumn{
		area: area, rows: map[string]int{}, twice: map[string]bool{}, known: map[string]bool{l.row: true},
		table: l.called[:strings.IndexByte(l.called+"[", '[')],
	}
	for i := range area.Rows {
		name := rowName(area.Sheet.Cell(area.Row+i, area.Col))
		if _, ok := k.rows[name]; ok {
			k.twice[name] = true
		}
		k.rows[name] = i
	}
	r.keys[l.keys] = k
	return k, nil
}

// rowName returns the name of a row: a text, or the number of a table that makes its own rows.
func rowName(c xlsx.Cell) string {
	if c.Kind == xlsx.Number {
		return strconv.FormatFloat(c.Number, 'g', 12, 64)
	}
	return c.Text
}

// addedRows tells of rows that the workbook has and did not have.
func (r *returning) addedRows() {
	added := 0
	for _, key := range slices.Sorted(maps.Keys(r.keys)) {
		k := r.keys[key]
		for _, name := range slices.Sorted(maps.Keys(k.rows)) {
			if name == "" || k.known[name] {
				continue
			}
			if added++; added <= maxAddedRows {
				r.remain(fmt.Sprintf(
					"%s[%q]", k.table, name,
				), "is a row that was added in the workbook: add it to the table in the sheet")
			}
		}
	}
	if more := added - maxAddedRows; more > 0 {
		r.remain("the workbook", "has %d more rows that were added", more)
	}
}
