package main

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"github.com/fatih/color"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/sheets/report"
)

// TestColourMovesNothing shows that a page has the same layout with colours as without.
func TestColourMovesNothing(t *testing.T) {
	was := color.NoColor
	t.Cleanup(func() { color.NoColor = was })
	table := engine.Table{
		Name: "parts", Note: strings.Repeat("weighed on the kitchen scale ", 8),
		Columns: []engine.Column{{Name: "part"}},
	}
	items := []report.Item{
		{Table: &report.Table{Table: &table}},
		{Cell: report.CellOf(&engine.Cell{Name: "span", Note: table.Note, Value: engine.Value{Text: "36"}})},
	}
	page := func(plain bool) string {
		color.NoColor = plain
		var b strings.Builder
		printItems(&b, items)
		return b.String()
	}
	coloured := page(false)
	assert.Contains(t, coloured, "\x1b[")
	assert.Equal(t, page(true), regexp.MustCompile(`\x1b\[[0-9;]*m`).ReplaceAllString(coloured, ""))
}

// TestHelpFitsThePage shows that the help of every command has an example and fits a common terminal, and examples,
// which are copied whole, the page.
func TestHelpFitsThePage(t *testing.T) {
	for _, cmd := range rootCommand().Commands() {
		var out bytes.Buffer
		require.Equal(t, allWell, run([]string{cmd.Name(), "--help"}, nil, &out, &out))
		assert.Contains(t, out.String(), "For example\n  gusset "+cmd.Name(), cmd.Name())
		for line := range strings.Lines(out.String()) {
			most := helpWidth
			if strings.HasPrefix(line, "  gusset ") {
				most = widest
			}
			assert.LessOrEqual(t, widthOf(strings.TrimRight(line, "\n")), most, "%s: %s", cmd.Name(), line)
		}
	}
}
