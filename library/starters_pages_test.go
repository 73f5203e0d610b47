package library_test

import (
	"io/fs"
	"math"
	"path"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/text"
)

// startersWithPages are the starters, in their folders, to which pages can be added.
func startersWithPages(t *testing.T) (starters []string) {
	t.Helper()
	for _, folder := range []string{"", "metric"} {
		files, err := fs.Glob(library.Starters(), path.Join(folder, "*.gusset"))
		require.NoError(t, err)
		for _, f := range files {
			name := strings.TrimSuffix(f, ".gusset")
			if len(library.PagesFor(name)) > 0 {
				starters = append(starters, name)
			}
		}
	}
	return starters
}

// withPages loads a starter with pages added, and the text that this gives.
func withPages(t *testing.T, name string, pages ...library.StarterPage) (*engine.Model, []byte) {
	t.Helper()
	data, err := fs.ReadFile(library.Starters(), name+".gusset")
	require.NoError(t, err)
	for _, p := range pages {
		f, diags := text.Parse(text.NewSource(name, data))
		require.Empty(t, diags)
		data, err = text.InsertPage(f, p.File, p.After)
		require.NoError(t, err, p.Name)
	}
	files := fstest.MapFS{"model.gusset": {Data: data}}
	rack, err := fs.ReadFile(library.Starters(), path.Join(path.Dir(name), "rack.gusset"))
	require.NoError(t, err)
	files["rack.gusset"] = &fstest.MapFile{Data: rack}
	m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, "model.gusset")
	require.NoError(t, err)
	return m, data
}

// TestPagesOfStarters: each page by itself, behind the one that it follows, and all of them together make a sheet
// without a mistake, that is tidy, in which every value has a result and every check holds.
func TestPagesOfStarters(t *testing.T) {
	starters := startersWithPages(t)
	require.Contains(t, starters, "powered")
	for _, name := range starters {
		pages := library.PagesFor(name)
		sets := map[string][]library.StarterPage{"all": pages}
		for _, p := range pages {
			sets[p.Name] = []library.StarterPage{p}
		}
		i := 0
		for set, pages := range sets {
			if i++; testing.Short() && set != "all" && i%6 != 0 {
				continue
			}
			t.Run(name+"/"+set, func(t *testing.T) {
				m, data := withPages(t, name, pages...)
				require.Empty(t, m.Problems())
				for i, page := range m.Pages() {
					if len(pages) == 1 && page.Name == pages[0].Name {
						assert.Equal(t, pages[0].After, m.Pages()[i-1].Name)
					}
				}
				f, _ := text.Parse(text.NewSource("model", data))
				assert.Equal(t, string(text.Format(f)), string(data), "it is tidy")
				eachItem(m, func(it engine.Item) {
					switch {
					case it.Table != nil:
						workedOut(t, it.Table)
					case it.Cell == nil || it.Cell.Kind == engine.Given:
					case it.Cell.Kind == engine.Check:
						want := engine.CheckHolds
						if it.Cell.Name == "joiner_counted" { // which asks for a weight that no page can add by itself
							want = engine.CheckFails
						}
						assert.Equal(t, want, it.Cell.State(), it.Cell.Name)
						assert.NotEmpty(t, it.Cell.Note, "%s has a note", it.Cell.Name)
					default:
						assert.Equal(t, engine.OK, it.Cell.Status, "%s: %s", it.Cell.Name, it.Cell.Reason)
					}
				})
				n := 0
				for line := range strings.Lines(string(data)) {
					n++
					assert.LessOrEqual(t, runesBesideChoices(line), 120, "line %d", n)
				}
			})
		}
	}
}

// TestPagesHaveTheirPlace: a page names one of the starter's own that it follows, says what it is for, is on a line of
// its own in a list.
func TestPagesHaveTheirPlace(t *testing.T) {
	for _, name := range startersWithPages(t) {
		m, _ := withPages(t, name)
		var there []string
		for _, p := range m.Pages() {
			there = append(there, p.Name)
		}
		for _, p := range library.PagesFor(name) {
			assert.Contains(t, there, p.After, p.Name)
			assert.NotEmpty(t, p.About, p.Name)
			assert.Less(t, len(p.About), 120, p.Name)
			assert.NotContains(t, p.Name, ",", "names are typed with commas between them")
		}
	}
}

// TestOutlinesPage: the side area ahead of the balance is that of the outline cut off there, by Sutherland and Hodgman
// (Reentrant Polygon Clipping, Communications of the ACM 17, 1974), wherever the balance is; areas by the shoelace
// formula.
func TestOutlinesPage(t *testing.T) {
	for _, name := range []string{"powered", "glider", "biplane"} {
		m := starterWith(t, name, "Outlines")
		for _, balance := range []string{"0", "1", "2-3/8", "4-1/2", "-20", "20"} {
			require.NoError(t, m.Set("balance_on_print", balance))
			cg, side := numberOf(t, m, "cg_wanted"), pointsOf(t, m, "side_points")
			ahead := shoelace(cutAt(side, cg))
			agree(t, m, map[string]float64{
				"side_area": shoelace(side), "side_behind": shoelace(side) - ahead,
				"rib_face":    shoelace(pointsOf(t, m, "rib_points")),
				"former_area": shoelace(pointsOf(t, m, "former_points")) - shoelace(pointsOf(t, m, "hole_points")),
			})
			assert.InDelta(t, ahead, numberOf(t, m, "side_ahead"), 1e-9, "%s, balance at %s", name, balance)
		}
	}
}

// pointsOf returns the points of a table of an outline.
func pointsOf(t *testing.T, m *engine.Model, name string) (points [][2]float64) {
	t.Helper()
	table, err := m.Table(name)
	require.NoError(t, err)
	column := func(name string) int {
		return slices.IndexFunc(table.Columns, func(c engine.Column) bool { return c.Name == name })
	}
	for _, r := range table.Rows {
		points = append(points, [2]float64{r.Values[column("x")].Number, r.Values[column("y")].Number})
	}
	return points
}

// cutAt returns the part of an outline that is left of x.
func cutAt(points [][2]float64, x float64) (left [][2]float64) {
	for i, p := range points {
		q := points[(i+1)%len(points)]
		if p[0] <= x {
			left = append(left, p)
		}
		if (p[0] < x) != (q[0] < x) && p[0] != q[0] {
			left = append(left, [2]float64{x, p[1] + (q[1]-p[1])*(x-p[0])/(q[0]-p[0])})
		}
	}
	return left
}

// shoelace returns the area inside an outline.
func shoelace(points [][2]float64) float64 {
	sum := 0.0
	for i, p := range points {
		q := points[(i+1)%len(points)]
		sum += p[0]*q[1] - q[0]*p[1]
	}
	return math.Abs(sum) / 2
}
