package engine

import (
	"fmt"
	"gusset/sheets/text"
	"math"
)

// readChoices finds out what the cells and columns that have choices may be, and refuses those that are something else.
// It goes on where it ended the last time: the library declares more while formulas are resolved.
func (rs *resolver) readChoices() {
	for ; rs.chosen.cells < len(rs.cells); rs.chosen.cells++ {
		c := rs.cells[rs.chosen.cells]
		n, ok := c.node.(*text.Cell)
		if !ok || n.Unit.Choice == nil {
			continue
		}
		c.choices = rs.choicesOf(c.mod, n.Unit.Choice)
		if n.IsGiven() {
			rs.chooseGiven(c.mod, c.slot, n.Given, c.choices)
		}
	}
	for ; rs.chosen.tables < len(rs.tables); rs.chosen.tables++ {
		t := rs.tables[rs.chosen.tables]
		if t.list || len(t.cols) == 0 {
			continue
		}
		for i, h := range t.node.Head {
			if h.Unit.Choice == nil || i >= len(t.cols) {
				continue
			}
			c := t.cols[i]
			c.choices = rs.choicesOf(t.mod, h.Unit.Choice)
			for row, r := range t.node.Rows {
				if i-1 < len(r.Values) {
					rs.chooseGiven(t.mod, c.base+int32(row), r.Values[i-1], c.choices)
				}
			}
		}
	}
}

// chooseGiven refuses a given text that is not among the choices.
func (rs *resolver) chooseGiven(mod *module, s int32, v text.Value, of *choiceSet) {
	number := rs.texts.Add(v.Word.Text)
	if rs.isBroken(s) || v.Kind != text.TextValue || of.allows(number) {
		return
	}
	report := func() int { return rs.report(mod, rs.unknownChoice(v.Word.Text, v.Word.Span, rs.slotName(s), of)) }
	if of.table == nil {
		rs.breakSlot(s, report())
	} else {
		rs.breakSlot(s, rs.sayMissing(of.table, number, report))
	}
	rs.inputs[s] = math.NaN()
}

// choiceText is what a tag says of whose rows there are to choose from, in one sheet.
type choiceText struct {
	mod  *module
	rows string
}

// choicesOf returns what a tag lists; what is wrong with it is said once.
func (rs *resolver) choicesOf(mod *module, c *text.Choice) *choiceSet {
	if of, known := rs.choiceSets[c]; known {
		return of
	}
	if rs.choiceSets == nil {
		rs.choiceSets, rs.choiceRowSets = map[*text.Choice]*choiceSet{}, map[choiceText]*choiceSet{}
	}
	same := choiceText{mod, c.Rows.Text}
	if of, known := rs.choiceRowSets[same]; known && c.Rows.Given() {
		rs.choiceSets[c] = of
		return of
	}
	of := &choiceSet{has: map[int32]bool{}}
	rs.choiceSets[c] = of
	for _, w := range c.Texts {
		of.add(rs.Program, w.Text)
	}
	if !c.Rows.Given() {
		return of
	}
	t, condition := rs.choiceRows(mod, c.Rows)
	if t == nil {
		of.lost = true
		return of
	}
	if rs.choosing += len(t.rowName); rs.choosing > maxChoosing {
		rs.report(mod, text.Diag{Code: "choices-many", Span: c.Rows.Span, Msg: fmt.Sprintf("the choices of a project may look through %d rows at most", maxChoosing), Hint: "give what has the same choices the same words in its brackets"})
		of.lost = true
		return of
	}
	rs.choiceRowSets[same] = of
	of.table = t
	of.lost = t.lost != none // a row that could not be read may be the one that is meant
	for row, name := range t.rowName {
		if condition == none || rs.chosenRow(condition, int32(row)) == 1 {
			of.add(rs.Program, rs.texts.At(name))
		}
	}
	return of
}

// choiceRows reads whose rows may be chosen, and the condition under which, none where all may. It returns no table after
// saying what is wrong.
func (rs *resolver) choiceRows(mod *module, rows text.Word) (t *table, condition int32) {
	root, said := (&scope{resolver: rs, mod: mod, quotable: true}).resolveText(rows)
	n := rs.nodes[root]
	condition = none
	if n.op == OpKeep {
		condition, n = n.b, rs.nodes[n.a]
	}
	switch {
	case said >= 0 || n.op == OpSlot && rs.isBroken(n.a):
		return nil, none // it has been said
	case n.op != OpRows || rs.tables[n.a].ranged:
		rs.report(mod, text.Diag{Code: "choice-rows", Span: rows.Span, Msg: "these are not rows with names", Hint: "name a table, filter(TABLE, CONDITION), or texts in quotes"})
		return nil, none
	case condition != none && !rs.isFixed(mod, condition):
		return nil, none
	}
	return rs.tables[n.a], condition
}

// isFixed reports whether a condition is known before anything is worked out: it names given columns and fixed values only.
// Else it says so.
func (rs *resolver) isFixed(mod *module, root int32) bool {
	cx := &checking{checker: &checker{Program: rs.Program}, mod: mod, said: -1}
	if got := cx.check(root); cx.said < 0 && (got.kind != truth && got.kind != unknown || got.list) {
		cx.fault(root, text.Diag{Code: "check-truth", Msg: "rows are chosen by a condition, but this gives " + got.String(), Hint: `for example .kind == "sheet"`})
	}
	rs.walk(root, func(n *node) {
		if cx.said >= 0 || n.op != OpEntry && n.op != OpSlot && n.op != OpOwn && n.op != OpColumn && n.op != OpLookup && n.op != OpFold && n.op != OpCall && n.op != OpInterp {
			return
		}
		fixed := n.op == OpEntry && rs.columns[n.a].worked == nil || n.op == OpSlot && rs.moduleOf(n.a).library && rs.slots[n.a].kind == given
		if !fixed {
			cx.said = rs.report(mod, text.Diag{Code: "choice-condition", Span: text.Span{Start: n.from, End: n.to}, Msg: "choices are known before anything is worked out, so only given columns of the table can decide them", Hint: "compare a given column with a fixed value"})
		}
	})
	return cx.said < 0
}

// chosenRow works out the condition of a choice for a row: 1 if it holds. What is not given, or worked out, makes no choice.
func (rs *resolver) chosenRow(i, row int32) float64 {
	n := rs.nodes[i]
	switch n.op {
	case OpConst, OpTruth:
		return n.val
	case OpText:
		return float64(n.a)
	case OpEntry:
		return rs.inputs[rs.columns[n.a].base+row]
	case OpSlot:
		return rs.inputs[n.a]
	}
	a := rs.chosenRow(n.a, row)
	switch n.op {
	case OpNot, OpNeg, OpAbs, OpSqrt:
		return rs.apply(n, a, 0, rs.texts)
	case OpFunc:
		if n.b < 0 {
			return rs.apply(n, a, 0, rs.texts)
		}
	case OpAnd, OpOr: // one side may be enough, whatever the other lacks
		decisive := truthValue(n.op == OpOr)
		if b := rs.chosenRow(n.b, row); b == decisive || isNumber(a) && a != decisive {
			return b
		}
		return a
	case OpGiven:
		if !isNumber(a) {
			return rs.chosenRow(n.b, row)
		}
		return a
	case OpChoose:
		switch a {
		case 1:
			return rs.chosenRow(n.b, row)
		case 0:
			return rs.chosenRow(n.c, row)
		}
		return math.NaN()
	}
	b := rs.chosenRow(n.b, row)
	if !isNumber(a) || !isNumber(b) {
		return math.NaN()
	}
	return rs.apply(n, a, b, rs.texts)
}

// chosenParam makes the condition that a text given to a formula is one of those that are listed.
func (rs *resolver) chosenParam(k int32, p param) int32 {
	from, to := p.name.Span.Start, p.name.Span.End
	root := none
	for _, t := range p.choices.texts {
		is := rs.add(node{
			op: OpEqual, from: from, to: to,
			a: rs.add(node{op: OpParam, a: k, from: from, to: to}), b: rs.add(node{op: OpText, a: rs.texts.Add(t), from: from, to: to}),
		})
		if root != none {
			is = rs.add(node{op: OpOr, a: root, b: is, from: from, to: to})
		}
		root = is
	}
	return root
}
