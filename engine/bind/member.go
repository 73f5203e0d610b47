package bind

import (
	"fmt"

	"gusset/engine/formula"
	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units/nearest"
)

// base is what stands before a dot or a bracket.
type base struct {
	kind  baseKind
	mod   *program.Module
	table *program.Table
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
		return sc.Add(program.Node{Op: program.OpRows, A: b.table.Number, From: b.span.Start, To: b.span.End})
	case baseRow, baseKeyed, baseFold:
		return sc.wrong(b.span, text.Diag{Code: "row-alone", Msg: "this is a whole row of " + b.table.Name.Text, Hint: "name one of its columns: " + sc.typed(b.span) + "." + b.table.Cols[len(b.table.Cols)-1].Name.Text})
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
	b := base{kind: baseValue, node: i, span: sc.Span(i)}
	switch {
	case sc.Nodes[i].Op == program.OpBroken:
		b.kind = baseBroken
	case sc.IsRows(i):
		b.kind = baseList
		b.table, _ = sc.TableOf(i)
	case sc.Nodes[i].Op == program.OpPick:
		b.kind = basePick
		b.table, _ = sc.TableOf(sc.Nodes[i].A)
	}
	return b
}

func (rs *resolver) brokenBase(i int32) base { return base{kind: baseBroken, node: i} }

func (sc *scope) nameBase(n *formula.Name) base {
	shadowed := sc.own != nil && sc.own.Column(n.Text) != nil
	for _, p := range sc.params {
		shadowed = shadowed || p.Name.Text == n.Text
	}
	if !shadowed {
		switch _, r := sc.lookUp(sc.mod, n.Text); r.Kind {
		case program.TableRef:
			return base{kind: baseTable, table: sc.Tables[r.Num], span: n.Span()}
		case program.ModuleRef:
			return base{kind: baseModule, mod: sc.mod.Uses[r.Num].Mod, span: n.Span()}
		}
	}
	sc.leading = true
	i := sc.resolve(n)
	sc.leading = false
	if sc.Nodes[i].Op == program.OpBroken {
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
	if slot := sc.unreadSlot(b); slot != program.None {
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
		if sc.Nodes[b.node].Op == program.OpColumn {
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
	c := b.table.Column(name.Text)
	switch {
	case c == nil && b.table.Lost != program.None:
		return sc.unreadBase(b.table.Lost, whole)
	case c == nil:
		return sc.brokenBase(sc.wrong(name.Span, sc.UnknownColumn(b.table, name.Text, &sc.Looked)))
	case c.Refused != program.None:
		return sc.unreadBase(c.Refused, whole)
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
		if nd := sc.Nodes[b.node]; nd.Op == program.OpColumn {
			c := sc.Columns[nd.A]
			d.Hint = fmt.Sprintf("write %s[%q].%s", c.Table.Name.Text, key.Value, c.Name.Text)
		}
	}
	return d
}

// unreadBase makes the base of what stands in a line that could not be read.
func (rs *resolver) unreadBase(slot int32, at text.Span) base {
	return base{kind: baseValue, node: rs.Add(program.Node{Op: program.OpSlot, A: slot, From: at.Start, To: at.End}), span: at}
}

// unreadSlot returns the broken slot of a table or a line that could not be read, whose parts are not known.
func (rs *resolver) unreadSlot(b base) int32 {
	if b.kind == baseTable {
		if b.table.Headless {
			return b.table.Lost
		}
		return program.None
	}
	if b.kind != baseValue || rs.Nodes[b.node].Op != program.OpSlot {
		return program.None
	}
	s := rs.Nodes[b.node].A
	sl := rs.Slots[s]
	unreadTable := sl.Hidden && sl.Root == program.None // the parts of an adjusted cell, hidden too, have no names
	if unreadTable || !sl.Hidden && !sl.Entry && rs.Cells[sl.Owner].Unread() {
		return s
	}
	return program.None
}

// columnOf makes the node for a column of what stands before the dot.
func (rs *resolver) columnOf(b base, c *program.Column, at text.Span) int32 {
	nd := program.Node{A: c.Number, From: at.Start, To: at.End}
	switch b.kind {
	case baseTable:
		nd.Op = program.OpColumn
	case baseRow:
		nd.Op, nd.A = program.OpSlot, c.Base+b.row
	case baseKeyed:
		nd.Op, nd.A, nd.B = program.OpLookup, b.node, c.Number
	case baseFold:
		nd.Op = program.OpEntry
	default: // some rows, or one row of some
		list := b.node
		if b.kind == basePick {
			list = rs.Nodes[b.node].A
		}
		entry := rs.Add(program.Node{Op: program.OpEntry, A: c.Number, From: at.Start, To: at.End})
		each := rs.Add(program.Node{Op: program.OpEach, A: list, B: entry, From: at.Start, To: at.End})
		if b.kind == baseList {
			return each
		}
		nd = program.Node{Op: program.OpFold, A: each, B: rs.Nodes[b.node].B, From: at.Start, To: at.End}
	}
	return rs.Add(nd)
}

// moduleMember binds a cell or table of a used sheet.
func (sc *scope) moduleMember(b base, part text.Word, whole text.Span) base {
	name := part.Text
	switch r := b.mod.Names[name]; r.Kind {
	case program.CellRef:
		i := sc.Add(program.Node{Op: program.OpSlot, A: sc.Cells[r.Num].Slot, From: whole.Start, To: whole.End})
		return base{kind: baseValue, node: i, span: whole}
	case program.TableRef:
		return base{kind: baseTable, table: sc.Tables[r.Num], span: whole}
	}
	alias := sc.typed(b.span)
	d := text.Diag{Code: "unknown-name", Msg: fmt.Sprintf("%s has no cell or table %s", alias, name)}
	if !sc.Looked.Allow(len(b.mod.Names)) {
		return sc.brokenBase(sc.wrong(part.Span, d))
	}
	var known []string
	for n, r := range b.mod.Names {
		if r.Kind != program.ModuleRef {
			known = append(known, n)
		}
	}
	if b.mod.Names[name].Kind == program.ModuleRef {
		d.Msg = fmt.Sprintf("%s is a sheet that %s uses for itself", name, alias)
		d.Hint = "use it in this sheet too, with a line of its own"
	} else if near, ok := nearest.Word(name, program.Sorted(known)); ok {
		d.Hint = fmt.Sprintf("is it %s.%s?", alias, near)
	}
	return sc.brokenBase(sc.wrong(part.Span, d))
}

// rowOf binds TABLE["ROW"], where the name of the row may be worked out.
func (sc *scope) rowOf(b base, key formula.Node, whole text.Span) base {
	if s, ok := key.(*formula.Text); ok {
		row, known := b.table.ByName[sc.Texts.Add(s.Value)]
		switch {
		case !known && b.table.Lost != program.None:
			return sc.unreadBase(b.table.Lost, whole)
		case !known:
			said := sc.sayMissing(b.table, sc.Texts.Add(s.Value), func() int {
				d := sc.UnknownRow(b.table, s.Value, &sc.Looked)
				d.Span = s.Span()
				return sc.Report(sc.mod, d)
			})
			return sc.brokenBase(sc.brokenBy(s.Span(), said))
		}
		return base{kind: baseRow, table: b.table, row: row, span: whole}
	}
	sc.quotable = isName(key)
	i := sc.resolve(key)
	sc.quotable = false
	if sc.Nodes[i].Op == program.OpBroken {
		return sc.brokenBase(i)
	}
	return base{kind: baseKeyed, table: b.table, node: i, span: whole}
}

// sayMissing notes that a row is named that is not there, and returns the number of the Diag that says so: the first one.
func (b *binder) sayMissing(t *program.Table, name int32, report func() int) int {
	key := program.RowKey{Table: t, Name: name}
	if row, known := b.Missing[key]; known {
		row.More++
		return row.Diag
	}
	if b.Missing == nil {
		b.Missing = map[program.RowKey]*program.MissingRow{}
	}
	b.Missing[key] = &program.MissingRow{Diag: report()}
	return b.Missing[key].Diag
}
