package machine

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// pointsOf brings points together by a fold of the machine and by PointsValue alone; both say the same. keep says which
// rows count, and nil keeps all.
func pointsOf(t *testing.T, kind FoldKind, xs, ys, keep []float64) (float64, PointsFault) {
	t.Helper()
	n := int32(len(xs))
	m := Machine{Regs: slices.Concat(xs, ys, keep, []float64{0, 0, 0, 99}), Host: waitingHost{}}
	end := int32(len(m.Regs)) - 1
	f := Fold{
		Kind: kind, Rows: n, EachReg: end - 3, OtherReg: end - 2,
		Each: []Instr{{Op: RowLoad, D: end - 3, A: 0}, {Op: RowLoad, D: end - 2, A: n}},
	}
	if keep != nil {
		f.Keep, f.KeepReg = []Instr{{Op: RowLoad, D: end - 1, A: 2 * n}}, end-1
	}
	m.Folds = []Fold{f}
	m.Run([]Instr{{Op: FoldRows, D: end}}, 0)
	var points []Point
	for row := range xs {
		if keep == nil || keep[row] == 1 {
			points = append(points, Point{xs[row], ys[row], int32(row)})
		}
	}
	if slices.ContainsFunc(m.Regs[:end-3], math.IsNaN) {
		return m.Regs[end], PointsFault{}
	}
	v, fault := PointsValue(kind, points)
	same(t, v, m.Regs[end], "PointsValue alone")
	return v, fault
}

// The closed forms of a rectangle and a right-angled triangle, as in any handbook of mensuration: b d, b d³/12 and
// b d/2, b d³/36, with the centroid at half and at a third.
func TestOutlinesOfClosedForm(t *testing.T) {
	no := math.NaN()
	for _, tt := range []struct {
		about        string
		xs, ys, keep []float64
		want         [6]float64
	}{
		{"a rectangle", []float64{0, 4, 4, 0}, []float64{0, 0, 3, 3}, nil, [6]float64{12, 14, 2, 1.5, 9, 16}},
		{"the other way round", []float64{0, 4, 4, 0}, []float64{3, 3, 0, 0}, nil, [6]float64{12, 14, 2, 1.5, 9, 16}},
		{"closed", []float64{0, 4, 4, 0, 0}, []float64{0, 0, 3, 3, 0}, nil, [6]float64{12, 14, 2, 1.5, 9, 16}},
		{
			"each point twice", []float64{0, 0, 4, 4, 4, 4, 0, 0}, []float64{0, 0, 0, 0, 3, 3, 3, 3}, nil,
			[6]float64{12, 14, 2, 1.5, 9, 16},
		},
		{
			"points on its sides", []float64{0, 1, 2, 4, 4, 4, 1, 0, 0}, []float64{0, 0, 0, 0, 1, 3, 3, 3, 2}, nil,
			[6]float64{12, 14, 2, 1.5, 9, 16},
		},
		{"a triangle", []float64{0, 6, 0}, []float64{0, 0, 8}, nil, [6]float64{24, 24, 2, 8.0 / 3, 256.0 / 3, 48}},
		{"elsewhere", []float64{-10, -4, -10}, []float64{7, 7, 15}, nil, [6]float64{24, 24, -8, 29.0 / 3, 256.0 / 3, 48}},
		{
			"some rows", []float64{0, 9, 4, no, 4, 0}, []float64{0, 9, 0, 1, 3, 3}, []float64{1, 0, 1, 0, 1, 1},
			[6]float64{12, 14, 2, 1.5, 9, 16},
		},
	} {
		for k, kind := range []FoldKind{OutlineArea, OutlineLength, OutlineX, OutlineY, OutlineMomentX, OutlineMomentY} {
			v, fault := pointsOf(t, kind, tt.xs, tt.ys, tt.keep)
			assert.Equal(t, PointsFault{}, fault, tt.about)
			assert.InEpsilon(t, tt.want[k], v, 1e-14, "%s, kind %d", tt.about, kind)
		}
	}
}

func TestOutlinesOfAnySize(t *testing.T) {
	for _, size := range []float64{1e-70, 1e-3, 1, 1e70} {
		xs, ys := []float64{0, 4 * size, 4 * size, 0}, []float64{0, 0, 3 * size, 3 * size}
		v, _ := pointsOf(t, OutlineMomentY, xs, ys, nil)
		assert.InEpsilon(t, 16*math.Pow(size, 4), v, 1e-13)
	}
	v, fault := pointsOf(t, OutlineMomentX, []float64{0, 1e80, 0}, []float64{0, 0, 1e80}, nil)
	assert.True(t, math.IsNaN(v))
	assert.Equal(t, TooLarge, fault.Kind)
	v, fault = pointsOf(t, AreaUnder, []float64{0, 1e200}, []float64{1e200, 1}, nil)
	assert.True(t, math.IsNaN(v))
	assert.Equal(t, TooLarge, fault.Kind)
}

func TestPointsWithoutAValue(t *testing.T) {
	tilt := func(x, y float64) (float64, float64) { return 0.8*x - 0.6*y, 0.6*x + 0.8*y }
	for _, tt := range []struct {
		about  string
		xs, ys []float64
		want   PointsFault
	}{
		{"no points", nil, nil, PointsFault{Kind: TooFew}},
		{"two", []float64{0, 1}, []float64{0, 1}, PointsFault{TooFew, []int32{0, 1}}},
		{"two and the first again", []float64{0, 1, 0}, []float64{0, 1, 0}, PointsFault{TooFew, []int32{0, 1}}},
		{"one, again and again", []float64{5, 5, 5, 5}, []float64{1, 1, 1, 1}, PointsFault{TooFew, []int32{0}}},
		{"at 0", []float64{0, 0, 0}, []float64{0, 0, 0}, PointsFault{TooFew, []int32{0}}},
		{"a line", []float64{0, 1, 3}, []float64{0, 1, 3}, PointsFault{TurnsBack, []int32{2}}},
		{"a spike", []float64{0, 2, 5, 2, 0}, []float64{0, 0, 0, 0, 2}, PointsFault{TurnsBack, []int32{2}}},
		{"a bow", []float64{0, 4, 4, 0}, []float64{0, 3, 0, 3}, PointsFault{Crosses, []int32{0, 1, 2, 3}}},
		{"the last side", []float64{0, 2, 2, 1, 1}, []float64{0, 0, 2, 2, -1}, PointsFault{Crosses, []int32{0, 1, 3, 4}}},
		{"a corner on a side", []float64{0, 4, 4, 2, 0}, []float64{0, 0, 4, 0, 4}, PointsFault{Crosses, []int32{0, 1, 2, 3}}},
		{
			"two corners in one place", []float64{0, 1, 2, 2, 1, 0}, []float64{0, 1, 0, 2, 1, 2},
			PointsFault{Crosses, []int32{0, 1, 3, 4}},
		},
	} {
		for turned, way := range []func(x, y float64) (float64, float64){
			func(x, y float64) (float64, float64) { return x, y }, tilt,
		} {
			var xs, ys []float64
			for i := range tt.xs {
				x, y := way(tt.xs[i], tt.ys[i])
				xs, ys = append(xs, x), append(ys, y)
			}
			for _, kind := range []FoldKind{OutlineArea, OutlineLength, OutlineX, OutlineY, OutlineMomentX, OutlineMomentY} {
				v, fault := pointsOf(t, kind, xs, ys, nil)
				assert.True(t, math.IsNaN(v), tt.about)
				assert.Equal(t, tt.want, fault, "%s, %d", tt.about, turned)
			}
		}
	}
	v, _ := pointsOf(t, OutlineArea, []float64{0, 1, math.NaN()}, []float64{0, 0, 1}, nil)
	assert.True(t, math.IsNaN(v), "a point that is not known")
	v, _ = pointsOf(t, OutlineArea, []float64{0, 1, 1}, []float64{0, 0, 1}, []float64{1, math.NaN(), 1})
	assert.True(t, math.IsNaN(v), "a row of which it is not known")
}

// TestOutlinesNearlyTouch: what is 1e-9 of the size apart does not touch, and 1e-14 does.
func TestOutlinesNearlyTouch(t *testing.T) {
	for _, tt := range []struct {
		gap  float64
		kind PointsFaultKind
	}{{1e-9, NoFault}, {1e-14, Crosses}, {-1e-9, Crosses}} {
		_, fault := pointsOf(t, OutlineArea, []float64{0, 4, 4, 2, 0}, []float64{0, 0, 4, 4 * tt.gap, 4}, nil)
		assert.Equal(t, tt.kind, fault.Kind, "%g", tt.gap)
	}
}

// TestManySidesOnOneLine: sides that follow each other on a slanted line do not meet, whatever rounding makes of it.
func TestManySidesOnOneLine(t *testing.T) {
	var xs, ys []float64
	for i := range 101 {
		xs, ys = append(xs, float64(i)*0.1/3), append(ys, float64(i)*0.7/3)
	}
	xs, ys = append(xs, -5), append(ys, 1)
	v, fault := pointsOf(t, OutlineArea, xs, ys, nil)
	assert.Equal(t, PointsFault{}, fault)
	assert.InEpsilon(t, (10.0/3*1-70.0/3*-5)/2, v, 1e-14) // half the cross product of its two sides at 0
}

// TestAreaUnder works strips out by hand.
func TestAreaUnder(t *testing.T) {
	for _, tt := range []struct {
		about  string
		xs, ys []float64
		want   float64
	}{
		{"one strip", []float64{1, 3}, []float64{2, 4}, 6},
		{"a step", []float64{0, 2, 2, 3}, []float64{1, 1, 5, 5}, 7},
		{"below and above", []float64{0, 1, 3}, []float64{-2, 0, 2}, 1},
		{"a point twice", []float64{1, 3, 3}, []float64{2, 4, 4}, 6},
	} {
		v, fault := pointsOf(t, AreaUnder, tt.xs, tt.ys, nil)
		assert.Equal(t, PointsFault{}, fault, tt.about)
		assert.Equal(t, tt.want, v, tt.about)
	}
	_, fault := pointsOf(t, AreaUnder, []float64{0, 2, 1}, []float64{1, 1, 1}, nil)
	assert.Equal(t, PointsFault{Falls, []int32{1, 2}}, fault)
	_, fault = pointsOf(t, AreaUnder, []float64{3}, []float64{1}, nil)
	assert.Equal(t, PointsFault{TooFew, []int32{0}}, fault)
	_, fault = pointsOf(t, AreaUnder, nil, nil, nil)
	assert.Equal(t, PointsFault{Kind: TooFew}, fault)
}

// TestOutlineWithinOutline works out the area of triangles whose heights are areas of triangles.
func TestOutlineWithinOutline(t *testing.T) {
	const x, y, area, twice, out = 6, 7, 8, 9, 10
	m := Machine{Regs: []float64{0, 2, 0, 0, 0, 3, 0, 0, 0, 0, 99}, Folds: []Fold{
		{Kind: OutlineArea, Rows: 3, EachReg: x, OtherReg: y, Each: []Instr{
			{Op: RowLoad, D: x, A: 0}, {Op: RowLoad, D: y, A: 3},
		}},
		{Kind: OutlineArea, Rows: 3, EachReg: x, OtherReg: twice, Each: []Instr{
			{Op: FoldRows, D: area, A: 0}, {Op: RowLoad, D: x, A: 0}, {Op: RowLoad, D: y, A: 3},
			{Op: Mul, D: twice, A: y, B: area},
		}},
	}}
	for range 2 {
		m.Run([]Instr{{Op: FoldRows, D: out, A: 1}}, 0)
		assert.Equal(t, 9.0, m.Regs[out]) // 2 x 3/2 is 3; 2 x 9/2 is 9
	}
	one := []Instr{{Op: FoldRows, D: out, A: 0}}
	assert.Zero(t, testing.AllocsPerRun(20, func() { m.Run(one, 0) }), "the second time nothing is allocated")
}
