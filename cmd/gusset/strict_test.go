package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestStrictStatus shows what the exit status tells of checks, with --strict and without.
func TestStrictStatus(t *testing.T) {
	for name, tt := range map[string]struct {
		sheet         string
		plain, strict int
	}{
		"holds":                  {"check a = 2 > 1\n", allWell, allWell},
		"waits":                  {"b :\ncheck a = b > 1\n", allWell, allWell},
		"fails":                  {"check a = 1 > 2\n", allWell, checkUnmet},
		"has no result":          {"b : -1\ncheck a = sqrt(b) > 1\n", sheetErrors, checkUnmet},
		"waits for no result":    {"b = sqrt(c)\nc : -1\ncheck a = b > 1\n", sheetErrors, sheetErrors},
		"cannot be read":         {"check a = bb > 1\n", sheetErrors, sheetErrors},
		"fails beside a mistake": {"check a = 1 > 2\nb = cc\n", sheetErrors, sheetErrors},
	} {
		file := filepath.Join(t.TempDir(), "a.gusset")
		require.NoError(t, os.WriteFile(file, []byte(tt.sheet), 0o600))
		for _, command := range [][]string{{"show", file}, {"compare", file, file}} {
			var out, errs bytes.Buffer
			assert.Equal(t, tt.plain, run(command, nil, &out, &errs), "%s: %v: %s", name, command[0], errs.String())
			assert.Equal(
				t, tt.strict, run(append(command, "--strict"), nil, &out, &errs), "%s: %v --strict: %s", name,
				command[0], errs.String(),
			)
		}
	}
}
