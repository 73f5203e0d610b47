package engine

import (
	"fmt"
	"slices"

	"gusset/sheets/text"
)

// Problems returns what is wrong with the sheet and what it uses, in the order of the text: mistakes, cells that
// have no result, and remarks.
func (m *Model) Problems() text.Diags {
	m.mu.RLock()
	defer m.mu.RUnlock()
	all := m.told()
	all = append(all, m.failures()...)
	all = append(all, m.distrust()...)
	all = append(all, m.misspelt()...)
	all.Sort()
	return all
}

// Mistakes returns the mistakes among the Problems: what is wrong in the text, whatever the values are. A cell that only
// has no result for the values at hand is none.
func (m *Model) Mistakes() text.Diags {
	m.mu.RLock()
	defer m.mu.RUnlock()
	all := slices.DeleteFunc(m.told(), func(d text.Diag) bool { return d.Sev != text.Error })
	all.Sort()
	return all
}

// told returns what reading and checking the sheet found, with the values involved.
func (m *Model) told() text.Diags {
	all := slices.Clone(m.diags)
	for _, p := range m.pending {
		notes := all[p.diag].Notes
		for _, s := range p.refs {
			if note := m.slotNote(s); !slices.Contains(notes, note) && len(notes) < 4 {
				notes = append(notes[:len(notes):len(notes)], note)
			}
		}
		all[p.diag].Notes = notes
	}
	return all
}

// failures returns a message for each slot that has no result, one for each formula.
func (m *Model) failures() text.Diags {
	var ds text.Diags
	e := m.explainer()
	said := map[int32]bool{}
	for i := range m.slots {
		s := int32(i)
		sl := m.slots[s]
		if isNumber(m.mach.Regs[s]) || sl.kind == given {
			continue
		}
		if _, broken := m.broken[s]; broken || sl.root != none && said[sl.root] || m.slots[s].example {
			continue
		}
		fault := e.passing(s).fault
		if fault == nil || fault.said || fault.part {
			continue
		}
		if sl.root != none {
			said[sl.root] = true
		}
		d := text.Diag{Code: fault.code, Source: m.moduleOf(s).src, Span: m.slotSpan(s), Msg: fault.msg, Hint: fault.hint, Notes: fault.notes}
		if fault.span.Len() > 0 {
			d.Span = fault.span
		} else if sl.kind != adjusted {
			d.Span = text.Span{Start: m.nodes[fault.node].from, End: m.nodes[fault.node].to}
		}
		if sl.entry {
			d.Notes = append(slices.Clone(d.Notes), "in "+m.slotName(s))
		}
		if len(ds) == maxListed {
			return append(ds, moreListed(d))
		}
		ds = append(ds, d)
		e.forget()
	}
	return ds
}

// distrust returns a remark for each use of a formula outside the range in which it is to be trusted.
func (m *Model) distrust() text.Diags {
	var ds text.Diags
	seen := map[string]bool{}
	budget := maxDistrust
	for i := range m.slots {
		s := int32(i)
		if m.slots[s].root == none || !isNumber(m.mach.Regs[s]) || m.slots[s].example {
			continue
		}
		for _, t := range m.distrusted(s, &budget) {
			d := text.Diag{Code: "trust", Sev: text.Remark, Source: m.moduleOf(s).src, Span: text.Span{Start: m.nodes[t.node].from, End: m.nodes[t.node].to}, Msg: t.msg, Notes: t.notes}
			key := fmt.Sprint(d.Source.Name, d.Span, d.Msg)
			switch {
			case seen[key]:
			case len(ds) == maxListed:
				return append(ds, moreListed(d))
			default:
				seen[key] = true
				ds = append(ds, d)
			}
		}
	}
	return ds
}

// distrusted returns the conditions of trust that do not hold in a slot's formula and in those that it calls.
func (m *Model) distrusted(s int32, budget *int) []fault {
	d := distruster{m: m, budget: budget}
	sl := m.slots[s]
	d.node(sl.root, &place{row: sl.row, at: none}, none)
	return d.found
}

// maxDistrust is how many nodes are walked for conditions of trust; formulas that call formulas many times over could
// ask for more than anyone would wait for.
const maxDistrust = 5_000_000

type distruster struct {
	m      *Model
	budget *int
	found  []fault
}

// node looks at node i and below; outer is the builder's own call that led there.
func (d *distruster) node(i int32, p *place, outer int32) {
	n := d.m.nodes[i]
	if *d.budget--; *d.budget < 0 || n.op == OpFold || n.op == OpInterp {
		return // a fold's rows are each their own case; the cells of its table are looked at by themselves
	}
	switch n.op {
	case OpCall:
		d.call(i, n, p, outer)
	case OpChoose: // only the branch that is taken
		d.node(n.a, p, outer)
		if branch := (&walker{m: d.m}).value(n.a, p); branch == 1 {
			d.node(n.b, p, outer)
		} else {
			d.node(n.c, p, outer)
		}
		return
	}
	for _, o := range d.m.operands(i) {
		d.node(o, p, outer)
	}
}

func (d *distruster) call(i int32, n node, p *place, outer int32) {
	w := &walker{m: d.m}
	def := d.m.formulas[n.a]
	inner := w.enter(n, p)
	at := i
	if outer != none {
		at = outer
	}
	for _, t := range def.trusts {
		if w.value(t.root, inner) != 0 {
			continue
		}
		msg := t.node.Message.Text
		if msg == "" {
			msg = "it is trusted where " + t.node.Cond.Text
		}
		d.found = append(d.found, fault{node: at, msg: def.node.Name.Text + ": " + msg, notes: append(d.m.argumentNotes(w, n, p), d.m.limitNotes(def, w, t.root, inner, "it is trusted where")...)})
	}
	*d.budget -= w.steps
	d.node(def.body, inner, at)
}

// Cautions returns what the sheet, what it uses, and the formulas that it calls warn of, each once.
func (m *Model) Cautions() []string {
	m.mu.RLock()
	defer m.mu.RUnlock()
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
	add(m.root.cautions...)
	for _, mod := range m.sheets {
		if mod != m.root && !mod.library {
			add(mod.cautions...)
		}
	}
	for _, f := range m.called() {
		for _, c := range f.node.Cautions {
			add(c.Text.Text)
		}
	}
	return all
}

// called returns the formulas that are called anywhere, in the order in which the sheet comes to them.
func (m *Model) called() []*formulaDef {
	var list []*formulaDef
	used := map[int32]bool{}
	var note func(root int32)
	note = func(root int32) {
		if root == none {
			return
		}
		m.walk(root, func(n *node) {
			if n.op == OpCall && !used[n.a] {
				used[n.a] = true
				list = append(list, m.formulas[n.a])
				note(m.formulas[n.a].body)
			}
		})
	}
	for s := range m.slots {
		if !m.slots[s].example {
			note(m.slots[s].root)
		}
	}
	return list
}
