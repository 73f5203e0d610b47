package workbook

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// generator writes sheets at random, of formulas that all measure what they should.
type generator struct {
	r     *rand.Rand
	b     strings.Builder
	cells map[string][]string // by what they measure: names of cells that stand above
}

// The kinds of thing that generated formulas measure, with units that the cells are in.
var kindsOfThing = map[string][]string{
	"length": {"in", "ft", "mm", "cm", "m"},
	"area":   {"sq in", "sq ft", "cm^2", "sq in"},
	"mass":   {"oz", "lb", "g", "kg"},
	"plain":  {"1", "%", "1"},
	"angle":  {"deg", "rad", "rev"},
	"load":   {"oz/sq ft", "g/dm^2"},
	"temp":   {"degC", "degF", "K"},
}

var thingNames = []string{"length", "area", "mass", "plain", "angle", "load", "temp"}

func (g *generator) pick(list []string) string { return list[g.r.IntN(len(list))] }

// sheet writes a sheet with so many formulas, over given cells and a table.
func generatedSheet(seed uint64, formulas int) string {
	g := &generator{r: rand.New(rand.NewPCG(seed, 7)), cells: map[string][]string{}}
	g.b.WriteString("sheet \"Made up\"\n\npage Given\n")
	for _, thing := range thingNames {
		for i := range 4 {
			name := fmt.Sprintf("%s_%d", thing, i)
			value := fmt.Sprint(float64(g.r.IntN(400)+1) / 8)
			if g.r.IntN(12) == 0 {
				value = ""
			}
			fmt.Fprintf(&g.b, "  %s [%s] : %s\n", name, g.pick(kindsOfThing[thing]), value)
			g.cells[thing] = append(g.cells[thing], name)
		}
	}
	g.b.WriteString("  wood : \"spruce\"\n  fitted : yes\n  open : no\n  row_name : \"b\"\n")
	g.table()
	g.b.WriteString("\npage Worked\n")
	for i := range formulas {
		if g.r.IntN(5) == 0 {
			fmt.Fprintf(&g.b, "  check check_%d = %s\n", i, g.truth(3))
			continue
		}
		thing := g.pick(thingNames[:6])
		name := fmt.Sprintf("worked_%d", i)
		fmt.Fprintf(&g.b, "  %s [%s] = %s\n", name, g.pick(kindsOfThing[thing]), g.number(thing, 3))
		if g.r.IntN(3) == 0 {
			g.cells[thing] = append(g.cells[thing], name)
		}
	}
	return g.b.String()
}

func (g *generator) table() {
	g.b.WriteString("  table parts\n    part | kind | long [in] | heavy [oz] | weighed [g] | used\n")
	for i, row := range []string{"a", "b", "c", "spar cap", "Rib 3"} {
		weighed := ""
		if g.r.IntN(2) == 0 {
			weighed = fmt.Sprint(g.r.IntN(90) + 3)
		}
		long := fmt.Sprint(i*2 + 1 + g.r.IntN(2))
		heavy := fmt.Sprint(float64(g.r.IntN(60)+1) / 4)
		if g.r.IntN(3) == 0 {
			heavy = "= " + g.pick(g.cells["mass"]) + " / 3"
		}
		fmt.Fprintf(
			&g.b, "    %s | %q | %s | %s | %s | %s\n", row, []string{"wing", "Wing", "tail", "wing", "tail"}[i],
			long, heavy, weighed, g.pick([]string{"yes", "no"}),
		)
	}
	g.b.WriteString("    weight [oz] = weighed ?? heavy\n    share = weight / sum(parts.weight)\n    big = long > 4 [in] and used\n")
}

// literal writes a number of a kind.
func (g *generator) literal(thing string) string {
	x := float64(g.r.IntN(160)+1) / 8
	unit := g.pick(kindsOfThing[thing])
	if thing == "plain" && unit == "1" {
		return fmt.Sprint(x)
	}
	return fmt.Sprintf("%v [%s]", x, unit)
}

// number writes a formula that measures a kind of thing.
func (g *generator) number(thing string, depth int) string {
	if depth == 0 {
		if g.r.IntN(4) == 0 && thing != "temp" {
			return g.literal(thing)
		}
		return g.pick(g.cells[thing])
	}
	n := func(thing string) string { return g.number(thing, depth-1) }
	general := []func() string{
		func() string { return g.pick(g.cells[thing]) },
		func() string { return "(" + n(thing) + " + " + n(thing) + ")" },
		func() string { return "(" + n(thing) + " - " + n(thing) + ") " },
		func() string { return "(" + g.truth(depth-1) + " ? " + n(thing) + " : " + n(thing) + ")" },
		func() string { return "min(" + n(thing) + ", " + n(thing) + ", " + n(thing) + ")" },
		func() string { return "max(" + n(thing) + ", " + n(thing) + ")" },
		func() string { return "abs(" + n(thing) + ")" },
		func() string { return "(" + n(thing) + " * " + n("plain") + ")" },
		func() string { return "(" + n(thing) + " / " + n("plain") + ")" },
		func() string { return "(-" + n("plain") + " * " + n(thing) + ")" },
		func() string { return "(" + g.pick(g.cells[thing]) + " ?? (" + n(thing) + "))" },
		func() string {
			return g.pick([]string{"round", "floor", "ceil"}) + "(" + n(thing) + ", " + g.literal(thing) + ")"
		},
		func() string { return "mod(" + n(thing) + ", " + g.literal(thing) + ")" },
	}
	special := map[string][]func() string{
		"length": {
			func() string { return "sqrt(" + n("area") + ")" },
			func() string { return "(" + n("area") + " / " + g.literal("length") + ")" },
			func() string { return "hypot(" + n("length") + ", " + n("length") + ")" },
			func() string {
				return g.pick([]string{"sum", "mean", "median", "min", "max", "first", "last"}) + "(parts.long)"
			},
			func() string { return `parts[row_name].long` },
			func() string { return "cbrt(" + n("area") + " * " + n("length") + ")" },
			func() string { return `mean(filter(parts, .kind == "wing" or .used).long)` },
		},
		"area": {
			func() string { return "(" + n("length") + " * " + n("length") + ")" },
			func() string { return "(" + g.pick(g.cells["length"]) + "^2)" },
			func() string { return "(" + g.pick(g.cells["area"]) + "^1.5 / " + g.literal("length") + ")" },
			func() string { return "sum(map(parts, .long ^ 2))" },
		},
		"mass": {
			func() string { return "(" + n("load") + " * " + n("area") + ")" },
			func() string { return `sum(filter(parts, .kind == "wing"), .weight)` },
			func() string { return `sum(filter(parts, .long < ` + n("length") + `), .weight)` },
			func() string { return `max(filter(parts, .weight > 2 [oz] and .used).weight)` },
			func() string { return `(sum(parts.weight * parts.long) / ` + g.literal("length") + ")" },
			func() string { return `interpolate(` + n("length") + `, parts.long, parts.weight)` },
			func() string { return `find(parts, .used).heavy` },
			func() string { return `parts["spar cap"].weight` },
			func() string { return `sum(parts.heavy)` },
			func() string { return `median(filter(parts, not .big).weight)` },
		},
		"plain": {
			func() string { return "(" + n("length") + " / " + g.literal("length") + ")" },
			func() string { return g.pick([]string{"sin", "cos"}) + "(" + n("angle") + ")" },
			func() string { return "sqrt(abs(" + n("plain") + "))" },
			func() string { return "ln(1 + abs(" + n("plain") + "))" },
			func() string { return "count(parts, .used)" },
			func() string { return "count(parts)" },
			func() string { return "sign(" + n("mass") + ")" },
			func() string { return "exp(-abs(" + n("plain") + ") / 50)" },
			func() string { return "parts[\"c\"].share" },
			func() string {
				return "((1 + " + g.pick(g.cells["plain"]) + ")^" + g.pick([]string{"2", "0.5", "-1", "3"}) + ")"
			},
			func() string { return "((" + n("temp") + " - " + n("temp") + ") / 1 [K])" },
			func() string {
				return g.pick([]string{"sum", "max", "median"}) + "([" + g.pick(g.cells["plain"]) + ", " +
					g.literal("plain") + " + " + g.pick(g.cells["plain"]) + ", 3])"
			},
		},
		"angle": {
			func() string { return "atan(" + n("plain") + ")" },
			func() string { return "atan2(" + n("length") + ", " + g.literal("length") + ")" },
			func() string { return "asin(sin(" + n("angle") + "))" },
		},
		"load": {
			func() string { return "(" + n("mass") + " / " + g.literal("area") + ")" },
			func() string { return "wing_loading(" + g.pick(g.cells["mass"]) + ", " + g.pick(g.cells["area"]) + ")" },
		},
		"temp": {func() string { return g.pick(g.cells["temp"]) }},
	}
	if thing == "temp" {
		return special[thing][0]()
	}
	if g.r.IntN(2) == 0 {
		return special[thing][g.r.IntN(len(special[thing]))]()
	}
	return general[g.r.IntN(len(general))]()
}

// truth writes a condition.
func (g *generator) truth(depth int) string {
	if depth == 0 {
		return g.pick([]string{
			"fitted", "open", `(wood == "spruce")`, `(wood == "Spruce")`, `parts["b"].used`,
			`parts[row_name].big`,
		})
	}
	thing := g.pick(thingNames)
	a, b := g.number(thing, depth-1), g.number(thing, depth-1)
	switch g.r.IntN(8) {
	case 0:
		return "(" + g.truth(depth-1) + " and " + g.truth(depth-1) + ")"
	case 1:
		return "(" + g.truth(depth-1) + " or " + g.truth(depth-1) + ")"
	case 2:
		return "(not " + g.truth(depth-1) + ")"
	case 3:
		return g.pick([]string{
			"any", "all", "none", "one",
		}) + "(parts, " + g.pick([]string{".used", ".weight > 3 [oz]", `.kind == "tail"`, ".big"}) + ")"
	case 4:
		return fmt.Sprintf("(%s == %s)", a, b)
	case 5:
		if thing == "temp" {
			break
		}
		return fmt.Sprintf("(%s < %s < %s)", g.literal(thing), a, b)
	}
	return fmt.Sprintf("(%s %s %s)", a, g.pick([]string{"<", "<=", ">", ">=", "!="}), b)
}
