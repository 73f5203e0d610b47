package engine

import (
	"fmt"
	"math"
	"slices"
)

// Ripple is what it moves in a sheet when values are set.
type Ripple struct {
	Changes []Move // the values that were set, wherever they are set, as far as they are new
	Sure    []Move // the values that were set as they were, but were guesses and are none any more
	Moves   []Move // what moved of the asked-for sheet, in the order of its text; a value set there is among them
	Stays   []Stay
	Values  int // how many values the asked-for sheet has: cells, checks and entries of tables, names of rows left out
	Again   int // how many of them had to be worked out again
}

// Stay is a value that did not move since a value that is given takes the place of one that did: the weight of a part that
// has been weighed.
type Stay struct {
	Table, Row           string // empty for a cell
	Name, Given, Instead string // what stayed, what is given, and what moved: names of cells, or columns of that row
}

// Ripple sets values as SetAll does, and tells what that moves. Only what depends on them is worked out again, and
// looked at.
func rippleOf(m *State, settings ...Setting) (Ripple, error) {
	list, err := m.readAll(settings)
	if err != nil {
		return Ripple{}, err
	}
	slots := make([]int32, len(list))
	for i, c := range list {
		slots[i] = c.slot
	}
	all := slices.ContainsFunc(list, m.changesKind)
	r := rippler{State: m, touched: touchedBy(m, slots, all), guessed: map[int32]bool{}}
	for _, s := range slots {
		r.guessed[s] = m.guess(s)
	}
	touched := 0
	eachShown(m.Program, func(s int32) {
		if r.touched[s] {
			touched++
		}
	})
	if touched > MaxCompared {
		return Ripple{}, fmt.Errorf("this bears on %d values; at most %d can be compared at once", touched, MaxCompared)
	}
	r.remember(slots)
	m.put(list...)
	r.compare(slots)
	return r.Ripple, nil
}

// rippleBetween tells what moved from one state of a sheet, loaded whole, to another.
func rippleBetween(was, is *State) Ripple {
	r := Ripple{Moves: Moves(newExplainer(was).Entries(), newExplainer(is).Entries())}
	before := func(s int32) float64 {
		if old, err := was.findSlot(is.slotName(s)); err == nil {
			return was.mach.Regs[old]
		}
		return math.NaN()
	}
	eachShown(is.Program, func(s int32) {
		r.Values++
		if is.slots[s].kind == given {
			return
		}
		r.Again++
		if now := is.mach.Regs[s]; isNumber(now) && !differs(before(s), now) {
			if stay, ok := stayOf(is, s, before); ok {
				r.Stays = append(r.Stays, stay)
			}
		}
	})
	return r
}

// touched marks the slots that setting the given ones can bear on; all of them when the sheet is checked anew.
func touchedBy(m *State, set []int32, all bool) []bool {
	touched := make([]bool, len(m.slots))
	for i := range touched {
		touched[i] = all
	}
	if all {
		return touched
	}
	for _, s := range set {
		touched[s] = true
	}
	for _, step := range m.stepsFrom(slices.Clone(set)) {
		m.eachThing(m.plan.Steps[step:step+1], func(thing int32) {
			if thing < int32(len(touched)) {
				touched[thing] = true
			}
		})
	}
	return touched
}

// rippler compares a Model with what it was.
type rippler struct {
	*State
	Ripple
	touched []bool
	regs    []float64       // before
	without map[int32]Value // before, of the slots that had no value
	guessed map[int32]bool  // before, of the slots that were set
	after   *explainer
}

// remember takes note of how things stand.
func (r *rippler) remember(set []int32) {
	r.regs = slices.Clone(r.mach.Regs[:len(r.slots)])
	r.without = map[int32]Value{}
	e := newExplainer(r.State)
	note := func(s int32) {
		if r.touched[s] && !isNumber(r.regs[s]) {
			r.without[s] = e.viewValue(s)
		}
	}
	eachShown(r.Program, note)
	for _, s := range set {
		note(s)
	}
}

// eachShown visits the values that show shows of the asked-for sheet.
func eachShown(m *Program, visit func(s int32)) {
	for _, of := range m.root.order {
		switch of.kind {
		case cellRef:
			visit(m.cells[of.num].slot)
		case tableRef:
			t := m.tables[of.num]
			for row := range t.rowName {
				for k := 1; k < len(t.cols); k++ {
					visit(t.cols[k].base + int32(row))
				}
			}
		}
	}
}

// compare fills in the Ripple.
func (r *rippler) compare(set []int32) {
	r.after = newExplainer(r.State)
	for _, s := range set {
		switch m := r.move(s); {
		case m.Differs:
			r.Changes = append(r.Changes, m)
		case r.guessed[s] && !r.guess(s):
			r.Sure = append(r.Sure, Move{Entry: r.after.entry(s, ""), Sheet: r.moduleOf(s).path})
		}
	}
	eachShown(r.Program, func(s int32) {
		r.Values++
		if !r.touched[s] {
			return
		}
		if r.slots[s].kind != given {
			r.Again++
		}
		if m := r.move(s); m.Differs {
			r.Moves = append(r.Moves, m)
		} else if isNumber(r.regs[s]) {
			if stay, ok := stayOf(r.State, s, func(o int32) float64 { return r.regs[o] }); ok {
				r.Stays = append(r.Stays, stay)
			}
		}
	})
}

// move tells how a slot stood and stands.
func (r *rippler) move(s int32) Move {
	was, is := r.regs[s], r.mach.Regs[s]
	if isNumber(was) && isNumber(is) && !differs(was, is) {
		return Move{}
	}
	before, known := r.without[s]
	if !known {
		before = r.after.viewNumber(s, was)
	}
	m := newMove(before, r.after.entry(s, ""))
	m.Sheet = r.moduleOf(s).path
	return m
}

// stayOf looks for a given value that stands before one that moved: weighed ?? estimated. Before tells what a slot held.
func stayOf(m *State, s int32, before func(s int32) float64) (stay Stay, ok bool) {
	sl := m.slots[s]
	if sl.root == none {
		return Stay{}, false
	}
	var taken, instead = none, none
	eachChoice(m.Program, sl.root, sl.row, func(o int32) {
		switch {
		case taken == none && isNumber(m.mach.Regs[o]) && m.slots[o].kind == given:
			taken = o
		case taken != none && instead == none && differs(before(o), m.mach.Regs[o]):
			instead = o
		}
	})
	if taken == none || instead == none {
		return Stay{}, false
	}
	stay = Stay{Name: m.ownName(s), Given: m.ownName(taken), Instead: m.ownName(instead)}
	if sl.entry && sameRow(m.Program, s, taken) && sameRow(m.Program, s, instead) {
		c := m.columns[sl.owner]
		stay = Stay{
			Table: c.table.name.Text, Row: m.texts.At(c.table.rowName[sl.row]),
			Name: c.name.Text, Given: m.columns[m.slots[taken].owner].name.Text, Instead: m.columns[m.slots[instead].owner].name.Text,
		}
	}
	return stay, true
}

// sameRow reports whether two entries stand in one row.
func sameRow(m *Program, a, b int32) bool {
	x, y := m.slots[a], m.slots[b]
	return y.entry && x.row == y.row && m.columns[x.owner].table == m.columns[y.owner].table
}

// eachChoice visits the slots that a formula of the form A ?? B ?? C chooses from, in that order.
func eachChoice(m *Program, root, row int32, visit func(s int32)) {
	n := m.nodes[root]
	if n.op != OpGiven {
		return
	}
	for _, o := range []int32{n.a, n.b} {
		switch at := m.nodes[o]; at.op {
		case OpGiven:
			eachChoice(m, o, row, visit)
		case OpSlot:
			visit(at.a)
		case OpOwn:
			visit(m.columns[at.a].base + row)
		}
	}
}
