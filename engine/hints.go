package engine

import (
	"fmt"
	"io/fs"
	"path"
	"regexp"
	"strings"
	"unicode/utf8"

	"gusset/engine/formula"
	"gusset/sheets/text"
	"gusset/units"
)

// What to write instead, for the slips that builders make. A hint is words that can be typed, made from the builder's
// own names where that can be done.

// said returns a node as it is written in its sheet.
func (m *Program) said(mod *module, i int32) string {
	n := m.nodes[i]
	if n.from >= n.to || int(n.to) > len(mod.src.Data) {
		return "it"
	}
	return string(mod.src.Data[n.from:n.to])
}

// isPlainConst reports whether a node is a number written without a unit.
func (m *Program) isPlainConst(i int32) bool {
	n := m.nodes[i]
	return n.op == OpConst && n.c == 0
}

// isPlainSum reports whether a node is made of nothing but numbers without a unit, as 43 + 3/4 is.
func (m *Program) isPlainSum(i int32) bool {
	plain := true
	m.walk(i, func(n *node) {
		switch n.op {
		case OpConst:
			plain = plain && n.c == 0
		case OpAdd, OpSub, OpMul, OpDiv, OpNeg:
		default:
			plain = false
		}
	})
	return plain
}

// dashedName tells of a name whose _ was typed as a dash, which reads as a subtraction of two unknown names.
func (m *Program) dashedName(sc *scope, n *formula.Binary) (int32, bool) {
	if n.Op != formula.Subtract {
		return 0, false
	}
	a, okA := edge(n.X, func(n *formula.Binary) formula.Node { return n.Y }).(*formula.Name)
	right := edge(n.Y, func(n *formula.Binary) formula.Node { return n.X })
	for {
		part, ok := right.(*formula.Member) // rack.stock of my-rack.stock
		if !ok {
			break
		}
		right = part.X
	}
	b, okB := right.(*formula.Name)
	if !okA || !okB || b.Span().Start != a.Span().End+1 {
		return 0, false
	}
	at := dashedRun(sc.mod.src.Data, text.Span{Start: a.Span().Start, End: b.Span().End})
	typed := sc.typed(at)
	joined := strings.ReplaceAll(typed, "-", "_")
	if _, known := sc.mod.names[joined]; !known || m.isKnown(sc, a.Text) && m.isKnown(sc, b.Text) {
		return 0, false
	}
	return m.wrong(sc, at, text.Diag{
		Code: "unknown-name", Msg: "unknown name " + typed, Hint: fmt.Sprintf("is it %s?%s", joined, m.whereSet(sc, joined)),
	}), true
}

// dashedRun widens a span to the whole run of letters, digits, _ and dashes that it is in.
func dashedRun(data []byte, at text.Span) text.Span {
	isPart := func(b byte) bool {
		return b == '-' || b == '_' || b >= utf8.RuneSelf || '0' <= b && b <= '9' || 'A' <= b && b <= 'Z' || 'a' <= b && b <= 'z'
	}
	for at.Start > 0 && isPart(data[at.Start-1]) {
		at.Start--
	}
	for int(at.End) < len(data) && isPart(data[at.End]) {
		at.End++
	}
	return at
}

// edge follows one side of the operators below n down to what is at its end.
func edge(n formula.Node, side func(*formula.Binary) formula.Node) formula.Node {
	for {
		b, ok := n.(*formula.Binary)
		if !ok {
			return n
		}
		n = side(b)
	}
}

// isKnown reports whether a name by itself means something here.
func (m *Program) isKnown(sc *scope, name string) bool {
	for _, p := range sc.params {
		if p.name.Text == name {
			return true
		}
	}
	if sc.own != nil && sc.own.column(name) != nil {
		return true
	}
	_, r := m.lookUp(sc.mod, name)
	return r.kind != noRef
}

// unitForgotten suggests the unit that a plain number lacks to be of dimension d: a number in the formula, or a given
// cell without a unit. It returns nothing when neither is there.
func (m *Program) unitForgotten(i int32, d units.Dim) string {
	if m.isPlainConst(i) {
		return fmt.Sprintf("give the number its unit: %v [%s]", m.nodes[i].val, m.usualUnit(d))
	}
	n := m.nodes[i]
	if n.op == OpDiv && m.isPlainConst(n.a) && m.isPlainConst(n.b) {
		return fmt.Sprintf("give the number its unit: %v/%v [%s]", m.nodes[n.a].val, m.nodes[n.b].val, m.usualUnit(d))
	}
	if n.op == OpSlot && m.hasNoUnit(n.a) {
		return m.giveUnit(n.a, d)
	}
	return ""
}

// unitOfCell returns the unit that a node is shown in, when the node is a cell or an entry and has one.
func (m *Program) unitOfCell(i int32) string {
	n := m.nodes[i]
	if n.op != OpSlot || m.slots[n.a].hidden {
		return ""
	}
	if u := m.slotShow(n.a).unit; !u.Mixed() {
		return u.String()
	}
	return ""
}

// giveUnit says how to give a cell without a unit one of dimension d.
func (m *Program) giveUnit(s int32, d units.Dim) string {
	return fmt.Sprintf("if %s is %s, write %s [%s] on line %d", m.slotName(s), d.Describe(), m.cells[m.slots[s].owner].name.Text, m.usualUnit(d), m.slotLine(s))
}

// hasNoUnit reports whether a slot is a given or an adjusted cell that names no unit.
func (m *Program) hasNoUnit(s int32) bool {
	sl := m.slots[s]
	if sl.hidden || sl.entry {
		return false
	}
	c := m.cells[sl.owner]
	switch n := c.node.(type) {
	case *text.Cell:
		return n.IsGiven() && !n.Unit.Given() && m.cellTypes[c.number] == plainType
	case *text.Adjust:
		return !n.Unit.Given()
	}
	return false
}

// factorForgotten suggests the unit of the one cell without a unit in a product that comes out a factor short: have is
// what it gives, want what it should.
func (m *Program) factorForgotten(i int32, have, want units.Dim) string {
	missing, err := want.Div(have)
	if err != nil || missing.IsPlain() {
		return ""
	}
	found := none
	for {
		n := m.nodes[i]
		if n.op != OpMul && n.op != OpDiv {
			break
		}
		if n.op == OpMul && m.nodes[n.b].op == OpSlot && m.hasNoUnit(m.nodes[n.b].a) {
			if found != none {
				return ""
			}
			found = m.nodes[n.b].a
		}
		i = n.a
	}
	if n := m.nodes[i]; n.op == OpSlot && m.hasNoUnit(n.a) {
		if found != none {
			return ""
		}
		found = n.a
	}
	if found == none {
		return ""
	}
	return m.giveUnit(found, missing)
}

// together says how to bring the rows of a list to one value.
func (m *Program) together(mod *module, i int32, t typ) string {
	list := "the rows"
	if n := m.nodes[i]; n.op == OpColumn || n.op == OpRows {
		list = m.said(mod, i)
	}
	switch t.kind {
	case truth:
		return "for all rows at once write all( ), for one at the least any( )"
	case rows:
		return fmt.Sprintf("name a column, or count them: count(%s)", list)
	case writing:
		return fmt.Sprintf("take one of them: first(%s)", list)
	}
	if list == "the rows" {
		return "bring it together, for example with sum( ) or max( )"
	}
	return fmt.Sprintf("bring it together: sum(%s) or max(%s)", list, list)
}

// aColumn names a column of numbers of the table that a node's rows are of.
func (m *Program) aColumn(i int32) string {
	t, ok := m.tableOf(i)
	if !ok || t.list {
		return "TABLE.COLUMN"
	}
	for k := len(t.cols) - 1; k > 0; k-- {
		if m.columnTypes[t.cols[k].number].kind == number {
			return t.name.Text + "." + t.cols[k].name.Text
		}
	}
	return t.name.Text + ".COLUMN"
}

// elsewhere suggests where a name that is not known here stands: in a used sheet, in a table, in the rows that a list
// function goes through, or in a sheet that is not used yet.
func (m *Program) elsewhere(sc *scope, name string) string {
	if n := len(sc.folds); n > 0 && sc.folds[n-1].column(name) != nil {
		return "write ." + name + " for the column of the row"
	}
	for _, u := range sc.mod.uses {
		if _, ok := u.mod.names[name]; ok {
			return fmt.Sprintf("is it %s.%s?", u.alias, name)
		}
	}
	for _, t := range m.tables {
		if t.mod == sc.mod && !t.list && !sc.leading && t.column(name) != nil {
			return fmt.Sprintf("is it %s.%s?", t.name.Text, name)
		}
	}
	if !sc.leading || sc.mod.library {
		return ""
	}
	if _, isPage := sc.mod.pageAt[name]; isPage {
		return fmt.Sprintf("a cell is named without its page: leave out %s.", name)
	}
	if info, err := fs.Stat(m.src.Files, path.Join(path.Dir(sc.mod.path), name+".gusset")); err == nil && info.Mode().IsRegular() {
		return fmt.Sprintf("use %q", name+".gusset")
	}
	return ""
}

// decimalComma matches a number that was typed with a comma.
var decimalComma = regexp.MustCompile(`\b(\d+),(\d+)\b`)

// commaHint suggests a point, where a call has a value too many because a number was typed with a comma.
func commaHint(call string) string {
	if found := decimalComma.FindStringSubmatch(call); found != nil {
		return fmt.Sprintf("if one number is meant write %s.%s", found[1], found[2])
	}
	return ""
}

// unitAndFigures matches a unit with the figures of a step after it, up to a decimal comma.
var unitAndFigures = regexp.MustCompile(`^([^,;]*[^\s,;])\s*,\s*(\d+)$`)

// commaInStep reports a step with a decimal comma, [g, 0,1], of which the first half was read with the unit.
func (m *Program) commaInStep(mod *module, tag text.UnitTag) bool {
	parts := unitAndFigures.FindStringSubmatch(tag.Unit.Text)
	if parts == nil || strings.Trim(tag.Step.Text, "0123456789") != "" || !tag.Step.Given() {
		return false
	}
	at := text.Span{Start: tag.Unit.Span.End - int32(len(parts[2])), End: tag.Step.Span.End}
	m.report(mod, text.Diag{
		Code: "decimal-comma", Span: at, Msg: "a decimal is written with a point",
		Hint: fmt.Sprintf("write [%s, %s.%s]", parts[1], parts[2], tag.Step.Text),
	})
	return true
}

// givenHint suggests the colon of a given value, for a cell whose formula is nothing but a value.
func givenHint(c *text.Cell, value string) string {
	tag := ""
	if c.Unit.Given() {
		tag = " [" + c.Unit.Unit.Text + "]"
		if c.Unit.Step.Given() {
			tag = " [" + c.Unit.Unit.Text + ", " + c.Unit.Step.Text + "]"
		}
	}
	return fmt.Sprintf("%s%s : %s", c.Name.Text, tag, strings.TrimSpace(value))
}
