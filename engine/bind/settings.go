package bind

import (
	"fmt"
	"math"
	"strings"

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
				Code: "variant-twice", Span: node.Name.Span, Msg: fmt.Sprintf("there is a variant %q already", node.Name.Text),
				Notes: []string{ld.setOn(ld.Root, old.Node.Name.Span)}, Hint: "give this one another name, or move its lines there",
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

// breakVariantRings reports variants that start from one another, once for each ring, and lets one of them start from the
// sheet.
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
	d := text.Diag{Code: "variant-ring", Span: ring[0].Node.From.Span, Msg: "a variant cannot start from itself", Hint: "leave out the from"}
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
		line, ok := n.(*text.Setting)
		if !ok {
			if bad, unread := n.(*text.Bad); unread {
				ld.mendVariant(v, bad.Span)
			}
			continue
		}
		s := ld.targetSlot(line.Target)
		if s == program.None {
			ld.mendVariant(v, line.Target.Span)
			continue
		}
		if old, twice := first[s]; twice {
			ld.mendVariant(v, line.Target.Span)
			ld.Report(ld.Root, text.Diag{
				Code: "setting-twice", Span: line.Target.Span, Msg: fmt.Sprintf("%s is set twice in this variant", line.Target.Text),
				Notes: []string{ld.setOn(ld.Root, old.Span)}, Hint: "leave one of the two out",
			})
			continue
		}
		first[s] = line.Target.Word
		x := program.Setting{Slot: s, Node: line}
		x.Value, x.Typ, x.Said = ld.readSettingValue(line.Value, s)
		if x.Said >= 0 {
			ld.mendVariant(v, line.Target.Span)
		}
		v.Settings = append(v.Settings, x)
	}
}

// readSettingValue reads the value that a variant gives a slot. Said is the number of the Diag that tells of a mistake, or -1.
func (ld *loader) readSettingValue(v text.Value, s int32) (value float64, t program.Type, said int) {
	sh, known := ld.SlotShow(s), ld.SlotType(s)
	if v.Kind != text.NoValue && known.Kind != program.Unknown && kindOf(v) != known.Kind {
		return math.NaN(), known, ld.Report(ld.Root, ld.unlikeSetting(v, s, known))
	}
	if v.Kind == text.NumberValue && !v.GiveOrTake().Given() && sh.Unit.String() == "" {
		num, err := ld.Root.Units.ParseNumber(v.Word.Text, sh.Unit)
		if err == nil && num.HasUnit && num.Unit.Dim() != sh.Unit.Dim() {
			place := "after its name"
			if ld.Slots[s].Entry {
				place = "in the table's head"
			}
			return math.NaN(), known, ld.Report(ld.Root, text.Diag{
				Code: "unit-unfit", Span: v.Word.Span, Msg: fmt.Sprintf("this is %s, but %s has no unit", num.Unit.Dim().Describe(), ld.SlotName(s)),
				Notes: []string{ld.GivenNote(s)}, Hint: fmt.Sprintf("leave out the unit, or put [%s] %s in the sheet", num.Unit, place),
			})
		}
	}
	value, t, said = ld.readGiven(ld.Root, v, sh.Unit.String() != "", sh)
	if of := ld.SlotChoices(s); said < 0 && v.Kind == text.TextValue && !of.Allows(int32(value)) {
		return math.NaN(), known, ld.Report(ld.Root, ld.UnknownChoice(v.Word.Text, v.Word.Span, ld.SlotName(s), of))
	}
	return value, t, said
}

// kindOf returns the kind of what is written.
func kindOf(v text.Value) program.Kind {
	switch v.Kind {
	case text.TextValue:
		return program.Writing
	case text.YesNoValue:
		return program.Truth
	}
	return program.Number
}

// unlikeSetting tells that a variant gives a number where a text is, or the like.
func (ld *loader) unlikeSetting(v text.Value, s int32, known program.Type) text.Diag {
	is := map[program.Kind]string{program.Writing: "a text", program.Truth: "yes or no", program.Number: "a number"}[kindOf(v)]
	d := text.Diag{Code: "setting-kind", Span: v.Word.Span, Msg: fmt.Sprintf("this is %s, but %s is %s", is, ld.SlotName(s), known), Notes: []string{ld.GivenNote(s)}}
	switch known.Kind {
	case program.Writing:
		d.Hint = fmt.Sprintf("text goes in quotes: %q", v.Word.Text)
	case program.Truth:
		d.Hint = "write yes or no"
	default:
		d.Hint = "give " + known.String()
		if _, err := ld.Root.Units.ParseNumber(v.Word.Text, ld.SlotShow(s).Unit); err == nil {
			d.Hint = "leave out the quotes: " + v.Word.Text
		}
	}
	return d
}

// targetSlot returns the given slot that a target names, or none; what is wrong is said.
func (ld *loader) targetSlot(t text.Target) int32 {
	mod := ld.Root
	last := len(t.Names) - 1
	for i, w := range t.Names {
		r, known := mod.Names[w.Text]
		switch {
		case !known:
			ld.Report(ld.Root, ld.unknownTarget(mod, t, i))
			return program.None
		case r.Kind == program.CellRef && ld.Cells[r.Num].Unread():
			return program.None // its line, or that of its sheet, has been told of
		case r.Kind == program.ModuleRef && i < last:
			mod = mod.Uses[r.Num].Mod
		case r.Kind == program.TableRef && ld.Tables[r.Num].Headless:
			return program.None
		case r.Kind == program.CellRef && i == last && !t.Row.Given():
			return ld.cellTarget(ld.Cells[r.Num], t)
		case r.Kind == program.TableRef && i == last && t.Row.Given():
			return ld.entryTarget(ld.Tables[r.Num], t)
		default:
			ld.Report(ld.Root, ld.oddTarget(mod, r, t, i))
			return program.None
		}
	}
	return program.None
}

// cellTarget returns the slot of a cell that a variant sets, if it is given.
func (ld *loader) cellTarget(c *program.Cell, t text.Target) int32 {
	d := text.Diag{Code: "setting-worked", Span: t.Span, Notes: []string{"it is on " + ld.PlaceNote(ld.ModuleOf(c.Slot), ld.SlotSpan(c.Slot))}}
	switch {
	case c.Show == program.UnreadShow:
		return program.None
	case c.Kind == program.GivenCell:
		return c.Slot
	case c.Kind == program.WorkedCell:
		d.Msg, d.Hint = t.Text+" is worked out, not given", "set what it is worked out from"
	case c.Kind == program.AdjustedCell:
		d.Msg, d.Hint = t.Text+" is adjusted, not given", "set what its condition rests on"
	default:
		d.Msg, d.Hint = t.Text+" is a check, and a variant sets given values", "set what it compares"
	}
	ld.Report(ld.Root, d)
	return program.None
}

// entryTarget returns the slot of an entry of a table that a variant sets, if it is given.
func (ld *loader) entryTarget(tab *program.Table, t text.Target) int32 {
	row, known := tab.ByName[ld.Texts.Add(t.Row.Text)]
	c := tab.Column(t.Column.Text)
	d := text.Diag{Code: "setting-worked", Span: t.Span, Msg: t.Text + " is worked out, not given", Hint: "set what it is worked out from"}
	switch {
	case tab.Ranged:
		d.Msg = fmt.Sprintf("the table %s makes its own rows, so none of them can be set", tab.Name.Text)
		d.Hint = fmt.Sprintf("change its range in the sheet, on line %d", tab.Mod.Src.Position(tab.Cols[0].Name.Span.Start).Line)
	case (!known || c == nil) && tab.Lost != program.None:
		return program.None
	case !known:
		d = ld.UnknownRow(tab, t.Row.Text, &ld.Looked)
		d.Span = t.Row.Span
	case c == nil:
		d = ld.UnknownColumn(tab, t.Column.Text, &ld.Looked)
		d.Span = t.Column.Span
	case c == tab.Cols[0]:
		d.Code, d.Span = "setting-row-name", t.Column.Span
		d.Msg, d.Hint = fmt.Sprintf("%s names the rows of %s, so it cannot be set", c.Name.Text, tab.Name.Text), "a row with another name goes into the table itself"
	case c.Show == program.UnreadShow:
		return program.None
	case ld.Slots[c.Base+row].Kind == program.Given:
		return c.Base + row
	default:
		d.Notes = []string{"it is on " + ld.PlaceNote(ld.ModuleOf(c.Base+row), ld.SlotSpan(c.Base+row))}
	}
	ld.Report(ld.Root, d)
	return program.None
}

// unknownTarget tells that a sheet has nothing of the i-th name of a target.
func (ld *loader) unknownTarget(mod *program.Module, t text.Target, i int) text.Diag {
	name := t.Names[i].Text
	d := text.Diag{Code: "unknown-name", Span: t.Names[i].Span, Msg: "unknown name " + name}
	before := "" // what leads to the name
	if i > 0 {
		before = t.Names[i-1].Text + "."
		d.Msg = fmt.Sprintf("%s has no cell or table %s", t.Names[i-1].Text, name)
	}
	if !ld.Looked.Allow(len(mod.Names) + len(ld.Tables)) {
		return d
	}
	if _, isPage := mod.PageAt[name]; isPage && i < len(t.Names)-1 {
		d.Hint = fmt.Sprintf("a cell is named without its page: leave out %s.", name)
		return d
	}
	if d.Hint = ld.targetElsewhere(mod, name); d.Hint != "" {
		return d
	}
	var known []string
	for n := range mod.Names {
		known = append(known, n)
	}
	if near, ok := nearest.Word(name, program.Sorted(known)); ok {
		d.Hint = fmt.Sprintf("is it %s%s?", before, near)
		if r := mod.Names[near]; mod == ld.Root && r.Span.Len() > 0 {
			d.Hint += fmt.Sprintf(" It is set on line %d", mod.Src.Position(r.Span.Start).Line)
		}
	} else if ld.pages.Sets(name, false) {
		d.Hint = fmt.Sprintf("it is the library's: set %s in the sheet first, then a variant can give it another value", name)
	} else {
		d.Hint = fmt.Sprintf("a variant gives other values to what the sheet sets: put %s there first", name)
	}
	return d
}

// targetElsewhere suggests the sheet that is used, or the table, in which a name stands.
func (ld *loader) targetElsewhere(mod *program.Module, name string) string {
	for _, u := range mod.Uses {
		if _, ok := u.Mod.Names[name]; ok && mod == ld.Root {
			return fmt.Sprintf("is it %s.%s?", u.Alias, name)
		}
	}
	for _, t := range ld.Tables {
		if t.Mod != mod || t.List {
			continue
		}
		if c := t.Column(name); c != nil && len(t.RowName) > 0 {
			return fmt.Sprintf("is it %s%s[%q].%s?", ld.AliasOf(mod), t.Name.Text, ld.Texts.At(t.RowName[0]), name)
		}
	}
	return ""
}

// oddTarget tells that the i-th name of a target, which is known, is not that of a cell or of a table with a row behind it.
func (ld *loader) oddTarget(mod *program.Module, r program.Ref, t text.Target, i int) text.Diag {
	name := t.Names[i].Text
	d := text.Diag{Code: "setting-form", Span: text.Span{Start: t.Span.Start, End: t.Names[i].Span.End}}
	path := ld.Root.Src.Text()[d.Span.Start:d.Span.End]
	switch {
	case r.Kind == program.ModuleRef:
		d.Msg, d.Hint = name+" is a whole sheet", fmt.Sprintf("name one of its cells: %s.NAME : VALUE", path)
		if t.Row.Given() {
			d.Hint = fmt.Sprintf("name the table in it: %s.TABLE[%q].%s", path, t.Row.Text, t.Column.Text)
		}
	case r.Kind == program.CellRef:
		d.Msg, d.Hint = path+" is a single value and has no parts", path+" : VALUE"
	default:
		tab := ld.Tables[r.Num]
		row, column := "ROW", "COLUMN"
		if len(tab.RowName) > 0 {
			row = ld.Texts.At(tab.RowName[0])
		}
		if d.Msg = path + " is a whole table"; i < len(t.Names)-1 {
			d.Span.End = t.Span.End
			column = t.Names[i+1].Text
			d.Msg = t.Text + " is a whole column"
			if _, isRow := tab.ByName[ld.Texts.Add(column)]; isRow {
				row = column
			}
			if tab.Column(column) == nil {
				d.Msg, column = t.Text+" names no column", "COLUMN"
			}
		}
		if column == "COLUMN" && len(tab.Cols) > 1 {
			column = tab.Cols[1].Name.Text
		}
		d.Hint = fmt.Sprintf("name one of its entries: %s[%q].%s", path, row, column)
	}
	return d
}
