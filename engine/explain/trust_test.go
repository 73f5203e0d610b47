package explain_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestRemarksOnValues: what uses a formula outside the range where it is to be trusted has remarks, and what rests on
// it is counted; only what a value really used counts.
func TestRemarksOnValues(t *testing.T) {
	m := loaded(t, `
small [in] : 10
large [in] : 40
own [in] = rule(small)
after [in] = own + rule(large)
both = own > 0 and after > 0
inner [in] = rule(rule(small) * 4)
through [in] = calls_rule(small)
taken [in] = large > 20 [in] ? rule(large) : rule(small)
given_first [in] = large ?? rule(small)
table t
  n | w [in]
  a | 10
  b | 40
  of_row [in] = rule(w)
  share       = w / max(map(t, rule(.w)))
over_rows [in] = sum(map(t, rule(.w)))
large_rows [in] = sum(filter(t, .w > 20 [in]), rule(.w))
adjust at [in] from 1 to 100 so rule(at) * 2 = small
listed [in] = sum([rule(small), large])
above [in] = listed + 0 [in]
waits [in] = rule(nothing)
nothing [in] :
formula rule(x [in]) [in] = x
  trust x >= 20 [in] // too short
formula calls_rule(x [in]) [in] = rule(x) + 0 [in]
`)
	const remark = "rule: too short"
	for name, want := range map[string]struct {
		own    bool
		within int
	}{
		"small": {false, 0}, "own": {true, 1}, "after": {false, 1}, "both": {false, 1}, "inner": {true, 1}, "taken": {false,
			0}, "given_first": {false, 0},
		`t["a"].of_row`: {true, 1}, `t["b"].of_row`: {false, 0}, `t["b"].share`: {true, 1}, "over_rows": {true, 1},
		"large_rows": {false, 0},
		"at":         {true, 1}, "waits": {false, 0}, "listed": {true, 1}, "above": {false, 1},
	} {
		v, err := m.Value(name)
		require.NoError(t, err)
		if want.own {
			assert.Equal(t, []string{remark}, v.Remarks, name)
		} else {
			assert.Empty(t, v.Remarks, name)
		}
		assert.Equal(t, want.within, v.Remarked, name)
	}
	v, err := m.Value("through")
	require.NoError(t, err)
	assert.Equal(t, []string{remark}, v.Remarks)
	require.NoError(t, m.Set("small", "20"))
	v, err = m.Value("after")
	require.NoError(t, err)
	assert.Zero(t, v.Remarked)
}
