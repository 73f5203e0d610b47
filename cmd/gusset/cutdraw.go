package main

import (
	"fmt"
	"math"
	"strings"

	"gusset/engine"
)

// The height of a drawn sheet, in lines.
const (
	drawnLowest  = 2
	drawnHighest = 24
)

// drawing is a sheet in cells of a terminal: along has what lies from each cell to the next, down from each to the one
// below.
type drawing struct {
	along, down [][]bool
	letters     [][]rune
	cols, rows  int     // how many cells the stock is long and wide
	perCol      float64 // SI of a cell
	perRow      float64
}

// drawSheet draws a stock with its pieces to scale, the grain from left to right. Where pieces would be too narrow to
// be told apart it is drawn wider than it is, which is said.
func drawSheet(p engine.CutPlan, s engine.CutSheet, keys map[int]string, width int, ascii bool) []string {
	stockLong, stockWide := p.Long.SI(), p.Wide.SI()
	narrowest := stockWide
	for _, piece := range s.Pieces {
		narrowest = math.Min(narrowest, piece.Wide.SI())
	}
	cols := float64(width - 1)
	scaled := cols * stockWide / stockLong / 2 // a cell is about twice as high as it is wide
	if scaled > drawnHighest {
		cols = max(1, math.Floor(cols*drawnHighest/scaled))
		scaled = drawnHighest
	}
	rows := min(max(drawnLowest, math.Round(scaled), math.Ceil(2*stockWide/narrowest)), drawnHighest)
	d := newDrawing(int(cols), int(rows), stockLong/cols, stockWide/rows)
	d.box(0, 0, int(cols), int(rows))
	for _, piece := range s.Pieces {
		d.piece(piece, keys[piece.Row])
	}
	lines := d.lines(ascii)
	if times := rows / scaled; times > 1.5 {
		lines = append(lines, fmt.Sprintf("(across the grain at %.2g times the scale)", times))
	}
	return lines
}

func newDrawing(cols, rows int, perCol, perRow float64) *drawing {
	d := &drawing{cols: cols, rows: rows, perCol: perCol, perRow: perRow}
	for range rows + 1 {
		d.along = append(d.along, make([]bool, cols+1))
		d.down = append(d.down, make([]bool, cols+1))
		d.letters = append(d.letters, make([]rune, cols+1))
	}
	return d
}

// box draws the sides of a rectangle.
func (d *drawing) box(x, y, right, bottom int) {
	for c := x; c < right; c++ {
		d.along[y][c], d.along[bottom][c] = true, true
	}
	for r := y; r < bottom; r++ {
		d.down[r][x], d.down[r][right] = true, true
	}
}

// piece draws a piece with as much of its name as there is room for.
func (d *drawing) piece(p engine.CutPiece, key string) {
	cell := func(si, per float64, most int) int { return min(max(int(math.Round(si/per)), 0), most) }
	x, right := cell(p.X.SI(), d.perCol, d.cols), cell(p.X.SI()+p.Long.SI(), d.perCol, d.cols)
	y, bottom := cell(p.Y.SI(), d.perRow, d.rows), cell(p.Y.SI()+p.Wide.SI(), d.perRow, d.rows)
	d.box(x, y, right, bottom)
	if bottom-y < 2 {
		return
	}
	at := (y + bottom) / 2
	for _, said := range []string{fmt.Sprintf("%s%d %s", key, p.Number, p.Piece), fmt.Sprint(key, p.Number), key} {
		if letters := []rune(said); wide(said) == len(letters) && len(letters) < right-x {
			copy(d.letters[at][x+(right-x+1-len(letters))/2:], letters)
			return
		}
	}
}

// joints are the characters where lines meet, by the sides that they come from: 1 above, 2 below, 4 left, 8 right.
var joints = []rune(" ││││┘┐┤│└┌├─┴┬┼")

// lines returns the drawing as lines.
func (d *drawing) lines(ascii bool) []string {
	var lines []string
	for r := range d.rows + 1 {
		var b strings.Builder
		for c := range d.cols + 1 {
			sides := 0
			for side, drawn := range []bool{
				r > 0 && d.down[r-1][c], d.down[r][c], c > 0 && d.along[r][c-1], d.along[r][c],
			} {
				if drawn {
					sides |= 1 << side
				}
			}
			b.WriteRune(joint(sides, d.letters[r][c], ascii))
		}
		lines = append(lines, strings.TrimRight(b.String(), " "))
	}
	return lines
}

// joint returns the character of a cell.
func joint(sides int, letter rune, ascii bool) rune {
	switch {
	case letter != 0:
		return letter
	case !ascii && (sides == 4 || sides == 8):
		return '─'
	case !ascii || sides == 0:
		return joints[sides]
	case sides&3 == 0:
		return '-'
	case sides&12 == 0:
		return '|'
	}
	return '+'
}
