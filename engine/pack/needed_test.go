package pack

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestNeededIsWhatThePlanTakes: counting ends earlier than planning, and comes to the same.
func TestNeededIsWhatThePlanTakes(t *testing.T) {
	var jobs []Job
	for pieces := 1; pieces <= 48; pieces++ {
		jobs = append(jobs, randomJob(pieces, 36, 3, 0.02, 0.6, false), randomJob(pieces, 36, 12, 0.1, 0.6, true),
			randomJob(pieces, 48, 0.25, 0.2, 0.66, false))
	}
	jobs = append(jobs, randomJob(300, 36, 12, 0.02, 0.6, true), randomJob(400, 36, 3, 0.02, 0.2, false), Job{Long: 1, Wide: 1})
	for _, job := range jobs {
		job.Steps = 40_000
		plan, fault := Cut(job)
		require.Zero(t, fault)
		needed, fault := Needed(job)
		require.Zero(t, fault)
		require.Equal(t, plan.Needed(), needed, "%+v", job)
	}
	_, fault := Needed(Job{Long: 1, Wide: 1, Pieces: []Piece{{Long: 2, Wide: 1, Count: 1}}})
	require.Equal(t, Fault{Kind: DoesNotFit}, fault)
}

// TestTheBoundOfManyKindsStaysABound: fewer functions are tried for many kinds of pieces, and the bound is no higher
// than the plan and no lower than the pieces' area.
func TestTheBoundOfManyKindsStaysABound(t *testing.T) {
	for _, turn := range []bool{false, true} {
		job := randomJob(900, 36, 12, 0.02, 0.6, turn)
		items, fault := itemsOf(job)
		require.Zero(t, fault)
		p := newProblem(items)
		require.Greater(t, len(p.kinds()), 2*manyKinds)
		area := int64(0)
		for i := range items {
			area += items[i].area
		}
		require.GreaterOrEqual(t, p.bound(), int((area+wholeArea-1)/wholeArea))
		plan, _ := Cut(job)
		require.LessOrEqual(t, plan.Bound, plan.Needed())
		require.Equal(t, p.bound(), newProblem(items).boundBelow(plan.Needed()), "stopped early it is the same")
	}
}
