package code

import (
	"maps"
	"slices"

	"gusset/engine/check"
	"gusset/engine/program"
)

// Fact is what is known of a given slot before the check: of what kind it is, and whether its line has a mistake.
type Fact struct {
	Type   program.Type
	Diag   int // number of the Diag about it when it is broken; else, or if it is reported elsewhere, -1
	Broken bool
}

// FactOf returns what the sheet as it stands tells of a given slot.
func (c *Code) FactOf(s int32) Fact {
	diag, broken := c.Bound.Broken.At(s)
	return Fact{c.Bound.SlotType(s), diag, broken}
}

// FactNow returns what the program in use takes a slot for.
func (c *Code) FactNow(s int32) Fact {
	if f, ok := c.Facts[s]; ok {
		return f
	}
	return c.FactOf(s)
}

// New checks a bound program, and returns its code. The nodes and the types of cells and columns, which are nearly all
// of a large program, are not copied for that: the check writes nothing of them that it would not write again.
func New(bound *program.Program) *Code {
	return checked(bound, *bound)
}

// With returns the code of the same program, in which some given slots are not what the sheet as it stands tells of
// them: a value that was missing or could not be read may be a text, a number, or yes and no. All that the check does
// not write is shared.
func (c *Code) With(facts map[int32]Fact) *Code {
	if len(facts) == 0 {
		return c.first
	}
	p := *c.Bound
	p.Nodes, p.CellTypes, p.ColumnTypes = slices.Clone(p.Nodes), slices.Clone(p.CellTypes), slices.Clone(p.ColumnTypes)
	p.Types, p.TypeNum = c.first.Types, c.first.TypeNum // whose numbers the nodes have
	p.Broken = slices.Clone(p.Broken)
	for _, s := range slices.Sorted(maps.Keys(facts)) {
		assume(&p, s, facts[s])
	}
	other := checked(c.Bound, p)
	other.Facts, other.first = facts, c.first
	return other
}

// checked checks a copy of a bound program.
func checked(bound *program.Program, p program.Program) *Code {
	p.Types, p.TypeNum = slices.Clone(p.Types), maps.Clone(p.TypeNum)
	p.Diags, p.Broken, p.Pending = slices.Clone(p.Diags), slices.Clone(p.Broken), slices.Clone(p.Pending)
	check.All(&p)
	c := &Code{Program: &p, Bound: bound}
	c.first = c
	c.Compile(false)
	return c
}

// assume makes a fact of a slot known to the check.
func assume(p *program.Program, s int32, f Fact) {
	p.Broken.Mend(s)
	if f.Broken {
		p.Broken.Add(s, f.Diag)
	}
	switch sl := p.Slots[s]; {
	case f.Type.Kind == program.Unknown:
	case sl.Entry:
		p.ColumnTypes[sl.Owner] = f.Type
	default:
		p.CellTypes[sl.Owner] = f.Type
	}
}
