package engine

import (
	"fmt"
	"math"
	"slices"

	"gusset/sheets/text"
)

// A total that leaves something out looks like any other. So a table of which a line could not be read is not whole, whatever
// the line was meant to be: a row, a column, the head. Nothing that goes through its rows has a result then, while the
// entries of the rows that were read keep their values. A variant of which a line could not be read is not whole either,
// and has no results at all.

// mendTable notes that a table was not read whole, because of some lines of its sheet. Diag number said tells of the first.
func (m *Program) mendTable(t *table, lines []text.Span, said int) {
	if t.lost == none {
		t.lost = m.hiddenSlot(t.mod, none)
		m.breakSlot(t.lost, said)
		m.lostOf[t.lost] = t
	}
	for _, at := range lines {
		t.mend = withLine(t.mend, t.mod.src.Position(at.Start).Line)
	}
}

// withLine puts a line among others, in their order and each once.
func withLine(lines []int, line int) []int {
	at, known := slices.BinarySearch(lines, line)
	if known {
		return lines
	}
	return slices.Insert(lines, at, line)
}

// unwhole tells why nothing goes through the rows of a table, as a fault of node i.
func (m *Program) unwhole(t *table, i int32) *fault {
	return &fault{node: i, said: true, code: "not-whole", msg: m.mendWords("the table "+m.aliasOf(t.mod)+t.name.Text, t.mod, t.mend)}
}

// mendWords says what to mend.
func (m *Program) mendWords(what string, mod *module, lines []int) string {
	s := fmt.Sprintf("%s was not read whole: mend line %d", what, lines[0])
	if more := len(lines) - 1; more > 0 {
		s += fmt.Sprintf(" and %d more", more)
	}
	if mod != m.root {
		s += " of " + mod.src.Name
	}
	return s
}

// mendVariant notes that a line of a variant, or another one that bears on it, could not be read or was refused.
func (m *Program) mendVariant(v *variant, at text.Span) {
	v.mend = withLine(v.mend, m.root.src.Position(at.Start).Line)
}

// toMend returns the variant with a mistake that a variant is or starts from; nil if there is none.
func (v *variant) toMend() *variant {
	for ; v != nil; v = v.from {
		if len(v.mend) > 0 {
			return v
		}
	}
	return nil
}

// blank takes every value away but the names of rows, when the variant in use was not read whole.
func (m *Model) blank() {
	if m.variant.toMend() == nil {
		return
	}
	for s := range m.slots {
		if s := int32(s); !m.rowName(s) {
			m.mach.Regs[s] = math.NaN()
		}
	}
}

// blankCause tells why nothing has a value in the variant in use; nil if it was read whole.
func (m *Model) blankCause(i int32) *fault {
	v := m.variant.toMend()
	if v == nil {
		return nil
	}
	return &fault{node: i, said: true, code: "not-whole", msg: m.mendWords(fmt.Sprintf("the variant %q", v.node.Name.Text), m.root, v.mend)}
}
