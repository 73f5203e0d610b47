package program

import (
	"fmt"
	"math"
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

	Rows      string // what names the rows, as it is written
	Condition int32  // under which a row of the Table may be chosen; none: all may
}

// Allows reports whether the text of a number may be chosen. A nil set allows every text.
func (of *ChoiceSet) Allows(number int32) bool { return of == nil || of.Lost || of.Has[number] }

// UnknownChoice tells that a text is not one that something may be.
func (p *Program) UnknownChoice(s string, at text.Span, name string, of *ChoiceSet) text.Diag {
	return text.Diag{
		Code: "unknown-choice", Span: at, Msg: fmt.Sprintf("%s cannot be %q", name, s),
		Hint: of.Hint(p, &p.Looked, s),
	}
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
			return sizesOrAdd(s, texts, add)
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
	rest := len(texts) - 6
	if rest > 0 {
		list = append(list, fmt.Sprintf("%d more", rest))
	}
	from := "choose from " + JoinWords(list)
	switch {
	case rest <= 0 || of.Table == nil: // those that are listed are on the line itself
	case of.Table.Mod.Library:
		from += ": gusset library " + of.Table.Name.Text + " lists them"
	default:
		from += ": they are rows of " + of.Table.Name.Text + " in " + of.Table.Mod.Src.Name
	}
	return from
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

// ChosenRow reports whether a row fulfils the condition of a choice. Given tells what a given slot holds: what is not
// given, or worked out, makes no choice.
func ChosenRow(p *Program, condition, row int32, given func(slot int32) float64) bool {
	return choiceTruth(p, condition, row, given) == 1
}

// choiceTruth works out a part of the condition of a choice.
func choiceTruth(p *Program, i, row int32, given func(slot int32) float64) float64 {
	n := p.Nodes[i]
	switch n.Op {
	case OpConst, OpBoolean:
		return n.Number()
	case OpText:
		return float64(n.A)
	case OpEntry:
		return given(p.Columns[n.A].Base + row)
	case OpSlot:
		return given(n.A)
	}
	var v [3]float64
	for k, o := range p.Operands(i) {
		v[k] = choiceTruth(p, o, row, given)
	}
	a, b := v[0], v[1]
	switch n.Op {
	case OpAnd, OpOr: // one side may be enough, whatever the other lacks
		if decisive := BooleanValue(n.Op == OpOr); b == decisive || IsNumber(a) && a != decisive {
			return b
		}
		return a
	case OpGiven:
		if !IsNumber(a) {
			return b
		}
		return a
	case OpChoose:
		switch a {
		case 1:
			return b
		case 0:
			return v[2]
		}
		return math.NaN()
	}
	if !IsNumber(a) || !IsNumber(b) {
		return math.NaN()
	}
	return p.Apply(n, a, b, p.Texts)
}

// ChangesChoices returns choices that would be others if given slots held something else than in the sheet as it
// stands, which s is one of; nil if there are none. Choices are found once, before any value is.
func ChangesChoices(p *Program, s int32, given func(slot int32) float64) *ChoiceSet {
	sl := p.Slots[s]
	if !sl.Entry {
		return nil
	}
	asItStands := func(s int32) float64 { return p.Inputs[s] }
	for _, of := range p.Columns[sl.Owner].Decides {
		if !of.Lost && ChosenRow(p, of.Condition, sl.Row, given) != ChosenRow(p, of.Condition, sl.Row, asItStands) {
			return of
		}
	}
	return nil
}
