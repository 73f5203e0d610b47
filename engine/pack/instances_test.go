package pack

import (
	"encoding/json"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// instance is a published problem with its optimum, which testdata/README.md says more about.
type instance struct {
	Name    string
	Optimum int
	L2      int
	FFD     int
	Job     Job
}

func instances1D(t testing.TB) []instance {
	var rows []struct {
		Name     string
		Capacity float64
		Optimum  int
		L2, FFD  int
		Items    []float64
	}
	readJSON(t, "testdata/bins1d.json", &rows)
	made := make([]instance, len(rows))
	for i, row := range rows {
		made[i] = instance{row.Name, row.Optimum, row.L2, row.FFD, Job{Long: row.Capacity, Wide: 3}}
		for _, long := range row.Items {
			made[i].Job.Pieces = append(made[i].Job.Pieces, Piece{Long: long, Wide: 3, Count: 1})
		}
	}
	return made
}

func instances2D(t testing.TB) []instance {
	var rows []struct {
		Name          string
		Width, Height float64
		Optimum       int
		Items         [][3]float64
	}
	readJSON(t, "testdata/bins2d.json", &rows)
	made := make([]instance, len(rows))
	for i, row := range rows {
		made[i] = instance{Name: row.Name, Optimum: row.Optimum, Job: Job{Long: row.Width, Wide: row.Height}}
		for _, it := range row.Items {
			made[i].Job.Pieces = append(made[i].Job.Pieces, Piece{Long: it[0], Wide: it[1], Count: it[2]})
		}
	}
	return made
}

func readJSON(t testing.TB, file string, into any) {
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, into))
}

func TestScratch(t *testing.T) {
	for _, in := range append(instances1D(t), instances2D(t)...) {
		start := time.Now()
		plan, fault := Cut(in.Job)
		d := time.Since(start)
		require.Equal(t, Fault{}, fault)
		straight := 0
		for _, s := range plan.Stocks {
			if s.Straight {
				straight++
			}
		}
		t.Logf("%-22s opt %d found %d bound %d proven %v steps %d straight %d %v", in.Name, in.Optimum, plan.Needed(), plan.Bound, plan.Proven, plan.Steps, straight, d.Round(10*time.Microsecond))
	}
}
