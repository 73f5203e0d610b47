package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// writeSheets writes files into a new folder, and returns it.
func writeSheets(t *testing.T, files map[string]string) string {
	top := t.TempDir()
	for name, data := range files {
		file := filepath.Join(top, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(t, os.WriteFile(file, []byte(data), 0o600))
	}
	return top
}

// TestAValueIsAdjusted shows that no other word searches for a value.
func TestAValueIsAdjusted(t *testing.T) {
	for word, want := range map[string]int{"adjust": allWell, "find": sheetErrors} {
		top := writeSheets(t, map[string]string{"a.gusset": word + " x from 1 to 2 so 2 * x = 3\n"})
		var out, errs bytes.Buffer
		assert.Equal(
			t, want, run([]string{"show", filepath.Join(top, "a.gusset")}, nil, &out, &errs), "%s: %s", word,
			errs.String(),
		)
	}
}

// TestTheBenchMarksAProject shows which file makes a folder that of a project.
func TestTheBenchMarksAProject(t *testing.T) {
	for mark, want := range map[string]int{"bench.gusset": allWell, "hangar.gusset": sheetErrors} {
		top := writeSheets(t, map[string]string{
			mark: "", "rack.gusset": "price : 3\n",
			"models/a.gusset": "use \"../rack.gusset\"\ntwo = 2 * rack.price\n",
		})
		var out, errs bytes.Buffer
		assert.Equal(
			t, want, run([]string{"show", filepath.Join(top, "models", "a.gusset")}, nil, &out, &errs),
			"%s: %s", mark, errs.String(),
		)
	}
}

// TestStatesInJSON shows by which words programs know how values and checks stand.
func TestStatesInJSON(t *testing.T) {
	top := writeSheets(t, map[string]string{"a.gusset": `
given   : 3
blank   :
rests   = blank + 1
broken  = 1 / (given - 3)
adjust x from 1 to 2 so 2 * x = 3
check good  = given > 2
check bad   = given > 4
check later = blank > 1
check none  = 1 / (given - 3) > 1
table t
  part | w
  one  | 1
  two  |
  v = 1 / (w - 1)
`})
	var out, errs bytes.Buffer
	assert.Equal(
		t, sheetErrors, run([]string{"show", filepath.Join(top, "a.gusset"), "--json"}, nil, &out, &errs),
		errs.String(),
	)
	var r record
	require.NoError(t, json.Unmarshal(out.Bytes(), &r), out.String())
	cells := map[string]string{}
	for _, c := range r.Cells {
		cells[c.Name] = c.Kind + " " + c.Status
	}
	assert.Equal(t, map[string]string{
		"given": "given ok", "blank": "given waits", "rests": "worked waits", "broken": "worked none",
		"x": "adjusted ok",
	}, cells)
	checks := map[string]string{}
	for _, c := range r.Checks {
		checks[c.Name] = c.State
	}
	assert.Equal(t, map[string]string{"good": "holds", "bad": "fails", "later": "waits", "none": "none"}, checks)
	var entries []string
	for _, row := range r.Tables[0].Rows {
		entries = append(entries, row.Cells[1].Status, row.Cells[2].Status)
	}
	assert.Equal(t, []string{"ok", "none", "waits", "waits"}, entries)
}
