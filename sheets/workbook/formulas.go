package workbook

import (
	"iter"

	"gusset/engine"
)

// formulas are those of a model. They are expanded when somebody asks for one, and not kept: of a sheet of long sums
// they would take more memory than all else.
type formulaSource struct {
	expand func(engine.Place) *engine.Expr
	shared map[engine.Place]engine.Place // of entries of one column, which have one formula: that of the first
	parts  map[engine.Place]opSet

	last     engine.Place // that was asked for, and its formula
	lastExpr *engine.Expr
}

func newFormulaSource(m *engine.Model) formulaSource {
	shared, parts := map[engine.Place]engine.Place{}, map[engine.Place]opSet{}
	return formulaSource{expand: m.Formulas(), shared: shared, parts: parts}
}

// opSet is what kinds of pieces a formula has.
type opSet uint64

// pieces gives an expression and all that it is made of, from the outside in; those of the formulas that it calls are
// not among them. Nil has none.
func pieces(e *engine.Expr) iter.Seq[*engine.Expr] {
	return func(yield func(*engine.Expr) bool) { visitPieces(e, yield) }
}

func visitPieces(e *engine.Expr, yield func(*engine.Expr) bool) bool {
	if e == nil {
		return true
	}
	if !yield(e) {
		return false
	}
	for _, a := range e.Args {
		if !visitPieces(a, yield) {
			return false
		}
	}
	return true
}

// at returns the formula of a place, or nil if it has none.
func (f *formulaSource) at(place engine.Place) *engine.Expr {
	place = f.root(place)
	if f.lastExpr == nil || f.last != place {
		f.last, f.lastExpr = place, f.expand(place)
		if _, known := f.parts[place]; !known && f.lastExpr != nil {
			var s opSet
			for e := range pieces(f.lastExpr) {
				s |= 1 << e.Op
			}
			f.parts[place] = s
		}
	}
	return f.lastExpr
}

// root returns the place whose formula the one of a place is.
func (f *formulaSource) root(place engine.Place) engine.Place {
	if first, shared := f.shared[place]; shared {
		return first
	}
	return place
}

// with returns the formula of a place if it has pieces of some kind, or calls a formula that may have them; else nil.
func (f *formulaSource) with(op engine.Op, place engine.Place) *engine.Expr {
	s, known := f.parts[f.root(place)]
	if known && s&(1<<op|1<<engine.OpCall) == 0 {
		return nil
	}
	return f.at(place)
}
