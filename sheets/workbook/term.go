package workbook

import (
	"math/big"
	"slices"
	"strconv"

	"gusset/sheets/workbook/formula"
	"gusset/units"
)

// term is a piece of a workbook formula, and what it means in the sheet.
type term struct {
	formula formula.Formula

	scale   units.Scale // of a number: what 1 stands for, in SI
	zero    float64     // of a reading that is counted from a zero of its own, as degrees are: what to add, in scale
	free    bool        // a bare 0, which stands for anything
	typed   bool        // as it was typed, by the builder or by the mate: no sum has blurred its last digits
	boolean bool        // a condition: TRUE or FALSE

	mayFail bool // it may have no result, rather than only wait as a comparison of given values does
	joins   bool // conditions are joined in it, which see to what waits themselves

	empties bool    // a text of no letters may be in it, whose cell cannot be told from an empty one
	source  *source // if it is what a cell or a column holds, and nothing else
	needs   *needs  // input cells without which it means nothing
	folds   []int   // whose rows it goes through: it has a value for each
}

// source is the cell, or the column, that a term is the content of.
type source struct {
	ref            formula.Formula // the cell or column; of an entry that is looked up, its lookup
	mayLack, mixed bool            // that is given, and may be empty; some of it is worked out all the same
	wrong          formula.Formula // what has a number while it is none of its choices, if it has any
	search         formula.Formula // of an entry that is looked up: how its row is found
}

// What has no result, and what waits. An error's own name in a formula is lost, and the formula with it, where a
// program saves in an older format.
var (
	noResult = formula.Divide.Of(formula.Num(1), formula.Num(0))
	waits    = formula.NA.Of()
)

// made returns the term of a formula that was made of others, with what it inherits of them.
func made(f formula.Formula, parts ...term) term {
	t := term{formula: f}
	for _, p := range parts {
		t.needs = t.needs.and(p.needs)
		if t.folds == nil {
			t.folds = p.folds
		}
		for _, n := range p.folds {
			if !slices.Contains(t.folds, n) {
				t.folds = append(slices.Clip(t.folds), n)
			}
		}
		t.empties, t.mayFail, t.joins = t.empties || p.empties, t.mayFail || p.mayFail, t.joins || p.joins
	}
	return t
}

// madeBoolean returns the term of a condition that was made of others.
func madeBoolean(f formula.Formula, parts ...term) term {
	t := made(f, parts...)
	t.boolean = true
	return t
}

// formulas returns what some terms are written as.
func formulas(terms []term) []formula.Formula {
	list := make([]formula.Formula, len(terms))
	for i, t := range terms {
		list[i] = t.formula
	}
	return list
}

// constantTerm returns a number that is part of a formula.
func constantTerm(x float64, s units.Scale) term {
	return term{formula: formula.Num(x), scale: s, typed: true}
}

// number returns the number that a term is, if it is one and nothing else.
func (t term) number() (x float64, ok bool) {
	n, ok := t.formula.(formula.Number)
	return n.Value, ok
}

// constant reports whether a term is a number, a text or a condition that is known.
func (t term) constant() bool {
	switch t.formula.(type) {
	case formula.Number, formula.Text, formula.Boolean:
		return true
	}
	return false
}

// plain reports whether a term is the content of its cell or column just as it is.
func (t term) plain() bool { return t.source != nil && formula.Equal(t.formula, t.source.ref) }

// mixed reports whether a term is the content of a column of which some is worked out.
func (t term) mixed() bool { return t.source != nil && t.source.mixed }

// in returns t counted in another scale.
func (t term) in(s units.Scale) term {
	if t.free || t.scale.Equal(s) {
		t.scale = s
		return t
	}
	by := t.scale.Over(s)
	if x, ok := t.number(); ok {
		return constantTerm(timesExactly(x, by), s)
	}
	c := made(multiplied(t.formula, by), t)
	c.scale = s
	return c
}

// degree is the size of a degree of angle.
var degree = builtin("deg").Scale()

var inch = builtin("in")

// builtin returns a unit that the unit table has.
func builtin(name string) units.Unit {
	u, err := units.Builtin().Parse(name)
	if err != nil {
		panic(err)
	}
	return u
}

// timesExactly multiplies a number as it is written by a scale, rounding once.
func timesExactly(x float64, by units.Scale) float64 {
	m := by.Multiplier()
	r, ok := new(big.Rat).SetString(strconv.FormatFloat(x, 'g', -1, 64))
	up, ok1 := fraction(m.Times)
	down, ok2 := fraction(m.Over)
	if m.Pi != 0 || !ok || !ok1 || !ok2 {
		return x * by.Float()
	}
	f, _ := r.Mul(r, up.Quo(up, down)).Float64()
	return f
}

// fraction reads a part of a multiplier; "" is 1.
func fraction(s string) (*big.Rat, bool) {
	if s == "" {
		s = "1"
	}
	return new(big.Rat).SetString(s)
}

// multiplied writes a formula times a scale.
func multiplied(f formula.Formula, by units.Scale) formula.Formula {
	switch {
	case by.Equal(degree):
		return formula.Radians.Of(f)
	case degree.Times(by).Equal(units.Scale{}):
		return formula.Degrees.Of(f)
	}
	m := by.Multiplier()
	if m.Times != "" {
		f = formula.Multiply.Of(f, factor(m.Times))
	}
	if m.Pi > 0 {
		f = formula.Multiply.Of(f, piPower(m.Pi))
	}
	if m.Over != "" {
		f = formula.Divide.Of(f, factor(m.Over))
	}
	if m.Pi < 0 {
		f = formula.Divide.Of(f, piPower(-m.Pi))
	}
	return f
}

// factor returns a part of a multiplier with all of its digits.
func factor(s string) formula.Number {
	x, _ := strconv.ParseFloat(s, 64) // which digits beyond a float64's do not make an error
	return formula.Number{Value: x, Written: s}
}

func piPower(n int) formula.Formula {
	if n == 1 {
		return formula.Pi.Of()
	}
	return formula.Power.Of(formula.Pi.Of(), formula.Num(float64(n)))
}

// alike brings numbers to one scale: the wanted one if one of them has it, else that of the first that is no number
// of the formula's own.
func alike(want *units.Scale, ts ...*term) units.Scale {
	common, best := units.Scale{}, 0
	for _, t := range ts {
		fits := 2
		switch {
		case t.free:
			continue
		case want != nil && t.scale.Equal(*want):
			fits = 3
		case t.constant():
			fits = 1
		}
		if fits > best {
			common, best = t.scale, fits
		}
	}
	for _, t := range ts {
		*t = t.in(common)
	}
	return common
}
