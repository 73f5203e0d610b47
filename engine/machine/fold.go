package machine

import (
	"fmt"
	"slices"
)

// fold works f out. A row that cannot be worked out makes the whole fold NaN; so does a fold that has no value for no
// rows at all.
func (m *Machine) fold(f *Fold) float64 {
	if f.Kind == Interpolate {
		return m.interpolate(f)
	}
	if f.Kind.OfPoints() {
		return m.points(f)
	}
	t := tally{kind: f.Kind}
	if f.Kind == Median {
		t.all, m.scratch = m.scratch[:0], nil // taken, for a median within a median
	}
	for row := range f.Rows {
		switch keep := m.keeps(f, row); {
		case !finite(keep):
			return nan()
		case keep == 0:
			continue
		}
		m.Run(f.Each, row)
		x := m.Regs[f.EachReg]
		if !finite(x) {
			return nan()
		}
		t.add(x)
	}
	if f.Kind == Median {
		m.scratch = t.all
	}
	return t.result()
}

// tally brings values together one by one.
type tally struct {
	kind  FoldKind
	n     int
	yes   int
	value float64
	all   []float64
}

func (t *tally) add(x float64) {
	t.n++
	if x == 1 {
		t.yes++
	}
	switch t.kind {
	case Sum, Mean:
		t.value += x
	case Median:
		t.all = append(t.all, x)
	case Least:
		if t.n == 1 || x < t.value {
			t.value = x
		}
	case Greatest:
		if t.n == 1 || x > t.value {
			t.value = x
		}
	case First:
		if t.n == 1 {
			t.value = x
		}
	case Last:
		t.value = x
	}
}

func (t *tally) result() float64 {
	switch t.kind {
	case Sum:
		return t.value
	case Count:
		return float64(t.n)
	case All:
		return fromBool(t.yes == t.n)
	case Any:
		return fromBool(t.yes > 0)
	case None:
		return fromBool(t.yes == 0)
	case Only:
		return fromBool(t.yes == 1)
	}
	if t.n == 0 {
		return nan()
	}
	switch t.kind {
	case Mean:
		return t.value / float64(t.n)
	case Median:
		slices.Sort(t.all)
		return (t.all[(t.n-1)/2] + t.all[t.n/2]) / 2
	case Least, Greatest, First, Last:
		return t.value
	}
	panic(fmt.Sprintf("no rule for folds of kind %d", t.kind))
}

// FoldValues brings values together as a Fold of that kind does. It returns NaN where the kind has no value for them.
func FoldValues(kind FoldKind, values []float64) float64 {
	t := tally{kind: kind}
	for _, x := range values {
		t.add(x)
	}
	return t.result()
}

// keeps works out whether a row counts: yes, no, or not known.
func (m *Machine) keeps(f *Fold, row int32) float64 {
	if len(f.Keep) == 0 {
		return 1
	}
	m.Run(f.Keep, row)
	return m.Regs[f.KeepReg]
}

// interpolate reads a table off between its rows.
func (m *Machine) interpolate(f *Fold) float64 {
	at := m.Regs[f.AtReg]
	r := Reading{At: at, Result: nan()}
	for row := range f.Rows {
		switch keep := m.keeps(f, row); {
		case !finite(keep):
			return nan()
		case keep == 0:
			continue
		}
		m.Run(f.Each, row)
		if !r.Row(m.Regs[f.EachReg], m.Regs[f.OtherReg]) {
			return nan()
		}
	}
	return r.Result
}

// Reading reads a value off a table on straight lines between its rows, which are given in order.
type Reading struct {
	At     float64 // where to read
	Result float64 // NaN until a row or a pair of rows has it; set it to NaN before the first row
	x, y   float64 // of the row before
	rows   int
}

// Row takes the next row. It reports false when x does not rise, or a value is not a number: then there is no
// result. Just outside the table, by no more than two equal numbers may differ, is on its first or last row.
func (r *Reading) Row(x, y float64) bool {
	if !finite(x) || !finite(y) || !finite(r.At) || r.rows > 0 && x <= r.x {
		return false
	}
	switch {
	case r.At == x:
		r.Result = y
	case r.rows > 0 && r.x < r.At && r.At < x:
		r.Result = r.y + (y-r.y)*((r.At-r.x)/(x-r.x))
	case (r.rows == 0 || x < r.At) && near(r.At, x): // a row that follows has its own word
		r.Result = y
	}
	r.x, r.y = x, y
	r.rows++
	return true
}
