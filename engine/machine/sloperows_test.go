package machine

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// dense is a slope written out, both sides.
type dense [2][200]float64

func denseOf(r *rows, p slope) (d dense) {
	last := int32(-1)
	for _, a := range r.all[p.row] {
		if a.In <= last || a.Up == 0 && a.Down == 0 {
			panic("a row that is not in order, or has what is 0")
		}
		d[0][a.In], d[1][a.In] = p.k*a.Up, p.k*a.Down
		last = a.In
	}
	return d
}

// TestRowsAreDenseSlopes adds, multiplies and gives up rows at random, and does the same with slopes written out. There
// are so many that several blocks are needed.
func TestRowsAreDenseSlopes(t *testing.T) {
	t.Parallel()
	for seed := range uint64(8) {
		rnd := rand.New(rand.NewPCG(seed, 5))
		var r rows
		r.begin()
		slopes, want := []slope{{}}, []dense{{}}
		add := func(p slope, d dense) {
			slopes, want = append(slopes, p), append(want, d)
		}
		var m mark
		kept := 0 // how many slopes there were at the mark
		for range 300 {
			of := func() int { // mostly one of the last
				return max(0, len(slopes)-1-rnd.IntN(1+rnd.IntN(len(slopes))))
			}
			i, j := of(), of()
			p, q, a, b := slopes[i], slopes[j], want[i], want[j]
			k, l := float64(rnd.IntN(9)-4)/2, float64(rnd.IntN(9)-4)/2
			switch rnd.IntN(6) {
			case 0:
				to, n, d := r.room(len(a[0])), 0, dense{}
				for in := range a[0] {
					if rnd.IntN(3) == 0 {
						d[0][in], d[1][in] = float64(rnd.IntN(7)+1), float64(rnd.IntN(3))
						to[n] = Partial{int32(in), d[0][in], d[1][in]}
						n++
					}
				}
				add(r.made(n), d)
			case 1:
				var d dense
				for side := range d {
					for in := range d[side] {
						d[side][in] = k*a[side][in] + l*b[side][in]
					}
				}
				add(r.weighted(k, p, l, q), d)
			case 2:
				r.add(p)
				r.add(q)
				r.add(p)
				var d dense
				for side := range d {
					for in := range d[side] {
						d[side][in] = 2*a[side][in] + b[side][in]
					}
				}
				add(r.total(), d)
			case 3:
				var d dense
				for side := range d {
					for in := range d[side] {
						d[side][in] = max(a[side][in], b[side][in]) * float64(1-2*side)
					}
				}
				add(r.zip(p, q, func(side, a, b float64) float64 { return max(a, b) * side }), d)
			case 4:
				m, kept = r.mark(), len(slopes)
			case 5:
				if kept == 0 {
					continue
				}
				p, q = r.release(m, p, q)
				slopes, want = slopes[:kept], want[:kept]
				add(p, a)
				add(q, b)
				m, kept = r.mark(), len(slopes)
			}
			for i, p := range slopes {
				if p.row != 0 && want[i] == (dense{}) {
					require.Fail(t, "a row of what is 0", "seed %d, slope %d", seed, i)
				}
				if want[i] != denseOf(&r, p) {
					require.Equal(t, want[i], denseOf(&r, p), "seed %d, slope %d", seed, i)
				}
			}
		}
	}
}

// TestFactorsThatAreNoNumbers: nothing can be said of a product but where the slope is 0; and very small and very large
// factors, one after the other, lose nothing.
func TestFactorsThatAreNoNumbers(t *testing.T) {
	var r rows
	r.begin()
	p := r.made(copy(r.room(2), []Partial{{3, 2, 0}, {5, 1, 4}}))
	for _, k := range []float64{math.Inf(1), math.Inf(-1), math.NaN()} {
		none := r.times(k, p)
		a := r.all[none.row]
		require.Len(t, a, 2)
		assert.True(t, math.IsNaN(a[0].Up) && a[0].Down == 0 && math.IsNaN(a[1].Up) && math.IsNaN(a[1].Down))
		assert.Len(t, r.all[r.times(0, none).row], 2, "0 times what is not there is not there")
	}
	assert.Zero(t, r.times(0, p).row)
	for _, k := range []float64{1e-90, 1e90} {
		d := denseOf(&r, r.times(1/k, r.times(1/k, r.times(k, r.times(k, p)))))
		assert.InEpsilon(t, 2, d[0][3], 1e-14)
		assert.InEpsilon(t, 4, d[1][5], 1e-14)
	}
}

// TestSlopesThatCancel: two that are equal but for their signs, within the tolerance, cancel, in one row or in two.
func TestSlopesThatCancel(t *testing.T) {
	var r rows
	r.begin()
	partials := []Partial{{3, 2, -0.5}, {5, 1, 4}}
	p, q := r.made(copy(r.room(2), partials)), r.made(copy(r.room(2), partials))
	for _, other := range []slope{p, q} {
		assert.Zero(t, r.weighted(3, p, -3*(1+Tolerance/2), other).row)
		assert.NotZero(t, r.weighted(3, p, -3*(1+Tolerance*2), other).row)
		assert.NotZero(t, r.weighted(3, p, 3, other).row)
	}
}

// TestSlopesHoldWhatIsNotZero counts what is kept of 100 values that each change a hundred, of which the last two are
// added: nothing for factors, one row for the sum, and nothing for what does not change.
func TestSlopesHoldWhatIsNotZero(t *testing.T) {
	const n = 100
	s := Slopes{Machine: Machine{Regs: make([]float64, 3*n+2)}, Slots: 3 * n}
	var in []int32
	var code []Instr
	for i := range int32(n) {
		in = append(in, i)
		s.Regs[i], s.Regs[n+i], s.Regs[2*n+i] = 2, 3, 6
		code = append(code, Instr{Op: Mul, D: 2*n + i, A: i, B: n + i})
	}
	s.Follow(in)
	require.Len(t, s.all, 1+n, "one for each direction, and that of what does not change")
	s.Run(code, 0)
	require.Len(t, s.all, 1+n)
	require.Equal(t, n, s.used)
	s.Run([]Instr{{Op: Add, D: 3 * n, A: 2 * n, B: 2*n + 1}, {Op: Add, D: 3*n + 1, A: n, B: n + 1}}, 0)
	require.Len(t, s.all, 2+n)
	require.Equal(t, n+2, s.used)
	k, p := s.Of(3 * n)
	assert.Equal(t, 1.0, k)
	assert.Equal(t, []Partial{{0, 3, 3}, {1, 3, 3}}, p)
	_, p = s.Of(3*n + 1)
	assert.Empty(t, p)
}
