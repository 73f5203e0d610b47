package engine

import "slices"

// Guessed is a given value that is marked as a guess.
type Guessed struct {
	Name string // as for Set
	Page string
	Note string
	Text string // the value as shown, with its unit
	File string
	Line int
}

// markGuess notes whether a given slot holds a guess.
func (m *Model) markGuess(s int32, guess bool) {
	switch {
	case !guess:
		delete(m.guesses, s)
	case m.guesses == nil:
		m.guesses = map[int32]bool{s: true}
	default:
		m.guesses[s] = true
	}
}

// Guesses returns the guesses that the sheet rests on, those of used sheets that it reads included: its own first, each
// sheet's in the order of the text.
func (m *Model) Guesses() []Guessed {
	m.mu.RLock()
	defer m.mu.RUnlock()
	e := m.explainer()
	var all []Guessed
	for _, mod := range m.sheets {
		if mod.library {
			continue
		}
		for _, s := range m.guessSlots(mod) {
			if mod != m.root && !e.marks().guesses.reachesRoot[s] {
				continue
			}
			g := Guessed{Name: m.slotName(s), Text: e.viewValue(s).Quantity()}
			at, span := m.setAt(s)
			g.File, g.Line = at.src.Name, at.src.Position(span.Start).Line
			sl := m.slots[s]
			page := int32(none)
			if sl.entry {
				t := m.columns[sl.owner].table
				page, g.Note = t.page, m.noteOf(s, m.entryNote(sl))
			} else {
				c := m.cells[sl.owner]
				page, g.Note = c.page, m.noteOf(s, c.note)
			}
			if page != none {
				g.Page = mod.pages[page].Text
			}
			all = append(all, g)
		}
	}
	return all
}

// guessSlots returns the slots of a sheet that hold a guess, in the order of the text.
func (m *Model) guessSlots(mod *module) []int32 {
	var list []int32
	add := func(s int32) {
		if m.guesses[s] {
			list = append(list, s)
		}
	}
	for _, r := range mod.order {
		switch r.kind {
		case cellRef:
			add(m.cells[r.num].slot)
		case tableRef:
			t := m.tables[r.num]
			for row := range t.rowName {
				for _, c := range t.cols {
					add(c.base + int32(row))
				}
			}
		}
	}
	return list
}

// resting is how many of some values, such as guesses, each slot rests on. What a value really used counts: an estimate
// beside which there is a weighed figure does not.
type resting struct {
	count       map[int32]int
	reachesRoot map[int32]bool // those of them that a value of the sheet asked for rests on
}

// maxRestSteps is how many steps are gone from value to value, all in all; what goes beyond is counted as one, so that
// a stranger's sheet with a hundred thousand guesses does not take hours.
const maxRestSteps = 20_000_000

// restingOn works out what rests on some slots.
func (e *explainer) restingOn(slots []int32) *resting {
	r := &resting{count: map[int32]int{}, reachesRoot: map[int32]bool{}}
	if len(slots) == 0 {
		return r
	}
	if e.readers == nil {
		e.readers = e.findReaders()
	}
	steps := 0
	for i, s := range slots {
		if steps > maxRestSteps {
			e.spread(slots[i:], r)
			break
		}
		steps += e.spread([]int32{s}, r)
	}
	return r
}

// spread counts slots as one for all that rests on one of them, and returns how many steps that took.
func (e *explainer) spread(slots []int32, r *resting) int {
	seen := map[int32]bool{}
	work := slices.Clone(slots)
	root, steps := false, 0
	for len(work) > 0 {
		s := work[len(work)-1]
		work = work[:len(work)-1]
		if seen[s] {
			continue
		}
		seen[s] = true
		r.count[s]++
		root = root || e.moduleOf(s) == e.root
		steps += 1 + len(e.readers[s])
		work = append(work, e.readers[s]...)
	}
	for _, s := range slots {
		r.reachesRoot[s] = root
	}
	return steps
}

// findReaders returns, for each slot, those whose value used it.
func (e *explainer) findReaders() map[int32][]int32 {
	readers := map[int32][]int32{}
	for i := range e.slots {
		reader := int32(i)
		for _, root := range e.rootsOf(reader) {
			w := &walker{m: e.Model, e: e, reads: map[int32]bool{}}
			w.value(root, &place{row: e.slots[reader].row, at: none})
			for s := range w.reads {
				readers[s] = append(readers[s], reader)
			}
		}
	}
	return readers
}
