package odds

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"

	"gusset/engine/machine"
	"gusset/engine/program"
	"gusset/engine/state"
	"gusset/units"
)

// bench is a sheet with a bit of everything: a search, a choice, a count, checks.
const bench = `wing [g] : 210 ± 8
tail [g] : 42 ± 6 sd
pack [g] : 160 ± 2
cells [1, 1] : 3 ± 1
arm [mm] : 300 ± 3
nose [mm] : 80 ± 1
all_up [g] = wing + tail + pack
heavy = all_up > 415 [g] ? 2 : 1
pieces [1, 1] = ceil(all_up / 100 [g])
adjust place [mm] from -200 to 200 so tail * arm = (pack + 10 [g]) * (nose + place)
check light = all_up < 420 [g]
check counted = cells < 4
`

// TestTheSameSeedGivesTheSame says that neither the number of processors nor what else is asked for bears on anything.
func TestTheSameSeedGivesTheSame(t *testing.T) {
	st := worked(t, bench)
	before := runtime.GOMAXPROCS(0)
	defer runtime.GOMAXPROCS(before)
	var first []byte
	for _, cores := range []int{1, 2, 7} {
		runtime.GOMAXPROCS(cores)
		o, err := Of(context.Background(), st, Options{Seed: 7, Builds: 45_000})
		require.NoError(t, err)
		got, err := json.Marshal(o)
		require.NoError(t, err)
		if first == nil {
			first = got
		}
		require.Equal(t, string(first), string(got), "%d processors", cores)
	}
	other, err := Of(context.Background(), st, Options{Seed: 8, Builds: 45_000})
	require.NoError(t, err)
	got, err := json.Marshal(other)
	require.NoError(t, err)
	require.NotEqual(t, string(first), string(got))
	few := ""
	for _, cores := range []int{1, 2, 7} { // the same too where it is to be found out how many are enough
		runtime.GOMAXPROCS(cores)
		o := oddsOf(t, "a : 50 ± 1.2 sd\ny = 2 / a\n", Options{Seed: 7})
		got := fmt.Sprint(o.Builds, o.Results[0].Mean, o.Results[0].High)
		require.True(t, few == "" || few == got, "%d processors: %s, not %s", cores, got, few)
		few = got
	}
}

// TestDrawsHangOnNameAndValueAlone says that a value is drawn alike whatever else is drawn, and in another sheet too.
func TestDrawsHangOnNameAndValueAlone(t *testing.T) {
	one := oddsOf(t, "a : 5 ± 1\ny = 2 * a\n", Options{Builds: 5000, Seed: 3})
	two := oddsOf(t, "b : 7 ± 2\na : 5 ± 1\ny = 2 * a\nz = b\n", Options{Builds: 5000, Seed: 3})
	require.Equal(t, resultOf(t, one, "y").SD, resultOf(t, two, "y").SD)
	other := oddsOf(t, "a : 5.5 ± 1\ny = 2 * a - 1\n", Options{Builds: 5000, Seed: 3})
	require.NotEqual(t, resultOf(t, one, "y").SD, resultOf(t, other, "y").SD)
}

// TestDraws holds what is drawn against what a ± says.
func TestDraws(t *testing.T) {
	const n = 100_000
	draws := make([]float64, n)
	for _, tt := range []struct {
		name   string
		spread program.Tolerance
		within float64 // nothing is farther from the value; 0: there is no limit
	}{
		{"between limits", program.Tolerance{Half: 2}, 2},
		{"normal", program.Tolerance{Half: 2, Kind: program.Normal95}, 0},
		{"standard deviation", program.Tolerance{Half: 2, Kind: program.Normal1}, 0},
		{"counted", program.Tolerance{Half: 2, Whole: true}, 2},
	} {
		t.Run(tt.name, func(t *testing.T) {
			in := input{value: 12, spread: tt.spread, stream: streamOf(1, tt.name, 12)}
			in.fill(draws, 0)
			kept := make([]float32, n)
			for i, v := range draws {
				kept[i] = float32(v)
			}
			s := summarize(kept)
			near(t, "mean", 12, s.mean, tt.spread.SD()/math.Sqrt(n))
			near(t, "sd", tt.spread.SD(), s.sd, tt.spread.SD()/math.Sqrt(2*n))
			if tt.within > 0 {
				require.GreaterOrEqual(t, slices.Min(draws), 12-tt.within)
				require.LessOrEqual(t, slices.Max(draws), 12+tt.within)
			}
			if tt.spread.Whole {
				count := map[float64]int{}
				for _, v := range draws {
					count[v]++
				}
				require.Len(t, count, 5)
				chi := 0.0
				for _, c := range count {
					d := float64(c) - n/5
					chi += d * d / (n / 5)
				}
				require.Less(t, chi, 18.5, "of 4 degrees of freedom: 1 in 1000 sound draws is above")
			}
			later := make([]float64, 100)
			in.fill(later, 5000)
			require.Equal(t, draws[5000:5100], later, "a draw hangs on its number alone")
		})
	}
}

// TestStreamsAreEven holds the numbers of several streams, one by one and in pairs, against even spreads by Pearson's
// chi-squared; of sound numbers 1 of 1000 fails each, and the seeds are fixed.
func TestStreamsAreEven(t *testing.T) {
	const n, cells = 100_000, 100
	chi := func(at func(k int) int) float64 {
		count := make([]float64, cells)
		for k := range n {
			count[at(k)]++
		}
		sum := 0.0
		for _, c := range count {
			d := c - n/cells
			sum += d * d / (n / cells)
		}
		return sum
	}
	const most = 148.2 // of 99 degrees of freedom
	for seed := range uint64(5) {
		a, b := streamOf(seed, "a", 1), streamOf(seed, "b", 1)
		require.Less(t, chi(func(k int) int { return int(cells * a.uniform(k)) }), most)
		require.Less(t, chi(func(k int) int { return int(10*a.uniform(k)) + 10*int(10*b.uniform(k)) }), most, "of two inputs")
		require.Less(t, chi(func(k int) int { return int(10*a.uniform(k)) + 10*int(10*a.uniform(k+1)) }), most, "of two builds")
	}
}

// TestBuildsWithoutAResultAreCounted says that none is dropped in silence.
func TestBuildsWithoutAResultAreCounted(t *testing.T) {
	o := oddsOf(t, `a : 1 ± 2
b : 5 ± 1
empty :
root = sqrt(a)
later = b + empty
rooted = a > 0 ? root : later
check fine = root > 1
check waits = later > 1
`, Options{Builds: builds, Seed: 1, Names: []string{"root", "later", "rooted", "fine", "waits"}})
	sd := func(p float64) float64 { return math.Sqrt(p * (1 - p) / builds) }
	root := resultOf(t, o, "root") // a is below 0 in a quarter of all builds
	near(t, "none", 0.25, root.None, sd(0.25))
	require.Zero(t, root.Waits)
	near(t, "mean of the others", 2./3*math.Sqrt(3), root.Mean, 0.5/math.Sqrt(builds))
	later := resultOf(t, o, "later")
	require.Equal(t, 1.0, later.Waits)
	require.True(t, math.IsNaN(later.Mean))
	require.True(t, math.IsNaN(later.First.SD))
	rooted := resultOf(t, o, "rooted")
	near(t, "waits", 0.25, rooted.Waits, sd(0.25))
	near(t, "holds", 0.5, o.Checks[0].Holds, sd(0.5))
	near(t, "none", 0.25, o.Checks[0].None, sd(0.25))
	near(t, "fails", 0.25, o.Checks[0].Fails, sd(0.25))
	require.Equal(t, 1.0, o.Checks[1].Waits)
}

// TestNothingOffIsTheSheet says that where nothing may be off every build is the sheet as it stands, to the last bit.
func TestNothingOffIsTheSheet(t *testing.T) {
	st := worked(t, bench)
	q, err := ask(st, nil)
	require.NoError(t, err)
	q.inputs, err = drawn(st, q.outputs(), 1)
	require.NoError(t, err)
	require.NotEmpty(t, q.inputs)
	for i := range q.inputs {
		q.inputs[i].spread = program.Tolerance{Whole: q.inputs[i].spread.Whole}
	}
	options := Options{Builds: 1000, Seed: 1}
	p, err := q.planFor(options)
	require.NoError(t, err)
	o, err := q.work(context.Background(), options, p)
	require.NoError(t, err)
	for _, r := range o.Results {
		for what, got := range map[string]float64{"mean": r.Mean, "low": r.Low, "high": r.High, "first": r.First.High} {
			require.Equal(t, r.Number, got, "%s of %s", what, r.Name)
		}
		require.Zero(t, r.SD)
		require.Zero(t, r.First.SD)
		require.Equal(t, Agrees, r.Remark)
		require.Empty(t, r.Shares)
	}
}

// TestAsManyBuildsAsTwoDigitsNeed says when it is enough where nobody says how many.
func TestAsManyBuildsAsTwoDigitsNeed(t *testing.T) {
	for _, tt := range []struct {
		sd          string
		least, most int
	}{
		{"1.05", 20_000, 60_000},    // its second digit counts for a tenth of it
		{"9.6", 500_000, 1_000_000}, // for a hundredth
	} {
		o := oddsOf(t, "a : 50 ± "+tt.sd+" sd\ny = a\n", Options{Seed: 1})
		require.GreaterOrEqual(t, o.Builds, tt.least, tt.sd)
		require.LessOrEqual(t, o.Builds, tt.most, tt.sd)
	}
	o := oddsOf(t, "a : 50 ± 1 sd\ny = a\n", Options{Seed: 1, Builds: 12_345})
	require.Equal(t, 12_345, o.Builds)
	require.False(t, o.Steady)
}

// TestStopping says that a context that is done leaves what there is so far.
func TestStopping(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	st := worked(t, bench)
	o, err := Of(ctx, st, Options{Seed: 1, Builds: 1_000_000, Progress: func(done, most int) {
		if require.Equal(t, 1_000_000, most); done >= 20_000 {
			stop()
		}
	}})
	require.NoError(t, err)
	require.True(t, o.Stopped)
	require.Less(t, o.Builds, 1_000_000)
	require.Positive(t, o.Builds)
	whole, err := Of(context.Background(), st, Options{Seed: 1, Builds: o.Builds})
	require.NoError(t, err)
	require.Equal(t, whole.Results[0].Mean, o.Results[0].Mean)
}

// TestMoreThanMemoryHoldsIsRefused says what is too much.
func TestMoreThanMemoryHoldsIsRefused(t *testing.T) {
	s, names := "a : 1 ± 1\n", []string{}
	for i := range 20 {
		s += fmt.Sprintf("y%d = %d * a\n", i, i)
		names = append(names, fmt.Sprintf("y%d", i))
	}
	st := worked(t, s)
	_, err := Of(context.Background(), st, Options{Builds: 1_000_000, Names: names})
	require.ErrorIs(t, err, program.ErrLimit)
	_, err = Of(context.Background(), st, Options{Builds: 1})
	require.ErrorIs(t, err, program.ErrLimit)
	_, err = Of(context.Background(), st, Options{Names: []string{"nowhere"}})
	require.ErrorIs(t, err, program.ErrNoSuchName)
	of := func(inputs, results int) error {
		var s strings.Builder
		s.WriteString("table t\n  row | a\n")
		for i := range inputs {
			fmt.Fprintf(&s, "  r%d | 1 ± 1\n", i)
		}
		s.WriteString("all = sum(t.a)\n")
		for i := range results - 1 {
			fmt.Fprintf(&s, "y%d = t[\"r0\"].a + %d\n", i, i)
		}
		st := worked(t, s.String())
		var slots []int32
		for s := range int32(len(st.Slots)) {
			if st.Slots[s].Kind != program.Given {
				slots = append(slots, s)
			}
		}
		return Refuses(st, slots, Options{Builds: 10})
	}
	require.NoError(t, of(1000, 2000))
	require.ErrorIs(t, of(1001, 2000), program.ErrLimit, "so many slopes")
	require.ErrorIs(t, of(1, 2001), program.ErrLimit, "so many results")
}

// TestQuickselect holds it against sorting.
func TestQuickselect(t *testing.T) {
	for n := 1; n < 60; n++ {
		values := make([]float32, n)
		for i := range values {
			values[i] = float32(math.Floor(10 * streamOf(uint64(n), "", 0).uniform(i)))
		}
		sorted := slices.Sorted(slices.Values(values))
		for k := range n {
			work := slices.Clone(values)
			require.Equal(t, sorted[k], quickselect(work, k))
			require.LessOrEqual(t, slices.Max(work[:k+1]), sorted[k])
			require.GreaterOrEqual(t, slices.Min(work[k:]), sorted[k])
		}
	}
}

// TestFormulasOutsideTheirRange says in how many builds a formula is used outside the range where it is to be trusted.
func TestFormulasOutsideTheirRange(t *testing.T) {
	o := oddsOf(t, `formula drag(speed [m/s]) = speed / 1 [m/s]
  trust speed > 5 [m/s]
speed [m/s] : 5 ± 1
other [m/s] : 9 ± 1
low = drag(speed)
high = drag(other)
both = low + high
`, Options{Builds: 5000, Seed: 1, Names: []string{"both"}})
	require.Equal(t, mostTrusted, o.Looked)
	require.Len(t, o.Outside, 1)
	require.Equal(t, "drag", o.Outside[0].Formula)
	require.Equal(t, []string{"low"}, o.Outside[0].Names)
	near(t, "in half of them", 0.5, o.Outside[0].Share, 0.05)
	require.True(t, o.Outside[0].Now)
}

// TestASafetyWithAMargin says of which checks a safety that holds scatter already is asked.
func TestASafetyWithAMargin(t *testing.T) {
	o := oddsOf(t, `formula safety_for(share) = 1 / (1 - share)
strength : 10 ± 2
load : 5 ± 1
safety = strength / load
wanted = max(1.2, safety_for(0.3))
check strong = safety >= wanted
check holds = strength > load
`, Options{Builds: 1000, Seed: 1})
	require.Len(t, o.Checks, 2)
	require.True(t, o.Checks[0].Margin)
	require.False(t, o.Checks[1].Margin)
}

// TestFirstOrderIsOne: what a check asks for as a spread is what odds print as first order.
func TestFirstOrderIsOne(t *testing.T) {
	st := worked(t, bench)
	for _, name := range []string{"all_up", "place", "tail"} {
		s, err := st.FindSlot(name)
		require.NoError(t, err)
		off := state.FirstOrderOf(st, s)
		require.Empty(t, off.Undeclared)
		o, err := Of(context.Background(), st, Options{Names: []string{name}, Builds: 100})
		require.NoError(t, err)
		first := o.Results[0].First
		unit := o.Results[0].Unit.Factor()
		require.InEpsilon(t, program.Coverage*first.SD*unit, off.Half, 1e-12, name)
		require.InEpsilon(t, first.High-first.Low, 2*off.Half/unit, 1e-9, name)
	}
}

// TestDoubtsOfDifferences: a piece that two states have in common is off by the same in both, and what differs is not.
func TestDoubtsOfDifferences(t *testing.T) {
	sheet := "nose [g] : 160 ± 8\ntail [g] : 42 ± 6 sd\nall_up [g] = nose + tail\n"
	a, b := worked(t, sheet), worked(t, sheet)
	s, err := a.FindSlot("all_up")
	require.NoError(t, err)
	doubt := func() float64 { return Doubts(a, b, []int32{s}, []int32{s})[0] * 1000 }
	require.Zero(t, doubt())
	require.NoError(t, b.SetAll(state.Setting{Name: "tail", Value: "40 g ± 6 sd"})) // another tail
	require.InEpsilon(t, 1.96*6*math.Sqrt2, doubt(), 1e-9)
	require.NoError(t, b.SetAll(state.Setting{Name: "tail", Value: "40 g"})) // which has been weighed
	require.InEpsilon(t, 1.96*6, doubt(), 1e-9)
}

// TestWhatMovesNeitherSideOfACheck: a value that a tenth either way leaves both sides of a comparison as they are needs no
// ±, also where the comparison is in a cell of yes or no that the check reads; one that moves a side does, however far
// from the limit it leaves it.
func TestWhatMovesNeitherSideOfACheck(t *testing.T) {
	o := oddsOf(t, `a [g] : 10 ± 1
least [g] : 3
idle [g] : 8
floor [g] = max(a, least)
both [g] = a > 1 [g] ? a : idle
fine = floor + both < 100 [g]
check still = floor < 100 [g]
check hidden = fine
check moved = a < 3 * idle
`, Options{Builds: 1000, Seed: 1, Names: []string{"still", "hidden", "moved"}})
	require.Empty(t, o.Checks[0].Undeclared)
	require.Empty(t, o.Checks[1].Undeclared)
	require.Len(t, o.Checks[2].Undeclared, 1)
	require.Equal(t, "idle", o.Checks[2].Undeclared[0].Name)
}

// TestASpreadIsNotOfOneBuild says of which checks the answer is the same in all builds.
func TestASpreadIsNotOfOneBuild(t *testing.T) {
	o := oddsOf(t, `a [g] : 10 ± 1
drawn [g] : 2 ± 0.1
check sure = spread(a) < 2 [g]
check mixed = spread(a) < 2 [g] and a > 9.5 [g]
check drawn_limit = spread(a) < drawn
check plain = a > 9.5 [g]
`, Options{Builds: 10_000, Seed: 1})
	for i, want := range []struct {
		spread, only bool
		holds        float64
	}{{true, true, 1}, {true, false, 0.75}, {true, false, 1}, {false, false, 0.75}} {
		c := o.Checks[i]
		require.Equal(t, want.spread, c.Spread, c.Name)
		require.Equal(t, want.only, c.OnlySpread, c.Name)
		near(t, c.Name, want.holds, c.Holds, 0.0044)
		require.Empty(t, c.Undeclared, c.Name)
	}
}

// TestWeights holds the largest share that a value has in any of some results against shares by hand.
func TestWeights(t *testing.T) {
	st := worked(t, `a [g] : 10 ± 3 sd
b [g] : 10 ± 4 sd
c [g] : 10 ±  1 sd ?
idle [g] : 3 ?
known [g] : 3
sum [g] = a + b + known
diff [g] = a - c
`)
	slot := func(name string) int32 {
		s, err := st.FindSlot(name)
		require.NoError(t, err)
		return s
	}
	w := Weights(st, []int32{slot("sum"), slot("diff")})
	require.Len(t, w, 3)
	require.InDelta(t, 9./10, w[slot("a")], 1e-12)
	require.InDelta(t, 16./25, w[slot("b")], 1e-12)
	require.InDelta(t, 1./10, w[slot("c")], 1e-12)
	require.Empty(t, Weights(st, nil))
}

// TestGains: what a weighing takes away is the estimate's part of the variance, by hand, in the result where that is
// most. What is not weighed in the place of something gains nothing, and nor does it where there is no doubt.
func TestGains(t *testing.T) {
	st := worked(t, `glue [%] : 10 ± 2 sd
fin [g] : 10 ± 1 sd
nose [g] : 100 ± 4 sd
fin_weighed [g] :
nose_weighed [g] :
other [g] :
fin_takes [g] = fin_weighed ?? fin
nose_takes [g] = nose_weighed ?? nose
total [g] = (fin_takes + nose_takes) * (1 + glue)
moment [g m] = fin_takes * 50 [m] - nose_takes * 5 [m]
sure [g] = (other ?? 5 [g]) * 2
`)
	slot := func(name string) int32 {
		s, err := st.FindSlot(name)
		require.NoError(t, err)
		return s
	}
	slots := []int32{slot("fin_weighed"), slot("nose_weighed"), slot("other")}
	gains := Gains(st, []int32{slot("total"), slot("moment"), slot("sure")}, slots, []float64{0.01, 0.1, 0.005})
	glue := math.Pow(110*0.02, 2)
	total := glue + math.Pow(1.1, 2)*(1+16)
	moment := 50.*50 + 20*20
	require.InDeltaSlice(t, []float64{50 * 50 / moment, max(1.21*16/total, 20*20/moment), 0}, gains, 1e-9)
	require.Empty(t, Gains(st, nil, slots[:0], nil))
}

// TestUndeclaredOfMany: each of more values than are tried at once moves results by what a tenth of it makes, whichever
// way that is more; a value of 0 by what a tenth of its unit does.
func TestUndeclaredOfMany(t *testing.T) {
	t.Parallel()
	const n = 70
	sheet, total := "drawn [mm] : 5 ± 1\na0 [mm] : 0\n", "total [mm] = drawn + a0"
	for i := 1; i < n; i++ {
		sheet += fmt.Sprintf("a%d [mm] : 10\n", i)
		total += fmt.Sprintf(" + %d * a%d", i+1, i)
	}
	o := oddsOf(t, sheet+"two [mm] = drawn + 2 * a69 + a3\n"+total+"\ninverse [mm] = drawn + 100 [mm^2] / a5\n",
		Options{Builds: 100, Names: []string{"two", "total", "inverse"}})
	movesOf := func(r int) map[string]float64 {
		moves := map[string]float64{}
		for i, u := range o.Results[r].Undeclared {
			moves[u.Name] = u.Moves
			if i > 0 {
				require.LessOrEqual(t, u.Moves, o.Results[r].Undeclared[i-1].Moves)
			}
		}
		require.Len(t, o.Results[r].Undeclared, len(moves), "each of them once")
		return moves
	}
	require.InDeltaMapValues(t, map[string]float64{"a69": 2, "a3": 1}, movesOf(0), 1e-9)
	want := map[string]float64{"a0": 0.1}
	for i := 1; i < n; i++ {
		want[fmt.Sprintf("a%d", i)] = float64(i + 1)
	}
	require.InDeltaMapValues(t, want, movesOf(1), 1e-9)
	require.InDeltaMapValues(t, map[string]float64{"a5": 100./9 - 10}, movesOf(2), 1e-9)
}

// TestResultsThatWaitAreCounted: apart from those that have no result, also where no check is asked for.
func TestResultsThatWaitAreCounted(t *testing.T) {
	t.Parallel()
	o := oddsOf(t, "a : 1 ± 1\nlater :\ny = a < 0.4 ? later : a > 1.5 ? sqrt(0 - a) : a\n", Options{Builds: 20_000, Seed: 3})
	near(t, "waits", 0.2, o.Results[0].Waits, 0.01)
	near(t, "none", 0.25, o.Results[0].None, 0.01)
	require.Equal(t, "this is negative and has no square root", o.Results[0].NoneWhy, "the reason of one that does not wait")
}

// endsSoon is a context that is done after it has been asked so often.
type endsSoon struct {
	context.Context
	left atomic.Int64
}

func (c *endsSoon) Err() error {
	if c.left.Add(-1) < 0 {
		return context.Canceled
	}
	return nil
}

// TestStoppingInTheFirstBatch: what was drawn of it counts, and nothing of those beside it.
func TestStoppingInTheFirstBatch(t *testing.T) {
	t.Parallel()
	st := worked(t, "a : 1 ± 1\ny = 2 * a\n")
	for asked, builds := range map[int64]int{0: 0, 1: 0, 3: 2 * machine.Width} {
		ctx := &endsSoon{Context: context.Background()}
		ctx.left.Store(asked)
		q, err := ask(st, nil)
		require.NoError(t, err)
		p, err := q.plan(Options{})
		require.NoError(t, err)
		p.cores = 1
		o, err := q.work(ctx, Options{}, p)
		require.NoError(t, err)
		require.True(t, o.Stopped)
		require.False(t, o.Steady)
		require.Equal(t, builds, o.Builds)
	}
}

func TestStripOfTwo(t *testing.T) {
	t.Parallel()
	s := stripOf([]float32{3, 1}, scale{at: 10, by: 2}, units.Unit{})
	require.Equal(t, [2]float64{12, 16}, [2]float64{s.From, s.To})
	require.Equal(t, 0.5, s.Shares[0])
	require.Equal(t, 0.5, s.Shares[stripParts-1])
	require.True(t, math.IsNaN(stripOf([]float32{3}, scale{}, units.Unit{}).From))
}

// TestACurveHasAShare: what makes nothing of a result to first order has the share that it was measured to have, also
// where first order tells the range: b³ of a normal b has a variance of 15.
func TestACurveHasAShare(t *testing.T) {
	t.Parallel()
	o := oddsOf(t, "a : 0 ± 100 sd\nb : 0 ± 1 sd\ny = a + 7 * b * b * b\n", Options{Builds: 40_000, Seed: 1})
	r := o.Results[0]
	require.True(t, r.Remark.FirstOrderHolds())
	require.Len(t, r.Shares, 2)
	require.Equal(t, "b", r.Shares[1].Name)
	near(t, "share of b", 735./10735, r.Shares[1].Share, 0.02)
}

// TestTextsHaveNoRange: they are named, and nothing is drawn for them.
func TestTextsHaveNoRange(t *testing.T) {
	t.Parallel()
	o := oddsOf(t, "a : 1 ± 1\nwood : \"balsa\"\n", Options{Builds: 100, Names: []string{"wood"}})
	require.Equal(t, []string{"wood"}, o.Texts)
	require.Empty(t, o.Results)
	require.Empty(t, o.Checks)
	require.Zero(t, o.Builds)
}

// TestWhatWaitsIsAskedAsOftenAsItTakes: of the first forty builds without a value, and of the others where not all of
// these were alike.
func TestWhatWaitsIsAskedAsOftenAsItTakes(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		waits func(k int) bool // the build number k that is asked
		asked int
		want  without
	}{
		{func(int) bool { return true }, 40, without{waits: 100}},
		{func(int) bool { return false }, 40, without{none: 100}},
		{func(k int) bool { return k != 7 && k < 80 }, 100, without{waits: 79, none: 21}},
		{func(k int) bool { return k == 7 || k >= 80 }, 100, without{waits: 21, none: 79}},
		{func(k int) bool { return k < 39 }, 100, without{waits: 39, none: 61}},
	} {
		var w without
		asked := 0
		for k := range 100 {
			w.add(func() bool { asked++; return tt.waits(k) })
		}
		require.Equal(t, tt.asked, asked)
		require.Equal(t, tt.want, w)
	}
}

// TestRanksOfARange: the range that holds 95 of 100 values, with as many of the others below it as above (JCGM 101:2008,
// 7.7.2): its ends are counted in halves rounded up.
func TestRanksOfARange(t *testing.T) {
	t.Parallel()
	for n, want := range map[int][2]float64{1: {1, 1}, 2: {1, 2}, 20: {1, 20}, 100: {3, 98}, 110: {3, 108}, 1000: {25, 975}} {
		values := make([]float32, n)
		for i := range values {
			values[i] = float32(n - i)
		}
		s := summarize(values)
		require.Equal(t, want, [2]float64{s.low, s.high}, "of %d", n)
		require.Equal(t, float64(n+1)/2, s.mean)
	}
}

// TestNormalSpreadsCross0: of a value two standard deviations from 0, 1 - 0.97725 (the standard normal distribution as
// tables have it); limits never do, and 0 itself has no other side.
func TestNormalSpreadsCross0(t *testing.T) {
	t.Parallel()
	o := oddsOf(t, "a : 2 ± 1 sd\nb : -1.96 ± 1.96 normal\nc : 1 ± 2\nd : 0 ± 1 sd\ny = a + b + c + d\n", Options{Builds: 100})
	var crosses []float64
	for _, d := range o.Drawn {
		crosses = append(crosses, d.Crosses)
	}
	require.InDeltaSlice(t, []float64{0.02275, 0.0250, 0, 0}, crosses, 5e-6)
}

// TestSharesOfWhatBearsOnNothing: chance makes a share of neither more than noise nor less than nothing, and what bears on
// a result by its square alone makes all of it.
func TestSharesOfWhatBearsOnNothing(t *testing.T) {
	t.Parallel()
	for seed := range uint64(20) {
		in := input{value: 5, spread: program.Tolerance{Half: 1}, stream: streamOf(seed, "a", 5)}
		var c column
		c.draw(&in, 2000)
		values := make([]float32, 2000)
		for k := range values {
			values[k] = float32(streamOf(seed, "b", 7).uniform(k))
		}
		share, noise := c.measure(values)
		require.GreaterOrEqual(t, share, 0.0)
		require.Less(t, share, noise)
	}
	o := oddsOf(t, "b : 0 ± 1\ny = b * b\n", Options{Builds: 5000})
	require.Len(t, o.Results[0].Shares, 1)
	require.Equal(t, 1.0, math.Round(100*o.Results[0].Shares[0].Share)/100)
	require.Empty(t, oddsOf(t, "b : 0 ± 1\ny = 3 + 0 * b\n", Options{Builds: 500}).Results[0].Shares)
}

// TestWholeNumbersAreDrawnWhole: also where their spread has no limits.
func TestWholeNumbersAreDrawnWhole(t *testing.T) {
	t.Parallel()
	for _, kind := range []program.Spread{program.Rectangular, program.Normal1, program.Normal95} {
		in := input{value: 7, spread: program.Tolerance{Half: 2, Kind: kind, Whole: true}, stream: streamOf(1, "n", 7)}
		draws, seen := make([]float64, 500), map[float64]bool{}
		in.fill(draws, 0)
		for _, x := range draws {
			require.Equal(t, math.Round(x), x)
			seen[x] = true
		}
		require.Greater(t, len(seen), 4)
	}
}
