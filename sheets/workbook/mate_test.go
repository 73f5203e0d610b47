package workbook

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/sheets/workbook/formula"
	"gusset/sheets/workbook/xlsx"
)

// What a club mate does with an office suite, and what comes of it.

// changedBy returns the job of changing a workbook and saving it.
func changedBy(t *testing.T, m *engine.Model, src Source, steps ...officeStep) officeJob {
	return officeJob{
		In: writeBook(t, m, src), Steps: steps, Recalculate: true,
		XLSX: filepath.Join(t.TempDir(), "back.xlsx"),
	}
}

// comeBack reads what a job has saved.
func comeBack(t *testing.T, job officeJob, m *engine.Model, src Source) *Returned {
	t.Helper()
	data, err := os.ReadFile(job.XLSX)
	require.NoError(t, err)
	return returned(t, data, m, src)
}

// A mate changes what they measured: everything follows as it does in the sheet with those values, and they come back.
func TestOfficeFollowsChangesAndTheyComeBack(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	const marsh, whimbrel, wagtail = "../../testdata/marsh-tern/marsh-tern.gusset", "../../testdata/dune-whimbrel/dune-whimbrel.gusset", "../../testdata/mill-wagtail/mill-wagtail.gusset"
	tests := []struct {
		file  string
		steps func(p *plan) []officeStep
		sets  [][2]string
	}{
		{marsh, func(p *plan) []officeStep {
			return []officeStep{
				setNumber("span_on_print", 48.25), setText("rib_stock", "balsa sheet 3/32"),
				setText("wing_covering", "tissue and dope"), setNumber("balance_flown", 2.25),
				setNumber("parts_weighed", 7.5).at(p.row("parts", "battery"), 0),
				clearCell("parts_weighed").at(p.row("parts", "motor"), 0), setNumber("cells", 2),
			}
		}, [][2]string{
			{"span_on_print", "48.25"}, {"rib_stock", `"balsa sheet 3/32"`},
			{"wing_covering", `"tissue and dope"`}, {"balance_flown", "2.25"},
			{`parts["battery"].weighed`, "7.5"}, {`parts["motor"].weighed`, ""}, {"cells", "2"},
		}},
		{
			marsh,
			func(*plan) []officeStep { return []officeStep{clearCell("chord_on_print"), clearCell("rib_stock")} },
			[][2]string{{"chord_on_print", ""}, {"rib_stock", ""}},
		},
		{whimbrel, func(p *plan) []officeStep { return p.shaken(1.04) }, nil},
		{wagtail, func(p *plan) []officeStep { return p.shaken(0.97) }, nil},
	}
	var jobs []officeJob
	for i, tt := range tests {
		m, src := loadFile(t, tt.file)
		p := planOf(m)
		steps := tt.steps(p)
		jobs = append(jobs, changedBy(t, m, src, steps...))
		if tt.sets == nil {
			tests[i].sets = p.setsOf(steps)
		}
	}
	for i, got := range office(t, jobs) {
		followed(t, tests[i].file, tests[i].sets, jobs[i], got)
	}
}

// followed holds a workbook in which values were changed against the sheet with those values.
func followed(t *testing.T, file string, sets [][2]string, job officeJob, got officeResult) {
	m, src := loadFile(t, file)
	found := map[string]engine.Value{}
	for _, s := range planOf(m).spots {
		if s.stays() {
			found[s.called] = s.value
		}
	}
	back, _ := loadFile(t, file)
	taken := map[string]string{}
	for _, c := range comeBack(t, job, back, src).Changes {
		taken[c.Name] = c.Value
	}
	for _, set := range sets {
		require.NoError(t, m.Set(set[0], set[1]))
		if set[1] == "" { // it may be meant, or a slip: said, not taken
			assert.NotContains(t, taken, set[0])
			continue
		}
		assert.Contains(t, taken, set[0])
		require.NoError(t, back.Set(set[0], taken[set[0]]))
		a, err := m.Value(set[0])
		require.NoError(t, err)
		b, err := back.Value(set[0])
		require.NoError(t, err)
		assert.InEpsilon(t, 1+a.Number, 1+b.Number, 1e-14, set[0])
		assert.Equal(t, a.IsText && a.Text != "", b.IsText && b.Text == a.Text)
	}
	agreeBeside(t, m, got.After, found)
}

// row returns where a row of a table stands, from 0.
func (p *plan) row(table, name string) int {
	for i, r := range p.tableNamed(table).Rows {
		if r.Name == name {
			return i
		}
	}
	return -1
}

// shaken changes every given number of the pages that are no table by a factor.
func (p *plan) shaken(by float64) []officeStep {
	var steps []officeStep
	for _, pg := range p.pages {
		for _, it := range pg.items {
			if it.Cell == nil || pg.alias != "" {
				continue
			}
			if s := p.spots[it.Cell.Place]; s.input && s.value.Status == engine.OK && s.value.Number != 0 &&
				s.value.IsNumber() && s.value.Unit.String() != "" {
				steps = append(steps, setNumber(s.name, s.value.Number*by))
			}
		}
	}
	return steps
}

func (p *plan) setsOf(steps []officeStep) [][2]string {
	var sets [][2]string
	for _, st := range steps {
		for _, s := range p.spots {
			if s.name == st.Name {
				value := formula.Numeral(st.Number)
				if s.value.Unit.Mixed() {
					value += " " + unitName(s.value)
				}
				sets = append(sets, [2]string{s.called, value})
			}
		}
	}
	return sets
}

// agreeBeside is agree for a workbook in which values were changed: what was found, and what rests on it, stays
// as it was there. The engine searches again, so that it is asked again with what was found fixed.
func agreeBeside(t *testing.T, m *engine.Model, got officeBook, found map[string]engine.Value) {
	t.Helper()
	p := planOf(m)
	cells := map[string]map[string]officeCell{}
	for _, s := range got.Sheets {
		cells[s.Name] = s.Cells
	}
	sent := maps.Clone(found) // with what pieces are cut for, and how far values may be off
	for _, s := range p.spots {
		if s.cut != nil {
			sent[s.called] = s.value
		}
	}
	resting := p.restingOn(sent)
	for _, s := range p.spots { // by way of another that is adjusted
		for _, a := range s.rests {
			if _, ok := sent[a.called]; ok {
				resting[s.value.Place] = true
			}
		}
	}
	compared := 0
	for _, s := range p.spots {
		if s.row == 0 || resting[s.value.Place] {
			continue
		}
		compared++
		if problem := differs(s, cells[s.page.sheet][s.local()], 1e-9); problem != "" {
			assert.Fail(t, s.called+": "+problem, cells[s.page.sheet][s.local()].Formula)
		}
	}
	assert.Greater(t, compared, 100)
	for name, v := range found { // and the line below says so
		s := p.spotNamed(name)
		state := cells[s.page.sheet][xlsx.Address(s.row+1, noteColumn)]
		if moved := s.value.Status == engine.OK && !near(v.Number, s.value.Number, 0.02); moved {
			assert.Equal(t, "OUT OF STEP", state.Text, name)
		}
	}
}

func (p *plan) spotNamed(called string) *spot {
	for _, s := range p.spots {
		if s.called == called {
			return s
		}
	}
	return nil
}

func (p *plan) tableNamed(called string) *tableSpot {
	for _, t := range p.tables {
		if t.called == called {
			return t
		}
	}
	return nil
}

// restingOn returns the places that rest on what was found.
func (p *plan) restingOn(found map[string]engine.Value) map[engine.Place]bool {
	resting := map[engine.Place]bool{}
	for _, s := range p.spots {
		if _, ok := found[s.called]; ok {
			resting[s.value.Place] = true
		}
	}
	for again := true; again; {
		again = false
		for _, s := range p.spots {
			if !resting[s.value.Place] && p.rests(p.expr(s), s, resting) {
				resting[s.value.Place], again = true, true
			}
		}
	}
	return resting
}

// rests reports whether a formula reads one of some places.
func (p *plan) rests(e *engine.Expr, at *spot, on map[engine.Place]bool) bool {
	if e == nil {
		return false
	}
	switch e.Op {
	case engine.OpSlot:
		return on[e.Place]
	case engine.OpOwn:
		return on[p.columns[e.Column].entries[at.row-at.column.table.top].value.Place]
	case engine.OpEntry, engine.OpColumn, engine.OpLookup:
		if e.Column >= 0 {
			for _, s := range p.columns[e.Column].entries {
				if on[s.value.Place] {
					return true
				}
			}
		}
	case engine.OpCall:
		if p.rests(e.Formula.Body, at, on) {
			return true
		}
	}
	for _, a := range e.Args {
		if p.rests(a, at, on) {
			return true
		}
	}
	return false
}

// Cells are known by their names: rows may be inserted, sheets renamed and moved, cells moved.
func TestOfficeMayMoveThingsAbout(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	m, src := mates(t)
	steps := []officeStep{
		unprotect("Balance"), insertRows("Balance", 5, 3), renameSheet("Balance", "My 'own' numbers"),
		moveSheet("My 'own' numbers", 4),
		moveCells("My 'own' numbers", "B4", "J40"), setNumber("span", 31.25), setNumber("parts_weighed", 3.35).at(2, 0),
	}
	job := changedBy(t, m, src, steps...)
	job.Unread = true
	office(t, []officeJob{job})
	r := comeBack(t, job, m, src)
	require.Empty(t, r.Remaining)
	require.Len(t, r.Changes, 2)
	assert.Equal(t, [2]string{"span", "31-1/4"}, [2]string{r.Changes[0].Name, r.Changes[0].Value})
	assert.Equal(t, [2]string{`parts["battery"].weighed`, "3.35"}, [2]string{r.Changes[1].Name, r.Changes[1].Value})
}

func TestOfficeDeletedRowsAreTold(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	m, src := mates(t)
	p := planOf(m)
	lead, motor := p.spotNamed("lead").row, p.tableNamed("parts").top+1
	job := changedBy(t, m, src, unprotect("Balance"), deleteRows("Balance", motor, 1), deleteRows("Balance", lead, 1))
	job.Unread = true
	office(t, []officeJob{job})
	r := comeBack(t, job, m, src)
	require.Empty(t, r.Changes)
	var told []string
	for _, rest := range r.Remaining {
		told = append(told, rest.Name+" "+rest.Text)
	}
	assert.Contains(t, told, "lead cannot be found: deleted in the workbook")
	assert.Contains(t, told, `parts["motor"].weighed cannot be found: the row "motor" is gone from the workbook`)
}

// Typed as a person types it: halves are halves, and what a program makes a date of is told.
func TestOfficeTypedFractions(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	tests := []struct {
		name   string
		below  int
		typed  string
		change string // as it goes into the sheet
		rest   string
	}{
		{"span", 0, "1/2", "1/2", ""},
		{"span", 0, "31 1/4", "31-1/4", ""},
		{"span", 0, "31.3", "31.3", ""},
		{"parts_station", 1, "-6 1/2", "-6-1/2", ""},
		{"margin", 0, "3/8", "3/8", ""},
		{"lead", 0, "2 1/2", "2.5", ""},
		{
			"lead", 0, "1/2", "",
			"has been turned into a date or a time: a half is typed 0.5 or 0 1/2|far from what is expected",
		},
		{"lead", 0, "36,5", "", "where a number is expected|far from what is expected"},
		{"share", 0, "35%", "", "is 0.35 now: a value in % is typed without the sign, such as 30"},
		{"lead", 0, "=0.25+0.5", "0.75", ""},
		{"pilot", 0, "1/2", `"1/2"`, ""},
		{"pilot", 0, "=SUM(1)", `"=SUM(1)"`, ""},
	}
	m, src := mates(t)
	var jobs []officeJob
	for _, tt := range tests {
		job := changedBy(t, m, src, typeIn(tt.name, tt.typed).at(tt.below, 0))
		job.Unread = true
		jobs = append(jobs, job)
	}
	office(t, jobs)
	for i, tt := range tests {
		t.Run(tt.name+" "+tt.typed, func(t *testing.T) {
			r := comeBack(t, jobs[i], m, src)
			if tt.change != "" {
				require.Empty(t, r.Remaining)
				require.Len(t, r.Changes, 1)
				assert.Equal(t, tt.change, r.Changes[0].Value)
				return
			}
			require.Empty(t, r.Changes)
			require.Len(t, r.Remaining, 1)
			assert.Regexp(t, tt.rest, r.Remaining[0].Text)
		})
	}
}

// What a mate may do to values that sheets seldom have.
func TestOfficeFollowsOddChanges(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	const lookedUp = "table rack\n  stock | per\n  a | 2\n  b | 3\ntable cut\n  piece | stock\n  x | \"a\"\n  y | \"b\"\ntotal = sum(map(cut, rack[.stock].per))\n" +
		"or_one = sum(map(cut, rack[.stock].per ?? 1))\n"
	const readOff = "table curve\n  point | x | y\n  a | 0 | 1\n  b | 10 | 3\n  c | 20 | 4\nmiddle = interpolate(5, curve.x, curve.y)\nend = interpolate(20, curve.x, curve.y)\n"
	const emptyTexts = "none : \"\"\nsome : \"b\"\njoined = none + \"a\" + some\ntable t\n  row | of\n  x | \"\"\n  y | \"u\"\n  both = row + of\nfirst_of = first(t.of) + \"!\"\n" +
		"filled = count(t, .of != \"\")\n"
	tests := []struct {
		sheet string
		steps []officeStep
		sets  [][2]string
	}{
		{lookedUp, []officeStep{clearCell("rack_per").at(0, 0)}, [][2]string{{`rack["a"].per`, ""}}},
		{
			lookedUp, []officeStep{clearCell("rack_per").at(0, 0), setText("cut_stock", "b").at(0, 0)},
			[][2]string{{`rack["a"].per`, ""}, {`cut["x"].stock`, `"b"`}},
		},
		{readOff, []officeStep{setNumber("curve_x", 25).at(1, 0)}, [][2]string{{`curve["b"].x`, "25"}}},
		{readOff, []officeStep{setNumber("curve_x", 20).at(1, 0)}, [][2]string{{`curve["b"].x`, "20"}}},
		{readOff, []officeStep{setNumber("curve_x", 4).at(1, 0)}, [][2]string{{`curve["b"].x`, "4"}}},
		{emptyTexts, nil, nil},
		{
			emptyTexts, []officeStep{setText("none", "z"), setText("t_of", "v").at(0, 0)},
			[][2]string{{"none", `"z"`}, {`t["x"].of`, `"v"`}},
		},
	}
	var jobs []officeJob
	for _, tt := range tests {
		m, src := loadText(t, tt.sheet)
		jobs = append(jobs, changedBy(t, m, src, tt.steps...))
	}
	for i, got := range office(t, jobs) {
		tt := tests[i]
		m, src := loadText(t, tt.sheet)
		if tt.steps == nil {
			requireNothing(t, comeBack(t, jobs[i], m, src))
		}
		for _, set := range tt.sets {
			require.NoError(t, m.Set(set[0], set[1]))
		}
		agree(t, fmt.Sprintf("%v", tt.sets), m, got.After, 1e-9)
	}
}

// A row that the mate adds is noticed: what adds up over its table waits, until the row has all that it needs;
// then it counts.
func TestOfficeNoticesAddedRows(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	m, src := mates(t)
	p := planOf(m)
	parts := p.tableNamed("parts")
	below := parts.top + 1
	fill := func(row int) []officeStep { // as copying the row above and typing over it does
		local := func(text string) string { return strings.ReplaceAll(text, "#", strconv.Itoa(below)) }
		return []officeStep{
			setText("parts_part", "hatch").at(row, 0), setNumber("parts_station", 2).at(row, 0),
			setNumber("parts_estimated", 1.5).at(row, 0),
			setFormula("parts_weight", local("=IF(ISNUMBER(D#);D#;C#)")).at(row, 0),
			setFormula("parts_moment", local("=E#*B#")).at(row, 0),
		}
	}
	unlocked := unprotect("Balance")
	tests := []struct {
		what  string
		steps []officeStep
		sum   string // "" where it counts
	}{
		{"between two others", []officeStep{unlocked, insertRows("Balance", below, 1)}, "#N/A"},
		{
			"with numbers alone",
			[]officeStep{
				unlocked, insertRows("Balance", below, 1), setNumber("parts_station", 2).at(1, 0),
				setNumber("parts_estimated", 1.5).at(1, 0),
			},
			"#N/A",
		},
		{
			"without one formula",
			append([]officeStep{unlocked, insertRows("Balance", below, 1)}, slices.Delete(fill(1), 3, 4)...),
			"#N/A",
		},
		{"without a name", append([]officeStep{unlocked, insertRows("Balance", below, 1)}, fill(1)[1:]...), "#N/A"},
		{"whole", append([]officeStep{unlocked, insertRows("Balance", below, 1)}, fill(1)...), ""},
		{"below the last", []officeStep{unlocked, insertRows("Balance", parts.top+3, 1)}, "#N/A"},
		{"above the first", []officeStep{unlocked, insertRows("Balance", parts.top, 1)}, "#N/A"},
		{"elsewhere", []officeStep{unlocked, insertRows("Balance", 5, 2), insertRows("Balance", parts.top+8, 1)}, ""},
	}
	var jobs []officeJob
	for _, tt := range tests {
		jobs = append(jobs, changedBy(t, m, src, tt.steps...))
	}
	for i, got := range office(t, jobs) {
		tt := tests[i]
		sum, said := got.After.named(t, "all_up"), got.After.at(t, "parts_counted", 0, noteColumn-valueColumn).Text
		if tt.sum != "" {
			assert.Equal(t, tt.sum, sum.Text, tt.what)
			assert.Equal(t, "waits", got.After.named(t, "forward").Text, tt.what)
			assert.Contains(t, said, "A row was added that does not count yet", tt.what)
			continue
		}
		assert.Empty(t, said, tt.what)
		want := map[bool]float64{true: 4.45 + 2.3 + 3.1 + 0.5 + 1.5, false: 4.45 + 2.3 + 3.1 + 0.5}[tt.what == "whole"]
		assert.InEpsilon(t, want, sum.Number, 1e-12, tt.what)
	}
}

// Saved in the format of 1997 and opened again, formulas are what they were, those that may have no result too.
func TestOfficeKeepsFormulasInOldFormats(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	const sheet = `sheet "Old"
area [sq in] : -9
weight [oz] : 3
empty [oz] :
none : ""
side [in] = sqrt(area)
half [in] = side / 2
loading [oz/sq ft] = wing_loading(weight, area)
least [oz] = min(filter(parts, .kind == "tail").heavy)
waiting [oz] = empty + weight
said = none ?? "nothing"
same = none
first_kind = first(parts.kind)
found = parts["b"].kind
check big = side > 2 [in]
adjust from_left [in] from 0 to 2 so from_left * weight = 30 [oz in]
table parts
  part | kind | heavy [oz]
  a | "" | 1
  b | "" | 2
`
	m, src := loadText(t, sheet)
	require.Empty(t, m.Mistakes())
	in, old := writeBook(t, m, src), filepath.Join(t.TempDir(), "old.xls")
	fill := []officeStep{setNumber("area", 144), setText("parts_kind", "tail").at(1, 0)}
	got := office(t, []officeJob{{
		In: in, Recalculate: true, XLS: old,
	}, {In: old, Recalculate: true}, {In: old, Recalculate: true, Steps: fill}})
	for i, what := range []string{"before", "saved in the old format"} {
		agree(t, what, m, got[i].After, 1e-12)
		for _, name := range []string{"said", "same", "first_kind", "found"} {
			assert.Empty(t, got[i].After.named(t, name).Text, "%s: %s", what, name)
			assert.Equal(t, "text", got[i].After.named(t, name).Kind, "%s: %s: an empty text is not 0", what, name)
		}
	}
	for _, set := range [][2]string{{"area", "144"}, {`parts["b"].kind`, `"tail"`}} {
		require.NoError(t, m.Set(set[0], set[1]))
	}
	agree(t, "then filled in", m, got[2].After, 1e-12)
	assert.InDelta(t, 12, got[2].After.named(t, "side").Number, 1e-12)
	assert.InDelta(t, 2, got[2].After.named(t, "least").Number, 1e-12)
}
