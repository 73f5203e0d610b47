package main

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
)

// This file works the Mill Wagtail out a second time, by plain arithmetic in SI units, from nothing but its given values,
// as demo_test.go does with the Marsh Tern.

const (
	millWagtail     = "../../testdata/mill-wagtail/mill-wagtail.gusset"
	spruceStiffness = 10800e6                                 // Pa, Sitka spruce: Wood Handbook, FPL-GTR-190 (2010), table 5-3a
	spruceShear     = 7.9e6                                   // Pa, the same table
	wireDensity     = 490 * 16 * ounce / (foot * foot * foot) // kg/m^3, music wire, as its row on the rack
)

func init() {
	for unit, worth := range map[string]float64{
		"lb oz": ounce, "kg-cm": gravity * 0.01, "USD": 1, "CAD": 1, "sq ft": foot * foot, "oz in": ounce * inch, "min": 60, "ft": foot, "W/lb": 1 / (16 * ounce),
	} {
		siUnits[unit] = worth
	}
}

// biplane is the second working of the Mill Wagtail.
type biplane struct {
	demo
	scale, nose, firewall   float64
	upper, lower, area      float64 // areas
	depthUpper, depthLower  float64
	chord, quarter, front   float64 // the equivalent chord, its quarter point and its leading edge
	meanSpan, ratio         float64
	tailArea, box           float64
	wood, outline           map[string]float64
	weight, station         map[string]float64
	allUp, wanted, packAt   float64
	momentWithout, noseMass float64
}

func biplaneByHand(t *testing.T) *biplane {
	h := &biplane{demo: loadProject(t, millWagtail)}
	h.scale = 12 * inch / h.given("check_bar")
	h.nose, h.firewall = -h.given("nose_on_print")*h.scale, -h.given("firewall_on_print")*h.scale
	h.box = h.firewall - h.nose - h.given("motor_long")
	h.cell()
	h.tailArea = h.given("tailplane_span") * h.given("tailplane_chord")
	h.cut()
	h.weigh()
	return h
}

// cell works out both wings together. The interference of two wings is Prandtl's rule for equal spans (from memory, as
// the library says), taken at the mean of both.
func (h *biplane) cell() {
	upperChord, lowerChord := h.given("upper_chord"), h.given("lower_chord")
	h.upper, h.lower = h.given("upper_span")*upperChord, h.given("lower_span")*lowerChord
	h.area = h.upper + h.lower
	h.depthUpper, h.depthLower = h.given("section_thickness")*upperChord, h.given("section_thickness")*lowerChord
	h.chord = (h.upper*upperChord + h.lower*lowerChord) / h.area
	h.quarter = (h.upper*upperChord/4 + h.lower*(h.given("stagger_measured")+lowerChord/4)) / h.area
	h.front = h.quarter - h.chord/4
	h.meanSpan = (h.given("upper_span") + h.given("lower_span")) / 2
	gap := h.given("gap_measured") / h.meanSpan
	crowding := (1 - 0.66*gap) / (1.05 + 3.7*gap)
	h.ratio = 2 / (1 + crowding) * h.meanSpan * h.meanSpan / h.area
}

// pieces gives number, length and width of a row of the cutting list, those that are not given there from where they are.
func (h *biplane) piece(row string) (pieces, long, wide float64) {
	less := 1.375 * inch // leading and trailing edge take so much off a rib
	switch row {
	case "upper ribs":
		return h.given("upper_ribs"), h.given("upper_chord") - less, h.depthUpper
	case "lower ribs":
		return h.given("lower_ribs"), h.given("lower_chord") - less, h.depthLower
	case "ailerons":
		return 2, h.given("aileron_span"), h.given("aileron_chord")
	case "aileron spars":
		return 2, h.given("aileron_span"), inch / 4
	case "interplane struts":
		return 4, h.given("strut_long"), inch / 2
	case "motor box":
		return 4, h.box, 2.25 * inch
	case "tailplane":
		return 1, h.given("tailplane_span"), h.given("tailplane_chord")
	}
	return h.row("cut", row, "pieces"), h.row("cut", row, "long"), h.row("cut", row, "wide")
}

// rack returns what is given of a stock in the loft.
func (h *biplane) rack(stock, column string) float64 {
	h.t.Helper()
	return h.row("rack.stock", stock, column)
}

// cut weighs the cutting list: pieces x length x width x thickness x density x what is left after cutting out.
func (h *biplane) cut() {
	h.wood, h.outline = map[string]float64{}, map[string]float64{}
	for _, r := range h.table("cut").Rows {
		pieces, long, wide := h.piece(r.Name)
		stock := h.text(h.entry("cut", r.Name, "stock"))
		h.outline[r.Name] = pieces * long * wide
		h.wood[r.Name] = h.outline[r.Name] * h.row("cut", r.Name, "left") * h.rack(stock, "thickness") * h.rack(stock, "density")
	}
}

func (h *biplane) woodOf(group string) float64 {
	sum := 0.0
	for piece, w := range h.wood {
		if h.text(h.entry("cut", piece, "group")) == group {
			sum += w
		}
	}
	return sum
}

func (h *biplane) film(name string, area float64) float64 {
	return area * h.row("rack.coverings", h.text(name), "per_area")
}

// wire returns the weight of a length of wire.
func (h *biplane) wire(stock string, long float64) float64 {
	d := h.rack(h.text(stock), "thickness")
	return math.Pi / 4 * d * d * long * wireDensity
}

// estimates returns the weights that the sheet works out where a part has not been on the scale.
func (h *biplane) estimates() map[string]float64 {
	w, glue, around := h.wood, h.given("glue_share"), 2*h.given("wrap")
	return map[string]float64{
		"motor": h.given("motor_weight"), "motor box": w["motor box"] + 0.3*ounce, "doublers": w["doublers"],
		"longerons": w["longerons"], "stringers and decks": w["stringers"] + w["decks"], "belly": w["belly"],
		"glue in fuselage": glue * h.woodOf("fuselage"), "fuselage film": h.film("wing_covering", h.given("fuselage_skin")),
		"upper wing film": h.film("wing_covering", around*h.upper), "lower wing film": h.film("wing_covering", around*h.lower),
		"lower wing frame": h.woodOf("lower") * (1 + glue), "cabanes": 2*h.wire("cabane_stock", h.given("cabane_wire")) + 0.3*ounce,
		"undercarriage wire": h.wire("gear_stock", h.given("gear_wire_long")) + h.given("spreader_wire"), "gear plate": w["gear plate"],
		"tail film and glue": h.film("tail_covering", 2*(h.tailArea+h.given("fin_area"))) + glue*h.woodOf("tail"),
	}
}

// weigh takes what was weighed, else what was estimated, and puts the battery where the moments about the wanted
// balance point come to nothing.
func (h *biplane) weigh() {
	estimates := h.estimates()
	h.weight, h.station = map[string]float64{}, map[string]float64{
		"propeller and spinner": h.nose, "motor": h.nose + h.given("motor_long")/2, "wheels": h.given("axle_at"),
	}
	for _, r := range h.table("parts").Rows {
		weight, onScale := h.weighed(r.Name)
		if estimate, worked := estimates[r.Name]; !onScale && worked {
			weight = estimate
		} else if !onScale {
			weight = h.row("parts", r.Name, "estimated")
		}
		h.weight[r.Name] = weight
		h.allUp += weight
		if r.Name == "battery" {
			continue
		}
		if _, worked := h.station[r.Name]; !worked {
			h.station[r.Name] = h.row("parts", r.Name, "station")
		}
		h.momentWithout += weight * h.station[r.Name]
	}
	h.wanted = h.front + h.given("balance_share")*h.chord
	h.packAt = (h.allUp*h.wanted - h.momentWithout) / h.weight["battery"]
	h.noseMass = h.weight["motor"] + h.weight["propeller and spinner"]
}

func TestMillWagtailIsAWholeModel(t *testing.T) {
	d := loadProject(t, millWagtail)
	d.isWholeModel(240, 15, "balance_flown", "balance_agrees")
	assert.GreaterOrEqual(t, len(d.table("parts").Rows), 35)
}

func TestMillWagtailCellByHand(t *testing.T) {
	h := biplaneByHand(t)
	h.agrees("print_scale", h.scale)
	h.agrees("upper_area", h.upper)
	h.agrees("wing_area", h.area)
	h.agrees("metric_area", h.area)
	h.agrees("equivalent_chord", h.chord)
	h.agrees("quarter_at", h.quarter)
	h.agrees("chord_from", h.front)
	h.agrees("aspect", h.ratio)
	h.agrees("upper_share", h.upper/(h.upper+h.given("lower_works")*h.lower))
	h.agrees("stagger_slope", math.Atan(h.given("stagger_measured")/h.given("gap_measured")))
	set := func(wing string) float64 {
		return math.Asin((h.given(wing+"_front_height") - h.given(wing+"_rear_height")) / h.given(wing+"_chord"))
	}
	h.agrees("wings_apart", set("lower")-set("upper"))
	h.agrees("lower_dihedral", math.Atan(h.given("lower_dihedral_rise")/(h.given("lower_span")/2)))
}

func TestMillWagtailBalanceByHand(t *testing.T) {
	h := biplaneByHand(t)
	for piece, weight := range h.wood {
		h.agrees(h.entry("cut", piece, "weight"), weight)
	}
	for part, weight := range h.weight {
		h.agrees(h.entry("parts", part, "weight"), weight)
	}
	h.agrees("all_up", h.allUp)
	h.agrees("all_up_metric", h.allUp)
	h.agrees("cg_wanted", h.wanted)
	h.agrees("cg", h.wanted)
	h.agrees("battery_at", h.packAt)
	h.agrees("pack_slide", -0.125*inch*h.allUp/h.weight["battery"])
	// With the pack on the balance point, the nose has to make up for the arm that the pack has lost.
	h.agrees("nose_longer", h.weight["battery"]*(h.wanted-h.packAt)/h.noseMass)
	old := h.given("old_engine") + h.given("old_muffler") + h.given("old_tank") + h.given("old_mount")
	h.agrees("lighter_by", old-h.given("motor_weight")-h.weight["controller"]-h.weight["battery"]-h.weight["motor box"])
	h.agrees("box_in_use", h.box)
}

func TestMillWagtailTailByHand(t *testing.T) {
	h := biplaneByHand(t)
	arm := h.given("tailplane_at") + h.given("tailplane_chord")/4 - h.quarter
	volume := h.tailArea * arm / (h.area * h.chord)
	wing, tail := polhamus(h.ratio), polhamus(h.given("tailplane_span")/h.given("tailplane_chord"))
	lift := h.given("tail_efficiency") * tail / wing * (1 - 2*wing/(math.Pi*h.ratio)) * h.tailArea / h.area // of the tail for one of the wing
	neutral := 0.25 + lift*arm/h.chord/(1+lift) - h.given("body_loss")
	h.agrees("tailplane_volume", volume)
	h.agrees("fin_share", h.given("fin_area")*(h.given("fin_at")-h.quarter)/(h.area*h.meanSpan))
	h.agrees("static_margin", neutral-h.given("balance_share"))
}

func TestMillWagtailAileronsByHand(t *testing.T) {
	h := biplaneByHand(t)
	span, chord := h.given("aileron_span"), h.given("aileron_chord")
	h.agrees("of_both_wings", 2*span*chord/h.area)
	h.agrees("of_lower_wing", 2*span*chord/h.lower)
	q := air / 2 * h.given("dive_speed") * h.given("dive_speed")
	twist := hingeSlope * h.given("aileron_up") * q * span * chord * chord
	h.agrees("aileron_twist", twist)
	h.agrees("servo_needed", twist*h.given("servo_arm")/h.given("horn_arm"))
}

func TestMillWagtailPowerByHand(t *testing.T) {
	h := biplaneByHand(t)
	cells := h.given("cells")
	volts := cells * h.given("cell_in_use")
	ohms := h.given("motor_resistance") + h.given("between") + cells*h.given("cell_resistance")
	size, pitch := h.given("diameter"), h.given("pitch")
	current := func(speed float64) float64 { return (volts - speed/h.given("motor_kv")) / ohms }
	takes := func(speed float64) float64 {
		return (-0.0052 + 0.0857*pitch/size) * air * math.Pow(speed/(2*math.Pi), 3) * math.Pow(size, 5)
	}
	slow, fast := 420.0, 790.0 // rad/s: the motor gives more than the propeller takes, and less
	for range 200 {
		middle := (slow + fast) / 2
		if (current(middle)-h.given("motor_idle"))*(volts-current(middle)*ohms) > takes(middle) {
			slow = middle
		} else {
			fast = middle
		}
	}
	h.agrees("static_rpm", slow)
	h.agrees("static_current", current(slow))
	h.agrees(`limits["motor"].share`, current(slow)/h.row("limits", "motor", "allowed"))
	h.agrees(`limits["controller"].share`, current(slow)/(0.8*50))
	h.agrees(`limits["pack"].share`, current(slow)/(h.given("c_rating")/2*h.given("capacity")/3600))
	turns := slow / (2 * math.Pi)
	pull := (0.0376 + 0.1085*pitch/size) * math.Pow(turns*60/5000, 0.11) * air * turns * turns * math.Pow(size, 4)
	h.agrees("static_pull", pull)
	h.agrees("pull_metric", pull)
	h.agrees("pull_share", pull/(h.allUp*gravity))
	h.agrees("pitch_speed", pitch*turns)
	h.agrees("watts", (volts-current(slow)*cells*h.given("cell_resistance"))*current(slow)/h.allUp)
	h.agrees("flat_out", 0.8*h.given("capacity")/current(slow))
}

func TestMillWagtailStructureByHand(t *testing.T) {
	h := biplaneByHand(t)
	require.Equal(t, "Sitka spruce", h.text("spar_wood"))
	share := h.upper / (h.upper + h.given("lower_works")*h.lower)
	lift := h.si("bench.load_factor") * h.allUp * gravity
	skin := 2 * h.given("skin_over_caps")
	wing := func(stock string, lift, span, depth float64) float64 {
		moment := lift / 2 * span / 4 // half the lift, halfway out
		return spruce / capStress(moment, h.rack(h.text(stock), "width"), h.rack(h.text(stock), "thickness"), depth-skin)
	}
	h.agrees("upper_safety", wing("upper_cap_stock", lift*share, h.given("upper_span"), h.depthUpper))
	wings := 0.0
	for part, weight := range h.weight {
		if group := h.text(h.entry("parts", part, "group")); group == "upper" || group == "lower" || group == "struts" {
			wings += weight
		}
	}
	h.agrees("sand_on_wings", h.si("bench.load_factor")*(h.allUp-wings)-wings)
	h.agrees("lower_safety", wing("lower_cap_stock", lift*(1-share), h.given("lower_span"), h.depthLower))
	web := h.text("web_stock")
	h.agrees("web_stress", lift*share/2/(h.rack(web, "thickness")*(h.depthUpper-skin-2*h.rack(h.text("upper_cap_stock"), "thickness"))))
	h.agrees("web_strength", balsaShear*h.rack(web, "density")/balsaDensity)

	// Upside down, the upper half wing rests on the struts and on the cabanes as a beam on two supports.
	pushed := h.given("inverted_share") * lift * share / 2
	strut := pushed * (h.given("upper_span") / 4) / h.given("strut_out") / 2
	cabane := pushed/2 - strut
	h.agrees("strut_push", strut)
	h.agrees("cabane_push", cabane)
	h.agrees("plate_needed", strut*h.si("bench.glue_safety")/math.Min(spruceShear, rollingShear))
	// Euler's column, ends free to turn.
	stock := h.text("strut_stock")
	flat := h.rack(stock, "width") * math.Pow(h.rack(stock, "thickness"), 3) / 12
	h.agrees("strut_buckles", math.Pi*math.Pi*spruceStiffness*flat/math.Pow(h.given("strut_long"), 2))
	wire := h.rack(h.text("cabane_stock"), "thickness")
	const stiffness = 28.5e6 * 16 * ounce * gravity / (inch * inch) // music wire of 0.064 to 0.125 in: Shigley's Mechanical Engineering Design, table 10-5
	h.agrees("cabane_buckles", math.Pow(math.Pi, 3)*stiffness*math.Pow(wire, 4)/64/math.Pow(h.given("cabane_leg"), 2))
}

func TestMillWagtailUndercarriageByHand(t *testing.T) {
	h := biplaneByHand(t)
	height, out, rake := h.given("gear_height"), h.given("half_track")-h.given("clamp_out"), h.given("gear_rake")
	leg := math.Sqrt(height*height + out*out + rake*rake)
	push := h.given("landing_load_factor") * h.allUp * gravity / 2 * out / math.Hypot(height, out)
	wire := h.rack(h.text("gear_stock"), "thickness")
	stress := push * leg * 32 / (math.Pi * math.Pow(wire, 3))
	strength := 2211e6 / math.Pow(wire*1000, 0.145) // music wire to ASTM A228: Shigley, table 10-4
	h.agrees("gear_leg", leg)
	h.agrees("gear_stress", stress)
	h.agrees("gear_safety", 0.65*strength/stress)
	level := h.given("shaft_height") - h.given("diameter")/2
	h.agrees("level_room", level)
	sin, cos := math.Sincos(h.given("ground_angle"))
	h.agrees("tail_down_room", (h.given("axle_at")-h.nose)*sin+level*cos)
	h.agrees("nose_over", math.Atan((h.wanted-h.given("axle_at"))/h.given("cg_height")))
}

func TestMillWagtailFlyingByHand(t *testing.T) {
	h := biplaneByHand(t)
	h.agrees("loading", h.allUp/h.area)
	h.agrees("loading_metric", h.allUp/h.area)
	h.agrees("cube_loading", h.allUp/math.Pow(h.area, 1.5))
	stall := math.Sqrt(2 * h.allUp * gravity / (air * h.area * h.given("max_lift")))
	h.agrees("stall", stall)
	h.agrees("stall_banked", stall/math.Sqrt(math.Cos(h.given("bank"))))
	volts := h.given("cells") * h.given("cell_in_use")
	power := func(speed float64) (glide, watts, lasts float64) {
		pressure := air / 2 * speed * speed
		lift := h.allUp * gravity / (pressure * h.area)
		drag := h.given("drag_at_no_lift") + lift*lift/(math.Pi*h.given("span_efficiency")*h.ratio)
		watts = pressure * h.area * drag * speed
		return lift / drag, watts, 0.8 * h.given("capacity") / (watts / h.given("cruise_share") / volts)
	}
	_, watts, lasts := power(h.given("cruise"))
	h.agrees("cruise_power", watts)
	h.agrees("cruise_time", lasts)
	best := 0.0
	for _, r := range h.table("speeds").Rows {
		glide, watts, lasts := power(h.row("speeds", r.Name, "airspeed"))
		h.agrees(h.entry("speeds", r.Name, "power"), watts)
		h.agrees(h.entry("speeds", r.Name, "lasts"), lasts)
		best = math.Max(best, glide)
	}
	h.agrees("best_glide", best)
}

func TestMillWagtailCostsByHand(t *testing.T) {
	h := biplaneByHand(t)
	timber, extras := 0.0, 0.0
	for _, r := range h.table("timber").Rows {
		outline := 0.0
		for piece, area := range h.outline {
			if h.text(h.entry("cut", piece, "stock")) == r.Name {
				outline += area
			}
		}
		needed := outline/(h.rack(r.Name, "width")*h.rack(r.Name, "length")) + h.row("timber", r.Name, "by_hand")
		timber += math.Max(0, math.Ceil(needed*(1+h.si("bench.wood_waste"))-h.rack(r.Name, "on_hand"))) * h.rack(r.Name, "price")
	}
	h.agrees("timber_bill", timber)
	for _, r := range h.table("extras").Rows {
		v, err := h.m.Value(h.entry("extras", r.Name, "in_drawer"))
		require.NoError(t, err)
		switch {
		case v.Number == 1:
		case r.Name == "motor":
			extras += h.given("motor_price") * h.si("bench.dollar_rate")
		case r.Name == "aliphatic glue":
			extras += h.si("bench.glue_price")
		default:
			extras += h.row("extras", r.Name, "price")
		}
	}
	h.agrees("extras_bill", extras)
	skin := 2*h.given("wrap")*h.area + h.given("fuselage_skin")
	roll := func(covering string) float64 {
		return h.row("rack.coverings", h.text(covering), "roll_width") * h.row("rack.coverings", h.text(covering), "roll_length")
	}
	rolls := math.Ceil(skin*(1+h.given("overlap"))/roll("wing_covering")) +
		math.Ceil(2*(h.tailArea+h.given("fin_area"))*(1+h.given("overlap"))/roll("tail_covering"))
	h.agrees("film_bill", rolls*h.si("bench.film_price"))
	h.agrees("total_bill", (timber+extras+rolls*h.si("bench.film_price"))*(1+h.si("bench.sales_tax")))
}

// TestMillWagtailOtherPack: the pack weighs more, so it moves towards the balance point; a stock that the loft does not
// have is a cell without a result, with a reason, no error.
func TestMillWagtailOtherPack(t *testing.T) {
	h := biplaneByHand(t)
	require.Less(t, h.packAt, h.wanted)
	require.NoError(t, h.m.Set(`parts["battery"].weighed`, "420 g"))
	heavier := h.allUp - h.weight["battery"] + 0.42
	h.agrees("battery_at", (heavier*h.wanted-h.momentWithout)/0.42)
	assert.Greater(t, h.si("battery_at"), h.packAt)
	require.NoError(t, h.m.Set("strut_stock", "no such stick"))
	v, err := h.m.Value("strut_buckles")
	require.NoError(t, err)
	assert.Equal(t, engine.None, v.Status)
	assert.Contains(t, v.Reason, "no such stick")
}
