package workbook

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/sheets/workbook/xlsx"
)

// An adjusted value is in step while it, and what is on its sides, is shown as if it had been searched for again: with
// q^3 k = 1000 that is q = 10 for k = 1, and 2 percent more of k makes y 1020, which is not 1000 however wide
// the range. A check that rests on it says so; a guess by hand with the digits that are shown will do.
func TestOfficeTellsWhatIsOutOfStep(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	const sheet = "k : 1\ny = q^3 * k\nadjust q [1, 5] from 0 to 50 so y = 1000\n" +
		"check upper = y <= 1010\ncheck big = y >= 1015\n"
	const balance = "m [g] : 100\nlimit [g] : 50\nadjust lead [g, 1] from 0 [g] to limit so lead * 2 = m\ncheck light = lead < 60 [g]\n"
	m, src := loadText(t, sheet)
	require.Empty(t, m.Problems())
	line, srcOf := loadText(t, balance)
	require.Empty(t, line.Problems())
	tests := []struct {
		model *engine.Model
		src   Source
		steps []officeStep
		name  string
		state string
		said  map[string]string
	}{
		{m, src, nil, "q", "in step", map[string]string{"upper": "holds", "big": "fails"}},
		{m, src, []officeStep{setNumber("k", 1.02)}, "q", "OUT OF STEP",
			map[string]string{"upper": "out of step", "big": "out of step"}},
		{m, src, []officeStep{setNumber("k", 1.001)}, "q", "OUT OF STEP", nil},
		{m, src, []officeStep{setNumber("k", 1.02), setNumber("q", 9.934)}, "q", "in step",
			map[string]string{"upper": "holds", "big": "fails"}},
		{m, src, []officeStep{clearCell("k")}, "q", "waits", map[string]string{"upper": "waits", "big": "waits"}},
		{line, srcOf, []officeStep{setNumber("m", 90)}, "lead", "in step", map[string]string{"light": "holds"}},
		{line, srcOf, []officeStep{setNumber("m", 120)}, "lead", "no result", map[string]string{"light": "waits"}},
	}
	var jobs []officeJob
	for _, tt := range tests {
		jobs = append(jobs, changedBy(t, tt.model, tt.src, tt.steps...))
	}
	for i, got := range office(t, jobs) {
		tt := tests[i]
		assert.Equal(t, tt.state, got.After.at(t, tt.name+"_off_by", 0, noteColumn-valueColumn).Text, "%v", tt.steps)
		for check, want := range tt.said {
			assert.Equal(t, want, got.After.named(t, check).Text, "%s %v", check, tt.steps)
		}
	}
}

// A balance that no value in its range makes says in the workbook what the sheet says with the same values: what both
// sides come to at the ends of the range, and where they come nearest.
func TestOfficeTellsHowFarABalanceReaches(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	const sheet = `m [g] : 90
lowest [g] : 0
lead [oz, 0.1] : 2
station [in, 0.25] : 3
adjust nose [g, 1] from lowest to 50 [g] so nose * 2 = m
adjust at [in, 0.25] from 0 [in] to station so (4 [oz] * 3 [in] + lead * at) / (4 [oz] + lead) = 2.25 [in]
adjust same from 0 to 9 so same * 0 + count = 3
count : 3
adjust cubed from 0 to 9 so cubed^3 = lead / 1 [oz]
`
	tests := []struct {
		steps []officeStep
		sets  [][2]string
		lacks []string
	}{
		{nil, nil, []string{"same"}},
		{[]officeStep{setNumber("m", 120)}, [][2]string{{"m", "120"}}, []string{"nose", "same"}},
		{[]officeStep{setNumber("m", -7)}, [][2]string{{"m", "-7"}}, []string{"nose"}},
		{[]officeStep{setNumber("lowest", 60)}, [][2]string{{"lowest", "60"}}, []string{"nose"}},
		{[]officeStep{setNumber("station", 8), setNumber("lead", 0.3)}, [][2]string{{"station", "8"}, {"lead", "0.3"}},
			[]string{"at", "same"}},
		{[]officeStep{setNumber("lead", 0)}, [][2]string{{"lead", "0"}}, []string{"at"}},
	}
	first, src := loadText(t, sheet)
	require.NoError(t, first.Mistakes().Err())
	p := planOf(first)
	var jobs []officeJob
	for _, tt := range tests {
		jobs = append(jobs, changedBy(t, first, src, tt.steps...))
	}
	for i, got := range office(t, jobs) {
		m, _ := loadText(t, sheet)
		for _, set := range tests[i].sets {
			require.NoError(t, m.Set(set[0], set[1]))
		}
		for _, name := range tests[i].lacks {
			s := p.spotNamed(name)
			require.NotNil(t, s.crossing, name)
			search, ok := m.Search(s.value.Place)
			require.True(t, ok)
			require.NotEmpty(t, search.Lacks, name)
			how := got.After.sheet(t, s.page.sheet)[xlsx.Address(s.row+1, howColumn)].Text
			if len(search.Lacks) > 2 {
				assert.Equal(t, lacking(search), how, "%s %v", name, tests[i].sets)
			} else { // without a note on what it may be
				assert.Equal(t, search.Lacks[0], strings.Split(how, ": ")[0], "%s %v", name, tests[i].sets)
			}
			assert.Equal(t, "no result", got.After.at(t, name+"_off_by", 0, noteColumn-valueColumn).Text)
		}
	}
	how := func(name string) string {
		b, err := build(first, src)
		require.NoError(t, err)
		s := b.plan.spotNamed(name)
		return b.grids[s.page.sheet].at(s.row+1, howColumn).text
	}
	assert.Contains(t, how("nose"), "This one follows by itself")
	require.NoError(t, first.Set("lead", "800"))
	assert.Contains(t, how("cubed"), "When the workbook was made: no cubed between 0 and 9 makes this true: at 0, cubed^3 is 0")
	assert.Contains(t, how("cubed"), "it comes nearest at 9")
}

// What is asked of an outline stays as it was at the export, and says so once a point has moved. So does a check that
// rests on it. What is under a line follows.
func TestOfficeTellsWhichOutlineIsOutOfStep(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	m, src := loadText(t, "other : 3\ntable o\n  n | x [in] | y [in]\n  a | 0 | 0\n  b | 4 | 0\n  c | 4 | 3\n"+
		"formula within(each x [in], each y [in]) [sq in] = outline_area(x, y)\n"+
		"area [sq in] = within(o.x, o.y)\ncheck small = area < 7 [sq in]\n"+
		"strip [sq in] = area_under(o.x, o.y)\n")
	require.Empty(t, m.Problems())
	tests := []struct {
		steps []officeStep
		late  bool
		strip float64
	}{
		{nil, false, 0},
		{[]officeStep{setNumber("other", 9)}, false, 0},
		{[]officeStep{setNumber("o_y", 2).at(1, 0)}, true, 4},
	}
	var jobs []officeJob
	for _, tt := range tests {
		jobs = append(jobs, changedBy(t, m, src, tt.steps...))
	}
	s := planOf(m).spotNamed("area")
	for i, got := range office(t, jobs) {
		says := got.After.sheet(t, s.page.sheet)[xlsx.Address(s.row, howColumn)].Text
		assert.Equal(t, tests[i].late, strings.HasPrefix(says, "OUT OF STEP: "), "%v: %s", tests[i].steps, says)
		small := map[bool]string{false: "holds", true: "out of step"}[tests[i].late]
		assert.Equal(t, small, got.After.named(t, "small").Text)
		assert.InDelta(t, 6, got.After.named(t, "area").Number, 1e-12)
		assert.InDelta(t, tests[i].strip, got.After.named(t, "strip").Number, 1e-12)
	}
}

// What pieces are cut for stays as it was at the export, and says so once anything that it reads has changed: a cell, an
// entry of the list, what a filter goes by, or a value that is worked out of them. So does a check that rests on it. What
// has come back to what it was is in step again.
func TestOfficeTellsWhatIsCutOutOfStep(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	const sheet = "kerf [in] : 1/32\nscale : 1\nother : 3\ntable parts\n  part | pieces | drawn [in] | wide [in] | stock\n" +
		"  rib | 8 | 10 | 1.5 | \"thin\"\n  cap | 3 | 12 | 1 | \"thick\"\n  long [in] = drawn * scale\n" +
		"sheets = stock_needed(filter(parts, .stock == \"thin\"), .pieces, .long, .wide, 36 [in], 3 [in], kerf)\n" +
		"check enough = sheets <= 3\ncheck apart = other > 2\n" +
		"table rack\n  stock | size [in]\n  \"thin\" | 36\n  \"thick\" | 36\n" +
		"  needed = stock_needed(filter(parts, .stock == stock), .pieces, .long, .wide, size, 3 [in], kerf)\n" +
		"buy = rack[\"thick\"].needed + 1\n"
	m, src := loadText(t, sheet)
	require.Empty(t, m.Problems())
	tests := []struct {
		steps []officeStep
		late  bool
	}{
		{nil, false},
		{[]officeStep{setNumber("other", 9)}, false},
		{[]officeStep{setNumber("kerf", 0)}, true},
		{[]officeStep{setNumber("scale", 0.5)}, true},
		{[]officeStep{setNumber("scale", 0.5), setNumber("scale", 1)}, false},
		{[]officeStep{clearCell("kerf")}, true},
	}
	var jobs []officeJob
	for _, tt := range tests {
		jobs = append(jobs, changedBy(t, m, src, tt.steps...))
	}
	p := planOf(m)
	for i, got := range office(t, jobs) {
		says := func(called string) string {
			s := p.spotNamed(called)
			return got.After.sheet(t, s.page.sheet)[xlsx.Address(s.row, howColumn)].Text
		}
		late := tests[i].late
		assert.Equal(t, late, strings.HasPrefix(says("sheets"), "OUT OF STEP: "), "%v: %s", tests[i].steps, says("sheets"))
		assert.Equal(t, map[bool]string{false: "holds", true: "out of step"}[late], got.After.named(t, "enough").Text)
		assert.Equal(t, "holds", got.After.named(t, "apart").Text)
		assert.Equal(t, 3.0, got.After.named(t, "sheets").Number)
		found := false
		for _, c := range got.After.sheet(t, p.spotNamed("sheets").page.sheet) {
			found = found || strings.HasPrefix(c.Text, "OUT OF STEP: ") && strings.Contains(c.Text, ".stock == stock")
		}
		assert.Equal(t, late, found, "of the column: %v", tests[i].steps)
	}
}
