package library_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
)

// poweredWith loads the powered starter with one page added.
func poweredWith(t *testing.T, page string) *engine.Model {
	t.Helper()
	return starterWith(t, "powered", page)
}

// starterWith loads a starter with one page added.
func starterWith(t *testing.T, name, page string) *engine.Model {
	t.Helper()
	for _, p := range library.PagesFor(name) {
		if p.Name == page {
			m, _ := withPages(t, name, p)
			return m
		}
	}
	require.Fail(t, "no such page", page)
	return nil
}

// TestMotorWanted: power by weight, what the largest propeller takes of it, and the weight that balances.
func TestMotorWanted(t *testing.T) {
	m := poweredWith(t, "Motor wanted")
	pounds := numberOf(t, m, "all_up") / 16
	volts := 3 * 3.7
	turns := func(shaft float64) float64 {
		pitch := math.Round(0.6*11/0.5) * 0.5 / 11
		return 60 * math.Cbrt(shaft/((-0.0052+0.0857*pitch)*air*math.Pow(11*inch, 5)))
	}
	agree(t, m, map[string]float64{
		"least_input": 45 * pounds, "most_input": 75 * pounds, // cabin and trainer, common practice
		"engine_input": 2000 * 2.5 / 16.387064, // of a glow engine, by its size
		"ask_diameter": 11, "amps_to": 75 * pounds / volts,
		"kv_from": turns(0.7*45*pounds) / (0.9 * volts), "kv_to": turns(0.8*75*pounds) / (0.8 * volts),
	})
	// with the lightest motor and the pack at the front of its bay the model balances as wanted, and so it does with the
	// heaviest and the pack at the rear
	wanted, at := numberOf(t, m, "cg_wanted"), numberOf(t, m, "fitted[motor].station")
	pack := numberOf(t, m, "fitted[battery].weight")
	rest := 0.0 // moments about the balance of all but motor and pack
	for _, table := range []string{"cut", "fitted"} {
		entries, err := m.EntriesOf(table)
		require.NoError(t, err)
		for _, e := range entries {
			if e.Column == "weight" && e.Row != "motor" && e.Row != "battery" {
				rest += e.Number * (numberOf(t, m, table+"["+e.Row+"].station") - wanted)
			}
		}
	}
	for name, place := range map[string]float64{
		"motor_light": numberOf(t, m, "bay_front") + 2, "motor_heavy": numberOf(t, m, "bay_back") - 2,
	} {
		assert.InDelta(t, 0, rest+pack*(place-wanted)+numberOf(t, m, name)*(at-wanted), 1e-6, name)
	}

	// a candidate that draws more than its box allows, or is too heavy, does not suit
	for _, tt := range [][2]string{{"candidates[motor A].most", "9"}, {"candidates[motor A].weight", "9"}} {
		m := poweredWith(t, "Motor wanted")
		assert.Equal(t, "motor A", textOf(t, m, "best"))
		require.NoError(t, m.Set(tt[0], tt[1]))
		assert.Equal(t, "motor B", textOf(t, m, "best"), "%s = %s", tt[0], tt[1])
	}
}

func TestPlanAsDrawn(t *testing.T) {
	m := poweredWith(t, "Plan as drawn")
	power := (-0.0052 + 0.0857*0.5) * air * math.Pow(7000.0/60, 3) * math.Pow(10*inch, 5)
	area := numberOf(t, m, "wing_area") * inch * inch
	byPower := math.Cbrt(2*0.65*power/(air*area*0.035)) / mph
	byPropeller := (0.159 + 0.941*0.5) * 7000 / 60 * 10 * inch / mph
	agree(t, m, map[string]float64{
		"engine_power": power, "engine_weight": 5.6 + 0.8 + 0.9 + 1.2,
		"power_to_engine": 100 * numberOf(t, m, "shaft_power") / power,
		"plan_fastest":    math.Min(byPower, byPropeller),
		"saved":           37 - numberOf(t, m, "all_up"),
	})
	stood := numberOf(t, m, "removed[tank and plumbing].station")
	require.NoError(t, m.Set("nose_on_print", "8-1/4"))
	assert.InDelta(t, stood-12/11.875, numberOf(t, m, "removed[tank and plumbing].station"), 1e-9, "it goes with the nose")
}

func TestControls(t *testing.T) {
	m := poweredWith(t, "Controls")
	v := numberOf(t, m, "dive_speed") * mph
	scale := 12 / 11.875
	span, chord := 16.375*scale*inch, 0.28*4.5*scale*inch
	// thin-aerofoil value 0.94 for each radian: E. L. Houghton and P. W. Carpenter, sec. 4.5
	moment := 0.94 * 12 * math.Pi / 180 * air / 2 * v * v * span * chord * chord
	agree(t, m, map[string]float64{
		"surfaces[elevator].twist":  moment / (ounce * gravity * inch),
		"surfaces[elevator].needed": moment / (ounce * gravity * inch) * (7.0 / 16) / (5.0 / 8),
	})
	require.NoError(t, m.Set("surfaces[elevator].rated", "5"))
	assert.Equal(t, "elevator", textOf(t, m, "weak_servo"))
}

func TestTwoPieceWing(t *testing.T) {
	m := poweredWith(t, "Two-piece wing")
	moment := numberOf(t, m, "root_moment")
	limit := 0.65 * 2211e6 / math.Pow(25.4/4, 0.145) / psi // Shigley's Mechanical Engineering Design, tables 10-4 and 10-5
	agree(t, m, map[string]float64{
		"joiner_safety": limit * math.Pi / 32 / 64 / moment,
		"socket_safety": 2600e3 / psi / (6 * moment / (0.25 * 4.5 * 4.5)), // basswood across: Wood Handbook (2010), table 5-3a
	})
	require.NoError(t, m.Set("fitted[bolts or bands].estimated", fmt.Sprint(0.3+numberOf(t, m, "joiner_weight"))))
	assert.Equal(t, "yes", textOf(t, m, "joiner_counted"))
	require.NoError(t, m.Set("joiner", "music wire 1/8"))
	assert.Equal(t, "no", textOf(t, m, "joiner_holds"))
}

func TestCosts(t *testing.T) {
	m := poweredWith(t, "Costs")
	others := 2*9.20 + 18.50 + 14.95 + 2*14.50 + 2*3.20 + 4*7.50 + 11.40
	wood := numberOf(t, m, "wood_price")
	agree(t, m, map[string]float64{"total_bill": wood + others + 13.50})
	require.NoError(t, m.Set(`rack.at_hand["balsa sheet 3/32"].price`, "3.35"))
	agree(t, m, map[string]float64{"wood_price": wood + numberOf(t, m, "buying[fuselage sheet].buy")})
	require.NoError(t, m.Set("others[pack].price", "0.1"))
	assert.Equal(t, "pack", textOf(t, m, "unusual_price"))
}

func TestSwapsInDetail(t *testing.T) {
	m := starter(t, "powered")
	assert.Equal(t, "none", textOf(t, m, "saves_most"))
	before := numberOf(t, m, "all_up")
	require.NoError(t, m.Set("wood[longerons].stock", "balsa strip 1/4 sq"))
	saved := 4 * numberOf(t, m, "fuselage_length") * (28.0/32 - 10.0/16) / 108
	agree(t, m, map[string]float64{"swaps_save": saved, "all_up": before - saved*1.09})
	assert.Equal(t, "longerons", textOf(t, m, "saves_most"))
}

func TestTakeOffAndGlide(t *testing.T) {
	m := poweredWith(t, "Take-off and glide")
	weight := numberOf(t, m, "all_up") * ounce
	ratio, stall := numberOf(t, m, "aspect"), numberOf(t, m, "stall")*mph
	const drag, efficiency = 0.05, 0.75
	lift := math.Sqrt(drag * math.Pi * efficiency * ratio)
	wind := 3 * mph
	pull := 0.8*numberOf(t, m, "static_pull")*ounce*gravity - 0.10*weight*gravity // mown grass: from memory
	off := 1.2 * stall
	down := math.Atan(1 / (0.7 * lift / (2 * drag)))
	roll := math.Pow(1.1*stall-wind, 2) / (2 * gravity * 0.10) / 0.3048
	agree(t, m, map[string]float64{
		"glide_ratio": lift / (2 * drag),
		"run":         weight * (off - wind) * (off - wind) / (2 * pull) / 0.3048,
		"roll":        roll, "way_down": 30/math.Tan(down) + roll,
	})
}

func TestFloats(t *testing.T) {
	m := poweredWith(t, "Floats")
	volume := numberOf(t, m, "all_up") * ounce * 1.9 / 2 / 1000 / (inch * inch * inch) // of water, with nine tenths to spare
	weigh := 2*volume*1.6*16/1728 + 2
	agree(t, m, map[string]float64{
		"float_volume": volume, "float_long": volume / (0.65 * 1.75 * 2), "floats_weigh": weigh,
		"on_floats": numberOf(t, m, "all_up") + weigh - numberOf(t, m, "fitted[wheels].weight") -
			numberOf(t, m, "cut[gear wire].weight"),
	})
}
