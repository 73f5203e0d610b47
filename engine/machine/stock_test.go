package machine

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// cutOf cuts rows of pieces, each of them pieces, long, wide and whether they may be turned, from a stock of long by wide
// with a kerf; the rows for which keep is not 1 are left out.
func cutOf(rows [][4]float64, stock [3]float64, keep []float64) float64 {
	n := int32(len(rows))
	end := 5 * n
	m := &Machine{Regs: make([]float64, end+9)}
	f := Fold{Rows: n, KeepReg: end, Cut: &Cutting{end + 1, end + 2, end + 3, end + 4, end + 5, end + 6, end + 7}}
	for part := range int32(4) {
		for row, r := range rows {
			m.Regs[part*n+int32(row)] = r[part]
		}
		to := f.Cut[[]int{pieces, pieceLong, pieceWide, mayTurn}[part]]
		f.Each = append(f.Each, Instr{Op: RowLoad, D: to, A: part * n})
	}
	if keep != nil {
		copy(m.Regs[4*n:], keep)
		f.Keep = []Instr{{Op: RowLoad, D: end, A: 4 * n}}
	}
	copy(m.Regs[end+4:], stock[:])
	m.Folds = []Fold{f}
	m.Run([]Instr{{Op: StockNeeded, D: end + 8}}, 0)
	return m.Regs[end+8]
}

// TestStockNeeded: counts by hand, and that nothing is said where anything of a row that counts is not known.
func TestStockNeeded(t *testing.T) {
	stock := [3]float64{36, 3, 0}
	ribs := [4]float64{8, 10, 1.5, 0}
	nan, inf := math.NaN(), math.Inf(1)
	same(t, 2, cutOf([][4]float64{ribs}, stock, nil), "six on a sheet")
	same(t, 3, cutOf([][4]float64{ribs}, [3]float64{36, 3, 1.0 / 32}, nil), "three on a sheet")
	same(t, 0, cutOf(nil, stock, nil), "no rows")
	same(t, 0, cutOf([][4]float64{ribs}, stock, []float64{0}), "no row that counts")
	same(t, 1, cutOf([][4]float64{{1, 3, 36, 1}}, stock, nil), "turned")
	same(t, nan, cutOf([][4]float64{{1, 3, 36, 0}}, stock, nil), "not turned it does not fit")
	same(t, 2, cutOf([][4]float64{ribs, {nan, nan, nan, nan}}, stock, []float64{1, 0}), "a row that is left out")
	same(t, nan, cutOf([][4]float64{ribs, ribs}, stock, []float64{1, nan}), "a row that may count")
	for part := range 4 {
		for _, x := range []float64{nan, inf} {
			r := ribs
			r[part] = x
			same(t, nan, cutOf([][4]float64{ribs, r}, stock, nil), "a row that is not known")
			r[0] = 0
			if r[part] = x; part > 0 {
				same(t, nan, cutOf([][4]float64{ribs, r}, stock, nil), "nor is it where it has no pieces")
			}
		}
	}
	for part := range 3 {
		for _, x := range []float64{nan, inf, -1} {
			s := stock
			s[part] = x
			same(t, nan, cutOf([][4]float64{ribs}, s, nil), "stock that is not one")
		}
	}
	same(t, nan, cutOf([][4]float64{{2001, 1, 1, 0}}, stock, nil), "more than 2000")
	same(t, nan, cutOf([][4]float64{{1.5, 1, 1, 0}}, stock, nil), "half a piece")
	same(t, nan, cutOf([][4]float64{{-1, 1, 1, 0}}, stock, nil), "less than none")
}

// TestDegreeOfStock: a count of stocks is no straight line of anything, and constant where all that it takes is.
func TestDegreeOfStock(t *testing.T) {
	const x, one, goal = 0, 1, 9
	for part := range len(Cutting{}) {
		for reg, want := range map[int32]Degree{one: Constant, x: Nonlinear} {
			cut := Cutting{one, one, one, one, one, one, one}
			cut[part] = reg
			d := Degrees{Regs: goal + 1, Folds: []Fold{{Rows: 2, Cut: &cut}}}
			assert.Equal(t, want, d.OfGoal(&Search{Unknown: x, Goal: goal, Body: []Instr{{Op: StockNeeded, D: goal}}}), part)
		}
	}
}
