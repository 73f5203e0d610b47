package main

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
)

// laid is a row of a cutting list as it is laid on its stock, worked out by hand.
type laid struct {
	pieces, long, wide float64
	turns              bool
}

// withSpares adds what is cut for spoilt pieces: the workshop's share, in whole pieces.
func withSpares(pieces, share float64) float64 { return pieces + math.Floor(pieces*share+0.5) }

// turnsByHand is which plywood may be turned: broad pieces that act as webs, for plywood is sold without a stated grain.
func turnsByHand(shape, acts string, long, wide float64) bool {
	return shape == "ply" && acts == "web" && long <= 4*wide
}

// buysByHand returns what it costs to buy the stocks of a list, and holds how many of each the sheet cuts between what
// can be seen without a plan: no fewer than by area and by the pieces of which no two go side by side or end to end,
// and no more than by shelves, as one rules a sheet off: strips across the whole length, the widest pieces first. Each
// plan is looked at piece by piece.
func (d demo) buysByHand(list string, rows map[string][]laid, kerf func(stock string) float64) float64 {
	d.t.Helper()
	plans := map[string]engine.CutPlan{}
	for p := range engine.CutPlans(d.m) {
		plans[p.Name] = p
	}
	bill := 0.0
	for _, r := range d.table(list).Rows {
		stock, pieces := r.Name, rows[r.Name]
		needed := d.si(d.entry(list, stock, "needed"))
		long, wide, saw := d.stock(stock, "length"), d.stock(stock, "width"), kerf(stock)
		assert.GreaterOrEqual(d.t, needed, fewestByHand(pieces, long, wide, saw), stock)
		assert.LessOrEqual(d.t, needed, byShelves(pieces, long, wide, saw), stock)
		d.planIsSound(plans[stock], pieces, needed, long, wide, saw)
		buy := math.Max(0, needed-math.Floor(d.stock(stock, "on_hand")))
		cost := buy * d.stock(stock, "price")
		assert.InDelta(d.t, cost, d.si(d.entry(list, stock, "cost")), 1e-9, stock)
		bill += cost
		delete(rows, stock)
	}
	require.Empty(d.t, rows, "all that is cut is on the list")
	require.Positive(d.t, bill)
	return bill
}

// fewestByHand is a number of stocks below which no plan can be.
func fewestByHand(rows []laid, long, wide, saw float64) float64 {
	area, alone := 0.0, 0.0
	for _, r := range rows {
		area += r.pieces * (r.long + saw) * (r.wide + saw)
		if !r.turns && 2*r.long+saw > long*(1+1e-9) && 2*r.wide+saw > wide*(1+1e-9) {
			alone += r.pieces
		}
	}
	return math.Max(alone, math.Ceil(area/((long+saw)*(wide+saw))-1e-9))
}

// byShelves rules strips off along the whole stock, each as wide as the first piece in it, and fills each with the next
// pieces that still fit, the widest first; strips go on the first stock that has room for them.
func byShelves(rows []laid, long, wide, saw float64) float64 {
	var pieces []laid
	for _, r := range rows {
		for range int(r.pieces) {
			pieces = append(pieces, r)
		}
	}
	slices.SortStableFunc(pieces, func(a, b laid) int {
		if a.wide != b.wide {
			return int(math.Copysign(1, b.wide-a.wide))
		}
		return int(math.Copysign(1, b.long-a.long))
	})
	const hair = 1e-9
	var shelves, widths []float64 // what is left of each strip's length, and its width
	for _, p := range pieces {
		at := slices.IndexFunc(shelves, func(left float64) bool { return p.long <= left*(1+hair) })
		if at < 0 {
			shelves, widths = append(shelves, long), append(widths, p.wide)
			at = len(shelves) - 1
		}
		shelves[at] -= p.long + saw
	}
	var stocks []float64 // what is left of each one's width
	for _, w := range widths {
		at := slices.IndexFunc(stocks, func(left float64) bool { return w <= left*(1+hair) })
		if at < 0 {
			stocks = append(stocks, wide)
			at = len(stocks) - 1
		}
		stocks[at] -= w + saw
	}
	return float64(len(stocks))
}

// planIsSound looks a plan over with a ruler: as many stocks as the list says, each piece of the cutting list in it
// once, on the stock, clear of the others by the saw cut, and turned only if it may be.
func (d demo) planIsSound(p engine.CutPlan, rows []laid, needed, long, wide, saw float64) {
	d.t.Helper()
	require.Len(d.t, p.Sheets, int(needed), p.Name)
	const hair = 1e-9 // m
	type rect struct{ x, y, long, wide float64 }
	left := slices.Clone(rows)
	for _, sheet := range p.Sheets {
		var there []rect
		for _, c := range sheet.Pieces {
			si := func(v engine.Value) float64 { return v.SI() }
			at := rect{si(c.X), si(c.Y), si(c.Long), si(c.Wide)}
			require.True(d.t, at.x >= -hair && at.y >= -hair && at.x+at.long <= long+hair && at.y+at.wide <= wide+hair,
				"%s: %s %d is on the stock", p.Name, c.Piece, c.Number)
			for _, o := range there {
				require.True(d.t, at.x >= o.x+o.long+saw-hair || o.x >= at.x+at.long+saw-hair ||
					at.y >= o.y+o.wide+saw-hair || o.y >= at.y+at.wide+saw-hair,
					"%s: %s %d is clear of the others", p.Name, c.Piece, c.Number)
			}
			there = append(there, at)
			l, w := at.long, at.wide
			if c.Turned {
				l, w = w, l
			}
			k := slices.IndexFunc(left, func(r laid) bool {
				return r.pieces > 0 && math.Abs(r.long-l) < hair && math.Abs(r.wide-w) < hair && (r.turns || !c.Turned)
			})
			require.GreaterOrEqual(d.t, k, 0, "%s: %s %d is asked for", p.Name, c.Piece, c.Number)
			left[k].pieces--
		}
	}
	for _, r := range left {
		require.Zero(d.t, r.pieces, "%s: all of %v", p.Name, r)
	}
}

// TestMarshTernSideAreaByHand: trapezoids between the stations of the side view, cut through at the balance point.
func TestMarshTernSideAreaByHand(t *testing.T) {
	h := workByHand(loadDemo(t))
	moved, cg := h.given("wing_moved"), h.given("balance_share")*h.chord
	at := []float64{h.nose + 2.25*inch, -inch - moved, -moved, h.chord - inch/2 - moved, h.chord + inch - moved, h.tail}
	var deep []float64
	for _, r := range h.table("side").Rows {
		deep = append(deep, h.given(h.entry("side", r.Name, "depth")))
	}
	require.Len(t, deep, len(at))
	all, ahead := 0.0, 0.0
	for i := range at[1:] {
		long, slope := at[i+1]-at[i], (deep[i+1]-deep[i])/(at[i+1]-at[i])
		all += long * (deep[i] + deep[i+1]) / 2
		if from := math.Min(long, cg-at[i]); from > 0 {
			ahead += from * (deep[i] + slope*from/2)
		}
	}
	h.agrees("side_area", all+h.given("fin_area"))
	h.agrees("side_ahead", ahead)
	h.agrees("side_behind", all+h.given("fin_area")-ahead)
	h.agrees("former_left", formerLeft())
	h.agrees("neutral_place", h.si("neutral_at")*h.chord)
}

// TestMarshTernSticksByHand: sticks by hand, as one lays them out on the floor of the shop, spares of 15 % included.
func TestMarshTernSticksByHand(t *testing.T) {
	d := loadDemo(t)
	for stock, want := range map[string]float64{
		"spruce strip 3/16 x 1/4":   5, // caps of 25 in, 4 and a spare: two of them are longer than 36
		"trailing edge 1/4 x 1-1/2": 2, // two of 24-1/2: likewise
		"balsa strip 3/8 sq":        2, // two of 25: likewise
		"music wire 5/32":           1, // one of 23-1/2
		"balsa triangle 1/2":        1, // 4 and a spare of 3: 15 in and four cuts
		"spruce strip 1/8 x 1/4":    2, // 8 and a spare of 4-1/4: eight to a stick, with 7 cuts 34-7/32
		"birch dowel 3/16":          2, // pushrods of 17: two of them and a cut are 34-1/32, and the joiner of 3-1/2 no longer fits
		"spruce strip 1/4 sq":       1, // 2 rails of 3-1/8 and the tail post of 3-1/2
	} {
		assert.InDelta(t, want, d.row("shopping", stock, "needed"), 1e-9, stock)
	}
}
