package bind

import (
	"fmt"
	"math"
	"strings"

	"gusset/engine/check"
	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

func (b *binder) declareCell(mod *program.Module, n *text.Cell) {
	kind, sk := program.WorkedCell, program.Worked
	if n.IsGiven() {
		kind, sk = program.GivenCell, program.Given
	}
	c := b.newCell(mod, n, n.Name, n.Note.Text, kind, sk)
	sh, ok := b.readTag(mod, n.Unit)
	c.Show = sh
	if !ok {
		b.BreakSlot(c.Slot, len(b.Diags)-1)
		return
	}
	if !n.IsGiven() {
		return
	}
	value, t, said := b.readGiven(mod, n.Value, n.Unit.Given(), sh)
	if n.Unit.Choice != nil {
		t, said = program.WritingType, b.onlyText(mod, n.Value, said)
	}
	b.markGuess(c.Slot, n.Value.Guess().Given())
	b.CellTypes[c.Number] = t
	b.Inputs[c.Slot] = value
	if said >= 0 {
		b.BreakSlot(c.Slot, said)
	}
}

func (b *binder) newCell(
	mod *program.Module, n text.Node, name text.Word, note string, kind program.CellKind, sk program.SlotKind,
) *program.Cell {
	c := b.addCell(&program.Cell{Mod: mod, Node: n, Name: name, Note: note, Page: mod.Page, Kind: kind}, sk)
	r := program.Ref{Kind: program.CellRef, Num: c.Number, Span: name.Span}
	if said := b.name(mod, name, r); said >= 0 {
		b.BreakSlot(c.Slot, said)
	}
	mod.Order = append(mod.Order, r)
	return c
}

// addCell numbers a cell and gives it a slot.
func (b *binder) addCell(c *program.Cell, sk program.SlotKind) *program.Cell {
	c.Number = int32(len(b.Cells))
	c.Slot = b.newSlot(sk, c.Number)
	b.Cells = append(b.Cells, c)
	b.CellTypes = append(b.CellTypes, program.Type{})
	return c
}

// onlyText refuses what is not a text where there are choices.
func (b *binder) onlyText(mod *program.Module, v text.Value, said int) int {
	if said >= 0 || v.Kind == text.NoValue || v.Kind == text.TextValue {
		return said
	}
	return b.Report(mod, text.Diag{
		Code: "choice-kind", Span: v.Word.Span, Msg: "what has choices is a text in quotes",
		Hint: text.Quote(v.Word.Text),
	})
}

func (b *binder) declareAdjust(mod *program.Module, n *text.Adjust) {
	c := b.newCell(mod, n, n.Name, n.Note.Text, program.AdjustedCell, program.Adjusted)
	sh, ok := b.readTag(mod, n.Unit)
	c.Show = sh
	b.CellTypes[c.Number] = sh.Typ()
	c.Adjust = &program.Adjust{}
	f := c.Adjust
	for _, s := range []*int32{&f.Lo, &f.Hi, &f.Left, &f.Right, &f.Goal} {
		*s = b.hiddenSlot(mod, program.None)
	}
	if !ok {
		b.BreakSlot(c.Slot, len(b.Diags)-1)
	}
}

// readGiven reads a given value. Said is the number of the Diag that tells of a mistake, or -1.
func (b *binder) readGiven(
	mod *program.Module, v text.Value, hasUnit bool, sh *program.Show,
) (value float64, t program.Type, said int) {
	if sh == program.UnreadShow {
		return math.NaN(), program.Type{}, -1
	}
	t = program.TypeOf(sh.Unit)
	if !hasUnit {
		t = program.Type{}
	}
	if v.GiveOrTake().Given() {
		return math.NaN(), t, b.Report(mod, text.Diag{
			Code: "not-built", Span: v.GiveOrTake().Span,
			Msg:  "how far off a value may be (±) is not taken into account yet",
			Hint: "leave out the ± and what follows it, or keep it in the note",
		})
	}
	withUnit := func(is, hint string) (float64, program.Type, int) {
		return math.NaN(), t, b.Report(mod, text.Diag{
			Code: "text-unit", Span: v.Word.Span, Msg: fmt.Sprintf("this is %s, but the unit asks for %s", is, t), Hint: hint,
		})
	}
	switch v.Kind {
	case text.NoValue:
		return math.NaN(), t, -1
	case text.TextValue:
		if hasUnit {
			return withUnit("a text", "leave out the unit, or give a number without quotes")
		}
		return float64(b.Texts.Add(v.Word.Text)), program.WritingType, -1
	case text.YesNoValue:
		if hasUnit {
			return withUnit("yes or no", "leave out the unit, or give a number")
		}
		return program.TruthValue(v.Word.Text == "yes"), program.TruthType, -1
	}
	t = program.TypeOf(sh.Unit)
	num, err := mod.Units.ParseNumber(v.Word.Text, sh.Unit)
	if err != nil {
		return math.NaN(), t, b.reportUnits(mod, v.Word.Span, v.Word.Text, err)
	}
	if num.HasUnit && num.Unit.Dim() != sh.Unit.Dim() {
		return math.NaN(), t, b.unfitting(mod, v.Word.Span, num, sh, hasUnit)
	}
	if sh.Whole() && !program.IsWhole(num.SI) {
		return math.NaN(), t, b.notWhole(mod, v.Word.Span, num.SI)
	}
	return num.SI, t, -1
}

// notWhole reports a number with a part of one where only whole numbers can be.
func (b *binder) notWhole(mod *program.Module, at text.Span, x float64) int {
	return b.Report(mod, text.Diag{
		Code: "not-whole", Span: at,
		Msg: "without a unit and with a step of 1 this is counted in whole numbers", Hint: program.WholeHint(x),
	})
}

// unfitting reports a given value whose own unit does not fit the cell's.
func (b *binder) unfitting(mod *program.Module, at text.Span, num units.Number, sh *program.Show, hasUnit bool) int {
	d := text.Diag{Code: "unit-unfit", Span: at}
	if !hasUnit {
		d.Msg = fmt.Sprintf("this is %s, but the line names no unit", num.Unit.Dim().Describe())
		d.Hint = fmt.Sprintf("put [%s] after the name", num.Unit)
		return b.Report(mod, d)
	}
	d.Msg = fmt.Sprintf("this is %s, but [%s] is %s", num.Unit.Dim().Describe(), sh.Unit, sh.Unit.Dim().Describe())
	switch d.Hint = weightMeant(b, mod, num, sh); {
	case d.Hint == "" && !sh.Unit.Mixed():
		d.Hint = fmt.Sprintf(
			"give %s, such as %s %s", sh.Unit.Dim().Describe(), units.Format(num.SI, num.Unit, units.Step{}),
			sh.Unit,
		)
	case d.Hint == "":
		d.Hint = "give " + sh.Unit.Dim().Describe()
	}
	return b.Report(mod, d)
}

// weightMeant tells a given mass from a force: people say of both that it weighs so many ounces.
func weightMeant(b *binder, mod *program.Module, num units.Number, sh *program.Show) string {
	hint := check.WeightHint(b.Program, num.Unit.Dim(), sh.Unit.Dim())
	typed := num.Unit.String()
	other, isForce := strings.CutSuffix(typed, "f")
	if !isForce {
		other = typed + "f"
	}
	if u, err := mod.Units.Parse(other); hint == "" || err != nil || u.Dim() != sh.Unit.Dim() {
		return hint
	}
	number := units.Format(num.SI, num.Unit, units.Step{})
	mass, force := number+" "+typed, number+" "+other
	if isForce {
		mass, force = force, mass
	}
	return fmt.Sprintf("write %s %s, where that is meant: a mass is not a force, %s weigh %s", number, other, mass, force)
}
