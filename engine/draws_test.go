package engine

import (
	"flag"
	"math"
	"math/rand/v2"
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

// requireSameDraw wants the same number, bit for bit, or none in both. A text that was joined has another number in each.
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
		sheets = min(sheets, 150)
	}
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
				}
			}
		}
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
