package engine

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// cuttingList is a table of pieces: its name, how many, long and wide in in.
const cuttingList = `table parts
  part | pieces | long [in] | wide [in] | stock  | turn
  rib  | 8      | 10        | 1.5       | "1/16" | no
  web  | 3      | 3         | 36        | "ply"  | yes
  cap  | 5      | 12        | 1/4       | "1/4"  | no
  none | 0      | 0         | 0         | "none" | no
`

// TestStockNeeded holds counts that are worked by hand.
func TestStockNeeded(t *testing.T) {
	ribs := `filter(parts, .stock == "1/16"), .pieces, .long, .wide`
	plies := `filter(parts, .stock == "ply"), .pieces, .long, .wide`
	caps := `filter(parts, .stock == "1/4"), .pieces, .long, .wide`
	for _, tt := range []struct {
		call string
		want float64
		why  string
	}{
		{ribs + ", 36 [in], 3 [in]", 2, "three in a row, two rows: six on a sheet"},
		{ribs + ", 36 [in], 3 [in], 0", 2, "a knife takes nothing away"},
		{ribs + ", 36 [in], 3 [in], 1/32 [in]", 3, "two rows are 3-1/32 in wide: one row, three on a sheet"},
		{ribs + ", 36 [in], 3-1/32 [in], 1/32 [in]", 2, "which this sheet has"},
		{ribs + ", 914.4 [mm], 3 [in]", 2, "36 in"},
		{ribs + ", 10 [in], 1.5 [in], 1/8 [in]", 8, "a piece as large as the stock needs no cut"},
		{plies + ", 36 [in], 9 [in], 0, .turn", 1, "turned, three of 3 in beside one another"},
		{plies + ", 36 [in], 9 [in], 0, yes", 1, "likewise"},
		{plies + ", 36 [in], 9 [in], 1/16 [in], yes", 2, "with a kerf two beside one another"},
		{caps + ", 36 [in], 1/4 [in]", 2, "sticks: three on each"},
		{caps + ", 36 [in], 1/4 [in], 1/16 [in]", 3, "with a kerf two on each"},
		{`filter(parts, .part == "rib"), .pieces / 2, .long, 3 [in], 36 [in], 3 [in]`, 2, "four pairs nose to tail, three on each"},
		{`filter(parts, .pieces > 99), .pieces, .long, .wide, 36 [in], 3 [in]`, 0, "no rows, no sheet"},
		{`filter(parts, .stock == "none"), .pieces, .long, .wide, 36 [in], 3 [in]`, 0, "no pieces, whatever their size"},
	} {
		m := load(t, cuttingList+"y = stock_needed("+tt.call+")\n")
		require.Empty(t, m.Problems(), tt.call)
		assert.Equal(t, tt.want, worth(t, m, "y"), "%s: %s", tt.call, tt.why)
	}
}

// TestStockForEachRow: in a table each row has its own stock, and what is on hand is subtracted in whole sheets.
func TestStockForEachRow(t *testing.T) {
	m := load(t, cuttingList+`table rack
  stock  | wide [in] | hand
  "1/16" | 3         | 1
  "ply"  | 36        |
  "1/4"  | 1/4       | 4
  needed = stock_needed(filter(parts, .stock == stock), .pieces, .long, .wide, 36 [in], wide)
  buy = max(0, needed - (hand ?? 0))
  all = stock_needed(parts, .pieces, .long, .wide, 36 [in], 36 [in])
`)
	require.Empty(t, m.Mistakes())
	var said []string
	for _, column := range []string{"needed", "buy", "all"} {
		for _, row := range []string{"1/16", "ply", "1/4"} {
			said = append(said, fmt.Sprint(worth(t, m, fmt.Sprintf("rack[%q].%s", row, column))))
		}
	}
	assert.Equal(t, strings.Fields("2 1 2  1 1 0  1 1 1"), said)
	require.NoError(t, m.Set(`parts["rib"].pieces`, "20"))
	assert.Equal(t, 4.0, worth(t, m, `rack["1/16"].needed`))
	require.NoError(t, m.Set(`parts["rib"].pieces`, ""))
	v, err := m.Value(`rack["1/16"].needed`)
	require.NoError(t, err)
	assert.Equal(t, Waits, v.Status)
	assert.Equal(t, 1.0, worth(t, m, `rack["ply"].needed`), "what a filter leaves out does not matter")
}

// TestPublishedStock takes published problems of cutting sticks through a sheet (engine/pack/testdata has them with
// their sources) and asks for their optima.
func TestPublishedStock(t *testing.T) {
	data, err := os.ReadFile("pack/testdata/bins1d.json")
	require.NoError(t, err)
	var problems []struct {
		Name     string
		Optimum  float64
		Capacity float64
		Items    []float64
	}
	require.NoError(t, json.Unmarshal(data, &problems))
	tried := 0
	for _, p := range problems {
		if len(p.Items) > 60 {
			continue
		}
		tried++
		var b strings.Builder
		b.WriteString("table t\n  n | long [mm]\n")
		for i, long := range p.Items {
			fmt.Fprintf(&b, "  p%d | %v\n", i, long)
		}
		fmt.Fprintf(&b, "y = stock_needed(t, 1, .long, 5 [mm], %v [mm], 5 [mm])\n", p.Capacity)
		m := load(t, b.String())
		assert.Equal(t, p.Optimum, worth(t, m, "y"), p.Name)
	}
	assert.Greater(t, tried, 5)
}

// TestStockLimits: 2000 pieces are cut, one more is refused; a plan counts into what a run may take, and none is searched
// through.
func TestStockLimits(t *testing.T) {
	pieces := func(n int) string {
		return fmt.Sprintf("y = stock_needed(filter(parts, .part == \"rib\"), %d, .long, .wide, 36 [in], 3 [in])\n", n)
	}
	m := load(t, cuttingList+pieces(2000))
	assert.Equal(t, 334.0, worth(t, m, "y"))
	m = load(t, cuttingList+pieces(2001))
	v, err := m.Value("y")
	require.NoError(t, err)
	assert.Equal(t, None, v.Status)

	m = load(t, cuttingList+"adjust x from 1 to 9 so stock_needed(parts, round(x), 1 [in], 1 [in], 3 [in], 1 [in]) = 2\n")
	require.Len(t, m.Mistakes(), 1)
	assert.Equal(t, "adjust-large", m.Mistakes()[0].Code)

	var b strings.Builder
	for i := range 255 {
		fmt.Fprintf(&b, "y%d = stock_needed(parts, 1, %d [mm], 1 [in], 36 [in], 3 [in])\n", i, i+1)
	}
	codes := map[string]int{}
	for _, d := range load(t, cuttingList+b.String()).Mistakes() {
		codes[d.Code]++
	}
	assert.Equal(t, map[string]int{"formula-large": 6}, codes)
}

// TestCutPlans: each use of stock_needed is a plan, also one in a formula that is called or within a larger one; it is
// named by its row or its cell, or, where that is said twice, by the whole path.
func TestCutPlans(t *testing.T) {
	m := load(t, cuttingList+`formula sticks(n, long [in]) = stock_needed(parts, n, long, 1 [in], 36 [in], 1 [in])
two = stock_needed(filter(parts, .stock == "1/16"), .pieces, .long, .wide, 36 [in], 3 [in]) + sticks(1, 9 [in])
late = sticks(pieces, 9 [in])
pieces :
large = sticks(1, 40 [in])
table rack
  stock  | wide [in]
  "1/16" | 3
  "1/4"  | 1/4
  needed = stock_needed(filter(parts, .stock == stock), .pieces, .long, .wide, 36 [in], wide)
table shed
  stock  | wide [in]
  "1/16" | 3
  needed = stock_needed(filter(parts, .stock == "1/16"), .pieces, .long, .wide, 36 [in], 3 [in])
`)
	var said []string
	for p := range CutPlans(m) {
		line := fmt.Sprint(p.Name, ": ", len(p.Sheets))
		if p.Stock != "" {
			line += " of " + p.Stock
		}
		if p.Reason != "" {
			line = fmt.Sprint(p.Name, ": ", p.Reason)
		}
		said = append(said, line)
	}
	assert.Equal(t, []string{
		"two (1): 2", "two (2): 1", "late: waits for pieces",
		"large: sticks: rib, 40 in x 1 in, does not fit the stock, 36 in x 1 in",
		`rack["1/16"].needed: 2 of 1/16`, "1/4: 2", `shed["1/16"].needed: 2 of 1/16`,
	}, said)
}

// TestCutPlanIsWhatIsCounted: every piece of the list is on one sheet, none lies outside or over another, and the sheets
// are as many as the cell says.
func TestCutPlanIsWhatIsCounted(t *testing.T) {
	m := load(t, cuttingList+"y = stock_needed(parts, .pieces, .long, .wide, 37 [in], 36 [in], 1/8 [in], .turn)\n")
	plans := slices.Collect(CutPlans(m))
	require.Len(t, plans, 1)
	p := plans[0]
	assert.Equal(t, worth(t, m, "y"), float64(len(p.Sheets)))
	count := map[string][]int{}
	for _, s := range p.Sheets {
		for i, a := range s.Pieces {
			count[a.Piece] = append(count[a.Piece], a.Number)
			assert.LessOrEqual(t, a.X.Number+a.Long.Number, 37.0000001)
			assert.LessOrEqual(t, a.Y.Number+a.Wide.Number, 36.0000001)
			for _, b := range s.Pieces[:i] {
				apart := a.X.Number+a.Long.Number+0.1249 < b.X.Number || b.X.Number+b.Long.Number+0.1249 < a.X.Number ||
					a.Y.Number+a.Wide.Number+0.1249 < b.Y.Number || b.Y.Number+b.Wide.Number+0.1249 < a.Y.Number
				assert.True(t, apart, "%v over %v", a, b)
			}
		}
	}
	for _, numbers := range count {
		slices.Sort(numbers)
	}
	assert.Equal(t, map[string][]int{"rib": {1, 2, 3, 4, 5, 6, 7, 8}, "web": {1, 2, 3}, "cap": {1, 2, 3, 4, 5}}, count)
}
