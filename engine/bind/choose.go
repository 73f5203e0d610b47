package bind

import (
	"fmt"
	"math"
	"slices"

	"gusset/engine/check"
	"gusset/engine/program"
	"gusset/sheets/text"
)

// readChoices finds out what the cells and columns that have choices may be, and refuses those that are something else.
// It goes on where it ended the last time: the library declares more while formulas are resolved.
func (rs *resolver) readChoices() {
	for ; rs.chosen.cells < len(rs.Cells); rs.chosen.cells++ {
		c := rs.Cells[rs.chosen.cells]
		n, ok := c.Node.(*text.Cell)
		if !ok || n.Unit.Choice == nil {
			continue
		}
		c.Choices = rs.choicesOf(c.Mod, n.Unit.Choice)
		if n.IsGiven() {
			rs.chooseGiven(c.Mod, c.Slot, n.Value, c.Choices)
		}
	}
	for ; rs.chosen.tables < len(rs.Tables); rs.chosen.tables++ {
		t := rs.Tables[rs.chosen.tables]
		if t.List || len(t.Cols) == 0 {
			continue
		}
		for i, h := range t.Node.Head {
			if h.Unit.Choice == nil {
				continue
			}
			c := t.Cols[i]
			c.Choices = rs.choicesOf(t.Mod, h.Unit.Choice)
			for row, r := range t.Node.Rows {
				rs.chooseGiven(t.Mod, c.Base+int32(row), r.Values[i-1], c.Choices)
			}
		}
	}
}

// chooseGiven refuses a given text that is not among the choices.
func (rs *resolver) chooseGiven(mod *program.Module, s int32, v text.Value, of *program.ChoiceSet) {
	number := rs.Texts.Add(v.Word.Text)
	if rs.IsBroken(s) || v.Kind != text.TextValue || of.Allows(number) {
		return
	}
	rs.BreakSlot(s, rs.reportMissing(of.Table, number, func() int {
		return rs.Report(mod, rs.UnknownChoice(v.Word.Text, v.Word.Span, rs.SlotName(s), of))
	}))
	rs.Inputs[s] = math.NaN()
}

// choiceText is what a tag says of whose rows there are to choose from, in one sheet.
type choiceText struct {
	mod  *program.Module
	rows string
}

// choicesOf returns what a tag lists; what is wrong with it is reported once.
func (rs *resolver) choicesOf(mod *program.Module, c *text.Choice) *program.ChoiceSet {
	same := choiceText{mod, c.Rows.Text}
	if of, known := rs.choiceSets[same]; known {
		return of
	}
	of := &program.ChoiceSet{Has: map[int32]bool{}}
	for _, w := range c.Texts {
		of.Add(rs.Program, w.Text)
	}
	if !c.Rows.Given() {
		return of
	}
	t, condition := rs.choiceRows(mod, c.Rows)
	if t == nil {
		of.Lost = true
		return of
	}
	if rs.choosing += len(t.RowName); rs.choosing > maxChoosing {
		rs.Report(mod, text.Diag{
			Code: "choices-many", Span: c.Rows.Span,
			Msg:  fmt.Sprintf("the choices of a project may look through %d rows at most", maxChoosing),
			Hint: "give what has the same choices the same words in its brackets",
		})
		of.Lost = true
		return of
	}
	rs.choiceSets[same] = of
	of.Table, of.Rows, of.Condition = t, c.Rows.Text, condition
	rs.decide(of)
	of.Lost = t.Lost != program.None // a row that could not be read may be the one that is meant
	for row, name := range t.RowName {
		if condition == program.None || program.ChosenRow(rs.Program, condition, int32(row), rs.asItStands) {
			of.Add(rs.Program, rs.Texts.At(name))
		}
	}
	return of
}

// asItStands returns what a given slot holds in the sheet as it stands.
func (rs *resolver) asItStands(s int32) float64 { return rs.Inputs[s] }

// decide notes which columns decide about choices.
func (rs *resolver) decide(of *program.ChoiceSet) {
	if of.Condition == program.None {
		return
	}
	rs.Walk(of.Condition, func(n *program.Node) {
		if n.Op != program.OpEntry {
			return
		}
		if c := rs.Columns[n.A]; !slices.Contains(c.Decides, of) {
			c.Decides = append(c.Decides, of)
		}
	})
}

// choiceRows reads whose rows may be chosen, and the condition under which, none where all may. It returns no
// table after saying what is wrong.
func (rs *resolver) choiceRows(mod *program.Module, rows text.Word) (t *program.Table, condition int32) {
	root, diag := (&scope{resolver: rs, mod: mod, quotable: true}).resolveText(rows)
	n := rs.Nodes[root]
	condition = program.None
	if n.Op == program.OpKeep {
		condition, n = n.B, rs.Nodes[n.A]
	}
	switch {
	case diag >= 0 || n.Op == program.OpSlot && rs.IsBroken(n.A):
		return nil, program.None // it has been reported
	case n.Op != program.OpRows || rs.Tables[n.A].Ranged:
		rs.Report(mod, text.Diag{
			Code: "choice-rows", Span: rows.Span, Msg: "these are not rows with names",
			Hint: "name a table, filter(TABLE, CONDITION), or texts in quotes",
		})
		return nil, program.None
	case condition != program.None && !rs.isFixed(mod, condition):
		return nil, program.None
	}
	return rs.Tables[n.A], condition
}

// isFixed reports whether a condition is known before anything is worked out: it names given columns and fixed
// values only. Else it says so.
func (rs *resolver) isFixed(mod *program.Module, root int32) bool {
	var open program.Node
	if rs.Any(root, func(n *program.Node) bool { open = *n; return isOpen(rs.Program, n) }) {
		rs.Report(mod, text.Diag{
			Code: "choice-condition", Span: text.Span{Start: open.From, End: open.To},
			Msg:  "choices are known before anything is worked out, so only given columns of the table can decide them",
			Hint: "compare a given column with a fixed value",
		})
		return false
	}
	cx := check.One(rs.Program, mod)
	if got := cx.Check(root); cx.Diag < 0 && (got.Kind != program.Boolean && got.Kind != program.Unknown || got.List) {
		cx.Fault(root, text.Diag{
			Code: "check-truth", Msg: "rows are chosen by a condition, but this gives " + got.String(),
			Hint: `for example .kind == "sheet"`,
		})
	}
	return cx.Diag < 0
}

// isOpen reports whether a node has a value only once something is worked out.
func isOpen(p *program.Program, n *program.Node) bool {
	switch n.Op {
	case program.OpEntry:
		return p.Columns[n.A].Worked != nil
	case program.OpSlot:
		return !p.ModuleOf(n.A).Library || p.Slots[n.A].Kind != program.Given
	case program.OpOwn, program.OpColumn, program.OpLookup, program.OpFold, program.OpCall, program.OpInterp,
		program.OpPoints, program.OpStock, program.OpSpread:
		return true
	}
	return false
}

// chosenParam makes the condition that a text given to a formula is one of those that are listed.
func (rs *resolver) chosenParam(k int32, p program.Param) int32 {
	from, to := p.Name.Span.Start, p.Name.Span.End
	root := program.None
	for _, t := range p.Choices.Texts {
		is := rs.Add(program.Node{
			Op: program.OpEqual, From: from, To: to,
			A: rs.Add(program.Node{Op: program.OpParam, A: k, From: from, To: to}),
			B: rs.Add(program.Node{Op: program.OpText, A: rs.Texts.Add(t), From: from, To: to}),
		})
		if root != program.None {
			is = rs.Add(program.Node{Op: program.OpOr, A: root, B: is, From: from, To: to})
		}
		root = is
	}
	return root
}
