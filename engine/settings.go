package engine

import (
	"fmt"
	"math"
	"strings"

	"gusset/sheets/text"
	"gusset/units/nearest"
)

// readVariants takes in the variants of the sheet that was asked for. A mistake in one spoils that
// variant, and those that start from it.
func (ld *loader) readVariants() {
	if len(ld.slots) > maxSlots {
		return // some of what they name has been left out
	}
	first := map[string]*variant{}
	for _, n := range ld.root.file.Nodes {
		node, ok := n.(*text.Variant)
		if !ok {
			continue
		}
		v := &variant{node: node}
		ld.readSettings(v)
		if old, twice := first[node.Name.Text]; twice {
			ld.mendVariant(old, node.Name.Span)
			ld.report(ld.root, text.Diag{
				Code: "variant-twice", Span: node.Name.Span, Msg: fmt.Sprintf("there is a variant %q already", node.Name.Text),
				Notes: []string{ld.setOn(ld.root, old.node.Name.Span)}, Hint: "give this one another name, or move its lines there",
			})
			continue
		}
		first[node.Name.Text] = v
		ld.variants = append(ld.variants, v)
	}
	for _, v := range ld.variants {
		if v.node.From.Given() {
			v.from = first[v.node.From.Text]
			if v.from == nil {
				ld.report(ld.root, ld.unknownVariant(v.node.From, v))
				ld.mendVariant(v, v.node.From.Span)
			}
		}
	}
	ld.breakVariantRings()
}

// unknownVariant tells that there is no variant to start from under a name.
func (ld *loader) unknownVariant(from text.Word, asking *variant) text.Diag {
	d := text.Diag{Code: "unknown-variant", Span: from.Span, Msg: fmt.Sprintf("there is no variant %q", from.Text)}
	var others []string
	for _, v := range ld.variants {
		if v != asking {
			others = append(others, v.node.Name.Text)
		}
	}
	d.Hint = "leave out the from: a variant starts from the sheet as it stands"
	if near, ok := nearest.Word(from.Text, others); ok && ld.looked.allow(len(others)) {
		d.Hint = fmt.Sprintf("is it %q?", near)
	}
	return d
}

// breakVariantRings reports variants that start from one another, once for each ring, and lets one of them start from the
// sheet.
func (ld *loader) breakVariantRings() {
	sound := map[*variant]bool{}
	for _, v := range ld.variants {
		var path []*variant
		place := map[*variant]int{} // on the path
		for at := v; at != nil && !sound[at]; at = at.from {
			if from, ring := place[at]; ring {
				ld.reportVariantRing(path[from:])
				for _, v := range path[from:] {
					ld.mendVariant(v, path[from].node.From.Span)
				}
				at.from = nil
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

func (ld *loader) reportVariantRing(ring []*variant) {
	d := text.Diag{Code: "variant-ring", Span: ring[0].node.From.Span, Msg: "a variant cannot start from itself", Hint: "leave out the from"}
	if len(ring) > 1 {
		var names []string
		for _, v := range ring[:min(len(ring), 6)] {
			names = append(names, fmt.Sprintf("%q", v.node.Name.Text))
		}
		if len(ring) > 6 {
			names = append(names, "...")
		}
		names = append(names, names[0])
		d.Msg = "these variants start from one another: " + strings.Join(names, " from ")
		d.Hint = "leave out one of the froms"
	}
	ld.report(ld.root, d)
}

// readSettings reads the lines of a variant.
func (ld *loader) readSettings(v *variant) {
	first := map[int32]text.Word{}
	for _, n := range v.node.Body {
		line, ok := n.(*text.Setting)
		if !ok {
			if bad, unread := n.(*text.Bad); unread {
				ld.mendVariant(v, bad.Span)
			}
			continue
		}
		s := ld.targetSlot(line.Target)
		if s == none {
			ld.mendVariant(v, line.Target.Span)
			continue
		}
		if old, twice := first[s]; twice {
			ld.mendVariant(v, line.Target.Span)
			ld.report(ld.root, text.Diag{
				Code: "setting-twice", Span: line.Target.Span, Msg: fmt.Sprintf("%s is set twice in this variant", line.Target.Text),
				Notes: []string{ld.setOn(ld.root, old.Span)}, Hint: "leave one of the two out",
			})
			continue
		}
		first[s] = line.Target.Word
		x := setting{slot: s, node: line}
		x.value, x.typ, x.said = ld.readSettingValue(line.Value, s)
		if x.said >= 0 {
			ld.mendVariant(v, line.Target.Span)
		}
		v.settings = append(v.settings, x)
	}
}

// readSettingValue reads the value that a variant gives a slot. Said is the number of the Diag that tells of a mistake, or -1.
func (ld *loader) readSettingValue(v text.Value, s int32) (value float64, t typ, said int) {
	sh, known := ld.slotShow(s), ld.slotType(s)
	if v.Kind != text.NoValue && known.kind != unknown && kindOf(v) != known.kind {
		return math.NaN(), known, ld.report(ld.root, ld.unlikeSetting(v, s, known))
	}
	if v.Kind == text.NumberValue && !v.GiveOrTake.Given() && sh.unit.String() == "" {
		num, err := ld.root.units.ParseNumber(v.Word.Text, sh.unit)
		if err == nil && num.HasUnit && num.Unit.Dim() != sh.unit.Dim() {
			place := "after its name"
			if ld.slots[s].entry {
				place = "in the table's head"
			}
			return math.NaN(), known, ld.report(ld.root, text.Diag{
				Code: "unit-unfit", Span: v.Word.Span, Msg: fmt.Sprintf("this is %s, but %s has no unit", num.Unit.Dim().Describe(), ld.slotName(s)),
				Notes: []string{ld.givenNote(s)}, Hint: fmt.Sprintf("leave out the unit, or put [%s] %s in the sheet", num.Unit, place),
			})
		}
	}
	value, t, said = ld.readGiven(ld.root, v, sh.unit.String() != "", sh)
	if of := ld.slotChoices(s); said < 0 && v.Kind == text.TextValue && !of.allows(int32(value)) {
		return math.NaN(), known, ld.report(ld.root, ld.unknownChoice(v.Word.Text, v.Word.Span, ld.slotName(s), of))
	}
	return value, t, said
}

// kindOf returns the kind of what is written.
func kindOf(v text.Value) kind {
	switch v.Kind {
	case text.TextValue:
		return writing
	case text.YesNoValue:
		return truth
	}
	return number
}

// unlikeSetting tells that a variant gives a number where a text is, or the like.
func (ld *loader) unlikeSetting(v text.Value, s int32, known typ) text.Diag {
	is := map[kind]string{writing: "a text", truth: "yes or no", number: "a number"}[kindOf(v)]
	d := text.Diag{Code: "setting-kind", Span: v.Word.Span, Msg: fmt.Sprintf("this is %s, but %s is %s", is, ld.slotName(s), known), Notes: []string{ld.givenNote(s)}}
	switch known.kind {
	case writing:
		d.Hint = fmt.Sprintf("text goes in quotes: %q", v.Word.Text)
	case truth:
		d.Hint = "write yes or no"
	default:
		d.Hint = "give " + known.String()
		if _, err := ld.root.units.ParseNumber(v.Word.Text, ld.slotShow(s).unit); err == nil {
			d.Hint = "leave out the quotes: " + v.Word.Text
		}
	}
	return d
}

// targetSlot returns the given slot that a target names, or none; what is wrong is said.
func (ld *loader) targetSlot(t text.Target) int32 {
	mod := ld.root
	last := len(t.Names) - 1
	for i, w := range t.Names {
		r, known := mod.names[w.Text]
		switch {
		case !known:
			ld.report(ld.root, ld.unknownTarget(mod, t, i))
			return none
		case r.kind == cellRef && ld.cells[r.num].unread():
			return none // its line, or that of its sheet, has been told of
		case r.kind == moduleRef && i < last:
			mod = mod.uses[r.num].mod
		case r.kind == tableRef && ld.tables[r.num].headless:
			return none
		case r.kind == cellRef && i == last && !t.Row.Given():
			return ld.cellTarget(ld.cells[r.num], t)
		case r.kind == tableRef && i == last && t.Row.Given():
			return ld.entryTarget(ld.tables[r.num], t)
		default:
			ld.report(ld.root, ld.oddTarget(mod, r, t, i))
			return none
		}
	}
	return none
}

// cellTarget returns the slot of a cell that a variant sets, if it is given.
func (ld *loader) cellTarget(c *cell, t text.Target) int32 {
	d := text.Diag{Code: "setting-worked", Span: t.Span, Notes: []string{"it is on " + ld.placeNote(ld.moduleOf(c.slot), ld.slotSpan(c.slot))}}
	switch {
	case c.show == unreadShow:
		return none
	case c.kind == givenCell:
		return c.slot
	case c.kind == workedCell:
		d.Msg, d.Hint = t.Text+" is worked out, not given", "set what it is worked out from"
	case c.kind == adjustedCell:
		d.Msg, d.Hint = t.Text+" is adjusted, not given", "set what its condition rests on"
	default:
		d.Msg, d.Hint = t.Text+" is a check, and a variant sets given values", "set what it compares"
	}
	ld.report(ld.root, d)
	return none
}

// entryTarget returns the slot of an entry of a table that a variant sets, if it is given.
func (ld *loader) entryTarget(tab *table, t text.Target) int32 {
	row, known := tab.byName[ld.texts.Add(t.Row.Text)]
	c := tab.column(t.Column.Text)
	d := text.Diag{Code: "setting-worked", Span: t.Span, Msg: t.Text + " is worked out, not given", Hint: "set what it is worked out from"}
	switch {
	case tab.ranged:
		d.Msg = fmt.Sprintf("the table %s makes its own rows, so none of them can be set", tab.name.Text)
		d.Hint = fmt.Sprintf("change its range in the sheet, on line %d", tab.mod.src.Position(tab.cols[0].name.Span.Start).Line)
	case (!known || c == nil) && tab.lost != none:
		return none
	case !known:
		d = ld.unknownRow(tab, t.Row.Text, &ld.looked)
		d.Span = t.Row.Span
	case c == nil:
		d = ld.unknownColumn(tab, t.Column.Text, &ld.looked)
		d.Span = t.Column.Span
	case c == tab.cols[0]:
		d.Code, d.Span = "setting-row-name", t.Column.Span
		d.Msg, d.Hint = fmt.Sprintf("%s names the rows of %s, so it cannot be set", c.name.Text, tab.name.Text), "a row with another name goes into the table itself"
	case c.show == unreadShow:
		return none
	case ld.slots[c.base+row].kind == given:
		return c.base + row
	default:
		d.Notes = []string{"it is on " + ld.placeNote(ld.moduleOf(c.base+row), ld.slotSpan(c.base+row))}
	}
	ld.report(ld.root, d)
	return none
}

// unknownTarget tells that a sheet has nothing of the i-th name of a target.
func (ld *loader) unknownTarget(mod *module, t text.Target, i int) text.Diag {
	name := t.Names[i].Text
	d := text.Diag{Code: "unknown-name", Span: t.Names[i].Span, Msg: "unknown name " + name}
	before := "" // what leads to the name
	if i > 0 {
		before = t.Names[i-1].Text + "."
		d.Msg = fmt.Sprintf("%s has no cell or table %s", t.Names[i-1].Text, name)
	}
	if !ld.looked.allow(len(mod.names) + len(ld.tables)) {
		return d
	}
	if _, isPage := mod.pageAt[name]; isPage && i < len(t.Names)-1 {
		d.Hint = fmt.Sprintf("a cell is named without its page: leave out %s.", name)
		return d
	}
	if d.Hint = ld.targetElsewhere(mod, name); d.Hint != "" {
		return d
	}
	var known []string
	for n := range mod.names {
		known = append(known, n)
	}
	if near, ok := nearest.Word(name, sorted(known)); ok {
		d.Hint = fmt.Sprintf("is it %s%s?", before, near)
		if r := mod.names[near]; mod == ld.root && r.span.Len() > 0 {
			d.Hint += fmt.Sprintf(" It is set on line %d", mod.src.Position(r.span.Start).Line)
		}
	} else if ld.pages.sets(name, false) {
		d.Hint = fmt.Sprintf("it is the library's: set %s in the sheet first, then a variant can give it another value", name)
	} else {
		d.Hint = fmt.Sprintf("a variant gives other values to what the sheet sets: put %s there first", name)
	}
	return d
}

// targetElsewhere suggests the sheet that is used, or the table, in which a name stands.
func (ld *loader) targetElsewhere(mod *module, name string) string {
	for _, u := range mod.uses {
		if _, ok := u.mod.names[name]; ok && mod == ld.root {
			return fmt.Sprintf("is it %s.%s?", u.alias, name)
		}
	}
	for _, t := range ld.tables {
		if t.mod != mod || t.list {
			continue
		}
		if c := t.column(name); c != nil && len(t.rowName) > 0 {
			return fmt.Sprintf("is it %s%s[%q].%s?", ld.aliasOf(mod), t.name.Text, ld.texts.At(t.rowName[0]), name)
		}
	}
	return ""
}

// oddTarget tells that the i-th name of a target, which is known, is not that of a cell or of a table with a row behind it.
func (ld *loader) oddTarget(mod *module, r ref, t text.Target, i int) text.Diag {
	name := t.Names[i].Text
	d := text.Diag{Code: "setting-form", Span: text.Span{Start: t.Span.Start, End: t.Names[i].Span.End}}
	path := string(ld.root.src.Data[d.Span.Start:d.Span.End])
	switch {
	case r.kind == moduleRef:
		d.Msg, d.Hint = name+" is a whole sheet", fmt.Sprintf("name one of its cells: %s.NAME : VALUE", path)
		if t.Row.Given() {
			d.Hint = fmt.Sprintf("name the table in it: %s.TABLE[%q].%s", path, t.Row.Text, t.Column.Text)
		}
	case r.kind == cellRef:
		d.Msg, d.Hint = path+" is a single value and has no parts", path+" : VALUE"
	default:
		tab := ld.tables[r.num]
		row, column := "ROW", "COLUMN"
		if len(tab.rowName) > 0 {
			row = ld.texts.At(tab.rowName[0])
		}
		if d.Msg = path + " is a whole table"; i < len(t.Names)-1 {
			d.Span.End = t.Span.End
			column = t.Names[i+1].Text
			d.Msg = t.Text + " is a whole column"
			if _, isRow := tab.byName[ld.texts.Add(column)]; isRow {
				row = column
			}
			if tab.column(column) == nil {
				d.Msg, column = t.Text+" names no column", "COLUMN"
			}
		}
		if column == "COLUMN" && len(tab.cols) > 1 {
			column = tab.cols[1].name.Text
		}
		d.Hint = fmt.Sprintf("name one of its entries: %s[%q].%s", path, row, column)
	}
	return d
}
