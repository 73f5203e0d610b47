package engine

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/explain"
)

// worth returns a value that must have been worked out.
func worth(t *testing.T, m *Model, name string) float64 {
	t.Helper()
	v, err := m.Value(name)
	require.NoError(t, err)
	require.Equal(t, explain.OK, v.Status, "%s: %s", name, v.Reason)
	return v.Number
}

// reasonOf returns why a value has not been worked out.
func reasonOf(t *testing.T, m *Model, name string) string {
	t.Helper()
	v, err := m.Value(name)
	require.NoError(t, err)
	require.NotEqual(t, explain.OK, v.Status, "%s is %v", name, v.Number)
	return v.Reason
}

// within is the tolerance of a value that was searched for, as a part of its range or size.
const within = 1e-11

// TestAdjustUnique searches for values whose closed form is worked by hand.
func TestAdjustUnique(t *testing.T) {
	for _, tt := range []struct {
		name, sheet string
		want        float64
	}{
		{"a line", "adjust x from 0 to 10 so 3 * x + 1 = 7", 2},
		{"a root", "adjust x from 0 to 10 so x * x = 2", math.Sqrt2},
		{"the lower end", "adjust x from 2 to 10 so x = 2", 2},
		{"the upper end", "adjust x from 2 to 10 so x = 10", 10},
		{"within a fraction of the range", "adjust x from 0 to 1000000 so x = 0.001", 0.001},
		{"through cells", "a = x + 1\nb = a * a\nadjust x from 0 to 10 so b = 16", 3},
		{"steep beside the end", "adjust x from 0.001 to 1000 so 1 / x^6 = 64", 0.5},
		{"an end that is worked out", "top = 2 * 5\nadjust x from 0 to top so x = 7", 7},
		{"against a bare 0", "adjust x from -10 to 10 so 2 [N] * x + 6 [N] = 0", -3},
		{"a bare 0 first", "adjust x from -10 to 10 so 0 = 2 [N] * x + 6 [N]", -3},
		{"both sides depend on it", "adjust x from 1 to 10 so 6 / x = x + 1", 2},
		// 10 g at 0 mm and 5 g at 90 mm balance at 30 mm; 6 g at x bring it to 20 mm: 450 + 6x = 420.
		{"a table that holds it", `
table parts
  part    | station [mm] | weight [g]
  motor   | 0            | 10
  tail    | 90           | 5
  battery | = x          | 6
  moment [g mm] = weight * station
cg [mm] = sum(parts.moment) / sum(parts.weight)
adjust x [mm] from -50 to 50 so cg = 20 [mm]`, -5},
		{"in its own unit", "adjust x [in] from 0 to 10 so 2 * x = 1 [ft]", 6},
		{"with ends in another unit", "adjust x [in] from 1 ft to 3 ft so x = 60 [cm]", 60 / 2.54},
	} {
		m := load(t, tt.sheet)
		assert.Empty(t, m.Problems(), tt.name)
		assert.InDelta(t, tt.want, worth(t, m, "x"), within*max(1, math.Abs(tt.want)), tt.name)
	}
}

func TestAdjustNoneOrSeveral(t *testing.T) {
	for _, tt := range []struct{ name, sheet, want string }{
		{"none", "adjust x from 0 to 3 so x * x = 16", "no x between 0 and 3 makes this true"},
		{"two", "adjust x from -5 to 5 so x * x = 4", "more than one value makes this true: -2 and 2"},
		{"three", "adjust x from 0 to 4.2 so (x - 1) * (x - 2) * (x - 4) = 0",
			"more than one value makes this true: 1, 2 and 4"},
		{"many", "adjust x from 0 to 3000 so sin(x * 1 [deg]) = 0",
			"more than one value makes this true: 0, 180, 360, 540, 720, 900 and more"},
		{"any", "adjust x from 0 to 3 so x - x = 0", "every value in the range makes this true"},
		{"a jump", "adjust x from 0.5 to 3 so floor(x) = 1.5", "no x between 0.5 and 3 makes this true"},
		{"nowhere worked out", "adjust x from 1 to 3 so sqrt(-x) = 1",
			"the condition cannot be worked out anywhere between 1 and 3"},
		{"an empty range", "adjust x from 3 to 3 so x = 3", "the range to search is empty"},
		{"a range upside down", "adjust x from 3 to 1 so x = 2",
			"the range to search runs from the larger value to the smaller"},
	} {
		m := load(t, tt.sheet+"\ny = x + 1\n")
		assert.Equal(t, tt.want, reasonOf(t, m, "x"), tt.name)
		assert.Equal(t, "waits for x, which has no result", reasonOf(t, m, "y"), tt.name)
		assert.Len(t, m.Problems(), 1, tt.name)
	}
}

func TestAdjustWithoutEffect(t *testing.T) {
	m := load(t, "a : 3\nadjust x from 0 to 5 so a = 4\n")
	require.Len(t, m.Problems(), 1)
	assert.Equal(t, "adjust-no-effect", m.Problems()[0].Code)
	assert.Contains(t, reasonOf(t, m, "x"), "no effect")
}

// TestAdjustChained uses one search's result in another's condition: x^2 = 9, and then x + y = 5.
func TestAdjustChained(t *testing.T) {
	m := load(t, "adjust y from 0 to 10 so x + y = total\nadjust x from 0 to 10 so x * x = square\nsquare : 9\n"+
		"total : 5\n")
	assert.Empty(t, m.Problems())
	assert.InDelta(t, 3, worth(t, m, "x"), within)
	assert.InDelta(t, 2, worth(t, m, "y"), within)
	require.NoError(t, m.Set("square", "16"))
	assert.InDelta(t, 4, worth(t, m, "x"), within)
	assert.InDelta(t, 1, worth(t, m, "y"), within)
	require.NoError(t, m.Set("total", "7"))
	assert.InDelta(t, 3, worth(t, m, "y"), within)
	require.NoError(t, m.Set("square", "400"))
	assert.Contains(t, reasonOf(t, m, "x"), "no x between")
	assert.Equal(t, "waits for x, which has no result", reasonOf(t, m, "y"))
	require.NoError(t, m.Set("square", "25"))
	assert.InDelta(t, 2, worth(t, m, "y"), within)
}

// TestAdjustNested balances a model anew at each trial of its weight. With parts of 10 g at 0 mm and 5 g at 90 mm, a
// battery of w at b balances at 30 mm when b = 30 mm whatever w is; at 24 mm when b = 24 - 90/w. So b = 15 asks for w =
// 10.
func TestAdjustNested(t *testing.T) {
	m := load(t, `
cg_wanted [mm] : 24
table parts
  part    | station [mm] | weight [g]
  motor   | 0            | 10
  tail    | 90           | 5
  battery | = place      | = heavy
  moment [g mm] = weight * station
cg [mm] = sum(parts.moment) / sum(parts.weight)
adjust place [mm] from -500 to 60 so cg = cg_wanted
adjust heavy [g] from 1 to 50 so place = 15 [mm]
`)
	assert.Empty(t, m.Problems())
	assert.InDelta(t, 10, worth(t, m, "heavy"), 1e-8)
	assert.InDelta(t, 15, worth(t, m, "place"), 1e-8)
	assert.InDelta(t, 24, worth(t, m, "cg"), 1e-8)
	require.NoError(t, m.Set("cg_wanted", "21")) // 21 + 21*15/w - 450/w = 15, so w = 22.5
	assert.InDelta(t, 22.5, worth(t, m, "heavy"), 1e-8)
}

// TestAdjustMutual searches for two values, each of which bears on the other's condition: x + y = 7, x - y = 1.
func TestAdjustMutual(t *testing.T) {
	m := load(t, "adjust x from 0 to 10 so x + y = 7\nadjust y from 0 to 10 so x - y = 1\ncheck sound = x * y == 12\n")
	assert.Empty(t, m.Problems())
	assert.InDelta(t, 4, worth(t, m, "x"), within*10)
	assert.InDelta(t, 3, worth(t, m, "y"), within*10)
}

func TestAdjustThreeAreTooMany(t *testing.T) {
	m := load(t, "adjust x from 0 to 10 so x + y + z = 6\nadjust y from 0 to 10 so x - y + z = 2\n"+
		"adjust z from 0 to 10 so x + y - z = 0\nafter = x + 1\n")
	require.NotEmpty(t, m.Problems())
	assert.Equal(t, "adjust-nested", m.Problems()[0].Code)
	for _, name := range []string{"x", "y", "z", "after"} {
		assert.NotEmpty(t, reasonOf(t, m, name))
	}
}

func TestAdjustWaits(t *testing.T) {
	m := load(t, "goal :\ntop :\nadjust x from 0 to top so 2 * x = goal\ny = x + 1\n")
	assert.Empty(t, m.Problems())
	assert.Equal(t, "waits for top", reasonOf(t, m, "x"))
	assert.Equal(t, "waits for top", reasonOf(t, m, "y"))
	require.NoError(t, m.Set("top", "10"))
	assert.Equal(t, "waits for goal", reasonOf(t, m, "x"))
	assert.Equal(t, "waits for goal", reasonOf(t, m, "y"))
	require.NoError(t, m.Set("goal", "6"))
	assert.InDelta(t, 4, worth(t, m, "y"), within)
	require.NoError(t, m.Set("top", ""))
	assert.Equal(t, "waits for top", reasonOf(t, m, "x"))
}

// TestAdjustFailsBeforeItsEdge searches where the condition can be worked out in part of the range only: sqrt(x - 1) =
// 0.01 between 1 and the first place looked at.
func TestAdjustFailsBeforeItsEdge(t *testing.T) {
	m := load(t, "adjust x from -3.03 to 5 so sqrt(x - 1) = 0.01\n")
	assert.InDelta(t, 1.0001, worth(t, m, "x"), 1e-11)
}

// TestAdjustWhoseRangeRestsOnIt is a ring: no search can begin.
func TestAdjustWhoseRangeRestsOnIt(t *testing.T) {
	for _, sheet := range []string{
		"low = x - 1\nadjust x from low to 10 so low = 3\n",
		"high = x + 1\nadjust x from 0 to high so x = 3\n",
		"adjust x from x - 1 to 10 so x = 3\n",
		"adjust x from 0 to y so x + y = 3\nadjust y from x to 5 so x - y = 1\n",
	} {
		m := load(t, sheet+"after = x + 1\n")
		require.Len(t, m.Problems(), 1, sheet)
		assert.Equal(t, "adjust-range-ring", m.Problems()[0].Code)
		assert.NotEmpty(t, reasonOf(t, m, "x"))
		assert.Equal(t, "waits for x, which has no result", reasonOf(t, m, "after"), sheet)
	}
}

// TestAdjustsWithoutEffect shows that each adjusted cell that has no effect is reported by its own name.
func TestAdjustsWithoutEffect(t *testing.T) {
	m := load(t, "adjust a from 0 to 1 so 1 = 2\nadjust b from 0 to 1 so 3 = 4\n")
	found := m.Problems()
	require.Len(t, found, 2)
	assert.Equal(t, "a has no effect on this condition", found[0].Msg)
	assert.Equal(t, "b has no effect on this condition", found[1].Msg)
}

// TestAdjustTellsOfItsRange: why a condition cannot be worked out anywhere is told as it is within the range, not beyond.
func TestAdjustTellsOfItsRange(t *testing.T) {
	t.Parallel()
	m := load(t, "unknown :\ny = x > 3.5 or x < 1 ? unknown : sqrt(0 - x)\nadjust x from 1 to 3 so y = 2\n")
	v, err := m.Value("x")
	require.NoError(t, err)
	assert.Equal(t, "the condition cannot be worked out anywhere between 1 and 3", v.Reason)
	assert.Equal(t, None, v.Status)
}

// TestAdjustAsksAnewWhatWaits: whether what is on the left of a ?? waits is found out at each trial of a search.
func TestAdjustAsksAnewWhatWaits(t *testing.T) {
	t.Parallel()
	m := load(t, "later :\nq = x > 4 ? later : sqrt(x - 20)\nadjust x from 0 to 10 so (q ?? 3) + x = 10\n")
	assert.InDelta(t, 7, worth(t, m, "x"), within*10)
}

// TestAdjustSaysWhatIsInTheMiddle: why a condition cannot be worked out anywhere is told of the middle of the range.
func TestAdjustSaysWhatIsInTheMiddle(t *testing.T) {
	t.Parallel()
	m := load(t, "adjust x from 0 to 10 so (x < 4 or x > 6 ? 1 / (x - x) : sqrt(0 - x)) = 3\n")
	require.Len(t, m.Problems(), 1)
	assert.Contains(t, fmt.Sprint(m.Problems()[0].Notes), "at 5: this is negative and has no square root")
}
