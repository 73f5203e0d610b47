package page

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gusset/engine"
	"gusset/sheets/report"
)

// plan is a cutting plan as it is shown.
type plan struct {
	Name, Said string
	Place      engine.Place
	NoPlan     string // why there is none
	Sheets     []drawnStock
}

// drawnStock is a sheet or a stick of a plan, drawn, and what to tick off.
type drawnStock struct {
	Head, Scale string
	Drawing     drawing
	Ticks       []tick
	LeftOver    string
}

// tick is a line to tick off.
type tick struct{ Key, Text string }

// planOf returns how a cutting plan is shown, drawn or in short.
func planOf(p engine.CutPlan, drawn bool) plan {
	shown := plan{Name: p.Name, Place: p.Value.Place, NoPlan: p.Reason}
	if p.Reason != "" {
		return shown
	}
	shown.Said = report.PlanInShort(p)
	if !drawn {
		shown.Said += "; too many pieces to draw here, gusset cut draws them"
		return shown
	}
	keys := report.CutKeys(p)
	for k, s := range p.Sheets {
		sheet := drawnStock{Head: report.CutSheetHead(p, k), LeftOver: report.LeftOver(s)}
		sheet.Drawing, sheet.Scale = drawCut(p, s, keys)
		sheet.Drawing.Alt = fmt.Sprintf("cutting plan, sheet %d", k+1)
		for _, t := range report.CutTicks(s) {
			sheet.Ticks = append(sheet.Ticks, tick{keys[t.Row], fmt.Sprintf("%s %s (%s)", t.Piece, t.Which(), t.Size())})
		}
		shown.Sheets = append(shown.Sheets, sheet)
	}
	return shown
}

// The size of a drawn sheet of stock.
const (
	stockWide  = 720.0
	narrowest  = 13.0 // of a piece, so that its letter can be read
	stockLeast = 20.0 // of a whole stock
	stockMost  = 400.0
)

// drawCut draws a sheet with its pieces, the grain from left to right. Where pieces would be too narrow for their
// letters it is drawn wider than it is, which is said.
func drawCut(p engine.CutPlan, s engine.CutSheet, keys map[int]string) (drawing, string) {
	long, wide := p.Long.SI(), p.Wide.SI()
	least := wide
	for _, piece := range s.Pieces {
		least = min(least, piece.Wide.SI())
	}
	scale := stockWide / long
	across := scale
	if least*across < narrowest {
		across = narrowest / least
	}
	across = min(max(across, stockLeast/wide), max(stockMost/wide, scale))
	high := math.Round(wide * across)
	d := drawing{Wide: stockWide + 2, High: high + 2}
	d.rect("stock", 1, 1, stockWide+1, high+1)
	named := map[int]bool{} // rows whose name is written on one of their pieces; the others have letter and number
	var outlines strings.Builder
	for _, piece := range s.Pieces {
		x, y := 1+piece.X.SI()*scale, 1+piece.Y.SI()*across
		x, y = math.Round(x), math.Round(y) // a quarter of a mm on paper
		x2, y2 := x+piece.Long.SI()*scale, y+piece.Wide.SI()*across
		x2, y2 = math.Round(x2), math.Round(y2)
		fmt.Fprintf(&outlines, "M%s %sH%sV%sH%sz", number(x), number(y), number(x2), number(y2), number(x))
		key := fmt.Sprint(keys[piece.Row], piece.Number)
		labels := []string{key, keys[piece.Row]}
		if !named[piece.Row] {
			labels = append([]string{key + " " + piece.Piece}, labels...)
		}
		for _, label := range labels {
			if float64(len([]rune(label))+1)*letterWide < x2-x && y2-y >= narrowest-0.5 {
				d.text("", "", math.Round((x+x2)/2), math.Round((y+y2)/2+4), label)
				named[piece.Row] = named[piece.Row] || len(label) > len(key)
				break
			}
		}
	}
	d.Shapes = slices.Insert(d.Shapes, 1, shape{Kind: aPath, Class: "piece", Points: outlines.String()})
	if times := across / scale; times > 1.05 || times < 0.95 {
		return d, fmt.Sprintf("across the grain at %s times the scale", number(math.Round(times*10)/10))
	}
	return d, ""
}
