package report

import (
	"fmt"
	"math"

	"gusset/engine"
	"gusset/units"
)

// FullSize is an outline at its own size, for printing. All lengths are in mm, from the lower left corner of the whole
// drawing, x to the right and y upward.
type FullSize struct {
	Title, Note string
	Points      []OutlinePoint // those that have a place
	Lines       [][]OutlinePoint
	Wide, High  float64 // of the whole drawing, the check bar included
	Check       CheckBar
	Papers      []Tiling
	Missing     int    // points that have no place, where the outline is left open
	Unfit       string // why it cannot be printed; else empty
}

// Size says how large the outline is, the check bar left out.
func (f *FullSize) Size() string {
	wide, high := 0.0, f.High-barRoom
	for _, p := range f.Points {
		wide = max(wide, p.X)
	}
	return fmt.Sprintf("%.4g x %.4g mm (%.4g x %.4g in)", wide, high, wide/inch, high/inch)
}

// OutlinePoint is a point of an outline, named as its row is.
type OutlinePoint struct {
	Name string
	X, Y float64
}

// CheckBar is a bar below an outline, to be measured on the paper: a printer may scale what it prints.
type CheckBar struct {
	X, Y, Long float64
	Label      string
}

// Tiling is a drawing on sheets of a paper, which are glued or taped together.
type Tiling struct {
	Paper        string
	Wide, High   float64 // of a sheet, as it lies
	Margin       float64 // what is left blank round its edges
	Overlap      float64 // by how much neighbours print the same
	Across, Down int     // sheets
	Tiles        []Tile  // row by row from the upper left, as one lays them out
}

// Tile is what one sheet shows: the part of the drawing from X and Y that is Wide and High. Marks are where crosses
// are, which a neighbour has too: cross on cross the sheets fit.
type Tile struct {
	Name             string // A1 upper left, A2 to the right of it, B1 below
	X, Y, Wide, High float64
	Marks            [][2]float64
}

// Paper, and how a drawing is laid out on it. A4 is 210 mm x 297 mm (ISO 216), Letter 8.5 in x 11 in (ASME Y14.1,
// size A); what printers leave blank, and what it takes to glue sheets, are common practice, no source.
const (
	paperMargin  = 10.0
	paperOverlap = 12.0
	barRoom      = 14.0 // below an outline for its check bar
	maxTiles     = 120
)

var papers = []struct {
	name       string
	wide, high float64
	upright    bool // it is not turned
}{
	{name: "A4", wide: 210, high: 297}, {name: "Letter", wide: 8.5 * inch, high: 11 * inch},
	{EitherPaper, 210, 11 * inch, true},
}

// EitherPaper is as much as A4 and Letter both have, upright, for what is printed on who knows which of them.
const EitherPaper = "A4 or Letter"

const inch = 25.4 // mm

// FullSizeOf returns an outline at its own size.
func FullSizeOf(c *engine.Chart) *FullSize {
	f := &FullSize{Title: c.Title, Note: c.Note}
	drawn := ChartOf(c)
	switch {
	case !c.Outline || len(drawn.Panels) == 0:
		f.Unfit = "there is no outline to print"
		return f
	case drawn.Panels[0].XUnit.Dim() != units.Length:
		f.Unfit = c.X + " is no length, so that there is no full size"
		return f
	case drawn.Panels[0].IsEmpty():
		f.Unfit = "nothing to draw yet"
		return f
	}
	f.outline(&drawn.Panels[0])
	f.Check.Long, f.Check.Label = 100, "100 mm"
	if !isMetric(drawn.Panels[0].XUnit) {
		f.Check.Long, f.Check.Label = 4*inch, "4 in"
	}
	f.Check.Y = barRoom / 3
	f.Wide = max(f.Wide, f.Check.Long)
	for _, p := range papers {
		t := tilingOf(f.Wide, f.High, p.wide, p.high)
		if turned := tilingOf(f.Wide, f.High, p.high, p.wide); !p.upright && turned.sheets() < t.sheets() {
			t = turned
		}
		if t.sheets() > maxTiles {
			f.Unfit = fmt.Sprintf("at full size it takes more than %d sheets of paper", maxTiles)
			f.Papers = nil
			return f
		}
		t.Paper = p.name
		t.lay(f.Wide, f.High)
		f.Papers = append(f.Papers, t)
	}
	return f
}

// outline takes in the points, and joins them where they follow one another.
func (f *FullSize) outline(p *Panel) {
	s := p.Series[0]
	left, right := p.ends(func(_ Series, i int) float64 { return p.Xs[i] })
	low, high := p.ends(func(s Series, i int) float64 { return s.Ys[i] })
	mm := func(x float64) float64 { return p.XUnit.ToSI(x) * 1000 }
	f.Wide, f.High = mm(right)-mm(left), mm(high)-mm(low)+barRoom
	for _, run := range Runs(len(s.Ys), func(i int) bool { return p.Has(s, i) }) {
		var line []OutlinePoint
		for i := run[0]; i < run[1]; i++ {
			line = append(line, OutlinePoint{p.Names[i], mm(p.Xs[i]) - mm(left), mm(s.Ys[i]) - mm(low) + barRoom})
		}
		f.Points, f.Lines = append(f.Points, line...), append(f.Lines, line)
	}
	f.Missing = len(s.Ys) - len(f.Points)
	switch last := len(f.Lines) - 1; {
	case f.Missing == 0:
		f.Lines[last] = append(f.Lines[last], f.Points[0])
	case last > 0 && p.Has(s, 0) && p.Has(s, len(s.Ys)-1): // from the last row on to the first
		f.Lines[0] = append(f.Lines[last], f.Lines[0]...)
		f.Lines = f.Lines[:last]
	}
}

// isMetric reports whether a length counts a power of ten of metres.
func isMetric(u units.Unit) bool {
	power := math.Log10(u.ToSI(1))
	return math.Abs(power-math.Round(power)) < 1e-9
}

// tilingOf returns how many sheets of a size a drawing takes.
func tilingOf(wide, high, paperWide, paperHigh float64) Tiling {
	count := func(long, paper float64) int {
		shown := paper - 2*paperMargin
		const hair = 1e-6
		return max(1, int(math.Ceil((long-paperOverlap)/(shown-paperOverlap)-hair)))
	}
	return Tiling{Wide: paperWide, High: paperHigh, Margin: paperMargin, Overlap: paperOverlap,
		Across: count(wide, paperWide), Down: count(high, paperHigh)}
}

func (t *Tiling) sheets() int { return t.Across * t.Down }

// lay lays the sheets out. The drawing is in their middle.
func (t *Tiling) lay(wide, high float64) {
	showsWide, showsHigh := t.Wide-2*t.Margin, t.High-2*t.Margin
	stepWide, stepHigh := showsWide-t.Overlap, showsHigh-t.Overlap
	left := (wide - stepWide*float64(t.Across) - t.Overlap) / 2
	top := high - (high-stepHigh*float64(t.Down)-t.Overlap)/2
	for row := range t.Down {
		for column := range t.Across {
			tile := Tile{Name: fmt.Sprintf("%s%d", letters(row), column+1), Wide: showsWide, High: showsHigh,
				X: left + stepWide*float64(column), Y: top - stepHigh*float64(row) - showsHigh}
			tile.mark(t, row, column)
			t.Tiles = append(t.Tiles, tile)
		}
	}
}

// mark sets a cross in the middle of what a sheet has in common with each neighbour, near both ends of their edge.
func (tile *Tile) mark(t *Tiling, row, column int) {
	mid := t.Overlap / 2
	near, far := tile.X+mid, tile.X+tile.Wide-mid
	low, high := tile.Y+mid, tile.Y+tile.High-mid
	for _, m := range []struct {
		x, y   float64
		across bool // a neighbour beside it
		down   bool // one above or below
	}{
		{near, low, column > 0, row+1 < t.Down}, {far, low, column+1 < t.Across, row+1 < t.Down},
		{near, high, column > 0, row > 0}, {far, high, column+1 < t.Across, row > 0},
	} {
		if m.across || m.down {
			tile.Marks = append(tile.Marks, [2]float64{m.x, m.y})
		}
	}
}
