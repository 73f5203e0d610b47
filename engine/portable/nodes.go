package portable

import (
	"fmt"

	"gusset/engine/machine"
	"gusset/engine/program"
)

// node lays out a node and all that it is made of, and returns its number; -1 for none. It is written as the number of
// its operator and then its nodes, a, b, c and so on. These come before it: it says by how many, as a number below 0.
// Where there is more, or no node, that is
//
//	const            the number
//	text             number of a text
//	boolean          1 or 0
//	slot             slot
//	own              column, in the row of the formula
//	entry            column, in the row that the innermost fold is at
//	param            parameter
//	lookup           a, column
//	column           column
//	rows             table
//	pick, fold       a, kind of fold
//	points           a, b, kind of fold
//	spread           slot, hidden slot of how far it may be off
//	equal, notEqual  a, b, whether they are numbers
//	func             function, a, and b if it takes two
//	call             formula, nodes
func (b *builder) node(i int32) int32 {
	if i == program.None {
		return -1
	}
	if at, done := b.nodes[i]; done {
		return at
	}
	n := b.st.Nodes[i]
	if n.Op.String() == "" {
		panic(program.NoRule(n.Op))
	}
	written, operands := []float64{float64(n.Op)}, b.st.Operands(i)
	add := func(values ...int32) {
		for _, v := range values {
			written = append(written, float64(v))
		}
	}
	switch n.Op { // what is before its nodes
	case program.OpConst, program.OpBoolean:
		written = append(written, n.Number())
	case program.OpText:
		b.texts[n.A] = true
		add(n.A)
	case program.OpSlot, program.OpParam:
		add(n.A)
	case program.OpSpread:
		add(n.A, n.B)
	case program.OpOwn, program.OpEntry, program.OpColumn:
		b.column(n.A)
		add(n.A)
	case program.OpRows:
		b.table(n.A)
		add(n.A)
	case program.OpLookup:
		b.column(n.B)
		b.keysOf(b.st.Columns[n.B].Table.Number)
	case program.OpFunc:
		add(n.C)
	case program.OpCall:
		b.formula(n.A)
		add(n.A)
	}
	first := len(written)
	for _, o := range operands {
		add(b.node(o))
	}
	switch n.Op { // and what is after them
	case program.OpLookup, program.OpPick, program.OpFold:
		add(n.B)
	case program.OpPoints:
		add(n.C)
	case program.OpEqual, program.OpNotEqual:
		op := b.st.Comparison(&n)
		written = append(written, program.BooleanValue(op == machine.Equal || op == machine.NotEqual))
	}
	key := fmt.Sprint(written)
	at, sent := b.alike[key]
	if !sent {
		at = int32(len(b.p.Nodes))
		for k := range operands {
			written[first+k] -= float64(at)
		}
		b.p.Nodes = append(b.p.Nodes, written)
		b.alike[key] = at
	}
	b.nodes[i] = at
	for _, o := range operands { // the first that is a list says which rows this goes through
		if b.st.TypeAt(o).List {
			b.p.Lists[at] = b.nodes[o]
			break
		}
	}
	return at
}

// formula lays out a formula that others call.
func (b *builder) formula(number int32) {
	if _, done := b.p.Formulas[number]; done {
		return
	}
	f := b.st.Formulas[number]
	d := Formula{Name: f.Node.Name.Text, Each: []bool{}, Signature: f.Signature(b.st.BuilderUnits())}
	for _, s := range f.Node.Sources {
		d.Sources = append(d.Sources, s.Text.Text)
	}
	for _, param := range f.Params {
		d.Each = append(d.Each, param.Each)
	}
	b.p.Formulas[number] = d
	d.Body = b.node(f.Body)
	d.Needs = b.conditions(f.Needs, "it needs")
	d.Trusts = b.conditions(f.Trusts, "it is trusted where")
	b.p.Formulas[number] = d
}

// conditions lays out conditions of a formula, each with what is said where it does not hold.
func (b *builder) conditions(list []program.Condition, lead string) []Condition {
	var all []Condition
	for _, c := range list {
		said := c.Node.Message.Text
		if said == "" {
			said = fmt.Sprintf("%s %s", lead, c.Node.Cond.Text)
		}
		all = append(all, Condition{b.node(c.Root), said})
	}
	return all
}

// sources leaves signature and sources to the formulas that a value shows when it is asked where it comes from: those
// that its own formula calls.
func (b *builder) sources() {
	called := map[int32]bool{}
	for s := range b.p.SlotCount {
		if !b.kept[s] {
			continue
		}
		for _, root := range b.st.RootsOf(s) {
			b.st.Walk(root, func(n *program.Node) {
				if n.Op == program.OpCall {
					called[n.A] = true
				}
			})
		}
	}
	for number, f := range b.p.Formulas {
		if !called[number] {
			f.Signature, f.Sources = "", nil
			b.p.Formulas[number] = f
		}
	}
}
