package engine

import (
	"fmt"
	"slices"

	"gusset/sheets/text"
)

// Problems returns what is wrong with the sheet and what it uses, in the order of the text: mistakes, cells that
// have no result, and remarks.
func (e *explainer) Problems() text.Diags {
	failures, missing := e.failures()
	all := append(e.told(missing), failures...)
	all = append(all, e.distrust()...)
	all = append(all, e.misspelt()...)
	all.Sort()
	return all
}

// Mistakes returns the mistakes among the Problems: what is wrong in the text, whatever the values are. A cell that only
// has no result for the values at hand is none.
func (e *explainer) Mistakes() text.Diags {
	all := slices.DeleteFunc(e.told(nil), func(d text.Diag) bool { return d.Sev != text.Error })
	all.Sort()
	return all
}

// told returns what reading and checking the sheet, and working its examples out, found, with the values involved. Missing says in how many more places a
// row is needed that is not there.
func (e *explainer) told(missing map[rowKey]int) text.Diags {
	all := slices.Clone(e.diags)
	for _, p := range e.pending {
		notes := all[p.diag].Notes
		for _, s := range p.refs {
			if note := e.slotNote(s); !slices.Contains(notes, note) && len(notes) < 4 {
				notes = append(notes[:len(notes):len(notes)], note)
			}
		}
		all[p.diag].Notes = notes
	}
	for key, row := range e.missing {
		all[row.diag].Notes = neededMore(all[row.diag].Notes, row.more+missing[key])
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
func (e *explainer) failures() (ds text.Diags, missing map[rowKey]int) {
	first := map[rowKey]int{} // among ds
	missing = map[rowKey]int{}
	suspected := &suspects{explainer: e}
	said := map[int32]bool{}
	for i := range e.slots {
		s := int32(i)
		sl := e.slots[s]
		if isNumber(e.mach.Regs[s]) || sl.kind == given {
			continue
		}
		if e.isBroken(s) || sl.root != none && said[sl.root] || e.slots[s].example {
			continue
		}
		fault := e.passing(s).fault
		if fault == nil || fault.said || fault.part {
			continue
		}
		if sl.root != none {
			said[sl.root] = true
		}
		if key := fault.missing; key.table != nil {
			_, known := first[key]
			if _, told := e.missing[key]; known || told {
				missing[key]++
				continue
			}
			first[key] = len(ds)
		}
		d := text.Diag{Code: fault.code, Source: e.moduleOf(s).src, Span: e.slotSpan(s), Msg: fault.msg, Hint: fault.hint, Notes: fault.notes}
		if fault.span.Len() > 0 {
			d.Span = fault.span
		} else if sl.kind != adjusted {
			d.Span = text.Span{Start: e.nodes[fault.node].from, End: e.nodes[fault.node].to}
		}
		if fault.widen {
			d.Hint = suspected.first(e.cells[sl.owner]) + d.Hint
		}
		if sl.entry {
			d.Notes = append(slices.Clone(d.Notes), "in "+e.slotName(s))
		}
		if len(ds) == maxListed {
			ds = append(ds, moreListed(d))
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
func (e *explainer) Cautions() []string {
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
	add(e.root.cautions...)
	for _, mod := range e.sheets {
		if mod != e.root && !mod.library {
			add(mod.cautions...)
		}
	}
	for _, f := range e.called() {
		for _, c := range f.node.Cautions {
			add(c.Text.Text)
		}
	}
	return all
}
