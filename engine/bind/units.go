package bind

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"gusset/engine/check"
	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

// declareUnits takes in a module's own units, before anything else, so that a unit can be used above its line.
func (b *binder) declareUnits(mod *program.Module) {
	for _, n := range mod.File.Nodes {
		if u, ok := n.(*text.UnitDef); ok {
			b.declareUnit(mod, u)
		}
	}
}

func (b *binder) declareUnit(mod *program.Module, n *text.UnitDef) {
	if b.ownUnits++; b.ownUnits > maxUnits {
		b.Report(mod, text.Diag{
			Code: "unit-many", Span: n.Name.Span,
			Msg: fmt.Sprintf("a project may have %d units of its own at most", maxUnits),
		})
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
		b.Report(mod, text.Diag{
			Code: "unit-value", Span: n.Value.Span, Msg: "the size of a unit must be above zero",
			Hint: strings.TrimSpace("for example unit " + n.Name.Text + " = 36 " +
				mod.File.Source.Text()[n.Unit.Span.Start:n.Unit.Span.End]),
		})
		return
	}
	set, err := mod.Units.With(n.Name.Text, sh.Unit.Value(num.SI), sh.Unit)
	if err != nil {
		b.reportUnits(mod, n.Name.Span, n.Name.Text, err)
		return
	}
	mod.Units = set
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

// readTag reads [UNIT, STEP]. Without a tag it is a plain number. Ok is false when there is a mistake, which
// has been reported.
func (b *binder) readTag(mod *program.Module, tag text.UnitTag) (sh *program.Show, ok bool) {
	sh, ok = b.readAnyTag(mod, tag)
	if ok && sh.Unit.Dim().Currency() == units.AnyMoney {
		b.Report(mod, text.Diag{
			Code: "money-any", Span: tag.Unit.Span,
			Msg:  "[money] stands for any currency, and only in what a formula takes and gives",
			Hint: "name the currency by its code, such as [GBP], [EUR] or [USD]",
		})
		return program.UnreadShow, false
	}
	return sh, ok
}

// readAnyTag is readTag for what a formula takes and gives, where [money] means whatever currency is given.
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
		if !commaInStep(b, mod, tag) {
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
			b.Report(mod, text.Diag{
				Code: "step-form", Span: tag.Step.Span,
				Msg:  "a step of " + tag.Step.Text + " in is coarser than any rule",
				Hint: "for a part of an inch write 1/" + tag.Step.Text,
			})
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

// commaInStep reports a step with a decimal comma, [g, 0,1], of which the first half was read with the unit.
func commaInStep(b *binder, mod *program.Module, tag text.UnitTag) bool {
	parts := check.UnitAndFigures.FindStringSubmatch(tag.Unit.Text)
	if parts == nil || strings.Trim(tag.Step.Text, "0123456789") != "" || !tag.Step.Given() {
		return false
	}
	at := text.Span{Start: tag.Unit.Span.End - int32(len(parts[2])), End: tag.Step.Span.End}
	b.Report(mod, text.Diag{
		Code: "decimal-comma", Span: at, Msg: "a decimal is written with a point",
		Hint: fmt.Sprintf("write [%s, %s.%s]", parts[1], parts[2], tag.Step.Text),
	})
	return true
}

func (b *binder) showOf(u units.Unit, s units.Step, key [2]string) *program.Show {
	if sh, ok := b.shows[key]; ok {
		return sh
	}
	sh := &program.Show{Unit: u, Step: s}
	b.shows[key] = sh
	return sh
}
