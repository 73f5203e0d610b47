package workbook

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/sheets/workbook/formula"
	"gusset/units"
)

// TestLinesOfWrappedTexts: a word goes on a line of its own when it does not fit behind the last one with a blank
// between them, and a word that is longer than a line goes on for as many as it takes.
func TestLinesOfWrappedTexts(t *testing.T) {
	for _, tt := range []struct {
		text         string
		width, lines int
	}{
		{"", 5, 1}, {"balsa", 5, 1}, {"balsas", 5, 2}, {"ab cd", 5, 1}, {"ab cde", 5, 2}, {"ab cde fg", 5, 3},
		{"a b c", 5, 1}, {"a b c d", 5, 2}, {"balsa balsa", 5, 2}, {"abcdefghijk", 5, 3}, {"abcdefghij k", 5, 3},
		{"holz für", 8, 1}, {"hölzerne", 8, 1},
	} {
		assert.Equal(t, tt.lines, linesOf(tt.text, tt.width), "%q", tt.text)
	}
}

// TestRowsAreAsHighAsTheirTexts: a row with a text that is wrapped is as high as that takes; others are not set.
func TestRowsAreAsHighAsTheirTexts(t *testing.T) {
	const long = "this glue is of the kind that takes a night to cure and a day to be forgotten about"
	m, src := loadText(t, "page P\ntable t\n  part | glue | w\n  a | \"thin\" | 3\n  b | \""+long+"\" | 4\n")
	b, err := build(m, src)
	require.NoError(t, err)
	defer b.file.Close()
	pg := b.plan.pages[0]
	lines := linesOf(long, int(pg.widths[2])-2)
	require.Greater(t, lines, 1)
	var found []float64
	for _, h := range b.grids[pg.sheet].heights {
		found = append(found, h)
	}
	assert.Contains(t, found, lineHeight*float64(lines))
}

// TestNumbersAreSaidAsTheyAreShown: rounded, with the unit where there is one.
func TestNumbersAreSaidAsTheyAreShown(t *testing.T) {
	x := formula.Cell("A1")
	inches, err := units.Builtin().Parse("in")
	require.NoError(t, err)
	plain := formula.Print(said(x, units.Unit{}, units.Step{}))
	assert.Contains(t, plain, "ROUND(A1")
	assert.Equal(t, plain+`&" in"`, formula.Print(said(x, inches, units.Step{})))
}

// TestPowersOfScales: a scale can be raised to fractions of twelve, up to 50; else the number is worked out in SI.
func TestPowersOfScales(t *testing.T) {
	for x, want := range map[float64]bool{
		0.5: true, 2: true, 1. / 3: true, 50: true, -50: true, 0.3: false, 50.5: false, -51: false, 1e300: false,
	} {
		_, ok := scalePower(units.Scale{}, x)
		assert.Equal(t, want, ok, "%v", x)
	}
}
