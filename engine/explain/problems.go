package explain

import (
	"fmt"
	"slices"

	"gusset/engine/program"
	"gusset/sheets/text"
)

// Problems returns what is wrong with the sheet and what it uses, in the order of the text: mistakes, cells that
// have no result, and remarks.
func (e *Explainer) Problems() text.Diags {
	failures, missing := e.failures()
	all := append(e.told(missing), failures...)
	all = append(all, e.distrust()...)
	all = append(all, e.misspelt()...)
	all.Sort()
	return all
}

// Mistakes returns the mistakes among the Problems: what is wrong in the text, whatever the values are. A cell that only
// has no result for the values at hand is none.
func (e *Explainer) Mistakes() text.Diags {
	all := slices.DeleteFunc(e.told(nil), func(d text.Diag) bool { return d.Sev != text.Error })
	all.Sort()
	return all
}

// told returns what reading and checking the sheet, and working its examples out, found, with the values involved. Missing says in how many more places a
// row is needed that is not there.
func (e *Explainer) told(missing map[program.RowKey]int) text.Diags {
	all := slices.Clone(e.Diags)
	for _, p := range e.Pending {
		notes := all[p.Diag].Notes
		for _, s := range p.Refs {
			if note := e.SlotNote(s); !slices.Contains(notes, note) && len(notes) < 4 {
				notes = append(notes[:len(notes):len(notes)], note)
			}
		}
		all[p.Diag].Notes = notes
	}
	for key, row := range e.Missing {
		all[row.Diag].Notes = neededMore(all[row.Diag].Notes, row.More+missing[key])
	}
	return append(all, e.unmetExamples()...)
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

// failures returns a message for each slot that has no result, one for each formula and one for each row that is not there, and
// in how many more places such a row is needed.
func (e *Explainer) failures() (ds text.Diags, missing map[program.RowKey]int) {
	first := map[program.RowKey]int{} // among ds
	missing = map[program.RowKey]int{}
	suspected := &suspects{Explainer: e}
	said := map[int32]bool{}
	for i := range e.Slots {
		s := int32(i)
		sl := e.Slots[s]
		if program.IsNumber(e.Mach.Regs[s]) || sl.Kind == program.Given {
			continue
		}
		if e.IsBroken(s) || sl.Root != program.None && said[sl.Root] || e.Slots[s].Example {
			continue
		}
		fault := e.passing(s).fault
		if fault == nil || fault.said || fault.part {
			continue
		}
		if sl.Root != program.None {
			said[sl.Root] = true
		}
		if key := fault.missing; key.Table != nil {
			_, known := first[key]
			if _, told := e.Missing[key]; known || told {
				missing[key]++
				continue
			}
			first[key] = len(ds)
		}
		d := text.Diag{Code: fault.code, Source: e.ModuleOf(s).Src, Span: e.SlotSpan(s), Msg: fault.msg, Hint: fault.hint, Notes: fault.notes}
		if fault.span.Len() > 0 {
			d.Span = fault.span
		} else if sl.Kind != program.Adjusted {
			d.Span = text.Span{Start: e.Nodes[fault.node].From, End: e.Nodes[fault.node].To}
		}
		if fault.widen {
			d.Hint = suspected.first(e.Cells[sl.Owner]) + d.Hint
		}
		if sl.Entry {
			d.Notes = append(slices.Clone(d.Notes), "in "+e.SlotName(s))
		}
		if len(ds) == program.MaxListed {
			ds = append(ds, program.MoreListed(d))
			break
		}
		ds = append(ds, d)
		e.forget()
	}
	for key, i := range first {
		ds[i].Notes = neededMore(ds[i].Notes, missing[key])
	}
	return ds, missing
}

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
	for _, f := range e.Called() {
		for _, c := range f.Node.Cautions {
			add(c.Text.Text)
		}
	}
	return all
}
