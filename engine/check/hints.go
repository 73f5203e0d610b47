package check

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

// What to write instead, for the slips that builders make. A hint is words that can be typed, made from the builder's
// own names where that can be done.

// isPlainConst reports whether a node is a number written without a unit.
func (ck *Checker) isPlainConst(i int32) bool {
	n := ck.Nodes[i]
	return n.Op == program.OpConst && n.C == 0
}

// isPlainSum reports whether a node is made of nothing but numbers without a unit, as 43 + 3/4 is.
func (ck *Checker) isPlainSum(i int32) bool {
	return !ck.Any(i, func(n *program.Node) bool {
		switch n.Op {
		case program.OpConst:
			return n.C != 0
		case program.OpAdd, program.OpSub, program.OpMul, program.OpDiv, program.OpNeg:
			return false
		}
		return true
	})
}

// unitForgotten suggests the unit that a plain number lacks to be of dimension d: a number in the formula, or a given
// cell without a unit. It returns nothing when neither is there.
func (ck *Checker) unitForgotten(i int32, d units.Dim) string {
	if ck.isPlainConst(i) {
		return fmt.Sprintf("give the number its unit: %v [%s]", ck.Nodes[i].Number(), ck.UsualUnit(d))
	}
	n := ck.Nodes[i]
	if n.Op == program.OpDiv && ck.isPlainConst(n.A) && ck.isPlainConst(n.B) {
		return fmt.Sprintf(
			"give the number its unit: %v/%v [%s]", ck.Nodes[n.A].Number(), ck.Nodes[n.B].Number(),
			ck.UsualUnit(d),
		)
	}
	if n.Op == program.OpSlot && ck.hasNoUnit(n.A) {
		return ck.giveUnit(n.A, d)
	}
	return ""
}

// unitOfCell returns the unit that a node is shown in, when the node is a cell or an entry and has one.
func (ck *Checker) unitOfCell(i int32) string {
	n := ck.Nodes[i]
	if n.Op != program.OpSlot {
		return ""
	}
	if u := ck.SlotShow(n.A).Unit; !u.Mixed() {
		return u.String()
	}
	return ""
}

// giveUnit says how to give a cell without a unit one of dimension d.
func (ck *Checker) giveUnit(s int32, d units.Dim) string {
	return fmt.Sprintf(
		"if %s is %s, write %s [%s] on line %d", ck.SlotName(s), d.Describe(),
		ck.Cells[ck.Slots[s].Owner].Name.Text, ck.UsualUnit(d), ck.SlotLine(s),
	)
}

// hasNoUnit reports whether a slot is a given or an adjusted cell that names no unit.
func (ck *Checker) hasNoUnit(s int32) bool {
	sl := ck.Slots[s]
	if sl.Hidden || sl.Entry {
		return false
	}
	c := ck.Cells[sl.Owner]
	switch n := c.Node.(type) {
	case *text.Cell:
		return n.IsGiven() && !n.Unit.Given() && ck.CellTypes[c.Number] == program.PlainType
	case *text.Adjust:
		return !n.Unit.Given()
	}
	return false
}

// factorForgotten suggests the unit of the one cell without a unit in a product that comes out a factor short: have is
// what it gives, want what it should.
func (ck *Checker) factorForgotten(i int32, have, want units.Dim) string {
	missing, err := want.Div(have)
	if err != nil {
		return ""
	}
	var lacking []int32
	note := func(i int32) {
		if n := ck.Nodes[i]; n.Op == program.OpSlot && ck.hasNoUnit(n.A) {
			lacking = append(lacking, n.A)
		}
	}
	for ck.Nodes[i].Op == program.OpMul || ck.Nodes[i].Op == program.OpDiv {
		if ck.Nodes[i].Op == program.OpMul {
			note(ck.Nodes[i].B)
		}
		i = ck.Nodes[i].A
	}
	note(i)
	if len(lacking) != 1 {
		return ""
	}
	return ck.giveUnit(lacking[0], missing)
}

// oneValueHint says how to bring the rows of a list to one value.
func (ck *Checker) oneValueHint(mod *program.Module, i int32, t program.Type) string {
	n, typed := ck.Nodes[i], ck.AsTyped(mod, i)
	switch {
	case t.Kind == program.Boolean:
		return "for all rows at once write all( ), for one at the least any( )"
	case n.Op == program.OpPick:
		return "name one of its columns: " + typed + "." + ck.aColumn(n.A)
	case t.Kind == program.Rows:
		return fmt.Sprintf("name a column, or count them: count(%s)", typed)
	case t.Kind == program.Text:
		return fmt.Sprintf("take one of them: first(%s)", typed)
	case n.Op != program.OpColumn:
		return "bring it together, for example with sum( ) or max( )"
	}
	return fmt.Sprintf("bring it together: sum(%s) or max(%s)", typed, typed)
}

// tableColumn names a column of numbers with the table that a node's rows are of.
func (ck *Checker) tableColumn(i int32) string {
	t, ok := ck.TableOf(i)
	if !ok || t.List {
		return "TABLE.COLUMN"
	}
	return t.Name.Text + "." + ck.aColumn(i)
}

// aColumn names a column of numbers of the table that a node's rows are of, or shows where its name goes.
func (ck *Checker) aColumn(i int32) string {
	if t, ok := ck.TableOf(i); ok {
		for _, c := range slices.Backward(t.Cols) {
			if ck.ColumnTypes[c.Number].Kind == program.Number {
				return c.Name.Text
			}
		}
	}
	return "COLUMN"
}

// UnitAndFigures matches a unit with the figures of a step after it, up to a decimal comma.
var UnitAndFigures = regexp.MustCompile(`^([^,;]*[^\s,;])\s*,\s*(\d+)$`)

// GivenHint suggests the colon of a given value, for a cell whose formula is nothing but a value.
func GivenHint(c *text.Cell, value string) string {
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
func (ck *Checker) noUnitHint(root int32, name string, t program.Type) string {
	if n := ck.Nodes[root]; n.Op == program.OpDiv && ck.isPlainConst(n.A) {
		if below := ck.TypeAt(n.B); !below.Dim.IsPlain() {
			return fmt.Sprintf("give the number its unit: %v [%s]", ck.Nodes[n.A].Number(), ck.UsualUnit(below.Dim))
		}
	}
	if t.Temp == program.Difference {
		return fmt.Sprintf("write %s [K]", name)
	}
	return fmt.Sprintf("write %s [%s]", name, ck.UsualUnit(t.Dim))
}

// WeightHint tells masses and forces apart, which are confused most.
func WeightHint(p *program.Program, have, want units.Dim) string {
	ratio, inverse, ok := ratios(have, want)
	switch {
	case !ok || have.IsPlain() || want.IsPlain():
		return ""
	case have == units.MassMoment && want == units.Torque || have == units.Torque && want == units.MassMoment:
		return fmt.Sprintf("[%s] is a mass times a length, for balance; a turning force is in [%s]",
			p.UsualUnit(units.MassMoment), p.UsualUnit(units.Torque))
	case inverse == units.Acceleration:
		return fmt.Sprintf("a mass is not a force: its weight is mass * standard_gravity; a force that is typed is in [%s]",
			p.UsualUnit(units.Force))
	case ratio == units.Acceleration:
		return fmt.Sprintf("a force is not a mass: the mass that weighs so much is force / standard_gravity; "+
			"a mass is in [%s]", p.UsualUnit(units.Mass))
	}
	return ""
}

// ratios returns one dimension over another, and the other way round; ok is false beyond what can be held.
func ratios(a, b units.Dim) (ratio, inverse units.Dim, ok bool) {
	ratio, err := a.Div(b)
	inverse, _ = b.Div(a)
	return ratio, inverse, err == nil
}

// dimHint says how a quantity of one dimension could be turned into another, for the slips that builders make.
func dimHint(p *program.Program, have, want units.Dim) string {
	if hint := WeightHint(p, have, want); hint != "" {
		return hint
	}
	ratio, inverse, ok := ratios(have, want)
	switch {
	case !ok || have.IsPlain():
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
	if a2, _ := units.Angle.Pow(2, 1); ratio == a2 || inverse == a2 {
		return "the two differ by an angle squared: divide a speed of turning by 1 [rev] or 1 [rad] before squaring it"
	}
	return ""
}
