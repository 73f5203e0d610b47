package engine

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/explain"
	"gusset/engine/program"
	"gusset/engine/state"
)

// drawable returns the given slots of a state that can be drawn.
func drawable(st *state.State) (slots []int32) {
	for s := range st.Slots {
		if _, err := state.NewDraws(st, []int32{int32(s)}, nil); err == nil {
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
	rnd := rand.New(rand.NewPCG(61, 62))
	found := 0
	for range rounds(300, 40) {
		sheet := newWideSheet(rnd, rnd.IntN(4) == 0).text()
		m := load(t, sheet)
		inputs, outputs := someOf(rnd, drawable(m.st), 1+rnd.IntN(6)), allSlots(m.st)
		d, err := state.NewDraws(m.st, inputs, outputs)
		require.NoError(t, err)
		lanes := 3
		for i, s := range inputs {
			for lane := range lanes {
				d.Input(i)[lane] = drawn(rnd, m.st, s)
			}
		}
		d.Run(lanes)
		for lane := range lanes {
			f := m.Fork()
			for i, s := range inputs {
				f.st.Assign(s, d.Input(i)[lane])
			}
			for j, s := range outputs {
				want, got := f.st.Mach.Regs[s], d.Output(j)[lane]
				if !program.IsNumber(want) {
					require.True(t, math.IsNaN(got), "%s is %v in\n%s", m.st.SlotName(s), got, sheet)
					require.Equal(t, explain.Reasons(f.st).Waits(s), d.Waits(j, lane), "%s waits in\n%s", m.st.SlotName(s), sheet)
					continue
				}
				found++
				if m.st.SlotType(s).Kind == program.Text { // the same text may have another number
					continue
				}
				require.Equal(t, math.Float64bits(want), math.Float64bits(got), "%s in\n%s", m.st.SlotName(s), sheet)
			}
		}
	}
	assert.Greater(t, found, 10_000)
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
