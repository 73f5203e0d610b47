package explain

import (
	"math"
	"strings"

	"gusset/engine/program"
)

// call works a formula's body out, after its needs. What goes wrong in there is told as a fault of the call.
func (ev *evaluator) call(i int32, n program.Node, f *frame) float64 {
	def := ev.st.Formulas[n.A]
	inner := ev.enter(i, n, f)
	before := ev.fault
	ev.noteDistrust(n, f, inner)
	met := true
	for _, need := range def.Needs {
		holds := ev.eval(need.Root, inner)
		if holds == 0 {
			if met = false; ev.fault != nil {
				break // enough is known of why it has no value
			}
			msg, limits := ev.unmet(def, need, inner, "it needs")
			ev.fail(i, "needs", def.Node.Name.Text+": "+msg, "", append(ev.argumentNotes(n, f), limits...)...)
		}
		met = met && holds == 1
	}
	v := math.NaN()
	if met {
		v = ev.eval(def.Body, inner)
	}
	fault := ev.fault
	if before == nil && fault != nil && fault.node != i && (fault.level == 0 || fault.level > inner.depth) {
		if rest, ok := strings.CutPrefix(fault.msg, "this "); ok {
			fault.msg = ev.st.AsTyped(def.Mod, fault.node) + " " + rest
		}
		fault.node = i // the builder's own line, not the library's
		fault.msg = def.Node.Name.Text + ": " + fault.msg
		fault.notes = ev.argumentNotes(n, f)
	}
	return v
}

// enter returns the frame of the body of the formula that node i calls.
func (ev *evaluator) enter(i int32, n program.Node, f *frame) *frame {
	inner := &frame{
		row: program.None, at: program.None,
		args: ev.st.Lists[n.B : n.B+n.C], values: make([]float64, n.C), known: make([]bool, n.C),
		params: ev.st.Formulas[n.A].Params, caller: f, call: f.call, depth: f.depth + 1,
	}
	if inner.call == 0 {
		inner.call = i
	}
	return inner
}

// param returns argument k of the formula whose body is being worked out: a list's at the row that the fold is at. A
// fault in it belongs to the formula that gave it, and is marked with that formula's depth.
func (ev *evaluator) param(k int32, f *frame) float64 {
	if ev.fault == nil {
		defer func() {
			if ev.fault != nil && ev.fault.level == 0 {
				ev.fault.level = f.caller.depth + 1
			}
		}()
	}
	if f.params[k].Each {
		return ev.eval(f.args[k], f.caller.atRow(f.at))
	}
	if !f.known[k] {
		f.values[k], f.known[k] = ev.eval(f.args[k], f.caller), true
	}
	return f.values[k]
}

// atRow returns the frame with the fold at another row.
func (f *frame) atRow(row int32) *frame {
	moved := *f
	moved.at = row
	return &moved
}

// anew returns the frame with nothing evaluated yet, for what is only said of it: what a message needs counts neither
// as used nor as lacking.
func (f *frame) anew() *frame {
	if f == nil {
		return nil
	}
	again := *f
	again.values, again.known = make([]float64, len(f.args)), make([]bool, len(f.args))
	again.caller = f.caller.anew()
	return &again
}

// argumentNotes shows what a formula was given.
func (ev *evaluator) argumentNotes(n program.Node, f *frame) []string {
	params, f := ev.st.Formulas[n.A].Params, f.anew()
	var notes []string
	for k, arg := range ev.st.Lists[n.B : n.B+n.C] {
		param := params[k]
		if param.Each {
			continue
		}
		v := ev.causes.eval(arg, f)
		if !program.IsNumber(v) {
			continue // as in a search that found nothing
		}
		notes = append(notes, param.Name.Text+" is "+ev.st.Texts.Quantity(v, param.Type, givenShow(ev.st, param, arg)))
	}
	return notes
}
