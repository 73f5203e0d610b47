package main

import (
	"bytes"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestReadme keeps the README honest: its sheet gives the output that it shows, and its list of exit statuses and
// commands is that of the program.
func TestReadme(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	blocks := regexp.MustCompile("(?s)```(gusset|text)\n(.*?)```").FindAllStringSubmatch(string(readme), -1)
	require.GreaterOrEqual(t, len(blocks), 4)
	sheet, shown, why, slip := blocks[0][2], blocks[1][2], blocks[2][2], blocks[3][2]

	t.Chdir(t.TempDir())
	try := func(sheet string, args ...string) (stdout, stderr string) {
		require.NoError(t, os.WriteFile("hedge-lantern.gusset", []byte(sheet), 0o644))
		var out, errs bytes.Buffer
		run(args, nil, &out, &errs)
		return out.String(), errs.String()
	}
	out, errs := try(sheet, "show", "hedge-lantern.gusset")
	require.Equal(t, shown, out)
	require.Empty(t, errs)
	out, _ = try(sheet, "tidy", "--check", "hedge-lantern.gusset")
	require.Empty(t, out)
	out, _ = try(sheet, "why", "hedge-lantern.gusset", "loading")
	require.True(t, strings.HasPrefix(out, why), out)
	_, errs = try(strings.Replace(sheet, "30 [%] * chord", "30 [%] * cord", 1), "show", "hedge-lantern.gusset")
	require.Equal(t, slip, errs)

	for _, c := range rootCommand().Commands() {
		if !c.Hidden && c.Name() != "help" {
			require.Contains(t, string(readme), "`gusset "+c.Name())
		}
	}
}
