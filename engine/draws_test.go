package engine

import (
	"context"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/explain"
	"gusset/engine/oracle"
	"gusset/engine/program"
	"gusset/engine/state"
)

// drawable returns the given slots of a state that can be drawn.
func drawable(st *state.State) (slots []int32) {
	for s := range st.Slots {
		if _, err := state.NewDrawsAlone(st, []int32{int32(s)}, nil); err == nil {
			slots = append(slots, int32(s))
		}
	}
	return slots
}

// drawn makes a value that a given slot may hold: what it holds already, something near it, or something else.
func drawn(rnd *rand.Rand, st *state.State, s int32) float64 {
	was := st.Mach.Regs[s]
	switch st.SlotType(s).Kind {
	case program.Boolean:
		return float64(rnd.IntN(2))
	case program.Text:
		if rnd.IntN(2) == 0 {
			return float64(rnd.IntN(int(st.Program.Texts.Len())))
		}
		return was
	}
	switch rnd.IntN(8) {
	case 0:
		return was
	case 1:
		return math.NaN()
	case 2:
		return float64(rnd.IntN(9) - 4)
	}
	if !program.IsNumber(was) {
		was = 1
	}
	return was * (1 + (rnd.Float64()-0.5)*[]float64{1e-13, 0.01, 1, 6}[rnd.IntN(4)])
}

// someOf picks some of many.
func someOf(rnd *rand.Rand, all []int32, n int) (some []int32) {
	for _, i := range rnd.Perm(len(all))[:min(n, len(all))] {
		some = append(some, all[i])
	}
	return some
}

// allSlots returns every slot of a state.
func allSlots(st *state.State) (slots []int32) {
	for s := range st.Slots {
		slots = append(slots, int32(s))
	}
	return slots
}

// TestDrawsAreSettings: a draw comes to what the sheet does when its values are set one after the other.
func TestDrawsAreSettings(t *testing.T) {
	t.Parallel()
	found := 0
	for k := range rounds(200, 30) {
		rnd := rand.New(rand.NewPCG(uint64(k), 61))
		m := load(t, oracle.NewWideSheet(rnd, rnd.IntN(4) == 0).Text())
		inputs, outputs := someOf(rnd, drawable(m.st), 1+rnd.IntN(6)), allSlots(m.st)
		d, err := state.NewDraws(m.st, inputs, outputs)
		require.NoError(t, err)
		lanes := 3
		drawAll(rnd, m.st, d, inputs, lanes)
		d.Run(lanes)
		for lane := range lanes {
			f := m.Fork()
			for i, s := range inputs {
				f.st.Assign(s, d.Input(i)[lane])
			}
			waits := explain.Reasons(f.st)
			for j, s := range outputs {
				want := f.st.Mach.Regs[s]
				if program.IsNumber(want) {
					found++
				}
				requireSameDraw(t, m, s, want, d.Output(j)[lane], k)
				require.Equal(t, !program.IsNumber(want) && waits.Waits(s), d.Waits(j, lane), "%s waits, sheet %d",
					m.st.SlotName(s), k)
			}
		}
	}
	assert.Greater(t, found, 5000)
}

// drawAll fills in the first draws of the inputs.
func drawAll(rnd *rand.Rand, st *state.State, d *state.Draws, inputs []int32, lanes int) {
	for i, s := range inputs {
		for lane := range lanes {
			d.Input(i)[lane] = drawn(rnd, st, s)
		}
	}
}

// requireSameDraw wants the same number, bit for bit, or none in both. A text that was joined has another number in
// each.
func requireSameDraw(t *testing.T, m *Model, s int32, want, got float64, sheet int) {
	t.Helper()
	switch {
	case !program.IsNumber(want):
		require.True(t, math.IsNaN(got), "%s is %v, sheet %d:\n%s", m.st.SlotName(s), got, sheet, m.st.Root.Src.Text())
	case m.st.SlotType(s).Kind == program.Text && want >= float64(m.st.Program.Texts.Len()):
		require.GreaterOrEqual(t, got, float64(m.st.Program.Texts.Len()))
	default:
		require.Equal(t, math.Float64bits(want), math.Float64bits(got), "%s is %v, not %v, sheet %d:\n%s",
			m.st.SlotName(s), got, want, sheet, m.st.Root.Src.Text())
	}
}

var (
	drawnSheets = flag.Int("drawn", 2000, "of how many random sheets draws are worked out at once and alone")
	firstDrawn  = flag.Int("firstdrawn", 0, "the number of the first of them")
)

// TestLanesAreDrawsAlone: many draws at once come to the same, bit for bit, as each alone.
func TestLanesAreDrawsAlone(t *testing.T) {
	t.Parallel()
	sheets := *drawnSheets
	if testing.Short() {
		sheets = min(sheets, 60)
	}
	atOnce := 0
	for k := range sheets {
		k += *firstDrawn
		rnd := rand.New(rand.NewPCG(uint64(k), 63))
		m := load(t, oracle.NewWideSheet(rnd, rnd.IntN(4) == 0).Text())
		require.NoError(t, m.UseVariant([]string{"", "", "one", "three"}[k%4]))
		inputs, outputs := someOf(rnd, drawable(m.st), 1+rnd.IntN(12)), allSlots(m.st)
		if rnd.IntN(2) == 0 { // what is not looked at is not worked out
			outputs = someOf(rnd, outputs, 10)
		}
		d, err := state.NewDraws(m.st, inputs, outputs)
		require.NoError(t, err)
		alone, err := state.NewDrawsAlone(m.st, inputs, outputs)
		require.NoError(t, err)
		require.False(t, alone.AtOnce())
		if d.AtOnce() {
			atOnce++
		}
		for range 2 {
			n := 1 + rnd.IntN(d.Width())
			drawAll(rnd, m.st, d, inputs, n)
			for i := range inputs {
				copy(alone.Input(i), d.Input(i))
			}
			d.Run(n)
			alone.Run(n)
			for j, s := range outputs {
				for lane := range n {
					requireSameDraw(t, m, s, alone.Output(j)[lane], d.Output(j)[lane], k)
					if lane < 2 {
						require.Equal(t, alone.Waits(j, lane), d.Waits(j, lane), "whether %s waits, sheet %d:\n%s",
							m.st.SlotName(s), k, m.st.Root.Src.Text())
					}
				}
			}
		}
	}
	assert.Greater(t, atOnce, sheets*8/10)
}

// drawnTray has what draws share by mistake most easily: texts that are joined, searches of all kinds, folds of all
// values.
const drawnTray = `
size [one of stock] : "light"
battery [oz] : 6
chord [in] : 8
rough : yes
label = size + "/" + (battery > 6 [oz] ? "heavy" : size)
table stock
  stock | thickness [in] | left
  light | 1/16 | 3
  heavy | 3/32 | 1
depth [in] = 2 * stock[size].thickness + (rough ? 1/64 [in] : 0 [in])
table parts
  part | station [in] | weight [oz]
  wing | 4 | 4
  tail | 28 | 1
  battery | = at | = battery
  moment [oz in] = weight * station
all_up [oz] = sum(parts.weight)
cg [in] = sum(parts.moment) / all_up
adjust at [in] from -40 to 10 so cg = 30 [%] * chord
adjust root from 0 to 10 so root * root * root = all_up / 1 [oz] + root
middle [oz] = median(parts.weight)
check light = all_up < 11 [oz] and label != "heavy/heavy"
`

// TestDrawsSideBySide runs forks of draws in several goroutines: each comes to what draws alone do. Run it with the
// race detector too.
func TestDrawsSideBySide(t *testing.T) {
	m := loadText(t, drawnTray)
	var inputs []int32
	for _, name := range []string{"size", "battery", "chord", "rough", `parts["tail"].weight`, `stock["light"].thickness`} {
		inputs = append(inputs, slot(t, m, name))
	}
	outputs := allSlots(m.st)
	d, err := state.NewDraws(m.st, inputs, outputs)
	require.NoError(t, err)
	require.True(t, d.AtOnce())
	alone, err := state.NewDrawsAlone(m.st, inputs, outputs)
	require.NoError(t, err)
	stock := []float64{d.Input(0)[0], m.st.Mach.Regs[slot(t, m, `stock["heavy"].stock`)]}
	fill := func(d *state.Draws, seed int) {
		rnd := rand.New(rand.NewPCG(uint64(seed), 9))
		for lane := range d.Width() {
			d.Input(0)[lane], d.Input(3)[lane] = stock[rnd.IntN(2)], float64(rnd.IntN(2))
			for _, i := range []int{1, 2, 4, 5} {
				d.Input(i)[lane] = m.st.Mach.Regs[inputs[i]] * (0.5 + rnd.Float64())
			}
		}
	}
	const forks = 6
	var all [forks][][]float64
	var users sync.WaitGroup
	for k := range forks {
		f := d.Fork()
		users.Go(func() {
			for round := range 4 {
				fill(f, 10*k+round)
				f.Run(f.Width())
				for j := range outputs {
					all[k] = append(all[k], slices.Clone(f.Output(j)))
				}
			}
		})
	}
	users.Wait()
	for k := range forks {
		for round := range 4 {
			fill(alone, 10*k+round)
			alone.Run(alone.Width())
			for j, s := range outputs {
				for lane, want := range alone.Output(j) {
					requireSameDraw(t, m, s, want, all[k][round*len(outputs)+j][lane], k)
				}
			}
		}
	}
}

// TestDrawsAllocateNothing: neither of what is drawn nor of what is searched for.
func TestDrawsAllocateNothing(t *testing.T) {
	m := loadText(t, drawnTray)
	inputs := []int32{slot(t, m, "battery"), slot(t, m, "chord")}
	d, err := state.NewDraws(m.st, inputs, []int32{slot(t, m, "at"), slot(t, m, "cg"), slot(t, m, "root"), slot(t, m, "middle")})
	require.NoError(t, err)
	rnd := rand.NewPCG(1, 2)
	d.Run(d.Width())
	assert.Zero(t, testing.AllocsPerRun(20, func() {
		for lane := range d.Width() {
			d.Input(0)[lane] = evenly(rnd, 0.17)
		}
		d.Run(d.Width())
	}))
}

// TestDrawsStop: draws of a state whose context is done are not worked out any more.
func TestDrawsStop(t *testing.T) {
	m := loadText(t, drawnTray)
	ctx, cancel := context.WithCancel(t.Context())
	f := m.ForkContext(ctx)
	inputs, outputs := []int32{slot(t, m, "battery")}, []int32{slot(t, m, "all_up"), slot(t, m, "at")}
	d, err := state.NewDraws(f.st, inputs, outputs)
	require.NoError(t, err)
	alone, err := state.NewDrawsAlone(f.st, inputs, outputs)
	require.NoError(t, err)
	weight, by := d.Input(0)[0], 1.01
	works := func(d *state.Draws) bool {
		was := d.Output(0)[0]
		d.Input(0)[0], by = weight*by, 1/by // there and back, since it may take a while until all hear of it
		d.Run(1)
		return was != d.Output(0)[0]
	}
	require.True(t, works(d))
	require.True(t, works(alone))
	cancel()
	for works(d) || works(alone) {
		runtime.Gosched()
	}
}

// TestDrawsOfLargeTexts joins texts in each draw for which there is room, but none for those of all draws together.
func TestDrawsOfLargeTexts(t *testing.T) {
	var b strings.Builder
	b.WriteString("which [one of names] : \"n0\"\ntable names\n  n | k\n")
	for i := range 90 {
		fmt.Fprintf(&b, "  n%d | %d\n", i, i)
	}
	long := strings.Repeat("long ", 400)
	b.WriteString("table t\n  n | k\n")
	for i := range 400 {
		fmt.Fprintf(&b, "  r%d | %d\n", i, i)
	}
	fmt.Fprintf(&b, "  joined = n + which + %q\n", long)
	b.WriteString("end = count(t, .joined == \"no\") + (last(t.joined) == first(t.joined) ? 1 : 2)\n")
	m := loadText(t, b.String())
	d, err := state.NewDraws(m.st, []int32{slot(t, m, "which")}, []int32{slot(t, m, "end")})
	require.NoError(t, err)
	for lane := range d.Width() {
		n, known := m.st.Texts.Find(fmt.Sprintf("n%d", lane))
		require.True(t, known)
		d.Input(0)[lane] = float64(n)
	}
	d.Run(d.Width())
	for lane, v := range d.Output(0) {
		require.Equal(t, 2.0, v, "draw %d", lane)
	}
}

// TestDrawsThatWaitForAColumn: what is searched for waits where its goal does, however it came to that: here a row of a
// column that is the same in every draw has no weight yet.
func TestDrawsThatWaitForAColumn(t *testing.T) {
	t.Parallel()
	m := load(t, `
target [g] : 20
table parts
  part | weight [g]
  wing |
  tail | 3
total [g] = shot * 1 [g] + sum(parts.weight)
adjust shot from 0 to 10 so total = target
twice = 2 * shot
`)
	outputs := []int32{slot(t, m, "shot"), slot(t, m, "twice"), slot(t, m, "total")}
	d, err := state.NewDraws(m.st, []int32{slot(t, m, "target")}, outputs)
	require.NoError(t, err)
	require.True(t, d.AtOnce())
	d.Input(0)[0] = 0.01
	d.Run(1)
	for j := range outputs {
		assert.True(t, math.IsNaN(d.Output(j)[0]))
		assert.True(t, d.Waits(j, 0), "output %d", j)
	}
}

func TestWhatCannotBeDrawn(t *testing.T) {
	m := load(t, "a : 3\nb = a * 2\nc [q] : 4\nd :\n")
	for name, kind := range map[string]program.ErrorKind{
		"b": program.ErrNotGiven, "c": program.ErrWrongKind, "d": program.ErrWrongKind,
	} {
		s, err := m.st.FindSlot(name)
		require.NoError(t, err)
		_, err = state.NewDraws(m.st, []int32{s}, nil)
		assert.Equal(t, kind, program.KindOf(err), name)
	}
}

// TestDrawsTooLarge: what is too large has no value in a draw, whichever way it is worked out; and a fork begins with
// what has been filled in.
func TestDrawsTooLarge(t *testing.T) {
	t.Parallel()
	m := loadText(t, "a : 3\nb = a * a\n")
	inputs, outputs := []int32{slot(t, m, "a")}, []int32{slot(t, m, "b")}
	for _, of := range []func(*state.State, []int32, []int32) (*state.Draws, error){
		state.NewDraws, state.NewDrawsUncut, state.NewDrawsAlone,
	} {
		d, err := of(m.st, inputs, outputs)
		require.NoError(t, err)
		assert.InDelta(t, 3, d.Input(0)[d.Width()-1], 0)
		d.Input(0)[0] = 1e200
		f := d.Fork()
		for _, d := range []*state.Draws{d, f} {
			d.Run(2)
			assert.True(t, math.IsNaN(d.Output(0)[0]))
			assert.InDelta(t, 9, d.Output(0)[1], 0)
		}
	}
}

// TestDrawsUncut: draws that lay no pieces out keep the count of sheets and what it costs, and follow in all else.
func TestDrawsUncut(t *testing.T) {
	m := loadText(t, `table parts
  part | pieces | long [in] | wide [in]
  rib  | 4      | 8         | 3
  spar | 1      | 30        | 3
sheets = stock_needed(parts, .pieces, .long, .wide, 36 [in], 3 [in])
cost   = sheets * 2
length [in] = sum(parts.pieces * parts.long)
`)
	inputs := []int32{slot(t, m, `parts["rib"].long`)}
	outputs := []int32{slot(t, m, "sheets"), slot(t, m, "cost"), slot(t, m, "length")}
	drawn := func(of func(*state.State, []int32, []int32) (*state.Draws, error)) (numbers [3]float64) {
		d, err := of(m.st, inputs, outputs)
		require.NoError(t, err)
		require.True(t, d.AtOnce())
		d.Input(0)[0] = 20 * 0.0254
		d.Run(1)
		for j := range outputs {
			numbers[j] = d.Output(j)[0]
		}
		return numbers
	}
	length := (4*20 + 30) * 0.0254
	require.Equal(t, [2]float64{2, 4}, [2]float64{m.st.Mach.Regs[outputs[0]], m.st.Mach.Regs[outputs[1]]})
	again, kept := drawn(state.NewDraws), drawn(state.NewDrawsUncut)
	assert.InDeltaSlice(t, []float64{5, 10, length}, again[:], 1e-12)
	assert.InDeltaSlice(t, []float64{2, 4, length}, kept[:], 1e-12)
	tried := state.Try(m.st, inputs, []float64{20 * 0.0254})
	assert.InDelta(t, 2, tried.Mach.Regs[outputs[0]], 0)
	assert.InDelta(t, length, tried.Mach.Regs[outputs[2]], 1e-12)
}

// TestDrawsOfCuts: what is cut is laid out draw by draw, with all that the pieces are worked out from: single values,
// columns, rows looked up, and conditions.
func TestDrawsOfCuts(t *testing.T) {
	for _, cut := range []string{
		"stock_needed(parts, 1, sum(parts.high), 1 [in], 36 [in], 1 [in])",
		"stock_needed(parts, .n, parts[key].high, 1 [in], 36 [in], 3 [in])",
		"stock_needed(parts, .n, .high + long, 1 [in], 36 [in], 3 [in])",
		"stock_needed(filter(parts, .high > long), .n, 9 [in], 1 [in], 36 [in], 3 [in])",
	} {
		m := load(t, `
long [in] : 10
key : "b"
table parts
  part | high [in] | n
  a    | 3         | 1
  b    | 5         | 2
  c    | 4         | 3
y = `+cut+"\n")
		slot := func(name string) int32 {
			s, err := m.st.FindSlot(name)
			require.NoError(t, err)
			return s
		}
		inputs := []int32{slot("long"), slot(`parts["a"].high`), slot(`parts["b"].high`), slot(`parts["c"].high`)}
		y := slot("y")
		d, err := state.NewDraws(m.st, inputs, []int32{y})
		require.NoError(t, err)
		draws := [][]float64{{10, 3, 5, 4}, {2, 3, 5, 4}, {3.5, 3, 5, 4}, {30, 9, 13, 9}, {4, 1, 20, 3}, {8, 2, 2, 17}}
		in, seen := m.st.SlotShow(inputs[0]).Unit, map[float64]bool{}
		for lane, x := range draws {
			for i := range inputs {
				d.Input(i)[lane] = in.ToSI(x[i])
			}
		}
		d.Run(len(draws))
		for lane, x := range draws {
			f := m.Fork()
			for i, s := range inputs {
				f.st.Assign(s, in.ToSI(x[i]))
			}
			requireSameDraw(t, m, y, f.st.Mach.Regs[y], d.Output(0)[lane], lane)
			seen[d.Output(0)[lane]] = true
		}
		assert.Greater(t, len(seen), 1, "%s: or it would say little", cut)
	}
}

// TestDrawsThatAskInTheirFolds: a fold that is worked out draw by draw asks why a value is not there, which is another
// thing in each draw.
func TestDrawsThatAskInTheirFolds(t *testing.T) {
	t.Parallel()
	m := loadText(t, `
by : 2
spare [in] : 7
table parts
  part | long [in] | n
  a    | 3         | 1
  b    | 5         | 4
  cut [in] = long / by
y = stock_needed(parts, .n, .cut ?? spare, 3 [in], 36 [in], 3 [in])
`)
	inputs, outputs := []int32{slot(t, m, "by")}, []int32{slot(t, m, "y")}
	d, err := state.NewDraws(m.st, inputs, outputs)
	require.NoError(t, err)
	for lane, by := range []float64{2, math.NaN(), 0, 0.3} {
		d.Input(0)[lane] = by
	}
	d.Run(4)
	got := d.Output(0)[:4]
	assert.Equal(t, []float64{1, 1, 3}, []float64{got[0], got[1], got[3]}, "by hand: 11.5, 35 and 76.7 in of 36")
	assert.True(t, math.IsNaN(got[2]), "a length over 0 is not one that is not given")
}

// TestDrawsOfSearchesWithEdges: beyond some value, which is another in each draw, there is nothing to be worked out, on one
// side or on both, and what is searched for is found all the same, as in each draw alone.
func TestDrawsOfSearchesWithEdges(t *testing.T) {
	t.Parallel()
	m := load(t, `a : 3
adjust x from 0 to 10 so sqrt(x - a) = 1 / x
adjust y from 0 to 10 so sqrt(y - a) + sqrt(a + 4 - y) = 2 + y / 100
adjust z from 0 to 10 so sqrt(a - z) * z = a / 4 + z * z * z / 9
`)
	inputs := []int32{slot(t, m, "a")}
	outputs := []int32{slot(t, m, "x"), slot(t, m, "y"), slot(t, m, "z")}
	d, err := state.NewDraws(m.st, inputs, outputs)
	require.NoError(t, err)
	require.True(t, d.AtOnce())
	alone, err := state.NewDrawsAlone(m.st, inputs, outputs)
	require.NoError(t, err)
	for lane := range d.Width() {
		d.Input(0)[lane] = float64(lane) / 7
		alone.Input(0)[lane] = float64(lane) / 7
	}
	d.Run(d.Width())
	alone.Run(d.Width())
	found := 0
	for j, s := range outputs {
		for lane, want := range alone.Output(j) {
			requireSameDraw(t, m, s, want, d.Output(j)[lane], lane)
			if !math.IsNaN(want) {
				found++
			}
		}
	}
	assert.Greater(t, found, d.Width())
}

// TestDrawsAskInTheMiddle: a median is worked out draw by draw in the middle of the others; where one of its values asks
// what waits, that draw is worked out by itself.
func TestDrawsAskInTheMiddle(t *testing.T) {
	t.Parallel()
	m := loadText(t, "a : 4\nq = sqrt(a)\ntable t\n  row | v\n  x | 1\n  y | 3\n  z | 7\nmid = median(map(t, q ?? .v))\n")
	d, err := state.NewDraws(m.st, []int32{slot(t, m, "a")}, []int32{slot(t, m, "mid")})
	require.NoError(t, err)
	require.True(t, d.AtOnce())
	copy(d.Input(0), []float64{4, math.NaN(), -1, 25})
	d.Run(4)
	out := d.Output(0)[:4]
	assert.True(t, math.IsNaN(out[2]), "it has no result, and is not replaced")
	assert.Equal(t, []float64{2, 3, 5}, []float64{out[0], out[1], out[3]})
}

// TestATrialKeepsSpreads: how far a value may be off is not asked again for one draw, as it is not where many are drawn
// at once.
func TestATrialKeepsSpreads(t *testing.T) {
	m := load(t, "a [in] : 10 ± 1\nn : 3 ± 0.01\nlong [in] = a * n\ncheck sure = spread(long) < 2 [in]\n")
	tried := state.Try(m.st, []int32{slot(t, m, "n")}, []float64{1})
	assert.InDelta(t, 10*0.0254, tried.Mach.Regs[slot(t, m, "long")], 1e-12)
	assert.InDelta(t, 0, tried.Mach.Regs[slot(t, m, "sure")], 0, "3 times 1.1 in or so, as it stands")
	for s := range m.st.Spreads {
		assert.InDelta(t, m.st.Mach.Regs[s], tried.Mach.Regs[s], 0)
	}
}
