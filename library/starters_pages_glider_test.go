package library_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestGlideAndSink(t *testing.T) {
	m := starterWith(t, "glider", "Glide and sink")
	g := shapeOfGlider()
	allUp, stall := numberOf(t, m, "all_up"), numberOf(t, m, "stall")
	// sink over the speeds, from lift and drag at each; the table begins at the stall
	slowest, home := math.Inf(1), 0.0
	for i := range 17 {
		v := stall * (1 + float64(i)/10) * mph
		lift := 2 * allUp * ounce * gravity / (air * g.area * inch * inch * v * v)
		drag := 0.022 + lift*lift/(math.Pi*0.9*g.ratio)
		sink := v / math.Hypot(1, lift/drag)
		slowest = math.Min(slowest, sink)
		home = math.Max(home, (v-14*mph)/sink)
	}
	first, err := m.Value("speeds[1].airspeed")
	require.NoError(t, err)
	assert.InEpsilon(t, stallMPH(allUp, g.area, numberOf(t, m, "max_lift")), first.Number, 1e-9)
	agree(t, m, map[string]float64{
		"slowest_sink": slowest / 0.3048 * 60, "home_in_wind": home,
		"time_up":        250 * 0.3048 / slowest / 60,
		"reach_of_glide": 250 * numberOf(t, m, "best_glide"),
		// in a circle lift bears the weight over the cosine of the bank: both speed and drag grow with it
		"sink_in_circle": slowest / 0.3048 * 60 / math.Pow(math.Cos(math.Pi/6), 1.5),
		"air_rises":      7 * mph * math.Sin(math.Pi/9) / 0.3048 * 60,
	})
	require.NoError(t, m.Set("wind", "4"))
	assert.Equal(t, "no", textOf(t, m, "stays_up_on_slope"))
}

func TestLaunches(t *testing.T) {
	m := starterWith(t, "glider", "Launches")
	// L. R. G. Treloar, Transactions of the Faraday Society 40 (1944) 59, between 142 and 202 % of stretch; in kgf/cm^2
	stress := (6.90 + (3-2.42)/(3.02-2.42)*(8.80-6.90)) * gravity * 1e4 / psi
	pull := stress * math.Pi / 64
	agree(t, m, map[string]float64{
		"rubber_pull": pull, "weights_pulled": pull / (numberOf(t, m, "all_up") / 16),
		"throw_wanted":   1.2 * numberOf(t, m, "stall"),
		"winch_airspeed": 20*0.3048/mph + 14,
	})
	for check, set := range map[string][2]string{
		"rubber_as_measured": {"rubber_thick", "3/8"}, "throws_fast_enough": {"throw_speed", "12"},
		"winch_in_bounds": {"line_in", "50"}, "rubber_not_overdrawn": {"drawn_out", "180"},
	} {
		m := starterWith(t, "glider", "Launches")
		assert.Equal(t, "yes", textOf(t, m, check))
		require.NoError(t, m.Set(set[0], set[1]))
		assert.Equal(t, "no", textOf(t, m, check), check)
	}
}

func TestIncidenceBoard(t *testing.T) {
	m := starterWith(t, "glider", "Incidence board")
	wing := math.Asin(5.0/16/(8.5*gliderScale)) * 180 / math.Pi
	agree(t, m, map[string]float64{"rigged_built": wing})
	require.NoError(t, m.Set("tail_front_high", "1-5/8"))
	tail := math.Asin(1.0/8/(4.25*gliderScale)) * 180 / math.Pi
	agree(t, m, map[string]float64{"rigged_built": wing - tail})
	assert.Equal(t, "no", textOf(t, m, "rigged_as_planned"), "the tailplane's nose is up by more than half a degree")
}

func TestGliderCosts(t *testing.T) {
	m := starterWith(t, "glider", "Costs")
	wood := numberOf(t, m, "wood_price")
	skins := numberOf(t, m, "wing_skin") + numberOf(t, m, "body_skin") + numberOf(t, m, "tail_skin")
	others := 2*9.20 + 9.50 + 2*7.50 + 8.50 + 14.00
	agree(t, m, map[string]float64{"total_bill": wood + others + math.Ceil(skins/1872)*13.50})
	require.NoError(t, m.Set(`rack.at_hand["balsa sheet 3/32"].price`, "3.35"))
	agree(t, m, map[string]float64{"wood_price": wood + numberOf(t, m, "buying[fuselage sheet].buy")})
}

func TestGliderSwapsInDetail(t *testing.T) {
	m := starter(t, "glider")
	before := numberOf(t, m, "all_up") - numberOf(t, m, "nose_lead")
	require.NoError(t, m.Set("wood[nose block].stock", "balsa sheet 3/16"))
	// both of 8 lb/cu ft
	saved := 6 * 0.6 * 2.5 * 0.8 * 2.25 * gliderScale * gliderScale * (1.0 / 16) * 8 / 108
	agree(t, m, map[string]float64{
		"swaps_save": saved, "detail[nose block].strength": math.Pow(0.75, 2),
	})
	assert.InEpsilon(t, before-saved*1.09, numberOf(t, m, "all_up")-numberOf(t, m, "nose_lead"), 1e-9)
	assert.Equal(t, "nose block", textOf(t, m, "saves_most"))
}

func TestTransport(t *testing.T) {
	m := starterWith(t, "glider", "Transport")
	agree(t, m, map[string]float64{"longest_piece": 49 * gliderScale})
	require.NoError(t, m.Set("roof_box", "48"))
	assert.Equal(t, "no", textOf(t, m, "fits_the_box"))
	require.NoError(t, m.Set("rack.loft_door", "48"))
	assert.Equal(t, "no", textOf(t, m, "through_the_door"))
}

func TestGliderControls(t *testing.T) {
	m := starterWith(t, "glider", "Controls")
	v := numberOf(t, m, "dive_speed") * mph
	span, chord := 20*gliderScale*inch, 1.5*gliderScale*inch
	// thin-aerofoil value 0.94 for each radian: E. L. Houghton and P. W. Carpenter, sec. 4.5
	moment := 0.94 * 12 * math.Pi / 180 * air / 2 * v * v * span * chord * chord
	agree(t, m, map[string]float64{
		"surfaces[elevator].twist":  moment / (ounce * gravity * inch),
		"surfaces[elevator].needed": moment / (ounce * gravity * inch) * (7.0 / 16) / (5.0 / 8),
	})
	require.NoError(t, m.Set("surfaces[rudder].rated", "6"))
	assert.Equal(t, "rudder", textOf(t, m, "weak_servo"))
}

func TestGliderAsDrawn(t *testing.T) {
	m := starterWith(t, "glider", "Plan as drawn")
	g := shapeOfGlider()
	agree(t, m, map[string]float64{
		"saved": 34 - numberOf(t, m, "all_up"), "plan_stall": stallMPH(34, g.area, numberOf(t, m, "max_lift")),
		"plan_loading": 34 * 144 / g.area,
	})
	require.NoError(t, m.Set("plan_weight", "26"))
	assert.Equal(t, "no", textOf(t, m, "within_drawn"), "a glider that came out so much heavier")
}

func TestSection(t *testing.T) {
	m := starterWith(t, "glider", "Section")
	// by strips of a tenth of the chord; the nose and the tail have no depth
	sum := 51.0/64 + 15.0/16 + 31.0/32 + 15.0/16 + 7.0/8 + 3.0/4 + 39.0/64 + 7.0/16 + 15.0/64
	agree(t, m, map[string]float64{
		"rib_area": sum * 0.85, "rib_fills": 100 * sum * 0.85 / (31.0 / 32 * 8.5), "deepest_at": 30,
		// the mean line is highest over the chord line at four tenths
		"camber": 100 * (15.0/32 - 0.6*19/64) / 8.5,
	})
	// published coordinates of the section 0012, after NACA Report 460 (1933), at 30 % of the chord
	assert.InEpsilon(t, 2*0.0600172/0.12*31/32, numberOf(t, m, "heights[third].usual_deep"), 1e-4)
	assert.Equal(t, "flat-bottomed", textOf(t, m, "looks_like"))
	require.NoError(t, m.Set("section", "symmetric"))
	assert.Equal(t, "no", textOf(t, m, "section_as_chosen"))
	require.NoError(t, m.Set("heights[seventh].upper", "1/4"))
	assert.Equal(t, "seventh", textOf(t, m, "odd_height"))
}
