package report_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/sheets/report"
)

func fullSizeOf(t testing.TB, m *engine.Model) *report.FullSize {
	t.Helper()
	for _, p := range m.Outline() {
		for _, it := range p.Items {
			if it.Chart != nil {
				return report.FullSizeOf(it.Chart)
			}
		}
	}
	require.Fail(t, "there is no outline")
	return nil
}

// A rib of 6 in x 1-1/2 in is 152.4 mm x 38.1 mm, since an inch is 25.4 mm (International yard and pound agreement,
// 1959). It goes onto one sheet of either paper: A4 is 210 mm x 297 mm (ISO 216), Letter 8.5 in x 11 in (ASME Y14.1).
func TestOutlineAtFullSize(t *testing.T) {
	f := fullSizeOf(t, load(t, `
table rib
  point | x [in] | y [mm]
  nose  | -1     | 0
  top   | 1      | 25.4
  tail  | 5      | 0
  low   | 1      | -12.7
outline "Rib" rib: y against x // traced
`))
	require.Empty(t, f.Unfit)
	assert.Equal(t, "Rib", f.Title)
	assert.Equal(t, "traced", f.Note)
	assert.InDelta(t, 152.4, f.Wide, 1e-9)
	assert.Equal(t, "4 in", f.Check.Label)
	assert.InDelta(t, 101.6, f.Check.Long, 1e-9)
	top, low := f.Points[1], f.Points[3]
	assert.Equal(t, "top", top.Name)
	assert.InDelta(t, 50.8, top.X, 1e-9)
	assert.InDelta(t, 38.1, top.Y-low.Y, 1e-9)
	assert.Less(t, f.Check.Y, low.Y, "the bar is below the outline")
	require.Len(t, f.Lines, 1)
	assert.Len(t, f.Lines[0], 5)
	assert.Equal(t, f.Lines[0][0], f.Lines[0][4], "it is closed")
	require.Len(t, f.Papers, 3)
	assert.InDelta(t, 210, f.Papers[0].Wide, 1e-9)
	assert.InDelta(t, 297, f.Papers[0].High, 1e-9)
	assert.InDelta(t, 215.9, f.Papers[1].Wide, 1e-9)
	assert.InDelta(t, 279.4, f.Papers[1].High, 1e-9)
	for _, p := range f.Papers {
		require.Len(t, p.Tiles, 1)
		assert.Empty(t, p.Tiles[0].Marks)
	}
}

// A larger drawing is on several sheets: every point of it is on one of them, each sheet shows what fits between its
// margins, and what two neighbours have in common has the same crosses on both.
func TestOutlineOnSeveralSheets(t *testing.T) {
	for _, size := range [][2]float64{{150, 30}, {190, 200}, {191, 20}, {277, 20}, {300, 20}, {700, 90}, {90, 900},
		{1200, 260}, {1000, 1000}} {
		f := fullSizeOf(t, load(t, fmt.Sprintf(`
table side
  point | x [mm] | y [mm]
  a | 0   | 0
  b | %[1]g | 0
  c | %[1]g | %[2]g
  d | 0   | %[2]g
outline "Side" side: y against x
`, size[0], size[1])))
		require.Empty(t, f.Unfit)
		assert.Equal(t, "100 mm", f.Check.Label)
		for _, p := range f.Papers {
			require.Len(t, p.Tiles, p.Across*p.Down)
			on := func(x, y float64) bool {
				return slices.ContainsFunc(p.Tiles, func(t report.Tile) bool {
					return x >= t.X-1e-9 && x <= t.X+t.Wide+1e-9 && y >= t.Y-1e-9 && y <= t.Y+t.High+1e-9
				})
			}
			for i := range 101 {
				for k := range 101 {
					require.True(t, on(f.Wide*float64(i)/100, f.High*float64(k)/100), "%v on %s", size, p.Paper)
				}
			}
			crosses := map[string]int{}
			for _, tile := range p.Tiles {
				assert.InDelta(t, p.Wide-2*p.Margin, tile.Wide, 1e-9)
				assert.InDelta(t, p.High-2*p.Margin, tile.High, 1e-9)
				for _, m := range tile.Marks {
					crosses[fmt.Sprintf("%.4f %.4f", m[0], m[1])]++
				}
			}
			for at, n := range crosses {
				assert.GreaterOrEqual(t, n, 2, "the cross at %s is on one sheet only", at)
			}
			if len(p.Tiles) > 1 {
				assert.NotEmpty(t, crosses)
			}
			fewer := (p.Wide - 2*p.Margin) * (p.High - 2*p.Margin) * float64(len(p.Tiles))
			assert.GreaterOrEqual(t, fewer, f.Wide*f.High-1e-6)
		}
	}
}

// Sheets that just fit: A4 shows 277 mm x 190 mm where it lies on its side, so that 277 mm take one and a hair more two.
func TestSheetsThatJustFit(t *testing.T) {
	count := func(wide float64) int {
		f := fullSizeOf(t, load(t, fmt.Sprintf("table s\n  n | x [mm] | y [mm]\n  a | 0 | 0\n  b | %g | 0\n  c | 0 | 100\n"+
			"outline \"S\" s: y against x\n", wide)))
		return len(f.Papers[0].Tiles)
	}
	assert.Equal(t, []int{1, 1, 2}, []int{count(190), count(277), count(277.01)})
}

// What cannot be printed says why; where a point is missing the outline is open there.
func TestWhatHasNoFullSize(t *testing.T) {
	of := func(head, rows string) *report.FullSize {
		return fullSizeOf(t, load(t, "table s\n  n | "+head+"\n"+rows+"outline \"S\" s: y against x\n"))
	}
	assert.Contains(t, of("x | y", "  a | 1 | 2\n").Unfit, "no length")
	assert.Contains(t, of("x [in] | y [in]", "  a | |\n").Unfit, "nothing to draw")
	assert.Contains(t, of("x [km] | y [km]", "  a | 0 | 0\n  b | 1 | 1\n").Unfit, "sheets")

	rows := "  a | 0 | 0\n  b | 1 | 0\n  c | 1 |\n  d | 0 | 1\n  e | 0 | 0.5\n"
	open := of("x [in] | y [in]", rows)
	assert.Equal(t, 1, open.Missing)
	var names []string
	for _, l := range open.Lines {
		name := ""
		for _, p := range l {
			name += p.Name
		}
		names = append(names, name)
	}
	assert.Equal(t, []string{"deab"}, names)
	assert.Equal(t, 4, len(open.Points))
	assert.False(t, math.IsNaN(open.Wide))
	assert.NotContains(t, strings.Join(names, ""), "c")
}
