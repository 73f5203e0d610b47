package engine

import (
	"fmt"
	"gusset/sheets/text"
	"gusset/units/nearest"
	"strconv"
)

// variant is a set of other given values for the sheet that was asked for.
type variant struct {
	node     *text.Variant
	from     *variant  // nil: the sheet as it stands
	settings []setting // its own, but for those whose target has a mistake
	mend     []int     // lines to mend before it has results
}

// setting is what a variant gives a slot.
type setting struct {
	slot  int32
	value float64
	typ   typ
	said  int // number of the Diag about the value, or -1
	node  *text.Setting
}

// toMend returns the variant with a mistake that a variant is or starts from; nil if there is none.
func (v *variant) toMend() *variant {
	for ; v != nil; v = v.from {
		if len(v.mend) > 0 {
			return v
		}
	}
	return nil
}

// all returns what a variant sets, with what those set that it starts from.
func (v *variant) all() map[int32]setting {
	set := map[int32]setting{}
	for ; v != nil; v = v.from {
		for _, s := range v.settings {
			if _, later := set[s.slot]; !later {
				set[s.slot] = s
			}
		}
	}
	return set
}

// variantNamed returns a variant by its name, nil for the empty one.
func (m *Program) variantNamed(name string) (*variant, error) {
	var names []string
	for _, v := range m.variants {
		if v.node.Name.Text == name {
			return v, nil
		}
		names = append(names, v.node.Name.Text)
	}
	if name == "" {
		return nil, nil
	}
	if len(names) == 0 {
		return nil, fmt.Errorf("%s has no variants", m.root.src.Name)
	}
	if near, ok := nearest.Word(name, names); ok {
		return nil, fmt.Errorf("%s has no variant %q; is it %q?", m.root.src.Name, name, near)
	}
	for i, n := range names {
		names[i] = strconv.Quote(n)
	}
	if len(names) > 6 {
		names = append(names[:5:5], fmt.Sprintf("%d more", len(names)-5))
	}
	return nil, fmt.Errorf("%s has no variant %q; it has %s", m.root.src.Name, name, joinWords(names))
}

// mendWords says what to mend.
func (m *Program) mendWords(what string, mod *module, lines []int) string {
	s := fmt.Sprintf("%s was not read whole: mend line %d", what, lines[0])
	if more := len(lines) - 1; more > 0 {
		s += fmt.Sprintf(" and %d more", more)
	}
	if mod != m.root {
		s += " of " + mod.src.Name
	}
	return s
}
