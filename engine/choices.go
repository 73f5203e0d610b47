package engine

import (
	"fmt"
	"slices"
	"strconv"

	"gusset/sheets/text"
	"gusset/units/nearest"
)

// choiceSet is what a text may be. It is known when the sheet is loaded: it rests on given values of one table only.
type choiceSet struct {
	texts []string
	has   map[int32]bool // by the number of the text
	table *table         // whose rows they are; nil: they are listed
	lost  bool           // the choices could not be read, which has been said: nothing is refused
}

func (of *choiceSet) allows(number int32) bool { return of == nil || of.lost || of.has[number] }

// unknownChoice tells that a text is not one that something may be.
func (m *Program) unknownChoice(s string, at text.Span, name string, of *choiceSet) text.Diag {
	d := text.Diag{Code: "unknown-choice", Span: at, Msg: fmt.Sprintf("%s cannot be %q", name, s), Hint: of.hint(m, &m.looked, s)}
	return d
}

// hint names the nearest choice, or what there is to choose from, beginning with those that the text is a part of.
func (of *choiceSet) hint(m *Program, g *effort, s string) string {
	add := ""
	if of.table != nil {
		if _, isRow := of.table.row(m.texts, s); !isRow {
			add = m.addRow(of.table)
		}
	}
	if len(of.texts) == 0 && add == "" {
		return fmt.Sprintf("the table %s has no row that fits", of.table.name.Text)
	}
	texts := of.texts
	if g.allow(len(texts)) {
		if near, ok := nearest.Word(s, texts); ok {
			return nearOrAdd(near, add)
		}
		like := rowsLike(s, texts)
		if len(like) == 0 && add != "" {
			return add
		}
		texts = slices.Concat(like, slices.DeleteFunc(slices.Clone(texts), func(t string) bool { return slices.Contains(like, t) }))
	}
	list := make([]string, 0, 7)
	for _, t := range texts[:min(len(texts), 6)] {
		list = append(list, strconv.Quote(t))
	}
	if rest := len(texts) - 6; rest > 0 {
		list = append(list, fmt.Sprintf("%d more", rest))
	}
	return "choose from " + joinWords(list)
}

func (of *choiceSet) add(m *Program, s string) {
	of.texts = append(of.texts, s)
	of.has[m.texts.Add(s)] = true
}

// list returns the choices in the order of the sheet; nil: anything may be chosen.
func (of *choiceSet) list() []string {
	if of == nil || of.lost {
		return nil
	}
	return slices.Clip(of.texts) // which may be those of very many cells
}
