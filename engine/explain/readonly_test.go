package explain

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/bind"
	"gusset/engine/code"
	"gusset/engine/program"
	"gusset/engine/state"
)

// TestReadsOfStockAreNotCut: what a stock_needed reads is found without laying its pieces out again, unless the formula
// goes on with what it comes to.
func TestReadsOfStockAreNotCut(t *testing.T) {
	t.Parallel()
	files := fstest.MapFS{"x.gusset": {Data: []byte(`
table parts
  part | many | long [in] | wide [in]
  rib  | 4    | 9 ± 1/16  | 1
long [in] : 36
sheets [1, 1] = stock_needed(parts, .many, .long, .wide, long, 3 [in], 0 [in], no)
cost [GBP] = sheets * 2 [GBP]
inside [GBP] = 2 [GBP] * stock_needed(parts, .many, .long, .wide, long, 3 [in], 0 [in], no)
`)}}
	p, err := bind.Sheet(t.Context(), program.Sources{Files: files}, "x.gusset")
	require.NoError(t, err)
	st, err := state.New(t.Context(), code.New(p), Reasons)
	require.NoError(t, err)
	reads := map[string][]int32{}
	for name, cut := range map[string]bool{"sheets": false, "cost": false, "inside": true} {
		s, err := st.FindSlot(name)
		require.NoError(t, err)
		ev := newCauses(st).evaluator()
		reads[name] = ev.readBy(s, nil)
		assert.Equal(t, cut, ev.steps >= effortOfCut, name)
	}
	assert.Len(t, reads["sheets"], 4)
	assert.Equal(t, reads["sheets"], reads["inside"])
	assert.Len(t, reads["cost"], 1)
}
