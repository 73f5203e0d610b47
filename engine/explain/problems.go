package explain

import (
	"fmt"
	"maps"
	"slices"

	"gusset/engine/program"
	"gusset/engine/state"
	"gusset/sheets/text"
)

// Problems returns what is wrong with the sheet and what it uses, in the order of the text: mistakes, cells that have
// no result, and remarks.
func (e *Explainer) Problems() text.Diags {
	r := e.reporter()
	failures, missing := r.failures()
	all := append(r.mistakes(missing), failures...)
	all = append(all, r.distrust()...)
	all = append(all, misspelt(e.State)...)
	all.Sort()
	return all
}

// Mistakes returns the mistakes among the Problems: what is wrong in the text, whatever the values are. A cell that
// only has no result for the values at hand is none.
func (e *Explainer) Mistakes() text.Diags {
	all := slices.DeleteFunc(e.reporter().mistakes(nil), func(d text.Diag) bool { return d.Sev != text.Error })
	all.Sort()
	return all
}

// reporter makes messages of what is wrong.
type reporter struct {
	st     *state.State
	causes *causes
	marks  func() *marks // worked out when they are first needed
}

// reporter returns one of the values at hand.
func (e *Explainer) reporter() *reporter {
	return &reporter{st: e.State, causes: e.causes, marks: e.marks}
}

// mistakes returns what reading and checking the sheet, and working its examples out, found, with the values involved.
// Missing says in how many more places a row is needed that is not there.
func (r *reporter) mistakes(missing map[program.RowKey]int) text.Diags {
	all := slices.Clone(r.st.Diags)
	for _, p := range r.st.Pending {
		notes := all[p.Diag].Notes
		for _, s := range p.Refs {
			if note := r.st.SlotNote(s); !slices.Contains(notes, note) && len(notes) < 4 {
				notes = append(notes[:len(notes):len(notes)], note)
			}
		}
		all[p.Diag].Notes = notes
	}
	for key, row := range r.st.Missing {
		all[row.Diag].Notes = neededMore(all[row.Diag].Notes, row.More+missing[key])
	}
	return append(all, unmetExamples(r.causes)...)
}

// failures returns a message for each slot that has no result, one for each formula and one for each row that is not
// there, and in how many more places such a row is needed.
func (r *reporter) failures() (ds text.Diags, missing map[program.RowKey]int) {
	st := r.st
	first := map[program.RowKey]int{} // among ds
	missing = map[program.RowKey]int{}
	suspected := &suspects{st: st, causes: r.causes, marks: r.marks}
	said := map[int32]bool{}
	for i, sl := range st.Slots {
		s := int32(i)
		if program.IsNumber(st.Mach.Regs[s]) || sl.Kind == program.Given || sl.Example || st.IsBroken(s) {
			continue
		}
		if sl.Root != program.None && said[sl.Root] {
			continue
		}
		fault := r.causes.passing(s).fault
		if fault == nil || fault.said || fault.part {
			continue
		}
		if sl.Root != program.None {
			said[sl.Root] = true
		}
		if key := fault.missing; key.Table != nil {
			_, known := first[key]
			if _, told := st.Missing[key]; known || told {
				missing[key]++
				continue
			}
			first[key] = len(ds)
		}
		d := failure(st, s, fault)
		if fault.widen {
			d.Hint = suspected.first(st.Cells[sl.Owner]) + d.Hint
		}
		full := false
		if ds, full = program.AddListed(ds, d); full {
			break
		}
		r.causes.forget()
	}
	for key, i := range first {
		ds[i].Notes = neededMore(ds[i].Notes, missing[key])
	}
	return ds, missing
}

// failure is the message that a slot has no result.
func failure(st *state.State, s int32, f *fault) text.Diag {
	sl := st.Slots[s]
	d := text.Diag{Code: f.code, Source: st.ModuleOf(s).Src, Span: st.SlotSpan(s),
		Msg: f.msg, Hint: f.hint, Notes: f.notes}
	if f.span.Len() > 0 {
		d.Span = f.span
	} else if sl.Kind != program.Adjusted {
		d.Span = st.Span(f.node)
	}
	if sl.Entry {
		d.Notes = append(slices.Clone(d.Notes), "in "+st.SlotName(s))
	}
	return d
}

// neededMore says in how many more places a row is needed that is not there.
func neededMore(notes []string, n int) []string {
	switch n {
	case 0:
		return notes
	case 1:
		return append(slices.Clone(notes), "it is needed in 1 more place")
	}
	return append(slices.Clone(notes), fmt.Sprintf("it is needed in %d more places", n))
}

// distrust returns a remark for each use of a formula outside the range in which it is to be trusted.
func (r *reporter) distrust() text.Diags {
	var ds text.Diags
	seen := map[string]bool{}
	outside := r.marks().outside
	for _, s := range slices.Sorted(maps.Keys(outside)) {
		for _, f := range outside[s] {
			d := text.Diag{Code: "trust", Sev: text.Remark, Source: r.st.ModuleOf(s).Src, Span: r.st.Span(f.node),
				Msg: f.msg, Notes: f.notes}
			full, key := false, fmt.Sprint(d.Source.Name, d.Span, d.Msg)
			if seen[key] {
				continue
			}
			seen[key] = true
			if ds, full = program.AddListed(ds, d); full {
				return ds
			}
		}
	}
	return ds
}
