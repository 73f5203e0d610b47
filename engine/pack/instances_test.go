package pack

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// instance is a published problem; testdata/README.md has the sources.
type instance struct {
	Name     string
	Optimum  int
	L2       int // the bound of Martello and Toth
	FFD      int // what first-fit decreasing comes to
	DFFBound int `json:"dff_bound"`
	Job      Job `json:"-"`
}

func readInstances(t testing.TB, file string, read func(data json.RawMessage) Job) []instance {
	data, err := os.ReadFile("testdata/" + file)
	require.NoError(t, err)
	var rows []json.RawMessage
	require.NoError(t, json.Unmarshal(data, &rows))
	instances := make([]instance, len(rows))
	for i, row := range rows {
		require.NoError(t, json.Unmarshal(row, &instances[i]))
		instances[i].Job = read(row)
	}
	return instances
}

func stickInstances(t testing.TB) []instance {
	return readInstances(t, "bins1d.json", func(data json.RawMessage) Job {
		var row struct {
			Capacity float64
			Items    []float64
		}
		require.NoError(t, json.Unmarshal(data, &row))
		job := Job{Long: row.Capacity, Wide: 3}
		for _, long := range row.Items {
			job.Pieces = append(job.Pieces, Piece{Long: long, Wide: 3, Count: 1})
		}
		return job
	})
}

func sheetInstances(t testing.TB) []instance {
	return readInstances(t, "bins2d.json", func(data json.RawMessage) Job {
		var row struct {
			Width, Height float64
			Items         [][3]float64 // width, height, how many
		}
		require.NoError(t, json.Unmarshal(data, &row))
		job := Job{Long: row.Width, Wide: row.Height}
		for _, it := range row.Items {
			job.Pieces = append(job.Pieces, Piece{Long: it[0], Wide: it[1], Count: it[2]})
		}
		return job
	})
}

// TestPublishedOptima asks for every published optimum, and for a proof of each but one: 17 sticks are what the bounds
// give for N1W1B1R0, and its optimum of 18 is out of reach for the search.
func TestPublishedOptima(t *testing.T) {
	sticks, sheets := stickInstances(t), sheetInstances(t)
	require.Len(t, sticks, 22)
	require.Len(t, sheets, 13)
	for _, in := range append(sticks, sheets...) {
		t.Run(in.Name, func(t *testing.T) {
			plan, fault := Cut(in.Job)
			require.Equal(t, Fault{}, fault)
			requireSound(t, in.Job, plan)
			assert.Equal(t, in.Optimum, plan.Needed())
			assert.Equal(t, in.Name != "N1W1B1R0", plan.Proven)
		})
	}
}

// TestPublishedBounds holds the bounds before any search, and plain first fit, against published figures.
func TestPublishedBounds(t *testing.T) {
	for _, in := range stickInstances(t) {
		p := problemOf(in.Job)
		assert.Equal(t, in.FFD, len(p.firstFit()), in.Name)
		assert.GreaterOrEqual(t, p.bound(), in.L2, in.Name)
		assert.LessOrEqual(t, p.bound(), in.Optimum, in.Name)
		assert.Equal(t, in.L2, boundL2(p), in.Name)
	}
	for _, in := range sheetInstances(t) {
		p := problemOf(in.Job)
		assert.Equal(t, in.DFFBound, p.bound(), in.Name)
	}
}

// boundL2 is the bound L2 of Martello and Toth, from the function that stands for it: with the least size from 0 up.
func boundL2(p *problem) int {
	best := int64(0)
	for _, least := range append(p.sizes(func(e extent) int64 { return e.w }), 0, whole/2) {
		sum := int64(0)
		for _, it := range p.items {
			if 2*least <= whole {
				sum += large(least)(it.w)
			}
		}
		best = max(best, sum)
	}
	return int((best + shareSteps - 1) / shareSteps)
}

// TestPublishedInstancesTurnedAbout: the same sheets with long and wide exchanged take as many, and so do pieces in
// millimetres that were inches.
func TestPublishedInstancesTurnedAbout(t *testing.T) {
	for _, in := range append(stickInstances(t), sheetInstances(t)...) {
		about := Job{Long: in.Job.Wide, Wide: in.Job.Long}
		metric := Job{Long: in.Job.Long * 25.4, Wide: in.Job.Wide * 25.4}
		for _, p := range in.Job.Pieces {
			about.Pieces = append(about.Pieces, Piece{Long: p.Wide, Wide: p.Long, Count: p.Count})
			metric.Pieces = append(metric.Pieces, Piece{Long: p.Long * 25.4, Wide: p.Wide * 25.4, Count: p.Count})
		}
		for _, job := range []Job{about, metric} {
			plan, _ := Cut(job)
			requireSound(t, job, plan)
			assert.Equal(t, in.Optimum, plan.Needed(), in.Name)
		}
	}
}
