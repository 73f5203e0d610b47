package program

import "slices"

// brokenSlots says which slots have a mistake in their formula or in the value given: by slot, 0 when there is none, 1
// when it is reported elsewhere, and otherwise 2 more than the number of the Diag that reports it. A sheet may have
// millions of them; one without mistakes has an empty list.
type brokenSlots []int32

// At returns the Diag that reports the mistake of a slot, -1 when it is reported elsewhere.
func (b brokenSlots) At(s int32) (diag int, broken bool) {
	if int(s) >= len(b) || b[s] == 0 {
		return -1, false
	}
	return int(b[s]) - 2, true
}

// Add notes the mistake of a slot, unless it has one.
func (b *brokenSlots) Add(s int32, diag int) {
	if short := int(s) + 1 - len(*b); short > 0 {
		*b = slices.Grow(*b, short)[:s+1]
	}
	if (*b)[s] == 0 {
		(*b)[s] = int32(diag) + 2
	}
}

// By notes the mistake of a slot that a Diag reports, if it is one: -1 stands for none.
func (b *brokenSlots) By(s int32, diag int) {
	if diag >= 0 {
		b.Add(s, diag)
	}
}

// Mend takes the mistake of a slot away.
func (b brokenSlots) Mend(s int32) {
	if int(s) < len(b) {
		b[s] = 0
	}
}
