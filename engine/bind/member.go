package bind

import (
	"fmt"

	"gusset/engine/formula"
	"gusset/engine/program"
	"gusset/sheets/text"
)

// base is what is before a dot or a bracket.
type base struct {
	kind  baseKind
	place program.Place // of basePlace, with the path that leads there
	path  text.Path
	table *program.Table // of the kinds that have columns, other than basePlace
	node  int32          // of baseKeyed the key; of baseList and basePick the list or the pick; of baseValue the value
	span  text.Span
}

type baseKind uint8

const (
	baseBroken baseKind = iota
	basePlace           // what a path leads to
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
	case basePlace:
		if i, ok := sc.placeNode(b.place, b.span); ok {
			return i
		}
		return sc.wrong(b.span, sc.NotOneValue(b.place, b.path).Diag)
	case baseKeyed, baseFold:
		return sc.wrong(b.span, text.Diag{
			Code: "row-alone", Msg: sc.mod.Typed(b.span) + " is a whole row",
			Hint: "name one of its columns: " + sc.mod.Typed(b.span) + "." + b.table.Cols[len(b.table.Cols)-1].Name.Text,
		})
	}
	return b.node
}

// placeNode makes the node for what a name or a path leads to; ok is false where that has no value.
func (sc *scope) placeNode(place program.Place, at text.Span) (i int32, ok bool) {
	nd := program.Node{Op: program.OpSlot, From: at.Start, To: at.End}
	nd.A, ok = place.Unread()
	if !ok {
		nd.A, ok = place.Slot()
	}
	switch {
	case ok:
	case place.Kind == program.TablePlace:
		nd.Op, nd.A = program.OpRows, place.Table.Number
	case place.Kind == program.ColumnPlace:
		nd.Op, nd.A = program.OpColumn, place.Column.Number
	default:
		return program.None, false
	}
	return sc.Add(nd), true
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
		b.span, b.path.Span = n.Span(), n.Span()
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

// nameBase binds the first name of a chain. Arguments and the columns of the row come before what a path can begin
// with.
func (sc *scope) nameBase(n *formula.Name) base {
	mod, r := sc.lookUp(sc.mod, n.Text)
	_, local := sc.local(n.Text)
	if place, ok := sc.PlaceOf(mod, r); ok && !local {
		return base{kind: basePlace, place: place, path: namePath(n.Text, n.Span()), span: n.Span()}
	}
	sc.leading = true
	i := sc.resolve(n)
	sc.leading = false
	if sc.Nodes[i].Op == program.OpBroken {
		return sc.brokenBase(i)
	}
	return base{kind: baseValue, node: i, span: n.Span()}
}

// namePath returns the path that is a single name.
func namePath(name string, at text.Span) text.Path {
	w := text.Word{Text: name, Span: at}
	return text.Path{Word: w, Parts: []text.Part{{Word: w}}}
}

// step binds the next part of a path.
func (sc *scope) step(b base, part text.Part, end int32) base {
	b.path.Parts = append(b.path.Parts, part)
	b.path.Span.End, b.span.End = end, end
	place, slip := sc.Step(b.path, b.place, program.Purpose{Effort: &sc.Looked})
	if slip != nil {
		return sc.brokenBase(sc.wrong(slip.Span, slip.Diag))
	}
	b.place = place
	return b
}

// memberBase binds X.NAME.
func (sc *scope) memberBase(n *formula.Member) base {
	b := sc.resolveBase(n.X)
	whole := text.Span{Start: b.span.Start, End: n.Span().End}
	switch b.kind {
	case baseBroken:
		return b
	case basePlace:
		return sc.step(b, text.Part{Word: n.Name}, whole.End)
	case baseValue:
		d := text.Diag{Code: "no-parts", Msg: "only a table, its rows and those of a list have columns"}
		return sc.brokenBase(sc.wrong(whole, d))
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

// columnBase binds a column of a row, or of some rows.
func (sc *scope) columnBase(b base, name text.Word, whole text.Span) base {
	of := program.Place{Kind: program.TablePlace, Mod: b.table.Mod, Table: b.table}
	place, slip := sc.Step(namePath(name.Text, name.Span), of, program.Purpose{Effort: &sc.Looked})
	switch {
	case slip != nil:
		return sc.brokenBase(sc.wrong(name.Span, slip.Diag))
	case place.Kind == program.LostPlace:
		return unreadBase(place.Lost, whole)
	}
	return base{kind: baseValue, node: sc.columnOf(b, place.Column, whole), span: whole}
}

// indexBase binds X[KEY].
func (sc *scope) indexBase(n *formula.Index) base {
	b := sc.resolveBase(n.X)
	whole := text.Span{Start: b.span.Start, End: n.Span().End}
	key, isText := n.Key.(*formula.Text)
	if b.kind == baseBroken {
		return b
	}
	if s := sc.unreadSlot(b); s != program.None {
		return unreadBase(s, whole)
	}
	switch {
	case b.kind == basePlace && isText:
		return sc.rowOf(b, key, whole.End)
	case b.kind == basePlace && b.place.Kind == program.TablePlace:
		return sc.keyedRow(b, n.Key, whole)
	case b.kind == basePlace && b.place.Kind == program.SheetPlace:
		return sc.brokenBase(sc.wrong(whole, sc.NotOneValue(b.place, b.path).Diag))
	case b.kind == baseValue || b.kind == basePlace && b.place.Kind != program.RowPlace:
		return sc.brokenBase(sc.wrong(whole, noRows(sc.mod, n, b)))
	}
	column := "NAME"
	if isText {
		column = key.Value
	}
	return sc.brokenBase(sc.wrong(whole, text.Diag{
		Code: "formula-form", Msg: "a column is named with a dot", Hint: "write " + sc.mod.Typed(b.span) + "." + column,
	}))
}

// noRows explains that a value has no rows.
func noRows(mod *program.Module, n *formula.Index, b base) text.Diag {
	d := text.Diag{
		Code: "no-parts", Msg: "a unit in brackets only follows a number",
		Hint: mod.Typed(b.span) + " has its unit already: leave the brackets out",
	}
	if key, isText := n.Key.(*formula.Text); isText {
		d.Msg = "a row in brackets follows the table's name"
		d.Hint = fmt.Sprintf("for example parts[%q].weight", key.Value)
	}
	return d
}

// unreadBase makes the base of what is in a line that could not be read.
func unreadBase(slot int32, at text.Span) base {
	return base{kind: basePlace, place: program.Place{Lost: slot}, path: text.Path{Word: text.Word{Span: at}}, span: at}
}

// unreadSlot returns the broken slot of what could not be read, whose parts are not known.
func (rs *resolver) unreadSlot(b base) int32 {
	if b.kind == basePlace {
		slot, _ := b.place.Unread()
		return slot
	}
	return program.None
}

// columnOf makes the node for a column of what stands before the dot.
func (rs *resolver) columnOf(b base, c *program.Column, at text.Span) int32 {
	nd := program.Node{A: c.Number, From: at.Start, To: at.End}
	switch b.kind {
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

// rowOf binds TABLE["ROW"].
func (sc *scope) rowOf(b base, key *formula.Text, end int32) base {
	part := text.Part{Word: text.Word{Text: key.Value, Span: key.Span()}, Row: true}
	if t := b.place.Table; b.place.Kind == program.TablePlace && t.Lost == program.None {
		name := sc.Texts.Add(key.Value)
		if _, known := t.ByName[name]; !known {
			diag := sc.reportMissing(t, name, func() int {
				return sc.Report(sc.mod, sc.UnknownRow(t, part.Word, &sc.Looked))
			})
			return sc.brokenBase(sc.brokenBy(key.Span(), diag))
		}
	}
	return sc.step(b, part, end)
}

// keyedRow binds TABLE[KEY], where the name of the row is worked out.
func (sc *scope) keyedRow(b base, key formula.Node, whole text.Span) base {
	sc.quotable = isName(key)
	i := sc.resolve(key)
	sc.quotable = false
	if sc.Nodes[i].Op == program.OpBroken {
		return sc.brokenBase(i)
	}
	return base{kind: baseKeyed, table: b.place.Table, node: i, span: whole}
}

// reportMissing notes that a row is named that is not there, and returns the number of the Diag that says so: the first
// one. A text that is not one of those listed, where there is no table, is reported each time.
func (b *binder) reportMissing(t *program.Table, name int32, report func() int) int {
	if t == nil {
		return report()
	}
	key := program.RowKey{Table: t, Name: name}
	if row, known := b.Missing[key]; known {
		row.More++
		return row.Diag
	}
	b.Missing[key] = &program.MissingRow{Diag: report()}
	return b.Missing[key].Diag
}
