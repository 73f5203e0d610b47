package oracle

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// A RandomSheet is a sheet with cells, a table, folds, rows found by name, searches, formulas and values that are not
// given, in random order. Its given values can be changed.
type RandomSheet struct {
	Rnd    *rand.Rand        // makes the choices
	Given  map[string]string // as written, by the name that Set takes
	Names  []string          // of Given
	Blocks []string          // statements; a given value stands as {NAME}
	usable []string          // cells that formulas may use
	wide   bool              // all that the language has is used; see NewWideSheet
}

const randomRows = 4

var someNumbers = []string{"0", "1", "2", "-3", "0.5", "7.25", "12", "-0.125", "100", "1e3"}

// NewRandomSheet makes a sheet of what most sheets are made of.
func NewRandomSheet(rnd *rand.Rand) *RandomSheet {
	s := &RandomSheet{Rnd: rnd, Given: map[string]string{}}
	s.block(`formula weighed(each w, k) = sum(w * k) / 2`)
	s.block("formula careful(x, y) = x > 0 ? sqrt(x) * y : -x\n    needs x < 90 // too much")
	s.block(`key : {key}`)
	s.keep("key", s.row())
	s.cells()
	s.table()
	for i := range 8 {
		if i%4 == 2 {
			s.search(fmt.Sprintf("x%d", i))
			continue
		}
		s.worked(fmt.Sprintf("y%d", i), s.formula(3, true))
	}
	s.block("check sound = " + s.condition(2, true))
	rnd.Shuffle(len(s.Blocks), func(i, j int) { s.Blocks[i], s.Blocks[j] = s.Blocks[j], s.Blocks[i] })
	return s
}

// cells makes cells that all other formulas may use.
func (s *RandomSheet) cells() {
	for i := range 5 {
		name := fmt.Sprintf("g%d", i)
		s.block(fmt.Sprintf("%s%s : {%s}", name, s.oneOf("", " [1]"), name))
		s.keep(name, s.value())
		s.usable = append(s.usable, name)
	}
	for i := range 3 {
		s.worked(fmt.Sprintf("early%d", i), s.formula(2, false))
	}
}

func (s *RandomSheet) block(b string) { s.Blocks = append(s.Blocks, b) }

func (s *RandomSheet) keep(name, value string) {
	s.Names = append(s.Names, name)
	s.Given[name] = value
}

func (s *RandomSheet) oneOf(words ...string) string { return words[s.Rnd.IntN(len(words))] }

// value makes a given value, sometimes none.
func (s *RandomSheet) value() string {
	if s.Rnd.IntN(5) == 0 {
		return ""
	}
	return s.oneOf(someNumbers...)
}

// row makes the name of a row, sometimes of none that there is.
func (s *RandomSheet) row() string {
	return s.oneOf(`"r0"`, `"r1"`, `"r2"`, `"r3"`, `"nowhere"`, "")
}

func (s *RandomSheet) worked(name, formula string) {
	s.block(name + " = " + formula)
	s.usable = append(s.usable, name)
}

// search looks for where a straight line, or a parabola, meets another value.
func (s *RandomSheet) search(name string) {
	left := s.oneOf("2 * "+name, name+" * "+name, name+" + 1", "3 - "+name)
	if s.Rnd.IntN(2) == 0 {
		s.block("via_" + name + " = " + left)
		left = "via_" + name
	}
	s.block(fmt.Sprintf("adjust %s from %s to 20 so %s = %s", name, s.oneOf("-20", "0", "g0"), left, s.oneOf(s.usable...)))
	s.usable = append(s.usable, name)
	if strings.HasPrefix(left, "via") {
		s.usable = append(s.usable, left)
	}
}

func (s *RandomSheet) table() {
	var b strings.Builder
	b.WriteString("table t\n  n | p | q | k")
	for r := range randomRows {
		fmt.Fprintf(&b, "\n  r%d", r)
		for _, column := range []string{"p", "q"} {
			if s.Rnd.IntN(5) == 0 {
				b.WriteString(" | = " + s.formula(1, false))
				continue
			}
			name := fmt.Sprintf("t[\"r%d\"].%s", r, column)
			b.WriteString(" | {" + name + "}")
			s.keep(name, s.value())
		}
		b.WriteString(" | " + s.oneOf(`"one"`, `"two"`))
	}
	b.WriteString("\n  v = p ?? q ?? " + s.formula(1, false))
	fmt.Fprintf(&b, "\n  w = %s * v + %s - sum(t.p) * 0", s.formula(1, false), s.formula(1, false))
	s.block(b.String())
}

// formula makes a formula over the cells that are there; whole says that it may use the table.
func (s *RandomSheet) formula(depth int, whole bool) string {
	if s.wide && depth > 0 && s.Rnd.IntN(3) == 0 {
		return s.wideFormula(depth, whole)
	}
	if depth == 0 {
		if whole && s.Rnd.IntN(3) == 0 {
			if s.wide && s.Rnd.IntN(2) == 0 {
				return s.ofLists()
			}
			return s.ofTable()
		}
		return s.oneOf(s.oneOf(s.usable...), s.oneOf(s.usable...), "2", "0.5", "3")
	}
	a, b := s.formula(depth-1, whole), s.formula(depth-1, whole)
	switch s.Rnd.IntN(9) {
	case 0:
		return "(" + a + " / " + b + ")"
	case 1:
		return "(" + s.oneOf(s.usable...) + " ?? " + b + ")"
	case 2:
		return "(" + s.condition(depth-1, whole) + " ? " + a + " : " + b + ")"
	case 3:
		return "careful(" + a + ", " + b + ")"
	case 4:
		return "max(" + a + ", " + b + ")"
	case 5:
		return "(" + a + " * " + b + ")"
	case 6:
		return "(" + a + " - " + b + " * 2)"
	}
	return "(" + a + " + " + b + ")"
}

func (s *RandomSheet) condition(depth int, whole bool) string {
	if s.wide && s.Rnd.IntN(3) == 0 {
		return s.wideCondition(depth, whole)
	}
	a, b := s.formula(depth, whole), s.formula(depth, whole)
	return s.oneOf(a+" < "+b, a+" >= "+b, "("+a+" > 0 and "+b+" > 0)", "("+a+" > 0 or "+b+" > 0)", "not ("+a+" == "+b+")")
}

// ofTable brings the table together, or takes one entry from it.
func (s *RandomSheet) ofTable() string {
	column := s.oneOf("p", "q", "v", "w")
	cell := s.oneOf(s.usable...)
	return s.oneOf(
		fmt.Sprintf("sum(t.%s)", column),
		fmt.Sprintf("mean(t.%s)", column),
		fmt.Sprintf("median(map(t, .%s + %s))", column, cell),
		fmt.Sprintf("sum(filter(t, .k == \"one\"), .%s)", column),
		fmt.Sprintf("max(filter(t, .v > %s).%s)", cell, column),
		fmt.Sprintf("sum(filter(filter(t, .k == \"one\"), .v > %s), .%s)", cell, column),
		fmt.Sprintf("count(filter(filter(t, .v > %s), .k == \"two\"))", cell),
		fmt.Sprintf("count(t, .v > %s)", cell),
		fmt.Sprintf("(any(t, .v > %s) ? 1 : 2)", cell),
		fmt.Sprintf("(all(t, .v < %s) ? 1 : 2)", cell),
		fmt.Sprintf("sum(t, .%s ?? %s)", s.oneOf("p", "q"), cell),
		fmt.Sprintf("sum(t.%s * t.v)", column),
		fmt.Sprintf("sum(map(t, .%s - mean(t.v)))", column),
		fmt.Sprintf("weighed(t.%s, %s)", column, cell),
		fmt.Sprintf("weighed(filter(t, .k == \"two\").%s, %s)", column, cell),
		fmt.Sprintf("sum(t, careful(.%s, %s))", column, cell),
		fmt.Sprintf("t[key].%s", column),
		fmt.Sprintf("(t[key].%s ?? %s)", s.oneOf("p", "q"), cell),
		fmt.Sprintf("t[\"r2\"].%s", column),
		fmt.Sprintf("(t[\"r1\"].%s ?? 4)", s.oneOf("p", "q")),
		fmt.Sprintf("first(t).%s", column),
		fmt.Sprintf("find(t, .v > %s).%s", cell, column),
		fmt.Sprintf("median([%s, 3, %s])", cell, s.oneOf(s.usable...)),
	)
}

// Text writes the sheet with its values as they stand.
func (s *RandomSheet) Text() string {
	all := strings.Join(s.Blocks, "\n") + "\n"
	for name, v := range s.Given {
		all = strings.ReplaceAll(all, "{"+name+"}", v)
	}
	return all
}

// Change gives one of the values anew and returns its name.
func (s *RandomSheet) Change() string {
	name := s.Names[s.Rnd.IntN(len(s.Names))]
	s.Given[name] = s.Another(name)
	return name
}

// Another makes a value that one of the given may have.
func (s *RandomSheet) Another(name string) string {
	switch name {
	case "key":
		return s.row()
	case "grain":
		return s.oneOf(`"along"`, `"across"`, "")
	case "point":
		return s.oneOf(`"c0"`, `"c2"`, "")
	case "ripe":
		return s.oneOf(`"c1"`, `"c3"`, "")
	case "fitted":
		return s.oneOf("yes", "no")
	}
	return s.value()
}
