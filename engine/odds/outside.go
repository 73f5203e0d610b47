package odds

import (
	"cmp"
	"context"
	"maps"
	"slices"
	"sync"

	"gusset/engine/explain"
)

// Outside is a formula that some builds use outside the range where it is to be trusted.
type Outside struct {
	Formula string
	Names   []string // of the values that use it so in some build
	Share   float64  // of the builds that were looked at, in which one of them does
	Now     bool     // and so does the sheet as it stands
}

// mostTrusted is in how many builds it is looked for formulas that are used outside their range: a formula has to be
// walked through for that, build by build. The steps are those that a run of the sheet may take for each.
const (
	mostTrusted  = 100
	trustedSteps = 2e6
)

// outside counts the uses of formulas outside their range in the first builds, and returns how many it has looked at.
func (q *question) outside(ctx context.Context, builds, cores int) (list []Outside, looked int) {
	if q.st.Trusting == nil || builds == 0 || len(q.st.Nodes) > trustedSteps ||
		q.st.Work(q.st.UncutFrom(q.slots())) > trustedSteps {
		return nil, 0
	}
	trusting := explain.TrustingBehind(q.st, q.outputs())
	if len(trusting) == 0 {
		return nil, 0
	}
	states := make([][]explain.Distrusted, min(builds, mostTrusted))
	for looked < len(states) && ctx.Err() == nil { // to fork a state is not for several at once
		var wait sync.WaitGroup
		for range min(cores, len(states)-looked) {
			k, e := looked, explain.New(q.build(looked))
			wait.Go(func() { states[k] = explain.DistrustedIn(e, trusting) })
			looked++
		}
		wait.Wait()
	}
	byFormula := map[string]*Outside{}
	seen := map[explain.Distrusted]bool{}
	used := func(uses []explain.Distrusted) (formulas []*Outside) {
		for _, use := range uses {
			o := byFormula[use.Formula]
			if o == nil {
				o = &Outside{Formula: use.Formula}
				byFormula[use.Formula] = o
			}
			if !seen[use] {
				seen[use] = true
				o.Names = append(o.Names, q.st.SlotName(use.Slot))
			}
			if !slices.Contains(formulas, o) {
				formulas = append(formulas, o)
			}
		}
		return formulas
	}
	for _, uses := range states {
		for _, o := range used(uses) {
			o.Share++
		}
	}
	for _, o := range used(explain.DistrustedIn(explain.New(q.st), trusting)) {
		o.Now = true
	}
	for _, name := range slices.Sorted(maps.Keys(byFormula)) {
		o := *byFormula[name]
		o.Share /= float64(looked)
		list = append(list, o)
	}
	slices.SortStableFunc(list, func(a, b Outside) int { return cmp.Compare(b.Share, a.Share) })
	return list, looked
}
