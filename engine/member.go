package engine

import (
	"fmt"

	"gusset/engine/formula"
	"gusset/sheets/text"
	"gusset/units/nearest"
)

// base is what stands before a dot or a bracket.
type base struct {
	kind  baseKind
	mod   *module
	table *table
	row   int32 // of baseRow
	node  int32 // of baseKeyed the key; of baseList and basePick the list or the pick; of baseValue the value
	span  text.Span
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

// resolvePath binds SHEET.NAME, TABLE.COLUMN, TABLE["ROW"].COLUMN and the like.
func (sc *scope) resolvePath(n formula.Node) int32 {
	b := sc.resolveBase(n)
	switch b.kind {
	case baseTable:
		return sc.add(node{op: OpRows, a: b.table.number, from: b.span.Start, to: b.span.End})
	case baseRow, baseKeyed, baseFold:
		return sc.wrong(b.span, text.Diag{Code: "row-alone", Msg: "this is a whole row of " + b.table.name.Text, Hint: "name one of its columns: " + sc.typed(b.span) + "." + b.table.cols[len(b.table.cols)-1].name.Text})
	case baseModule:
		return sc.wrong(b.span, text.Diag{Code: "sheet-alone", Msg: "this is a whole sheet"})
	}
	return b.node
}

// resolveBase binds what a chain of dots and brackets leads to.
func (sc *scope) resolveBase(n formula.Node) base {
	switch n := n.(type) {
	case *formula.Name:
		return sc.nameBase(n)
	case *formula.Column:
		return sc.rowColumn(n)
	case *formula.Member:
		return sc.memberBase(n)
	case *formula.Index:
		return sc.indexBase(n)
	case *formula.Brackets:
		b := sc.resolveBase(n.X)
		b.span = n.Span()
		return b
	}
	i := sc.resolve(n)
	b := base{kind: baseValue, node: i, span: sc.span(i)}
	switch {
	case sc.nodes[i].op == OpBroken:
		b.kind = baseBroken
	case sc.isRows(i):
		b.kind = baseList
		b.table, _ = sc.tableOf(i)
	case sc.nodes[i].op == OpPick:
		b.kind = basePick
		b.table, _ = sc.tableOf(sc.nodes[i].a)
	}
	return b
}

func (rs *resolver) brokenBase(i int32) base { return base{kind: baseBroken, node: i} }

func (sc *scope) nameBase(n *formula.Name) base {
	shadowed := sc.own != nil && sc.own.column(n.Text) != nil
	for _, p := range sc.params {
		shadowed = shadowed || p.name.Text == n.Text
	}
	if !shadowed {
		switch _, r := sc.lookUp(sc.mod, n.Text); r.kind {
		case tableRef:
			return base{kind: baseTable, table: sc.tables[r.num], span: n.Span()}
		case moduleRef:
			return base{kind: baseModule, mod: sc.mod.uses[r.num].mod, span: n.Span()}
		}
	}
	sc.leading = true
	i := sc.resolve(n)
	sc.leading = false
	if sc.nodes[i].op == OpBroken {
		return sc.brokenBase(i)
	}
	return base{kind: baseValue, node: i, span: n.Span()}
}

// leftBase binds what stands before a dot or a bracket, and returns the span up to the end of what follows. Where nothing can
// follow, since it has a mistake or was not read, sound is false and the base is that of the whole.
func (sc *scope) leftBase(x formula.Node, end int32) (b base, whole text.Span, sound bool) {
	b = sc.resolveBase(x)
	if b.kind == baseBroken {
		return b, whole, false
	}
	whole = text.Span{Start: b.span.Start, End: end}
	if slot := sc.unreadSlot(b); slot != none {
		return sc.unreadBase(slot, whole), whole, false
	}
	return b, whole, true
}

// memberBase binds X.NAME.
func (sc *scope) memberBase(n *formula.Member) base {
	b, whole, sound := sc.leftBase(n.X, n.Span().End)
	if !sound {
		return b
	}
	switch b.kind {
	case baseValue:
		d := text.Diag{Code: "no-parts", Msg: "this is a single value and has no columns"}
		if sc.nodes[b.node].op == OpColumn {
			d.Msg = "this is a column already and has no columns of its own"
		}
		return sc.brokenBase(sc.wrong(whole, d))
	case baseModule:
		return sc.moduleMember(b, n.Name, whole)
	}
	return sc.columnBase(b, n.Name, whole)
}

// rowColumn binds .NAME, a column of the row that the innermost list function is at.
func (sc *scope) rowColumn(n *formula.Column) base {
	if len(sc.folds) == 0 {
		return sc.brokenBase(sc.wrong(n.Span(), text.Diag{
			Code: "row-dot", Msg: "a column of a row can only be used inside a list function",
			Hint: "for example sum(parts, .weight); max and min take a column: max(parts." + n.Name.Text + ")",
		}))
	}
	b := base{kind: baseFold, table: sc.folds[len(sc.folds)-1], span: n.Span()}
	return sc.columnBase(b, n.Name, n.Span())
}

// columnBase binds a column of a table, of a row, or of some rows.
func (sc *scope) columnBase(b base, name text.Word, whole text.Span) base {
	c := b.table.column(name.Text)
	switch {
	case c == nil && b.table.lost != none:
		return sc.unreadBase(b.table.lost, whole)
	case c == nil:
		return sc.brokenBase(sc.wrong(name.Span, sc.unknownColumn(b.table, name.Text, &sc.looked)))
	case c.refused != none:
		return sc.unreadBase(c.refused, whole)
	}
	return base{kind: baseValue, node: sc.columnOf(b, c, whole), span: whole}
}

// indexBase binds X[KEY].
func (sc *scope) indexBase(n *formula.Index) base {
	b, whole, sound := sc.leftBase(n.X, n.Span().End)
	if !sound {
		return b
	}
	switch b.kind {
	case baseTable:
		return sc.rowOf(b, n.Key, whole)
	case baseValue:
		return sc.brokenBase(sc.wrong(whole, sc.noRows(n, b)))
	case baseModule:
		return sc.brokenBase(sc.wrong(whole, text.Diag{Code: "formula-form", Msg: "a sheet's cell is named with a dot", Hint: "write " + sc.typed(b.span) + ".NAME"}))
	}
	column := "NAME"
	if key, isText := n.Key.(*formula.Text); isText {
		column = key.Value
	}
	return sc.brokenBase(sc.wrong(whole, text.Diag{Code: "formula-form", Msg: "a column is named with a dot", Hint: "write " + sc.typed(b.span) + "." + column}))
}

// noRows explains that a value has no rows.
func (sc *scope) noRows(n *formula.Index, b base) text.Diag {
	d := text.Diag{Code: "no-parts", Msg: "a unit in brackets only follows a number", Hint: sc.typed(b.span) + " has its unit already: leave the brackets out"}
	if key, isText := n.Key.(*formula.Text); isText {
		d.Msg, d.Hint = "a row in brackets follows the table's name", fmt.Sprintf("for example parts[%q].weight", key.Value)
		if nd := sc.nodes[b.node]; nd.op == OpColumn {
			c := sc.columns[nd.a]
			d.Hint = fmt.Sprintf("write %s[%q].%s", c.table.name.Text, key.Value, c.name.Text)
		}
	}
	return d
}

// unreadBase makes the base of what stands in a line that could not be read.
func (rs *resolver) unreadBase(slot int32, at text.Span) base {
	return base{kind: baseValue, node: rs.add(node{op: OpSlot, a: slot, from: at.Start, to: at.End}), span: at}
}

// unreadSlot returns the broken slot of a table or a line that could not be read, whose parts are not known.
func (rs *resolver) unreadSlot(b base) int32 {
	if b.kind == baseTable {
		if b.table.headless {
			return b.table.lost
		}
		return none
	}
	if b.kind != baseValue || rs.nodes[b.node].op != OpSlot {
		return none
	}
	s := rs.nodes[b.node].a
	sl := rs.slots[s]
	unreadTable := sl.hidden && sl.root == none // the parts of an adjusted cell, hidden too, have no names
	if unreadTable || !sl.hidden && !sl.entry && rs.cells[sl.owner].unread() {
		return s
	}
	return none
}

// columnOf makes the node for a column of what stands before the dot.
func (rs *resolver) columnOf(b base, c *column, at text.Span) int32 {
	nd := node{a: c.number, from: at.Start, to: at.End}
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
			list = rs.nodes[b.node].a
		}
		entry := rs.add(node{op: OpEntry, a: c.number, from: at.Start, to: at.End})
		each := rs.add(node{op: OpEach, a: list, b: entry, from: at.Start, to: at.End})
		if b.kind == baseList {
			return each
		}
		nd = node{op: OpFold, a: each, b: rs.nodes[b.node].b, from: at.Start, to: at.End}
	}
	return rs.add(nd)
}

// moduleMember binds a cell or table of a used sheet.
func (sc *scope) moduleMember(b base, part text.Word, whole text.Span) base {
	name := part.Text
	switch r := b.mod.names[name]; r.kind {
	case cellRef:
		i := sc.add(node{op: OpSlot, a: sc.cells[r.num].slot, from: whole.Start, to: whole.End})
		return base{kind: baseValue, node: i, span: whole}
	case tableRef:
		return base{kind: baseTable, table: sc.tables[r.num], span: whole}
	}
	alias := sc.typed(b.span)
	d := text.Diag{Code: "unknown-name", Msg: fmt.Sprintf("%s has no cell or table %s", alias, name)}
	if !sc.looked.allow(len(b.mod.names)) {
		return sc.brokenBase(sc.wrong(part.Span, d))
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
	} else if near, ok := nearest.Word(name, sorted(known)); ok {
		d.Hint = fmt.Sprintf("is it %s.%s?", alias, near)
	}
	return sc.brokenBase(sc.wrong(part.Span, d))
}

// rowOf binds TABLE["ROW"], where the name of the row may be worked out.
func (sc *scope) rowOf(b base, key formula.Node, whole text.Span) base {
	if s, ok := key.(*formula.Text); ok {
		row, known := b.table.byName[sc.texts.Add(s.Value)]
		switch {
		case !known && b.table.lost != none:
			return sc.unreadBase(b.table.lost, whole)
		case !known:
			said := sc.sayMissing(b.table, sc.texts.Add(s.Value), func() int {
				d := sc.unknownRow(b.table, s.Value, &sc.looked)
				d.Span = s.Span()
				return sc.report(sc.mod, d)
			})
			return sc.brokenBase(sc.brokenBy(s.Span(), said))
		}
		return base{kind: baseRow, table: b.table, row: row, span: whole}
	}
	sc.quotable = isName(key)
	i := sc.resolve(key)
	sc.quotable = false
	if sc.nodes[i].op == OpBroken {
		return sc.brokenBase(i)
	}
	return base{kind: baseKeyed, table: b.table, node: i, span: whole}
}

// sayMissing notes that a row is named that is not there, and returns the number of the Diag that says so: the first one.
func (b *binder) sayMissing(t *table, name int32, report func() int) int {
	key := rowKey{t, name}
	if row, known := b.missing[key]; known {
		row.more++
		return row.diag
	}
	if b.missing == nil {
		b.missing = map[rowKey]*missingRow{}
	}
	b.missing[key] = &missingRow{diag: report()}
	return b.missing[key].diag
}
