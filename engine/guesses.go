package engine

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
			if mod != m.root && !e.restsOn().reachesRoot[s] {
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

// resting is how many guesses each slot rests on. What a value really used counts: an estimate beside which there is a
// weighed figure does not.
type resting struct {
	count       map[int32]int
	reachesRoot map[int32]bool // guesses that a value of the sheet asked for rests on
}

// maxGuessSteps is how many steps are gone from guess to guess, all in all; what goes beyond is counted as one guess, so that
// a stranger's sheet with a hundred thousand guesses does not take hours.
const maxGuessSteps = 20_000_000

// restsOn works out what rests on guesses; it is known until a value changes.
func (e *explainer) restsOn() *resting {
	if e.rests != nil {
		return e.rests
	}
	r := &resting{count: map[int32]int{}, reachesRoot: map[int32]bool{}}
	e.rests = r
	if len(e.guesses) == 0 {
		return r
	}
	readers := e.readers()
	steps := 0
	var rest []int32
	for _, mod := range e.sheets {
		for _, g := range e.guessSlots(mod) {
			if steps > maxGuessSteps {
				rest = append(rest, g)
				continue
			}
			steps += e.spread([]int32{g}, readers, r)
		}
	}
	e.spread(rest, readers, r)
	return r
}

// spread counts guesses as one for all that rests on one of them, and returns how many steps that took.
func (e *explainer) spread(guesses []int32, readers map[int32][]int32, r *resting) int {
	seen := map[int32]bool{}
	work := append([]int32(nil), guesses...)
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
		steps += 1 + len(readers[s])
		work = append(work, readers[s]...)
	}
	for _, g := range guesses {
		r.reachesRoot[g] = root
	}
	return steps
}

// readers returns, for each slot, those whose value used it.
func (e *explainer) readers() map[int32][]int32 {
	readers := map[int32][]int32{}
	use := func(reader, root, row int32) {
		w := &walker{m: e.Model, e: e, reads: map[int32]bool{}}
		w.value(root, &place{row: row, at: none})
		for s := range w.reads {
			readers[s] = append(readers[s], reader)
		}
	}
	for s := range e.slots {
		sl := e.slots[s]
		switch {
		case sl.kind == adjusted:
			f := e.cells[sl.owner].adjust
			for _, side := range []int32{f.left, f.right, f.lo, f.hi} {
				if root := e.slots[side].root; root != none {
					use(int32(s), root, none)
				}
			}
		case sl.root != none && !sl.example:
			use(int32(s), sl.root, sl.row)
		}
	}
	return readers
}
