package program

import (
	"strings"

	"gusset/sheets/text"
)

// Signature writes a formula's name and what it takes.
func (f *Formula) Signature() string {
	var b strings.Builder
	b.WriteString(f.Node.Name.Text + "(")
	for i, p := range f.Node.Params {
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
	b.WriteString(tagText(f.Node.Unit))
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

// Called returns the formulas that are called anywhere, in the order in which the sheet comes to them.
func (p *Program) Called() []*Formula {
	var list []*Formula
	used := map[int32]bool{}
	var note func(root int32)
	note = func(root int32) {
		if root == None {
			return
		}
		p.Walk(root, func(n *Node) {
			if n.Op == OpCall && !used[n.A] {
				used[n.A] = true
				list = append(list, p.Formulas[n.A])
				note(p.Formulas[n.A].Body)
			}
		})
	}
	for s := range p.Slots {
		if !p.Slots[s].Example {
			note(p.Slots[s].Root)
		}
	}
	return list
}
