package machine

import (
	"math"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestTheLargerOneDecides: two numbers are equal when they differ by no more than the tolerance of the larger one,
// which here is just enough, or to the last bit that much, where that of the smaller one is not.
func TestTheLargerOneDecides(t *testing.T) {
	off := 5000 * math.Exp2(-52)
	smaller := off / Tolerance
	for Tolerance*smaller >= off {
		smaller = math.Nextafter(smaller, 0)
	}
	exactly := off / Tolerance
	for Tolerance*exactly < off {
		exactly = math.Nextafter(exactly, 2)
	}
	require.Equal(t, off, Tolerance*exactly)
	for _, pair := range [][2]float64{{smaller, smaller + off}, {exactly - off, exactly}} {
		a, b := pair[0], pair[1]
		require.Equal(t, off, b-a)
		require.Greater(t, off, Tolerance*a)
		require.LessOrEqual(t, off, Tolerance*b)
		for _, sign := range []float64{1, -1} {
			for _, p := range [][2]float64{{sign * a, sign * b}, {sign * b, sign * a}} {
				for op, want := range map[Op]float64{Equal: 1, NotEqual: 0, Less: 0, LessEq: 1} {
					assert.Equal(t, want, Compare(op, p[0], p[1]), "%v %s %v", p[0], op, p[1])
					regs := []float64{p[0], p[1], 7}
					(&Machine{Regs: regs}).Run([]Instr{{Op: op, D: 2, A: 0, B: 1}}, 0)
					assert.Equal(t, want, regs[2], "%v %s %v", p[0], op, p[1])
				}
			}
		}
	}
}

// TestDivisorsOfAllSizes: only 0, infinities and what is not known are no divisors; the least and the largest numbers
// are.
func TestDivisorsOfAllSizes(t *testing.T) {
	for _, b := range []float64{
		math.SmallestNonzeroFloat64, -math.SmallestNonzeroFloat64, math.MaxFloat64, -math.MaxFloat64, 1,
		2 * math.SmallestNonzeroFloat64, 0x1p-1022, 0x1p1023,
	} {
		assert.Equal(t, 0/b, divide(0, b), "%v", b)
		assert.Equal(t, math.MaxFloat64/b, divide(math.MaxFloat64, b), "%v", b)
	}
	for _, b := range []float64{0, math.Copysign(0, -1), math.Inf(1), math.Inf(-1), math.NaN()} {
		assert.True(t, math.IsNaN(divide(1, b)), "%v", b)
	}
}

// TestStopped: a machine that has been stopped runs nothing more, and one that has not runs to the end.
func TestStopped(t *testing.T) {
	code := []Instr{{Op: Move, D: 1, A: 0}, {Op: Pow, D: 2, A: 0, B: 0}, {Op: Move, D: 3, A: 0}}
	for _, stopped := range []bool{false, true} {
		var stop atomic.Bool
		stop.Store(stopped)
		m := Machine{Regs: []float64{2, 0, 0, 0}, Stop: &stop}
		m.Run(code, 0)
		if stopped {
			assert.Equal(t, []float64{2, 0, 0, 0}, m.Regs)
		} else {
			assert.Equal(t, []float64{2, 2, 4, 2}, m.Regs)
		}
	}
}
