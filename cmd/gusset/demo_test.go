package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
)

// This file works the Marsh Tern out a second time, by plain arithmetic in SI units, from nothing but its given values.
// Neither the sheet's formulas, nor the library, nor the unit table has a part in it.

const marshTern = "../../testdata/marsh-tern/marsh-tern.gusset"

// What the units of the sheet's given values are worth in SI; the base facts are exact: inch 25.4 mm, pound 0.45359237 kg,
// standard gravity 9.80665 m/s^2.
var siUnits = map[string]float64{
	"": 1, "%": 0.01, "in": inch, "sq in": inch * inch, "oz": ounce, "lb/cu ft": 16 * ounce / (foot * foot * foot),
	"deg": math.Pi / 180, "rpm": 2 * math.Pi / 60, "rpm/V": 2 * math.Pi / 60, "V": 1, "A": 1, "mohm": 1e-3, "mAh": 3.6,
	"GBP": 1, "psi": 16 * ounce * gravity / (inch * inch), "mph": 1609.344 / 3600, "oz/sq ft": ounce / (foot * foot),
	"oz/cu ft": ounce / (foot * foot * foot), "lbf in": 16 * ounce * gravity * inch, "ozf": ounce * gravity,
	"oz-in": ounce * gravity * inch, "W": 1, "Wh": 3600, "1/rad": 1, "lbf": 16 * ounce * gravity,
}

const (
	inch    = 0.0254
	foot    = 12 * inch
	ounce   = 0.45359237 / 16
	gravity = 9.80665
	air     = 1.225 // kg/m^3, ICAO Doc 7488/3 (1993), sea level
)

// demo is a worked sheet to read values from.
type demo struct {
	t *testing.T
	m *engine.Model
}

func loadDemo(t *testing.T) demo {
	t.Helper()
	m, err := load(marshTern)
	require.NoError(t, err)
	require.NoError(t, m.Problems().Err())
	return demo{t, m}
}

// si returns a value in SI units.
func (d demo) si(name string) float64 {
	d.t.Helper()
	v, err := d.m.Value(name)
	require.NoError(d.t, err)
	require.Equal(d.t, engine.OK, v.Status, "%s: %s", name, v.Reason)
	worth, known := siUnits[v.Unit.String()]
	require.True(d.t, known, "the unit %q of %s", v.Unit.String(), name)
	return v.Number * worth
}

// given is si for a cell that must be a given one, so that what is worked out here rests on nothing worked out there.
func (d demo) given(name string) float64 {
	d.t.Helper()
	c, ok := d.m.Cell(name)
	require.True(d.t, ok, name)
	require.Equal(d.t, engine.Given, c.Kind, "%s is given", name)
	return d.si(name)
}

// text returns a text, such as the name of a stock.
func (d demo) text(name string) string {
	d.t.Helper()
	v, err := d.m.Value(name)
	require.NoError(d.t, err)
	require.True(d.t, v.IsText, name)
	return v.Text
}

func (d demo) entry(table, row, column string) string {
	return fmt.Sprintf("%s[%q].%s", table, row, column)
}

// stock returns what is given of a stock on the rack.
func (d demo) stock(name, column string) float64 {
	d.t.Helper()
	return d.si(d.entry("rack.stock", name, column))
}

// table returns a table of the sheet.
func (d demo) table(name string) *engine.Table {
	d.t.Helper()
	for _, p := range d.m.Pages() {
		for _, it := range p.Items {
			if it.Table != nil && it.Table.Name == name {
				return it.Table
			}
		}
	}
	require.Fail(d.t, "no table "+name)
	return nil
}

// agrees holds a value of the sheet against the second working, to a part in a thousand million.
func (d demo) agrees(name string, want float64) {
	d.t.Helper()
	assert.InEpsilon(d.t, want, d.si(name), 1e-9, name)
}

// byHand is the second working.
type byHand struct {
	demo
	scale, span, chord, depth, nose, area float64
	wood                                  map[string]float64 // weight of each row of the cutting list
	weight, station                       map[string]float64 // of each row of the parts
	allUp, batteryAt                      float64
}

func workByHand(d demo) *byHand {
	h := &byHand{demo: d}
	h.scale = 12 * inch / d.given("check_bar")
	h.span = d.given("span_on_print") * h.scale
	h.chord = d.given("chord_on_print") * h.scale
	h.depth = d.given("rib_depth_on_print") * h.scale
	h.nose = -d.given("nose_on_print") * h.scale
	h.area = h.span * h.chord
	h.cutWood()
	h.weighParts()
	h.balance()
	return h
}

// cutWood weighs the cutting list: pieces x length x width x thickness x density x what is left after cutting out.
func (h *byHand) cutWood() {
	h.wood = map[string]float64{}
	for _, r := range h.table("cut").Rows {
		stock := h.text(h.entry("cut", r.Name, "stock"))
		h.wood[r.Name] = h.outline(r.Name) * h.left(r.Name) * h.stock(stock, "thickness") * h.stock(stock, "density")
	}
}

// outline returns the area that the pieces of a row take out of their stock.
func (h *byHand) outline(row string) float64 {
	if row == "ribs" {
		return h.given("ribs") * h.given("rib_long") * h.depth
	}
	return h.si(h.entry("cut", row, "pieces")) * h.si(h.entry("cut", row, "long")) * h.si(h.entry("cut", row, "wide"))
}

// takes returns the area that a row takes from its stock: a frame that is built of strips takes only its strips.
func (h *byHand) takes(row string) float64 {
	if h.text("tail_stock") == "balsa strip 1/4 sq" && (row == "tailplane" || row == "fin and rudder") {
		return h.outline(row) * h.left(row)
	}
	return h.outline(row)
}

// left returns how much of the outline is wood.
func (h *byHand) left(row string) float64 {
	switch row {
	case "ribs":
		return h.given("rib_area") / (h.given("rib_long") * h.depth)
	case "tailplane":
		return h.given("tail_left")
	case "fin and rudder":
		return h.given("fin_left")
	}
	return h.si(h.entry("cut", row, "left"))
}

func (h *byHand) woodOf(group string) float64 {
	sum := 0.0
	for _, r := range h.table("cut").Rows {
		if h.text(h.entry("cut", r.Name, "group")) == group {
			sum += h.wood[r.Name]
		}
	}
	return sum
}

// covering returns the weight of film over an area.
func (h *byHand) covering(name string, area float64) float64 {
	return area * h.si(h.entry("rack.coverings", h.text(name), "per_area"))
}

// estimates returns the weights that the sheet works out where a part has not been on the scale.
func (h *byHand) estimates() map[string]float64 {
	w, glue := h.wood, h.given("glue_share")
	tailArea := h.given("tailplane_span")*h.given("tailplane_chord") + h.given("fin_area")
	return map[string]float64{
		"nose cheeks":            w["nose cheeks"],
		"doublers":               w["doublers"],
		"top and bottom":         w["top and bottom"],
		"longerons":              w["longerons"],
		"battery floor and lid":  w["battery floor"] + w["battery lid"],
		"glue in fuselage":       glue * h.woodOf("fuselage"),
		"fuselage covering":      h.covering("wing_covering", h.given("fuselage_skin")),
		"gear plate and clips":   w["gear plate"] + 0.2*ounce,
		"ribs":                   w["ribs"],
		"leading edge and sheet": w["leading edge"] + w["leading-edge sheet"],
		"cap strips and centre":  w["cap strips"] + w["centre sheet"],
		"glue in wing":           glue * h.woodOf("wing"),
		"wing covering":          h.covering("wing_covering", 2*h.given("wrap")*h.area) + h.given("bolt_pads"),
		"tail covering and glue": h.covering("tail_covering", 2.2*tailArea) + glue*h.woodOf("tail"),
	}
}

// weighParts takes what was weighed, else what was estimated.
func (h *byHand) weighParts() {
	h.weight, h.station = map[string]float64{}, map[string]float64{}
	estimates := h.estimates()
	for _, r := range h.table("parts").Rows {
		weighed, err := h.m.Value(h.entry("parts", r.Name, "weighed"))
		require.NoError(h.t, err)
		estimate, worked := estimates[r.Name]
		switch {
		case weighed.Status == engine.OK:
			h.weight[r.Name] = weighed.Number * ounce
		case worked:
			h.weight[r.Name] = estimate
		default:
			h.weight[r.Name] = h.si(h.entry("parts", r.Name, "estimated"))
		}
		if r.Name != "battery" {
			h.station[r.Name] = h.si(h.entry("parts", r.Name, "station"))
		}
	}
	h.station["propeller"], h.station["propeller nut and spinner"] = h.nose, h.nose
}

// balance puts the battery where the moments about the wanted balance point come to nothing.
func (h *byHand) balance() {
	wanted, moment := h.given("balance_share")*h.chord, 0.0
	for part, w := range h.weight {
		h.allUp += w
		if part != "battery" {
			moment += w * (h.station[part] - wanted)
		}
	}
	h.batteryAt = wanted - moment/h.weight["battery"]
}

func TestMarshTernWorkedByHand(t *testing.T) {
	h := workByHand(loadDemo(t))
	h.agrees("print_scale", h.scale)
	h.agrees("span", h.span)
	h.agrees("chord", h.chord)
	h.agrees("wing_area", h.area)
	for row, weight := range h.wood {
		h.agrees(h.entry("cut", row, "weight"), weight)
	}
	for part, weight := range h.weight {
		h.agrees(h.entry("parts", part, "weight"), weight)
	}
	h.agrees("all_up", h.allUp)
	h.agrees("cg", h.given("balance_share")*h.chord)
	h.agrees("battery_at", h.batteryAt)
	h.agrees("trim_lead", h.allUp*0.25*inch/(h.given("balance_share")*h.chord-0.25*inch-h.nose))
}

func TestMarshTernFlyingByHand(t *testing.T) {
	h := workByHand(loadDemo(t))
	h.agrees("loading", h.allUp/h.area)
	h.agrees("cube_loading", h.allUp/(h.area*math.Sqrt(h.area)))
	stall := math.Sqrt(2 * h.allUp * gravity / (air * h.area * h.given("max_lift")))
	h.agrees("stall", stall)
	h.agrees("stall_banked", stall/math.Sqrt(math.Cos(h.given("bank"))))
	pressure := air / 2 * h.given("cruise") * h.given("cruise")
	lift := h.allUp * gravity / (pressure * h.area)
	drag := h.given("drag_at_no_lift") + lift*lift*h.chord/(math.Pi*h.given("span_efficiency")*h.span)
	h.agrees("cruise_lift", lift)
	h.agrees("cruise_drag", drag)
	h.agrees("cruise_power", pressure*h.area*drag*h.given("cruise"))
}

func TestMarshTernGroundByHand(t *testing.T) {
	h := workByHand(loadDemo(t))
	level := h.given("shaft_height") - h.given("diameter")/2
	h.agrees("level_room", level)
	// The lowest tip stands (ahead, level) from the wheel's foot; turned by the ground angle, its height is what is left.
	sin, cos := math.Sincos(h.given("ground_angle"))
	h.agrees("tail_down_room", (h.given("axle_at")-h.nose)*sin+level*cos)
	tailPost := h.given("tail_post_on_print") * h.scale
	cg := h.given("balance_share") * h.chord
	h.agrees("tail_load", h.allUp*(cg-h.given("axle_at"))/(tailPost-h.given("axle_at")))
}

func TestMarshTernPowerByHand(t *testing.T) {
	d := loadDemo(t)
	cells := d.given("cells")
	d.agrees("pack_named", cells*3.7)
	d.agrees("pack_full", cells*4.2)
	d.agrees("land_at", cells*3.3)
	d.agrees("pack_holds", cells*3.7*d.given("capacity"))
	volts := cells * d.given("cell_in_use")
	ohms := d.given("motor_resistance") + d.given("between") + cells*d.given("cell_resistance")
	size, pitch := d.given("diameter"), d.given("pitch")
	current := func(speed float64) float64 { return (volts - speed/d.given("motor_kv")) / ohms }
	gives := func(speed float64) float64 {
		return (current(speed) - d.given("motor_idle")) * (volts - current(speed)*ohms)
	}
	takes := func(speed float64) float64 {
		return (-0.0052 + 0.0857*pitch/size) * air * math.Pow(speed/(2*math.Pi), 3) * math.Pow(size, 5)
	}
	slow, fast := 300.0, 890.0 // rad/s: the motor gives more than the propeller takes, and less
	for range 200 {
		middle := (slow + fast) / 2
		if gives(middle) > takes(middle) {
			slow = middle
		} else {
			fast = middle
		}
	}
	d.agrees("static_rpm", slow)
	d.agrees("static_current", current(slow))
	d.agrees(`limits["motor"].share`, current(slow)/d.row("limits", "motor", "allowed"))
	d.agrees(`limits["controller"].share`, current(slow)/(0.8*30))
	d.agrees(`limits["pack"].share`, current(slow)/(d.given("c_rating")/2*d.given("capacity")/3600))
	d.agrees("shaft_power", takes(slow))
	turns := slow / (2 * math.Pi)
	d.agrees("static_pull", (0.0376+0.1085*pitch/size)*math.Pow(turns*60/5000, 0.14)*air*turns*turns*math.Pow(size, 4))
	d.agrees("pitch_speed", pitch*turns)
}

func TestMarshTernStructureByHand(t *testing.T) {
	h := workByHand(loadDemo(t))
	stock := h.text("spar_stock")
	wide, thick, deep := h.stock(stock, "width"), h.stock(stock, "thickness"), h.given("spar_over_caps")
	half := h.si("bench.load_factor") * h.allUp * gravity / 2
	moment := half * (h.span / 2) / 2 // half the lift, halfway out
	arm := (deep - thick) / 2
	second := 2 * (wide*math.Pow(thick, 3)/12 + wide*thick*arm*arm)
	stress := moment * deep / 2 / second
	const crushing, shear, basswood = 38.7e6, 7.9e6, 32.6e6 // Sitka spruce, and basswood in compression: Wood Handbook, FPL-GTR-190 (2010), table 5-3a
	require.Equal(t, "Sitka spruce", h.text("spar_wood"))
	h.agrees("root_moment", moment)
	h.agrees("cap_stress", stress)
	h.agrees("spar_safety", crushing/stress)
	h.agrees("as_basswood_safety", basswood/stress)
	h.agrees("web_shear", half)
	load := moment / (2 * arm)
	h.agrees("glue_needed", load*h.si("bench.glue_safety")/math.Min(shear, rollingShear))
	brace := h.stock(h.text("brace_stock"), "thickness")
	bending := moment / (brace * math.Pow(deep-2*thick, 2) / 6) // it stands between the caps
	h.agrees("brace_safety", h.given("ply_strength")/bending)
	h.agrees("glue_area", h.given("brace_overlap")*wide)
	h.wingIsHeld()
	leg := h.given("landing_load") * h.allUp * gravity / 2 * h.given("gear_leg") * math.Sin(h.given("splay"))
	wire := h.stock(h.text("gear_wire"), "thickness")
	h.agrees("leg_stress", leg*32/(math.Pi*wire*wire*wire))
}

// wingIsHeld: about the tongue's seat, what lifts the wing a quarter of the chord back is held by the bolts; the rest is
// on the tongue.
func (h *byHand) wingIsHeld() {
	wing := 0.0
	for part, w := range h.weight {
		if h.text(h.entry("parts", part, "group")) == "wing" {
			wing += w
		}
	}
	lift := h.si("bench.load_factor") * (h.allUp - wing) * gravity
	bolts := lift * h.chord / 4 / h.given("bolts_back")
	h.agrees("lift_off", lift)
	h.agrees("bolts_pull", bolts)
	h.agrees("bolt_safety", h.given("bolt_strength")*h.given("bolts")*math.Pi/4*math.Pow(h.given("bolt_core"), 2)/bolts)
	h.agrees("tongue_needed", (lift-bolts)*h.si("bench.glue_safety")/math.Min(balsaShear*h.stock(h.text("rib_stock"), "density")/balsaDensity, rollingShear))
}

func TestMarshTernTailByHand(t *testing.T) {
	h := workByHand(loadDemo(t))
	tail := h.given("tailplane_span") * h.given("tailplane_chord")
	arm := h.given("tailplane_at") + h.given("tailplane_chord")/4 - h.chord/4
	slope := func(ratio float64) float64 { // the printed USAF handbook of stability and control, after Polhamus, section slope 6.13 per radian
		return 2 * math.Pi * ratio / (2 + math.Hypot(2, ratio*2*math.Pi/6.13))
	}
	wing := slope(h.span / h.chord)
	down := 2 * wing / (math.Pi * h.span / h.chord)
	lift := slope(h.given("tailplane_span")/h.given("tailplane_chord")) / wing * (1 - down) * tail / h.area // of the tail for one of the wing
	neutral := 0.25 + lift*arm/h.chord/(1+lift)
	h.agrees("neutral_at", neutral)
	h.agrees("static_margin", neutral-h.given("fuselage_loss")-h.given("balance_share"))
}

// TestMarshTernHingeSlope: the slope that the sheet gives for a quarter-chord surface is what thin-aerofoil theory comes
// to when the load is added up numerically along the chord (H. Glauert, The Elements of Aerofoil and Airscrew Theory,
// 1926, ch. 7; quoted from memory, the method is the check).
func TestMarshTernHingeSlope(t *testing.T) {
	const share, steps = 0.25, 200_000
	hinge := math.Acos(2*share - 1)
	moment, step := 0.0, (math.Pi-hinge)/steps
	for i := range steps {
		at := hinge + (float64(i)+0.5)*step
		load := (math.Pi-hinge)*(1+math.Cos(at))/math.Sin(at) + math.Log(math.Abs(math.Sin((at+hinge)/2)/math.Sin((at-hinge)/2)))
		moment += load * 2 / math.Pi * (math.Cos(hinge) - math.Cos(at)) / 2 * math.Sin(at) / 2 * step
	}
	slope := 2 * moment / (share * share)
	assert.InDelta(t, 0.9436, slope, 5e-5, "Houghton and Carpenter, Aerodynamics for Engineering Students, sec. 4.5, worked by hand")
	d := loadDemo(t)
	assert.InDelta(t, slope, hingeSlope, 0.005)
	q := air / 2 * d.given("dive_speed") * d.given("dive_speed")
	d.agrees("elevator_twist", hingeSlope*d.given("elevator_throw")*q*d.given("elevator_span")*d.given("elevator_chord")*d.given("elevator_chord"))
}

func TestMarshTernShoppingByHand(t *testing.T) {
	h := workByHand(loadDemo(t))
	bill := 0.0
	for _, r := range h.table("shopping").Rows {
		outline := 0.0
		for _, piece := range h.table("cut").Rows {
			if h.text(h.entry("cut", piece.Name, "stock")) == r.Name {
				outline += h.takes(piece.Name)
			}
		}
		needed := outline/(h.stock(r.Name, "width")*h.stock(r.Name, "length")) + h.si(h.entry("shopping", r.Name, "by_hand"))
		buy := math.Max(0, math.Ceil(needed*(1+h.si("bench.wood_waste"))-h.stock(r.Name, "on_hand")))
		assert.InDelta(t, buy*h.stock(r.Name, "price"), h.si(h.entry("shopping", r.Name, "cost")), 1e-9, r.Name)
		bill += buy * h.stock(r.Name, "price")
	}
	require.Positive(t, bill)
	h.agrees("wood_bill", bill)
}

// TestMarshTernIsAWholeModel: ten pages, and everything has a result; only what the flying will tell is not given yet.
func TestMarshTernIsAWholeModel(t *testing.T) {
	d := loadDemo(t)
	pages := []string{"Plan", "Wood", "Wing", "Tail", "Power", "Balance", "Structure", "Ground", "Flying", "Shopping"}
	var names []string
	cells := 0
	for _, p := range d.m.Pages() {
		names = append(names, p.Name)
		for _, it := range p.Items {
			if it.Cell == nil {
				continue
			}
			cells++
			assert.NotEqual(t, engine.None, it.Cell.Status, "%s: %s", it.Cell.Name, it.Cell.Reason)
			if it.Cell.Status == engine.Waits {
				assert.Contains(t, []string{"balance_flown", "balance_agrees"}, it.Cell.Name)
			}
			if it.Cell.Kind == engine.Check && it.Cell.Status == engine.OK {
				assert.Equal(t, engine.CheckHolds, it.Cell.State(), it.Cell.Name)
			}
		}
	}
	assert.Equal(t, pages, names)
	assert.GreaterOrEqual(t, cells, 150)
	assert.GreaterOrEqual(t, len(d.table("parts").Rows), 35)
	for _, name := range []string{"cut", "parts", "speeds", "shopping"} {
		for _, r := range d.table(name).Rows {
			for _, v := range r.Values {
				assert.NotEqual(t, engine.None, v.Status, "%s, row %s: %s", name, r.Name, v.Reason)
			}
		}
	}
	rack, err := load(filepath.Join(filepath.Dir(marshTern), "rack.gusset"))
	require.NoError(t, err)
	assert.GreaterOrEqual(t, len(demo{t, rack}.table("stock").Rows), 25)
}

// TestMarshTernOtherRibs: thicker rib stock adds its own weight and the glue that goes by it, and the battery gives way.
func TestMarshTernOtherRibs(t *testing.T) {
	d := loadDemo(t)
	before, packBefore := d.si("all_up"), d.si("battery_at")
	ribs := d.si(`cut["ribs"].weight`)
	saving := d.si("rib_saving")
	require.NoError(t, d.m.Set("rib_stock", "balsa sheet 3/32"))
	want := d.given("ribs") * d.given("rib_area") * d.stock("balsa sheet 3/32", "thickness") * d.stock("balsa sheet 3/32", "density")
	d.agrees(`cut["ribs"].weight`, want)
	assert.InEpsilon(t, want-ribs, saving, 1e-9, "rib_saving says beforehand what it costs")
	assert.InEpsilon(t, (want-ribs)*(1+d.given("glue_share")), d.si("all_up")-before, 1e-9)
	assert.Less(t, d.si("battery_at"), packBefore, "ribs lie aft of the balance point: the pack moves forward")
	d.agrees("battery_at", workByHand(d).batteryAt)
}

// TestMarshTernOtherBattery: a battery ahead of the balance point moves towards it when it is heavier, and away when
// it is lighter.
func TestMarshTernOtherBattery(t *testing.T) {
	d := loadDemo(t)
	pack := d.si("battery_at")
	require.Less(t, pack, d.si("cg"))
	for _, setting := range []struct {
		weighed string
		further func(t assert.TestingT, a, b any, msg ...any) bool
	}{
		{"8 oz", assert.Greater},
		{"5.5 oz", assert.Less},
	} {
		var out, errs bytes.Buffer
		status := run([]string{"show", marshTern, "--json", "--set", "parts[battery].weighed=" + setting.weighed}, nil, &out, &errs)
		require.Equal(t, allWell, status, errs.String())
		var shown record
		require.NoError(t, json.Unmarshal(out.Bytes(), &shown))
		found := math.NaN()
		for _, c := range shown.Cells {
			if c.Name == "battery_at" {
				require.Equal(t, "in", c.Unit)
				found = c.Value.(float64) * inch
			}
		}
		setting.further(t, found, pack, setting.weighed)
		require.NoError(t, d.m.Set(`parts["battery"].weighed`, setting.weighed))
		assert.InEpsilon(t, workByHand(d).batteryAt, found, 1e-9, setting.weighed)
	}
}
