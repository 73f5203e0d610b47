package explain

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/bind"
	"gusset/engine/code"
	"gusset/engine/program"
	"gusset/engine/state"
)

// load returns an Explainer of a sheet as it stands.
func load(t *testing.T, sheet string) *Explainer {
	t.Helper()
	src := program.Sources{Files: fstest.MapFS{"x.gusset": {Data: []byte(sheet)}}}
	p, err := bind.Sheet(t.Context(), src, "x.gusset")
	require.NoError(t, err)
	st, err := state.New(t.Context(), code.New(p), Reasons)
	require.NoError(t, err)
	return New(st)
}

// TestNothingStandsInForALongWait shows that nothing stands in for what waits for very many values when a late one of
// them has no result, and that something does when all are only not given.
func TestNothingStandsInForALongWait(t *testing.T) {
	var rows, cells, terms strings.Builder
	for i := range 2 * maxRoots {
		fmt.Fprintf(&rows, "  r%d | |\n", i)
		fmt.Fprintf(&cells, "c%d :\n", i)
		fmt.Fprintf(&terms, "c%d + ", i)
	}
	sheet := "table parts\n  part | weight [oz] | share\n" + rows.String() + "  last | = 1 [oz] / 0 | 2\n" +
		cells.String() + `
nothing = 1 / 0
heavy [oz] = sum(parts.weight)
chosen [oz] = sum(filter(parts, .share == 2).weight)
others [oz] = sum(filter(parts, .part != "last").weight)
shares = sum(parts.share)
inverse = sum(map(parts, 1 / (.share - 2)))
long = ` + terms.String() + `nothing
fine = ` + terms.String() + `1
far = heavy / 1 [oz] + fine
adjust at from 0 to 10 so at = long
adjust on from 0 to 10 so on = fine
a [oz] = heavy ?? 5 [oz]
b [oz] = chosen ?? 5 [oz]
c [oz] = others ?? 5 [oz]
d = shares ?? 5
e = long ?? 5
f = fine ?? 5
g = far ?? 5
h = inverse ?? 5
i = at ?? 5
j = on ?? 5
`
	e := load(t, sheet)
	for name, stands := range map[string]bool{
		"a": false, "b": false, "c": true, "d": true, "e": false, "f": true, "g": false, "h": false, "i": false, "j": true,
	} {
		v, err := e.Value(name)
		require.NoError(t, err)
		assert.Equal(t, stands, v.Status == OK, "%s: %s", name, v.Reason)
		if stands {
			assert.Equal(t, 5.0, v.Number, name)
		}
	}
}

// TestCauseOf: what a slot lacks, or what of it has no result; with neither it is not given.
func TestCauseOf(t *testing.T) {
	t.Parallel()
	e := load(t, "a : 4\nlater :\nb = sqrt(0 - a)\nc = later + 1\n")
	for name, want := range map[string]struct {
		missing []string
		fault   string
	}{"later": {}, "b": {fault: "this is negative and has no square root"}, "c": {missing: []string{"later"}}} {
		s, err := e.FindSlot(name)
		require.NoError(t, err)
		missing, fault := CauseOf(e, s)
		var names []string
		for _, m := range missing {
			names = append(names, e.SlotName(m))
		}
		assert.Equal(t, want.missing, names, name)
		assert.Equal(t, want.fault, fault, name)
	}
}
