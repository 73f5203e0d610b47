package explain

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestMargins: how far a condition is from coming out otherwise, as a share of the larger side; of all that must hold the
// least counts, of alternatives the best.
func TestMargins(t *testing.T) {
	t.Parallel()
	inf := math.Inf(1)
	for condition, want := range map[string]float64{
		"a < 8": 0.5, "8 > a": 0.5, "a > 8": -0.5, "a >= 3": 0.25, "not (a > 8)": 0.5, "not (a < 8)": -0.5,
		"a < 8 and a > 3": 0.25, "a > 8 and a > 16": -0.75, "a < 8 or a > 3": 0.5, "a > 8 or a > 16": -0.5,
		"not (a < 8 or a > 3)": -0.5, "a > 3 ? a < 8 : a > 8": 0.5, "a < 3 ? a < 8 : a < 5": 0.2,
		"all(rows, .x < 8)": 0.25, "any(rows, .x < 8)": 0.75, "none(rows, .x > 8)": 0.25, "none(rows, .x < 4)": -0.5,
		"all(rows, .x < 4)": -1. / 3, "any(rows, .x > 8)": -0.25, "a == 5": -0.2, "a != 5": 0.2, "a == 4": inf,
		`word == "x"`: inf, `word == "y"`: -1, "yes_or_no": inf, "light": 0.5, "not light": -0.5, "0 - a < 4": 2,
	} {
		e := load(t, "a : 4\nword : \"x\"\nyes_or_no : yes\nlight = a < 8\ntable rows\n  row | x\n  r | 2\n  s | 6\n"+
			"check c = "+condition+"\n")
		s, err := e.FindSlot("c")
		assert.NoError(t, err)
		got := Margin(e, s, func(int32) bool { return true })
		if math.IsInf(want, 0) {
			assert.Equal(t, want, got, condition)
		} else {
			assert.InDelta(t, want, got, 1e-12, condition)
		}
	}
}
