package main

import (
	"regexp"
	"strings"
	"testing"

	"github.com/fatih/color"
	"github.com/stretchr/testify/assert"

	"gusset/engine"
)

// TestColourMovesNothing shows that a page has the same layout with colours as without.
func TestColourMovesNothing(t *testing.T) {
	was := color.NoColor
	t.Cleanup(func() { color.NoColor = was })
	table := engine.Table{Name: "parts", Note: strings.Repeat("weighed on the kitchen scale ", 8), Columns: []engine.Column{{Name: "part"}}}
	items := []engine.Item{{Table: &table}, {Cell: &engine.Cell{Name: "span", Note: table.Note, Value: engine.Value{Text: "36"}}}}
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
