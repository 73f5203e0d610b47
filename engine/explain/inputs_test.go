package explain_test

import (
	"maps"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/bind"
	"gusset/engine/code"
	"gusset/engine/explain"
	"gusset/engine/program"
	"gusset/engine/state"
)

// TestInputsBehind: which given values behind a result say how far off they may be, and which should.
func TestInputsBehind(t *testing.T) {
	st := loadedState(t, map[string]string{"x.gusset": `
use "rack.gusset"
stock : "balsa"
small : yes
sheets [1, 1] : 3
price [GBP] : 4
length [in] : 20 ± 1/16
width [in, 1/16] : 3
height [in, 1/8] : 5 ?
none [in] : 0 ?
factor : 1.5 ±  10 % sd
table parts
  part | side  | arm [in] | estimated [oz] | weighed [oz]
  wing | "left"  | 5        | 7 ± 1          |
  tail | "right" | 9 ± 1/8  | 3              | 2.5
  weight [oz] = weighed ?? estimated
area [sq in] = length * width
mass [oz] = sum(parts.weight)
left [oz] = sum(filter(parts, .side == "left"), .weight)
far [oz] = sum(filter(parts, .arm > 6 [in]), .weight)
chosen [in] = small ? width : height
flips [in] = mass > 5 [oz] ? width : height
both = mass > 5 [oz] and height > 1 [in]
wood [lb/cu ft] = rack.stock[stock].density
cost [GBP] = price * sheets
plain = none / 1 [in]
adjust at [in] from 0 to 50 so at * mass = length * 10 [oz]
`, "rack.gusset": `
table stock
  name  | density [lb/cu ft]
  balsa | 9 ± 15 %
  ply   | 40
`})
	for _, tt := range []struct{ of, drawn, undeclared string }{
		{"area", "length", "width"},
		{"mass", `parts["wing"].estimated`, ""},
		{"left", `parts["wing"].estimated`, ""},
		{"far", `parts["tail"].arm parts["wing"].estimated`, `parts["wing"].arm`},
		{"chosen", "", "width"},
		{"flips", `height parts["wing"].estimated`, "width"},
		{"both", `height parts["wing"].estimated`, ""},
		{"wood", `rack.stock["balsa"].density`, ""},
		{"cost", "", ""},
		{"plain", "", "none"},
		{"at", `length parts["wing"].estimated`, ""},
		{"factor", "factor", ""},
	} {
		s, err := st.FindSlot(tt.of)
		require.NoError(t, err, tt.of)
		assert.Equal(t, tt.drawn, names(st, explain.Drawn(st, []int32{s})), tt.of)
		assert.Equal(t, tt.undeclared, names(st, explain.Undeclared(st, []int32{s})), tt.of)
	}
	require.NoError(t, st.SetAll(state.Setting{Name: "small", Value: "no"}, state.Setting{Name: "length", Value: "20"}))
	s, _ := st.FindSlot("chosen")
	assert.Equal(t, "height", names(st, explain.Drawn(st, []int32{s})))
	s, _ = st.FindSlot("area")
	assert.Equal(t, "length width", names(st, explain.Undeclared(st, []int32{s})))
}

// loadedState returns the state of x.gusset in some files.
func loadedState(t *testing.T, files map[string]string) *state.State {
	t.Helper()
	dir := fstest.MapFS{}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		dir[name] = &fstest.MapFile{Data: []byte(files[name])}
	}
	p, err := bind.Sheet(t.Context(), program.Sources{Files: dir}, "x.gusset")
	require.NoError(t, err)
	require.Empty(t, p.Diags)
	st, err := state.New(t.Context(), code.New(p), explain.Reasons)
	require.NoError(t, err)
	return st
}

// names returns the names of slots, in alphabetical order.
func names(st *state.State, slots []int32) string {
	var list []string
	for _, s := range slots {
		list = append(list, st.SlotName(s))
	}
	slices.Sort(list)
	return strings.Join(list, " ")
}
