package choose

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"

	"gusset/engine/explain"
	"gusset/engine/program"
	"gusset/engine/state"
	"gusset/units/nearest"
)

// search is a question on its way to its answer.
type search struct {
	ctx     context.Context
	asked   Question
	st      *state.State // the sheet as it stands
	base    *state.State // with the first of everything that is tried
	varied  []*varied
	total   int
	goals   []int32          // slots
	sign    []float64        // 1 for the least, -1 for the most
	checks  []int32          // that decide and that choices touch
	last    []int32          // the same, where pieces are laid out for them
	touched []bool           // things that choices touch
	names   map[int32]string // of all checks
	without map[int32]bool
	decide  []int32 // all checks that decide

	unmet          int  // checks that do not hold whatever is chosen
	untouchedFails bool // one of these fails

	oneByOne    bool        // something hangs on how far off a value may be, which is found for one at a time
	packedGoals bool        // a goal hangs on pieces laid out on stock
	lastWork    float64     // instructions that it takes to lay them out
	found       []candidate // combinations in which all checks hold that choices touch, the best first
	near        []int32     // where there are none, those with the fewest checks that do not hold
	most        int         // combinations of one kind that are explained
	answer      Answer
	err         error
}

// newSearch reads a question.
func newSearch(ctx context.Context, st *state.State, q Question) (*search, error) {
	s := &search{ctx: ctx, asked: q, st: st, names: map[int32]string{}, without: map[int32]bool{}}
	if s.asked.Keep <= 0 {
		s.asked.Keep = 10
	}
	s.base = s.st.Fork()
	var err error
	if s.varied, err = readVaried(s.st, s.base, q.Vary); err != nil {
		return nil, err
	}
	if err := s.count(); err != nil {
		return nil, err
	}
	if err := s.findGoals(); err != nil {
		return nil, err
	}
	if err := s.findChecks(); err != nil {
		return nil, err
	}
	return s, s.bound()
}

// count counts the combinations.
func (s *search) count() error {
	s.total = 1
	for _, v := range slices.Backward(s.varied) {
		v.each = s.total
		if s.total > maxCombinations/len(v.values) {
			return s.tooMany()
		}
		s.total *= len(v.values)
	}
	e := explain.New(s.st)
	for _, v := range s.varied {
		s.answer.Varied = append(s.answer.Varied, Varied{v.name, len(v.values), e.ViewValue(v.slot)})
	}
	s.answer.Total = s.total
	return nil
}

// tooMany says that there are too many combinations.
func (s *search) tooMany() error {
	product := 1.0
	widest := s.varied[0]
	for _, v := range s.varied {
		product *= float64(len(v.values))
		if len(v.values) > len(widest.values) {
			widest = v
		}
	}
	return program.Errorf(program.ErrLimit, "", "there are about %s combinations of these, and %d can be tried at "+
		"once; name fewer values, or list fewer of %s: '%s: %s, %s'", roundCount(product), maxCombinations, widest.name,
		widest.name, widest.typed[0], widest.typed[1])
}

// findGoals looks the goals up.
func (s *search) findGoals() error {
	if len(s.asked.Goals) > maxGoals {
		return program.Errorf(program.ErrLimit, "", "%d goals are more than can be weighed against one another (%d)",
			len(s.asked.Goals), maxGoals)
	}
	now := explain.New(s.st)
	for _, g := range s.asked.Goals {
		slot, err := s.base.FindSlot(g.Name)
		if err != nil {
			return err
		}
		if t := s.base.SlotType(slot); t.Kind != program.Number {
			what := "it has a mistake"
			if t.Kind != program.Unknown {
				what = "it is " + t.String()
			}
			return program.Errorf(program.ErrWrongKind, g.Name, "%s cannot be a goal: %s, not a number", g.Name, what)
		}
		if slices.Contains(s.goals, slot) {
			return program.Errorf(program.ErrNotOneValue, g.Name, "%s is a goal twice", g.Name)
		}
		sign := 1.0
		if g.Most {
			sign = -1
		}
		s.goals, s.sign = append(s.goals, slot), append(s.sign, sign)
		s.answer.Goals = append(s.answer.Goals, Goal{s.base.SlotName(slot), g.Most})
		s.answer.Now = append(s.answer.Now, now.ViewValue(slot))
	}
	return nil
}

// findChecks splits the checks, of used sheets too, into those that choices touch and those that they do not.
func (s *search) findChecks() error {
	e := explain.New(s.base)
	var all []int32
	for slot := range explain.Shown(e) {
		if program.IsCheck(s.base.Program, slot) {
			all = append(all, slot)
			s.names[slot] = s.base.SlotName(slot)
		}
	}
	for _, name := range s.asked.Without {
		slot, err := s.base.FindSlot(name)
		if err != nil || s.names[slot] == "" {
			said := name + " is not a check"
			if near, ok := nearest.Word(name, slices.Collect(maps.Values(s.names))); ok {
				said += "; is it " + near + "?"
			}
			return program.Errorf(program.ErrNoSuchName, name, "%s", said)
		}
		if !s.without[slot] {
			s.answer.Without = append(s.answer.Without, s.names[slot])
		}
		s.without[slot] = true
	}
	inputs := s.inputs()
	s.touched = s.thingsFrom(inputs)
	for _, slot := range inputs {
		s.touched[slot] = true
	}
	cutting := s.base.Cutting(s.base.StepsFrom(inputs))
	packed := s.thingsFrom(cutting)
	for _, t := range cutting {
		packed[t] = true
	}
	s.markDoubted(packed)
	for _, slot := range all {
		if s.without[slot] {
			continue
		}
		s.decide = append(s.decide, slot)
		switch {
		case packed[slot] && !s.base.IsBroken(slot):
			s.last = append(s.last, slot)
		case s.touched[slot] && !s.base.IsBroken(slot):
			s.checks = append(s.checks, slot)
		case s.base.Mach.Regs[slot] != 1: // it is the same for all; one with a mistake too
			s.unmet++
			s.untouchedFails = s.untouchedFails || s.base.Mach.Regs[slot] == 0
			if len(s.answer.Untouched) < maxUnmet {
				s.answer.Untouched = append(s.answer.Untouched, e.Entry(slot).Cell)
			}
		}
	}
	for i, slot := range s.goals {
		s.packedGoals = s.packedGoals || packed[slot]
		if !s.touched[slot] {
			s.answer.Unmoved = append(s.answer.Unmoved, s.answer.Goals[i].Name)
		}
	}
	return nil
}

// markDoubted marks what hangs on how far off a value may be that choices touch: that is found for one combination at a
// time, and so asked last.
func (s *search) markDoubted(last []bool) {
	var doubted []int32
	for slot, of := range s.base.Spreads {
		if s.touched[of] {
			doubted = append(doubted, slot)
		}
	}
	s.oneByOne = len(doubted) > 0
	for thing, is := range s.thingsFrom(doubted) {
		last[thing] = last[thing] || is
	}
}

// counts reports whether a slot hangs on what is chosen.
func (s *search) counts(slot int32) bool { return s.touched[slot] }

// thingsFrom marks what is worked out again when some things change.
func (s *search) thingsFrom(changed []int32) []bool {
	things := make([]bool, len(s.base.StepOf))
	for _, step := range s.base.StepsFrom(changed) {
		s.base.Plan.EachThingOf(step, func(t int32) { things[t] = true })
	}
	return things
}

// inputs returns the slots that are varied.
func (s *search) inputs() []int32 {
	slots := make([]int32, len(s.varied))
	for i, v := range s.varied {
		slots[i] = v.slot
	}
	return slots
}

// outputs returns the slots that are looked at: of checks and of goals, the latter last.
func (s *search) outputs(checks []int32, goals bool) []int32 {
	if !goals {
		return checks
	}
	return slices.Concat(checks, s.goals)
}

// bound refuses what would take too long.
func (s *search) bound() error {
	work := s.base.Work(s.base.StepsBetween(s.inputs(), s.outputs(s.checks, !s.packedGoals)))
	work += float64(len(s.checks) + len(s.varied))
	if most := maxWork / max(work, 1); float64(s.total) > most {
		return program.Errorf(program.ErrLimit, "", "%d combinations of this sheet take too long, about %s can be tried "+
			"at once; name fewer values, or list fewer of what they may be", s.total, roundCount(most))
	}
	size := float64(len(s.base.Slots) + len(s.base.Nodes))
	effort, uncut := s.base.Takes+size, s.base.Work(s.base.UncutFrom(s.inputs()))+size
	s.most = int(min(max(min(maxTelling/uncut, maxCuttingWork/effort), tellNearest), maxTold))
	s.asked.Keep = min(s.asked.Keep, s.most)
	s.lastWork = s.base.Work(s.base.StepsBetween(s.inputs(), s.outputs(s.last, true)))
	if s.oneByOne {
		s.lastWork = max(s.lastWork, effort+uncut*slopesTake) // slopes do not go through plans of cuts
	}
	return nil
}

// roundCount writes a count with two digits.
func roundCount(x float64) string {
	if x < 100 {
		return fmt.Sprint(int(x))
	}
	unit := math.Pow(10, math.Floor(math.Log10(x))-1)
	return fmt.Sprintf("%.0f", math.Floor(x/unit)*unit)
}

// chosen returns which value each of the varied ones has in a combination.
func (s *search) chosen(index int) []int {
	at := make([]int, len(s.varied))
	for i, v := range s.varied {
		at[i] = v.in(index)
	}
	return at
}

// changes counts how many values of a combination are other than the sheet has.
func (s *search) changes(index int) int {
	n := 0
	for _, v := range s.varied {
		if v.changed[v.in(index)] {
			n++
		}
	}
	return n
}

// settings returns the settings of a combination.
func (s *search) settings(index int) []state.Setting {
	var list []state.Setting
	for i, k := range s.chosen(index) {
		list = append(list, state.Setting{Name: s.varied[i].name, Value: s.varied[i].typed[k]})
	}
	return list
}
