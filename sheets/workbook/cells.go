package workbook

import (
	"bufio"
	"cmp"
	"encoding/xml"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"gusset/sheets/workbook/formula"
	"gusset/sheets/workbook/xlsx"
)

// The cells of a worksheet are written here: a formula has its value beside it in its own type and with all of its
// digits, so that a program that only shows shows the right one.

// contentKind is what a cell holds.
type contentKind uint8

const (
	empty contentKind = iota
	aNumber
	aText
	anError
)

// content is what a cell holds, or what its formula last came to.
type content struct {
	number  float64
	text    string // or the error: #N/A
	formula string
	style   styleID
	kind    contentKind
	array   bool // it is an array formula
}

// working returns the content with a formula.
func (c content) working(f formula.Formula) content {
	c.formula, c.array = formula.Print(f), formula.NeedsArray(f)
	return c
}

// lasting returns the content with a formula for an error that has none, which would be lost likewise.
func (c content) lasting() content {
	if c.kind == anError && c.formula == "" {
		c.formula = formula.Print(noResult)
		if c.text == "#N/A" {
			c.formula = formula.Print(waits)
		}
	}
	return c
}

// grid is the cells of a worksheet.
type grid struct {
	cells   [][]cell        // by row, from 1; in a row as they come
	heights map[int]float64 // of rows, in points
	merged  []merged        // cells that are shown as one
}

// cell is a cell of a row.
type cell struct {
	content
	col int32 // from 1
}

// merged are cells of a row that are shown as one.
type merged struct{ row, from, to int }

// tallest is how high a row may be, in points.
const tallest = 409

func newGrid() *grid { return &grid{heights: map[int]float64{}} }

// at returns what is in a cell.
func (g *grid) at(row, col int) content {
	if row < len(g.cells) {
		for _, c := range g.cells[row] {
			if int(c.col) == col {
				return c.content
			}
		}
	}
	return content{}
}

// moreCells is by how many cells a row grows.
const moreCells = 3

func (g *grid) set(row, col int, c content) {
	for len(g.cells) <= row {
		g.cells = append(g.cells, nil)
	}
	r := g.cells[row]
	for i := range r {
		if int(r[i].col) == col {
			r[i].content = c
			return
		}
	}
	if len(r) == cap(r) { // by far less than append would: there can be very many rows
		r = append(make([]cell, 0, len(r)+max(moreCells, len(r)/4)), r...)
	}
	g.cells[row] = append(r, cell{c, int32(col)})
}

// write writes a text.
func (g *grid) write(row, col int, text string, style styleID) {
	g.set(row, col, content{kind: aText, text: text, style: style})
}

// notEmpty returns a note, or a blank where there is none: an office suite prints ### into an empty cell for the hidden
// number beside it.
func notEmpty(note string) string { return cmp.Or(note, "\u00a0") }

// merge shows the cells of a row as one.
func (g *grid) merge(row, from, to int) { g.merged = append(g.merged, merged{row, from, to}) }

// mergesXML writes which cells are shown as one (section 18.3.1.55).
func (g *grid) mergesXML(to io.Writer) {
	if len(g.merged) == 0 {
		return
	}
	fmt.Fprintf(to, `<mergeCells count="%d">`, len(g.merged))
	for _, m := range g.merged {
		fmt.Fprintf(to, `<mergeCell ref="%s:%s"/>`, xlsx.Address(m.row, m.from), xlsx.Address(m.row, m.to))
	}
	io.WriteString(to, "</mergeCells>")
}

// formulaBytes is how long all formulas are.
func (g *grid) formulaBytes() int {
	n := 0
	for _, row := range g.cells {
		for _, c := range row {
			n += len(c.formula)
		}
	}
	return n
}

// extent returns the block of cells that holds all of them: A1:O40.
func (g *grid) extent() string {
	row, col := max(len(g.cells)-1, 1), 1
	for _, cells := range g.cells {
		for _, c := range cells {
			col = max(col, int(c.col))
		}
	}
	return "A1:" + xlsx.Address(row, col)
}

// xml writes the cells as the sheetData of a worksheet (ISO/IEC 29500-1, section 18.3.1.80).
func (g *grid) xml(b *bufio.Writer) {
	b.WriteString("<sheetData>")
	for row, cells := range g.cells {
		if len(cells) == 0 {
			continue
		}
		fmt.Fprintf(b, `<row r="%d"`, row)
		if h := min(g.heights[row], tallest); h > 0 {
			fmt.Fprintf(b, ` ht="%g" customHeight="1"`, h)
		}
		b.WriteString(">")
		slices.SortFunc(cells, func(x, y cell) int { return int(x.col - y.col) })
		for _, c := range cells {
			c.xml(b, xlsx.Address(row, int(c.col)))
		}
		b.WriteString("</row>")
	}
	b.WriteString("</sheetData>")
}

// xml writes one cell (section 18.3.1.4).
func (c content) xml(b *bufio.Writer, address string) {
	c = c.lasting()
	fmt.Fprintf(b, `<c r="%s" s="%d"`, address, c.style)
	switch {
	case c.kind == aText && c.formula != "":
		b.WriteString(` t="str"`)
	case c.kind == aText:
		b.WriteString(` t="inlineStr"`)
	case c.kind == anError:
		b.WriteString(` t="e"`)
	case c.kind == empty && c.formula == "":
		b.WriteString("/>")
		return
	}
	b.WriteString(">")
	switch {
	case c.array:
		fmt.Fprintf(b, `<f t="array" ref="%s">%s</f>`, address, escaped(c.formula))
	case c.formula != "":
		fmt.Fprintf(b, "<f>%s</f>", escaped(c.formula))
	}
	switch {
	case c.kind == aNumber:
		fmt.Fprintf(b, "<v>%s</v>", strings.ToUpper(strconv.FormatFloat(c.number, 'g', -1, 64)))
	case c.kind == aText && c.formula == "":
		fmt.Fprintf(b, `<is><t xml:space="preserve">%s</t></is>`, escapedText(c.text))
	case c.kind == aText:
		fmt.Fprintf(b, "<v>%s</v>", escapedText(c.text))
	case c.kind == anError:
		fmt.Fprintf(b, "<v>%s</v>", c.text)
	}
	b.WriteString("</c>")
}

func escaped(s string) string {
	var b strings.Builder
	xml.EscapeText(&b, []byte(s)) // a Builder takes everything
	return b.String()
}

// codeLike matches what readers would take for the code of a character (section 22.4.2.4).
var codeLike = regexp.MustCompile(`_(x[0-9A-Fa-f]{4}_)`)

// mostText is how many characters a cell holds.
const mostText = 32_767

func escapedText(s string) string {
	return escaped(codeLike.ReplaceAllString(atMost(s, mostText), "_x005F_$1"))
}
