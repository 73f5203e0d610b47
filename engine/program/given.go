package program

import "slices"

const (
	mostBehind  = 1000 // how many things are looked at for what a value is worked out from
	namedBehind = 3    // how many of those that are given are named
)

// setInstead says which given values may be set in the place of one that is worked out: first those of its own
// dimension, as a usual density is behind a density, and the nearest first.
func setInstead(p *Program, s int32) string {
	const instead = "set what it is worked out from"
	if p.Needs == nil { // no formula has been read yet
		return instead
	}
	var alike, names, others []string // of its dimension, other numbers, and what decides between them
	of := typeOfThing(p, s)
	for _, t := range givenBehind(p, s) {
		list := &others
		if is := typeOfThing(p, t); is.Kind == Number {
			list = &names
			if is.Dim == of.Dim {
				list = &alike
			}
		}
		if name := besideName(p, s, t); !slices.Contains(*list, name) {
			*list = append(*list, name)
		}
	}
	names = slices.Concat(alike, names, others)
	if len(names) == 0 {
		return "change its formula instead"
	}
	return instead + ": " + JoinSome(names, namedBehind)
}

// givenBehind returns the given slots and columns that a value is worked out from, the nearest first; the library's
// figures are left out.
func givenBehind(p *Program, s int32) []int32 {
	var given []int32
	seen := map[int32]bool{s: true}
	for list := []int32{s}; len(list) > 0 && len(seen) < mostBehind; list = list[1:] {
		for _, t := range p.Needs.Needs(list[0]) {
			switch column := WholeColumn(p, t); {
			case seen[t]:
				continue
			case FormulaOf(p, t) != nil:
			case column != nil && !column.Table.Mod.Library && !column.Table.Ranged && column.Worked == nil,
				column == nil && p.Slots[t].Kind == Given && !p.Slots[t].Hidden && !p.ModuleOf(t).Library:
				given = append(given, t)
			}
			seen[t] = true
			list = append(list, t)
		}
	}
	return given
}

// typeOfThing returns the type of a slot, or of what a column holds.
func typeOfThing(p *Program, thing int32) Type {
	if c := WholeColumn(p, thing); c != nil {
		return p.ColumnTypes[c.Number]
	}
	return p.SlotType(thing)
}

// besideName names a thing for whoever looks at slot s: an entry of the same row by its column.
func besideName(p *Program, s, thing int32) string {
	if !IsSlot(p, thing) {
		return ThingName(p, thing)
	}
	switch {
	case SameRow(p, s, thing):
		return p.Columns[p.Slots[thing].Owner].Name.Text
	case p.ModuleOf(s) == p.ModuleOf(thing):
		return p.OwnName(thing)
	}
	return p.SlotName(thing)
}
