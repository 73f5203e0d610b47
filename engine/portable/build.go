package portable

import (
	"gusset/engine/explain"
	"gusset/engine/graph"
	"gusset/engine/machine"
	"gusset/engine/program"
	"gusset/engine/state"
	"gusset/units"
)

// The limits of what is sent: a page that is to be opened on a phone holds no more.
const (
	maxSlots = 20_000    // values
	maxTakes = 5_000_000 // instructions of a run
	maxCode  = 400_000   // instructions
)

// builder lays a State out.
type builder struct {
	st        *state.State
	e         *explain.Explainer
	p         *Program
	mach      machine.Machine
	kept      []bool           // things of the graph of needs
	steps     []int32          // steps of the plan that are kept, in order
	nodes     map[int32]int32  // by node of the program
	alike     map[string]int32 // by what they are made of: what is written twice is sent once
	shows     map[program.Show]int32
	units     map[string]int32
	texts     map[int32]bool
	choices   map[*program.ChoiceSet]int
	templates map[int32]template // of worked columns, by number
	reads     map[int32]bool     // registers that code reads and writes
	written   map[int32]bool
	code      int // instructions so far
}

// Of lays out what a State holds, which nobody changes meanwhile. The error is of the kind program.ErrLimit where that
// is more than a page can hold, and program.ErrUnread where nothing has a value.
func Of(st *state.State) (*Program, error) {
	b := &builder{
		st: st, e: explain.New(st), mach: st.Machine(nil),
		nodes: map[int32]int32{}, alike: map[string]int32{},
		shows: map[program.Show]int32{}, units: map[string]int32{}, texts: map[int32]bool{},
		choices: map[*program.ChoiceSet]int{}, templates: map[int32]template{}, reads: map[int32]bool{},
		written: map[int32]bool{},
	}
	if why := b.e.Unread(); why != "" {
		return nil, program.Errorf(program.ErrUnread, "", "%s", why)
	}
	if b.keep() > maxSlots {
		return nil, program.Errorf(program.ErrLimit, "", "the sheet has more values than a page can work out by itself")
	}
	b.p = &Program{
		Registers: int32(len(st.Image)) + 1, SlotCount: int32(len(st.Slots)), Tolerance: machine.Tolerance, Ops: ops(),
		Operators: program.OpNames(), Functions: functions(), FoldKinds: foldKindNames[:],
		Held: Held{[]int32{}, []float64{}}, Steps: [][]int32{}, Nodes: [][]float64{},
		Choices: make([][]string, 1), Guesses: []int32{},
		Tolerances: map[int32]string{},
		Shows:      []Show{}, Units: []units.Data{},
		Shifts: map[int32][]int32{}, Folds: map[int32]Fold{}, Searches: map[int32]Search{}, Keys: map[int32][]int32{},
		Cuts: map[int32]Cut{}, Slots: map[int32]Slot{}, Names: map[int32]string{}, Broken: map[int32]string{},
		Lost: map[int32]string{}, Written: map[int32]string{}, Cells: map[int32]Cell{}, Columns: map[int32]Column{},
		Trusted: map[int32][]int32{}, Tables: map[int32]Table{}, Formulas: map[int32]Formula{},
		Lists: map[int32]int32{}, Readable: map[string]int32{},
	}
	if takes := b.instructions(); b.code > maxCode || takes > maxTakes {
		return nil, program.Errorf(program.ErrLimit, "", "the sheet takes more steps than a page can work out by itself")
	}
	b.values()
	b.sources()
	b.readable()
	b.held()
	b.writeTexts()
	return b.p, nil
}

// keep finds what the values of the sheet, and of those that it uses, rest on, and returns how much that is.
func (b *builder) keep() (kept int) {
	st := b.st
	var shown, needs []int32
	for i, sl := range st.Slots {
		if s := int32(i); !sl.Hidden && !sl.Example && !st.ModuleOf(s).Library {
			shown = append(shown, s)
		}
	}
	b.kept = graph.Reach(st.Needs.Len(), shown, func(t int32) []int32 {
		kept++
		needs = b.needs(t, needs[:0])
		return needs
	})
	for step := range st.Plan.Steps {
		if b.kept[st.Plan.Steps[step].Thing] {
			b.steps = append(b.steps, int32(step))
		}
	}
	return kept
}

// needs appends what a thing rests on, with what only a page asks for.
func (b *builder) needs(t int32, needs []int32) []int32 {
	st := b.st
	needs = append(needs, st.Needs.Needs(t)...)
	if f := program.FormulaOf(st.Program, t); f != nil {
		for _, c := range f.Trusts { // which no value needs
			needs = st.NodeNeeds(c.Root, program.None, needs)
		}
	}
	if program.IsSlot(st.Program, t) {
		if st.Slots[t].Entry {
			needs = append(needs, st.ColumnThing(st.Slots[t].Owner))
		}
		if st.Slots[t].Kind == program.Adjusted {
			f := st.Cells[st.Slots[t].Owner].Adjust
			needs = append(needs, f.Lo, f.Hi, f.Left, f.Right, f.Goal)
		}
	}
	if step := st.StepOf[t]; step != program.None {
		st.Plan.EachThingOf(step, func(t int32) { needs = append(needs, t) })
	}
	return needs
}

// show returns the number of how a value is shown.
func (b *builder) show(sh *program.Show) int32 {
	if n, known := b.shows[*sh]; known {
		return n
	}
	n := int32(len(b.p.Shows))
	b.p.Shows = append(b.p.Shows, Show{b.unit(sh.Unit), sh.Step.String()})
	b.shows[*sh] = n
	return n
}

// unit returns the number of a unit.
func (b *builder) unit(u units.Unit) int32 {
	key := u.Dim().String() + "\x00" + u.String()
	if n, known := b.units[key]; known {
		return n
	}
	n := int32(len(b.p.Units))
	b.p.Units = append(b.p.Units, units.DataOf(u))
	b.units[key] = n
	return n
}

// readable enters the units in which what is given may be typed: all that measure the same as something given does.
func (b *builder) readable() {
	dims := map[units.Dim]bool{}
	for i, sl := range b.st.Slots {
		s := int32(i)
		if b.kept[s] && sl.Kind == program.Given && b.st.SlotType(s).Kind == program.Number && !b.st.ModuleOf(s).Library {
			u := b.st.SlotShow(s).Unit
			dims[u.Dim()] = true
			if u.String() != "" {
				b.p.Readable[u.String()] = b.unit(u)
			}
		}
	}
	for _, mod := range b.st.Modules { // the sheet's own units after those of sheets that it uses
		if mod != b.st.Root && !mod.Library {
			b.readableOf(mod.Units, dims)
		}
	}
	b.readableOf(b.st.Root.Units, dims)
}

func (b *builder) readableOf(set *units.Set, dims map[units.Dim]bool) {
	for _, info := range set.Names() {
		if !dims[info.Unit.Dim()] {
			continue
		}
		n := b.unit(info.Unit)
		b.p.Readable[info.Name] = n
		for _, alias := range info.Aliases {
			b.p.Readable[alias] = n
		}
	}
}

// held enters the registers that hold a number before a run: given slots, and constants, which code reads and does not
// write.
func (b *builder) held() {
	slots, last := len(b.st.Slots), int32(0)
	for i, v := range b.st.Image {
		r := int32(i)
		switch {
		case i >= slots && (!b.reads[r] || b.written[r]):
			continue
		case i >= slots:
			b.text(v)
		case !b.kept[r] || b.st.Slots[r].Kind != program.Given || b.st.Slots[r].Root != program.None:
			continue
		default:
			if v = b.st.Mach.Regs[r]; b.st.SlotType(r).Kind == program.Text {
				b.text(v)
			}
		}
		if program.IsNumber(v) {
			b.p.Held.Registers = append(b.p.Held.Registers, r-last)
			b.p.Held.Values = append(b.p.Held.Values, v)
			last = r
		}
	}
}

// text notes that the text of a number may be needed. A constant is a number too, of which it is not known what it is.
func (b *builder) text(v float64) {
	if v >= 0 && v < float64(b.st.Texts.Len()) && program.IsWhole(v) {
		b.texts[int32(v)] = true
	}
}

// writeTexts enters the texts that are needed.
func (b *builder) writeTexts() {
	most := int32(-1)
	for n := range b.texts {
		most = max(most, n)
	}
	b.p.Texts = make([]*string, most+1)
	for n := range b.texts {
		s := b.st.Texts.At(n)
		b.p.Texts[n] = &s
	}
}
