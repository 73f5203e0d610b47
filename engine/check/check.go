package check

import (
	"fmt"

	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

// Checker gives every node its type, and finds what does not fit.
type Checker struct {
	*program.Program
	formulaDiag map[*program.Formula]int // of those that are checked: what calls one with a mistake has no value
}

// Checking is the formula whose nodes are being given their types.
type Checking struct {
	*Checker
	Mod    *program.Module
	params []program.Param
	Diag   int              // number of the first Diag about it; -1: none
	rows   map[int32]string // that the lists among its nodes go through
}

func newChecker(p *program.Program) *Checker {
	return &Checker{Program: p, formulaDiag: map[*program.Formula]int{}}
}

// One returns what checks one formula of a sheet by itself, before all others are.
func One(p *program.Program, mod *program.Module) *Checking {
	return &Checking{Checker: newChecker(p), Mod: mod, Diag: -1}
}

// All gives every node its type, in the order in which the slots are worked out, and finds what does not fit.
func All(p *program.Program) {
	ck := newChecker(p)
	ck.presetTypes()
	for i := range ck.Nodes {
		n := &ck.Nodes[i] // which may have been checked with values of other kinds
		if n.Op == program.OpJoin {
			n.Op = program.OpAdd
		}
		if n.Op != program.OpConst {
			n.Type = 0
		}
	}
	done := map[int32]int{} // root of a column to the Diag about it
	goals := ck.goals()
	ck.Plan.EachThing(ck.Plan.Steps, func(s int32) {
		if c, ok := goals[s]; ok {
			ck.checkSides(c)
		} else if program.IsSlot(ck.Program, s) {
			ck.checkSlot(s, done)
		} else if column := program.WholeColumn(ck.Program, s); column != nil && column.Table.List {
			ck.checkListed(column)
		}
	})
	for _, f := range ck.Formulas {
		if f.State == program.Resolved {
			ck.checkFormula(f)
		}
	}
	checkDrawings(ck)
}

// presetTypes notes the types that are declared, so that those that use a faulty cell can still be checked.
func (ck *Checker) presetTypes() {
	for _, c := range ck.Cells {
		switch n := c.Node.(type) {
		case *text.Check:
			ck.CellTypes[c.Number] = program.BooleanType
		case *text.Cell:
			if !n.IsGiven() {
				ck.CellTypes[c.Number] = declaredType(n, c.Show)
			}
		}
	}
	for _, c := range ck.Columns {
		if c.Worked != nil {
			ck.ColumnTypes[c.Number] = declaredType(c.Worked, c.Show)
		}
	}
}

// declaredType returns what the unit of a worked line says of its type; nothing where it has none.
func declaredType(line *text.Cell, sh *program.Show) program.Type {
	if line.Unit.Given() {
		return sh.Type()
	}
	return program.Type{}
}

// checkSlot checks the formula of a slot. A formula shared by the rows of a column is checked once.
func (ck *Checker) checkSlot(s int32, done map[int32]int) {
	sl := ck.Slots[s]
	if sl.Kind == program.Adjusted {
		ck.checkAdjust(ck.Cells[sl.Owner])
	}
	if sl.Root == program.None {
		return
	}
	diag, seen := done[sl.Root]
	if !seen {
		cx := &Checking{Checker: ck, Mod: ck.ModuleOf(s)}
		cx.Diag, _ = ck.Broken.At(s)
		cx.checkResult(s, cx.Check(sl.Root))
		diag = cx.Diag
		if sl.Entry { // only a column's formula is that of several slots
			done[sl.Root] = diag
		}
	}
	ck.Broken.By(s, diag)
}

// checkResult makes sure that a formula gives what its line declares.
func (cx *Checking) checkResult(s int32, t program.Type) {
	sl := cx.Slots[s]
	if sl.Hidden || !cx.oneValue(sl.Root, t) || t.Kind == program.Unknown {
		return
	}
	switch {
	case sl.Entry && cx.Columns[sl.Owner].Table.List: // see checkListed
	case sl.Entry && cx.Columns[sl.Owner].Worked == nil:
		c := cx.Columns[sl.Owner]
		cx.fits(sl.Root, t, cx.ColumnTypes[c.Number], "the column "+c.Name.Text, cx.ColumnShow(c.Number).Unit)
	case sl.Entry:
		c := cx.Columns[sl.Owner]
		cx.ColumnTypes[c.Number] = cx.declared(sl.Root, t, c.Worked.Unit, c.Show, c.Name.Text)
	default:
		c := cx.Cells[sl.Owner]
		if c.Kind == program.CheckCell {
			if t.Kind != program.Boolean {
				cx.Fault(sl.Root, text.Diag{
					Code: "check-truth", Msg: "a check needs a condition, but this gives " + t.String(),
					Hint: "compare it with something: <, <=, ==, >=, >",
				})
			}
			return
		}
		if n := c.Node.(*text.Cell); cx.isPlainSum(sl.Root) && !cx.isZero(sl.Root) &&
			!c.Show.Unit.Dim().IsPlain() {
			value := n.Formula().Text
			if meant, ok := text.MeantTolerance(value); ok {
				value = meant
			} else if !cx.isPlainConst(sl.Root) {
				v, _ := cx.Constant(sl.Root)
				value = units.Exact(v, units.Unit{})
			}
			cx.Fault(sl.Root, text.Diag{
				Code: "unit-unfit",
				Msg:  fmt.Sprintf("this gives a plain number, but %s in [%s] is %s", c.Name.Text, c.Show.Unit, c.Show.Type()),
				Hint: "a given value has a colon: " + GivenHint(n, value),
			})
			cx.CellTypes[c.Number] = c.Show.Type()
			return
		}
		cx.CellTypes[c.Number] = cx.declared(sl.Root, t, c.Node.(*text.Cell).Unit, c.Show, c.Name.Text)
	}
}

// declared returns the type of a worked cell or column, and reports a result that does not fit its unit.
func (cx *Checking) declared(root int32, t program.Type, tag text.UnitTag, sh *program.Show, name string) program.Type {
	if !tag.Given() {
		if !t.Dim.IsPlain() {
			cx.Fault(root, text.Diag{
				Code: "unit-missing", Msg: fmt.Sprintf("this gives %s, but %s names no unit", t, name),
				Hint: cx.noUnitHint(root, name, t),
			})
		}
		return t
	}
	want := sh.Type()
	if want.Kind == program.Unknown {
		return want
	}
	if unlikeTemperatures(t, want) {
		cx.faultTemperature(root, t, sh.Unit, fmt.Sprintf("write %s [K]; ", name))
		return want
	}
	if !cx.fits(root, t, want, fmt.Sprintf("%s in [%s]", name, sh.Unit), sh.Unit) {
		return want
	}
	if want.Temp == program.Neutral {
		want.Temp = t.Temp
	}
	return want
}

// oneValue reports whether a result is a single value, and says so if it is a column or rows.
func (cx *Checking) oneValue(root int32, t program.Type) bool {
	if !t.List && t.Kind != program.Rows {
		return true
	}
	cx.Fault(root, text.Diag{
		Code: "whole-column", Msg: "this gives " + t.String() + ", not one value",
		Hint: cx.oneValueHint(cx.Mod, root, t),
	})
	return false
}

// fits reports whether a result of type t, one value, can go where want is wanted, which is in unit, and says so if
// not.
func (cx *Checking) fits(root int32, t, want program.Type, where string, unit units.Unit) bool {
	if t.Kind == program.Unknown || want.Kind == program.Unknown {
		return true
	}
	if cx.isZero(root) && want.Temp == program.Reading {
		cx.faultZero(root, unit)
		return false
	}
	if unlikeTemperatures(t, want) {
		cx.faultTemperature(root, t, unit, "")
		return false
	}
	if t.Kind == want.Kind && (t.Dim == want.Dim || cx.isZero(root)) {
		return true
	}
	d := text.Diag{Code: "unit-unfit", Msg: fmt.Sprintf("this gives %s, but %s is %s", t, where, want)}
	if want.Kind == program.Number {
		d.Hint = cx.unfitHint(root, t.Dim, want.Dim)
	}
	cx.Fault(root, d)
	return false
}

// unfitHint says how a formula could come to what is wanted: often a cell or a number lacks its unit.
func (ck *Checker) unfitHint(root int32, have, want units.Dim) string {
	if have.IsPlain() {
		if hint := ck.unitForgotten(root, want); hint != "" {
			return hint
		}
		if n := ck.Nodes[root]; n.Op == program.OpConst {
			return "a share is taken of something: multiply by it"
		}
	}
	if hint := ck.factorForgotten(root, have, want); hint != "" {
		return hint
	}
	return dimHint(ck.Program, have, want)
}
