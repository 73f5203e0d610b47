package program

import (
	"strconv"

	"gusset/sheets/text"
	"gusset/units/nearest"
)

// Variant is a set of other given values for the sheet that was asked for.
type Variant struct {
	Node     *text.Variant
	From     *Variant  // nil: the sheet as it stands
	Settings []Setting // its own, but for those whose target has a mistake
	Mend     []int     // lines to mend before it has results
}

// GivenValue is a given value as it was read.
type GivenValue struct {
	Value float64 // SI; NaN: nothing, or a mistake
	Type  Type
	Off   *Tolerance // how far off it may be; nil: it does not say
	Diag  int        // number of the Diag about the value, or -1
}

// Setting is what a variant gives a slot.
type Setting struct {
	Slot int32
	GivenValue
	Node *text.Setting
}

// ToMend returns the variant with a mistake that a variant is or starts from; nil if there is none.
func (v *Variant) ToMend() *Variant {
	for ; v != nil; v = v.From {
		if len(v.Mend) > 0 {
			return v
		}
	}
	return nil
}

// All returns what a variant sets, with what those set that it starts from.
func (v *Variant) All() map[int32]Setting {
	set := map[int32]Setting{}
	for ; v != nil; v = v.From {
		for _, s := range v.Settings {
			if _, later := set[s.Slot]; !later {
				set[s.Slot] = s
			}
		}
	}
	return set
}

// VariantNamed returns a variant by its name, nil for the empty one.
func (p *Program) VariantNamed(name string) (*Variant, error) {
	var names []string
	for _, v := range p.Variants {
		if v.Node.Name.Text == name {
			return v, nil
		}
		names = append(names, v.Node.Name.Text)
	}
	if name == "" {
		return nil, nil
	}
	if len(names) == 0 {
		return nil, Errorf(ErrNoSuchName, name, "%s has no variants", p.Root.Src.Name)
	}
	if near, ok := nearest.Word(name, names); ok {
		return nil, Errorf(ErrNoSuchName, name, "%s has no variant %q; is it %q?", p.Root.Src.Name, name, near)
	}
	for i, n := range names {
		names[i] = strconv.Quote(n)
	}
	return nil, Errorf(ErrNoSuchName, name, "%s has no variant %q; it has %s", p.Root.Src.Name, name, JoinSome(names, 5))
}
