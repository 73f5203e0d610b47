package pack

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// jobOf makes a job of any bytes: a stock, a kerf, and up to twelve pieces in halves.
func jobOf(data []byte) Job {
	next := func(most int) int {
		if len(data) == 0 {
			return 0
		}
		n := int(data[0]) % most
		data = data[1:]
		return n
	}
	job := Job{Long: float64(1 + next(20)), Wide: float64(1 + next(8)), Kerf: float64(next(4)) / 4}
	job.Steps = 1 + next(8)*2500
	sticks := next(3) == 0
	for total := 0; len(data) > 0 && total < 12; {
		count := 1 + next(3)
		total += count
		piece := Piece{
			Long:    float64(1+next(2*int(job.Long))) / 2,
			Wide:    float64(1+next(2*int(job.Wide))) / 2,
			Count:   float64(count),
			MayTurn: next(4) == 0,
		}
		if piece.MayTurn && next(2) == 0 && !sticks {
			piece.Long, piece.Wide = piece.Wide, piece.Long
		}
		if sticks {
			piece.Wide, piece.MayTurn = job.Wide, false
		}
		job.Pieces = append(job.Pieces, piece)
	}
	return job
}

// neededAsGiven is how many stocks a job takes where nothing is turned that need not be, with the steps that Cut has
// for that: half of them where something can be turned.
func neededAsGiven(job Job) int {
	job.Pieces = alone(job)
	if slices.ContainsFunc(job.Pieces, func(p Piece) bool { return p.MayTurn && p.Long != p.Wide }) {
		job.Steps /= 2
	}
	for i := range job.Pieces {
		job.Pieces[i].Count, job.Pieces[i].MayTurn = 1, false
	}
	plan, _ := Cut(job)
	return plan.Needed()
}

func FuzzCut(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte{9, 2, 1, 1, 0, 1, 5, 5, 5, 2, 7, 7, 7})
	f.Add([]byte{19, 7, 0, 7, 1, 2, 11, 5, 0, 1, 20, 9, 1, 2, 3, 4, 0})
	f.Add([]byte{2, 2, 0, 7, 1, 0, 3, 1, 1, 0, 1, 3, 1, 0, 3, 1, 1, 0, 1, 3, 1, 0, 1, 1, 1})
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 60 {
			return
		}
		job := jobOf(data)
		plan, fault := Cut(job)
		require.Equal(t, Fault{}, fault)
		requireSound(t, job, plan)

		again, _ := Cut(job)
		require.Equal(t, plan, again, "a second run")

		backwards := job
		backwards.Pieces = slices.Clone(job.Pieces)
		slices.Reverse(backwards.Pieces)
		other, _ := Cut(backwards)
		require.Equal(t, plan.Needed(), other.Needed(), "the rows in another order")
		require.Equal(t, plan.Bound, other.Bound)

		if job.Steps > 1 {
			require.LessOrEqual(t, plan.Needed(), neededAsGiven(job), "turning takes no more stocks")
		}
		require.LessOrEqual(t, plan.Needed(), firstFitDecreasing(job))

		if lengths, stick, ok := sticksOf(job); ok && len(lengths) <= 9 {
			least := leastSticks(lengths, stick, job.Kerf)
			require.LessOrEqual(t, plan.Bound, least)
			require.GreaterOrEqual(t, plan.Needed(), least)
		}
	})
}
