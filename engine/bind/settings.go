package bind

import (
	"fmt"
	"math"
	"strings"
	"sync"

	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units/nearest"
)

// readVariants takes in the variants of the sheet that was asked for. A mistake in one spoils that
// variant, and those that start from it.
func (ld *loader) readVariants() {
	if len(ld.Slots) > maxSlots {
		return // some of what they name has been left out
	}
	first := map[string]*program.Variant{}
	for _, n := range ld.Root.File.Nodes {
		node, ok := n.(*text.Variant)
		if !ok {
			continue
		}
		v := &program.Variant{Node: node}
		ld.readSettings(v)
		if old, twice := first[node.Name.Text]; twice {
			ld.mendVariant(old, node.Name.Span)
			ld.Report(ld.Root, text.Diag{
				Code: "variant-twice", Span: node.Name.Span,
				Msg:   fmt.Sprintf("there is a variant %q already", node.Name.Text),
				Notes: []string{setOn(ld.Root, old.Node.Name.Span)},
				Hint:  "give this one another name, or move its lines there",
			})
			continue
		}
		first[node.Name.Text] = v
		ld.Variants = append(ld.Variants, v)
	}
	for _, v := range ld.Variants {
		if v.Node.From.Given() {
			v.From = first[v.Node.From.Text]
			if v.From == nil {
				ld.Report(ld.Root, ld.unknownVariant(v.Node.From, v))
				ld.mendVariant(v, v.Node.From.Span)
			}
		}
	}
	ld.breakVariantRings()
}

// refuseDeciding refuses what a variant sets that would make other choices of the rows of a table.
func (ld *loader) refuseDeciding() {
	for _, v := range ld.Variants {
		set := sync.OnceValue(v.All) // asked for by the few that decide: of a long chain of variants it is much
		given := func(s int32) float64 {
			if x, own := set()[s]; own {
				return x.Value
			}
			return ld.Inputs[s]
		}
		for i := range v.Settings {
			x := &v.Settings[i]
			of := program.ChangesChoices(ld.Program, x.Slot, given)
			if of == nil || x.Diag >= 0 {
				continue
			}
			x.Diag = ld.Report(ld.Root, text.Diag{
				Code: "setting-decides", Span: x.Node.Value.Word.Span,
				Msg:   fmt.Sprintf("this changes what may be chosen, and [one of %s] goes by the sheets as they stand", of.Rows),
				Notes: []string{ld.GivenNote(x.Slot)},
				Hint:  "leave this line out, and change the value in its sheet: gusset ripple --was tells what that moves",
			})
			ld.mendVariant(v, x.Node.Target.Span)
		}
	}
}

// unknownVariant tells that there is no variant to start from under a name.
func (ld *loader) unknownVariant(from text.Word, asking *program.Variant) text.Diag {
	d := text.Diag{Code: "unknown-variant", Span: from.Span, Msg: fmt.Sprintf("there is no variant %q", from.Text)}
	var others []string
	for _, v := range ld.Variants {
		if v != asking {
			others = append(others, v.Node.Name.Text)
		}
	}
	d.Hint = "leave out the from: a variant starts from the sheet as it stands"
	if near, ok := nearest.Word(from.Text, others); ok && ld.Looked.Allow(len(others)) {
		d.Hint = fmt.Sprintf("is it %q?", near)
	}
	return d
}

// breakVariantRings reports variants that start from one another, once for each ring, and lets one of them start from
// the sheet.
func (ld *loader) breakVariantRings() {
	sound := map[*program.Variant]bool{}
	for _, v := range ld.Variants {
		var path []*program.Variant
		place := map[*program.Variant]int{} // on the path
		for at := v; at != nil && !sound[at]; at = at.From {
			if from, ring := place[at]; ring {
				ld.reportVariantRing(path[from:])
				for _, v := range path[from:] {
					ld.mendVariant(v, path[from].Node.From.Span)
				}
				at.From = nil
				break
			}
			place[at] = len(path)
			path = append(path, at)
		}
		for _, p := range path {
			sound[p] = true
		}
	}
}

func (ld *loader) reportVariantRing(ring []*program.Variant) {
	d := text.Diag{
		Code: "variant-ring", Span: ring[0].Node.From.Span,
		Msg: "a variant cannot start from itself", Hint: "leave out the from",
	}
	if len(ring) > 1 {
		var names []string
		for _, v := range ring[:min(len(ring), 6)] {
			names = append(names, fmt.Sprintf("%q", v.Node.Name.Text))
		}
		if len(ring) > 6 {
			names = append(names, "...")
		}
		names = append(names, names[0])
		d.Msg = "these variants start from one another: " + strings.Join(names, " from ")
		d.Hint = "leave out one of the froms"
	}
	ld.Report(ld.Root, d)
}

// readSettings reads the lines of a variant.
func (ld *loader) readSettings(v *program.Variant) {
	first := map[int32]text.Word{}
	for _, n := range v.Node.Body {
		switch n := n.(type) {
		case *text.Bad:
			ld.mendVariant(v, n.Span)
		case *text.Setting:
			if !ld.readSetting(v, n, first) {
				ld.mendVariant(v, n.Target.Span)
			}
		}
	}
}

// readSetting reads a line of a variant; first is what has set each slot so far. It reports false when there is a
// mistake, which has been reported.
func (ld *loader) readSetting(v *program.Variant, line *text.Setting, first map[int32]text.Word) bool {
	s := ld.targetSlot(line.Target)
	if s == program.None {
		return false
	}
	if old, twice := first[s]; twice {
		ld.Report(ld.Root, text.Diag{
			Code: "setting-twice", Span: line.Target.Span,
			Msg:   fmt.Sprintf("%s is set twice in this variant", line.Target.Text),
			Notes: []string{setOn(ld.Root, old.Span)}, Hint: "leave one of the two out",
		})
		return false
	}
	first[s] = line.Target.Word
	x := program.Setting{Slot: s, Node: line, GivenValue: ld.readSettingValue(line.Value, s)}
	v.Settings = append(v.Settings, x)
	return x.Diag < 0
}

// readSettingValue reads the value that a variant gives a slot.
func (ld *loader) readSettingValue(v text.Value, s int32) program.GivenValue {
	sh, known := ld.SlotShow(s), ld.SlotType(s)
	refuse := func(d text.Diag) program.GivenValue {
		return program.GivenValue{Value: math.NaN(), Type: known, Diag: ld.Report(ld.Root, d)}
	}
	if v.Kind != text.NoValue && known.Kind != program.Unknown && kindOf(v) != known.Kind {
		return refuse(ld.unlikeSetting(v, s, known))
	}
	if v.Kind == text.NumberValue && sh.Unit.String() == "" {
		num, err := ld.Root.Units.ParseNumber(v.Word.Text, sh.Unit)
		if err == nil && num.HasUnit && num.Unit.Dim() != sh.Unit.Dim() {
			place := "after its name"
			if ld.Slots[s].Entry {
				place = "in the table's head"
			}
			return refuse(text.Diag{
				Code: "unit-unfit", Span: v.Word.Span,
				Msg:   fmt.Sprintf("this is %s, but %s has no unit", num.Unit.Dim().Describe(), ld.SlotName(s)),
				Notes: []string{ld.GivenNote(s)},
				Hint:  fmt.Sprintf("leave out the unit, or put [%s] %s in the sheet", num.Unit, place),
			})
		}
	}
	g := ld.readGiven(ld.Root, v, sh.Unit.String() != "", sh)
	if of := ld.SlotChoices(s); g.Diag < 0 && v.Kind == text.TextValue && !of.Allows(int32(g.Value)) {
		return refuse(ld.UnknownChoice(v.Word.Text, v.Word.Span, ld.SlotName(s), of))
	}
	return g
}

// kindOf returns the kind of what is written.
func kindOf(v text.Value) program.Kind {
	switch v.Kind {
	case text.TextValue:
		return program.Text
	case text.YesNoValue:
		return program.Boolean
	}
	return program.Number
}

// unlikeSetting tells that a variant gives a number where a text is, or the like.
func (ld *loader) unlikeSetting(v text.Value, s int32, known program.Type) text.Diag {
	kinds := map[program.Kind]string{program.Text: "a text", program.Boolean: "yes or no", program.Number: "a number"}
	d := text.Diag{
		Code: "setting-kind", Span: v.Word.Span,
		Msg:   fmt.Sprintf("this is %s, but %s is %s", kinds[kindOf(v)], ld.SlotName(s), known),
		Notes: []string{ld.GivenNote(s)},
	}
	switch known.Kind {
	case program.Text:
		d.Hint = fmt.Sprintf("text goes in quotes: %q", v.Word.Text)
	case program.Boolean:
		d.Hint = "write yes or no"
	default:
		d.Hint = "give " + known.String()
		if _, err := ld.Root.Units.ParseNumber(v.Word.Text, ld.SlotShow(s).Unit); err == nil {
			d.Hint = "leave out the quotes: " + v.Word.Text
		}
	}
	return d
}

// targetSlot returns the given slot that a path leads to, or none; what is wrong is reported.
func (ld *loader) targetSlot(path text.Path) int32 {
	place, slip := ld.Resolve(ld.Root, path, program.Purpose{Set: true, Effort: &ld.Looked})
	if slip == nil {
		var s int32
		if s, slip = ld.GivenSlot(place, path); slip == nil {
			return s
		}
	}
	if slip.Reported {
		return program.None
	}
	if slip.Code == "unknown-name" && slip.Hint == "" && len(path.Parts) == 1 {
		slip.Hint = fmt.Sprintf("a variant gives other values to what the sheet sets: put %s there first", path.Text)
	}
	ld.Report(ld.Root, slip.Diag)
	return program.None
}
