package engine

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/program"
)

// TestEntriesOf names values as --cells takes them.
func TestEntriesOf(t *testing.T) {
	m, err := Load(program.Sources{Files: fstest.MapFS{
		"x.gusset":    {Data: []byte("use \"rack.gusset\"\na = 1\ntable t\n  n | x | y\n  p | 1 | 2\n  \"q.]\" | 3 | 4\n")},
		"rack.gusset": {Data: []byte("b : 2\ntable stock\n  n | x | y\n  \"3/4\\\" ply\" | 1 | 2\n")},
	}}, "x.gusset")
	require.NoError(t, err)
	for name, want := range map[string][]string{
		"a": {"a"}, "t": {`t["p"].x`, `t["p"].y`, `t["q.]"].x`, `t["q.]"].y`}, "t.y": {`t["p"].y`, `t["q.]"].y`},
		"t[p]":       {`t["p"].x`, `t["p"].y`},
		`t["q.]"].x`: {`t["q.]"].x`}, "rack.b": {"rack.b"}, "rack.stock.x": {`rack.stock["3/4\" ply"].x`},
		`rack.stock["3/4\" ply"].x`: {`rack.stock["3/4\" ply"].x`},
		"t.n":                       {`t["p"].n`, `t["q.]"].n`},
	} {
		list, err := m.EntriesOf(name)
		require.NoError(t, err, name)
		var names []string
		for _, e := range list {
			names = append(names, e.Name)
			v, err := m.Value(e.Name)
			require.NoError(t, err)
			assert.Equal(t, v, e.Value, "%s is the name that Value takes", e.Name)
		}
		assert.Equal(t, want, names, name)
	}
	for name, want := range map[string]string{
		"b": "unknown name b; is it rack.b?", "a.b": "a is a single value and has no parts",
		"rack": "rack is a whole sheet; name one of its cells: rack.NAME",
		"t.z":  "the table t has no column z; it has n, x and y", "t[r]": `the table t has no row "r"; it has p and q.]`,
	} {
		_, err := m.EntriesOf(name)
		assert.EqualError(t, err, want, name)
	}
}
