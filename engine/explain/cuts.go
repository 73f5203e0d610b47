package explain

import (
	"fmt"
	"iter"
	"math"
	"slices"

	"gusset/engine/pack"
	"gusset/engine/program"
	"gusset/engine/state"
)

// CutPlan is how pieces are cut from stock: what one use of stock_needed has found, or why it found nothing.
type CutPlan struct {
	Name   string // of the row that it stands in, or of the cell
	Path   string // of the value that it stands in: stock["1/16"].sheets
	Stock  string // what it is cut from, by the column stock of its row; empty where that is the Name, or there is none
	Value  Value  // that one
	Reason string // why there is no plan; empty where there is one

	Long, Wide, Kerf Value // of one sheet or stick
	Sticks           bool  // every piece is as wide as the stock, which is long for that
	Bound            int   // it cannot be done with fewer than these
	Proven           bool  // Bound is the number of Sheets
	Used             float64
	Sheets           []CutSheet
}

// CutSheet is one sheet or stick and what is cut from it.
type CutSheet struct {
	Pieces   []CutPiece
	Offcuts  []CutRect // what is worth keeping of the rest
	Used     float64   // the pieces' share of it
	Feels    []string  // what its pieces want of the wood, as the column feel of their rows says; each once
	Straight bool      // it can be cut with nothing but cuts from edge to edge
}

// CutPiece is one piece in its place. Turned, its grain runs across that of the stock.
type CutPiece struct {
	Piece  string // the row's name
	Row    int    // of the table
	Number int    // which of the row's pieces it is, from 1
	Turned bool
	CutRect
}

// CutRect is a rectangle on a stock. X and Long run along the grain of the stock, from its corner.
type CutRect struct{ X, Y, Long, Wide Value }

// CutPlans gives the plans of the sheet that was asked for, one by one and in the order of the text.
func CutPlans(st *state.State) iter.Seq[CutPlan] {
	return func(yield func(CutPlan) bool) {
		st.Mu.RLock()
		e := New(st)
		slots, names := cuttingSlots(e)
		st.Mu.RUnlock()
		for i, s := range slots {
			e.lock()
			plans := plansOf(e, s, names[i])
			e.Mu.RUnlock()
			for _, p := range plans {
				if !yield(p) {
					return
				}
			}
		}
	}
}

// cuttingSlots returns the values with a stock_needed in their formulas, and what their plans are called: by the row or
// by the cell, or, where that is not one of them alone, by the whole path.
func cuttingSlots(e *Explainer) (slots []int32, names []string) {
	cuts := map[int32]bool{}
	count := map[string]int{}
	for s := range Values(e.Program, e.Root) {
		root := e.Slots[s].Root
		if root == program.None || e.IsBroken(s) {
			continue
		}
		if _, known := cuts[root]; !known {
			cuts[root] = cutsStock(e.Program, root, map[int32]bool{})
		}
		if !cuts[root] {
			continue
		}
		name := e.SlotName(s)
		if sl := e.Slots[s]; sl.Entry {
			name = e.Texts.At(e.Columns[sl.Owner].Table.RowName[sl.Row])
		}
		slots, names = append(slots, s), append(names, name)
		count[name]++
	}
	for i, name := range names {
		if count[name] > 1 {
			names[i] = e.SlotName(slots[i])
		}
	}
	return slots, names
}

// cutsStock reports whether a formula has a stock_needed in it, or calls one that has.
func cutsStock(p *program.Program, root int32, looked map[int32]bool) bool {
	return p.Any(root, func(n *program.Node) bool {
		switch n.Op {
		case program.OpStock:
			return true
		case program.OpSlot:
			part := p.Slots[n.A]
			return part.Hidden && part.Root != program.None && cutsStock(p, part.Root, looked)
		case program.OpCall:
			if looked[n.A] {
				return false
			}
			looked[n.A] = true
			return cutsStock(p, p.Formulas[n.A].Body, looked)
		}
		return false
	})
}

// plansOf returns the plans that the value of a slot rests on.
func plansOf(e *Explainer, s int32, name string) []CutPlan {
	value := e.ViewValue(s)
	var calls []stockCall
	ev := e.causes.evaluator()
	ev.cuts = &calls
	ev.eval(e.Slots[s].Root, rowFrame(e.Slots[s].Row))
	var plans []CutPlan
	for k, c := range calls {
		p := planOf(ev, c)
		p.Name, p.Path, p.Value = name, e.SlotName(s), value
		if sl := e.Slots[s]; sl.Entry {
			if stock := textIn(ev, e.Columns[sl.Owner].Table, "stock", sl.Row); stock != name {
				p.Stock = stock
			}
		}
		if len(calls) > 1 {
			p.Name = fmt.Sprintf("%s (%d)", name, k+1)
		}
		if c.fault.Kind != pack.NoFault {
			p.Reason = value.Reason
		}
		plans = append(plans, p)
	}
	if len(plans) == 0 {
		plans = []CutPlan{{Name: name, Path: e.SlotName(s), Value: value, Reason: value.Reason}}
	}
	return plans
}

// planOf is the plan of a call as it is shown.
func planOf(ev *evaluator, c stockCall) CutPlan {
	show := func(part int, si float64) Value { return *ev.measure(c, part, si) }
	p := CutPlan{
		Long: show(program.StockLong, c.stock.Long), Wide: show(program.StockWide, c.stock.Wide),
		Kerf: show(program.StockKerf, c.stock.Kerf), Bound: c.plan.Bound, Proven: c.plan.Proven,
		Sticks: c.stock.Long >= longForItsWidth*c.stock.Wide,
	}
	for _, piece := range c.list {
		p.Sticks = p.Sticks && piece.Wide >= c.stock.Wide*(1-asWide)
	}
	// A turned piece has its length across, but is still told as it is.
	rect := func(r pack.Rect, long, wide int) CutRect {
		return CutRect{show(program.StockLong, r.X), show(program.StockWide, r.Y), show(long, r.Long), show(wide, r.Wide)}
	}
	for _, stock := range c.plan.Stocks {
		sheet := CutSheet{Used: stock.Used, Straight: stock.Straight}
		p.Used += stock.Used / float64(len(c.plan.Stocks))
		for _, at := range stock.Placed {
			long, wide := program.StockPieceLong, program.StockPieceWide
			if at.Turned {
				long, wide = wide, long
			}
			row := c.rows[at.Piece]
			sheet.Pieces = append(sheet.Pieces, CutPiece{
				Piece: ev.st.Texts.At(c.table.RowName[row]), Row: int(row), Number: at.Number + 1, Turned: at.Turned,
				CutRect: rect(at.Rect, long, wide),
			})
			if feel := textIn(ev, c.table, "feel", row); feel != "" && !slices.Contains(sheet.Feels, feel) {
				sheet.Feels = append(sheet.Feels, feel)
			}
		}
		for _, r := range stock.Offcuts {
			rest := rect(r, program.StockPieceLong, program.StockPieceWide)
			rest.Long.printBelow(ev, c, program.StockPieceLong)
			rest.Wide.printBelow(ev, c, program.StockPieceWide)
			sheet.Offcuts = append(sheet.Offcuts, rest)
		}
		p.Sheets = append(p.Sheets, sheet)
	}
	return p
}

// printBelow prints a length as a part of the call is shown, but rounded down: no less is left over than is said.
func (v *Value) printBelow(ev *evaluator, c stockCall, part int) {
	if step := v.Step.Value(); v.Step.Given() && step > 0 {
		v.Text = ev.measure(c, part, v.Unit.ToSI(math.Floor(v.Number/step+1e-9)*step)).Text
	}
}

const (
	asWide          = 1e-9 // by how much less, as a share, a piece is still as wide as the stock
	longForItsWidth = 10   // how many times as long as wide a stick is at least
)

// textIn returns what a row has in a column, if that is there and has texts: the column feel of a cutting list says
// what its pieces want of the wood, the column stock of a row with a plan what it is cut from.
func textIn(ev *evaluator, t *program.Table, column string, row int32) string {
	c := t.ByColumn[column]
	if c == nil || ev.st.ColumnTypes[c.Number].Kind != program.Text {
		return ""
	}
	if v := ev.st.Mach.Regs[c.Base+row]; program.IsNumber(v) {
		return ev.st.Texts.Of(v)
	}
	return ""
}
