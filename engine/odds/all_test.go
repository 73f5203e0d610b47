package odds

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// shareSD is the standard deviation of a share of builds.
func shareSD(p float64) float64 { return math.Sqrt(p * (1 - p) / builds) }

// TestAllChecksAtOnce: the odds that all hold are those of the event, not the product nor the least of single odds.
func TestAllChecksAtOnce(t *testing.T) {
	for _, tt := range []struct {
		name, sheet               string
		holds, fails, waits, none float64
	}{
		{"apart", "a : 1 ± 1\nb : 3 ± 1\ncheck p = a > 0.4\ncheck q = b < 3.5\n", 0.8 * 0.75, 1 - 0.8*0.75, 0, 0},
		{"within", "a : 1 ± 1\ncheck p = a > 0.4\ncheck q = a > 1.2\n", 0.4, 0.6, 0, 0},
		{"never", "a : 1 ± 1\ncheck p = a > 1.2\ncheck q = a < 1\n", 0, 1, 0, 0},
		{"one", "a : 1 ± 1\ncheck p = a > 0.4\n", 0.8, 0.2, 0, 0},
		// without a root in 1 of 2, of which the other check fails in half
		{"none", "a : 1 ± 1\nb : 3 ± 1\ncheck p = sqrt(a - 1) < 2\ncheck q = b < 3\n", 0.25, 0.5, 0, 0.25},
		{"waits", "a : 1 ± 1\nc :\ncheck p = a > 1 ? c > 1 : true\ncheck q = a > 0.5\n", 0.25, 0.25, 0.5, 0},
		// one waits and the other has no result in the same build: not all of them wait
		{"both", "a : 1 ± 1\nc :\ncheck p = a > 1 ? c > 1 : true\ncheck q = sqrt(1 - a) < 2\n", 0.5, 0, 0, 0.5},
	} {
		t.Run(tt.name, func(t *testing.T) {
			all := oddsOf(t, tt.sheet, Options{Builds: builds, Seed: 5}).All
			near(t, "holds", tt.holds, all.Holds, shareSD(tt.holds))
			near(t, "fails", tt.fails, all.Fails, shareSD(tt.fails))
			near(t, "waits", tt.waits, all.Waits, shareSD(tt.waits))
			near(t, "none", tt.none, all.None, shareSD(tt.none))
			assert.InDelta(t, 1, all.Holds+all.Fails+all.Waits+all.None, 1e-12)
		})
	}
}

// TestAllChecksAreUndeclaredTogether: what is undeclared behind one check is so behind all, named once, and moves as
// far as it moves the check that it moves most.
func TestAllChecksAreUndeclaredTogether(t *testing.T) {
	o := oddsOf(t, "a : 1 ± 1\nb : 3\nc : 5\nd : 7 ± 1\ncheck p = a + b > 1\ncheck q = a * c > b + 2.2\ncheck r = d > 2\n",
		Options{Builds: 2000})
	require.Len(t, o.All.Undeclared, 2)
	moves := map[string]float64{}
	for _, u := range o.All.Undeclared {
		moves[u.Name] = u.Moves
	}
	assert.Equal(t, map[string]float64{"b": 1, "c": 1}, moves)
	assert.Zero(t, o.Checks[0].Undeclared[0].Moves, "b alone flips the first check nowhere")
	assert.Empty(t, oddsOf(t, "a : 1 ± 1\ncheck p = a > 1\n", Options{Builds: 2000}).All.Undeclared)
}

// TestPartsShareWhatOneMayTake: a question that is one of ten is drawn a tenth as often where nothing else ends it.
func TestPartsShareWhatOneMayTake(t *testing.T) {
	st := worked(t, "a : 1 ± 0.5\ny = a > 1.4999 ? 1e6 : a\n") // its spread stays unsteady
	q, err := ask(st, nil)
	require.NoError(t, err)
	whole, err := q.planFor(Options{})
	require.NoError(t, err)
	part, err := q.planFor(Options{Parts: 10})
	require.NoError(t, err)
	assert.Equal(t, mostDefault, whole.most)
	assert.Equal(t, mostDefault/10, part.most)
}

// TestUndeclaredBehindWhatHasNoValue: of a result that has no value in the sheet nobody can tell what moves it, so all that
// it rests on counts. And what one check has on the left of a ?? does not count as weighed in another one.
func TestUndeclaredBehindWhatHasNoValue(t *testing.T) {
	o := oddsOf(t, "a : 1 ± 1\nb : 3\nc : 5\nw : 2\nroot = sqrt(a - b) + c\n"+
		"check p = (w ?? 1) + a > 1\ncheck q = w * a > 1\n", Options{Builds: 200})
	names := func(of []Undeclared) (names []string) {
		for _, u := range of {
			names = append(names, u.Name)
		}
		return names
	}
	assert.ElementsMatch(t, []string{"b", "c"}, names(o.Results[0].Undeclared))
	assert.Empty(t, o.Checks[0].Undeclared)
	assert.Equal(t, []string{"w"}, names(o.Checks[1].Undeclared))
	assert.Zero(t, o.Checks[1].Undeclared[0].Moves, "it has been tried, and flips nothing")
}

// TestRestOfWhatHasNoResult: where builds have no result it is said that the range is of the others.
func TestRestOfWhatHasNoResult(t *testing.T) {
	o := oddsOf(t, "a : 1 ± 2\nroot = sqrt(a)\n", Options{Builds: builds})
	near(t, "none", 0.25, o.Results[0].None, shareSD(0.25))
	assert.Equal(t, Missing, o.Results[0].Remark)
	assert.False(t, Missing.FirstOrderHolds())
}

// TestWhatIsSharedOutComesToTheSame: parts that have been weighed together share that weight out, whatever each by itself
// is thought to weigh, so that nothing behind them moves their sum, however it is rounded.
func TestWhatIsSharedOutComesToTheSame(t *testing.T) {
	o := oddsOf(t, `
together [oz] : 8.83
density       : 7.1
table parts
  part | size          | of
  ribs | 0.31 ± 10 %   | "wing"
  spar | 1.73 ± 10 %   | "wing"
  skin | 0.0041 ± 10 % | "wing"
  edge | 2.37 ± 10 %   | "wing"
  fin  | 0.77          | "tail"
  guess = size * density
  share = guess / sum(filter(parts, .of == "wing"), .guess)
  weight [oz] = of == "wing" ? together * share : 3 [oz]
all [oz] = sum(parts.weight)
`, Options{Builds: 200})
	all := o.Results[len(o.Results)-1]
	assert.Equal(t, "all", all.Name)
	assert.Zero(t, all.SD)
	assert.Zero(t, all.First.SD)
	assert.Empty(t, all.Shares)
	for _, u := range all.Undeclared {
		assert.NotEqual(t, "density", u.Name)
	}
}
