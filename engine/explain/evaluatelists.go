package explain

import (
	"fmt"
	"math"

	"gusset/engine/machine"
	"gusset/engine/program"
	"gusset/sheets/text"
)

// lookup reads the entry of a column in the row that a text names.
func (ev *evaluator) lookup(n program.Node, f *frame) float64 {
	key := ev.eval(n.A, f)
	if !program.IsNumber(key) || ev.st.TypeAt(n.A).Kind != program.Text {
		return math.NaN() // no value, or a mistake that has been said
	}
	c := ev.st.Columns[n.B]
	row, ok := c.Table.ByName[int32(key)]
	switch {
	case ok:
		return ev.slot(c.Base + row)
	case c.Table.Lost != program.None:
		return ev.unwhole(c.Table, n.A)
	case ev.fault == nil:
		d := ev.st.UnknownRow(c.Table, text.Word{Text: ev.st.Texts.Of(key)}, &ev.causes.looked)
		ev.fault = &fault{node: n.A, code: d.Code, msg: d.Msg, hint: d.Hint,
			missing: program.RowKey{Table: c.Table, Name: int32(key)}}
	}
	return math.NaN()
}

// fold brings a list together.
func (ev *evaluator) fold(i int32, n program.Node, f *frame) float64 {
	var values []float64
	sound := ev.eachRow(n.A, f, func(at *frame) bool {
		v := ev.eval(n.A, at)
		values = append(values, v)
		return program.IsNumber(v)
	})
	if !sound {
		return math.NaN()
	}
	v := machine.FoldValues(program.FoldKind(&n), values)
	switch {
	case program.IsNumber(v):
		return v
	case len(values) > 0:
		return ev.fail(i, "too-large", "this grows too large to work with", "")
	}
	return ev.fail(i, "no-rows", "there are no rows left to work with", "the filter leaves none")
}

// interpolate reads a table off between its rows.
func (ev *evaluator) interpolate(n program.Node, f *frame) float64 {
	r := machine.Reading{At: ev.eval(n.A, f), Result: math.NaN()}
	rises, first, last := true, math.NaN(), math.NaN()
	sound := ev.eachRow(n.B, f, func(at *frame) bool {
		x, y := ev.eval(n.B, at), ev.eval(n.C, at)
		known := program.IsNumber(x) && program.IsNumber(y)
		if known && program.IsNumber(r.At) {
			rises = r.Row(x, y) && rises
			if last = x; !program.IsNumber(first) {
				first = x
			}
		}
		return known
	})
	switch {
	case !sound || !program.IsNumber(r.At):
		return math.NaN()
	case !rises:
		return ev.fail(n.B, "not-rising", "a table that is read off between its rows must rise from row to row",
			"put the rows in order")
	case !program.IsNumber(r.Result):
		show := func(x float64) string {
			return ev.st.Texts.Quantity(x, ev.st.TypeAt(n.A), nodeShow(ev.st, n.A))
		}
		return ev.fail(n.A, "outside-table",
			fmt.Sprintf("%s is outside the table (%s to %s)", show(r.At), show(first), show(last)), "",
			ev.st.ValueNotes(n.A, f.row)...)
	}
	return r.Result
}

// eachRow visits the rows that a list goes through, and reports whether all of them were sound. What a row lacked that
// a filter leaves out does not matter.
func (ev *evaluator) eachRow(list int32, f *frame, visit func(at *frame) bool) bool {
	env := &program.Env{}
	table, keeps := ev.st.ListRows(list, f.describe(env))
	if table == nil {
		ev.eval(list, f) // notes what of the list could not be read
		return false
	}
	if table.Lost != program.None {
		ev.unwhole(table, list)
		return false
	}
	sound := true
rows:
	for row := range table.RowName {
		if !sound && len(ev.missing) == maxRoots && (!ev.past || ev.fault != nil) && !ev.wants {
			break // enough is known of why it has no value
		}
		at := f.atRow(int32(row))
		missing, fault := len(ev.missing), ev.fault
		known := true
		for _, k := range keeps {
			before := ev.readsNow()
			switch keep := ev.eval(k.Node, at.of(k.Env, env)); {
			case keep == 0:
				if ev.mayFlip(before) {
					ev.eval(list, at)
				}
				ev.missing, ev.fault = ev.missing[:missing], fault
				continue rows
			case !program.IsNumber(keep):
				known = false
			}
		}
		sound = known && visit(at) && sound
	}
	return sound
}

// describe fills in an Env for ListRows: the nodes that the formulas around were given, one Env for each frame.
func (f *frame) describe(env *program.Env) *program.Env {
	env.Lists = f.args
	if f.caller != nil {
		env.Caller = f.caller.describe(&program.Env{})
	}
	return env
}

// of returns the frame that describe made the Env want of, with the fold at the row where it is in f, whose own is
// have.
func (f *frame) of(want, have *program.Env) *frame {
	for ; have != want && f.caller != nil; have = have.Caller {
		f = f.caller.atRow(f.at)
	}
	return f
}
