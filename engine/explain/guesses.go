package explain

import "gusset/engine/program"

// Guessed is a given value that is marked as a guess.
type Guessed struct {
	Name string // as for Set
	Page string
	Note string
	Text string // the value as shown, with its unit
	File string
	Line int
}

// Guesses returns the guesses that the sheet rests on, those of used sheets that it reads included: its own first, each
// sheet's in the order of the text.
func (e *Explainer) Guesses() []Guessed {
	var all []Guessed
	for _, mod := range e.Modules {
		if mod.Library {
			continue
		}
		for _, s := range guessSlots(e.State, mod) {
			if mod == e.Root || e.marks().guesses.reachesRoot[s] {
				all = append(all, guessedAt(e, s))
			}
		}
	}
	return all
}

// guessed tells of a slot that holds a guess.
func guessedAt(e *Explainer, s int32) Guessed {
	at, span := e.SetAt(s)
	g := Guessed{Name: e.SlotName(s), Text: e.ViewValue(s).Quantity(), File: at.Src.Name,
		Line: at.Src.Position(span.Start).Line}
	sl, page := e.Slots[s], program.None
	if sl.Entry {
		page, g.Note = e.Columns[sl.Owner].Table.Page, e.NoteOf(s, e.EntryNote(sl))
	} else {
		c := e.Cells[sl.Owner]
		page, g.Note = c.Page, e.NoteOf(s, c.Note)
	}
	g.Page = e.ModuleOf(s).PageName(page)
	return g
}
