package workbook

import (
	"bytes"
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"gusset/sheets/report"
	"gusset/sheets/workbook/xlsx"
)

const trustingSheet = `l [mm] : 100
k : 4 ?
weighed [mm] :
formula d(x [mm]) [mm] = 2 * x
  trust x < 20 [mm]  // thin ones only
formula e(x [mm], y [mm]) [mm] = d(x) + y
  trust y > 0 [mm]
formula most(each x [mm]) [mm] = max(x)
page P
  wide [mm] = d(l / k)
  thin [mm] = d(l / 10)
  given [mm] = weighed ?? d(l / 3)
  taken [mm] = l > 150 [mm] ? d(l / 10) : d(l / 9)
  within [mm] = e(l / 10, l - 200 [mm])
  after [mm] = wide + 1 [mm]
  least [mm] = min(map(t, d(.a)))
  long [mm] = sum(filter(t, .a > 40 [mm]), d(.a))
  through [mm] = most(map(t, d(.a)))
  listed [mm] = sum([d(l), l])
  table t
    row | a [mm]
    x | 10
    y | 15
    b [mm] = d(a)
  adjust s [mm] from 0 to 999 so d(s) = l
  check slim = wide < 200 [mm]
  check thinner = thin < 200 [mm]
  check known = given < 200 [mm]
  check later = after < 200 [mm]
  check both = slim and thinner
  check rows = sum(t.b) < 200 [mm]
  check row = t["x"].b < 200 [mm]
  check searched = s < 900 [mm]
  check fine = l > 0 [mm]
`

// What uses a formula outside the range where it is to be trusted is marked in the workbook as in the sheet, and so is
// each check that rests on it; the marks go and come as values are changed. The first page counts both, and says why.
func TestOfficeMarksWhatIsOutsideARange(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	tests := [][][2]string{
		nil,
		{{"l", "60"}},
		{{"l", "250"}},
		{{"k", "10"}},
		{{"weighed", "12"}},
		{{"l", "160"}, {`t["x"].a`, "45"}, {"k", "3"}},
		{{`t["y"].a`, "20"}, {"l", "10"}},
		{{`t["x"].a`, ""}},
		{{"k", "0"}},
	}
	m, src := loadText(t, trustingSheet)
	require.NoError(t, m.Mistakes().Err())
	p := planOf(m)
	var jobs []officeJob
	for _, sets := range tests {
		var steps []officeStep
		for _, set := range sets {
			s := p.spotNamed(set[0])
			step := clearCell(s.name)
			if s.column != nil {
				step = clearCell(s.column.name).at(s.rowInTable(), 0)
			}
			if set[1] != "" {
				number := 0.0
				_, err := fmt.Sscan(set[1], &number)
				require.NoError(t, err)
				step.Do, step.Number = "number", number
			}
			steps = append(steps, step)
		}
		jobs = append(jobs, changedBy(t, m, src, steps...))
	}
	outside := 0
	for i, got := range office(t, jobs) {
		m, _ := loadText(t, trustingSheet)
		for _, set := range tests[i] {
			require.NoError(t, m.Set(set[0], set[1]))
		}
		what := fmt.Sprint(tests[i])
		_, _, n := compareView(t, what, m, p, true, func(sheet string, row, col int) officeCell {
			return got.After.sheet(t, sheet)[xlsx.Address(row, col)]
		})
		outside += n
		values, hold := 0.0, 0.0
		for _, s := range p.spots {
			v, err := m.Value(s.called)
			require.NoError(t, err)
			if len(v.Remarks) > 0 {
				values++
			}
			if marks := report.MarksOf(v); report.StateOf(v) == report.Holds && marks.Outside {
				hold++
			}
		}
		counts := map[string]float64{}
		start := got.After.sheet(t, startSheet)
		for row := 1; row < 200; row++ {
			counts[start[xlsx.Address(row, 2)].Text] = start[xlsx.Address(row, 3)].Number
		}
		assert.Equal(t, values, counts["how many use one so"], what)
		assert.Equal(t, hold, counts["of them marked !"], what)
	}
	assert.Greater(t, outside, 40)
}

// The first page says which values were outside a range when the workbook was made, and why; where none can be,
// nothing is said.
func TestStartTellsWhatIsOutsideARange(t *testing.T) {
	const heading = "Outside the range of a formula"
	rowsOf := func(sheet string) [][]string {
		m, src := loadText(t, sheet)
		data, sum, err := Write(m, src)
		require.NoError(t, err)
		require.Empty(t, sum.NotLive)
		f, err := excelize.OpenReader(bytes.NewReader(data))
		require.NoError(t, err)
		defer f.Close()
		rows, err := f.GetRows(startSheet)
		require.NoError(t, err)
		return rows
	}
	section := func(rows [][]string) int {
		return slices.IndexFunc(rows, func(r []string) bool { return len(r) > 0 && r[0] == heading })
	}
	rows := rowsOf("l [mm] : 100\nformula d(x [mm]) [mm] = 2 * x\n  trust x < 20 [mm]  // thin ones only\n" +
		"wide [mm] = d(l / 4)\nthin [mm] = d(l / 10)\ncheck ok = wide < 200 [mm]\n")
	at := section(rows)
	require.Positive(t, at)
	assert.Equal(t, []string{"", "how many use one so", "1"}, rows[at+2])
	assert.Equal(t, []string{"", "wide", "d: thin ones only"}, rows[at+4])
	assert.Empty(t, rows[at+5], "and no other")
	assert.Positive(t, section(rowsOf("l [mm] : 9\nformula d(x [mm]) [mm] = 2 * x\n  trust x < 20 [mm]\n"+
		"thin [mm] = sum([d(l), l])\n")), "a later change may take one outside")
	assert.Negative(t, section(rowsOf("l [mm] : 9\nformula d(x [mm]) [mm] = 2 * x\nthin [mm] = d(l)\n")))
}
