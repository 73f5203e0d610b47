package engine

import "testing"

// rounds returns how many rounds a test goes: all of them, or, under -short, so few that each kind of thing still
// comes up.
func rounds(whole, short int) int {
	if testing.Short() {
		return short
	}
	return whole
}
