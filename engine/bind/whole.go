package bind

import (
	"slices"

	"gusset/engine/program"
	"gusset/sheets/text"
)

// A total that leaves something out looks like any other. So a table of which a line could not be read is not
// whole, whatever the line was meant to be: a row, a column, the head. Nothing that goes through its rows has a
// result then, while the entries of the rows that were read keep their values. A variant of which a line could
// not be read is not whole either, and has no results at all.

// mendTable notes that a table was not read whole, because of some lines of its sheet. Diag number diag tells
// of the first.
func (b *binder) mendTable(t *program.Table, lines []text.Span, diag int) {
	if t.Lost == program.None {
		t.Lost = b.hiddenSlot(t.Mod, program.None)
		b.BreakSlot(t.Lost, diag)
		b.LostOf[t.Lost] = t
	}
	for _, at := range lines {
		t.Mend = withLine(t.Mend, t.Mod.Src.Position(at.Start).Line)
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

// mendVariant notes that a line of a variant, or another one that bears on it, could not be read or was refused.
func (ld *loader) mendVariant(v *program.Variant, at text.Span) {
	v.Mend = withLine(v.Mend, ld.Root.Src.Position(at.Start).Line)
}
