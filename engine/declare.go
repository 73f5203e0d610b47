package engine

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"

	"gusset/sheets/text"
	"gusset/units"
)

// declareAll gives every statement of a module its slots.
func (b *binder) declareAll(mod *module) {
	mod.waiting = nil
	b.declareUnits(mod)
	seenTitle := false
	for _, n := range mod.file.Nodes {
		switch n := n.(type) {
		case *text.Title:
			if seenTitle {
				b.report(mod, text.Diag{Code: "title-twice", Span: n.Name.Span, Msg: "a sheet has one title"})
			}
			mod.title, seenTitle = n.Name.Text, true
		case *text.Page:
			b.declarePage(mod, n)
		case *text.Caution:
			mod.cautions = append(mod.cautions, n.Text.Text)
		case *text.Chart:
			mod.charts = append(mod.charts, n)
			mod.order = append(mod.order, ref{kind: chartRef, num: int32(len(mod.charts) - 1), page: mod.page})
		default:
			b.declareNode(mod, n)
		}
	}
}

// declareUnits takes in a module's own units, before anything else, so that a unit can be used above its line.
func (b *binder) declareUnits(mod *module) {
	for _, n := range mod.file.Nodes {
		if u, ok := n.(*text.UnitDef); ok {
			b.declareUnit(mod, u)
		}
	}
}

func (b *binder) declarePage(mod *module, n *text.Page) {
	mod.page = int32(len(mod.pages))
	mod.pages = append(mod.pages, n.Name)
	if first, twice := mod.pageAt[n.Name.Text]; twice {
		b.report(mod, text.Diag{Code: "page-twice", Span: n.Name.Span, Msg: fmt.Sprintf("there is a page %s already", n.Name.Text), Notes: []string{b.setOn(mod, mod.pages[first].Span)}, Hint: "give this one another name, or move its lines there"})
		return
	}
	mod.pageAt[n.Name.Text] = mod.page
}

// declareNode declares a cell, a check or a table.
func (b *binder) declareNode(mod *module, n text.Node) {
	if len(b.slots) > maxSlots {
		return
	}
	switch n := n.(type) {
	case *text.Cell:
		b.declareCell(mod, n)
	case *text.Check:
		c := b.newCell(mod, n, n.Name, n.Note.Text, checkCell, worked)
		c.show = plainShow
	case *text.Adjust:
		b.declareAdjust(mod, n)
	case *text.Table:
		b.declareTable(mod, n)
	case *text.Bad:
		b.declareBad(mod, n)
	}
	if len(b.slots) > maxSlots {
		b.tooManyValues(mod, n.Extent())
	}
}

// tooManyValues reports what goes beyond the number of values that a project may hold.
func (b *binder) tooManyValues(mod *module, at text.Span) int {
	return b.report(mod, text.Diag{Code: "sheet-large", Span: at, Msg: fmt.Sprintf("a project may hold %d values at most", maxSlots)})
}

// newSlot adds a slot without a formula.
func (b *binder) newSlot(kind slotKind, owner int32) int32 {
	b.slots = append(b.slots, slot{kind: kind, root: none, row: none, owner: owner})
	b.inputs = append(b.inputs, math.NaN())
	return int32(len(b.slots) - 1)
}

// hiddenSlot adds a slot for something worked out on the way.
func (b *binder) hiddenSlot(mod *module, root int32) int32 {
	s := b.newSlot(worked, mod.number)
	b.slots[s].hidden, b.slots[s].root = true, root
	return s
}

// addCell numbers a cell and gives it a slot.
func (b *binder) addCell(c cell, sk slotKind) *cell {
	c.number = int32(len(b.cells))
	c.slot = b.newSlot(sk, c.number)
	b.cells = append(b.cells, &c)
	b.cellTypes = append(b.cellTypes, typ{})
	return &c
}

func (b *binder) newCell(mod *module, n text.Node, name text.Word, note string, kind cellKind, sk slotKind) *cell {
	c := b.addCell(cell{mod: mod, node: n, name: name, note: note, page: mod.page, kind: kind}, sk)
	r := ref{kind: cellRef, num: c.number, span: name.Span}
	if said := b.name(mod, name, r); said >= 0 {
		b.breakSlot(c.slot, said)
	}
	mod.order = append(mod.order, r)
	return c
}

// name binds a name in a module. If it is bound already it says so, and returns the number of that Diag; else -1. Of two
// cells of one name either may be meant, so that neither has a result.
func (b *binder) name(mod *module, w text.Word, r ref) int {
	if old, twice := mod.names[w.Text]; twice {
		said := b.report(mod, text.Diag{
			Code: "name-twice", Span: w.Span, Msg: fmt.Sprintf("%s is set twice", w.Text), Notes: []string{b.setOn(mod, old.span)},
			Hint: "rename one of the two, or leave one out",
		})
		b.breakCell(old, said)
		return said
	}
	mod.names[w.Text] = r
	return -1
}

// breakCell takes the result from a cell, if that is what a name stands for.
func (b *binder) breakCell(r ref, said int) {
	if r.kind == cellRef {
		b.breakSlot(b.cells[r.num].slot, said)
	}
}

func (b *binder) showOf(u units.Unit, s units.Step, key [2]string) *show {
	if sh, ok := b.shows[key]; ok {
		return sh
	}
	sh := &show{unit: u, step: s}
	b.shows[key] = sh
	return sh
}

// declareBad binds the name that a line with a mistake was to set, so that those who use it wait instead of calling it
// unknown. A cell, and a check even without a name, is shown as one that has no result.
func (b *binder) declareBad(mod *module, n *text.Bad) {
	name := n.Name
	switch {
	case n.Kind == text.BadCheck && !name.Given():
		name = text.Word{Text: fmt.Sprintf("line %d", mod.src.Position(n.Span.Start).Line), Span: n.Span}
	case !name.Given():
		return
	}
	if old, taken := mod.names[name.Text]; taken && n.Kind != text.BadCheck {
		b.breakCell(old, b.saidAbout(mod, n.Extent()))
		return
	}
	c := b.bindUnread(mod, n, name)
	b.breakSlot(c.slot, b.saidAbout(mod, n.Extent()))
	switch n.Kind {
	case text.BadCheck:
		c.kind = badCheck
	case text.BadStatement:
		return
	}
	mod.order = append(mod.order, ref{kind: cellRef, num: b.slots[c.slot].owner, span: name.Span})
}

// bindUnread makes a cell of a line that could not be read, and gives it the name, if that is free. Its slot is to be
// broken.
func (b *binder) bindUnread(mod *module, n text.Node, name text.Word) *cell {
	c := b.addCell(cell{mod: mod, node: n, name: name, page: mod.page, kind: badCell, show: plainShow}, given)
	if _, taken := mod.names[name.Text]; !taken {
		mod.names[name.Text] = ref{kind: cellRef, num: c.number, span: name.Span}
	}
	return c
}

// saidAbout returns the number of the first Diag about lines that could not be read, or -1.
func (b *binder) saidAbout(mod *module, at text.Span) int {
	of := b.diags[mod.unread.from:mod.unread.to]
	i := sort.Search(len(of), func(i int) bool { return of[i].Span.Start >= at.Start })
	if i == len(of) || of[i].Span.Start >= at.End {
		return -1
	}
	return mod.unread.from + i
}

// readTag reads [UNIT, STEP]. Without a tag it is a plain number. Ok is false when there is a mistake, which has been said.
func (b *binder) readTag(mod *module, tag text.UnitTag) (sh *show, ok bool) {
	sh, ok = b.readAnyTag(mod, tag)
	if ok && sh.unit.Dim().Currency() == units.AnyMoney {
		b.report(mod, text.Diag{Code: "money-any", Span: tag.Unit.Span, Msg: "[money] stands for any currency, and only in what a formula takes and gives", Hint: "name the currency by its code, such as [GBP], [EUR] or [USD]"})
		return unreadShow, false
	}
	return sh, ok
}

// readAnyTag is readTag for what a formula takes and gives, where [money] stands for whatever currency is given.
func (b *binder) readAnyTag(mod *module, tag text.UnitTag) (sh *show, ok bool) {
	if !tag.Given() {
		return plainShow, true
	}
	key := [2]string{tag.Unit.Text, tag.Step.Text}
	if sh, seen := b.shows[key]; seen && mod.units == units.Builtin() {
		return sh, true
	}
	u, err := mod.units.Parse(tag.Unit.Text)
	if err != nil {
		if !b.commaInStep(mod, tag) {
			b.reportUnits(mod, tag.Unit.Span, tag.Unit.Text, err)
		}
		return unreadShow, false
	}
	var s units.Step
	if tag.Step.Given() {
		if s, err = units.ParseStep(tag.Step.Text); err != nil {
			b.reportUnits(mod, tag.Step.Span, tag.Step.Text, err)
			return &show{unit: u}, false
		}
		if isRulerPart(u, s) {
			b.report(mod, text.Diag{Code: "step-form", Span: tag.Step.Span, Msg: "a step of " + tag.Step.Text + " in is coarser than any rule", Hint: "for a part of an inch write 1/" + tag.Step.Text})
			return &show{unit: u}, false
		}
	}
	if mod.units != units.Builtin() {
		return &show{unit: u, step: s}, true
	}
	return b.showOf(u, s, key), true
}

// isRulerPart reports whether a step in inches is the lower half of a ruler's fraction: 16 for 1/16.
func isRulerPart(u units.Unit, s units.Step) bool {
	return u.String() == "in" && slices.Contains([]float64{8, 16, 32, 64}, s.Value())
}

// reportUnits reports what the units package found wrong with a word at span.
func (b *binder) reportUnits(mod *module, span text.Span, word string, err error) int {
	var slip *units.Error
	if !errors.As(err, &slip) {
		return b.report(mod, text.Diag{Code: "unit", Span: span, Msg: err.Error()})
	}
	at := span
	if span.Len() == len(word) && slip.To > slip.From {
		at = text.Span{Start: span.Start + int32(slip.From), End: span.Start + int32(slip.To)}
	}
	d := text.Diag{Code: slip.Code, Span: at, Msg: slip.Msg, Hint: slip.Hint}
	if d.Code == "unknown-unit" && d.Hint == "" {
		d.Hint = "gusset units lists the units that are at hand"
	}
	said := b.report(mod, d)
	if said == b.overflow {
		mod.units = mod.units.Brief() // nobody will see the hints
	}
	return said
}

func (b *binder) declareUnit(mod *module, n *text.UnitDef) {
	if b.ownUnits++; b.ownUnits > maxUnits {
		b.report(mod, text.Diag{Code: "unit-many", Span: n.Name.Span, Msg: fmt.Sprintf("a project may have %d units of its own at most", maxUnits)})
		return
	}
	sh, ok := b.readTag(mod, n.Unit)
	if !ok {
		return
	}
	num, err := mod.units.ParseNumber(n.Value.Text, sh.unit)
	if err != nil {
		b.reportUnits(mod, n.Value.Span, n.Value.Text, err)
		return
	}
	if num.HasUnit && num.Unit.Dim() != sh.unit.Dim() {
		b.unfitting(mod, n.Value.Span, num, sh, true)
		return
	}
	if num.SI <= 0 {
		b.report(mod, text.Diag{Code: "unit-value", Span: n.Value.Span, Msg: "the size of a unit must be above zero", Hint: "for example unit " + n.Name.Text + " = 36 [in]"})
		return
	}
	set, err := mod.units.With(n.Name.Text, sh.unit.Value(num.SI), sh.unit)
	if err != nil {
		b.reportUnits(mod, n.Name.Span, n.Name.Text, err)
		return
	}
	mod.units = set
}

func (b *binder) declareCell(mod *module, n *text.Cell) {
	kind, sk := workedCell, worked
	if n.IsGiven() {
		kind, sk = givenCell, given
	}
	c := b.newCell(mod, n, n.Name, n.Note.Text, kind, sk)
	sh, ok := b.readTag(mod, n.Unit)
	c.show = sh
	if !ok {
		b.breakSlot(c.slot, len(b.diags)-1)
		return
	}
	if !n.IsGiven() {
		return
	}
	value, t, said := b.readGiven(mod, n.Given, n.Unit.Given(), sh)
	if n.Unit.Choice != nil {
		t, said = writingType, b.onlyText(mod, n.Given, said)
	}
	b.markGuess(c.slot, n.Given.Guess.Given())
	b.cellTypes[c.number] = t
	b.inputs[c.slot] = value
	if said >= 0 {
		b.breakSlot(c.slot, said)
	}
}

// onlyText refuses what is not a text where there are choices.
func (b *binder) onlyText(mod *module, v text.Value, said int) int {
	if said >= 0 || v.Kind == text.NoValue || v.Kind == text.TextValue {
		return said
	}
	return b.report(mod, text.Diag{Code: "choice-kind", Span: v.Word.Span, Msg: "what has choices is a text in quotes", Hint: text.Quote(v.Word.Text)})
}

// readGiven reads a given value. Said is the number of the Diag that tells of a mistake, or -1.
func (b *binder) readGiven(mod *module, v text.Value, hasUnit bool, sh *show) (value float64, t typ, said int) {
	if sh == unreadShow {
		return math.NaN(), typ{}, -1
	}
	t = typeOf(sh.unit)
	if !hasUnit {
		t = typ{}
	}
	if v.GiveOrTake.Given() {
		return math.NaN(), t, b.report(mod, text.Diag{
			Code: "not-built", Span: v.GiveOrTake.Span, Msg: "how far off a value may be (±) is not taken into account yet", Hint: "leave out the ± and what follows it, or keep it in the note",
		})
	}
	switch v.Kind {
	case text.NoValue:
		return math.NaN(), t, -1
	case text.TextValue:
		if hasUnit {
			return math.NaN(), t, b.report(mod, text.Diag{Code: "text-unit", Span: v.Word.Span, Msg: fmt.Sprintf("this is a text, but the unit asks for %s", t), Hint: "leave out the unit, or give a number without quotes"})
		}
		return float64(b.texts.Add(v.Word.Text)), writingType, -1
	case text.YesNoValue:
		if hasUnit {
			return math.NaN(), t, b.report(mod, text.Diag{Code: "text-unit", Span: v.Word.Span, Msg: fmt.Sprintf("this is yes or no, but the unit asks for %s", t), Hint: "leave out the unit, or give a number"})
		}
		yes := 0.0
		if v.Word.Text == "yes" {
			yes = 1
		}
		return yes, truthType, -1
	}
	t = typeOf(sh.unit)
	num, err := mod.units.ParseNumber(v.Word.Text, sh.unit)
	if err != nil {
		return math.NaN(), t, b.reportUnits(mod, v.Word.Span, v.Word.Text, err)
	}
	if num.HasUnit && num.Unit.Dim() != sh.unit.Dim() {
		return math.NaN(), t, b.unfitting(mod, v.Word.Span, num, sh, hasUnit)
	}
	if sh.whole() && !isWhole(num.SI) {
		return math.NaN(), t, b.notWhole(mod, v.Word.Span, num.SI)
	}
	return num.SI, t, -1
}

// notWhole reports a number with a part of one where only whole numbers can be.
func (b *binder) notWhole(mod *module, at text.Span, x float64) int {
	return b.report(mod, text.Diag{Code: "not-whole", Span: at, Msg: "without a unit and with a step of 1 this is counted in whole numbers", Hint: wholeHint(x)})
}

// unfitting reports a given value whose own unit does not fit the cell's.
func (b *binder) unfitting(mod *module, at text.Span, num units.Number, sh *show, hasUnit bool) int {
	d := text.Diag{Code: "unit-unfit", Span: at}
	if !hasUnit {
		d.Msg = fmt.Sprintf("this is %s, but the line names no unit", num.Unit.Dim().Describe())
		d.Hint = fmt.Sprintf("put [%s] after the name", num.Unit)
		return b.report(mod, d)
	}
	d.Msg = fmt.Sprintf("this is %s, but [%s] is %s", num.Unit.Dim().Describe(), sh.unit, sh.unit.Dim().Describe())
	switch d.Hint = weightHint(num.Unit.Dim(), sh.unit.Dim()); {
	case d.Hint == "" && !sh.unit.Mixed():
		d.Hint = fmt.Sprintf("give %s, such as %s %s", sh.unit.Dim().Describe(), units.Format(num.SI, num.Unit, units.Step{}), sh.unit)
	case d.Hint == "":
		d.Hint = "give " + sh.unit.Dim().Describe()
	}
	return b.report(mod, d)
}

func (b *binder) declareAdjust(mod *module, n *text.Adjust) {
	c := b.newCell(mod, n, n.Name, n.Note.Text, adjustedCell, adjusted)
	sh, ok := b.readTag(mod, n.Unit)
	c.show = sh
	b.cellTypes[c.number] = sh.typ()
	c.adjust = &adjustDef{}
	f := c.adjust
	for _, s := range []*int32{&f.lo, &f.hi, &f.left, &f.right, &f.goal} {
		*s = b.hiddenSlot(mod, none)
	}
	if !ok {
		b.breakSlot(c.slot, len(b.diags)-1)
	}
}
