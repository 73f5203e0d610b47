package differ

import (
	"math"
	"slices"

	"gusset/engine/explain"
	"gusset/engine/program"
	"gusset/engine/state"
)

// Ripple is what it moves in a sheet, and of the checks of the sheets that it uses, when values are set.
type Ripple struct {
	Changes []Move   // the values that were set, wherever they are set, as far as they are new
	Sure    []Move   // the values that were set as they were, but were guesses and are none any more
	Guessed []Move   // the values that were set as they were, and are guesses now
	Offs    []Move   // the values that were set and say otherwise how far off they may be, as Tolerance and Before have it
	Moves   []Move   // what moved, in the order of the text, checks of used sheets last; values set there are among them
	Doubted []string // names of what did not move, and rests on guesses now and did not before
	Stays   []Stay
	Values  int // how many values are looked at: cells, checks and entries of tables, names of rows left out
	Again   int // how many of them had to be worked out again
}

// Stay is a value that did not move since a value that is given takes the place of one that did: the weight of a part
// that has been weighed.
type Stay struct {
	Table, Row           string // empty for a cell
	Name, Given, Instead string // what stayed, what is given, and what moved: names of cells, or columns of that row
	Sheet                string // path of the sheet that it is in, within the Sources
}

// Of sets values as SetAll does, and tells what that moves. Only what depends on them is worked out again, and looked
// at. The State must be locked for writing; nothing is set when there is an error: a setting that cannot be made, or
// one that bears on more than explain.MaxCompared values.
func Of(st *state.State, settings ...state.Setting) (Ripple, error) {
	list, err := st.ReadAll(settings)
	if err != nil {
		return Ripple{}, err
	}
	slots := make([]int32, len(list))
	for i, c := range list {
		slots[i] = c.Slot
	}
	all := slices.ContainsFunc(list, st.ChangesKind)
	r := rippler{st: st, touched: touchedBy(st, slots, all), guessed: map[int32]bool{}, offs: map[int32]string{}}
	for _, s := range slots {
		r.guessed[s], r.offs[s] = st.Guess(s), toleranceAt(st, s)
	}
	for _, c := range list {
		if state.NewGuess(st, c) {
			r.resting = map[int32]int{}
		}
	}
	touched := 0
	for s := range explain.Shown(explain.New(st)) {
		if r.touched[s] {
			touched++
		}
	}
	if touched > explain.MaxCompared {
		return Ripple{}, program.Errorf(program.ErrLimit, "", "this bears on %d values; at most %d can be compared at once",
			touched, explain.MaxCompared)
	}
	r.remember(slots)
	if err := st.Put(list...); err != nil {
		return Ripple{}, err
	}
	r.compare(slots)
	return r.ripple, nil
}

// Between tells what moved from one state of a sheet, loaded whole, to another. Everything has been worked out again;
// Changes, Sure, Guessed and Offs are left empty. Both must be locked for reading.
func Between(was, is *state.State) Ripple {
	now := explain.New(is)
	old, present := explain.New(was).WithUsedChecks(), now.WithUsedChecks()
	r := Ripple{Moves: Moves(old, present), Doubted: Doubted(old, present)}
	before := func(s int32) float64 {
		if old, err := was.FindSlot(is.SlotName(s)); err == nil {
			return was.Mach.Regs[old]
		}
		return math.NaN()
	}
	for s := range explain.Shown(now) {
		r.Values++
		if is.Slots[s].Kind == program.Given {
			continue
		}
		r.Again++
		if now := is.Mach.Regs[s]; program.IsNumber(now) && !different(before(s), now) {
			if stay, ok := stayOf(is, s, before); ok {
				r.Stays = append(r.Stays, stay)
			}
		}
	}
	return r
}

// touchedBy marks the slots that setting the given ones can bear on; all of them when the sheet is checked anew.
func touchedBy(st *state.State, set []int32, all bool) []bool {
	touched := make([]bool, len(st.Slots))
	for i := range touched {
		touched[i] = all
	}
	if all {
		return touched
	}
	for _, s := range set {
		touched[s] = true
	}
	for _, step := range st.StepsFrom(set) {
		st.Plan.EachThingOf(step, func(thing int32) {
			if thing < int32(len(touched)) {
				touched[thing] = true
			}
		})
	}
	return touched
}

// rippler compares a State with what it was.
type rippler struct {
	st      *state.State
	ripple  Ripple                  // what is found
	touched []bool                  // by slot
	regs    []float64               // before, by slot
	without map[int32]explain.Value // before, of the slots that had no value
	guessed map[int32]bool          // before, of the slots that were set
	offs    map[int32]string        // before, of those: how far off they may be
	resting map[int32]int           // before: how many guesses each touched slot rested on; nil if no guess is new
	after   *explain.Explainer
}

// remember takes note of how things stand.
func (r *rippler) remember(set []int32) {
	r.regs = slices.Clone(r.st.Mach.Regs[:len(r.st.Slots)])
	r.without = map[int32]explain.Value{}
	e := explain.New(r.st)
	note := func(s int32) {
		if r.touched[s] && !program.IsNumber(r.regs[s]) {
			r.without[s] = e.ViewValue(s)
		}
		if r.touched[s] && r.resting != nil {
			r.resting[s] = e.ViewValue(s).Guesses
		}
	}
	for s := range explain.Shown(e) {
		note(s)
	}
	for _, s := range set {
		note(s)
	}
}

// compare fills in the Ripple.
func (r *rippler) compare(set []int32) {
	r.after = explain.New(r.st)
	for _, s := range set {
		if before := r.offs[s]; before != toleranceAt(r.st, s) {
			told := r.asItWas(s)
			told.Before.Tolerance = before
			r.ripple.Offs = append(r.ripple.Offs, told)
		}
		switch m := r.move(s, explain.OwnEntry); {
		case m.Differs:
			r.ripple.Changes = append(r.ripple.Changes, m)
		case r.guessed[s] && !r.st.Guess(s):
			r.ripple.Sure = append(r.ripple.Sure, r.asItWas(s))
		case !r.guessed[s] && r.st.Guess(s):
			r.ripple.Guessed = append(r.ripple.Guessed, r.asItWas(s))
		}
	}
	moved := 0
	for s, was := range r.regs {
		if r.touched[s] && r.st.Mach.Regs[s] != was {
			moved++
		}
	}
	r.ripple.Moves = slices.Grow(r.ripple.Moves, min(moved, explain.MaxCompared)) // growing by and by takes more
	for s := range explain.Shown(r.after) {
		r.ripple.Values++
		if !r.touched[s] {
			continue
		}
		if r.st.Slots[s].Kind != program.Given {
			r.ripple.Again++
		}
		m := r.move(s, (*explain.Explainer).Entry)
		if m.Differs {
			r.ripple.Moves = append(r.ripple.Moves, m)
			continue
		}
		if r.resting != nil && r.resting[s] == 0 && r.after.ViewValue(s).Guesses > 0 {
			r.ripple.Doubted = append(r.ripple.Doubted, r.st.SlotName(s))
		}
		r.noteStay(s)
	}
	for s := range r.st.Slots { // of what is set in a used sheet nothing may come through to the asked-for one
		if s := int32(s); r.touched[s] && !r.st.Slots[s].Hidden && r.st.ModuleOf(s) != r.st.Root {
			r.noteStay(s)
		}
	}
}

// toleranceAt returns how far off the value of a slot may be, with its unit; empty where it does not say.
func toleranceAt(st *state.State, s int32) string {
	if off, says := st.Tolerance(s); says {
		return off.Text(st.SlotShow(s).Unit)
	}
	return ""
}

// asItWas tells of a value that was set as it was.
func (r *rippler) asItWas(s int32) Move {
	return Move{Entry: explain.OwnEntry(r.after, s), Sheet: r.st.ModuleOf(s).Path}
}

// noteStay notes a value that did not move since a given one takes the place of one that did.
func (r *rippler) noteStay(s int32) {
	if !program.IsNumber(r.regs[s]) || different(r.regs[s], r.st.Mach.Regs[s]) {
		return
	}
	if stay, ok := stayOf(r.st, s, func(o int32) float64 { return r.regs[o] }); ok {
		r.ripple.Stays = append(r.ripple.Stays, stay)
	}
}

// move tells how a slot was and is, by one of the names that it has.
func (r *rippler) move(s int32, entry func(e *explain.Explainer, s int32) explain.Entry) Move {
	was, is := r.regs[s], r.st.Mach.Regs[s]
	if program.IsNumber(was) && program.IsNumber(is) && !different(was, is) {
		return Move{}
	}
	before, known := r.without[s]
	if !known {
		before = r.after.ViewNumber(s, was)
	}
	m := newMove(before, entry(r.after, s))
	m.Sheet = r.st.ModuleOf(s).Path
	return m
}

// stayOf looks for a given value that stands before one that moved: weighed ?? estimated. Before tells what a slot
// held.
func stayOf(st *state.State, s int32, before func(s int32) float64) (stay Stay, ok bool) {
	sl := st.Slots[s]
	if sl.Root == program.None {
		return Stay{}, false
	}
	var taken, instead = program.None, program.None
	eachChoice(st.Program, sl.Root, sl.Row, func(o int32, itself bool) {
		switch {
		case itself && taken == program.None && program.IsNumber(st.Mach.Regs[o]) && st.Slots[o].Kind == program.Given:
			taken = o
		case taken != program.None && instead == program.None && different(before(o), st.Mach.Regs[o]):
			instead = o
		}
	})
	if taken == program.None || instead == program.None {
		return Stay{}, false
	}
	stay = Stay{Name: st.OwnName(s), Given: st.OwnName(taken), Instead: st.OwnName(instead)}
	if program.SameRow(st.Program, s, taken) && program.SameRow(st.Program, s, instead) {
		c := st.Columns[sl.Owner]
		stay = Stay{
			Table: c.Table.Name.Text, Row: st.Texts.At(c.Table.RowName[sl.Row]), Name: c.Name.Text,
			Given:   st.Columns[st.Slots[taken].Owner].Name.Text,
			Instead: st.Columns[st.Slots[instead].Owner].Name.Text,
		}
	}
	stay.Sheet = st.ModuleOf(s).Path
	return stay, true
}

// eachChoice visits the slots that a formula of the form A ?? B ?? C chooses from, in that order; of a choice that is
// worked out, as in weighed ?? (volume * usual), not itself but those that it reads.
func eachChoice(p *program.Program, root, row int32, visit func(s int32, itself bool)) {
	n := p.Nodes[root]
	if n.Op != program.OpGiven {
		return
	}
	for _, o := range []int32{n.A, n.B} {
		op := p.Nodes[o].Op
		if op == program.OpGiven {
			eachChoice(p, o, row, visit)
			continue
		}
		for _, thing := range p.NodeNeeds(o, row, nil) {
			if program.IsSlot(p, thing) {
				visit(thing, op == program.OpSlot || op == program.OpOwn)
			}
		}
	}
}
