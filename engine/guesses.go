package engine

import (
	"slices"

	"gusset/engine/graph"
)

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
func (e *explainer) Guesses() []Guessed {
	var all []Guessed
	for _, mod := range e.sheets {
		if mod.library {
			continue
		}
		for _, s := range e.guessSlots(mod) {
			if mod != e.root && !e.marks().guesses.reachesRoot[s] {
				continue
			}
			g := Guessed{Name: e.slotName(s), Text: e.viewValue(s).Quantity()}
			at, span := e.setAt(s)
			g.File, g.Line = at.src.Name, at.src.Position(span.Start).Line
			sl := e.slots[s]
			page := int32(none)
			if sl.entry {
				t := e.columns[sl.owner].table
				page, g.Note = t.page, e.noteOf(s, e.entryNote(sl))
			} else {
				c := e.cells[sl.owner]
				page, g.Note = c.page, e.noteOf(s, c.note)
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
func (e *explainer) guessSlots(mod *module) []int32 {
	var list []int32
	add := func(s int32) {
		if e.guess(s) {
			list = append(list, s)
		}
	}
	for _, r := range mod.order {
		switch r.kind {
		case cellRef:
			add(e.cells[r.num].slot)
		case tableRef:
			t := e.tables[r.num]
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
	count       []int32
	reachesRoot map[int32]bool // those of them that a value of the sheet asked for rests on
}

// of returns how many of them a slot rests on.
func (r *resting) of(s int32) int {
	if r.count == nil {
		return 0
	}
	return int(r.count[s])
}

// Limits on what is looked at for what rests on what, so that a stranger's sheet takes bounded time and memory.
const (
	maxRestSteps = 20_000_000 // from value to value; what goes beyond is counted as one
	maxRestReads = 5_000_000  // what values have used; beyond, what they may use counts as used
)

// restingOn works out what rests on some slots.
func (e *explainer) restingOn(slots []int32) *resting {
	r := &resting{reachesRoot: map[int32]bool{}}
	if len(slots) == 0 {
		return r
	}
	r.count = make([]int32, len(e.slots))
	sp := spreader{explainer: e, resting: r, readers: e.readersFor(slots), seen: make([]int32, e.needs.Len())}
	for i, s := range slots {
		if sp.steps > maxRestSteps {
			sp.spread(slots[i:]...)
			break
		}
		sp.spread(s)
	}
	return r
}

// spreader counts slots for all that rests on them.
type spreader struct {
	*explainer
	*resting
	readers *graph.Graph
	seen    []int32 // the round in which a thing was come to last
	round   int32
	steps   int
	work    []int32
}

// spread counts slots as one for all that rests on one of them.
func (p *spreader) spread(slots ...int32) {
	p.round++
	p.work = append(p.work[:0], slots...)
	root := false
	for len(p.work) > 0 {
		t := p.work[len(p.work)-1]
		p.work = p.work[:len(p.work)-1]
		if p.seen[t] == p.round {
			continue
		}
		p.seen[t] = p.round
		if int(t) < len(p.count) {
			p.count[t]++
			root = root || p.moduleOf(t) == p.root
		}
		p.steps += 1 + len(p.readers.Needs(t))
		p.work = append(p.work, p.readers.Needs(t)...)
	}
	for _, s := range slots {
		p.reachesRoot[s] = root
	}
}

// readersFor returns the graph that holds, for each thing that can rest on some slots, those whose value used it.
func (e *explainer) readersFor(slots []int32) *graph.Graph {
	var b graph.Builder
	b.Grow(e.needs.Len())
	bears := e.mayRest(slots)
	reads := 0
	var used []int32
	for t := range int32(e.needs.Len()) {
		switch {
		case int(t) >= len(e.slots):
			used = append(used[:0], e.needs.Needs(t)...)
		case !bears[t]:
			used = used[:0]
		case reads > maxRestReads:
			used = e.slotNeeds(t, used[:0])
		default:
			used = e.usedBy(t, used[:0])
		}
		slices.Sort(used)
		used = slices.Compact(used)
		reads += len(used)
		b.Add(used)
	}
	return b.Graph().Reverse()
}

// mayRest marks the things that can rest on some slots.
func (e *explainer) mayRest(slots []int32) []bool {
	users := e.needs.Reverse()
	marks := make([]bool, e.needs.Len())
	var work []int32
	add := func(t int32) {
		if !marks[t] {
			marks[t] = true
			work = append(work, t)
		}
	}
	for _, s := range slots {
		add(s)
	}
	for s := range e.slots {
		if e.slots[s].kind == adjusted {
			add(int32(s))
		}
	}
	for len(work) > 0 {
		t := work[len(work)-1]
		work = work[:len(work)-1]
		for _, u := range users.Needs(t) {
			add(u)
		}
	}
	return marks
}

// usedBy appends the slots that the value of a slot used.
func (e *explainer) usedBy(s int32, used []int32) []int32 {
	w := &walker{e: e, reads: &used}
	for _, root := range e.rootsOf(s) {
		w.value(root, &frame{row: e.slots[s].row, at: none})
	}
	return used
}
