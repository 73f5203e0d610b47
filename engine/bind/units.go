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
	sh, diag := b.readTag(mod, n.Unit)
	if diag >= 0 {
		return
	}
	num, diag := b.readNumber(mod, n.Value, sh, true)
	if diag >= 0 {
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
		b.reportUnits(mod, n.Name, err)
		return
	}
	mod.Units = set
}

// reportUnits reports what the units package found wrong with a word.
func (b *binder) reportUnits(mod *program.Module, w text.Word, err error) int {
	var slip *units.Error
	if !errors.As(err, &slip) {
		return b.Report(mod, text.Diag{Code: "unit", Span: w.Span, Msg: err.Error()})
	}
	at := w.Span
	if at.Len() == len(w.Text) && slip.To > slip.From {
		at = text.Span{Start: at.Start + int32(slip.From), End: at.Start + int32(slip.To)}
	}
	d := text.Diag{Code: slip.Code, Span: at, Msg: slip.Msg, Hint: slip.Hint}
	if d.Code == "unknown-unit" && d.Hint == "" {
		d.Hint = "gusset units lists the units that are at hand"
	}
	diag := b.Report(mod, d)
	if diag == b.Overflow {
		mod.Units = mod.Units.Brief() // nobody will see the hints
	}
	return diag
}

// readTag reads [UNIT, STEP]. Without a tag it is a plain number. Diag is the number of the Diag about a mistake, or
// -1.
func (b *binder) readTag(mod *program.Module, tag text.UnitTag) (sh *program.Show, diag int) {
	sh, diag = b.readAnyTag(mod, tag)
	if diag < 0 && sh.Unit.Dim().Currency() == units.AnyMoney {
		return program.UnreadShow, b.Report(mod, text.Diag{
			Code: "money-any", Span: tag.Unit.Span,
			Msg:  "[money] stands for any currency, and only in what a formula takes and gives",
			Hint: "name the currency by its code, such as [GBP], [EUR] or [USD]",
		})
	}
	return sh, diag
}

// readAnyTag is readTag for what a formula takes and gives, where [money] means whatever currency is given.
func (b *binder) readAnyTag(mod *program.Module, tag text.UnitTag) (sh *program.Show, diag int) {
	if !tag.Given() {
		return program.PlainShow, -1
	}
	key, builtin := [2]string{tag.Unit.Text, tag.Step.Text}, mod.Units == units.Builtin()
	if sh, seen := b.shows[key]; seen && builtin {
		return sh, -1
	}
	u, err := mod.Units.Parse(tag.Unit.Text)
	if err != nil {
		return program.UnreadShow, reportTag(b, mod, tag, err)
	}
	sh = &program.Show{Unit: u}
	if tag.Step.Given() {
		s, err := units.ParseStep(tag.Step.Text)
		if err != nil {
			return sh, b.reportUnits(mod, tag.Step, err)
		}
		if isRulerPart(u, s) {
			return sh, b.Report(mod, text.Diag{
				Code: "step-form", Span: tag.Step.Span,
				Msg:  "a step of " + tag.Step.Text + " in is coarser than any rule",
				Hint: "for a part of an inch write 1/" + tag.Step.Text,
			})
		}
		sh.Step = s
	}
	if builtin {
		b.shows[key] = sh
	}
	return sh, -1
}

// isRulerPart reports whether a step in inches is the lower half of a ruler's fraction: 16 for 1/16.
func isRulerPart(u units.Unit, s units.Step) bool {
	return u.String() == "in" && slices.Contains([]float64{8, 16, 32, 64}, s.Value())
}

// reportTag reports a unit that cannot be read, or that its step has a decimal comma, [g, 0,1]: of that the first half
// was read with the unit.
func reportTag(b *binder, mod *program.Module, tag text.UnitTag, err error) int {
	parts := check.UnitAndFigures.FindStringSubmatch(tag.Unit.Text)
	if parts == nil || strings.Trim(tag.Step.Text, "0123456789") != "" || !tag.Step.Given() {
		return b.reportUnits(mod, tag.Unit, err)
	}
	at := text.Span{Start: tag.Unit.Span.End - int32(len(parts[2])), End: tag.Step.Span.End}
	return b.Report(mod, text.Diag{
		Code: "decimal-comma", Span: at, Msg: "a decimal is written with a point",
		Hint: fmt.Sprintf("write [%s, %s.%s]", parts[1], parts[2], tag.Step.Text),
	})
}
