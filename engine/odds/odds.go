package odds

import (
	"cmp"
	"context"
	"math"
	"runtime"
	"slices"
	"strings"

	"gusset/engine/explain"
	"gusset/engine/machine"
	"gusset/engine/program"
	"gusset/engine/state"
)

// Limits, so that a stranger's sheet takes bounded time and memory.
const (
	mostBuilds  = 10_000_000 // that may be asked for
	mostDefault = 1_000_000  // where nobody says how many
	mostValues  = 10_000_000 // builds times results: 4 bytes each
	mostSteps   = 100e9      // builds times steps of the code that runs for each
	mostInputs  = 10_000     // that are drawn
	mostOutputs = 2000       // results and checks
	mostSlopes  = 2_000_000  // results times inputs
	leastBuilds = 2          // a spread takes two
)

// Options is what is asked for.
type Options struct {
	// Names are results and checks; a table, a column or a row stands for all its values. Without any it is the checks,
	// the worked cells that nothing else uses, and the adjusted ones.
	Names  []string
	Builds int    // 0: as many as it takes for two digits of every spread to be sure
	Parts  int    // of so many questions this is one: each may take its part of the time and memory that one alone may
	Seed   uint64 // of the random numbers
	// Progress is told after every few thousand builds how many there are, and how many there are to be at most. It is
	// called by one goroutine at a time, and not after Of has returned; nil: nobody is told.
	Progress func(done, most int) `json:"-"`
}

// Odds is what the give or take of the given values does to results and checks.
type Odds struct {
	Builds  int // that were worked out: none where nothing is drawn
	Seed    uint64
	Steady  bool // there are as many builds as it takes for two digits of every spread to be sure
	Stopped bool // the context was done before
	Drawn   []Drawn
	Results []Result
	Checks  []CheckOdds
	All     Outcome   // of all Checks at once: it holds in the builds in which each of them does
	Outside []Outside // uses of formulas outside their range, those that are the most frequent first
	Looked  int       // in how many builds it was looked for them
	Texts   []string  // names among those asked for that are texts, which have no range
	// Kept names the values in which pieces are laid out on stock and may have other sizes in some builds: all builds
	// have the sheet's count of them.
	Kept []string
}

// Drawn is a given value that was drawn for each build.
type Drawn struct {
	Name    string
	Place   explain.Place
	Guess   bool   // it is a guess without a ±, and has the wide spread of one (program.GuessSpread)
	Off     string // how far off it may be, such as 1/16 in, or 5 % sd
	Spread  program.Tolerance
	Crosses float64 // share of builds in which a normal spread has it on the other side of 0
}

// question is what is asked, looked up.
type question struct {
	st      *state.State
	results []int32 // slots
	checks  []int32
	texts   []string
	inputs  []input
}

// outputs returns the slots that are looked at in each build.
func (q *question) outputs() []int32 {
	return append(append([]int32{}, q.results...), q.checks...)
}

// slots returns the slots of the inputs.
func (q *question) slots() []int32 {
	slots := make([]int32, len(q.inputs))
	for i := range q.inputs {
		slots[i] = q.inputs[i].slot
	}
	return slots
}

// Of works out what the give or take of the given values does. Whoever calls it holds the lock of st, as for Fork. When
// ctx is done it returns what it has come to so far.
func Of(ctx context.Context, st *state.State, o Options) (*Odds, error) {
	q, err := ask(st, o.Names)
	if err != nil {
		return nil, err
	}
	return q.answer(ctx, o)
}

// OfSlots is Of for the results and checks that some slots are; Names are left out of account.
func OfSlots(ctx context.Context, st *state.State, slots []int32, o Options) (*Odds, error) {
	return askSlots(st, slots).answer(ctx, o)
}

// Refuses says why OfSlots would refuse a question, without working anything out; nil where it would not.
func Refuses(st *state.State, slots []int32, o Options) error {
	_, err := askSlots(st, slots).plan(o)
	return err
}

// plan finds out what is drawn, and how many builds are worked out.
func (q *question) plan(o Options) (p plan, err error) {
	if q.inputs, err = drawn(q.st, q.outputs(), o.Seed); err != nil {
		return plan{}, err
	}
	return q.planFor(o)
}

// answer finds out what is drawn, and works it out.
func (q *question) answer(ctx context.Context, o Options) (*Odds, error) {
	p, err := q.plan(o)
	if err != nil {
		return nil, err
	}
	return q.work(ctx, o, p)
}

// work draws the inputs and sums up what comes out.
func (q *question) work(ctx context.Context, o Options, p plan) (*Odds, error) {
	draws, err := state.NewDrawsUncut(q.st, q.slots(), q.outputs())
	if err != nil {
		return nil, err
	}
	b := &builder{draws: draws, inputs: q.inputs, results: len(q.results), checks: len(q.checks)}
	var batches []*batch
	steady := false
	scales := make([]scale, len(q.results))
	if len(q.inputs) > 0 { // else all builds are the sheet as it stands
		sheet := make([]float64, len(q.results))
		for r, s := range q.results {
			if sheet[r] = q.st.Mach.Regs[s]; !program.IsNumber(sheet[r]) {
				sheet[r] = math.NaN()
			}
		}
		scales = b.setScales(sheet)
		batches, steady = run(ctx, b, p)
	}
	odds := &Odds{Seed: o.Seed, Steady: steady, Stopped: ctx.Err() != nil, Texts: q.texts,
		Kept: q.kept()}
	for _, w := range batches {
		odds.Builds += w.builds
	}
	for i := range q.inputs {
		in := &q.inputs[i]
		odds.Drawn = append(odds.Drawn, Drawn{in.name, explain.Place(in.slot), in.guess,
			strings.TrimPrefix(in.spread.Text(q.st.SlotShow(in.slot).Unit), "± "), in.spread, in.crosses()})
	}
	undeclared, err := q.undeclared()
	if err != nil {
		return nil, err
	}
	e := explain.New(q.st)
	slopes := state.Derivatives(q.st, q.results, q.slots())
	var values []float32
	for r, s := range q.results {
		var res Result
		res, values = q.result(e.Entry(s), r, batches, scales[r], slopes[r], values)
		res.Undeclared = undeclared[r]
		if res.None > 0 {
			res.NoneWhy = q.whyNone(s, r, batches)
		}
		odds.Results = append(odds.Results, res)
	}
	q.rank(odds.Results, batches)
	odds.Outside, odds.Looked = q.outside(ctx, odds.Builds, p.cores)
	for c, s := range q.checks {
		outcome := sumTallies(batches, c).outcome()
		outcome.Margin, outcome.Undeclared = asksForMargin(q.st.Program, s), undeclared[len(q.results)+c]
		outcome.Spread, outcome.OnlySpread = spreadIn(q.st, s)
		odds.Checks = append(odds.Checks, CheckOdds{e.Entry(s).Cell, outcome})
	}
	odds.All = sumTallies(batches, len(q.checks)).outcome()
	odds.All.Undeclared = behindAny(odds.Checks)
	return odds, nil
}

// kept names what NewDrawsUncut keeps of what is asked for: a cell, or the whole column of an entry.
func (q *question) kept() []string {
	var names []string
	for _, t := range q.st.Cutting(q.st.StepsBetween(q.slots(), q.outputs())) {
		if t < int32(len(q.st.Slots)) && q.st.Slots[t].Entry {
			t = q.st.ColumnThing(q.st.Slots[t].Owner)
		}
		if name := program.ThingName(q.st.Program, t); !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

// whyNone says why there is no result in the first build that has none. One that waits has no reason of its own.
func (q *question) whyNone(s int32, r int, batches []*batch) string {
	looked := 0
	for _, w := range batches {
		for k, v := range w.values[r] {
			if v == v {
				continue
			}
			if looked++; looked > mostLooked {
				return ""
			}
			of := explain.New(q.build(w.first + k)).ViewValue(s)
			if of.Status == explain.None {
				return of.Reason
			}
		}
	}
	return ""
}

// mostLooked is how many builds without a result are looked at for a reason.
const mostLooked = 20

// build returns the state as it is in one build.
func (q *question) build(k int) *state.State {
	values := make([]float64, len(q.inputs))
	for i := range q.inputs {
		q.inputs[i].fill(values[i:i+1], k)
	}
	return state.Try(q.st, q.slots(), values)
}

// planFor returns how many builds are worked out, and how.
func (q *question) planFor(o Options) (plan, error) {
	p := plan{batch: batchBuilds, cores: runtime.GOMAXPROCS(0), most: mostDefault}
	parts := max(o.Parts, 1)
	most := min(mostBuilds, mostValues/parts/max(len(q.results), 1))
	steps := q.st.Work(q.st.UncutBetween(q.slots(), q.outputs()))
	if steps > 0 {
		most = min(most, int(mostSteps/steps/float64(parts)))
	}
	switch {
	case len(q.results)+len(q.checks) > mostOutputs:
		return p, program.Errorf(program.ErrLimit, "", "at most %d results and checks can be asked for at once; name fewer",
			mostOutputs)
	case len(q.results)*len(q.inputs) > mostSlopes:
		return p, program.Errorf(program.ErrLimit, "", "at most %d shares of values in results can be worked out, and here "+
			"are %d values behind %d results; name fewer results", mostSlopes, len(q.inputs), len(q.results))
	case o.Builds < 0 || o.Builds > 0 && o.Builds < leastBuilds:
		return p, program.Errorf(program.ErrLimit, "", "it takes %d builds or more to see a spread", leastBuilds)
	case most < leastBuilds:
		return p, program.Errorf(program.ErrLimit, "", "a single build of this sheet takes %.0f steps: too many to draw it",
			steps)
	case o.Builds > most:
		return p, program.Errorf(program.ErrLimit, "", "at most %d builds of these can be worked out; "+
			"ask for fewer builds, or name fewer results", most)
	case o.Builds > 0:
		p.most = o.Builds
	default:
		p.most, p.digits = min(p.most/parts, most), make([]float64, len(q.results))
		for r, s := range q.results {
			p.digits[r] = q.st.SlotShow(s).Unit.Factor()
		}
	}
	if p.batch = min(p.batch, max(p.most/4, leastBuilds)); o.Progress != nil {
		p.progress = func(done int) { o.Progress(done, p.most) }
	}
	return p, nil
}

// Result is what the give or take does to a number.
type Result struct {
	explain.Entry
	Mean, SD, Low, High float64 // of the builds that have a result, in Unit; NaN where none has
	First               FirstOrder
	Remark              Remark
	None, Waits         float64 // share of builds without a result, and of those in which it waits
	NoneWhy             string  // why there is no result in the first of those builds
	Strip               Strip
	Shares              []Share      // the largest first
	Undeclared          []Undeclared // those that move it most first; with any of them it may be farther off
}

// FirstOrder is the spread of a result as its slopes have it: the sum of what each input makes of it alone (JCGM
// 100:2008, 5.1.2). Low and High are 1.96 standard deviations from the value.
type FirstOrder struct{ SD, Low, High float64 }

// CheckOdds is how often a check holds.
type CheckOdds struct {
	explain.Cell
	Outcome
}

// Outcome is in which share of builds a check holds, fails, waits, or has no result.
type Outcome struct {
	Holds, Fails, Waits, None float64
	Margin                    bool         // it asks for a safety that has a margin for scatter in it (safety_for)
	Spread                    bool         // it asks how far a value may be off, which is the same in all builds
	OnlySpread                bool         // and it asks nothing else
	Undeclared                []Undeclared // with any of them nobody can say how often it holds
}

// result sums up result number r, whose values are kept by a scale; all is room for them, and is returned for the next.
func (q *question) result(of explain.Entry, r int, batches []*batch, by scale, slopes []machine.Partial,
	all []float32) (Result, []float32) {
	unit := of.Unit
	res := Result{Entry: of}
	all = all[:0]
	builds, waits := 0, 0
	for _, w := range batches {
		builds += w.builds
		waits += w.without[r].waits
	}
	all = slices.Grow(all, builds)
	for _, w := range batches {
		all = known(all, w.values[r])
	}
	if builds > 0 {
		res.Waits = float64(waits) / float64(builds)
		res.None = float64(builds-waits-len(all)) / float64(builds)
	}
	value := q.st.Mach.Regs[q.results[r]]
	s := by.summary(summarize(all))
	if s.sd <= machine.Tolerance*math.Abs(value) { // rounding: parts that are weighed together come to the same
		s.sd = 0
	}
	res.Mean, res.Low, res.High = unit.Value(s.mean), unit.Value(s.low), unit.Value(s.high)
	res.SD = s.sd / unit.Factor()
	sd, shares := q.firstOrder(slopes)
	res.Shares = shares
	half := program.Coverage * sd
	res.First = FirstOrder{SD: sd / unit.Factor(), Low: unit.Value(value - half), High: unit.Value(value + half)}
	res.Remark = remarkOn(all, s, summary{mean: value, sd: sd, low: value - half, high: value + half}, unit.Factor())
	if !res.Remark.FirstOrderHolds() && res.None+res.Waits > heap {
		res.Remark = Missing
	}
	res.Strip = stripOf(all, by, unit)
	return res, all
}

// firstOrder returns the standard deviation of a result to first order, SI, and the shares of the inputs that are worth
// looking at: the first ones, others that can be seen, and those that make nothing of it to first order. Where the
// result jumps as soon as an input changes there is no standard deviation.
func (q *question) firstOrder(slopes []machine.Partial) (sd float64, shares []Share) {
	deviations, order := make([]float64, len(q.inputs)), make([]int, len(q.inputs))
	for i := range q.inputs {
		deviations[i], order[i] = q.inputs[i].spread.SD(), i
	}
	parts, variance := variances(slopes, deviations)
	jumps, flat := false, 0
	for i, v := range parts {
		if v != v {
			parts[i], jumps = 0, true
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(parts[b], parts[a]) })
	for k, i := range order {
		share := 0.0
		if variance > 0 {
			share = parts[i] / variance
		}
		if parts[i] == 0 {
			flat++
		}
		if k < mostMeasured || share >= leastShare || parts[i] == 0 && flat <= mostFlat {
			in := &q.inputs[i]
			shares = append(shares, Share{Name: in.name, Place: explain.Place(in.slot), Share: share,
				Known: math.NaN(), Guess: in.guess, Dim: q.st.SlotType(in.slot).Dim})
		}
	}
	if jumps {
		return math.NaN(), shares
	}
	return math.Sqrt(variance), shares
}
