package explain

import (
	"gusset/engine/program"
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

// Cautions returns what the sheet, what it uses, and the formulas that it calls warn of, each once.
func (e *Explainer) Cautions() []string {
	var all []string
	known := map[string]bool{}
	add := func(list ...string) {
		for _, c := range list {
			if !known[c] {
				known[c] = true
				all = append(all, c)
			}
		}
	}
	add(e.Root.Cautions...)
	for _, mod := range e.Modules {
		if mod != e.Root && !mod.Library {
			add(mod.Cautions...)
		}
	}
	for _, f := range program.Called(e.Program) {
		for _, c := range f.Node.Cautions {
			add(c.Text.Text)
		}
	}
	return all
}
