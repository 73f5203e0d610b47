package engine

import (
	"fmt"
	"regexp"
	"strings"

	"gusset/sheets/text"
	"gusset/units"
)

// What to write instead, for the slips that builders make. A hint is words that can be typed, made from the builder's
// own names where that can be done.

// isPlainConst reports whether a node is a number written without a unit.
func (ck *checker) isPlainConst(i int32) bool {
	n := ck.nodes[i]
	return n.op == OpConst && n.c == 0
}

// isPlainSum reports whether a node is made of nothing but numbers without a unit, as 43 + 3/4 is.
func (ck *checker) isPlainSum(i int32) bool {
	plain := true
	ck.walk(i, func(n *node) {
		switch n.op {
		case OpConst:
			plain = plain && n.c == 0
		case OpAdd, OpSub, OpMul, OpDiv, OpNeg:
		default:
			plain = false
		}
	})
	return plain
}

// unitForgotten suggests the unit that a plain number lacks to be of dimension d: a number in the formula, or a given
// cell without a unit. It returns nothing when neither is there.
func (ck *checker) unitForgotten(i int32, d units.Dim) string {
	if ck.isPlainConst(i) {
		return fmt.Sprintf("give the number its unit: %v [%s]", ck.nodes[i].val, ck.usualUnit(d))
	}
	n := ck.nodes[i]
	if n.op == OpDiv && ck.isPlainConst(n.a) && ck.isPlainConst(n.b) {
		return fmt.Sprintf("give the number its unit: %v/%v [%s]", ck.nodes[n.a].val, ck.nodes[n.b].val, ck.usualUnit(d))
	}
	if n.op == OpSlot && ck.hasNoUnit(n.a) {
		return ck.giveUnit(n.a, d)
	}
	return ""
}

// unitOfCell returns the unit that a node is shown in, when the node is a cell or an entry and has one.
func (ck *checker) unitOfCell(i int32) string {
	n := ck.nodes[i]
	if n.op != OpSlot || ck.slots[n.a].hidden {
		return ""
	}
	if u := ck.slotShow(n.a).unit; !u.Mixed() {
		return u.String()
	}
	return ""
}

// giveUnit says how to give a cell without a unit one of dimension d.
func (ck *checker) giveUnit(s int32, d units.Dim) string {
	return fmt.Sprintf("if %s is %s, write %s [%s] on line %d", ck.slotName(s), d.Describe(), ck.cells[ck.slots[s].owner].name.Text, ck.usualUnit(d), ck.slotLine(s))
}

// hasNoUnit reports whether a slot is a given or an adjusted cell that names no unit.
func (ck *checker) hasNoUnit(s int32) bool {
	sl := ck.slots[s]
	if sl.hidden || sl.entry {
		return false
	}
	c := ck.cells[sl.owner]
	switch n := c.node.(type) {
	case *text.Cell:
		return n.IsGiven() && !n.Unit.Given() && ck.cellTypes[c.number] == plainType
	case *text.Adjust:
		return !n.Unit.Given()
	}
	return false
}

// factorForgotten suggests the unit of the one cell without a unit in a product that comes out a factor short: have is
// what it gives, want what it should.
func (ck *checker) factorForgotten(i int32, have, want units.Dim) string {
	missing, err := want.Div(have)
	if err != nil || missing.IsPlain() {
		return ""
	}
	found := none
	for {
		n := ck.nodes[i]
		if n.op != OpMul && n.op != OpDiv {
			break
		}
		if n.op == OpMul && ck.nodes[n.b].op == OpSlot && ck.hasNoUnit(ck.nodes[n.b].a) {
			if found != none {
				return ""
			}
			found = ck.nodes[n.b].a
		}
		i = n.a
	}
	if n := ck.nodes[i]; n.op == OpSlot && ck.hasNoUnit(n.a) {
		if found != none {
			return ""
		}
		found = n.a
	}
	if found == none {
		return ""
	}
	return ck.giveUnit(found, missing)
}

// together says how to bring the rows of a list to one value.
func (ck *checker) together(mod *module, i int32, t typ) string {
	list := "the rows"
	if n := ck.nodes[i]; n.op == OpColumn || n.op == OpRows {
		list = ck.asTyped(mod, i)
	}
	switch t.kind {
	case truth:
		return "for all rows at once write all( ), for one at the least any( )"
	case rows:
		return fmt.Sprintf("name a column, or count them: count(%s)", list)
	case writing:
		return fmt.Sprintf("take one of them: first(%s)", list)
	}
	if list == "the rows" {
		return "bring it together, for example with sum( ) or max( )"
	}
	return fmt.Sprintf("bring it together: sum(%s) or max(%s)", list, list)
}

// aColumn names a column of numbers of the table that a node's rows are of.
func (ck *checker) aColumn(i int32) string {
	t, ok := ck.tableOf(i)
	if !ok || t.list {
		return "TABLE.COLUMN"
	}
	for k := len(t.cols) - 1; k > 0; k-- {
		if ck.columnTypes[t.cols[k].number].kind == number {
			return t.name.Text + "." + t.cols[k].name.Text
		}
	}
	return t.name.Text + ".COLUMN"
}

// unitAndFigures matches a unit with the figures of a step after it, up to a decimal comma.
var unitAndFigures = regexp.MustCompile(`^([^,;]*[^\s,;])\s*,\s*(\d+)$`)

// givenHint suggests the colon of a given value, for a cell whose formula is nothing but a value.
func givenHint(c *text.Cell, value string) string {
	tag := ""
	if c.Unit.Given() {
		tag = " [" + c.Unit.Unit.Text + "]"
		if c.Unit.Step.Given() {
			tag = " [" + c.Unit.Unit.Text + ", " + c.Unit.Step.Text + "]"
		}
	}
	return fmt.Sprintf("%s%s : %s", c.Name.Text, tag, strings.TrimSpace(value))
}

// noUnitHint says how a worked line without a unit could be meant.
func (ck *checker) noUnitHint(root int32, name string, d units.Dim) string {
	if n := ck.nodes[root]; n.op == OpDiv && ck.isPlainConst(n.a) {
		if below := ck.typeAt(n.b); below.kind == number && !below.dim.IsPlain() {
			return fmt.Sprintf("give the number its unit: %v [%s]", ck.nodes[n.a].val, ck.usualUnit(below.dim))
		}
	}
	return fmt.Sprintf("write %s [%s]", name, ck.usualUnit(d))
}

// weightHint tells masses and forces apart, the slip that is made most.
func weightHint(have, want units.Dim) string {
	ratio, err := have.Div(want)
	inverse, err2 := want.Div(have)
	switch {
	case err != nil || err2 != nil || have.IsPlain() || want.IsPlain():
		return ""
	case have == units.MassMoment && want == units.Torque || have == units.Torque && want == units.MassMoment:
		return "[oz in] is a mass times a length, for balance; a turning force is in [oz-in], [lb-in] or [kg-cm]"
	case inverse == units.Acceleration:
		return "a mass is not a force: its weight is mass * standard_gravity; a force typed in ounces is in [ozf]"
	case ratio == units.Acceleration:
		return "a force is not a mass: the mass that weighs so much is force / standard_gravity; a mass is in [oz]"
	}
	return ""
}

// dimHint says how a quantity of one dimension could be turned into another, for the slips that builders make.
func dimHint(have, want units.Dim) string {
	ratio, err := have.Div(want)
	if err != nil {
		return ""
	}
	inverse, err := want.Div(have)
	if err != nil {
		return ""
	}
	if hint := weightHint(have, want); hint != "" {
		return hint
	}
	switch {
	case have.IsPlain():
		return ""
	case ratio == units.Angle:
		return "there is an angle too many: divide by 1 [rad], or by 1 [rev] if turns are counted"
	case inverse == units.Angle:
		return "an angle is missing: multiply by 1 [rad], or by 1 [rev] if turns are counted"
	}
	for _, p := range []struct {
		dim  units.Dim
		name string
	}{{units.Length, "length"}, {units.Area, "area"}, {units.Time, "time"}, {units.Mass, "mass"}} {
		if ratio == p.dim {
			return fmt.Sprintf("one %s too many: divide by it", p.name)
		}
		if inverse == p.dim && !want.IsPlain() {
			return fmt.Sprintf("one %s too few: multiply by it", p.name)
		}
	}
	if a2, err := units.Angle.Pow(2, 1); err == nil && (ratio == a2 || inverse == a2) {
		return "the two differ by an angle squared: divide a speed of turning by 1 [rev] or 1 [rad] before squaring it"
	}
	return ""
}
