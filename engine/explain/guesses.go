package explain

import "gusset/units"

// Guessed is a given value that is marked as a guess.
type Guessed struct {
	Name string // as for Set
	Page string
	Note string
	Text string // the value as shown, with its unit and how far off it may be
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
	if off, says := e.Tolerance(s); says {
		g.Text += " " + off.Text(units.Unit{})
	}
	g.Note, g.Page = aboutSlot(e, s)
	return g
}

// aboutSlot returns the note on a value, and the page that it is on.
func aboutSlot(e *Explainer, s int32) (note, page string) {
	switch sl, mod := e.Slots[s], e.ModuleOf(s); {
	case sl.Entry:
		return e.NoteOf(s, e.EntryNote(sl)), mod.PageName(e.Columns[sl.Owner].Table.Page)
	case !sl.Hidden:
		c := e.Cells[sl.Owner]
		return e.NoteOf(s, c.Note), mod.PageName(c.Page)
	}
	return "", ""
}
