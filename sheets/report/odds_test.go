package report

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gusset/engine"
	"gusset/units"
)

// TestInputNames: a weight goes by its row, where no other input does; anything else says which column it is.
func TestInputNames(t *testing.T) {
	t.Parallel()
	inputs := []Input{
		{`parts["tail"].estimated`, units.Mass}, {`parts["wing"].station`, units.Length}, {"glue_share", units.Dim{}},
		{`parts["motor"].other`, units.Mass}, {`spares["motor"].other`, units.Mass},
		{`cut["fin"].long`, units.Length}, {`cut["fin"].wide`, units.Length},
	}
	assert.Equal(t, []string{"tail", "wing station", "glue_share", `parts["motor"].other`, `spares["motor"].other`,
		"fin long", "fin wide"}, InputNames(inputs))
	assert.Equal(t, "weigh", ToDo(inputs[:1]))
	assert.Equal(t, "measure", ToDo(inputs[1:3]))
	assert.Equal(t, "weigh or measure", ToDo(inputs[:2]))
}

// TestEnds: counts are whole; what is not a count has as many digits as its spread.
func TestEnds(t *testing.T) {
	t.Parallel()
	count := engine.Value{Number: 3}
	for _, tt := range []struct {
		of        engine.Value
		low, high float64
		want      string
	}{
		{count, 2, 12, "2 to 12"},
		{count, 2, 3.75, "2.00 to 3.75"},
		{engine.Value{Number: 2.5}, 2, 3, "2.00 to 3.00"},
		{count, -0.001, 3.5, "0.00 to 3.50"},
	} {
		assert.Equal(t, tt.want, Between(tt.of, tt.low, tt.high, 0.5))
	}
}

// TestHoldsIn: what is never known is not said to hold in none, nor to be unlikely; where pieces of 1 of 100 count, less
// than that is said as such.
func TestHoldsIn(t *testing.T) {
	t.Parallel()
	undeclared := []engine.Undeclared{{Name: "a"}}
	for _, tt := range []struct {
		of   engine.Outcome
		want string
	}{
		{engine.Outcome{Holds: 0.5, Fails: 0.5}, "holds in 50 of 100"},
		{engine.Outcome{Holds: 0.999, Fails: 0.001}, "holds in over 99 of 100"},
		{engine.Outcome{Holds: 1}, "holds in all of 1000 builds"},
		{engine.Outcome{Waits: 1}, "waits in all of 1000 builds"},
		{engine.Outcome{Waits: 1, Undeclared: undeclared}, "waits in all of 1000 builds"},
		{engine.Outcome{Waits: 0.4, None: 0.6}, "waits in 40 of 100, has no result in 60 of 100"},
		{engine.Outcome{Holds: 0.9, Fails: 0.098, None: 0.002, Undeclared: undeclared},
			"likely, has no result in under 1 of 100"},
		{engine.Outcome{Fails: 1, Margin: true}, "keeps its safety in none of 1000 builds"},
	} {
		assert.Equal(t, tt.want, HoldsIn(&engine.CheckOdds{Outcome: tt.of}, 1000))
	}
}
