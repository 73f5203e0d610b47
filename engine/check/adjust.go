package check

import (
	"fmt"

	"gusset/engine/program"
	"gusset/sheets/text"
)

// goals returns the adjusted cells by the slot that holds the difference of their two sides.
func (ck *Checker) goals() map[int32]*program.Cell {
	list := map[int32]*program.Cell{}
	for _, c := range ck.Cells {
		if c.Kind == program.AdjustedCell {
			list[c.Adjust.Goal] = c
		}
	}
	return list
}

// checkSides makes sure that the two sides of an adjusted cell are alike.
func (ck *Checker) checkSides(c *program.Cell) {
	f := c.Adjust
	root := ck.Slots[f.Goal].Root
	left, right := ck.Slots[f.Left].Root, ck.Slots[f.Right].Root
	a, b := ck.SlotType(f.Left), ck.SlotType(f.Right)
	cx := &Checking{Checker: ck, Mod: c.Mod, Diag: -1}
	switch {
	case ck.IsBroken(c.Slot) || (a.Kind == program.Unknown || b.Kind == program.Unknown) && !a.List && !b.List:
		// has been reported
	case a.Kind != program.Number || b.Kind != program.Number || a.List || b.List:
		cx.Fault(root, text.Diag{
			Code: "unlike",
			Msg:  fmt.Sprintf("adjust needs one number on each side, but these are %s and %s", a, b),
		}, left, right)
	case a.Dim != b.Dim && !ck.isZero(left) && !ck.isZero(right):
		cx.Fault(root, text.Diag{
			Code: "unlike",
			Msg:  fmt.Sprintf("the two sides of adjust must be alike, but these are %s and %s", a, b),
			Hint: ck.unlikeHint(left, right, a.Dim, b.Dim),
		}, left, right)
	case ck.isZero(left) && b.Temp == program.Reading:
		cx.faultZero(left, scaleOf(cx, right), right)
	case ck.isZero(right) && a.Temp == program.Reading:
		cx.faultZero(right, scaleOf(cx, left), left)
	case unlikeTemperatures(a, b):
		cx.faultUnlike(root, left, right, a)
	}
	ck.Broken.By(f.Goal, cx.Diag)
	ck.Broken.By(c.Slot, cx.Diag)
}

// checkAdjust checks the ends of an adjusted cell.
func (ck *Checker) checkAdjust(c *program.Cell) {
	cx := &Checking{Checker: ck, Mod: c.Mod, Diag: -1}
	f := c.Adjust
	for _, s := range []int32{f.Lo, f.Hi} {
		if !ck.IsBroken(s) {
			root := ck.Slots[s].Root
			t := cx.Check(root)
			if !t.Dim.IsPlain() && ck.CellTypes[c.Number] == program.PlainType && !t.List {
				cx.Fault(root, text.Diag{
					Code: "unit-unfit",
					Msg:  fmt.Sprintf("this gives %s, but %s is a plain number", t, c.Name.Text),
					Hint: fmt.Sprintf("write adjust %s [%s]", c.Name.Text, ck.UsualUnit(t.Dim)),
				})
				break // the other end has the same mistake
			}
			if cx.oneValue(root, t) {
				cx.fits(root, t, ck.CellTypes[c.Number], c.Name.Text, c.Show.Unit)
			}
		}
	}
	ck.Broken.By(c.Slot, cx.Diag)
}
