package explain

import (
	"math"

	"gusset/engine/program"
)

// noValue is what is known of a value that is not there: who takes it without a look at the error has no number.
var noValue = Value{Status: Absent, Number: math.NaN(), Place: Place(program.None)}

// Value returns what is known of a cell, or of an entry of a table. Name is as for Set.
func (e *Explainer) Value(name string) (Value, error) {
	s, err := e.FindSlot(name)
	if err != nil {
		v := noValue
		v.Reason = err.Error()
		return v, err
	}
	return e.ViewValue(s), nil
}

// Cell returns a cell by its name. Ok is false if there is none of that name.
func (e *Explainer) Cell(name string) (c Cell, ok bool) {
	at, _, err := e.Find(name, program.Purpose{})
	if err != nil || at.Kind != program.CellPlace {
		return Cell{Value: noValue}, false
	}
	return e.viewCell(at.Cell), true
}

// Table returns a table with all that is in it.
func (e *Explainer) Table(name string) (Table, error) {
	at, path, err := e.Find(name, program.Purpose{})
	switch {
	case err != nil:
		return Table{}, err
	case at.Kind != program.TablePlace:
		return Table{}, program.Errorf(program.ErrNotOneValue, name, "%s is not the name of a table", path)
	case len(at.Table.RowName)*len(at.Table.Cols) > MaxCompared:
		return Table{}, program.Errorf(program.ErrLimit, name,
			"%s has more than %d values: read it row by row, from an Outline", path, MaxCompared)
	}
	v := e.viewTable(at.Table)
	v.Rows = e.viewRows(v.rows)
	return v, nil
}
