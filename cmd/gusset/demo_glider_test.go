package main

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
)

// This file works the Dune Whimbrel out a second time, by plain arithmetic in SI units, from nothing but its given
// values, as demo_test.go does with the Marsh Tern.

const (
	duneWhimbrel = "../../testdata/dune-whimbrel/dune-whimbrel.gusset"
	spruce       = 38.7e6               // Pa crushed along the grain, Sitka spruce: Wood Handbook, FPL-GTR-190 (2010), table 5-3a
	balsaShear   = 2.1e6                // Pa; from memory, as the library's table of woods says
	hingeSlope   = 0.94                 // 1/rad, the library's; held against thin-aerofoil theory for the Marsh Tern
	rollingShear = 250 * 6894.757293168 // Pa; plywood glued on by its face, low end of 250 to 300 psi on a general data sheet
	balsaDensity = 0.164 * 1.12 * 1000  // kg/m^3 with 12 % of water: Wood Handbook, table 5-5a, gravity 0.16 green
)

// More units of given and worked values; the base facts are exact.
func init() {
	for unit, worth := range map[string]float64{
		"mm": 1e-3, "m": 1, "g": 1e-3, "kg": 1, "dm^2": 1e-2, "m^2": 1, "g/dm^2": 0.1, "g/m^2": 1e-3, "kg/m^3": 1, "g mm": 1e-6, "g/m": 1e-3,
		"mm^3": 1e-9, "mm^2": 1e-6, "MPa": 1e6, "N": 1, "N m": 1, "m/s": 1, "s": 1, "W/kg": 1, "EUR": 1,
	} {
		siUnits[unit] = worth
	}
}

// loadProject loads the sheet of a demo project, which has no errors.
func loadProject(t *testing.T, path string) demo {
	t.Helper()
	m, err := load(path)
	require.NoError(t, err)
	require.NoError(t, m.Problems().Err())
	return demo{t: t, m: m}
}

// row returns an entry of a table in SI units.
func (d demo) row(table, row, column string) float64 {
	d.t.Helper()
	return d.si(d.entry(table, row, column))
}

// weighed returns what a part was found to weigh, if it was on the scale.
func (d demo) weighed(part string) (float64, bool) {
	d.t.Helper()
	v := d.value(d.entry("parts", part, "weighed"))
	if v.Status != engine.OK {
		return 0, false
	}
	return v.Number * siUnits[v.Unit.String()], true
}

// isWholeModel: everything has a result, every given cell says how it was measured, and all checks hold but those named, which
// wait for the flying. It has so many cells on so many pages.
func (d demo) isWholeModel(cells, pages int, waiting ...string) {
	t := d.t
	t.Helper()
	seen := 0
	for _, p := range d.m.Pages() {
		for _, it := range p.Items {
			if it.Table != nil {
				for _, r := range it.Table.Rows {
					for _, v := range r.Values {
						assert.NotEqual(t, engine.None, v.Status, "%s, row %s: %s", it.Table.Name, r.Name, v.Reason)
					}
				}
			}
			if it.Cell == nil {
				continue
			}
			seen++
			c := it.Cell
			if c.Kind == engine.Given {
				assert.NotEmpty(t, c.Note, c.Name)
			}
			switch {
			case c.Status == engine.Waits:
				assert.Contains(t, waiting, c.Name)
			case c.Kind == engine.Check:
				assert.Equal(t, engine.CheckHolds, c.State(), c.Name)
			default:
				assert.Equal(t, engine.OK, c.Status, "%s: %s", c.Name, c.Reason)
			}
		}
	}
	assert.GreaterOrEqual(t, seen, cells)
	assert.GreaterOrEqual(t, len(d.m.Pages()), pages)
	assert.Empty(t, d.m.Problems(), "no remarks")
}

// glider is the second working of the Dune Whimbrel.
type glider struct {
	demo
	scale, span, area, chord, out, back float64 // mean chord: its length, how far out it lies, and how far behind the root's leading edge
	rootDepth, breakDepth               float64
	tailArea, finArea                   float64
	wood, outline                       map[string]float64
	weight, station                     map[string]float64
	allUp, wanted, lead                 float64
}

func gliderByHand(t *testing.T) *glider {
	h := &glider{demo: loadProject(t, duneWhimbrel)}
	h.scale = 0.3 / h.given("check_bar")
	h.shape()
	h.tailArea = h.given("tailplane_span") * (h.given("tailplane_root") + h.given("tailplane_tip")) / 2
	h.finArea = h.given("fin_area")
	h.cut()
	h.weigh()
	return h
}

// simpson integrates from 0 to a length what is a quadratic at most, for which Simpson's rule is exact.
func simpson(length float64, f func(at float64) float64) float64 {
	return length / 6 * (f(0) + 4*f(length/2) + f(length))
}

// shape adds up area and mean chord along the half wing: mean chord = integral of c^2 over integral of c.
func (h *glider) shape() {
	var half, squares, outs, backs float64
	for _, p := range h.table("panels").Rows {
		root, tip, span := h.row("panels", p.Name, "root"), h.row("panels", p.Name, "tip"), h.row("panels", p.Name, "panel_span")
		out, back, sweep := h.row("panels", p.Name, "out"), h.row("panels", p.Name, "back"), h.row("panels", p.Name, "sweep_back")
		chord := func(y float64) float64 { return root + (tip-root)*y/span }
		half += simpson(span, chord)
		squares += simpson(span, func(y float64) float64 { return chord(y) * chord(y) })
		outs += simpson(span, func(y float64) float64 { return (out + y) * chord(y) })
		backs += simpson(span, func(y float64) float64 { return (back + sweep*y/span) * chord(y) })
		h.span += 2 * span
	}
	h.area, h.chord, h.out, h.back = 2*half, squares/half, outs/half, backs/half
	h.rootDepth = h.given("section_thickness") * h.row("panels", "inner", "root")
	h.breakDepth = h.given("section_thickness") * h.row("panels", "outer", "root")
}

// cut weighs the cutting list: pieces x length x width x thickness x density x what is left after cutting out.
func (h *glider) cut() {
	h.wood, h.outline = map[string]float64{}, map[string]float64{}
	for _, r := range h.table("cut").Rows {
		outline, left := 0.0, h.row("cut", r.Name, "left")
		if r.Name == "ribs" {
			outline = h.given("ribs") * h.given("rib_long") * h.given("section_thickness") * h.area / h.span
			left = h.given("rib_full")
		} else {
			outline = h.row("cut", r.Name, "pieces") * h.row("cut", r.Name, "long") * h.row("cut", r.Name, "wide")
		}
		stock := h.text(h.entry("cut", r.Name, "stock"))
		h.outline[r.Name] = outline
		h.wood[r.Name] = outline * left * h.row("rack.stock", stock, "thickness") * h.row("rack.stock", stock, "density")
	}
}

func (h *glider) woodOf(group string) float64 {
	sum := 0.0
	for piece, w := range h.wood {
		if h.text(h.entry("cut", piece, "group")) == group {
			sum += w
		}
	}
	return sum
}

func (h *glider) film(name string, area float64) float64 {
	return area * h.row("rack.films", h.text(name), "per_area")
}

// rod returns bending modulus and weight of a rod of the joiner's length.
func (h *glider) rod(name string) (modulus, weight float64) {
	d, bore := h.row("rack.rods", name, "diameter"), h.row("rack.rods", name, "bore")
	modulus = math.Pi * (math.Pow(d, 4) - math.Pow(bore, 4)) / (32 * d)
	return modulus, math.Pi * (d*d - bore*bore) / 4 * h.row("rack.rods", name, "density") * h.given("joiner_long")
}

// weigh takes what was weighed, else what was estimated; the lead in the nose is what brings the moments about the
// wanted balance point to nothing.
func (h *glider) weigh() {
	w, glue := h.wood, h.given("glue_share")
	_, rod := h.rod(h.text("joiner_stock"))
	estimates := map[string]float64{
		"fuselage sides": w["fuselage sides"], "top and bottom": w["top and bottom"], "longerons": w["longerons"],
		"glue in fuselage": glue * h.woodOf("fuselage"), "fuselage film": h.film("wing_film", h.given("fuselage_skin")),
		"left half": h.woodOf("wing") * (1 + glue) / 2, "right half": h.woodOf("wing") * (1 + glue) / 2,
		"wing film": h.film("wing_film", 2*h.given("wrap")*h.area), "joiner rod": rod,
		"tail film and glue": h.film("tail_film", 2*(h.tailArea+h.finArea)) + glue*h.woodOf("tail"),
	}
	h.wanted = h.back + h.given("balance_share")*h.chord
	h.weight, h.station = map[string]float64{}, map[string]float64{}
	moment := 0.0
	for _, r := range h.table("parts").Rows {
		if r.Name == "nose lead" {
			continue
		}
		weight, onScale := h.weighed(r.Name)
		if estimate, worked := estimates[r.Name]; !onScale && worked {
			weight = estimate
		} else if !onScale {
			weight = h.row("parts", r.Name, "estimated")
		}
		h.weight[r.Name], h.station[r.Name] = weight, h.row("parts", r.Name, "station")
		moment += weight * (h.station[r.Name] - h.wanted)
		h.allUp += weight
	}
	h.lead = moment / (h.wanted - h.given("lead_at"))
	h.allUp += h.lead
}

func TestDuneWhimbrelIsAWholeModel(t *testing.T) {
	d := loadProject(t, duneWhimbrel)
	d.isWholeModel(180, 12, "balance_flown", "balance_agrees")
	assert.GreaterOrEqual(t, len(d.table("parts").Rows), 25)
}

func TestDuneWhimbrelShapeByHand(t *testing.T) {
	h := gliderByHand(t)
	h.agrees("print_scale", h.scale)
	h.agrees("span", h.span)
	h.agrees("wing_area", h.area)
	h.agrees("aspect", h.span*h.span/h.area)
	h.agrees("wing_chord", h.chord)
	h.agrees("chord_out", h.out)
	h.agrees("chord_back", h.back)
	var turning, outs, rise, long float64
	for _, p := range h.table("panels").Rows {
		span, angle := h.row("panels", p.Name, "panel_span"), h.row("panels", p.Name, "panel_dihedral")
		root, tip, out := h.row("panels", p.Name, "root"), h.row("panels", p.Name, "tip"), h.row("panels", p.Name, "out")
		lever := simpson(span, func(y float64) float64 { return (out + y) * (root + (tip-root)*y/span) })
		turning, outs = turning+lever*angle, outs+lever
		rise, long = rise+span*math.Tan(angle), long+span/math.Cos(angle)
	}
	h.agrees("whole_dihedral", turning/outs)
	h.agrees("tip_height", rise)
	h.agrees("tip_washout", math.Asin(h.given("washout_packing_tip")/h.row("panels", "outer", "tip")))
	h.agrees("packed_length", math.Max(long, (h.given("nose_on_print")+h.given("tail_on_print"))*h.scale))
	assert.Equal(t, "fuselage", h.text("longest_piece"))
}

func TestDuneWhimbrelBalanceByHand(t *testing.T) {
	h := gliderByHand(t)
	for piece, weight := range h.wood {
		h.agrees(h.entry("cut", piece, "weight"), weight)
	}
	for part, weight := range h.weight {
		h.agrees(h.entry("parts", part, "weight"), weight)
	}
	h.agrees("cg_wanted", h.wanted)
	h.agrees("nose_lead", h.lead)
	h.agrees("all_up", h.allUp)
	h.agrees("cg", h.wanted)
	h.agrees("lead_for_one_in_tail", (h.given("tailplane_at")-h.wanted)/(h.wanted-h.given("lead_at")))
}

// polhamus is the lift slope of a straight wing for a section slope of 6.13 per radian (the printed USAF handbook of stability and control, after Polhamus).
func polhamus(ratio float64) float64 {
	return 2 * math.Pi * ratio / (2 + math.Hypot(2, ratio*2*math.Pi/6.13))
}

func TestDuneWhimbrelTailByHand(t *testing.T) {
	h := gliderByHand(t)
	root, tip, span := h.given("tailplane_root"), h.given("tailplane_tip"), h.given("tailplane_span")
	chordOf := func(y float64) float64 { return root + (tip-root)*y/(span/2) }
	half := h.tailArea / 2
	chord := simpson(span/2, func(y float64) float64 { return chordOf(y) * chordOf(y) }) / half
	back := simpson(span/2, func(y float64) float64 { return h.given("tailplane_sweep") * y / (span / 2) * chordOf(y) }) / half
	wingQuarter := h.back + h.given("lift_centre")*h.chord
	arm := h.given("tailplane_at") + back + chord/4 - wingQuarter
	volume := h.tailArea * arm / (h.area * h.chord)
	h.agrees("tail_chord", chord)
	h.agrees("arm", arm)
	h.agrees("tailplane_volume", volume)
	h.agrees("fin_share", h.finArea*(h.given("fin_at")-wingQuarter)/(h.area*h.span))
	ratio := h.span * h.span / h.area
	wing, tail := polhamus(ratio), polhamus(span*span/h.tailArea)
	down := 2 * wing / (math.Pi * ratio)
	lift := h.given("tail_efficiency") * tail / wing * (1 - down) * h.tailArea / h.area // of the tail for one of the wing
	neutral := h.given("lift_centre") + lift*arm/h.chord/(1+lift) - h.given("body_loss")
	h.agrees("neutral_at", neutral)
	h.agrees("static_margin", neutral-h.given("balance_share"))
	h.agrees("safe_front", h.back+(neutral-h.given("margin_at_front"))*h.chord)
	h.agrees("safe_rear", h.back+(neutral-h.given("margin_at_rear"))*h.chord)
}

// capStress is the bending stress in two spar caps, by the parallel axis theorem.
func capStress(moment, wide, thick, deep float64) float64 {
	arm := (deep - thick) / 2
	return moment * deep / 2 / (2 * (wide*math.Pow(thick, 3)/12 + wide*thick*arm*arm))
}

// spar is capStress for caps of the rack under the glider's nose sheet.
func (h *glider) spar(stock string, moment, depth float64) float64 {
	return capStress(moment, h.row("rack.stock", h.text(stock), "width"), h.row("rack.stock", h.text(stock), "thickness"), depth-2*h.given("skin_over_caps"))
}

func TestDuneWhimbrelStructureByHand(t *testing.T) {
	h := gliderByHand(t)
	require.Equal(t, "Sitka spruce", h.text("cap_wood"))
	half := h.given("load_factor") * h.allUp * gravity / 2
	moment := half * h.out
	h.agrees("root_moment", moment)
	h.agrees("root_stress", h.spar("cap_stock", moment, h.rootDepth))
	wing := 0.0
	for part, weight := range h.weight {
		if h.text(h.entry("parts", part, "group")) == "wing" {
			wing += weight
		}
	}
	h.agrees("sand_on_wing", h.given("load_factor")*(h.allUp-wing)-wing)
	h.agrees("root_safety", spruce/h.spar("cap_stock", moment, h.rootDepth))
	root, tip, span := h.row("panels", "outer", "root"), h.row("panels", "outer", "tip"), h.row("panels", "outer", "panel_span")
	atBreak := half / (h.area / 2) * simpson(span, func(y float64) float64 { return y * (root + (tip-root)*y/span) })
	h.agrees("break_moment", atBreak)
	h.agrees("break_safety", spruce/h.spar("outer_cap_stock", atBreak, h.breakDepth))
	web := h.text("web_stock")
	clear := h.rootDepth - 2*h.given("skin_over_caps") - 2*h.row("rack.stock", h.text("cap_stock"), "thickness")
	h.agrees("web_stress", half/(h.row("rack.stock", web, "thickness")*clear))
	h.agrees("web_strength", balsaShear*h.row("rack.stock", web, "density")/balsaDensity)
	for _, r := range h.table("joiner_choice").Rows {
		modulus, weight := h.rod(r.Name)
		h.agrees(h.entry("joiner_choice", r.Name, "safety"), h.row("rack.rods", r.Name, "limit")*modulus/moment)
		h.agrees(h.entry("joiner_choice", r.Name, "weighs"), weight)
	}
	h.agrees("joiner_safety", h.row("joiner_choice", h.text("joiner_stock"), "safety"))
	h.agrees("end_push", moment/(h.given("tube_bearing")*h.given("joiner_long")/2))
	h.agrees("hook_at", h.wanted-h.given("cg_over_hook")*math.Tan(h.given("hook_angle")))
	onTow := (h.allUp*gravity + h.given("line_breaks")) / 2 * h.out
	h.agrees("tow_safety", spruce/h.spar("cap_stock", onTow, h.rootDepth))
}

// polar is lift and drag coefficient and glide ratio at a speed.
func (h *glider) polar(weight, speed float64) (lift, drag, glide float64) {
	lift = weight * gravity / (air / 2 * speed * speed * h.area)
	drag = h.given("drag_at_no_lift") + lift*lift*h.area/(math.Pi*h.given("span_efficiency")*h.span*h.span)
	return lift, drag, lift / drag
}

func TestDuneWhimbrelGlideByHand(t *testing.T) {
	h := gliderByHand(t)
	h.agrees("loading", h.allUp/h.area)
	h.agrees("stall", math.Sqrt(2*h.allUp*gravity/(air*h.area*h.given("max_lift"))))
	bestGlide, leastSink, homeward := 0.0, math.Inf(1), 0.0
	var bestAt, leastAt, homewardAt float64
	for speed := 5.0; speed <= 18; speed += 0.5 {
		lift, _, glide := h.polar(h.allUp, speed)
		if lift > h.given("max_lift") {
			continue
		}
		sink := speed / math.Sqrt(1+glide*glide)
		if glide > bestGlide {
			bestGlide, bestAt = glide, speed
		}
		if sink < leastSink {
			leastSink, leastAt = sink, speed
		}
		if over := (speed - h.given("wind")) / sink; over > homeward {
			homeward, homewardAt = over, speed
		}
	}
	h.agrees("best_glide", bestGlide)
	h.agrees("best_glide_at", bestAt)
	h.agrees("least_sink", leastSink)
	h.agrees("least_sink_at", leastAt)
	h.agrees("best_into_wind", homeward)
	h.agrees("best_into_wind_at", homewardAt)
	h.agrees("still_air_time", h.given("launch_height")/leastSink)
	// The best glide of all: where lift costs as much drag as all the rest, found by looking, not by its formula.
	slow, fast := 3.0, 15.0
	for range 200 {
		third := (fast - slow) / 3
		_, _, a := h.polar(h.allUp, slow+third)
		_, _, b := h.polar(h.allUp, fast-third)
		if a < b {
			slow += third
		} else {
			fast -= third
		}
	}
	_, _, ideal := h.polar(h.allUp, slow)
	h.agrees("ideal_glide", ideal)
	assert.InEpsilon(t, slow, h.si("ideal_speed"), 1e-6, "a flat top is not found more closely")
}

func TestDuneWhimbrelBallastByHand(t *testing.T) {
	h := gliderByHand(t)
	h.agrees("tube_holds", math.Pi/4*math.Pow(h.given("tube_bore"), 2)*h.given("tube_long")*h.given("lead_density"))
	reserve := spruce / h.spar("cap_stock", h.given("load_factor")*h.allUp*gravity/2*h.out, h.rootDepth)
	for _, r := range h.table("fillings").Rows {
		added := h.row("fillings", r.Name, "added")
		weight := h.allUp + added
		h.agrees(h.entry("fillings", r.Name, "flying_weight"), weight)
		h.agrees(h.entry("fillings", r.Name, "loaded"), weight/h.area)
		h.agrees(h.entry("fillings", r.Name, "stalls"), math.Sqrt(2*weight*gravity/(air*h.area*h.given("max_lift"))))
		// Speeds on the same polar go by the root of the weight.
		h.agrees(h.entry("fillings", r.Name, "glides_at"), h.si("ideal_speed")*math.Sqrt(weight/h.allUp))
		h.agrees(h.entry("fillings", r.Name, "balances"), (h.allUp*h.wanted+added*h.given("tube_at"))/weight)
		h.agrees(h.entry("fillings", r.Name, "spar_left"), reserve*h.allUp/weight)
	}
}

// TestDuneWhimbrelElectricNoseByHand: with lead, receiver battery and nose block out and the electric parts in, the
// moments about the balance point come to nothing once the blades sit where they should.
func TestDuneWhimbrelElectricNoseByHand(t *testing.T) {
	h := gliderByHand(t)
	moment, weight := 0.0, 0.0
	for part, w := range h.weight {
		if part != "receiver battery" && part != "nose block" {
			moment += w * (h.station[part] - h.wanted)
			weight += w
		}
	}
	motor, blades := h.given("nose_motor"), h.given("nose_propeller")
	moment += h.given("nose_controller")*(h.given("controller_at")-h.wanted) + h.given("nose_pack")*(h.given("pack_wanted")-h.wanted)
	moment += motor * h.given("motor_aft")
	bladesAt := h.wanted - moment/(motor+blades)
	weight += motor + blades + h.given("nose_controller") + h.given("nose_pack")
	h.agrees("blades_at", bladesAt)
	h.agrees("nose_cut", bladesAt+h.given("nose_on_print")*h.scale)
	h.agrees("electric_weight", weight)
	h.agrees("electric_watts", h.given("motor_input")/weight)
}

func TestDuneWhimbrelShoppingByHand(t *testing.T) {
	h := gliderByHand(t)
	bill := 0.0
	for _, r := range h.table("shopping").Rows {
		outline := 0.0
		for piece, area := range h.outline {
			if h.text(h.entry("cut", piece, "stock")) == r.Name {
				outline += area
			}
		}
		needed := outline/(h.row("rack.stock", r.Name, "width")*h.row("rack.stock", r.Name, "length")) + h.row("shopping", r.Name, "spare")
		buy := math.Max(0, math.Ceil(needed*(1+h.given("wood_waste"))-h.row("rack.stock", r.Name, "on_hand")))
		bill += buy * h.row("rack.stock", r.Name, "price")
	}
	require.Positive(t, bill)
	h.agrees("wood_bill", bill)
}

// TestDuneWhimbrelOtherRod: a carbon rod is lighter and lies close ahead of the balance point, so the lead hardly changes.
func TestDuneWhimbrelOtherRod(t *testing.T) {
	h := gliderByHand(t)
	_, steel := h.rod(h.text("joiner_stock"))
	require.NoError(t, h.m.Set("joiner_stock", "carbon rod 8"))
	_, carbon := h.rod("carbon rod 8")
	lead := h.lead + (carbon-steel)*(h.station["joiner rod"]-h.wanted)/(h.wanted-h.given("lead_at"))
	h.agrees("nose_lead", lead)
	h.agrees("all_up", h.allUp+carbon-steel+lead-h.lead)
}
