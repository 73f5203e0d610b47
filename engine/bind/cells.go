package bind

import (
	"errors"
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
	if b.readShow(c, n.Unit) < 0 && n.IsGiven() {
		b.giveCell(c, n)
	}
}

// giveCell gives a cell the value that its line has.
func (b *binder) giveCell(c *program.Cell, n *text.Cell) {
	g := b.readGiven(c.Mod, n.Value, n.Unit.Given(), c.Show)
	if n.Unit.Choice != nil {
		g.Type, g.Diag = program.TextType, b.onlyText(c.Mod, n.Value, g.Diag)
	}
	b.CellTypes[c.Number] = g.Type
	b.give(c.Slot, g, n.Value.Guess().Given())
}

// give puts a value into a given slot, and what it says of how sure it is.
func (b *binder) give(s int32, g program.GivenValue, guess bool) {
	b.Inputs[s] = g.Value
	if guess {
		b.Guesses[s] = true
	}
	if b.Broken.By(s, g.Diag); g.Diag >= 0 {
		b.Inputs[s] = math.NaN()
		return
	}
	if g.Off != nil {
		b.Tolerances[s] = *g.Off
	}
}

// readShow reads the tag of a cell, and breaks the cell if it has a mistake: diag is the number of the Diag, or -1.
func (b *binder) readShow(c *program.Cell, tag text.UnitTag) (diag int) {
	c.Show, diag = b.readTag(c.Mod, tag)
	b.Broken.By(c.Slot, diag)
	return diag
}

func (b *binder) newCell(
	mod *program.Module, n text.Node, name text.Word, note string, kind program.CellKind, sk program.SlotKind,
) *program.Cell {
	c := b.addCell(&program.Cell{Mod: mod, Node: n, Name: name, Note: note, Page: mod.Page, Kind: kind}, sk)
	r := program.Ref{Kind: program.CellRef, Num: c.Number, Span: name.Span}
	b.Broken.By(c.Slot, b.name(mod, name, r))
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
func (b *binder) onlyText(mod *program.Module, v text.Value, diag int) int {
	if diag >= 0 || v.Kind == text.NoValue || v.Kind == text.TextValue {
		return diag
	}
	return b.Report(mod, text.Diag{
		Code: "choice-kind", Span: v.Word.Span, Msg: "what has choices is a text in quotes",
		Hint: text.Quote(v.Word.Text),
	})
}

func (b *binder) declareAdjust(mod *program.Module, n *text.Adjust) {
	c := b.newCell(mod, n, n.Name, n.Note.Text, program.AdjustedCell, program.Adjusted)
	b.readShow(c, n.Unit)
	b.CellTypes[c.Number] = c.Show.Type()
	c.Adjust = &program.Adjust{}
	f := c.Adjust
	for _, s := range []*int32{&f.Lo, &f.Hi, &f.Left, &f.Right, &f.Goal} {
		*s = b.hiddenSlot(mod, program.None)
	}
}

// readGiven reads a given value.
func (b *binder) readGiven(mod *program.Module, v text.Value, hasUnit bool, sh *program.Show) program.GivenValue {
	none := program.GivenValue{Value: math.NaN(), Diag: -1}
	if sh == program.UnreadShow {
		return none
	}
	if hasUnit {
		none.Type = program.TypeOf(sh.Unit)
	}
	withUnit := func(is, hint string) program.GivenValue {
		none.Diag = b.Report(mod, text.Diag{
			Code: "text-unit", Span: v.Word.Span, Msg: fmt.Sprintf("this is %s, but the unit asks for %s", is, none.Type),
			Hint: hint,
		})
		return none
	}
	switch v.Kind {
	case text.NoValue:
		return none
	case text.TextValue:
		if hasUnit {
			return withUnit("a text", "leave out the unit, or give a number without quotes")
		}
		return program.GivenValue{Value: float64(b.Texts.Add(v.Word.Text)), Type: program.TextType, Diag: -1}
	case text.YesNoValue:
		if hasUnit {
			return withUnit("yes or no", "leave out the unit, or give a number")
		}
		return program.GivenValue{
			Value: program.BooleanValue(v.Word.Text == "yes"), Type: program.BooleanType, Diag: -1,
		}
	}
	none.Type = program.TypeOf(sh.Unit)
	num, diag := b.readNumber(mod, v.Word, sh, hasUnit)
	if diag >= 0 {
		none.Diag = diag
		return none
	}
	off, err := program.ReadTolerance(mod.Units, v, num, sh)
	if err != nil {
		none.Diag = reportTolerance(b, mod, v.GiveOrTake(), err)
		return none
	}
	return program.GivenValue{Value: num.SI, Type: none.Type, Off: off, Diag: -1}
}

// reportTolerance reports what is wrong with how far off a value may be.
func reportTolerance(b *binder, mod *program.Module, w text.Word, err error) int {
	var diags text.Diags
	if errors.As(err, &diags) {
		return b.Report(mod, diags[0])
	}
	return b.reportUnits(mod, w, err)
}

// readNumber reads a number that is given under a unit. Diag is the number of the Diag that tells of a mistake, or -1.
func (b *binder) readNumber(
	mod *program.Module, w text.Word, sh *program.Show, hasUnit bool,
) (num units.Number, diag int) {
	num, err := mod.Units.ParseNumber(w.Text, sh.Unit)
	switch {
	case err != nil:
		return num, b.reportUnits(mod, w, err)
	case num.HasUnit && num.Unit.Dim() != sh.Unit.Dim():
		return num, b.unfitting(mod, w.Span, num, sh, hasUnit)
	case sh.Whole() && !program.IsWhole(num.SI):
		return num, b.Report(mod, text.Diag{
			Code: "not-whole", Span: w.Span,
			Msg:  "without a unit and with a step of 1 this is counted in whole numbers",
			Hint: program.WholeHint(num.SI),
		})
	}
	return num, -1
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
