package program

import (
	"strings"

	"gusset/sheets/text"
)

// Formula is a formula of the builder's own, or of the library.
type Formula struct {
	Mod    *Module
	Node   *text.Formula
	Number int32
	Params []Param
	Type   Type
	Show   *Show
	State  formulaState
	Unread int // number of the Diag about text of it that cannot be read, or -1
	Body   int32
	Needs  []Condition
	Trusts []Condition
	Depth  int // how deep the calls below it go
}

// Param is one of the values that a formula takes.
type Param struct {
	Name    text.Word
	Each    bool
	Type    Type
	Show    *Show
	Choices *ChoiceSet // what a text given to it may be; nil: anything
}

// Condition is what a formula needs, or the range in which it is to be trusted.
type Condition struct {
	Root int32
	Node *text.Condition
}

// formulaState guards against formulas that call themselves.
type formulaState uint8

const (
	Unresolved formulaState = iota // nothing has called it yet
	Resolving                      // its body is being read: a call of it now is a call of itself
	Resolved                       // its body is read, or cannot be
)

// Example is a worked example of a formula.
type Example struct {
	Formula *Formula
	Node    *text.Example
	Slot    int32
	Want    float64
	Within  float64
	Show    *Show
}

// Signature writes a formula's name and what it takes. A formula of the library takes any unit that measures the same:
// a builder who works in metric units sees those.
func (f *Formula) Signature(own *BuilderUnits) string {
	if !f.Mod.Library {
		own = &BuilderUnits{}
	}
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
		b.WriteString(own.tagText(p.Unit, f.Params[i].Show))
	}
	b.WriteString(")")
	b.WriteString(own.tagText(f.Node.Unit, f.Show))
	return b.String()
}

// tagText returns a tag, which is read as show, with a blank before it; nothing where there is none.
func (own *BuilderUnits) tagText(tag text.UnitTag, show *Show) string {
	switch {
	case tag.Choice != nil:
		return " [" + tag.Choice.Whole.Text + "]"
	case tag.Given() && show != nil && show != UnreadShow && own.foreign(show.Unit):
		return " [" + own.Instead(show.Unit).String() + "]"
	case tag.Given():
		return " [" + tag.Unit.Text + "]"
	}
	return ""
}

// Called returns the formulas that are called where from says so, and what those call, in the order in which the sheet
// comes to them.
func Called(p *Program, from func(slot int32) bool) []*Formula {
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
		if !p.Slots[s].Example && from(int32(s)) {
			note(p.Slots[s].Root)
		}
	}
	return list
}
