package differ

import (
	"slices"

	"gusset/engine/explain"
	"gusset/engine/program"
	"gusset/engine/state"
)

// Changes is what was changed from a variant of a sheet, such as its plan, to the sheet as it stands.
type Changes struct {
	From, Note string // the variant
	Lines      []ChangedLine
	Same       []string // what the variant sets to what the sheet has anyway
	Together   []Move   // all that is looked at, when all is changed; Differs says which moved
	// Added is what numbers come to when what each change moves by itself is added up. One that has no value at one of
	// them is left out, and all are where there is only one change.
	Added []Move
}

// ChangedLine is one change: a given value as it is in the variant, and in the sheet. Moves are what it moves by
// itself, made alone to the variant.
type ChangedLine struct {
	Given Move
	Note  string // that of the variant's line: the reason
	Moves []Move
}

// maxChanged is how many steps it may take to work all changes out.
const maxChanged = 2_000_000_000

// ChangesFrom tells what was changed from a variant to the sheet as it stands, and what that moves among some entries.
// The State must be locked; it stays as it is.
func ChangesFrom(st *state.State, variant string, looked []explain.Entry) (Changes, error) {
	v, err := st.VariantNamed(variant)
	switch {
	case err != nil:
		return Changes{}, err
	case v == nil:
		return Changes{}, program.Errorf(program.ErrNoSuchName, variant, "a variant has a name")
	}
	for _, e := range looked {
		if e.Place < 0 || int(e.Place) >= len(st.Slots) {
			return Changes{}, program.Errorf(program.ErrNoSuchName, e.Name, "%s is not a value of this sheet", e.Name)
		}
	}
	lines := linesOf(v)
	if steps := float64(len(lines)+2) * explain.New(st).Effort(); steps > maxChanged {
		return Changes{}, program.Errorf(program.ErrLimit, variant,
			"working out %d changes takes more than %d steps", len(lines), maxChanged)
	}
	if len(lines)*len(looked) > explain.MaxCompared {
		return Changes{}, program.Errorf(program.ErrLimit, variant,
			"these are %d changes, each of which bears on %d values; at most %d can be compared at once",
			len(lines), len(looked), explain.MaxCompared)
	}
	c := changer{looked: looked, made: Changes{From: variant, Note: v.Node.Note.Text}}
	work := st.Fork()
	if err := work.UseVariant(""); err != nil {
		return Changes{}, err
	}
	sheet := c.entries(work)
	given := make([]explain.Entry, len(lines))
	for i, x := range lines {
		given[i] = givenOf(work, x)
	}
	if err := work.UseVariant(variant); err != nil {
		return Changes{}, err
	}
	if why := explain.New(work).Unread(); why != "" {
		return Changes{}, program.Errorf(program.ErrUnread, variant, "%s", why)
	}
	c.before = c.entries(work)
	for i, x := range lines {
		m := newMove(givenOf(work, x).Value, given[i])
		if !m.Differs {
			c.made.Same = append(c.made.Same, m.Name)
			continue
		}
		c.made.Lines = append(c.made.Lines, ChangedLine{Given: m, Note: x.Node.Note.Text})
	}
	for i, e := range sheet {
		c.made.Together = append(c.made.Together, newMove(c.before[i].Value, e))
	}
	if len(c.made.Lines) == 1 { // which is all of it
		c.made.Lines[0].Moves = c.moves(sheet)
	} else if err := c.each(work, v, lines); err != nil {
		return Changes{}, err
	}
	c.add(work)
	return c.made, nil
}

// linesOf returns the lines of a variant in their order, after those that it has from others. Of what several set the
// last counts.
func linesOf(v *program.Variant) []program.Setting {
	var chain []*program.Variant
	for ; v != nil; v = v.From {
		chain = append(chain, v)
	}
	set, at := []program.Setting(nil), map[int32]int{}
	for _, v := range slices.Backward(chain) {
		for _, x := range v.Settings {
			if x.Slot == program.None {
				continue // it could not be read
			}
			if i, known := at[x.Slot]; known {
				set[i] = x
				continue
			}
			at[x.Slot] = len(set)
			set = append(set, x)
		}
	}
	return set
}

// givenOf returns what a line sets, as it is in a state.
func givenOf(st *state.State, x program.Setting) explain.Entry {
	e := explain.New(st).Entry(x.Slot)
	e.Name = x.Node.Target.String()
	return e
}

// changer works changes out.
type changer struct {
	looked []explain.Entry // what is looked at
	before []explain.Entry // in the variant
	made   Changes
	sums   []float64       // of what the changes move by themselves, for each entry, in SI
	known  []bool          // whether there is such a sum
	unsure []explain.Value // what each rests on at its least sure
}

// entries returns what is looked at, as it is in a state.
func (c *changer) entries(st *state.State) []explain.Entry {
	e, list := explain.New(st), make([]explain.Entry, len(c.looked))
	for i, x := range c.looked {
		list[i] = e.Entry(int32(x.Place))
		list[i].Name = x.Name
	}
	return list
}

// moves tells what differs from the variant.
func (c *changer) moves(after []explain.Entry) []Move {
	var moves []Move
	for i, e := range after {
		if m := newMove(c.before[i].Value, e); m.Differs {
			moves = append(moves, m)
		}
	}
	return moves
}

// each makes each change by itself.
func (c *changer) each(work *state.State, v *program.Variant, lines []program.Setting) error {
	c.sums, c.known = make([]float64, len(c.looked)), make([]bool, len(c.looked))
	c.unsure = make([]explain.Value, len(c.looked))
	for i, e := range c.before {
		c.known[i], c.unsure[i] = isNumber(e.Value), e.Value
	}
	at := 0
	for _, x := range lines {
		if at == len(c.made.Lines) || c.made.Lines[at].Given.Place != explain.Place(x.Slot) {
			continue
		}
		if err := state.UseAllBut(work, v, x.Slot); err != nil {
			return err
		}
		after := c.entries(work)
		c.made.Lines[at].Moves = c.moves(after)
		for i, e := range after {
			if c.known[i] = c.known[i] && isNumber(e.Value); c.known[i] {
				c.sums[i] += e.SI() - c.before[i].SI()
			}
			u := &c.unsure[i]
			u.Guesses, u.Remarked = max(u.Guesses, e.Guesses), max(u.Remarked, e.Remarked)
			if len(u.Remarks) == 0 {
				u.Remarks = e.Remarks
			}
		}
		at++
	}
	return nil
}

// isNumber reports whether a value is a number that changes of can be added up.
func isNumber(v explain.Value) bool {
	return v.Status == explain.OK && v.IsNumber() && !v.IsCheck
}

// add tells what the changes by themselves add up to.
func (c *changer) add(st *state.State) {
	if c.sums == nil {
		return
	}
	e := explain.New(st)
	for i, before := range c.before {
		if !c.known[i] {
			continue
		}
		sum := before
		v := e.ViewNumber(int32(before.Place), before.SI()+c.sums[i])
		u := c.unsure[i]
		v.Guesses, v.Remarks, v.Remarked = u.Guesses, u.Remarks, u.Remarked
		sum.Value = v
		c.made.Added = append(c.made.Added, newMove(before.Value, sum))
	}
}
