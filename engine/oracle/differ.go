package oracle

import (
	"fmt"
	"math"
)

// Answer is what a program that is tested says of a value.
type Answer struct {
	State  State
	Number float64 // SI; 1 and 0 for yes and no
	Text   string  // of a text
}

// slack is how many times the bound two programs may differ: each may round as far as that, and the numbers are
// turned into a cell's unit and back on the way here.
const slack = 4

// Differs says how an answer differs from what the oracle finds, or nothing; sure is false if the oracle cannot
// tell.
func (s *Sheet) Differs(name string, got Answer) (problem string, sure bool) {
	sl := s.find(name)
	if sl == nil {
		return fmt.Sprintf("%s: the oracle does not find it", name), true
	}
	want := s.slot(sl)
	allowed := slack * (want.off + ulp*math.Abs(want.x))
	switch {
	case want.state == Unsure:
		return "", false
	case want.state != got.State:
		return fmt.Sprintf("%s: state %d (%v), want state %d (%v)", name, got.State, got.Number, want.state, want.x), true
	case want.state != Known:
	case want.kind == words && got.Text != want.text:
		return fmt.Sprintf("%s: %q, want %q", name, got.Text, want.text), true
	case want.kind != words && !(math.Abs(got.Number-want.x) <= allowed):
		return fmt.Sprintf("%s: %v, want %v within %.1g", name, got.Number, want.x, allowed), true
	}
	return "", true
}
