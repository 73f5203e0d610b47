package machine

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// reachesOf follows the first registers as far as reaches say and runs code. It returns the slope of the last register
// that the code writes.
func reachesOf(regs []float64, reaches []Reach, code ...Instr) (*Slopes, []Partial) {
	s := &Slopes{Machine: Machine{Regs: append([]float64{}, regs...), Host: waitingHost{}}, Reaches: reaches}
	var in []int32
	for i := range reaches {
		in = append(in, int32(i))
	}
	s.Follow(in)
	s.Run(code, 0)
	_, partials := s.Of(code[len(code)-1].D)
	return s, partials
}

// usually is a value that goes so far, without a limit.
func usually(far float64) Reach { return Reach{Usual: far, Limit: math.Inf(1), Parts: 1} }

// TestHowFarItIsToAnEdge: a slope is none as soon as a value goes as far as to where something jumps, and no nearer.
func TestHowFarItIsToAnEdge(t *testing.T) {
	t.Parallel()
	const a, b, out = 0, 1, 3
	two := func(f Func) Instr { return Instr{Op: Call2, D: out, A: a, B: b, C: int32(f)} }
	for _, tt := range []struct {
		about string
		in    Instr
		a, b  float64
		far   float64 // how far a has to go
	}{
		{"below", Instr{Op: Less, D: out, A: a, B: b}, 2, 2.5, 0.5},
		{"above", Instr{Op: LessEq, D: out, A: a, B: b}, 2.5, 2, 0.5},
		{"on the right", Instr{Op: Equal, D: out, A: b, B: a}, 2, 2.25, 0.25},
		{"to no more steps", two(FloorStep), 2.3, 0.5, 0.2},
		{"to one step more", two(FloorStep), 2.4, 0.5, 0.1},
		{"to one step more upwards", two(CeilStep), 10.8, 4, 1.2},
		{"to half a step", two(RoundStep), 9, 4, 1},
		{"to half a step of less than 1", two(RoundStep), 2.3, 0.5, 0.05},
		{"to where a remainder begins again", two(Mod), 11, 4, 1},
		{"to the other sign", Instr{Op: Call1, D: out, A: a, C: int32(Sign)}, -0.75, 0, 0.75},
		{"to the other side of the half plane", two(Atan2), 0.5, -2, 0.5},
	} {
		regs := []float64{tt.a, tt.b, 0, 0}
		jumps := func(far float64) bool {
			s, p := reachesOf(regs, []Reach{usually(far)}, tt.in)
			none := len(p) == 1 && math.IsNaN(p[0].Up) && math.IsNaN(p[0].Down)
			assert.Equal(t, none && !math.IsInf(far, 0), len(s.Ways) > 0, "the way is noted: %s", tt.about)
			return none
		}
		assert.False(t, jumps(0.99*tt.far), tt.about)
		assert.True(t, jumps(1.01*tt.far), tt.about)
		assert.True(t, jumps(math.Inf(1)), "nobody knows how far: %s", tt.about)
	}
	s, p := reachesOf([]float64{0.5, 2, 0, 0}, []Reach{usually(100)}, two(Atan2))
	assert.Len(t, p, 1)
	assert.False(t, math.IsNaN(p[0].Up), "the half plane of positive x")
	assert.Empty(t, s.Ways)
}

// TestSeveralValuesReachAnEdge: what several values make of a difference adds up by squares, and never to more than all
// their limits. The way is told to each by its share.
func TestSeveralValuesReachAnEdge(t *testing.T) {
	t.Parallel()
	sum := []Instr{{Op: MulAdd, D: 4, A: 0, B: 2, C: 1}, {Op: Less, D: 5, A: 4, B: 3}} // 2 a + b < 15
	for _, tt := range []struct {
		about string
		a, b  Reach
		ways  [][]Change
	}{
		{"both fall short", usually(1.4), usually(3), nil},
		{"both do it", usually(2), usually(3), [][]Change{{{0, 1.6}, {1, 1.8}}}},
		{"one alone", usually(3), usually(0), [][]Change{{{0, 3}, {1, 0}}}},
		{"limits that are too near", Reach{2, 0.9, 1}, Reach{3, 3.1, 1}, nil},
		{"limits that are just far enough", Reach{2, 0.95, 1}, Reach{3, 3.2, 1}, [][]Change{{{0, 0.95}, {1, 1.8}}}},
		{"as if others went as far", Reach{1, math.Inf(1), 4}, Reach{1.5, math.Inf(1), 4}, [][]Change{{{0, 0.8}, {1, 0.9}}}},
		{"others have limits too", Reach{1, 0.4, 4}, Reach{1.5, 0.4, 4}, nil},
		{"nobody knows how far", usually(math.Inf(1)), usually(1), nil},
	} {
		s, p := reachesOf([]float64{4, 2, 2, 15, 0, 0}, []Reach{tt.a, tt.b}, sum...)
		for i := range s.Ways {
			for k := range s.Ways[i].By {
				assert.InDelta(t, tt.ways[i][k].By, math.Abs(s.Ways[i].By[k].By), 1e-12, tt.about)
				assert.Equal(t, tt.ways[i][k].In, s.Ways[i].By[k].In)
			}
		}
		assert.Len(t, s.Ways, len(tt.ways), "%s", tt.about)
		assert.Equal(t, len(tt.ways) > 0 || math.IsInf(tt.a.Usual, 0), len(p) == 2 && math.IsNaN(p[0].Up+p[1].Down), tt.about)
		assert.False(t, s.WaysLost())
	}
}

// TestEdgesToOneSide: a value that only grows, or only shrinks, jumps on that side alone.
func TestEdgesToOneSide(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		op       Op
		edge     float64
		up, down bool
	}{
		{Max, 0.5, true, false}, {Max, -0.5, true, false}, {Max, 2, false, false},
		{Min, 0.5, false, true}, {Min, -0.5, false, true}, {Min, -2, false, false},
	} {
		for _, far := range []float64{1, math.Inf(1)} {
			_, p := reachesOf([]float64{0, 0, tt.edge, 0, 0}, []Reach{usually(far)},
				Instr{Op: tt.op, D: 3, A: 0, B: 1}, Instr{Op: Less, D: 4, A: 3, B: 2})
			up, down := false, false
			for _, a := range p {
				up, down = math.IsNaN(a.Up), math.IsNaN(a.Down)
			}
			if far > 1 { // as far as any edge
				tt.up, tt.down = tt.op == Max, tt.op == Min
			}
			assert.Equal(t, [2]bool{tt.up, tt.down}, [2]bool{up, down}, "%s beside %v, %v", tt.op, tt.edge, far)
		}
	}
}

// TestOneSidedValuesGoNoFarther: what stays as it is to one side reaches nothing there, however far it may go.
func TestOneSidedValuesGoNoFarther(t *testing.T) {
	t.Parallel()
	_, p := reachesOf([]float64{0, 0, 0, 0.5, 0, 0, 0}, []Reach{usually(math.Inf(1)), usually(0.1)},
		Instr{Op: Max, D: 4, A: 0, B: 2}, Instr{Op: Add, D: 5, A: 4, B: 1}, Instr{Op: Less, D: 6, A: 5, B: 3})
	assert.Len(t, p, 2)
	for _, a := range p {
		assert.True(t, math.IsNaN(a.Up))
		assert.Zero(t, a.Down)
	}
}

// TestWaysAreNotedOnce: the same way to two edges is one, and of many no more are noted than there is room for.
func TestWaysAreNotedOnce(t *testing.T) {
	t.Parallel()
	s, _ := reachesOf([]float64{0, 0.5, 0.5, 0, 0}, []Reach{usually(1)},
		Instr{Op: Less, D: 3, A: 0, B: 1}, Instr{Op: Less, D: 4, A: 0, B: 2})
	assert.Len(t, s.Ways, 1)
	for n := mostWays - 1; n <= mostWays+1; n++ {
		regs, code := make([]float64, 2*n+2), []Instr{}
		for i := range n {
			regs[i] = 0.5
			code = append(code, Instr{Op: Less, D: int32(n + 1 + i), A: int32(i), B: int32(n)})
		}
		reaches := make([]Reach, n)
		for i := range reaches {
			reaches[i] = usually(1)
		}
		s, _ := reachesOf(regs, reaches, code...)
		assert.Equal(t, n > mostWays, s.WaysLost(), n)
	}
}

// TestConditionsTogetherReachTheirEdges: of two conditions of which each is enough, one alone turns nothing; both do,
// also by values of their own.
func TestConditionsTogetherReachTheirEdges(t *testing.T) {
	t.Parallel()
	code := []Instr{
		{Op: Less, D: 3, A: 2, B: 0}, {Op: Less, D: 4, A: 2, B: 1}, {Op: And, D: 5, A: 3, B: 4},
	}
	for _, tt := range []struct {
		about  string
		a, b   float64
		jumpsA bool
		jumpsB bool
	}{
		{"both are yes", 2, 2, true, true},
		{"one is no", 2, -2, false, true},
		{"the other is no", -2, 2, true, false},
		{"both are no, and each may turn", -2, -2, true, true},
		{"both are no, and one may turn", -2, -9, false, false},
		{"both are no, and the other may turn", -9, -2, false, false},
		{"both are yes, and one may turn", 2, 9, true, false},
	} {
		for _, op := range []Op{And, Or} {
			if code[2].Op = op; op == Or { // what is no and what is yes change places
				tt.a, tt.b = -tt.a, -tt.b
			}
			_, p := reachesOf([]float64{tt.a, tt.b, 0, 0, 0, 0}, []Reach{usually(3), usually(3)}, code...)
			var none [2]bool
			for _, a := range p {
				none[a.In] = math.IsNaN(a.Up) && math.IsNaN(a.Down)
			}
			assert.Equal(t, [2]bool{tt.jumpsA, tt.jumpsB}, none, "%s: %s", op, tt.about)
		}
	}
}

// TestStockReachesAnEdge: a count of stocks may be another as soon as anything that is cut may be.
func TestStockReachesAnEdge(t *testing.T) {
	t.Parallel()
	const one, size, out = 1, 2, 4
	for part := range len(Cutting{}) {
		cut := Cutting{one, one, one, one, size, size, 3}
		ofStock := part == stockLong || part == stockWide || part == kerf
		if cut[part] = 7; ofStock {
			cut[part] = 0
		}
		for _, keep := range []float64{1, 0} {
			s := &Slopes{Machine: Machine{
				Regs: []float64{1, 1, 9, 0, 0, 0, keep},
				Folds: []Fold{{
					Rows: 1, Cut: &cut, Keep: []Instr{{Op: RowLoad, D: 5, A: 6}}, KeepReg: 5, Each: []Instr{{Op: Move, D: 7, A: 0}},
				}},
				Host: waitingHost{},
			}}
			s.Regs = append(s.Regs, 0)
			for _, reaches := range [][]Reach{nil, {usually(0.1)}} {
				s.Reaches = reaches
				s.Follow([]int32{0})
				s.Run([]Instr{{Op: StockNeeded, D: out}}, 0)
				_, p := s.Of(out)
				assert.Equal(t, reaches != nil && (keep == 1 || ofStock), len(p) == 1, "part %d, %v, keep %v", part, reaches, keep)
			}
		}
	}
}

// TestDirectionsWithoutASlope: one is enough, to each side.
func TestDirectionsWithoutASlope(t *testing.T) {
	t.Parallel()
	no := math.NaN()
	for _, tt := range []struct {
		partials []Partial
		up, down bool
	}{
		{nil, false, false}, {[]Partial{{0, 1, 2}}, false, false}, {[]Partial{{0, no, 2}, {1, 1, 0}}, true, false},
		{[]Partial{{0, 1, no}, {1, 1, 1}}, false, true}, {[]Partial{{0, no, 1}, {1, 1, no}, {2, 1, 1}}, true, true},
	} {
		var s Slopes
		s.begin()
		up, down := s.none(s.made(copy(s.room(len(tt.partials)), tt.partials)))
		assert.Equal(t, [2]bool{tt.up, tt.down}, [2]bool{up, down}, "%v", tt.partials)
	}
}
