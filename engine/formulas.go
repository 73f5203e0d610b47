package engine

import (
	"gusset/sheets/text"
	"strings"
)

// signature writes a formula's name and what it takes.
func (f *formulaDef) signature() string {
	var b strings.Builder
	b.WriteString(f.node.Name.Text + "(")
	for i, p := range f.node.Params {
		if i > 0 {
			b.WriteString(", ")
		}
		if p.Each {
			b.WriteString("each ")
		}
		b.WriteString(p.Name.Text)
		b.WriteString(tagText(p.Unit))
	}
	b.WriteString(")")
	b.WriteString(tagText(f.node.Unit))
	return b.String()
}

// tagText returns a tag as it is written, with a blank before it; nothing where there is none.
func tagText(tag text.UnitTag) string {
	switch {
	case tag.Choice != nil:
		return " [" + tag.Choice.Whole.Text + "]"
	case tag.Given():
		return " [" + tag.Unit.Text + "]"
	}
	return ""
}

// called returns the formulas that are called anywhere, in the order in which the sheet comes to them.
func (m *Program) called() []*formulaDef {
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
