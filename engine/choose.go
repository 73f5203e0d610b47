package engine

import (
	"fmt"
	"gusset/sheets/text"
	"math"
)

// readChoices finds out what the cells and columns that have choices may be, and refuses those that are something else.
// It goes on where it ended the last time: the library declares more while formulas are resolved.
func (m *Program) readChoices() {
	for ; m.chosen.cells < len(m.cells); m.chosen.cells++ {
		c := m.cells[m.chosen.cells]
		n, ok := c.node.(*text.Cell)
		if !ok || n.Unit.Choice == nil {
			continue
		}
		c.choices = m.choicesOf(c.mod, n.Unit.Choice)
		if n.IsGiven() {
			m.chooseGiven(c.mod, c.slot, n.Given, c.choices)
		}
	}
	for ; m.chosen.tables < len(m.tables); m.chosen.tables++ {
		t := m.tables[m.chosen.tables]
		if t.list || len(t.cols) == 0 {
			continue
		}
		for i, h := range t.node.Head {
			if h.Unit.Choice == nil || i >= len(t.cols) {
				continue
			}
			c := t.cols[i]
			c.choices = m.choicesOf(t.mod, h.Unit.Choice)
			for row, r := range t.node.Rows {
				if i-1 < len(r.Values) {
					m.chooseGiven(t.mod, c.base+int32(row), r.Values[i-1], c.choices)
				}
			}
		}
	}
}

// chooseGiven refuses a given text that is not among the choices.
func (m *Program) chooseGiven(mod *module, s int32, v text.Value, of *choiceSet) {
	number := m.texts.Add(v.Word.Text)
	if m.isBroken(s) || v.Kind != text.TextValue || of.allows(number) {
		return
	}
	report := func() int { return m.report(mod, m.unknownChoice(v.Word.Text, v.Word.Span, m.slotName(s), of)) }
	if of.table == nil {
		m.breakSlot(s, report())
	} else {
		m.breakSlot(s, m.sayMissing(of.table, number, report))
	}
	m.inputs[s] = math.NaN()
}

// choiceText is what a tag says of whose rows there are to choose from, in one sheet.
type choiceText struct {
	mod  *module
	rows string
}

// choicesOf returns what a tag lists; what is wrong with it is said once.
func (m *Program) choicesOf(mod *module, c *text.Choice) *choiceSet {
	if of, known := m.choiceSets[c]; known {
		return of
	}
	if m.choiceSets == nil {
		m.choiceSets, m.choiceRowSets = map[*text.Choice]*choiceSet{}, map[choiceText]*choiceSet{}
	}
	same := choiceText{mod, c.Rows.Text}
	if of, known := m.choiceRowSets[same]; known && c.Rows.Given() {
		m.choiceSets[c] = of
		return of
	}
	of := &choiceSet{has: map[int32]bool{}}
	m.choiceSets[c] = of
	for _, w := range c.Texts {
		of.add(m, w.Text)
	}
	if !c.Rows.Given() {
		return of
	}
	t, condition := m.choiceRows(mod, c.Rows)
	if t == nil {
		of.lost = true
		return of
	}
	if m.choosing += len(t.rowName); m.choosing > maxChoosing {
		m.report(mod, text.Diag{Code: "choices-many", Span: c.Rows.Span, Msg: fmt.Sprintf("the choices of a project may look through %d rows at most", maxChoosing), Hint: "give what has the same choices the same words in its brackets"})
		of.lost = true
		return of
	}
	m.choiceRowSets[same] = of
	of.table = t
	of.lost = t.lost != none // a row that could not be read may be the one that is meant
	for row, name := range t.rowName {
		if condition == none || m.chosenRow(condition, int32(row)) == 1 {
			of.add(m, m.texts.At(name))
		}
	}
	return of
}

// choiceRows reads whose rows may be chosen, and the condition under which, none where all may. It returns no table after
// saying what is wrong.
func (m *Program) choiceRows(mod *module, rows text.Word) (t *table, condition int32) {
	root, said := m.resolveText(&scope{mod: mod, quotable: true}, rows)
	n := m.nodes[root]
	condition = none
	if n.op == OpKeep {
		condition, n = n.b, m.nodes[n.a]
	}
	switch {
	case said >= 0 || n.op == OpSlot && m.isBroken(n.a):
		return nil, none // it has been said
	case n.op != OpRows || m.tables[n.a].ranged:
		m.report(mod, text.Diag{Code: "choice-rows", Span: rows.Span, Msg: "these are not rows with names", Hint: "name a table, filter(TABLE, CONDITION), or texts in quotes"})
		return nil, none
	case condition != none && !m.isFixed(mod, condition):
		return nil, none
	}
	return m.tables[n.a], condition
}

// isFixed reports whether a condition is known before anything is worked out: it names given columns and fixed values only.
// Else it says so.
func (m *Program) isFixed(mod *module, root int32) bool {
	cx := &checking{mod: mod, said: -1}
	if got := m.check(cx, root); cx.said < 0 && (got.kind != truth && got.kind != unknown || got.list) {
		m.fault(cx, root, text.Diag{Code: "check-truth", Msg: "rows are chosen by a condition, but this gives " + got.String(), Hint: `for example .kind == "sheet"`})
	}
	m.walk(root, func(n *node) {
		if cx.said >= 0 || n.op != OpEntry && n.op != OpSlot && n.op != OpOwn && n.op != OpColumn && n.op != OpLookup && n.op != OpFold && n.op != OpCall && n.op != OpInterp {
			return
		}
		fixed := n.op == OpEntry && m.columns[n.a].worked == nil || n.op == OpSlot && m.moduleOf(n.a).library && m.slots[n.a].kind == given
		if !fixed {
			cx.said = m.report(mod, text.Diag{Code: "choice-condition", Span: text.Span{Start: n.from, End: n.to}, Msg: "choices are known before anything is worked out, so only given columns of the table can decide them", Hint: "compare a given column with a fixed value"})
		}
	})
	return cx.said < 0
}

// chosenRow works out the condition of a choice for a row: 1 if it holds. What is not given, or worked out, makes no choice.
func (m *Program) chosenRow(i, row int32) float64 {
	n := m.nodes[i]
	switch n.op {
	case OpConst, OpTruth:
		return n.val
	case OpText:
		return float64(n.a)
	case OpEntry:
		return m.inputs[m.columns[n.a].base+row]
	case OpSlot:
		return m.inputs[n.a]
	}
	a := m.chosenRow(n.a, row)
	switch n.op {
	case OpNot, OpNeg, OpAbs, OpSqrt:
		return m.apply(n, a, 0, m.texts)
	case OpFunc:
		if n.b < 0 {
			return m.apply(n, a, 0, m.texts)
		}
	case OpAnd, OpOr: // one side may be enough, whatever the other lacks
		decisive := truthValue(n.op == OpOr)
		if b := m.chosenRow(n.b, row); b == decisive || isNumber(a) && a != decisive {
			return b
		}
		return a
	case OpGiven:
		if !isNumber(a) {
			return m.chosenRow(n.b, row)
		}
		return a
	case OpChoose:
		switch a {
		case 1:
			return m.chosenRow(n.b, row)
		case 0:
			return m.chosenRow(n.c, row)
		}
		return math.NaN()
	}
	b := m.chosenRow(n.b, row)
	if !isNumber(a) || !isNumber(b) {
		return math.NaN()
	}
	return m.apply(n, a, b, m.texts)
}

// chosenParam makes the condition that a text given to a formula is one of those that are listed.
func (m *Program) chosenParam(k int32, p param) int32 {
	from, to := p.name.Span.Start, p.name.Span.End
	root := none
	for _, t := range p.choices.texts {
		is := m.add(node{
			op: OpEqual, from: from, to: to,
			a: m.add(node{op: OpParam, a: k, from: from, to: to}), b: m.add(node{op: OpText, a: m.texts.Add(t), from: from, to: to}),
		})
		if root != none {
			is = m.add(node{op: OpOr, a: root, b: is, from: from, to: to})
		}
		root = is
	}
	return root
}
