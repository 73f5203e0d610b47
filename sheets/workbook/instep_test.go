package workbook

import (
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
		if tt.model == line {
			s := planOf(line).spotNamed("lead")
			how := got.After.sheet(t, s.page.sheet)[xlsx.Address(s.row+1, howColumn)].Text
			assert.Contains(t, how, "Where it says no result, no value in its range makes this true")
		}
	}
}
