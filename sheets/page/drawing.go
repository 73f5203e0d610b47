package page

import (
	"math"
	"strconv"
	"strings"
)

// drawing is a picture as a list of shapes, in the order in which they are drawn; page.html writes it as SVG. Y runs
// down.
type drawing struct {
	Wide, High float64
	// Size is the width and the height on paper; empty where it is as wide as there is room.
	SizeWide, SizeHigh string
	Alt                string // what it shows, for those who do not see it
	Shapes             []shape
}

// shape is a polyline, a polygon, a rectangle, a path, a mark or a text.
type shape struct {
	Kind         shapeKind
	Class        string
	X, Y, X2, Y2 float64 // a rectangle is from X, Y to X2, Y2
	Points       string  // of a path, its data (SVG 1.1, section 8.3)
	Text         string
	Anchor       string // of a text: start, middle or end; empty where its class says so
}

type shapeKind string

const (
	aPolyline shapeKind = "polyline"
	aPolygon  shapeKind = "polygon"
	aRect     shapeKind = "rect"
	aPath     shapeKind = "path"
	aText     shapeKind = "text"
)

// line draws a line, which is one shape with those of its class before it.
func (d *drawing) line(class string, x, y, x2, y2 float64) {
	path := "M" + number(x) + " " + number(y) + "L" + number(x2) + " " + number(y2)
	if n := len(d.Shapes) - 1; n >= 0 && d.Shapes[n].Kind == aPath && d.Shapes[n].Class == class {
		d.Shapes[n].Points += path
		return
	}
	d.Shapes = append(d.Shapes, shape{Kind: aPath, Class: class, Points: path})
}

func (d *drawing) rect(class string, x, y, x2, y2 float64) {
	d.Shapes = append(d.Shapes, shape{Kind: aRect, Class: class, X: short(x), Y: short(y), X2: short(x2), Y2: short(y2)})
}

func (d *drawing) text(class, anchor string, x, y float64, s string) {
	d.Shapes = append(d.Shapes, shape{Kind: aText, Class: class, X: short(x), Y: short(y), Anchor: anchor, Text: s})
}

func (d *drawing) points(kind shapeKind, class string, points [][2]float64) {
	var b strings.Builder
	for i, p := range points {
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(number(p[0]) + "," + number(p[1]))
	}
	d.Shapes = append(d.Shapes, shape{Kind: kind, Class: class, Points: b.String()})
}

// Across and Down are the sides of a rectangle.
func (s shape) Across() float64 { return short(s.X2 - s.X) }

// Down is its height.
func (s shape) Down() float64 { return short(s.Y2 - s.Y) }

// short rounds a coordinate to what can be seen.
func short(x float64) float64 { return math.Round(x*100) / 100 }

// number writes a coordinate.
func number(x float64) string { return strconv.FormatFloat(short(x), 'f', -1, 64) }

// letterWide is about how wide a letter of a picture is, for one of its usual size.
const letterWide = 6.2

// room shortens a text to what has room in so much width.
func room(s string, wide float64) string {
	runes := []rune(s)
	if most := int(wide / letterWide); len(runes) > most {
		return string(runes[:max(0, most-1)]) + "…"
	}
	return s
}
