package engine

import (
	"fmt"
	"strings"

	"github.com/expr-lang/expr/ast"

	"gusset/engine/machine"
	"gusset/sheets/text"
	"gusset/units"
)

// base is what stands before a dot or a bracket.
type base struct {
	kind     baseKind
	mod      *module
	table    *table
	row      int32 // of baseRow
	node     int32 // of baseKeyed the key; of baseList and basePick the list or the pick; of baseValue the value
	from, to int32
}

type baseKind uint8

const (
	baseBroken baseKind = iota
	baseModule          // a used sheet
	baseTable           // a table
	baseRow             // a row of a table, known now
	baseKeyed           // a row of a table whose name is worked out
	baseFold            // the row that the innermost fold is at
	baseList            // some rows
	basePick            // one row of some
	baseValue           // a value, which has no parts
)

// resolveMember binds SHEET.NAME, TABLE.COLUMN, TABLE["ROW"].COLUMN and the like.
func (m *Model) resolveMember(sc *scope, n *ast.MemberNode) int32 {
	b := m.resolveBase(sc, n)
	switch b.kind {
	case baseBroken:
		return b.node
	case baseTable:
		return m.add(node{op: OpRows, a: b.table.number, from: b.from, to: b.to})
	case baseRow, baseKeyed, baseFold:
		return m.wrong(sc, b.from, b.to, text.Diag{Code: "row-alone", Msg: fmt.Sprintf("this is a whole row of %s", b.table.name.Text), Hint: "name one of its columns: " + sc.text[b.from-sc.start:b.to-sc.start] + "." + b.table.cols[len(b.table.cols)-1].name.Text})
	case baseModule:
		return m.wrong(sc, b.from, b.to, text.Diag{Code: "sheet-alone", Msg: "this is a whole sheet"})
	}
	return b.node
}

// resolveBase binds what a chain of dots and brackets leads to.
func (m *Model) resolveBase(sc *scope, n ast.Node) base {
	switch n := n.(type) {
	case *ast.IdentifierNode:
		return m.nameBase(sc, n)
	case *ast.PointerNode:
		from, to := sc.place(n)
		if len(sc.folds) == 0 {
			return m.brokenBase(m.wrong(sc, from, to, text.Diag{Code: "formula-mark", Msg: "a column of a row can only be used inside a list function", Hint: "for example sum(parts, .weight)"}))
		}
		return base{kind: baseFold, table: sc.folds[len(sc.folds)-1], from: from, to: to}
	case *ast.MemberNode:
		return m.memberBase(sc, n)
	}
	i := m.resolve(sc, n)
	nd := m.nodes[i]
	b := base{kind: baseValue, node: i, from: nd.from, to: nd.to}
	switch {
	case nd.op == OpBroken:
		b.kind = baseBroken
	case m.isRows(i):
		b.kind = baseList
		b.table, _ = m.tableOf(i)
	case nd.op == OpPick:
		b.kind = basePick
		b.table, _ = m.tableOf(nd.a)
	}
	return b
}

func (m *Model) brokenBase(i int32) base { return base{kind: baseBroken, node: i} }

func (m *Model) nameBase(sc *scope, n *ast.IdentifierNode) base {
	from, to := sc.place(n)
	_, isLiteral := sc.read.Literal(n.Value)
	shadowed := isLiteral || sc.own != nil && sc.own.column(n.Value) != nil
	for _, p := range sc.params {
		shadowed = shadowed || p.name.Text == n.Value
	}
	if !shadowed {
		switch _, r := m.lookUp(sc.mod, n.Value); r.kind {
		case tableRef:
			return base{kind: baseTable, table: m.tables[r.num], from: from, to: to}
		case moduleRef:
			return base{kind: baseModule, mod: sc.mod.uses[r.num].mod, from: from, to: to}
		}
	}
	sc.leading = true
	i := m.resolve(sc, n)
	sc.leading = false
	if m.nodes[i].op == OpBroken {
		return m.brokenBase(i)
	}
	return base{kind: baseValue, node: i, from: from, to: to}
}

// memberBase binds one step of a chain.
func (m *Model) memberBase(sc *scope, n *ast.MemberNode) base {
	b := m.resolveBase(sc, n.Node)
	if b.kind == baseBroken {
		return b
	}
	prop, isText := n.Property.(*ast.StringNode)
	from, to := m.memberSpan(sc, n, b)
	dotted := isText && m.dotted(sc, n)
	if slot := m.unreadSlot(b); slot != none {
		return m.unreadBase(slot, b.from, to)
	}
	switch {
	case b.kind == baseValue:
		return m.partOfValue(sc, n, b, from, to)
	case b.kind == baseModule && dotted:
		return m.moduleMember(sc, b, prop.Value, from, to)
	case b.kind == baseModule:
		return m.brokenBase(m.wrong(sc, b.from, to, text.Diag{Code: "formula-form", Msg: "a sheet's cell is named with a dot", Hint: "write " + sc.text[b.from-sc.start:b.to-sc.start] + ".NAME"}))
	case b.kind == baseTable && !dotted:
		return m.rowOf(sc, b, n.Property, from, to)
	case !dotted:
		column := "NAME"
		if isText {
			column = prop.Value
		}
		return m.brokenBase(m.wrong(sc, b.from, to, text.Diag{Code: "formula-form", Msg: "a column is named with a dot", Hint: "write " + sc.text[b.from-sc.start:b.to-sc.start] + "." + column}))
	}
	c := b.table.column(prop.Value)
	switch {
	case c == nil && b.table.lost != none:
		return m.unreadBase(b.table.lost, b.from, to)
	case c == nil:
		d := m.unknownColumn(b.table, prop.Value, &m.guessed)
		return m.brokenBase(m.wrong(sc, from, to, d))
	case c.refused != none:
		return m.unreadBase(c.refused, b.from, to)
	}
	return base{kind: baseValue, node: m.columnOf(b, c, to), from: b.from, to: to}
}

// unreadBase makes the base of what stands in a line that could not be read.
func (m *Model) unreadBase(slot, from, to int32) base {
	return base{kind: baseValue, node: m.add(node{op: OpSlot, a: slot, from: from, to: to}), from: from, to: to}
}

// unreadSlot returns the broken slot of a table or a line that could not be read, whose parts are not known.
func (m *Model) unreadSlot(b base) int32 {
	if b.kind == baseTable {
		if b.table.headless {
			return b.table.lost
		}
		return none
	}
	if b.kind != baseValue || m.nodes[b.node].op != OpSlot {
		return none
	}
	s := m.nodes[b.node].a
	sl := m.slots[s]
	unreadTable := sl.hidden && sl.root == none // the parts of an adjusted cell, hidden too, have no names
	if unreadTable || !sl.hidden && !sl.entry && m.cells[sl.owner].unread() {
		return s
	}
	return none
}

// columnOf makes the node for a column of what stands before the dot.
func (m *Model) columnOf(b base, c *column, to int32) int32 {
	nd := node{a: c.number, from: b.from, to: to}
	switch b.kind {
	case baseTable:
		nd.op = OpColumn
	case baseRow:
		nd.op, nd.a = OpSlot, c.base+b.row
	case baseKeyed:
		nd.op, nd.a, nd.b = OpLookup, b.node, c.number
	case baseFold:
		nd.op = OpEntry
	default: // some rows, or one row of some
		list := b.node
		if b.kind == basePick {
			list = m.nodes[b.node].a
		}
		entry := m.add(node{op: OpEntry, a: c.number, from: b.from, to: to})
		each := m.add(node{op: OpEach, a: list, b: entry, from: b.from, to: to})
		if b.kind == baseList {
			return each
		}
		nd = node{op: OpFold, a: each, b: m.nodes[b.node].b, from: b.from, to: to}
	}
	return m.add(nd)
}

// dotted reports whether a member is written with a dot rather than in brackets.
func (m *Model) dotted(sc *scope, n *ast.MemberNode) bool {
	from, _ := sc.place(n.Property)
	i := int(from - sc.start)
	return i < len(sc.text) && sc.text[i] != '"'
}

// memberSpan returns the place of the part behind a dot or in brackets, in full.
func (m *Model) memberSpan(sc *scope, n *ast.MemberNode, b base) (from, to int32) {
	from, to = sc.place(n.Property)
	if p, ok := n.Property.(*ast.StringNode); ok && to-from < int32(len(p.Value)) {
		to = from + int32(len(p.Value))
	}
	if i := strings.IndexByte(sc.text[min(int(to-sc.start), len(sc.text)):], ']'); i >= 0 && !m.dotted(sc, n) {
		to += int32(i) + 1
	}
	return from, to
}

// partOfValue explains that a value has no parts.
func (m *Model) partOfValue(sc *scope, n *ast.MemberNode, b base, from, to int32) base {
	d := text.Diag{Code: "no-parts", Msg: "this is a single value and has no columns"}
	if m.nodes[b.node].op == OpColumn {
		d.Msg = "this is a column already and has no columns of its own"
	}
	if !m.dotted(sc, n) {
		name := sc.text[b.from-sc.start : b.to-sc.start]
		d.Msg = "a unit in brackets only follows a number"
		d.Hint = fmt.Sprintf("%s has its unit already: leave the brackets out", name)
		if key, isText := n.Property.(*ast.StringNode); isText {
			d.Msg, d.Hint = "a row in brackets follows the table's name", fmt.Sprintf("for example parts[%q].weight", key.Value)
			if nd := m.nodes[b.node]; nd.op == OpColumn {
				c := m.columns[nd.a]
				d.Hint = fmt.Sprintf("write %s[%q].%s", c.table.name.Text, key.Value, c.name.Text)
			}
		}
	}
	return m.brokenBase(m.wrong(sc, b.from, to, d))
}

// moduleMember binds a cell or table of a used sheet.
func (m *Model) moduleMember(sc *scope, b base, name string, from, to int32) base {
	switch r := b.mod.names[name]; r.kind {
	case cellRef:
		i := m.add(node{op: OpSlot, a: m.cells[r.num].slot, from: b.from, to: to})
		return base{kind: baseValue, node: i, from: b.from, to: to}
	case tableRef:
		return base{kind: baseTable, table: m.tables[r.num], from: b.from, to: to}
	}
	alias := sc.text[b.from-sc.start : b.to-sc.start]
	d := text.Diag{Code: "unknown-name", Msg: fmt.Sprintf("%s has no cell or table %s", alias, name)}
	if !m.guessed.allow(len(b.mod.names)) {
		return m.brokenBase(m.wrong(sc, from, to, d))
	}
	var known []string
	for n, r := range b.mod.names {
		if r.kind != moduleRef {
			known = append(known, n)
		}
	}
	if b.mod.names[name].kind == moduleRef {
		d.Msg = fmt.Sprintf("%s is a sheet that %s uses for itself", name, alias)
		d.Hint = "use it in this sheet too, with a line of its own"
	} else if near, ok := units.Nearest(name, sorted(known)); ok {
		d.Hint = fmt.Sprintf("is it %s.%s?", alias, near)
	}
	return m.brokenBase(m.wrong(sc, from, to, d))
}

// rowOf binds TABLE["ROW"], where the name of the row may be worked out.
func (m *Model) rowOf(sc *scope, b base, key ast.Node, from, to int32) base {
	if s, ok := key.(*ast.StringNode); ok {
		row, known := b.table.byName[m.textNumber(s.Value)]
		switch {
		case !known && b.table.lost != none:
			return m.unreadBase(b.table.lost, b.from, to)
		case !known:
			end := min(from+int32(len(s.Value))+2, to)
			said := m.sayMissing(b.table, m.textNumber(s.Value), func() int {
				d := m.unknownRow(b.table, s.Value, &m.guessed)
				d.Span = text.Span{Start: from, End: end}
				return m.report(sc.mod, d)
			})
			return m.brokenBase(m.brokenBy(sc, from, end, said))
		}
		return base{kind: baseRow, table: b.table, row: row, from: b.from, to: to}
	}
	_, sc.quotable = key.(*ast.IdentifierNode)
	i := m.resolve(sc, key)
	sc.quotable = false
	if m.nodes[i].op == OpBroken {
		return m.brokenBase(i)
	}
	return base{kind: baseKeyed, table: b.table, node: i, from: b.from, to: to}
}

// sayMissing notes that a row is named that is not there, and returns the number of the Diag that says so: the first one.
func (m *Model) sayMissing(t *table, name int32, report func() int) int {
	key := rowKey{t, name}
	if row, known := m.missing[key]; known {
		row.more++
		return row.diag
	}
	if m.missing == nil {
		m.missing = map[rowKey]*missingRow{}
	}
	m.missing[key] = &missingRow{diag: report()}
	return m.missing[key].diag
}

// addRow says where a row could be added: to another sheet of the builder's. It is empty for tables of the library, and for
// those of the sheet itself, which are plain to see.
func (m *Model) addRow(t *table) string {
	if t.mod.library || t.mod == m.root {
		return ""
	}
	return "add it to " + t.mod.src.Name
}

// nearOrAdd suggests a row of a name like the one that is not there, or else to add that one.
func nearOrAdd(near, add string) string {
	hint := fmt.Sprintf("is it %q?", near)
	if add != "" {
		hint += " Else " + add
	}
	return hint
}

// unknownRow tells that a table has no such row, and which comes nearest.
func (m *Model) unknownRow(t *table, name string, g *guesses) text.Diag {
	d := text.Diag{Code: "unknown-row", Msg: fmt.Sprintf("the table %s has no row %q", t.name.Text, name)}
	if !g.allow(len(t.rowName)) {
		return d
	}
	names := make([]string, len(t.rowName))
	for i, n := range t.rowName {
		names[i] = m.texts[n]
	}
	add := m.addRow(t)
	if near, ok := units.Nearest(name, sorted(names)); ok {
		d.Hint = nearOrAdd(near, add)
	} else if add != "" {
		d.Hint = add
	} else if like := rowsLike(name, names); len(like) > 0 && len(like) <= 6 {
		d.Hint = "it has " + joinWords(like)
	} else if len(names) == 0 {
		d.Hint = "it has none"
	} else if len(names) <= 6 {
		d.Hint = "it has " + joinWords(names)
	} else if t.mod.library {
		d.Hint = "gusset library " + t.name.Text + " lists its rows"
	}
	return d
}

// rowsLike returns the rows whose names hold a name that stands for none of them: Sitka spruce for spruce.
func rowsLike(name string, rows []string) []string {
	var like []string
	for _, r := range rows {
		if name != "" && strings.Contains(strings.ToLower(r), strings.ToLower(name)) {
			like = append(like, r)
		}
	}
	return like
}

// foldKind returns the kind of fold that an OpFold or OpPick node holds.
func foldKind(n *node) machine.FoldKind { return machine.FoldKind(n.b) }
