package explain

import (
	"slices"

	"gusset/engine/graph"
	"gusset/engine/program"
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
func (e *Explainer) Guesses() []Guessed {
	var all []Guessed
	for _, mod := range e.Modules {
		if mod.Library {
			continue
		}
		for _, s := range e.guessSlots(mod) {
			if mod != e.Root && !e.marks().guesses.reachesRoot[s] {
				continue
			}
			g := Guessed{Name: e.SlotName(s), Text: e.ViewValue(s).Quantity()}
			at, span := e.SetAt(s)
			g.File, g.Line = at.Src.Name, at.Src.Position(span.Start).Line
			sl := e.Slots[s]
			page := int32(program.None)
			if sl.Entry {
				t := e.Columns[sl.Owner].Table
				page, g.Note = t.Page, e.NoteOf(s, e.EntryNote(sl))
			} else {
				c := e.Cells[sl.Owner]
				page, g.Note = c.Page, e.NoteOf(s, c.Note)
			}
			if page != program.None {
				g.Page = mod.Pages[page].Text
			}
			all = append(all, g)
		}
	}
	return all
}

// guessSlots returns the slots of a sheet that hold a guess, in the order of the text.
func (e *Explainer) guessSlots(mod *program.Module) []int32 {
	var list []int32
	add := func(s int32) {
		if e.Guess(s) {
			list = append(list, s)
		}
	}
	for _, r := range mod.Order {
		switch r.Kind {
		case program.CellRef:
			add(e.Cells[r.Num].Slot)
		case program.TableRef:
			t := e.Tables[r.Num]
			for row := range t.RowName {
				for _, c := range t.Cols {
					add(c.Base + int32(row))
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
func (e *Explainer) restingOn(slots []int32) *resting {
	r := &resting{reachesRoot: map[int32]bool{}}
	if len(slots) == 0 {
		return r
	}
	r.count = make([]int32, len(e.Slots))
	sp := spreader{Explainer: e, resting: r, readers: e.readersFor(slots), seen: make([]int32, e.Needs.Len())}
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
	*Explainer
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
			root = root || p.ModuleOf(t) == p.Root
		}
		p.steps += 1 + len(p.readers.Needs(t))
		p.work = append(p.work, p.readers.Needs(t)...)
	}
	for _, s := range slots {
		p.reachesRoot[s] = root
	}
}

// readersFor returns the graph that holds, for each thing that can rest on some slots, those whose value used it.
func (e *Explainer) readersFor(slots []int32) *graph.Graph {
	var b graph.Builder
	b.Grow(e.Needs.Len())
	bears := e.mayRest(slots)
	reads := 0
	var used []int32
	for t := range int32(e.Needs.Len()) {
		switch {
		case int(t) >= len(e.Slots):
			used = append(used[:0], e.Needs.Needs(t)...)
		case !bears[t]:
			used = used[:0]
		case reads > maxRestReads:
			used = e.SlotNeeds(t, used[:0])
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
func (e *Explainer) mayRest(slots []int32) []bool {
	users := e.Needs.Reverse()
	marks := make([]bool, e.Needs.Len())
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
	for s := range e.Slots {
		if e.Slots[s].Kind == program.Adjusted {
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
func (e *Explainer) usedBy(s int32, used []int32) []int32 {
	w := &Walker{E: e, reads: &used}
	for _, root := range e.RootsOf(s) {
		w.Value(root, &Frame{Row: e.Slots[s].Row, At: program.None})
	}
	return used
}
