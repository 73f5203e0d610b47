package program

import (
	"fmt"
	"slices"
	"strconv"

	"gusset/sheets/text"
	"gusset/units/nearest"
)

// ChoiceSet is what a text may be. It is known when the sheet is loaded: it rests on given values of one table only.
type ChoiceSet struct {
	Texts []string
	Has   map[int32]bool // by the number of the text
	Table *Table         // whose rows they are; nil: they are listed
	Lost  bool           // the choices could not be read, which has been reported: nothing is refused
}

// Allows reports whether the text of a number may be chosen. A nil set allows every text.
func (of *ChoiceSet) Allows(number int32) bool { return of == nil || of.Lost || of.Has[number] }

// UnknownChoice tells that a text is not one that something may be.
func (p *Program) UnknownChoice(s string, at text.Span, name string, of *ChoiceSet) text.Diag {
	d := text.Diag{
		Code: "unknown-choice", Span: at, Msg: fmt.Sprintf("%s cannot be %q", name, s),
		Hint: of.Hint(p, &p.Looked, s),
	}
	return d
}

// Hint names the nearest choice, or what there is to choose from, beginning with those that the text is a part of.
func (of *ChoiceSet) Hint(p *Program, g *Effort, s string) string {
	add := ""
	if of.Table != nil {
		if _, isRow := of.Table.row(p.Texts, s); !isRow {
			add = p.addRow(of.Table)
		}
	}
	if len(of.Texts) == 0 && add == "" {
		return fmt.Sprintf("the table %s has no row that fits", of.Table.Name.Text)
	}
	texts := of.Texts
	if g.Allow(len(texts)) {
		if near, ok := nearest.Word(s, texts); ok {
			return nearOrAdd(near, add)
		}
		like := rowsLike(s, texts)
		if len(like) == 0 && add != "" {
			return add
		}
		texts = slices.Concat(
			like,
			slices.DeleteFunc(slices.Clone(texts), func(t string) bool { return slices.Contains(like, t) }),
		)
	}
	list := make([]string, 0, 7)
	for _, t := range texts[:min(len(texts), 6)] {
		list = append(list, strconv.Quote(t))
	}
	if rest := len(texts) - 6; rest > 0 {
		list = append(list, fmt.Sprintf("%d more", rest))
	}
	return "choose from " + JoinWords(list)
}

// Add makes a text one of the choices.
func (of *ChoiceSet) Add(p *Program, s string) {
	of.Texts = append(of.Texts, s)
	of.Has[p.Texts.Add(s)] = true
}

// List returns the choices in the order of the sheet; nil: anything may be chosen.
func (of *ChoiceSet) List() []string {
	if of == nil || of.Lost {
		return nil
	}
	return slices.Clip(of.Texts) // which may be those of very many cells
}
