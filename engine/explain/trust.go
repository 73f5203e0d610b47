package explain

import (
	"fmt"
	"slices"
	"strings"

	"gusset/engine/graph"
	"gusset/engine/program"
	"gusset/engine/state"
)

const (
	// maxDistrust is how many nodes are visited for conditions of trust; formulas that call formulas many times over
	// could ask for more than anyone would wait for. What goes beyond counts as used outside its range.
	maxDistrust = 5_000_000
	// mostOutside is how many formulas a search that finds nothing names.
	mostOutside = 3
)

// untried is the remark where nobody has looked.
var untried = fmt.Sprintf("whether a formula is used outside the range where it is to be trusted is not known here: "+
	"the sheet takes more than the %d steps that there are to find out", maxDistrust)

// trust finds the uses of formulas outside the range in which they are to be trusted, and remembers them. Only what a
// value really used counts. It holds for as long as no value changes.
type trust struct {
	st      *state.State
	causes  *causes
	outside map[int32][]fault // of each slot as far as asked for
	steps   int               // nodes visited
}

// outsideOf returns the uses outside their range in a slot's own formula, for a slot that has a value.
func (tr *trust) outsideOf(s int32) []fault {
	if tr.st.Trusting == nil || !program.IsNumber(tr.st.Mach.Regs[s]) {
		return nil
	}
	found, known := tr.outside[s]
	if known {
		return found
	}
	for _, root := range tr.st.RootsOf(s) {
		switch {
		case !tr.st.Trusting[root]:
		case tr.steps < maxDistrust:
			tr.visit(root, s, &found, nil)
		default:
			found = append(found, fault{node: root, msg: untried})
		}
	}
	tr.outside[s] = found
	return found
}

// visit evaluates a formula of a slot, with notes of uses outside their range and, unless reads is nil, of what it
// reads.
func (tr *trust) visit(root, s int32, outside *[]fault, reads *[]int32) {
	ev := tr.causes.evaluator()
	ev.outside, ev.noted, ev.reads = outside, map[use]bool{}, reads
	ev.eval(root, rowFrame(tr.st.Slots[s].Row))
	tr.steps += ev.steps
}

// outsideOfSearch tells which formulas, of those that the condition of a search rests on, are used outside their range
// whatever the search tries.
func (tr *trust) outsideOfSearch(c *program.Cell) []string {
	if tr.st.Trusting == nil {
		return nil
	}
	var notes []string
	graph.Visit([]int32{c.Slot}, func(s int32) (next []int32) {
		for _, root := range tr.st.RootsOf(s) {
			if tr.steps >= maxDistrust || len(notes) == mostOutside {
				return nil
			}
			var found []fault
			var reads []int32
			tr.visit(root, s, &found, &reads)
			for _, f := range found {
				if note := "outside its range: " + f.msg; !slices.Contains(notes, note) && len(notes) < mostOutside {
					notes = append(notes, note)
				}
			}
			slices.Sort(reads)
			next = append(next, reads...)
		}
		return next
	})
	return notes
}

// noteDistrust notes the conditions of trust of a called formula that do not hold, if that is asked for.
func (ev *evaluator) noteDistrust(n program.Node, f, inner *frame) {
	if ev.outside == nil {
		return
	}
	def := ev.st.Formulas[n.A]
	for _, t := range def.Trusts {
		if ev.eval(t.Root, inner) != 0 {
			continue
		}
		msg, limits := ev.unmet(def, t, inner, "it is trusted where")
		ev.addOutside(fault{node: inner.call, msg: def.Node.Name.Text + ": " + msg,
			notes: append(ev.argumentNotes(n, f), limits...)})
	}
}

// use is a use of a formula outside its range, by the call and what is said of it.
type use struct {
	node int32
	msg  string
}

// addOutside notes uses of formulas outside their range, each once.
func (ev *evaluator) addOutside(found ...fault) {
	for _, f := range found {
		if of := (use{f.node, f.msg}); !ev.noted[of] {
			ev.noted[of] = true
			*ev.outside = append(*ev.outside, f)
		}
	}
}

// Distrusted is a use of a formula outside the range in which it is to be trusted.
type Distrusted struct {
	Slot    int32 // whose value uses it
	Formula string
}

// TrustingBehind returns the slots of which the values of some others rest on and that use formulas with a range in
// which they are to be trusted.
func TrustingBehind(st *state.State, slots []int32) []int32 {
	if st.Trusting == nil {
		return nil
	}
	var list []int32
	reached, _ := behind(st, slots)
	for s := range int32(len(st.Slots)) {
		trusts := func(root int32) bool { return st.Trusting[root] }
		if reached[s] && !program.InFormula(st.Program, s) && slices.ContainsFunc(st.RootsOf(s), trusts) {
			list = append(list, s)
		}
	}
	return list
}

// DistrustedIn returns the uses of formulas outside their range by the values of some slots, each once.
func DistrustedIn(e *Explainer, slots []int32) []Distrusted {
	var all []Distrusted
	for _, s := range slots {
		for _, f := range e.causes.trust.outsideOf(s) {
			name, _, _ := strings.Cut(f.msg, ":")
			if use := (Distrusted{s, name}); !slices.Contains(all, use) {
				all = append(all, use)
			}
		}
	}
	return all
}
