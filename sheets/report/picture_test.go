package report_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/sheets/report"
)

func pictureOf(t testing.TB, m *engine.Model) *report.Picture {
	t.Helper()
	for _, p := range m.Outline() {
		for _, it := range p.Items {
			if it.Chart != nil {
				return report.PictureOf(it.Chart)
			}
		}
	}
	require.Fail(t, "there is no picture")
	return nil
}

// Points are in the order of the stations, those at one station as in the table; marks are counted in the unit of the
// stations, and the axis holds the whole range of an adjusted one. What is not there is named, with the reason. The
// adjusted station by hand: (18 in oz - 3 in x 7 oz - 2 in x 0 oz) / 2 oz = -1.5 in, with 9 oz at 2 in.
func TestWeightsAlongALine(t *testing.T) {
	m := load(t, `
table parts
  part | station [in] | weight [oz]
  wing | 3            | 7
  box  | = box_at     | 2 ?
  nil  | 2            | 0
  hook | 3            | 0
  fin  | 20           |
  tail |              | 1
weights [oz] = sum(filter(parts, .part != "fin" and .part != "tail").weight)
cg [in] = sum(map(filter(parts, .part != "fin" and .part != "tail"), .weight * .station)) / weights
adjust box_at [in] from -6 to 60 so cg = 2 [in]
bulkhead [mm] : 50.8
unset [mm] :
picture "Balance" parts: weight at station mark box_at, bulkhead, unset
`)
	p := pictureOf(t, m)
	var names []string
	var at, weights []float64
	for _, pt := range p.Points {
		names, at, weights = append(names, pt.Name), append(at, pt.At), append(weights, pt.Weight)
	}
	assert.Equal(t, []string{"box", "nil", "wing", "hook"}, names)
	assert.InDeltaSlice(t, []float64{-1.5, 2, 3, 3}, at, 1e-9)
	assert.InDeltaSlice(t, []float64{2, 0, 7, 0}, weights, 1e-9)
	assert.Equal(t, "2 ?", p.Points[0].Weighs.String())

	require.Len(t, p.Marks, 2)
	box, bulkhead := p.Marks[0], p.Marks[1]
	assert.True(t, box.HasRange())
	assert.InDeltaSlice(t, []float64{-1.5, -6, 60}, []float64{box.At, box.From, box.To}, 1e-9)
	assert.Equal(t, "-1.5 in ?, looked for from -6 in to 60 in", box.Said())
	assert.False(t, bulkhead.HasRange())
	assert.InDelta(t, 2, bulkhead.At, 1e-12)
	assert.Equal(t, "50.8 mm", bulkhead.Said())

	x := p.Axis(8)
	assert.LessOrEqual(t, x.First, -6.0)
	assert.GreaterOrEqual(t, x.First+x.Step*float64(x.Gaps), 60.0)
	y := p.WeightAxis(4)
	assert.Zero(t, y.First)
	assert.Equal(t, []string{"not on it: unset: not given", "not on it: fin, no weight yet; tail, no station yet"},
		p.Beside())
}
