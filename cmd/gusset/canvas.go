package main

import "strings"

// canvas is what a chart is drawn on: cells of a terminal, each of them parted into dots. Dots are counted from the
// upper left corner.
type canvas struct {
	wide, high int // in cells
	cellW      int // dots in a cell: 2 by 4 with the characters of braille, else 1 by 1
	cellH      int
	dots       [][]byte
	marks      [][]rune
}

func newCanvas(wide, high int, ascii bool) *canvas {
	c := &canvas{wide: wide, high: high, cellW: 2, cellH: 4}
	if ascii {
		c.cellW, c.cellH = 1, 1
	}
	for range high {
		c.dots = append(c.dots, make([]byte, wide))
		c.marks = append(c.marks, make([]rune, wide))
	}
	return c
}

// point is a dot's place on a canvas.
type point struct{ x, y int }

// at returns the dot at shares of the way from the left and from the bottom; the shares 0 and 1 are in the middle of
// the outer cells, as the marks of axes do.
func (c *canvas) at(x, y float64) point {
	across, down := float64((c.wide-1)*c.cellW), float64((c.high-1)*c.cellH)
	return point{int(across*x + 0.5), int(down*(1-y)+0.5) + (c.cellH-1)/2}
}

// braille has the bit of each dot of a cell, row by row, as the block of braille patterns in Unicode counts them.
var braille = [4][2]byte{{0x01, 0x08}, {0x02, 0x10}, {0x04, 0x20}, {0x40, 0x80}}

func (c *canvas) dot(p point) {
	bit := byte(1)
	if c.cellW > 1 {
		bit = braille[p.y%c.cellH][p.x%c.cellW]
	}
	c.dots[p.y/c.cellH][p.x/c.cellW] |= bit
}

// line draws the straight line between two dots.
func (c *canvas) line(from, to point) {
	steps := max(abs(to.x-from.x), abs(to.y-from.y), 1)
	for i := range steps + 1 {
		c.dot(point{from.x + roundedShare(to.x-from.x, i, steps), from.y + roundedShare(to.y-from.y, i, steps)})
	}
}

// roundedShare returns the nearest whole number to way * i / of.
func roundedShare(way, i, of int) int {
	if way < 0 {
		return -roundedShare(-way, i, of)
	}
	return (2*way*i + of) / (2 * of)
}

func abs(n int) int { return max(n, -n) }

// mark sets a letter into the cell of a dot. The first one stays.
func (c *canvas) mark(p point, letter rune) {
	if m := &c.marks[p.y/c.cellH][p.x/c.cellW]; *m == 0 {
		*m = letter
	}
}

// row returns one line of cells.
func (c *canvas) row(i int) string {
	var b strings.Builder
	for k, d := range c.dots[i] {
		switch {
		case c.marks[i][k] != 0:
			b.WriteRune(c.marks[i][k])
		case d == 0:
			b.WriteByte(' ')
		case c.cellW == 1:
			b.WriteByte('.')
		default:
			b.WriteRune('\u2800' + rune(d))
		}
	}
	return strings.TrimRight(b.String(), " ")
}
