package explain

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestWhyHasTheFormula: as it is written, of a cell, of an entry that has one of its own, of one of a worked column and
// of a check.
func TestWhyHasTheFormula(t *testing.T) {
	t.Parallel()
	e := load(t, "a [oz] : 3\ntable t\n  n | v [oz]\n  x | = a + 2 [oz]\n  w [oz] = v * 2\ns [oz] = sum(t.w)\n"+
		"check c = (s > 3 [oz])\n")
	for name, want := range map[string]string{
		`t["x"].v`: "a + 2 [oz]", `t["x"].w`: "v * 2", "s": "sum(t.w)", "c": "(s > 3 [oz])", "a": "",
	} {
		r, err := e.WhyOneStep(name)
		require.NoError(t, err, name)
		assert.Equal(t, want, r.Formula, name)
	}
}

// TestStatesOfChecks: also of one that is not there, beside an error.
func TestStatesOfChecks(t *testing.T) {
	t.Parallel()
	e := load(t, "a : 1\nlater :\ncheck holds = a > 0\ncheck fails = a > 1\ncheck waits = later > 0\ncheck none = 1 / (a - a) > 0\n")
	for name, want := range map[string]CheckState{
		"holds": CheckHolds, "fails": CheckFails, "waits": CheckWaits, "none": CheckNone,
	} {
		s, err := e.FindSlot(name)
		require.NoError(t, err)
		assert.Equal(t, want, e.ViewValue(s).State(), name)
	}
	assert.Equal(t, CheckAbsent, noValue.State())
}
