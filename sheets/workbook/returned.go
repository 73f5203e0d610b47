package workbook

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"gusset/engine"
	"gusset/sheets/text"
	"gusset/sheets/workbook/xlsx"
	"gusset/units/nearest"
)

// Returned is what a workbook brings back, compared with the sheet as it is now.
type Returned struct {
	From      string   // the file that the workbook was made from
	SameText  bool     // the sheet says what it said then
	Other     bool     // the workbook was made from another sheet
	Changes   []Change // in the order of the sheet
	Measured  []Change // guesses whose mark has been cleared, and whose value is what it was
	Remaining []Remark // what cannot be taken over, and why
	Notes     []Remark // what was taken over, but not as plainly as it could be
}

// Change is a given value that has been changed in the workbook.
type Change struct {
	Name  string // as formulas have it: parts["motor"].weighed
	Was   string // with its unit
	Now   string // with its unit
	Value string // as it is typed in the sheet
	entry [3]string
}

// Put puts the change into a sheet's text, where it touches this one value.
func (c Change) Put(f *text.File) (*text.File, error) {
	if c.entry[0] == "" {
		return text.SetGiven(f, c.Name, c.Value)
	}
	return text.SetEntry(f, c.entry[0], c.entry[1], c.entry[2], c.Value)
}

// OtherSheet is the error for a workbook that was made from another sheet.
type OtherSheet struct {
	From, Title  string // of the sheet that it was made from
	Names, Known int    // how many values of that sheet the workbook has, and how many of them are in this one
}

func (o *OtherSheet) Error() string {
	from := o.From
	if o.Title != "" && o.Title+".gusset" != o.From {
		from += fmt.Sprintf(" (%s)", o.Title)
	}
	return fmt.Sprintf("this workbook was made from another sheet, %s: of its %d names this one has %d", from, o.Names, o.Known)
}

// Return reads what has been changed in a workbook, of size bytes, that was made from a sheet. It fails when the workbook
// cannot be read or is none of ours, and, with an *OtherSheet, when it was made from another sheet, unless any sheet will do.
// Its errors do not name the workbook.
func Return(workbook io.ReaderAt, size int64, m *engine.Model, src Source, anySheet bool) (*Returned, error) {
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
		marks: map[string]string{}, Returned: Returned{From: tie(sheetRow), SameText: tie(fingerprintRow) == Fingerprint(src.Text)},
	}
	for _, n := range b.Names {
		if n.Sheet == nil {
			r.names[strings.ToLower(n.Name)] = n.RefersTo
		}
	}
	for _, s := range r.plan.spots {
		r.spots[s.called] = s
	}
	lines := readExported(kept)
	names, known := r.known(lines)
	r.Other = !r.SameText && (r.From != printable(src.File) && title != printable(m.Title()) || known*2 < names)
	if r.Other && !anySheet {
		return nil, &OtherSheet{r.From, title, names, known}
	}
	r.readMarks()
	sheet, _ := text.Parse(text.NewSource("sheet", src.Text))
	r.given = text.Given(sheet)
	for _, l := range lines {
		r.line(l)
	}
	r.addedRows()
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
		r.marks[printable(names.Sheet.Cell(names.Row+i, names.Col).Text)] = strings.TrimSpace(shownMark(marks.Sheet.Cell(marks.Row+i, marks.Col)))
	}
}

// shownMark returns what stands in the place of a mark; nothing if it has been cleared.
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
		r.remain(s.called, "is marked as a guess no more, but it was %s then and is %s in the sheet now", shownCell(l.value), shownCell(now))
	default:
		c := Change{Name: s.called, Was: r.was(s) + " " + guessMark, Now: r.was(s), Value: given.Typed()}
		if s.column != nil {
			c.entry = [3]string{s.column.table.Name, s.rowName, s.column.Name}
		}
		r.Measured = append(r.Measured, c)
	}
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

// readExported reads the hidden worksheet.
func readExported(s *xlsx.Sheet) []exportedLine {
	var lines []exportedLine
	for row := exportedTop + 1; ; row++ {
		at := func(i int) string { return printable(s.Cell(row, i+1).Text) }
		l := exportedLine{kind: at(0), called: at(1), cells: at(2), keys: at(3), row: at(4), unit: at(5), value: s.Cell(row, len(exportedHead))}
		if l.kind == "" || l.called == "" {
			return lines
		}
		lines = append(lines, l)
	}
}

// returning reads a workbook's changes.
type returning struct {
	Returned
	book  *xlsx.Book
	plan  *plan
	spots map[string]*spot      // by what the sheet calls them
	names map[string]string     // defined names, in small letters, to what they refer to
	keys  map[string]*keyColumn // by their defined name
	rows  int                   // of all of these
	marks map[string]string     // what stands for the mark of what was a guess, by what the sheet calls it
	given map[string]text.Value
}

// maxKeyRows is how many rows of tables are looked at: far more than a workbook of ours has, and few enough to wait for.
const maxKeyRows = 1_000_000

// keyColumn is the column that names the rows of a table, as it is in the workbook now.
type keyColumn struct {
	area  xlsx.Area
	rows  map[string]int // from the name of a row to where it stands, from 0
	twice map[string]bool
	known map[string]bool // rows that the workbook was made with
	table string
}

// known counts the values of the sheet that the workbook was made from, and those of them that this sheet has too. Those of
// used sheets and of the library tell no sheet from another.
func (r *returning) known(lines []exportedLine) (names, known int) {
	for _, l := range lines {
		if name, _, _ := strings.Cut(l.called, "["); strings.Contains(name, ".") || l.kind == "constant" {
			continue
		}
		names++
		if s := r.spots[l.called]; s != nil && s.page.alias == "" {
			known++
		}
	}
	return names, known
}

func (r *returning) remain(name, format string, args ...any) {
	r.Remaining = append(r.Remaining, Remark{name, fmt.Sprintf(format, args...)})
}

// line looks at one value of the workbook.
func (r *returning) line(l exportedLine) {
	cell, err := r.find(l)
	if err != nil {
		r.remain(l.called, "cannot be found: %v", err)
		return
	}
	s := r.spots[l.called]
	switch {
	case l.kind == "input" && s == nil:
		if !unchanged(l.value, cell) {
			r.remain(l.called, "%s", map[bool]string{true: "is not in this sheet", false: "is not in the sheet any more"}[r.Other])
		}
	case l.kind == "input" && !s.input:
		if !unchanged(l.value, cell) {
			r.remain(l.called, "is worked out in the sheet now, so it cannot be given")
		}
	case l.kind == "input" && l.unit != unitName(s.value):
		if !unchanged(l.value, cell) {
			r.remain(l.called, "is %s %s in the workbook, but the sheet counts it in %s now: set it there", shownCell(cell), inBrackets(l.unit), inBrackets(unitName(s.value)))
		}
	case l.kind == "input":
		r.input(l, s, cell)
	case l.kind == "constant" || l.kind == "adjusted":
		if !cell.Formula && !unchanged(l.value, cell) {
			r.remain(l.called, "was %s and is %s in the workbook, but it is not given: it stays as it is", shownCell(l.value), shownCell(cell))
		}
	case !cell.Formula:
		r.remain(l.called, "should be worked out, but %s has been typed over its formula", shownCell(cell))
	}
}

// find finds a value's cell by its name, and within a table by the name of its row.
func (r *returning) find(l exportedLine) (xlsx.Cell, error) {
	area, err := r.area(l.cells)
	if err != nil {
		return xlsx.Cell{}, err
	}
	if l.keys == "" {
		return area.Sheet.Cell(area.Row, area.Col), nil
	}
	k, err := r.keyColumn(l)
	if err != nil {
		return xlsx.Cell{}, err
	}
	row, ok := k.rows[l.row]
	switch {
	case !ok:
		return xlsx.Cell{}, fmt.Errorf("the row %q is gone from the workbook", l.row)
	case k.twice[l.row]:
		return xlsx.Cell{}, fmt.Errorf("the workbook has two rows %q", l.row)
	}
	return area.Sheet.Cell(k.area.Row+row, area.Col), nil
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
	k := &keyColumn{area: area, rows: map[string]int{}, twice: map[string]bool{}, known: map[string]bool{l.row: true}, table: l.called[:strings.IndexByte(l.called+"[", '[')]}
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
	for _, key := range slices.Sorted(maps.Keys(r.keys)) {
		k := r.keys[key]
		for _, name := range slices.Sorted(maps.Keys(k.rows)) {
			if name != "" && !k.known[name] {
				r.remain(fmt.Sprintf("%s[%q]", k.table, name), "is a row that was added in the workbook: add it to the table in the sheet")
			}
		}
	}
}

// inBrackets returns a unit as it stands behind a name in a sheet.
func inBrackets(unit string) string {
	if unit == "" {
		unit = "1"
	}
	return "[" + unit + "]"
}

// unchanged reports whether two cells hold the same. Some programs keep 15 digits of a number.
func unchanged(a, b xlsx.Cell) bool {
	switch {
	case empties(a) && empties(b):
		return true
	case a.Kind != b.Kind:
		return false
	case a.Kind == xlsx.Number:
		return math.Abs(a.Number-b.Number) <= 1e-14*math.Abs(a.Number)
	}
	return a.Text == b.Text && a.Number == b.Number
}

// empties reports whether a cell is empty; some programs take a text of no letters for nothing.
func empties(c xlsx.Cell) bool {
	return c.Kind == xlsx.Blank && !c.Formula || c.Kind == xlsx.Text && c.Text == ""
}

// shownCell shows what a cell holds.
func shownCell(c xlsx.Cell) string {
	switch c.Kind {
	case xlsx.Blank:
		return "nothing"
	case xlsx.Number:
		return strconv.FormatFloat(c.Number, 'g', 10, 64)
	case xlsx.Truth:
		return map[bool]string{true: "TRUE", false: "FALSE"}[c.Number == 1]
	}
	return inQuotes(c.Text)
}

// input takes a given value over, or says why it cannot.
func (r *returning) input(l exportedLine, s *spot, cell xlsx.Cell) {
	now := cellOf(s.value)
	switch {
	case unchanged(l.value, cell), unchanged(now, cell): // the mate has not touched it, or both have come to the same
		r.measured(l, s, now)
		return
	case !unchanged(l.value, now):
		since := "has been changed on both sides since: it"
		if r.Other {
			since = "is not what it was in the other sheet: it"
		}
		r.remain(s.called, "%s was %s, is %s in the sheet and %s in the workbook", since, shownCell(l.value), shownCell(now), shownCell(cell))
		return
	case cell.Kind == xlsx.Blank && cell.Formula:
		r.remain(s.called, "holds a formula whose value was not saved")
		return
	case cell.Kind == xlsx.Blank:
		r.remain(s.called, "was %s and has been cleared", r.was(s))
		return
	case cell.Kind == xlsx.Fault:
		r.remain(s.called, "shows the error %s", printable(cell.Text))
		return
	}
	value, why := r.valueOf(s, cell)
	if why != "" {
		r.remain(s.called, "%s", why)
		return
	}
	c := Change{Name: s.called, Was: r.was(s), Now: value, Value: value}
	if u := unitName(s.value); u != "" && !s.value.Unit.Mixed() {
		c.Now += " " + u
	}
	if s.value.IsText {
		c.Value = `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(value) + `"`
		c.Now = c.Value
	}
	if s.page.alias != "" {
		r.remain(s.called, "is %s and was %s, but it belongs to another sheet, which other models may use: change it there", c.Now, c.Was)
		return
	}
	if s.column != nil {
		c.entry = [3]string{s.column.table.Name, s.rowName, s.column.Name}
	}
	if cell.Formula {
		r.Notes = append(r.Notes, Remark{s.called, "holds a formula in the workbook; its value is taken"})
	}
	r.Changes = append(r.Changes, c)
}

// cellOf returns a value as a cell of the workbook has it.
func cellOf(v engine.Value) xlsx.Cell {
	switch c := known(v); c.kind {
	case aNumber:
		return xlsx.Cell{Kind: xlsx.Number, Number: c.number}
	case aText:
		return xlsx.Cell{Kind: xlsx.Text, Text: c.text}
	}
	return xlsx.Cell{}
}

// was shows what a value is now.
func (r *returning) was(s *spot) string {
	switch v := s.value; {
	case v.Status != engine.OK:
		return "nothing"
	case v.IsText:
		return strconv.Quote(v.Text)
	default:
		return v.Quantity()
	}
}

// valueOf returns a cell's content as it is typed in the sheet, or why it cannot be what is meant.
func (r *returning) valueOf(s *spot, c xlsx.Cell) (value, why string) {
	v := s.value
	switch {
	case v.IsText:
		return r.textOf(s, c)
	case v.IsTruth:
		return truthOf(c)
	case v.Status != engine.OK && v.Unit.String() == "" && s.column == nil && c.Kind == xlsx.Text: // a text may be meant
		return "", fmt.Sprintf("holds the text %s: set it in the sheet, where a text has quotes", inQuotes(c.Text))
	case c.Kind == xlsx.Text:
		return "", fmt.Sprintf("holds the text %s where a number is expected", inQuotes(c.Text))
	case c.Kind == xlsx.Truth:
		return "", fmt.Sprintf("says %s where a number is expected", shownCell(c))
	case xlsx.IsDate(c.Format):
		return "", "has been turned into a date or a time: a half is typed 0.5 or 0 1/2"
	case xlsx.IsPercent(c.Format):
		return "", fmt.Sprintf("was typed with a %%: %s may mean %s", shownCell(c), shownCell(xlsx.Cell{Kind: xlsx.Number, Number: c.Number * 100}))
	}
	if lo, hi := bounds(v); c.Number < lo || c.Number > hi {
		return "", fmt.Sprintf("is %s now, far from what is expected (%s to %s)", shownCell(c), plainNumber(lo), plainNumber(hi))
	}
	if v.Whole() && c.Number != math.Trunc(c.Number) {
		return "", fmt.Sprintf("is %s now, where only a whole number can be", shownCell(c))
	}
	if inHundredths(v) && c.Number != 0 && math.Abs(c.Number) <= leastPercent(v) {
		return "", fmt.Sprintf("is %s now: a value in %% is typed without the sign, such as %s", shownCell(c), shownCell(xlsx.Cell{Kind: xlsx.Number, Number: v.Number}))
	}
	if v.Unit.Mixed() { // its two parts could both be meant
		return workshop(c.Number, v) + " " + unitName(v), ""
	}
	return workshop(c.Number, v), ""
}

// textOf takes a text over.
func (r *returning) textOf(s *spot, c xlsx.Cell) (value, why string) {
	if c.Kind != xlsx.Text {
		return "", fmt.Sprintf("holds %s where a text is expected", shownCell(c))
	}
	if why := r.notChosen(s, c.Text); why != "" {
		return "", why
	}
	if strings.ContainsFunc(c.Text, func(r rune) bool { return r < ' ' }) {
		return "", "holds a text of several lines"
	}
	return c.Text, ""
}

// notChosen tells why a text cannot be chosen, or nothing if it can.
func (r *returning) notChosen(s *spot, said string) string {
	var choices []string
	why := fmt.Sprintf("says %s, which is not ", inQuotes(said))
	switch t := r.plan.choices[s.value.Place]; {
	case s.choices != nil:
		choices, why = s.choices.texts, why+"one of its choices"
	case t != nil:
		choices, why = rowNames(t.Table), why+"a row of "+t.called
	default:
		return ""
	}
	if slices.Contains(choices, said) {
		return ""
	}
	if near, ok := nearest.Word(said, choices); ok {
		return why + fmt.Sprintf("; is it %q?", near)
	}
	if len(choices) > 0 && len(choices) <= maxListed {
		return why + "; choose from " + strings.Join(quotedEach(choices), ", ")
	}
	return why
}

// maxListed is how many choices are listed in a message.
const maxListed = 6

func quotedEach(texts []string) []string {
	var list []string
	for _, t := range texts {
		list = append(list, strconv.Quote(t))
	}
	return list
}

// truthOf takes a yes or no over.
func truthOf(c xlsx.Cell) (value, why string) {
	switch said := strings.ToLower(strings.TrimSpace(c.Text)); {
	case c.Kind == xlsx.Text && (said == "yes" || said == "no"):
		return said, ""
	case c.Kind == xlsx.Truth && c.Number == 1:
		return "yes", ""
	case c.Kind == xlsx.Truth:
		return "no", ""
	}
	return "", fmt.Sprintf("holds %s where yes or no is expected", shownCell(c))
}

// workshop writes a number as it is typed in the sheet: in fractions of a ruler where its step is one and it falls on a mark,
// else with all of its digits.
func workshop(x float64, v engine.Value) string {
	if isRuler(v.Step) || inchLike(engine.Value{Unit: v.Unit, Number: x}) {
		finest := 64.0
		if n := math.Round(x * finest); math.Abs(x*finest-n) <= 1e-9*math.Max(1, math.Abs(n)) {
			return rulerMark(int(n))
		}
	}
	return strings.Replace(strconv.FormatFloat(x, 'g', 15, 64), "e+", "e", 1)
}

// rulerMark writes a number of 64ths: 8-1/4.
func rulerMark(n int) string {
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	whole, part, den := n/64, n%64, 64
	for part > 0 && part%2 == 0 {
		part, den = part/2, den/2
	}
	switch {
	case part == 0:
		return sign + strconv.Itoa(whole)
	case whole == 0:
		return fmt.Sprintf("%s%d/%d", sign, part, den)
	}
	return fmt.Sprintf("%s%d-%d/%d", sign, whole, part, den)
}

// inQuotes returns what a workbook says in quotes and short enough for a message.
func inQuotes(s string) string { return strconv.Quote(atMost(s, 60)) }

// printable returns what a workbook says without what could steer a terminal.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsPrint(r) {
			return r
		}
		return -1
	}, atMost(s, 500))
}
