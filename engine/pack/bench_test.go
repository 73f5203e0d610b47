package pack

import (
	"math/rand/v2"
	"testing"
)

// BenchmarkCut cuts 200 pieces of many sizes, by default effort: a few proven at once, the others search to the end.
func BenchmarkCut(b *testing.B) {
	jobs := []struct {
		name string
		job  Job
	}{
		{"sticks", randomJob(200, 48, 0.25, 0.2, 0.66, false)},
		{"sheets", randomJob(200, 36, 3, 0.02, 0.6, false)},
		{"sheets turned", randomJob(200, 36, 12, 0.1, 0.6, true)},
	}
	for _, j := range jobs {
		b.Run(j.name, func(b *testing.B) {
			var plan Plan
			for b.Loop() {
				plan, _ = Cut(j.job)
			}
			b.ReportMetric(float64(plan.Steps), "steps")
			b.ReportMetric(float64(plan.Needed()-plan.Bound), "gap")
		})
	}
}

// randomJob is a job of so many pieces between least and most, as shares of a stock; sticks are all as wide as theirs.
func randomJob(pieces int, long, wide, least, most float64, turn bool) Job {
	chance := rand.New(rand.NewPCG(3, 5))
	side := func(whole float64) float64 {
		return float64(int(whole*(least+(most-least)*chance.Float64())*16)+1) / 16
	}
	job := Job{Long: long, Wide: wide, Kerf: 1.0 / 32}
	for range pieces {
		piece := Piece{Long: side(long), Wide: wide, Count: 1, MayTurn: turn}
		if wide > 1 {
			piece.Wide = side(wide)
		}
		job.Pieces = append(job.Pieces, piece)
	}
	return job
}
