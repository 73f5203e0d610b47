package engine

import (
	"context"

	"gusset/engine/choose"
)

// Choose tries every combination of what some given values of a model may be, and tells for which of them all checks
// hold, the best first. Values that are set, and a variant in use, count as the sheet as it stands. Nothing is set.
// When ctx is done it tells what was found so far, with Stopped set; an error tells that the question cannot be asked.
//
// Errors have the kinds of those of Set for a value that cannot be varied so, ErrNoSuchName for a name that is not
// there, ErrWrongKind for a goal that is not a number, and ErrLimit for more than can be tried.
func Choose(ctx context.Context, m *Model, q ChooseQuestion) (ChooseAnswer, error) {
	st := m.state()
	st.Mu.RLock()
	err := choose.Allow(st, q)
	st.Mu.RUnlock()
	if err != nil {
		return ChooseAnswer{}, err
	}
	return choose.Of(orNever(ctx), m.ForkContext(context.Background()).st, q)
}
