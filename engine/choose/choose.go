package choose

import (
	"context"

	"gusset/engine/explain"
	"gusset/engine/odds"
	"gusset/engine/program"
	"gusset/engine/state"
)

// Limits of a question, so that it is answered in the time that somebody waits, and in bounded memory.
const (
	maxCombinations = 1_000_000
	maxGoals        = 8
	maxTried        = 4000 // of one value; fewer texts than a state drops when nothing has them
	maxWork         = 2e10 // instructions that all combinations take
	slopesTake      = 20   // times what a run takes, to find how far off values may be
	maxCuttingWork  = 1e10 // instructions that those take for which pieces are laid out
	maxTold         = 200  // combinations that are explained, and
	maxTelling      = 5e7  // how much there is to explain in all of these
	maxUnmet        = 100  // checks that do not hold, of one combination, that are explained
	tellNearest     = 3
)

// Question is what is asked.
type Question struct {
	// Vary says which given values take all that they may be: NAME for a text with choices or a yes or no,
	// NAME: VALUE, VALUE for what is listed, NAME from A to B step S for a range.
	Vary    []string
	Goals   []Goal   // the first counts most
	Without []string // checks that do not decide
	Keep    int      // how many of the best are told of; 0: ten
	Odds    bool     // of the first MaxOdds that are told of it is found out too how sure they are
	Seed    uint64   // of the builds that are drawn for that: the same ones for each of them
	// Progress is called now and then, from one goroutine at a time, with how many combinations of how many have been
	// tried, and how many of them hold so far. Nil: nobody wants to know.
	Progress func(tried, total, hold int) `json:"-"`
	// Drawing is called now and then, from one goroutine at a time, with which of how many combinations builds are
	// drawn for. Nil: nobody wants to know.
	Drawing func(number, of int) `json:"-"`
}

// MaxOdds is of how many combinations it is found out how sure they are.
const MaxOdds = 10

// Goal is a number that is to be as small or as large as can be.
type Goal struct {
	Name string
	Most bool
}

// Answer is what came of a Question.
type Answer struct {
	Varied  []Varied
	Goals   []Goal
	Now     []explain.Value // of each goal, as the sheet stands
	Without []string        // names of checks that did not decide
	Total   int             // combinations there are
	Tried   int             // fewer than Total only where Stopped
	Hold    int             // combinations for which every check that decides holds
	Fail    int             // combinations for which a check fails
	Unknown int             // combinations for which no check fails, but one waits or has no result
	// NotLaidOut is how many pass all other checks, but were not tried any further: pieces would have to be laid out on
	// stock, or slopes be found, for more of them than there is time for.
	NotLaidOut int
	Stopped    bool // the context was done before all were tried: all that is told is of those that were

	RuledOut  []RuledOut     // by the checks that the choices touch; most first
	Untouched []explain.Cell // the first checks that do not hold, whatever is chosen: no combination can
	Unmoved   []string       // goals that are the same in all that pass
	Unranked  int            // of those that hold, how many have no value for a goal: they come last

	Best      []Combination // the first of those that hold
	Front     []Combination // with two goals or more: those that no other is as good as in all and better in one
	FrontSize int           // how many there are on the front; Front has the first of them
	FrontCut  bool          // there are too many combinations to compare all of them with one another
	Nearest   []Combination // where nothing holds
	Looked    int           // from how many of those with the fewest checks unmet these were taken: the least changed ones
	LookedOf  int           // how many of those there are
	// OddsStopped: the context was done before the odds of all were found.
	OddsStopped bool
}

// Varied is a given value that was varied.
type Varied struct {
	Name  string
	Count int           // of what was tried
	Now   explain.Value // as the sheet has it
}

// RuledOut tells how often a check rules a combination out.
type RuledOut struct {
	Check     string
	Count     int  // combinations in which it does not hold
	Alone     int  // of these, those in which all other checks hold
	NoValue   int  // of Count, those in which it waits or has no result
	LastAsked bool // it takes long, and so was asked only where all other checks hold
}

// Combination is one choice of each varied value, with what comes of it.
type Combination struct {
	Settings []state.Setting // of all varied values, as a sheet writes them; guess marks are kept
	Chosen   []explain.Value // the same as they are shown
	Changed  []bool          // which of them are other than the sheet has
	Goals    []explain.Value
	OnGuess  int    // checks that hold on guesses
	Outside  int    // checks that use a formula outside the range where it is to be trusted
	Tightest string // the check with the least Margin, of those that the choices touch; empty: none has one
	Margin   float64
	Unmet    []explain.Cell // the first checks that do not hold
	// Odds are those of the goals, in their order, and of all checks that decide: of the first MaxOdds combinations of
	// Best or, with two goals or more, of Front. Nil where they were not asked for.
	Odds *odds.Odds

	index int
}

// MarshalJSON writes its fields, with null for a Margin that there is not.
func (c Combination) MarshalJSON() ([]byte, error) { return explain.MarshalFields(c) }

// Changes returns how many values are other than the sheet has.
func (c Combination) Changes() int {
	n := 0
	for _, is := range c.Changed {
		if is {
			n++
		}
	}
	return n
}

// Allow refuses a question that bears on more values than there is memory for. Nothing is changed.
func Allow(st *state.State, q Question) error {
	var slots []int32
	for _, asked := range q.Vary {
		v, err := findVaried(st, asked)
		if err != nil {
			return err
		}
		slots = append(slots, v.slot)
	}
	n := 0
	for _, step := range st.StepsFrom(slots) {
		st.Plan.EachThingOf(step, func(t int32) {
			if program.IsSlot(st.Program, t) {
				n++
			}
		})
	}
	if n > explain.MaxCompared {
		return program.Errorf(program.ErrLimit, "", "this bears on %d values; at most %d can be worked out again and again",
			n, explain.MaxCompared)
	}
	return nil
}

// Of answers a question about a state, which nobody else uses meanwhile: it takes up texts that are tried. When ctx is
// done it tells what was found so far.
func Of(ctx context.Context, st *state.State, q Question) (Answer, error) {
	s, err := newSearch(ctx, st, q)
	if err != nil {
		return Answer{}, err
	}
	if q.Odds { // else what is too much to draw is found out after a long search
		if err := odds.Refuses(s.base, s.drawn(), s.oddsOptions()); err != nil {
			return Answer{}, err
		}
	}
	if err := s.run(); err != nil {
		return Answer{}, err
	}
	if s.rank(); s.err == nil && q.Odds {
		s.err = s.addOdds()
	}
	return s.answer, s.err
}
