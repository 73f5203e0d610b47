package bind

import (
	"fmt"

	"gusset/engine/check"
	"gusset/engine/formula"
	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units/nearest"
)

// resolveAll reads every formula of the modules that are declared and binds its names. Formulas of the library are
// resolved when they are called, which may declare more; so the lists may grow while it runs.
func (rs *resolver) resolveAll() {
	rs.resolveDeclared()
	for i := 0; i < len(rs.Formulas); i++ {
		if f := rs.Formulas[i]; !f.Mod.Library || f.Mod.Waiting == nil {
			rs.resolveFormula(f)
			rs.resolveExamples(f)
		}
	}
	for done := 0; done < len(rs.Cells)+len(rs.Tables); { // what the library's formulas have asked for
		done = len(rs.Cells) + len(rs.Tables)
		rs.resolveDeclared()
	}
	for _, mod := range rs.Modules {
		for _, ch := range mod.Charts {
			rs.resolveChart(mod, ch)
		}
	}
}

// resolveDeclared reads the formulas of cells and tables, each once.
func (rs *resolver) resolveDeclared() {
	for i := 0; i < len(rs.Cells) && rs.ctx.Err() == nil; i++ {
		rs.resolveCell(rs.Cells[i])
	}
	for i := 0; i < len(rs.Tables) && rs.ctx.Err() == nil; i++ {
		rs.resolveTable(rs.Tables[i])
	}
}

func (rs *resolver) resolveCell(c *program.Cell) {
	if rs.Slots[c.Slot].Root != program.None || c.Kind == program.GivenCell || c.Unread() {
		return
	}
	if c.Kind == program.AdjustedCell {
		if rs.Slots[c.Adjust.Goal].Root == program.None {
			rs.resolveAdjust(c)
		}
		return
	}
	(&scope{resolver: rs, mod: c.Mod, cell: c}).resolveSlot(c.Slot, formulaOf(c.Node))
}

// resolveSlot reads the formula of a slot.
func (sc *scope) resolveSlot(s int32, w text.Word) {
	root, diag := sc.resolveText(w)
	sc.setRoot(s, root, diag)
}

// formulaOf returns the formula of a worked cell or a check.
func formulaOf(n text.Node) text.Word {
	if check, ok := n.(*text.Check); ok {
		return check.Condition
	}
	return n.(*text.Cell).Formula()
}

// resolveAdjust reads the bounds and both sides of an adjusted cell.
func (rs *resolver) resolveAdjust(c *program.Cell) {
	n := c.Node.(*text.Adjust)
	f := c.Adjust
	diag := -1
	for _, part := range []struct {
		slot   int32
		w      text.Word
		number bool // it may be a workshop number in the cell's unit
	}{{f.Lo, n.From, true}, {f.Hi, n.To, true}, {f.Left, n.Left, false}, {f.Right, n.Right, false}} {
		sc := &scope{resolver: rs, mod: c.Mod}
		if !part.number || !sc.resolveNumber(part.slot, part.w, c.Show) {
			sc.resolveSlot(part.slot, part.w)
		}
		if wrong, broken := rs.Broken.At(part.slot); broken {
			diag = wrong
		}
	}
	left := rs.Add(program.Node{Op: program.OpSlot, A: f.Left, From: n.Left.Span.Start, To: n.Left.Span.End})
	right := rs.Add(program.Node{Op: program.OpSlot, A: f.Right, From: n.Right.Span.Start, To: n.Right.Span.End})
	rs.Slots[f.Goal].Root = rs.Add(program.Node{
		Op: program.OpSub, A: left, B: right, From: n.Left.Span.Start, To: n.Right.Span.End,
	})
	rs.Broken.By(c.Slot, diag)
}

// resolveNumber makes a slot of an end of an adjusted cell's range, if that is a workshop number, in the cell's unit
// where it has none of its own.
func (sc *scope) resolveNumber(s int32, w text.Word, sh *program.Show) bool {
	num, err := sc.mod.Units.ParseNumber(w.Text, sh.Unit)
	if err != nil {
		return false
	}
	sc.Slots[s].Root = sc.addQuantity(num.SI, num.Unit, w.Span)
	if num.HasUnit && num.Unit.Dim() != sh.Unit.Dim() {
		sc.BreakSlot(s, sc.unfitting(sc.mod, w.Span, num, sh, true))
	}
	return true
}

func (rs *resolver) resolveTable(t *program.Table) {
	if t.List || t.Headless {
		return
	}
	for i, c := range t.Cols {
		if c.Worked != nil {
			if c.Root != program.None {
				continue
			}
			root, diag := (&scope{resolver: rs, mod: t.Mod, own: t}).resolveText(c.Worked.Formula())
			c.Root = root
			for row := range t.RowName {
				rs.setRoot(c.Base+int32(row), root, diag)
			}
			continue
		}
		for row := range t.Node.Rows {
			if i > 0 {
				rs.resolveEntry(t, c, i, row)
			}
		}
	}
}

func (rs *resolver) resolveEntry(t *program.Table, c *program.Column, i, row int) {
	s := c.Base + int32(row)
	if v := t.Node.Rows[row].Values[i-1]; v.Kind == text.FormulaValue && rs.Slots[s].Root == program.None {
		(&scope{resolver: rs, mod: t.Mod, own: t}).resolveSlot(s, v.Word)
	}
}

// resolveText reads a formula and binds its names. Diag is the number of the first Diag about it, or -1. Of a
// formula that cannot be read as it is typed, the names are looked up all the same, so that all that is wrong
// with them is told at once.
func (sc *scope) resolveText(w text.Word) (root int32, diag int) {
	sc.diag = -1
	if sc.formulaSize += len(w.Text); sc.formulaSize > maxFormulas {
		root = sc.wrong(w.Span, text.Diag{
			Code: "formulas-large", Msg: fmt.Sprintf("the formulas of a project may have %d MiB together", maxFormulas>>20),
			Hint: "a worked column has one formula for all of its rows",
		})
		return root, sc.diag
	}
	tree, mistakes := formula.Parse(w.Text, w.Span.Start)
	if len(mistakes) > 0 {
		if d, meant := sc.hintColon(w); meant {
			root = sc.wrong(w.Span, d)
			return root, sc.diag
		}
	}
	for i, d := range mistakes {
		if diag := sc.Report(sc.mod, d); i == 0 {
			sc.diag = diag
		}
	}
	root = sc.resolve(tree)
	if len(mistakes) > 0 { // what the rest measures would be a guess
		root = sc.addBroken(w.Span)
	}
	return root, sc.diag
}

// hintColon tells, of a formula that cannot be read, that it is a given value: 4 ft 2 in.
func (sc *scope) hintColon(w text.Word) (text.Diag, bool) {
	if sc.cell == nil || !w.Given() {
		return text.Diag{}, false
	}
	n, ok := sc.cell.Node.(*text.Cell)
	if !ok {
		return text.Diag{}, false
	}
	if _, err := sc.mod.Units.ParseNumber(w.Text, sc.cell.Show.Unit); err != nil {
		return text.Diag{}, false
	}
	return text.Diag{
		Code: "given-mark", Msg: "a given value has a colon, not an =", Hint: check.GivenHint(n, w.Text),
	}, true
}

// resolveChart makes sure that a chart's table and columns are there.
func (rs *resolver) resolveChart(mod *program.Module, ch *text.Chart) {
	r := mod.Names[ch.Table.Text]
	if r.Kind != program.TableRef {
		d := text.Diag{Code: "unknown-table", Span: ch.Table.Span, Msg: "unknown table " + ch.Table.Text}
		if rs.Looked.Allow(len(mod.Names)) {
			if near, ok := nearest.Word(ch.Table.Text, rs.tableNames(mod)); ok {
				d.Hint = fmt.Sprintf("is it %s?", near)
			}
		}
		rs.Report(mod, d)
		return
	}
	if rs.points += len(rs.Tables[r.Num].RowName) * (1 + len(ch.Ys)); rs.points > maxPoints {
		rs.Report(mod, text.Diag{
			Code: "chart-points", Span: ch.Title.Span,
			Msg:  fmt.Sprintf("the charts of a project may draw %d points at most", maxPoints),
			Hint: "make the steps of the table larger, or leave this chart out",
		})
		rs.Undrawn[ch] = true
		return
	}
	for _, w := range append([]text.Word{ch.X}, ch.Ys...) {
		switch t := rs.Tables[r.Num]; {
		case t.Column(w.Text) != nil:
		case t.Lost != program.None: // the line that it is on may be the one that could not be read
			rs.Undrawn[ch] = true
			return
		default:
			rs.Report(mod, rs.UnknownColumn(t, w, &rs.Looked))
		}
	}
	for _, path := range ch.Marks {
		rs.Marked[ch] = append(rs.Marked[ch], markSlot(rs, mod, path))
	}
}

// markSlot returns the slot that a mark of a picture names; None, which is reported, where there is none.
func markSlot(rs *resolver, mod *program.Module, path text.Path) int32 {
	at, mistake := rs.Resolve(mod, path, program.Purpose{Effort: &rs.Looked})
	slot, single := at.Slot()
	switch _, lost := at.Unread(); {
	case mistake == nil && lost:
		return program.None
	case mistake == nil && !single:
		mistake = rs.NotOneValue(at, path)
	}
	if mistake == nil {
		return slot
	}
	if !mistake.Reported {
		rs.Report(mod, mistake.Diag)
	}
	return program.None
}

func (rs *resolver) tableNames(mod *program.Module) []string {
	var names []string
	for n, r := range mod.Names {
		if r.Kind == program.TableRef {
			names = append(names, n)
		}
	}
	return program.Sorted(names)
}
