package library_test

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"gusset/library"
	"gusset/sheets/text"
)

// fewestOutside is how many formulas have an example with a figure from outside. It may only grow.
const fewestOutside = 396

// Why a formula has no example from outside.
const (
	oneStep        = "one step of statics, geometry or a definition: an outside figure would be the same line again"
	ofParts        = "puts formulas together that are held against outside figures one by one"
	endOfSpread    = "the low or high end of a spread; its middle is held against published points"
	inputsOnly     = "a published example gives what goes in, but the answer that it prints was not seen"
	onlyALaw       = "its law is published, but no worked example of it with an answer was found"
	onlyRemembered = "its rule is from memory, and its page was not found"
	tradeRule      = "common practice: no outside figure is there to hold it against"
)

// TestFiguresFromOutside: on the pages on which models break, each formula shows a figure from outside, or is on the list
// below with the reason why it does not. The list may only become shorter, the count over all pages only larger.
func TestFiguresFromOutside(t *testing.T) {
	outside := map[string]bool{}
	for _, page := range parseAll(t, library.Pages()) {
		name := strings.TrimSuffix(page.name, ".gusset")
		list, listed := withoutOutside[name]
		var here []string
		for _, n := range page.file.Nodes {
			f, ok := n.(*text.Formula)
			if !ok {
				continue
			}
			here = append(here, f.Name.Text)
			shows := slices.ContainsFunc(f.Examples, func(e *text.Example) bool { return fromOutside(e.Where.Text) })
			if shows {
				outside[f.Name.Text] = true
			}
			if !listed {
				continue
			}
			_, excused := list.why[f.Name.Text]
			assert.False(t, shows && excused, "%s has a figure from outside now: take it off the list", f.Name.Text)
			assert.True(t, shows || excused, "%s shows no figure from outside", f.Name.Text)
		}
		for _, formula := range slices.Sorted(maps.Keys(list.why)) {
			assert.Contains(t, here, formula, "take it off the list")
		}
		assert.LessOrEqual(t, len(list.why), list.atMost, "the list of %s may not grow", name)
	}
	assert.Len(t, withoutOutside, 8)
	assert.GreaterOrEqual(t, len(outside), fewestOutside)
}

// fromOutside reports whether an example says that its figure comes from outside. What was worked by hand or remembered
// does not, whatever it says.
func fromOutside(where string) bool {
	_, source, ok := strings.Cut(where, "outside: ")
	return ok && !strings.Contains(source, "worked by hand") && !strings.Contains(source, "from memory")
}

// TestOutsideMeansOutside: an example that says outside is neither remembered nor worked by hand.
func TestOutsideMeansOutside(t *testing.T) {
	for _, f := range formulas(t) {
		for _, e := range f.Examples {
			assert.Equal(t, strings.Contains(e.Where.Text, "outside"), fromOutside(e.Where.Text), "%s: %s", f.Name.Text, e.Where.Text)
		}
	}
	for where, want := range map[string]bool{
		"outside: BS 5268-2": true, "the same, worked by hand": false, "outside: a handbook, from memory": false, "outside: its law, worked by hand": false,
	} {
		assert.Equal(t, want, fromOutside(where), where)
	}
}

// excuses are a page's formulas without a figure from outside, and how many there may be.
type excuses struct {
	atMost int
	why    map[string]string
}

var withoutOutside = map[string]excuses{
	"structure": {26, map[string]string{
		"cap_load":                      oneStep,
		"cap_area":                      oneStep,
		"wood_density_factor":           onlyALaw,
		"cap_strength_between_ribs":     ofParts,
		"safety_factor":                 oneStep,
		"breaking_load_factor":          oneStep,
		"shear_flow":                    oneStep,
		"web_stress":                    oneStep,
		"web_thickness":                 oneStep,
		"web_glue_width":                oneStep,
		"web_glue_safety":               oneStep,
		"plywood_web_buckling_stress":   onlyALaw,
		"wood_web_buckling_stress":      onlyALaw,
		"stick_strength_ratio":          oneStep,
		"double_skin_twist_ratio":       ofParts,
		"skin_strength_ratio":           ofParts,
		"web_strength_ratio":            ofParts,
		"part_strength_ratio":           ofParts,
		"part_stiffness_ratio":          ofParts,
		"tip_deflection_at_full_stress": inputsOnly,
		"strip_torsion_stress":          oneStep,
		"twist":                         oneStep,
		"rib_count":                     oneStep,
		"rib_spacing":                   oneStep,
		"covering_sag":                  oneStep,
		"rib_spacing_for_sag":           oneStep,
	}},
	"joints": {16, map[string]string{
		"brace_overlap":       ofParts,
		"dihedral_kink_load":  oneStep,
		"slenderness":         oneStep,
		"column_stress":       onlyALaw,
		"longeron_load":       oneStep,
		"strut_push_on_wing":  oneStep,
		"band_hold":           oneStep,
		"wing_lift_off":       oneStep,
		"bands_needed":        oneStep,
		"dowel_safety":        ofParts,
		"hole_pressure":       oneStep,
		"pull_through_stress": oneStep,
		"wood_screw_hold":     onlyRemembered,
		"hatch_load":          oneStep,
		"hatch_inertia_load":  oneStep,
		"magnets_needed":      oneStep,
	}},
	"loads": {7, map[string]string{
		"tow_load_factor":       oneStep,
		"wing_root_shear":       oneStep,
		"item_relief":           oneStep,
		"wing_pressure":         oneStep,
		"wing_torque":           oneStep,
		"static_test_load":      oneStep,
		"fingertip_load_factor": oneStep,
	}},
	"wire": {18, map[string]string{
		"wire_weight":        oneStep,
		"bend_allowance":     oneStep,
		"splayed_rate":       oneStep,
		"splayed_load":       oneStep,
		"splay_angle":        oneStep,
		"rates_in_series":    oneStep,
		"torsion_leg_rate":   ofParts,
		"torsion_bar_twist":  ofParts,
		"torsion_leg_limit":  ofParts,
		"landing_travel":     oneStep,
		"landing_factor":     oneStep,
		"tyre_rate":          oneStep,
		"landing_stress":     ofParts,
		"landing_push_limit": ofParts,
		"torsion_leg_stress": ofParts,
		"set_safety":         ofParts,
		"bar_weight":         oneStep,
		"tube_weight":        oneStep,
	}},
	"balance": {14, map[string]string{
		"nose_weight_for_tail":    oneStep,
		"battery_travel":          oneStep,
		"tray_length":             oneStep,
		"hatch_length":            oneStep,
		"nose_lengthening":        oneStep,
		"percent_chord":           inputsOnly,
		"station_at_percent":      oneStep,
		"balance_on_two_scales":   inputsOnly,
		"balance_on_one_scale":    oneStep,
		"balance_on_three_scales": inputsOnly,
		"balance_height":          oneStep,
		"sideways_balance":        oneStep,
		"tip_ballast":             oneStep,
		"tip_ballast_from_scale":  oneStep,
	}},
	"tail": {41, map[string]string{
		"fin_volume":                oneStep,
		"tail_arm":                  oneStep,
		"tail_area_share":           oneStep,
		"downwash":                  ofParts,
		"downwash_simple":           onlyRemembered,
		"downwash_angle":            oneStep,
		"slope_ratio":               ofParts,
		"downwash_at_tail":          onlyALaw,
		"neutral_point_simple":      ofParts,
		"neutral_shift_simple":      onlyRemembered,
		"model_lift_slope":          inputsOnly,
		"fuselage_moment_high":      onlyRemembered,
		"flow_behind":               onlyRemembered,
		"wing_body_centre":          oneStep,
		"balance_aft_limit":         onlyRemembered,
		"balance_fore_limit":        onlyRemembered,
		"flying_wing_balance":       oneStep,
		"tail_lift_share":           oneStep,
		"moment_about_balance":      inputsOnly,
		"trim_angle":                inputsOnly,
		"tail_lift_at":              inputsOnly,
		"tail_set_down":             inputsOnly,
		"angle_from_heights":        oneStep,
		"rigging_difference":        oneStep,
		"elevator_power":            inputsOnly,
		"elevator_to_trim":          inputsOnly,
		"wing_height_dihedral":      onlyALaw,
		"spiral_figure":             onlyRemembered,
		"dihedral_for_spiral":       onlyRemembered,
		"rudder_roll_figure":        onlyRemembered,
		"biplane_mean_chord":        oneStep,
		"biplane_quarter_station":   oneStep,
		"leading_edge_from_quarter": oneStep,
		"biplane_interference":      onlyALaw,
		"biplane_aspect_ratio":      ofParts,
		"vee_tail_area":             onlyRemembered,
		"vee_tail_angle":            onlyRemembered,
		"vee_tail_as_tailplane":     onlyRemembered,
		"vee_tail_as_fin":           onlyRemembered,
		"vee_tail_area_projected":   oneStep,
		"vee_tail_angle_projected":  oneStep,
	}},
	"power": {96, map[string]string{
		"pitch_speed":                   oneStep,
		"pitch_for_speed":               oneStep,
		"diameter_for_blades":           tradeRule,
		"tip_speed":                     oneStep,
		"tip_mach":                      oneStep,
		"propeller_speed_limit":         oneStep,
		"advance_ratio":                 oneStep,
		"propeller_thrust":              inputsOnly,
		"propeller_shaft_power":         inputsOnly,
		"propeller_torque":              inputsOnly,
		"torque_coefficient":            oneStep,
		"thrust_coefficient":            inputsOnly,
		"power_coefficient":             inputsOnly,
		"figure_of_merit":               inputsOnly,
		"static_thrust_low":             endOfSpread,
		"static_thrust_high":            endOfSpread,
		"propeller_power_low":           endOfSpread,
		"propeller_power_high":          endOfSpread,
		"wide_blade_thrust":             ofParts,
		"wide_blade_thrust_low":         endOfSpread,
		"wide_blade_thrust_high":        endOfSpread,
		"wide_blade_power":              ofParts,
		"wide_blade_power_low":          endOfSpread,
		"wide_blade_power_high":         endOfSpread,
		"flight_thrust_low":             endOfSpread,
		"flight_thrust_high":            endOfSpread,
		"flight_power_low":              endOfSpread,
		"flight_power_high":             endOfSpread,
		"thrust_of_merit":               ofParts,
		"induced_speed":                 inputsOnly,
		"slipstream_speed":              inputsOnly,
		"ideal_power_in_flight":         inputsOnly,
		"ideal_efficiency":              inputsOnly,
		"engine_power_turned_low":       endOfSpread,
		"engine_power_turned_high":      endOfSpread,
		"engine_displacement":           oneStep,
		"glow_power_low":                onlyALaw,
		"electric_input_for_glow":       tradeRule,
		"input_for_shaft_power":         oneStep,
		"motor_torque":                  inputsOnly,
		"motor_output":                  inputsOnly,
		"motor_efficiency":              inputsOnly,
		"motor_heat":                    ofParts,
		"motor_stall_current":           onlyALaw,
		"motor_stall_torque":            onlyALaw,
		"motor_free_speed":              onlyALaw,
		"geared_kv":                     oneStep,
		"motor_resistance_estimate":     tradeRule,
		"motor_resistance_low":          endOfSpread,
		"motor_resistance_high":         endOfSpread,
		"motor_idle_estimate":           tradeRule,
		"cell_resistance_estimate":      tradeRule,
		"resistance_from_runs":          onlyALaw,
		"shaft_offset":                  oneStep,
		"pack_voltage_storage":          tradeRule,
		"pack_voltage_cut_off":          tradeRule,
		"pack_resistance":               oneStep,
		"pack_resistance_measured":      oneStep,
		"pack_capacity":                 oneStep,
		"battery_energy":                oneStep,
		"battery_energy_usable":         oneStep,
		"specific_energy":               oneStep,
		"battery_weight":                tradeRule,
		"battery_weight_high":           tradeRule,
		"pack_current_safe":             oneStep,
		"charge_time":                   oneStep,
		"flight_time":                   oneStep,
		"flight_time_with_bursts":       oneStep,
		"flight_time_at_power":          oneStep,
		"capacity_for_time":             oneStep,
		"charge_used":                   oneStep,
		"mean_current":                  oneStep,
		"battery_current_part_throttle": oneStep,
		"controller_size":               tradeRule,
		"regulator_heat":                oneStep,
		"copper_wire_weight":            oneStep,
		"balance_speed":                 onlyALaw,
		"rpm_at_measured":               inputsOnly,
		"coefficient_at_advance":        inputsOnly,
		"settled_rpm":                   ofParts,
		"rpm_at_low":                    endOfSpread,
		"rpm_at_high":                   endOfSpread,
		"current_at":                    ofParts,
		"current_at_low":                endOfSpread,
		"current_at_high":               endOfSpread,
		"thrust_at":                     ofParts,
		"thrust_at_low":                 endOfSpread,
		"thrust_at_high":                endOfSpread,
		"static_current":                ofParts,
		"static_current_high":           endOfSpread,
		"overall_efficiency":            oneStep,
		"power_loading":                 oneStep,
		"input_for_weight":              tradeRule,
		"input_for_weight_high":         tradeRule,
		"thrust_to_weight":              tradeRule,
		"pitch_to_stall":                tradeRule,
	}},
	"ground": {15, map[string]string{
		"tip_clearance":         oneStep,
		"tip_clearance_sprung":  oneStep,
		"propeller_that_clears": oneStep,
		"shaft_height_needed":   oneStep,
		"nose_over_pull":        oneStep,
		"steering_radius":       oneStep,
		"track_to_span":         oneStep,
		"main_wheel_load":       oneStep,
		"wheel_for_surface":     oneStep,
		"plate_glue_push_limit": oneStep,
		"lift_off_speed":        inputsOnly,
		"take_off_run":          inputsOnly,
		"take_off_time":         oneStep,
		"landing_run":           oneStep,
		"float_volume":          oneStep,
	}},
}
