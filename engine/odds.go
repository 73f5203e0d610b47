package engine

import (
	"context"

	"gusset/engine/odds"
)

// OddsOf draws the given values of a Model that say how far off they may be, again and again, and tells what that does
// to its results and checks. It works on a fork, so that neither readers nor changes of the Model wait for it. The same
// options give the same Odds, on any number of processors. When ctx is done it returns what it has come to so far, with
// Stopped set.
//
// Errors are ErrNoSuchName for a name that is not there, and ErrLimit for more builds, or more results, than there is
// room for.
func OddsOf(ctx context.Context, m *Model, o OddsOptions) (*Odds, error) {
	st := m.state()
	st.Mu.Lock()
	fork := st.Fork()
	st.Mu.Unlock()
	return odds.Of(orNever(ctx), fork, o)
}
