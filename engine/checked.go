package engine

import (
	"maps"
	"slices"
)

// fact is what is known of a given slot before the check: of what kind it is, and whether its line has a mistake.
type fact struct {
	typ    typ
	said   int // number of the Diag about it when it is broken; else, or if it is said elsewhere, -1
	broken bool
}

// factOf returns what the sheet as it stands tells of a given slot.
func (c *Code) factOf(s int32) fact {
	said, broken := c.bound.broken.at(s)
	return fact{c.bound.slotType(s), said, broken}
}

// checked returns the code of a bound program, in which some given slots are not what the sheet as it stands tells of them: a
// value that was missing or could not be read may be a text, a number, or yes and no. All that the check does not write is
// shared.
func checked(bound *Program, facts map[int32]fact) *Code {
	p := *bound
	p.nodes, p.types, p.typeNum = slices.Clone(p.nodes), slices.Clone(p.types), maps.Clone(p.typeNum)
	p.cellTypes, p.columnTypes = slices.Clone(p.cellTypes), slices.Clone(p.columnTypes)
	p.diags, p.broken = slices.Clone(p.diags), slices.Clone(p.broken)
	for _, s := range slices.Sorted(maps.Keys(facts)) {
		assume(&p, s, facts[s])
	}
	checkAll(&p)
	c := &Code{Program: &p, bound: bound, facts: facts}
	c.compile(false)
	return c
}

// assume makes a fact of a slot known to the check.
func assume(p *Program, s int32, f fact) {
	p.broken.mend(s)
	if f.broken {
		p.broken.add(s, f.said)
	}
	switch sl := p.slots[s]; {
	case f.typ.kind == unknown:
	case sl.entry:
		p.columnTypes[sl.owner] = f.typ
	default:
		p.cellTypes[sl.owner] = f.typ
	}
}
