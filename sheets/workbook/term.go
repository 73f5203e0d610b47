package workbook

import (
	"math/big"
	"slices"
	"strconv"
	"strings"

	"gusset/units"
)

// level is how tightly the outermost operator of a spreadsheet formula binds.
type level uint8

const (
	comparing level = iota
	joining
	adding
	multiplying
	raising
	negating
	whole // a name, a number, a call: nothing can tear it apart
)

// term is a piece of a spreadsheet formula, and what is known of it.
type term struct {
	text  string
	level level

	scale    units.Scale // of a number: what 1 stands for, in SI
	zero     float64     // of a reading that is counted from a zero of its own, as degrees are: what is to be added, in scale
	free     bool        // a bare 0, which stands for anything
	constant bool        // a number or a text that stands in the formula; the number is number
	number   float64
	typed    bool // as it was typed, by the builder or by the mate: no sum has blurred its last digits
	truth    bool // a condition: TRUE or FALSE
	empties  bool // a text of no letters may be in it, whose cell cannot be told from an empty one

	function, values string // the function whose call it is, and what stands between its brackets, where that matters

	ref            string // the cell or column that it is the content of, if it is that and nothing else
	mayLack, mixed bool   // that is given, and may be empty; some of it is worked out all the same
	search         string // of an entry that is looked up: how its row is found

	needs []need // input cells without which it means nothing
	folds []int  // whose rows it goes through: it has a value for each
	array bool   // it works only in an array formula
}

// need is an input cell, or a column of them, that has to be filled in.
type need struct {
	ref  string
	text bool // what is asked for is not a number
	rows bool // ref is a whole column
	fold int  // of the rows that the column is read in; 0: ref is one value, or all of the column is needed

	mixed bool // some of it is worked out, and may have no result instead

	cond string // or else a condition without which rows would be passed over
}

// with returns the pieces that a term made of others inherits.
func with(text string, l level, parts ...term) term {
	t := term{text: text, level: l}
	if len(parts) > 0 { // a long sum is made part by part, and the first has nothing twice
		t.needs, t.folds, t.array, t.empties = slices.Clone(parts[0].needs), slices.Clone(parts[0].folds), parts[0].array, parts[0].empties
		parts = parts[1:]
	}
	for _, p := range parts {
		for _, n := range p.needs {
			if !slices.Contains(t.needs, n) {
				t.needs = append(t.needs, n)
			}
		}
		for _, f := range p.folds {
			if !slices.Contains(t.folds, f) {
				t.folds = append(t.folds, f)
			}
		}
		t.array, t.empties = t.array || p.array, t.empties || p.empties
	}
	return t
}

// calling returns the call of a function of any number of values, of which those that are calls of the same become part.
func calling(function string, parts ...term) term {
	var texts []string
	for _, p := range parts {
		if p.function == function {
			p.text = p.values
		}
		texts = append(texts, p.text)
	}
	t := with("", whole, parts...)
	t.function, t.values = function, strings.Join(texts, ",")
	t.text = function + "(" + t.values + ")"
	return t
}

// at returns the text of a term, in brackets unless it binds at least as tightly as l.
func (t term) at(l level) string {
	if t.level < l {
		return "(" + t.text + ")"
	}
	return t.text
}

// numeral writes a number as formulas have it.
func numeral(x float64) string { return strings.ToUpper(strconv.FormatFloat(x, 'g', -1, 64)) }

// constantTerm returns a number that stands in a formula.
func constantTerm(x float64, s units.Scale) term {
	t := term{text: numeral(x), level: whole, scale: s, constant: true, number: x, typed: true}
	if x < 0 {
		t.level = negating
	}
	return t
}

// in returns t counted in another scale.
func (t term) in(s units.Scale) term {
	if t.free || t.scale.Equal(s) {
		t.scale = s
		return t
	}
	by := t.scale.Over(s)
	if t.constant {
		return constantTerm(timesExactly(t.number, by), s)
	}
	c := with(t.text, t.level, t)
	c.scale = s
	switch {
	case by.Equal(degree):
		c.text, c.level = "RADIANS("+t.text+")", whole
	case degree.Times(by).Equal(units.Scale{}):
		c.text, c.level = "DEGREES("+t.text+")", whole
	default:
		c.text, c.level = multiplied(t, by), multiplying
	}
	return c
}

// degree is the size of a degree of angle.
var degree = func() units.Scale {
	u, err := units.Builtin().Parse("deg")
	if err != nil {
		panic(err) // the unit table has it
	}
	return u.Scale()
}()

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

// multiplied writes a term times a scale.
func multiplied(t term, by units.Scale) string {
	m := by.Multiplier()
	text := t.at(multiplying)
	if m.Times != "" {
		text += "*" + m.Times
	}
	if m.Pi > 0 {
		text += "*" + piPower(m.Pi)
	}
	if m.Over != "" {
		text += "/" + m.Over
	}
	if m.Pi < 0 {
		text += "/" + piPower(-m.Pi)
	}
	return text
}

func piPower(n int) string {
	if n == 1 {
		return "PI()"
	}
	return "PI()^" + strconv.Itoa(n)
}

// alike brings numbers to one scale: the wanted one if one of them has it, else that of the first that is no number of the
// formula's own.
func alike(want *units.Scale, ts ...*term) units.Scale {
	common, best := units.Scale{}, 0
	for _, t := range ts {
		fits := 2
		switch {
		case t.free:
			continue
		case want != nil && t.scale.Equal(*want):
			fits = 3
		case t.constant:
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

// guarded returns t so that it says #N/A, and does not pass over a cell as if it were 0, while something that it needs is not
// filled in.
func guarded(t term) term { return t.guardedFor(nil) }

// guardedFor is guarded, but for what has been seen to already.
func (t term) guardedFor(seen []need) term { return t.guardedOr(waits, seen) }

// guardedOr is guardedFor with something else in place of #N/A.
func (t term) guardedOr(instead string, seen []need) term {
	g := t
	if !slices.ContainsFunc(t.needs, func(n need) bool { return !slices.Contains(seen, n) }) {
		g.needs = nil
		return g
	}
	g.needs, g.constant, g.typed, g.ref = nil, false, false, ""
	var numbers, rows, conditions, mixed []string
	for _, n := range slices.Backward(t.needs) {
		switch {
		case slices.Contains(seen, n):
		case n.cond != "":
			conditions = append(conditions, n.cond)
		case n.fold != 0 && n.text: // AND would bring the rows together
			g.text, g.level, g.array = "IF("+n.ref+`="",`+instead+","+g.text+")", whole, true
		case n.fold != 0 && n.mixed && instead == waits:
			g.text, g.level, g.array = "IF(ISNUMBER("+n.ref+"),"+g.text+","+n.ref+"+"+waits+")", whole, true
		case n.fold != 0:
			g.text, g.level, g.array = "IF(ISNUMBER("+n.ref+"),"+g.text+","+instead+")", whole, true
		case n.text && n.rows:
			conditions = append(conditions, "COUNTBLANK("+n.ref+")=0")
		case n.text:
			conditions = append(conditions, n.ref+`<>""`)
		default:
			numbers = append(numbers, n.ref)
			if n.rows {
				rows = append(rows, "ROWS("+n.ref+")")
			}
			if n.mixed {
				mixed = append(mixed, n.ref)
			}
		}
	}
	slices.Reverse(numbers)
	slices.Reverse(rows)
	slices.Reverse(conditions)
	if single := len(numbers) - len(rows); single > 0 {
		rows = append([]string{strconv.Itoa(single)}, rows...)
	}
	switch {
	case len(numbers) == 1 && rows[0] == "1":
		conditions = append([]string{"ISNUMBER(" + numbers[0] + ")"}, conditions...)
	case len(numbers) > 0:
		conditions = append([]string{"COUNT(" + strings.Join(numbers, ",") + ")=" + strings.Join(rows, "+")}, conditions...)
	}
	if len(mixed) > 0 && instead == waits { // what has no result comes first
		slices.Reverse(mixed)
		instead = "SUM(" + strings.Join(mixed, ",") + ")+" + waits
	}
	switch len(conditions) {
	case 0:
	case 1:
		g.text, g.level = "IF("+conditions[0]+","+g.text+","+instead+")", whole
	default:
		g.text, g.level = "IF(AND("+strings.Join(conditions, ",")+"),"+g.text+","+instead+")", whole
	}
	return g
}
