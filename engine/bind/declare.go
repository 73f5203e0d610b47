package bind

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"

	"gusset/engine/check"
	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

// declareAll gives every statement of a module its slots.
func (b *binder) declareAll(mod *program.Module) {
	mod.Waiting = nil
	b.makeRoom(mod)
	b.declareUnits(mod)
	seenTitle := false
	for _, n := range mod.File.Nodes {
		switch n := n.(type) {
		case *text.Title:
			if seenTitle {
				b.Report(mod, text.Diag{Code: "title-twice", Span: n.Name.Span, Msg: "a sheet has one title"})
			}
			mod.Title, seenTitle = n.Name.Text, true
		case *text.Page:
			b.declarePage(mod, n)
		case *text.Caution:
			mod.Cautions = append(mod.Cautions, n.Text.Text)
		case *text.Chart:
			mod.Charts = append(mod.Charts, n)
			mod.Order = append(mod.Order, program.Ref{Kind: program.ChartRef, Num: int32(len(mod.Charts) - 1), Page: mod.Page})
		default:
			b.declareNode(mod, n)
		}
	}
}

// declareUnits takes in a module's own units, before anything else, so that a unit can be used above its line.
func (b *binder) declareUnits(mod *program.Module) {
	for _, n := range mod.File.Nodes {
		if u, ok := n.(*text.UnitDef); ok {
			b.declareUnit(mod, u)
		}
	}
}

func (b *binder) declarePage(mod *program.Module, n *text.Page) {
	mod.Page = int32(len(mod.Pages))
	mod.Pages = append(mod.Pages, n.Name)
	if first, twice := mod.PageAt[n.Name.Text]; twice {
		b.Report(mod, text.Diag{Code: "page-twice", Span: n.Name.Span, Msg: fmt.Sprintf("there is a page %s already", n.Name.Text), Notes: []string{b.setOn(mod, mod.Pages[first].Span)}, Hint: "give this one another name, or move its lines there"})
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

// tooManyValues reports what goes beyond the number of values that a project may hold.
func (b *binder) tooManyValues(mod *program.Module, at text.Span) int {
	return b.Report(mod, text.Diag{Code: "sheet-large", Span: at, Msg: fmt.Sprintf("a project may hold %d values at most", maxSlots)})
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

// addCell numbers a cell and gives it a slot.
func (b *binder) addCell(c *program.Cell, sk program.SlotKind) *program.Cell {
	c.Number = int32(len(b.Cells))
	c.Slot = b.newSlot(sk, c.Number)
	b.Cells = append(b.Cells, c)
	b.CellTypes = append(b.CellTypes, program.Type{})
	return c
}

func (b *binder) newCell(mod *program.Module, n text.Node, name text.Word, note string, kind program.CellKind, sk program.SlotKind) *program.Cell {
	c := b.addCell(&program.Cell{Mod: mod, Node: n, Name: name, Note: note, Page: mod.Page, Kind: kind}, sk)
	r := program.Ref{Kind: program.CellRef, Num: c.Number, Span: name.Span}
	if said := b.name(mod, name, r); said >= 0 {
		b.BreakSlot(c.Slot, said)
	}
	mod.Order = append(mod.Order, r)
	return c
}

// name binds a name in a module. If it is bound already it says so, and returns the number of that Diag; else -1. Of two
// cells of one name either may be meant, so that neither has a result.
func (b *binder) name(mod *program.Module, w text.Word, r program.Ref) int {
	if old, twice := mod.Names[w.Text]; twice {
		said := b.Report(mod, text.Diag{
			Code: "name-twice", Span: w.Span, Msg: fmt.Sprintf("%s is set twice", w.Text), Notes: []string{b.setOn(mod, old.Span)},
			Hint: "rename one of the two, or leave one out",
		})
		b.breakCell(old, said)
		return said
	}
	mod.Names[w.Text] = r
	return -1
}

// breakCell takes the result from a cell, if that is what a name stands for.
func (b *binder) breakCell(r program.Ref, said int) {
	if r.Kind == program.CellRef {
		b.BreakSlot(b.Cells[r.Num].Slot, said)
	}
}

func (b *binder) showOf(u units.Unit, s units.Step, key [2]string) *program.Show {
	if sh, ok := b.shows[key]; ok {
		return sh
	}
	sh := &program.Show{Unit: u, Step: s}
	b.shows[key] = sh
	return sh
}

// declareBad binds the name that a line with a mistake was to set, so that those who use it wait instead of calling it
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
		b.breakCell(old, b.saidAbout(mod, n.Extent()))
		return
	}
	c := b.bindUnread(mod, n, name)
	b.BreakSlot(c.Slot, b.saidAbout(mod, n.Extent()))
	switch n.Kind {
	case text.BadCheck:
		c.Kind = program.BadCheck
	case text.BadStatement:
		return
	}
	mod.Order = append(mod.Order, program.Ref{Kind: program.CellRef, Num: b.Slots[c.Slot].Owner, Span: name.Span})
}

// bindUnread makes a cell of a line that could not be read, and gives it the name, if that is free. Its slot is to be
// broken.
func (b *binder) bindUnread(mod *program.Module, n text.Node, name text.Word) *program.Cell {
	c := b.addCell(&program.Cell{Mod: mod, Node: n, Name: name, Page: mod.Page, Kind: program.BadCell, Show: program.PlainShow}, program.Given)
	if _, taken := mod.Names[name.Text]; !taken {
		mod.Names[name.Text] = program.Ref{Kind: program.CellRef, Num: c.Number, Span: name.Span}
	}
	return c
}

// saidAbout returns the number of the first Diag about lines that could not be read, or -1.
func (b *binder) saidAbout(mod *program.Module, at text.Span) int {
	of := b.Diags[mod.Unread.From:mod.Unread.To]
	i := sort.Search(len(of), func(i int) bool { return of[i].Span.Start >= at.Start })
	if i == len(of) || of[i].Span.Start >= at.End {
		return -1
	}
	return mod.Unread.From + i
}

// readTag reads [UNIT, STEP]. Without a tag it is a plain number. Ok is false when there is a mistake, which has been said.
func (b *binder) readTag(mod *program.Module, tag text.UnitTag) (sh *program.Show, ok bool) {
	sh, ok = b.readAnyTag(mod, tag)
	if ok && sh.Unit.Dim().Currency() == units.AnyMoney {
		b.Report(mod, text.Diag{Code: "money-any", Span: tag.Unit.Span, Msg: "[money] stands for any currency, and only in what a formula takes and gives", Hint: "name the currency by its code, such as [GBP], [EUR] or [USD]"})
		return program.UnreadShow, false
	}
	return sh, ok
}

// readAnyTag is readTag for what a formula takes and gives, where [money] stands for whatever currency is given.
func (b *binder) readAnyTag(mod *program.Module, tag text.UnitTag) (sh *program.Show, ok bool) {
	if !tag.Given() {
		return program.PlainShow, true
	}
	key := [2]string{tag.Unit.Text, tag.Step.Text}
	if sh, seen := b.shows[key]; seen && mod.Units == units.Builtin() {
		return sh, true
	}
	u, err := mod.Units.Parse(tag.Unit.Text)
	if err != nil {
		if !b.commaInStep(mod, tag) {
			b.reportUnits(mod, tag.Unit.Span, tag.Unit.Text, err)
		}
		return program.UnreadShow, false
	}
	var s units.Step
	if tag.Step.Given() {
		if s, err = units.ParseStep(tag.Step.Text); err != nil {
			b.reportUnits(mod, tag.Step.Span, tag.Step.Text, err)
			return &program.Show{Unit: u}, false
		}
		if isRulerPart(u, s) {
			b.Report(mod, text.Diag{Code: "step-form", Span: tag.Step.Span, Msg: "a step of " + tag.Step.Text + " in is coarser than any rule", Hint: "for a part of an inch write 1/" + tag.Step.Text})
			return &program.Show{Unit: u}, false
		}
	}
	if mod.Units != units.Builtin() {
		return &program.Show{Unit: u, Step: s}, true
	}
	return b.showOf(u, s, key), true
}

// isRulerPart reports whether a step in inches is the lower half of a ruler's fraction: 16 for 1/16.
func isRulerPart(u units.Unit, s units.Step) bool {
	return u.String() == "in" && slices.Contains([]float64{8, 16, 32, 64}, s.Value())
}

// reportUnits reports what the units package found wrong with a word at span.
func (b *binder) reportUnits(mod *program.Module, span text.Span, word string, err error) int {
	var slip *units.Error
	if !errors.As(err, &slip) {
		return b.Report(mod, text.Diag{Code: "unit", Span: span, Msg: err.Error()})
	}
	at := span
	if span.Len() == len(word) && slip.To > slip.From {
		at = text.Span{Start: span.Start + int32(slip.From), End: span.Start + int32(slip.To)}
	}
	d := text.Diag{Code: slip.Code, Span: at, Msg: slip.Msg, Hint: slip.Hint}
	if d.Code == "unknown-unit" && d.Hint == "" {
		d.Hint = "gusset units lists the units that are at hand"
	}
	said := b.Report(mod, d)
	if said == b.Overflow {
		mod.Units = mod.Units.Brief() // nobody will see the hints
	}
	return said
}

func (b *binder) declareUnit(mod *program.Module, n *text.UnitDef) {
	if b.ownUnits++; b.ownUnits > maxUnits {
		b.Report(mod, text.Diag{Code: "unit-many", Span: n.Name.Span, Msg: fmt.Sprintf("a project may have %d units of its own at most", maxUnits)})
		return
	}
	sh, ok := b.readTag(mod, n.Unit)
	if !ok {
		return
	}
	num, err := mod.Units.ParseNumber(n.Value.Text, sh.Unit)
	if err != nil {
		b.reportUnits(mod, n.Value.Span, n.Value.Text, err)
		return
	}
	if num.HasUnit && num.Unit.Dim() != sh.Unit.Dim() {
		b.unfitting(mod, n.Value.Span, num, sh, true)
		return
	}
	if num.SI <= 0 {
		b.Report(mod, text.Diag{Code: "unit-value", Span: n.Value.Span, Msg: "the size of a unit must be above zero", Hint: "for example unit " + n.Name.Text + " = 36 [in]"})
		return
	}
	set, err := mod.Units.With(n.Name.Text, sh.Unit.Value(num.SI), sh.Unit)
	if err != nil {
		b.reportUnits(mod, n.Name.Span, n.Name.Text, err)
		return
	}
	mod.Units = set
}

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

// onlyText refuses what is not a text where there are choices.
func (b *binder) onlyText(mod *program.Module, v text.Value, said int) int {
	if said >= 0 || v.Kind == text.NoValue || v.Kind == text.TextValue {
		return said
	}
	return b.Report(mod, text.Diag{Code: "choice-kind", Span: v.Word.Span, Msg: "what has choices is a text in quotes", Hint: text.Quote(v.Word.Text)})
}

// readGiven reads a given value. Said is the number of the Diag that tells of a mistake, or -1.
func (b *binder) readGiven(mod *program.Module, v text.Value, hasUnit bool, sh *program.Show) (value float64, t program.Type, said int) {
	if sh == program.UnreadShow {
		return math.NaN(), program.Type{}, -1
	}
	t = program.TypeOf(sh.Unit)
	if !hasUnit {
		t = program.Type{}
	}
	if v.GiveOrTake().Given() {
		return math.NaN(), t, b.Report(mod, text.Diag{
			Code: "not-built", Span: v.GiveOrTake().Span, Msg: "how far off a value may be (±) is not taken into account yet", Hint: "leave out the ± and what follows it, or keep it in the note",
		})
	}
	switch v.Kind {
	case text.NoValue:
		return math.NaN(), t, -1
	case text.TextValue:
		if hasUnit {
			return math.NaN(), t, b.Report(mod, text.Diag{Code: "text-unit", Span: v.Word.Span, Msg: fmt.Sprintf("this is a text, but the unit asks for %s", t), Hint: "leave out the unit, or give a number without quotes"})
		}
		return float64(b.Texts.Add(v.Word.Text)), program.WritingType, -1
	case text.YesNoValue:
		if hasUnit {
			return math.NaN(), t, b.Report(mod, text.Diag{Code: "text-unit", Span: v.Word.Span, Msg: fmt.Sprintf("this is yes or no, but the unit asks for %s", t), Hint: "leave out the unit, or give a number"})
		}
		yes := 0.0
		if v.Word.Text == "yes" {
			yes = 1
		}
		return yes, program.TruthType, -1
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
	return b.Report(mod, text.Diag{Code: "not-whole", Span: at, Msg: "without a unit and with a step of 1 this is counted in whole numbers", Hint: program.WholeHint(x)})
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
	switch d.Hint = check.WeightHint(num.Unit.Dim(), sh.Unit.Dim()); {
	case d.Hint == "" && !sh.Unit.Mixed():
		d.Hint = fmt.Sprintf("give %s, such as %s %s", sh.Unit.Dim().Describe(), units.Format(num.SI, num.Unit, units.Step{}), sh.Unit)
	case d.Hint == "":
		d.Hint = "give " + sh.Unit.Dim().Describe()
	}
	return b.Report(mod, d)
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
