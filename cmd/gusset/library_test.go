package main

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// typedByBuilders has what a builder types, and what must then be among the first five; the words are those of the
// trade, common practice, no source.
const typedByBuilders = `
rubber bands             bands_needed
rubber band              band_stress
elastic bands            bands_needed
covering weight          covering_weight
weight of the covering   covering_weight
tissue                   covering_kinds
landing gear             leg_rate
undercarriage            leg_stress
undercarriage leg        leg_load_limit
undercarriage plate      plate_stress
hard landing             landing_load
cg                       centre_of_gravity
balance point            centre_of_gravity
center of gravity        centre_of_gravity
battery position         battery_travel
nose weight              nose_weight_for_tail
tail heavy               nose_lengthening
lead                     ballast
takeoff                  take_off_run
take-off run             take_off_run
lift off speed           lift_off_speed
landing run              landing_run
lipo                     battery_weight
lipo voltage             pack_voltage_full
battery weight           battery_weight
flight time              flight_time
motor run                flight_time
swg                      standard_wire_gauges
wire gauge               wire_gauge_diameter
music wire gauge         music_wire_gauges
piano wire               music_wire
propellor                propeller_thrust
airscrew pitch           pitch_speed
prop clearance           tip_clearance
propeller clearance      tip_clearance
pitch speed              pitch_speed
static thrust            static_thrust
tongue                   brace_stress
wing joiner              joiner_stress
two piece wing           joiner_stress
dihedral brace           brace_thickness
bulkhead                 former_weight
formers                  former_weight
build time               building_time
hours                    building_time
horsepower               engine_power_turned
bhp                      engine_power_turned
diesel                   engine_power_turned
engine size              engine_displacement
engine                   engine_displacement
glow to electric         electric_input_for_glow
laminate                 bend_radius
shock                    landing_load
airfoil thickness        naca_thickness
aerofoil                 naca_camber
wing section             naca_thickness
mean aerodynamic chord   mean_chord
MAC                      mean_chord
wing loading             wing_loading
cube loading             wing_cube_loading
stalling speed           stall_speed
stall                    stall_speed
top speed                top_speed
glide ratio              best_glide_ratio
rate of climb            climb_rate
sink rate                sink_speed
reynolds number          reynolds_number
dihedral                 dihedral_angle
washout                  washout_at
tail volume              tail_volume
tail size                tail_area_for
fin size                 fin_volume
tail moment              tail_arm
neutral point            neutral_point
stability margin         static_margin
incidence                rigging_difference
v-tail                   vee_tail_area
flying wing              flying_wing_balance
servo torque             servo_torque
servo size               servo_torque
pushrod                  push_rod_load
aileron differential     differential
aileron size             aileron_chord_for
control throws           throw_angle
slop                     surface_slop
spar                     spar_stress
spar caps                cap_load
shear web                web_stress
spar stiffness           bending_stiffness
wing twist               washout_at
scarf joints             scarf_length
splice                   splice_distance
glue joint               glue_joint_area
wing bolts               bolt_load
nylon bolt               bolt_stress
wing seat                saddle_pull
dowel                    dowel_stress
balsa grade              balsa_grade
balsa density            wood_density
weight of wood           wood_weight
plywood weight           plywood_weight
spruce                   woods
lime wood                woods
cut list                 cut_list_weight
cutting list             cut_list_weight
glue weight              glue_share_weight
dope                     doped_weight
fibreglass               glassed_weight
fiberglass               glassed_weight
paint                    paint_needed
print scale              scale_from_bar
paper stretch            print_stretch
stretched print          print_stretch
second print scale       true_area
enlarge a plan           scale_factor
photocopier              copier_setting
load factor              gust_load_factor
g load                   stall_limited_load_factor
loop                     loop_load_bottom
turn radius              turn_radius
crosswind                crosswind
watts per pound          input_for_weight
motor size               input_for_weight
esc                      controller_size
kv                       kv_wanted
gear ratio               geared_kv
c rating                 c_rating_share
charging                 charge_current
bec                      regulator_heat
fuel tank                fuel_endurance
air density              air_density
altitude                 density_altitude
two scales               balance_on_two_scales
bellcrank                bellcrank_travel
float size               float_volume
wheel size               wheel_for_surface
nose over                nose_over_angle
rib spacing              rib_spacing
covering sag             covering_sag
`

// TestLibraryFindsWhatBuildersType shows that what a builder means is among the first five.
func TestLibraryFindsWhatBuildersType(t *testing.T) {
	pages := wholeLibrary().Library()
	lines := strings.Split(strings.TrimSpace(typedByBuilders), "\n")
	require.Greater(t, len(lines), 60)
	for i, line := range lines {
		if testing.Short() && i%5 != 0 {
			continue
		}
		fields := strings.Fields(line)
		want, typed := fields[len(fields)-1], strings.Join(fields[:len(fields)-1], " ")
		list, whole := speakOf(typed, pages)
		assert.True(t, whole, typed)
		var first []string
		for _, e := range list[:min(5, len(list))] {
			first = append(first, e.Name)
		}
		assert.True(t, slices.Contains(first, want), "%s: %s is not among %s", typed, want, strings.Join(first, ", "))
	}
}
