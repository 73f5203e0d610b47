package text

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"gusset/units/nearest"
)

// SetGiven returns the file with another value in a given cell. The value is written as in a sheet: 8-1/4, "balsa
// sheet", yes, or nothing. Only the value's own line changes; its note stays in its column where the value leaves room.
// How far off the old value was said to be goes with it, and so does the mark of a guess, unless the new value has one.
// An error says what prevents it.
func SetGiven(f *File, name, value string) (*File, error) {
	if a, err := find("", name, NodesOf[*Adjust](f), func(a *Adjust) Word { return a.Name }); err == nil {
		return nil, fmt.Errorf("%s is adjusted (line %d), so it cannot be given", name, f.line(a))
	}
	c, err := find("cell", name, NodesOf[*Cell](f), func(c *Cell) Word { return c.Name })
	switch {
	case err != nil:
		return nil, err
	case !c.IsGiven():
		return nil, fmt.Errorf("%s is worked out (line %d), so it cannot be given", name, f.line(c))
	}
	return f.replace(c.Value, int(c.Value.Word.Span.Start), value)
}

// SetEntry returns the file with another value in a row of a table. It treats the value and the line as SetGiven does;
// the bars stay in their columns where the value leaves room.
func SetEntry(f *File, table, row, column, value string) (*File, error) {
	v, err := f.givenEntry(table, row, column)
	if err != nil {
		return nil, err
	}
	return f.replace(v, int(v.Word.Span.Start), value)
}

// SetEntryFormula returns the file with a formula, = and what follows it, where a row of a table has a given value, or
// none. Only that line changes, as with SetEntry.
func SetEntryFormula(f *File, table, row, column, formula string) (*File, error) {
	v, err := f.givenEntry(table, row, column)
	if err != nil {
		return nil, err
	}
	if file, _ := Parse(NewSource("formula", []byte("x "+formula))); len(file.Nodes) != 1 ||
		strings.ContainsRune(quoted().ReplaceAllString(formula, ""), '|') {
		return nil, fmt.Errorf("%s is not one formula", formula)
	}
	return f.put(v, int(v.Word.Span.Start), formula)
}

// givenEntry returns the value of a row of a table, which is not a formula.
func (f *File) givenEntry(table, row, column string) (Value, error) {
	t, err := find("table", table, NodesOf[*Table](f), func(t *Table) Word { return t.Name })
	if err != nil {
		return Value{}, err
	}
	at, err := f.findColumn(t, column)
	if err != nil {
		return Value{}, err
	}
	r, err := find("row of "+t.Name.Text, row, t.Rows, func(r *Row) Word { return r.Name })
	if err != nil {
		return Value{}, err
	}
	v := r.Values[at-1]
	if v.Kind == FormulaValue {
		return v, fmt.Errorf("%s of %s in %s is worked out (line %d), so it cannot be given", column, row,
			t.Name.Text, f.line(r))
	}
	return v, nil
}

// TagOf returns the unit, or the choices, of a cell, or where cell is empty of a column of a table; ok is false where
// there is none of that name.
func TagOf(f *File, cell, table, column string) (tag UnitTag, ok bool) {
	for _, n := range f.Nodes {
		if c, isCell := n.(*Cell); isCell && c.Name.Text == cell {
			return c.Unit, true
		}
	}
	if t := f.Table(table); t != nil && cell == "" {
		return t.TagOf(column)
	}
	return UnitTag{}, false
}

// TagOf returns the unit, or the choices, of a column of the head; ok is false where there is none of that name.
func (t *Table) TagOf(column string) (tag UnitTag, ok bool) {
	i := slices.IndexFunc(t.Head, func(c Column) bool { return c.Name.Text == column })
	if i < 0 {
		return UnitTag{}, false
	}
	return t.Head[i].Unit, true
}

// Table returns the table of a name; nil if there is none.
func (f *File) Table(name string) *Table {
	t, _ := find("table", name, NodesOf[*Table](f), func(t *Table) Word { return t.Name })
	return t
}

// NodesOf returns the nodes of a file that are of one kind.
func NodesOf[T Node](f *File) (list []T) {
	for _, n := range f.Nodes {
		if t, ok := n.(T); ok {
			list = append(list, t)
		}
	}
	return list
}

// find returns the first of all that goes by that name.
func find[T any](what, name string, all []T, nameOf func(T) Word) (found T, err error) {
	var names []string
	for _, t := range all {
		if nameOf(t).Text == name {
			return t, nil
		}
		names = append(names, nameOf(t).Text)
	}
	return found, unknown(what, name, names)
}

// findColumn returns which column of t, from 1, a value can be given in under that name.
func (f *File) findColumn(t *Table, name string) (int, error) {
	var names []string
	for i, c := range t.Head {
		switch {
		case c.Name.Text == name && t.Range != nil:
			return 0, fmt.Errorf("the table %s makes its own rows (line %d), so none can be set", t.Name.Text,
				f.line(t))
		case c.Name.Text == name && i == 0:
			return 0, fmt.Errorf("%s names the rows of %s, so it cannot be set", name, t.Name.Text)
		case c.Name.Text == name:
			return i, nil
		case i > 0:
			names = append(names, c.Name.Text)
		}
	}
	for _, c := range t.Worked {
		if c.Name.Text == name {
			return 0, fmt.Errorf("%s is a worked column of %s (line %d), so it cannot be given", name, t.Name.Text,
				f.line(c))
		}
	}
	return 0, unknown("column of "+t.Name.Text, name, names)
}

// unknown says that there is no such thing, and names the nearest one.
func unknown(what, name string, known []string) error {
	if near, ok := nearest.Word(name, known); ok {
		return fmt.Errorf("there is no %s %s; did you mean %s?", what, name, near)
	}
	return fmt.Errorf("there is no %s %s", what, name)
}

// line returns the number of a node's first line.
func (f *File) line(n Node) int { return f.Source.Position(n.Extent().Start).Line }

// replace returns the file with value instead of old. empty is where the value goes if there is none yet.
func (f *File) replace(old Value, empty int, value string) (*File, error) {
	value, err := checkValue(value)
	if err != nil {
		return nil, err
	}
	return f.put(old, empty, value)
}

// put returns the file with a value, as it is typed, instead of old.
func (f *File) put(old Value, empty int, value string) (*File, error) {
	text := f.Source.Text()
	from, to := empty, empty
	if old.Kind != NoValue {
		from, to = int(old.Word.Span.Start), int(old.End())
	} else if value != "" {
		value = " " + value
	}
	head, tail := text[:from]+value, fitGap(text[to:], columns(text[from:to])-columns(value))
	if value == "" && (tail == "" || tail[0] == '\n' || tail[0] == '\r') {
		head = strings.TrimRight(head, " ")
	}
	next, diags := Parse(NewSource(f.Source.Name, []byte(head+tail)))
	at := f.Source.Position(int32(from)).Line
	for _, d := range diags {
		if next.Source.Position(d.Span.Start).Line == at {
			return nil, fmt.Errorf("%s cannot be put on line %d: %s", strings.TrimSpace(value), at, d.Msg)
		}
	}
	return next, nil
}

// fitGap returns rest with the blanks at its head made more by room, or fewer but for the last ones, so that what
// follows on the line stays in its column.
func fitGap(rest string, room int) string {
	after := strings.TrimLeft(rest, " ")
	gap := len(rest) - len(after)
	var least int
	switch {
	case after == "" || after[0] == '\n' || after[0] == '\r':
		return after
	case strings.HasPrefix(after, "//"):
		least = min(max(gap, 1), 2)
	case after[0] == '|':
		least = 1
	default:
		return rest
	}
	return strings.Repeat(" ", max(gap+room, least)) + after
}

// checkValue returns value as it goes into a line.
func checkValue(value string) (string, error) {
	value = strings.TrimSpace(value)
	v, err := ParseValue(value)
	var diags Diags
	if !errors.As(err, &diags) {
		if err == nil && v.GiveOrTake().Given() {
			value = join(v.Word.Text, v.Tolerance(), v.Guess().Text)
		}
		return value, err
	}
	d := diags[0]
	said := fmt.Sprintf("%s cannot be given: %s", value, d.Msg)
	if d.Hint != "" && !aboutLine[d.Code] {
		said += " (" + strings.TrimPrefix(d.Hint, "x : ") + ")"
	}
	return "", errors.New(said)
}

// aboutLine holds the codes of messages whose hint is about the whole line, not about the value alone.
var aboutLine = set("formula-given double-mark bound")
