package explain

import (
	"gusset/engine/state"
)

// An Explainer tells what the values of a State are and how they come about, for as long as none of them changes. It is
// cheap to make, remembers what it has found out, and is for one goroutine, which has locked the State for reading.
type Explainer struct {
	*state.State
	causes *causes
	run    int // the count of the State's changes when it was made
}

// New returns an Explainer of the values that a State has.
func New(st *state.State) *Explainer {
	return &Explainer{State: st, causes: newCauses(st), run: st.Runs}
}

// Reasons is what a State asks while it works values out: whether ?? gives way, and why a search came to nothing.
func Reasons(st *state.State) state.Reasons { return newCauses(st) }
