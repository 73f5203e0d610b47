package explain

import (
	"cmp"
	"math"
	"strconv"
	"strings"

	"gusset/engine/machine"
	"gusset/engine/program"
	"gusset/engine/state"
	"gusset/units"
)

const (
	mostDigits = 15     // of a number are printed at most: float64 is not sure of more
	maxSettled = 10_000 // entries of columns are held against what comes of them
)

// Printed returns the number, SI, that a value is printed as; ok is false if that cannot be read off.
func (v Value) Printed() (si float64, ok bool) {
	n, err := units.Builtin().ParseNumber(v.Text, v.Unit)
	if err != nil {
		return 0, false
	}
	return n.SI, true
}

// MoreDigits prints numbers with one digit more and again one more, all of them at once, until what is said of them is
// true of them as they are printed. It reports whether that can be: if not, they are left as they are.
func MoreDigits(isTrue func() bool, numbers ...*Value) bool {
	var before []string
	for _, v := range numbers {
		before = append(before, v.Text)
	}
	for !isTrue() {
		more := false
		for _, v := range numbers {
			more = v.addDigit() || more
		}
		if !more {
			for i, v := range numbers {
				v.Text = before[i]
			}
			return false
		}
	}
	return true
}

// SameDecimals prints numbers of one unit with as many decimals as the one that has most.
func SameDecimals(numbers ...*Value) {
	most := math.MinInt
	for _, v := range numbers {
		most = max(most, decimalsOf(v.Text))
	}
	for _, v := range numbers {
		v.print(most)
	}
}

// addDigit prints a number with one decimal more, if it has one: a ruler fraction as a decimal number, and a unit of
// two parts as the smaller of them.
func (v *Value) addDigit() bool {
	if !v.IsNumber() || !program.IsNumber(v.Number) || v.Number == 0 {
		return false
	}
	shown := decimalsOf(v.Text)
	exact := decimalsOf(strconv.FormatFloat(Rounded(v.Number, 'g', mostDigits), 'e', -1, 64))
	more := min(max(shown+1, -exponent(v.Number)), max(exact, shown))
	before := v.Text
	return more+exponent(v.Number) < mostDigits && v.print(more) != before
}

// print prints a number with so many decimals, and returns that.
func (v *Value) print(decimals int) string {
	form, size := byte('f'), math.Abs(v.Number)
	if size >= 1e15 || size < 1e-4 && size > 0 && decimals > 9 {
		form, decimals = 'e', max(decimals+exponent(v.Number), 0)
	}
	v.Text = strconv.FormatFloat(v.Number, form, max(decimals, 0), 64)
	if v.Unit.Mixed() {
		of := v.Unit.String()
		v.Text += of[strings.LastIndexByte(of, ' '):]
	}
	return v.Text
}

// decimalsOf returns how many decimals a number is printed with; those of a ruler fraction are as fine as it is.
func decimalsOf(number string) int {
	number, _, _ = strings.Cut(number, " ")
	if _, below, ruler := strings.Cut(number, "/"); ruler {
		return len(below)
	}
	return program.Decimals(number)
}

// exponent returns the place of the first digit of a number: 0 for units, -1 for tenths.
func exponent(x float64) int { return int(math.Floor(math.Log10(math.Abs(x)))) }

// Rounded returns x as it reads in one of the forms of strconv.
func Rounded(x float64, form byte, digits int) float64 {
	if r, err := strconv.ParseFloat(strconv.FormatFloat(x, form, digits, 64), 64); err == nil {
		return r
	}
	return x
}

// asMeasured prints a given value as it was measured, not rounded to its step. One that was measured in another unit
// has no end of digits: it stays rounded.
func (v *Value) asMeasured(si float64) {
	if !v.IsNumber() || !program.IsNumber(si) {
		return
	}
	if printed, ok := v.Printed(); ok && machine.Compare(machine.Equal, printed, si) == 1 {
		return // as it was typed, such as 8-1/4
	}
	v.Text = cmp.Or(asMeasured(si, v.Unit), v.Text)
}

// printed is a number of a formula as it is printed in the place of a node.
type printed struct {
	Value
	node int32
	si   float64
}

// printing is a formula with its numbers as they are printed, so that what it says is true of these.
type printing struct {
	e       *Explainer
	f       *frame
	numbers []*printed
}

// printNode returns what a node comes to as it is printed, where show tells in which unit.
func printNode(e *Explainer, i int32, f *frame, show *program.Show) (v Value, si float64) {
	si = e.causes.eval(i, f)
	v = printNumber(e.State, si, e.NodeType(i), show)
	s, named := e.causes.evaluator().asked(i, f)
	if e.Nodes[i].Op == program.OpConst || named && e.Slots[s].Kind == program.Given {
		v.asMeasured(si)
	}
	return v, si
}

// printNumber returns what has no name as it is printed.
func printNumber(st *state.State, si float64, t program.Type, show *program.Show) Value {
	return Value{Number: show.Unit.Value(si), Unit: show.Unit, Step: show.Step, IsText: t.Kind == program.Text,
		IsBoolean: t.Kind == program.Boolean, Text: st.Texts.Format(si, t, show)}
}

// printFormula returns the numbers of a formula as they are printed.
func printFormula(e *Explainer, root int32, f *frame) *printing {
	p := &printing{e: e, f: f}
	p.collect(root)
	p.settle(root)
	return p
}

// collect gathers what can be put in for node i and below. What is not known of which kind it is has a mistake, or no
// value.
func (p *printing) collect(i int32) {
	if isValue(p.e.Nodes[i].Op) {
		if p.e.NodeType(i).Kind == program.Unknown {
			return
		}
		if v, si := printNode(p.e, i, p.f, nodeShow(p.e.State, i)); program.IsNumber(si) {
			p.numbers = append(p.numbers, &printed{v, i, si})
		}
		return
	}
	for _, o := range p.e.Operands(i) {
		p.collect(o)
	}
}

// isValue reports whether a node is one value that can be put in its place: of a name, or of a list brought together.
func isValue(op program.Op) bool {
	switch op {
	case program.OpSlot, program.OpOwn, program.OpEntry, program.OpLookup, program.OpFold, program.OpInterp,
		program.OpPoints, program.OpStock, program.OpSpread:
		return true
	}
	return false
}

// settle gives the numbers of node i as many digits as it takes for each comparison in it to be true of them.
func (p *printing) settle(i int32) {
	n := p.e.Nodes[i]
	if isValue(n.Op) {
		return
	}
	switch n.Op {
	case program.OpLess, program.OpLessEq, program.OpEqual, program.OpNotEqual:
		if p.e.TypeAt(n.A).Kind != program.Number || p.e.TypeAt(n.B).Kind != program.Number {
			return
		}
		op, a, b := p.e.Comparison(&n), p.e.causes.eval(n.A, p.f), p.e.causes.eval(n.B, p.f)
		if program.IsNumber(a) && program.IsNumber(b) {
			p.moreDigits(i, func(eval func(int32) float64) bool { return saysSame(op, a, b, eval(n.A), eval(n.B)) })
		}
		return
	}
	for _, o := range p.e.Operands(i) {
		p.settle(o)
	}
}

// settleAs gives all numbers as many digits as it takes to come to what is printed as the result.
func (p *printing) settleAs(root int32, show *program.Show) {
	t, si := p.e.TypeAt(root), p.e.causes.eval(root, p.f)
	if t.Kind == program.Number && program.IsNumber(si) {
		result := p.e.Texts.Format(si, t, show)
		p.moreDigits(root, func(eval func(int32) float64) bool { return p.e.Texts.Format(eval(root), t, show) == result })
	}
}

// moreDigits is MoreDigits for the numbers in node i; isTrue is given what tells what nodes come to with the numbers as
// they are printed.
func (p *printing) moreDigits(i int32, isTrue func(eval func(int32) float64) bool) {
	var within []*Value
	var nodes []int32
	for _, v := range p.numbers {
		at := p.e.Nodes[v.node]
		if at.From >= p.e.Nodes[i].From && at.To <= p.e.Nodes[i].To && v.IsNumber() {
			within, nodes = append(within, &v.Value), append(nodes, v.node)
		}
	}
	MoreDigits(func() bool {
		ev := p.e.causes.evaluator()
		ev.printed = asPrinted(nodes, within)
		return isTrue(func(i int32) float64 { return ev.eval(i, p.f) })
	}, within...)
}

// asPrinted returns what values come to as they are printed, by what they belong to.
func asPrinted(of []int32, values []*Value) map[int32]float64 {
	printed := map[int32]float64{}
	for i, v := range values {
		if si, ok := v.Printed(); ok {
			printed[of[i]] = si
		}
	}
	return printed
}

// settleRows gives the entries of columns as many digits as it takes for the result of a formula, and for each sum or
// whatever else it makes of them, to be what is printed.
func (p *printing) settleRows(result *printed, columns []*Reason) {
	var slots []int32
	var entries []*Value
	for _, c := range columns {
		for i := range c.Rows {
			v := &c.Rows[i].Values[0]
			if slots, entries = append(slots, int32(v.Place)), append(entries, v); len(slots) > maxSettled {
				return
			}
		}
	}
	for _, v := range append(p.numbers[:len(p.numbers):len(p.numbers)], result) {
		root, show := innerNode(p.e.State, v.node), &program.Show{Unit: v.Unit, Step: v.Step}
		t := p.e.TypeAt(root)
		if t.Kind != program.Number || p.e.Nodes[root].Op == program.OpSlot || !program.IsNumber(v.si) {
			continue
		}
		result := p.e.Texts.Format(v.si, t, show)
		MoreDigits(func() bool {
			ev := p.e.causes.evaluator()
			ev.rows = asPrinted(slots, entries)
			return p.e.Texts.Format(ev.eval(root, p.f), t, show) == result
		}, entries...)
	}
}

// innerNode returns a node, or what it stands for where that is worked out once, in a slot of its own.
func innerNode(st *state.State, i int32) int32 {
	for {
		n := st.Nodes[i]
		if n.Op != program.OpSlot || !st.Slots[n.A].Hidden || st.Slots[n.A].Root == program.None {
			return i
		}
		i = st.Slots[n.A].Root
	}
}

// saysSame reports whether a comparison says of two numbers as they are printed what it says of the numbers: that it
// holds or, where it does not, by how much.
func saysSame(op machine.Op, a, b, printedA, printedB float64) bool {
	holds := machine.Compare(op, a, b)
	return machine.Compare(op, printedA, printedB) == holds &&
		(holds == 1 || ShowsApart(a, b, printedA, printedB, unmetShare))
}
