package explain

import (
	"math"
	"slices"

	"gusset/engine/machine"
	"gusset/engine/program"
	"gusset/engine/state"
)

// rowsNamed is how many rows are named for which a condition fails.
const rowsNamed = 3

// Unmet is a part of a condition because of which the whole fails.
type Unmet struct {
	Text  string // as it is written
	Holds bool   // it holds, and must not; else it does not hold, and should
	// Left and Right are what is compared, as it is printed, and By how much more, with its sign and unit, the left one
	// is: empty where no number is shown to differ. Nothing is compared where Order is Uncompared.
	Left, Right Value
	Order       Order
	By          string
	Rows        []UnmetRow // the first rows that it fails for, or that count and should not
	More        int        // and how many there are besides
	LeftOut     bool       // they are rows that do not count, and should
	Of          []Unmet    // of a yes or no that is worked out: what of its condition fails
	TooWide     *Doubt     // the left side is how far a value may be off, and is too much
}

// Order is how two values that are compared stand to each other.
type Order uint8

// The orders.
const (
	Uncompared Order = iota
	Less
	Alike
	Greater
	Other // texts, or yes and no, that are not the same
)

// String returns uncompared, less, alike, greater or other.
func (o Order) String() string {
	return [...]string{"uncompared", "less", "alike", "greater", "other"}[o]
}

// MarshalText names the order as String does.
func (o Order) MarshalText() ([]byte, error) { return []byte(o.String()), nil }

// orderOf returns how two numbers stand to each other for a formula that compares them.
func orderOf(a, b float64) Order {
	switch {
	case machine.Compare(machine.Equal, a, b) == 1:
		return Alike
	case a < b:
		return Less
	}
	return Greater
}

// unmetShare is how large a share of a difference may be lost where it is printed that a comparison fails.
const unmetShare = 0.25

// ShowsApart reports whether two numbers show as they are printed which is the larger and, to a share of that, by how
// much.
func ShowsApart(a, b, printedA, printedB, share float64) bool {
	return orderOf(a, b) == orderOf(printedA, printedB) &&
		(orderOf(a, b) == Alike || math.Abs(printedA-printedB-(a-b)) <= share*math.Abs(a-b))
}

// UnmetRow is a row that a condition fails for, and the parts that are to blame.
type UnmetRow struct {
	Name  string
	Parts []Unmet
}

// FailsFor names the first rows for which a check fails.
func (c Cell) FailsFor() []string {
	var names []string
	for _, u := range c.Unmet {
		for _, row := range u.Rows {
			if len(names) < rowsNamed && !slices.Contains(names, row.Name) {
				names = append(names, row.Name)
			}
		}
	}
	return names
}

// unmetOf returns what of the condition of a slot that comes to no fails.
func unmetOf(e *Explainer, s int32) []Unmet {
	if sl := e.Slots[s]; sl.Root != program.None && e.Mach.Regs[s] == 0 && e.SlotType(s).Kind == program.Boolean {
		return (&blame{e, e.ModuleOf(s), 1}).of(sl.Root, rowFrame(sl.Row), 0)
	}
	return nil
}

// blame finds the parts of a condition because of which it fails.
type blame struct {
	e     *Explainer
	mod   *program.Module // whose text the condition is in
	depth int             // how many conditions further down are looked into
}

// of returns the parts of node i because of which it is yes or no, whichever should not be.
func (b *blame) of(i int32, f *frame, is float64) []Unmet {
	i = innerNode(b.e.State, i)
	n := b.e.Nodes[i]
	switch n.Op {
	case program.OpAnd, program.OpOr:
		var parts []Unmet
		for _, side := range []int32{n.A, n.B} {
			if b.e.causes.eval(side, f) == is {
				parts = append(parts, b.of(side, f, is)...)
			}
		}
		return parts
	case program.OpNot:
		return b.of(n.A, f, 1-is)
	}
	u := Unmet{Text: b.e.AsTyped(b.mod, i), Holds: is == 1}
	switch n.Op {
	case program.OpLess, program.OpLessEq, program.OpEqual, program.OpNotEqual:
		b.compare(&u, n, f)
	case program.OpFold:
		if kind := program.FoldKind(&n); is == 0 && (kind == machine.All || kind == machine.None) {
			b.rows(&u, n.A, n.A, f, program.BooleanValue(kind == machine.None))
		}
	default:
		s, named := b.e.causes.evaluator().namedIn(i, f)
		if sl := b.e.Slots[s]; named && b.depth > 0 && sl.Root != program.None {
			u.Of = (&blame{b.e, b.e.ModuleOf(s), b.depth - 1}).of(sl.Root, rowFrame(sl.Row), is)
		}
	}
	return []Unmet{u}
}

// compare tells what is compared. Greater is less with its sides the other way round.
func (b *blame) compare(u *Unmet, n program.Node, f *frame) {
	left, right := n.A, n.B
	if b.e.Nodes[left].From > b.e.Nodes[right].From {
		left, right = right, left
	}
	shows := sidesShow(b.e.State, left, right)
	var x, y float64
	u.Left, x = printNode(b.e, left, f, shows[0])
	u.Right, y = printNode(b.e, right, f, shows[1])
	switch {
	case b.e.TypeAt(left).Kind == program.Number:
		u.Order, u.By = tellApart(&u.Left, &u.Right, x, y)
	case x == y:
		u.Order = Alike
	default:
		u.Order = Other
	}
	if wide := b.e.Nodes[n.A]; wide.Op == program.OpSpread && !u.Holds {
		u.TooWide = doubtOf(b.e, wide.A)
	}
	for _, side := range []int32{left, right} {
		if in := innerNode(b.e.State, side); isCount(b.e.Nodes[in]) {
			b.count(u, in, f, x > y == (side == left))
		}
	}
}

// isCount reports whether a node counts rows.
func isCount(n program.Node) bool {
	return n.Op == program.OpFold && program.FoldKind(&n) == machine.Count
}

// count names the rows that a count has too many of, or those that it leaves out where it is too few.
func (b *blame) count(u *Unmet, fold int32, f *frame, tooMany bool) {
	list := b.e.Nodes[b.e.Nodes[fold].A]
	if list.Op != program.OpKeep {
		return
	}
	u.LeftOut = !tooMany
	b.rows(u, list.A, list.B, f, program.BooleanValue(tooMany))
}

// rows names the first rows of a list for which a condition is yes or no, whichever should not be.
func (b *blame) rows(u *Unmet, list, condition int32, f *frame, is float64) {
	table, _ := b.e.ListRows(list, f.describe(&program.Env{}))
	if table == nil || table.List {
		return
	}
	ev := b.e.causes.evaluator()
	ev.eachRow(list, f, func(at *frame) bool {
		switch {
		case ev.eval(condition, at) != is:
		case len(u.Rows) < rowsNamed:
			row := UnmetRow{Name: b.e.Texts.At(table.RowName[at.at])}
			if row.Parts = b.of(conditionIn(b.e, condition), at, is); len(row.Parts) == 1 && row.Parts[0].Of != nil {
				row.Parts = row.Parts[0].Of
			}
			u.Rows = append(u.Rows, row)
		default:
			u.More++
		}
		return true
	})
}

// conditionIn returns the condition of each row of a list that all or none goes through.
func conditionIn(e *Explainer, i int32) int32 {
	for e.Nodes[i].Op == program.OpEach {
		i = e.Nodes[i].B
	}
	return i
}

// tellApart gives two numbers as many digits as it takes to show which is the larger, and tells by how much the first
// is.
func tellApart(a, b *Value, a0, b0 float64) (is Order, by string) {
	is = orderOf(a0, b0)
	apart := MoreDigits(func() bool {
		x, ok1 := a.Printed()
		y, ok2 := b.Printed()
		return !ok1 || !ok2 || ShowsApart(a0, b0, x, y, unmetShare)
	}, a, b)
	if is == Alike || !apart {
		return is, ""
	}
	d := Value{Text: Difference(*a, *b, a.Step), Unit: a.Unit}
	if a.Unit.Reading() {
		return is, d.Text
	}
	return is, d.Quantity()
}

// sidesShow returns how the sides of a comparison are shown: each in its own unit, or what is not a name, a number or a
// list brought together as the other is. A number that is written in the formula has the other's step.
func sidesShow(st *state.State, left, right int32) (shows [2]*program.Show) {
	var own [2]bool
	sides := [2]int32{left, right}
	for i, side := range sides {
		shows[i] = nodeShow(st, side)
		op := st.Nodes[innerNode(st, side)].Op
		own[i] = isValue(op) || op == program.OpConst
	}
	for i, side := range sides {
		other := shows[1-i]
		isConst := st.Nodes[side].Op == program.OpConst && shows[i].Unit.Equal(other.Unit)
		if own[1-i] && !own[i] || isConst {
			shows[i] = &program.Show{Unit: other.Unit, Step: other.Step}
		}
	}
	return shows
}
