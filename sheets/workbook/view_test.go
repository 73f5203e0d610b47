package workbook

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/sheets/report"
	"gusset/sheets/workbook/formula"
	"gusset/sheets/workbook/xlsx"
)

// The view of a sheet and its workbook say the same: every state, every mark of a guess, every text and every number.

// changesOfView is how many random changes of given values a sheet goes through, and comparedEvery after how many of
// them the two are compared.
const changesOfView, comparedEvery = 200, 40

// changeSome gives a given value of a sheet another one, or takes it away, until that is possible with what was chosen.
func changeSome(r *rand.Rand, m *engine.Model, entries []engine.Entry) (changed string) {
	for {
		e := entries[r.IntN(len(entries))]
		if !e.Given {
			continue
		}
		value := ""
		switch kind := r.IntN(100); {
		case kind < 4:
		case e.IsBoolean:
			value = []string{"yes", "no"}[r.IntN(2)]
		case len(e.Choices) > 0:
			value = fmt.Sprintf("%q", e.Choices[r.IntN(len(e.Choices))])
		case e.IsText:
			value = fmt.Sprintf("%q", e.Text+"s")
		case kind < 6:
			value = "0"
		default:
			value = formula.Numeral((0.6+0.8*r.Float64())*max(e.Number, 1)) + " " + unitName(e.Value)
		}
		if value != "" && e.IsNumber() && r.IntN(4) == 0 {
			value += " ± 1 normal"
		}
		if value != "" && r.IntN(4) == 0 {
			value += " ?"
		}
		if m.Set(e.Name, value) == nil {
			return e.Name + " : " + value
		}
	}
}

// officeCellOf returns what a cell comes to when it is read without working anything out.
func officeCellOf(c content) officeCell {
	c = c.lasting()
	kind := map[contentKind]string{aNumber: "number", aText: "text", anError: "error"}[c.kind]
	return officeCell{Kind: kind, Number: c.number, Text: c.text, Formula: c.formula}
}

// unlikeView tells how a cell, with what its hidden columns make its marks, differs from the view of its value; nothing
// when it does not. Where it has been worked out again, a value that needs another with no result has the error of that
// one, and not #N/A.
func unlikeView(s *spot, v engine.Value, c officeCell, marks report.Marks, again bool) string {
	shown := report.Show(v)
	said := c.Text
	if s.kind == engine.Check {
		said, marks.Outside = strings.CutSuffix(said, " !")
		said, marks.Guess = strings.CutSuffix(said, " ?")
	}
	switch state := shown.State; {
	case shown.State.HasValue() && marks != shown.Marks:
		return fmt.Sprintf("marked %v, want %v", marks, shown.Marks)
	case s.kind == engine.Check && state.HasValue(), s.kind == engine.Check && state == report.Waits:
		if said != shown.Text {
			return fmt.Sprintf("says %q, want %q", said, shown.Text)
		}
	case s.kind == engine.Check: // which a workbook cannot tell from one that waits
		if said != report.Waits.String() {
			return fmt.Sprintf("says %q, want %q", said, report.Waits)
		}
	case state == report.NotGiven:
		if c.Kind != "" {
			return fmt.Sprintf("holds %v, want nothing", c)
		}
	case state == report.Waits, state == report.NoResult:
		if waits := c.Text == "#N/A"; c.Kind != "error" || !again && waits != (state == report.Waits) {
			return fmt.Sprintf("holds %v, want the error for %q", c, shown.Text)
		}
	case !v.IsNumber():
		if c.Text != shown.Text || c.Kind != "text" && shown.Text != "" {
			return fmt.Sprintf("holds %q, want %q", c.Text, shown.Text)
		}
	case c.Kind != "number" || !near(c.Number, v.Number, map[bool]float64{false: 1e-15, true: 1e-9}[again]):
		return fmt.Sprintf("holds %v, want %v", c, v.Number)
	}
	return ""
}

// compareView holds the view of a model against its workbook, the cells of which at returns. It returns how many values
// it has compared, how many of them are guesses or rest on one, and how many are marked for what is outside its range.
func compareView(
	t *testing.T, what string, m *engine.Model, p *plan, again bool, at func(sheet string, row, col int) officeCell,
) (n, marked, outside int) {
	t.Helper()
	for shown := range report.Values(report.Of(m).Pages) {
		name, v := shown.Name, shown.Value
		s := p.spots[v.Place]
		require.NotNil(t, s, name())
		says := func(kind flagKind) bool {
			return s.flags[kind] != 0 && at(s.page.sheet, s.row, s.flags[kind]).Number == 1
		}
		marks := report.Marks{Guess: says(onGuess), Outside: says(onOutside)}
		if problem := unlikeView(s, v, at(s.page.sheet, s.row, s.col), marks, again); problem != "" {
			assert.Fail(t, what+": "+name()+": "+problem, at(s.page.sheet, s.row, s.col).Formula)
		}
		n++
		if report.MarksOf(v).Guess {
			marked++
		}
		if report.MarksOf(v).Outside {
			outside++
		}
	}
	compareChief(t, what, m, p, again, at)
	return n, marked, outside
}

// compareChief holds the chief results of a model against those on the first worksheet: label, value,
// marks, page and order.
func compareChief(
	t *testing.T, what string, m *engine.Model, p *plan, again bool, at func(sheet string, row, col int) officeCell,
) {
	t.Helper()
	row := 1
	for at(startSheet, row, 1).Text != "Chief results" {
		if row++; row > 100 {
			row = 0
			break
		}
	}
	results := report.Chief(m)
	for i, c := range results {
		require.NotZero(t, row, "%s: the first worksheet has no chief results", what)
		row++
		if i == mostChief {
			require.Equal(t, fmt.Sprintf("and %d more", len(results)-mostChief), at(startSheet, row, 1).Text, what)
			break
		}
		s, mark := p.spots[c.Place], func(col int) bool { return at(startSheet, row, col).Number == 1 }
		require.Equal(t, inWords(c.Name), at(startSheet, row, startName).Text, what)
		require.Equal(t, "page "+s.page.sheet, at(startSheet, row, startPlace).Text, what)
		marks := report.Marks{Guess: mark(startGuess), Outside: mark(startOutside)}
		if problem := unlikeView(s, c.Value, at(startSheet, row, startValue), marks, again); problem != "" {
			assert.Fail(t, what+": "+c.Name+" on the first worksheet: "+problem)
		}
	}
}

// TestViewAndWorkbookAgree changes given values of every demo and starter, and holds the view against what the workbook
// says before anything is worked out in it.
func TestViewAndWorkbookAgree(t *testing.T) {
	t.Parallel()
	values, marked, outside := 0, 0, 0
	for i, f := range samples(t) {
		r := rand.New(rand.NewPCG(uint64(i), 12))
		m, src := f.load(t)
		entries := m.Entries()
		var changes []string
		for k := range changesOfView {
			changes = append(changes, changeSome(r, m, entries))
			if (k+1)%comparedEvery != 0 || testing.Short() && k+1 < changesOfView {
				continue
			}
			b, err := build(m, src)
			require.NoError(t, err, f.name)
			what := fmt.Sprintf("%s after %s", f.name, strings.Join(changes[max(0, k-5):], ", "))
			n, guesses, beyond := compareView(t, what, m, b.plan, false, func(sheet string, row, col int) officeCell {
				return officeCellOf(b.grids[sheet].at(row, col))
			})
			values, marked, outside = values+n, marked+guesses, outside+beyond
			require.NoError(t, b.file.Close())
			if t.Failed() {
				return
			}
		}
	}
	assert.Greater(t, values, 4000)
	assert.Greater(t, marked, 500)
	assert.Greater(t, outside, 30)
}

// TestOfficeAgreesWithTheView is the same for the demos, after an office suite has worked all of it out.
func TestOfficeAgreesWithTheView(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	var jobs []officeJob
	var models []*engine.Model
	for i, file := range []string{
		"../../testdata/marsh-tern/marsh-tern.gusset", "../../testdata/dune-whimbrel/dune-whimbrel.gusset",
		"../../library/starters/powered.gusset",
	} {
		r := rand.New(rand.NewPCG(uint64(i), 13))
		m, src := loadFile(t, file)
		entries := m.Entries()
		for range changesOfView / 8 {
			changeSome(r, m, entries)
		}
		models, jobs = append(models, m), append(jobs, officeJob{In: writeBook(t, m, src), Recalculate: true})
	}
	marked, outside := 0, 0
	for i, got := range office(t, jobs) {
		_, guesses, beyond := compareView(t, jobs[i].In, models[i], planOf(models[i]), true,
			func(sheet string, row, col int) officeCell {
				return got.After.sheet(t, sheet)[xlsx.Address(row, col)]
			})
		marked, outside = marked+guesses, outside+beyond
	}
	assert.Greater(t, marked, 50)
	assert.Positive(t, outside)
}

// TestOfficeCountsPicturesAnew changes what a picture counts in another unit: its hidden column follows, and
// stays empty where nothing is given. A pound is 16 ounces (NIST Handbook 44, appendix C).
func TestOfficeCountsPicturesAnew(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	m, src := loadText(t, "page P\ntable t\n  part | heavy [oz] | light [lb]\n  wing | 3 | 1\n  tail | 1 | 2\n"+
		"chart \"Parts\" t: heavy, light against part\n")
	job := changedBy(t, m, src, setNumber("t_light", 0.5), clearCell("t_light").at(1, 0))
	got := office(t, []officeJob{job})[0]
	c := planOf(m).recounted
	require.Len(t, c, 1)
	for _, col := range c {
		cells := got.After.sheet(t, "P")
		assert.InDelta(t, 8, cells[xlsx.Address(8, col)].Number, 1e-12)
		assert.Equal(t, "#N/A", cells[xlsx.Address(9, col)].Text)
	}
}
