package pack

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "rewrite testdata/plans.txt")

// TestPlansStayTheSame: a plan is the same on every machine and from one version to the next, unless it is meant to
// change. What may change with it is quality: read the difference.
func TestPlansStayTheSame(t *testing.T) {
	type named struct {
		name string
		job  Job
	}
	jobs := []named{
		{"sticks of many lengths", randomJob(90, 48, 0.25, 0.2, 0.6, false)},
		{"sheets", randomJob(40, 36, 3, 0.1, 0.7, false)},
		{"more sheets than are shared out one by one", randomJob(100, 36, 4, 0.05, 0.6, false)},
		{"sheets, pieces may be turned", randomJob(50, 24, 24, 0.05, 0.6, true)},
		{"across the grain in a row", randomJob(60, 3, 36, 0.55, 0.9, false)},
		{"in a row, pieces may be turned", randomJob(30, 10, 8, 0.52, 0.9, true)},
	}
	for i := range jobs[4].job.Pieces {
		jobs[4].job.Pieces[i].Wide /= 4
	}
	for _, in := range append(stickInstances(t), sheetInstances(t)...) {
		if in.FFD != in.Optimum {
			jobs = append(jobs, named{in.Name, in.Job})
		}
	}
	var out strings.Builder
	for _, j := range jobs {
		j.job.Steps = 200_000
		plan := mustCut(t, j.job)
		fmt.Fprintf(&out, "%s: %d needed, at least %d, %d steps\n", j.name, plan.Needed(), plan.Bound, plan.Steps)
		for _, stock := range plan.Stocks {
			x, y, turned := 0.0, 0.0, 0
			for _, p := range stock.Placed {
				x, y = x+p.X, y+p.Y
				if p.Turned {
					turned++
				}
			}
			fmt.Fprintf(&out, "    %2d pieces, %d turned, %d offcuts, %.4f used, straight %t, x %.5g, y %.5g in all\n",
				len(stock.Placed), turned, len(stock.Offcuts), stock.Used, stock.Straight, x, y)
		}
	}
	const file = "testdata/plans.txt"
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(out.String()), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Equal(t, string(want), out.String())
}
