package explain

import (
	"fmt"
	"maps"
	"slices"

	"gusset/engine/program"
	"gusset/sheets/text"
)

// maxDistrust is how many nodes are walked for conditions of trust; formulas that call formulas many times over could
// ask for more than anyone would wait for.
const maxDistrust = 5_000_000

// outsideOf returns the uses of formulas in a slot's own formula that are outside the range in which they are to be
// trusted, for a slot that has a value. Only what the value really used counts.
func (e *Explainer) outsideOf(s int32) []fault {
	if e.Trusting == nil || !program.IsNumber(e.Mach.Regs[s]) {
		return nil
	}
	found, known := e.outside[s]
	if known {
		return found
	}
	for _, root := range e.RootsOf(s) {
		if e.Trusting[root] && e.trustSteps < maxDistrust {
			w := &Walker{E: e, outside: &found}
			w.Value(root, &Frame{Row: e.Slots[s].Row, At: program.None})
			e.trustSteps += w.steps
		}
	}
	e.outside[s] = found
	return found
}

// mostOutside is how many formulas a search that finds nothing names.
const mostOutside = 3

// searchOutside tells which formulas, of those that the condition of a search rests on, are used outside the range where they
// are to be trusted whatever the search tries.
func (e *Explainer) searchOutside(c *program.Cell) []string {
	if e.Trusting == nil {
		return nil
	}
	var notes []string
	seen := map[int32]bool{}
	work := []int32{c.Slot}
	for len(work) > 0 && e.trustSteps < maxDistrust && len(notes) < mostOutside {
		s := work[0]
		work = work[1:]
		for _, root := range e.RootsOf(s) {
			var found []fault
			var reads []int32
			w := &Walker{E: e, outside: &found, reads: &reads}
			w.Value(root, &Frame{Row: e.Slots[s].Row, At: program.None})
			e.trustSteps += w.steps
			for _, f := range found {
				if note := "outside its range: " + f.msg; !slices.Contains(notes, note) && len(notes) < mostOutside {
					notes = append(notes, note)
				}
			}
			slices.Sort(reads)
			for _, next := range reads {
				if !seen[next] {
					seen[next] = true
					work = append(work, next)
				}
			}
		}
	}
	return notes
}

// noteDistrust notes the conditions of trust of a called formula that do not hold, if that is asked for.
func (w *Walker) noteDistrust(n program.Node, p, inner *Frame) {
	if w.outside == nil {
		return
	}
	def := w.E.Formulas[n.A]
	for _, t := range def.Trusts {
		if w.Value(t.Root, inner) != 0 {
			continue
		}
		msg, limits := w.E.unmet(def, t, w, inner, "it is trusted where")
		w.addOutside(fault{node: inner.call, msg: def.Node.Name.Text + ": " + msg, notes: append(w.E.argumentNotes(w, n, p), limits...)})
	}
}

// addOutside notes a use of a formula outside its range, each once.
func (w *Walker) addOutside(found ...fault) {
	for _, f := range found {
		if !slices.ContainsFunc(*w.outside, func(o fault) bool { return o.node == f.node && o.msg == f.msg }) {
			*w.outside = append(*w.outside, f)
		}
	}
}

// distrust returns a remark for each use of a formula outside the range in which it is to be trusted.
func (e *Explainer) distrust() text.Diags {
	var ds text.Diags
	seen := map[string]bool{}
	outside := e.marks().outside
	for _, s := range slices.Sorted(maps.Keys(outside)) {
		for _, t := range outside[s] {
			d := text.Diag{Code: "trust", Sev: text.Remark, Source: e.ModuleOf(s).Src, Span: text.Span{Start: e.Nodes[t.node].From, End: e.Nodes[t.node].To}, Msg: t.msg, Notes: t.notes}
			key := fmt.Sprint(d.Source.Name, d.Span, d.Msg)
			switch {
			case seen[key]:
			case len(ds) == program.MaxListed:
				return append(ds, program.MoreListed(d))
			default:
				seen[key] = true
				ds = append(ds, d)
			}
		}
	}
	return ds
}

// remarksOf returns what there is to remark on a slot's own value.
func (k *marks) remarksOf(s int32) []string {
	var remarks []string
	for _, f := range k.outside[s] {
		if !slices.Contains(remarks, f.msg) {
			remarks = append(remarks, f.msg)
		}
	}
	return remarks
}

// marks is what makes values less sure: guesses, and formulas used outside the range where they are to be trusted.
type marks struct {
	guesses  *resting          // what rests on guesses
	outside  map[int32][]fault // uses of formulas outside their range, of each slot that has some
	remarked *resting          // how many of the slots with such uses each slot rests on, itself included
}

// marks works the marks of all values out, once for as long as no value changes.
func (e *Explainer) marks() *marks {
	return e.Derive(func() any { return e.findMarks() }).(*marks)
}

func (e *Explainer) findMarks() *marks {
	k := &marks{outside: map[int32][]fault{}}
	var guesses, remarked []int32
	if e.HasGuesses() {
		for _, mod := range e.Modules {
			guesses = append(guesses, e.guessSlots(mod)...)
		}
	}
	if e.Trusting != nil {
		for i, sl := range e.Slots {
			s := int32(i)
			if found := e.outsideOf(s); len(found) > 0 {
				k.outside[s] = found
				if !sl.Hidden {
					remarked = append(remarked, s)
				}
			}
		}
	}
	k.guesses, k.remarked = e.restingOn(guesses), e.restingOn(remarked)
	return k
}
