package bind

import (
	"fmt"
	"math"
	"sort"

	"gusset/engine/program"
	"gusset/sheets/text"
)

// declareAll gives every statement of a module its slots.
func (b *binder) declareAll(mod *program.Module) {
	mod.Waiting = nil
	b.makeRoom(mod)
	b.declareUnits(mod)
	for _, n := range mod.File.Nodes {
		switch n := n.(type) {
		case *text.Title:
			mod.Title = n.Name.Text
		case *text.Page:
			b.declarePage(mod, n)
		case *text.Caution:
			mod.Cautions = append(mod.Cautions, n.Text)
		case *text.Chart:
			mod.Charts = append(mod.Charts, n)
			mod.Order = append(mod.Order, program.Ref{Kind: program.ChartRef, Num: int32(len(mod.Charts) - 1), Page: mod.Page})
		default:
			b.declareNode(mod, n)
		}
	}
}

func (b *binder) declarePage(mod *program.Module, n *text.Page) {
	mod.Page = int32(len(mod.Pages))
	mod.Pages = append(mod.Pages, n.Name)
	if first, twice := mod.PageAt[n.Name.Text]; twice {
		b.Report(mod, text.Diag{
			Code: "page-twice", Span: n.Name.Span, Msg: fmt.Sprintf("there is a page %s already", n.Name.Text),
			Notes: []string{setOn(mod, mod.Pages[first].Span)},
			Hint:  "give this one another name, or move its lines there",
		})
		return
	}
	mod.PageAt[n.Name.Text] = mod.Page
}

// declareNode declares a cell, a check or a table.
func (b *binder) declareNode(mod *program.Module, n text.Node) {
	if len(b.Slots) > maxSlots {
		return
	}
	switch n := n.(type) {
	case *text.Cell:
		b.declareCell(mod, n)
	case *text.Check:
		c := b.newCell(mod, n, n.Name, n.Note.Text, program.CheckCell, program.Worked)
		c.Show = program.PlainShow
	case *text.Adjust:
		b.declareAdjust(mod, n)
	case *text.Table:
		b.declareTable(mod, n)
	case *text.Bad:
		b.declareBad(mod, n)
	}
	if len(b.Slots) > maxSlots {
		b.tooManyValues(mod, n.Extent())
	}
}

// declareBad binds the name that a line with a mistake was to set, so that those that use it wait instead of calling it
// unknown. A cell, and a check even without a name, is shown as one that has no result.
func (b *binder) declareBad(mod *program.Module, n *text.Bad) {
	name := n.Name
	switch {
	case n.Kind == text.BadCheck && !name.Given():
		name = text.Word{Text: fmt.Sprintf("line %d", mod.Src.Position(n.Span.Start).Line), Span: n.Span}
	case !name.Given():
		return
	}
	if old, taken := mod.Names[name.Text]; taken && n.Kind != text.BadCheck {
		b.breakCell(old, b.diagAbout(mod, n.Extent()))
		return
	}
	c := b.bindUnread(mod, n, name)
	b.BreakSlot(c.Slot, b.diagAbout(mod, n.Extent()))
	switch n.Kind {
	case text.BadCheck:
		c.Kind = program.BadCheck
	case text.BadStatement:
		return
	}
	mod.Order = append(mod.Order, program.Ref{Kind: program.CellRef, Num: b.Slots[c.Slot].Owner, Span: name.Span})
}

// bindUnread makes a cell of a line that could not be read, and gives it the name, if that is one and is free. Its slot
// is to be broken.
func (b *binder) bindUnread(mod *program.Module, n text.Node, name text.Word) *program.Cell {
	c := b.addCell(&program.Cell{
		Mod: mod, Node: n, Name: name, Page: mod.Page, Kind: program.BadCell, Show: program.PlainShow,
	}, program.Given)
	if _, taken := mod.Names[name.Text]; !taken && text.IsName(name.Text) {
		mod.Names[name.Text] = program.Ref{Kind: program.CellRef, Num: c.Number, Span: name.Span}
	}
	return c
}

// diagAbout returns the number of the first Diag about lines that could not be read, or -1.
func (b *binder) diagAbout(mod *program.Module, at text.Span) int {
	of := b.Diags[mod.Unread.From:mod.Unread.To]
	i := sort.Search(len(of), func(i int) bool { return of[i].Span.Start >= at.Start })
	if i == len(of) || of[i].Span.Start >= at.End {
		return -1
	}
	return mod.Unread.From + i
}

// name binds a name in a module. If it is bound already it says so, and returns the number of that Diag; else
// -1. Of two cells of one name either may be meant, so that neither has a result.
func (b *binder) name(mod *program.Module, w text.Word, r program.Ref) int {
	if old, twice := mod.Names[w.Text]; twice {
		diag := b.Report(mod, text.Diag{
			Code: "name-twice", Span: w.Span, Msg: fmt.Sprintf("%s is set twice", w.Text),
			Notes: []string{setOn(mod, old.Span)},
			Hint:  "rename one of the two, or leave one out",
		})
		b.breakCell(old, diag)
		return diag
	}
	mod.Names[w.Text] = r
	return -1
}

// breakCell takes the result from a cell, if that is what a name means.
func (b *binder) breakCell(r program.Ref, diag int) {
	if r.Kind == program.CellRef {
		b.BreakSlot(b.Cells[r.Num].Slot, diag)
	}
}

// setOn tells where something was first set.
func setOn(mod *program.Module, at text.Span) string {
	return fmt.Sprintf("first set on line %d", mod.Src.Position(at.Start).Line)
}

// newSlot adds a slot without a formula.
func (b *binder) newSlot(kind program.SlotKind, owner int32) int32 {
	b.Slots = append(b.Slots, program.Slot{Kind: kind, Root: program.None, Row: program.None, Owner: owner})
	b.Inputs = append(b.Inputs, math.NaN())
	return int32(len(b.Slots) - 1)
}

// hiddenSlot adds a slot for something worked out on the way.
func (b *binder) hiddenSlot(mod *program.Module, root int32) int32 {
	s := b.newSlot(program.Worked, mod.Number)
	b.Slots[s].Hidden, b.Slots[s].Root = true, root
	return s
}

// setRoot gives a slot its formula, and breaks it if the formula has a mistake: Diag number diag, -1 if it has none.
func (b *binder) setRoot(s, root int32, diag int) {
	b.Slots[s].Root = root
	b.Broken.By(s, diag)
}

// tooManyValues reports what goes beyond the number of values that a project may hold.
func (b *binder) tooManyValues(mod *program.Module, at text.Span) int {
	return b.Report(mod, text.Diag{
		Code: "sheet-large", Span: at, Msg: fmt.Sprintf("a project may hold %d values at most", maxSlots),
	})
}
