package library_test

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
)

// reworked is an example of the library that a general library of science works out again: what
// testdata/reference.py is asked, for the example's figure in the example's unit.
type reworked struct{ example, python string }

// references are general libraries of science by which an example may say that its figure comes from outside.
var references = []string{"SymPy,", "SciPy,", "fluids,"}

// TestReferenceLibrariesAgree holds every example that names a reference library against that library's own answer: an
// integral, a beam, a polygon, finite elements or a motion followed step by step, none of which knows our
// closed formulas.
func TestReferenceLibrariesAgree(t *testing.T) {
	if testing.Short() {
		t.Skip("SymPy, SciPy and fluids were NOT asked: their answers take longer than all other tests of the library")
	}
	const python = "/usr/bin/python3" // where Debian puts its packages, whatever other Python a machine has
	if err := exec.Command(python, "-c", "import sympy, scipy, fluids").Run(); err != nil {
		if os.Getenv("CI") == "true" {
			require.NoError(t, err, "CI has python3-sympy, python3-scipy and python3-fluids")
		}
		t.Skip("no SymPy, SciPy and fluids here to compare with")
	}
	asked := make([]string, len(reworkedExamples))
	for i, r := range reworkedExamples {
		asked[i] = r.python
	}
	input, err := json.Marshal(asked)
	require.NoError(t, err)
	cmd := exec.Command(python, "testdata/reference.py")
	var complaint bytes.Buffer
	cmd.Stdin, cmd.Stderr = bytes.NewReader(input), &complaint
	output, err := cmd.Output()
	require.NoError(t, err, complaint.String())
	var answers []float64
	require.NoError(t, json.Unmarshal(output, &answers))
	require.Len(t, answers, len(reworkedExamples))
	want := examplesByCall(t)
	for i, r := range reworkedExamples {
		t.Run(r.example, func(t *testing.T) {
			e, ok := want[r.example]
			require.True(t, ok, "the library has this example")
			figure, _, _ := strings.Cut(e.Want, " ")
			number, err := strconv.ParseFloat(figure, 64)
			require.NoError(t, err)
			assert.InDelta(t, number, answers[i], lastDigit(figure)*0.500001, r.python)
		})
	}
}

// TestReferenceLibrariesAreAskedWhatTheExamplesSay: who names a reference library is held against it, and the
// other way round.
func TestReferenceLibrariesAreAskedWhatTheExamplesSay(t *testing.T) {
	var said, asked []string
	for call, e := range examplesByCall(t) {
		for _, name := range references {
			if strings.HasPrefix(e.Where, "outside: "+name) {
				said = append(said, call)
			}
		}
	}
	for _, r := range reworkedExamples {
		asked = append(asked, r.example)
	}
	assert.ElementsMatch(t, said, asked)
}

// examplesByCall returns the library's examples by what they call.
func examplesByCall(t *testing.T) map[string]engine.Example {
	t.Helper()
	m := engine.LoadLibrary(engine.Sources{Library: library.Pages()})
	require.Empty(t, m.Problems())
	all := map[string]engine.Example{}
	for _, e := range m.Examples() {
		all[e.Call] = e
	}
	return all
}

var reworkedExamples = []reworked{
	// air
	{
		`density_ratio(standard_density(10000 [ft]))`,
		`ATMOSPHERE_1976(6356766 * 3048 / (6356766 - 3048)).rho / 1.225 * 100`,
	},
	{
		`true_airspeed(100 [kn], standard_density(10000 [ft]))`,
		`100 * np.sqrt(1.225 / ATMOSPHERE_1976(6356766 * 3048 / (6356766 - 3048)).rho)`,
	},

	// controls
	{
		`hinge_slope_of_incidence(25 [%])`,
		`hinge_slope(0.25, False)`,
	},
	{
		`hinge_slope_of_travel(25 [%])`,
		`hinge_slope(0.25, True)`,
	},
	{
		`flap_effect(50 [%])`,
		`integrate.quad(lambda t: 1 - np.cos(t), np.pi / 2, np.pi)[0] / np.pi`,
	},

	// flight
	{
		`skin_friction_smooth(100000)`,
		`blasius() / np.sqrt(100000)`,
	},
	{
		`best_glide_lift(0.025, 7.366022, 0.8)`,
		`least(lambda lift: (0.025 + lift**2 / (np.pi * 0.8 * 7.366022)) / lift, 0.1, 3)[0]`,
	},
	{
		`best_glide_speed(1338.632459 [kg], 16.165 [m^2], 0.025, 7.366022, 0.8, 1.225 [kg/m^3])`,
		`least(polar_curve(1338.632459, 16.165, 0.025, 7.366022, 0.8, 1.225), 20, 80)[0]`,
	},
	{
		`least_sink_lift(0.025, 7.366022, 0.8)`,
		`least(lambda lift: (0.025 + lift**2 / (np.pi * 0.8 * 7.366022)) / lift**1.5, 0.1, 3)[0]`,
	},
	{
		`least_sink_speed(1338.632459 [kg], 16.165 [m^2], 0.025, 7.366022, 0.8, 1.225 [kg/m^3])`,
		`least(lambda v: v * polar_curve(1338.632459, 16.165, 0.025, 7.366022, 0.8, 1.225)(v), 15, 80)[0]`,
	},
	{
		`least_sink(1338.632459 [kg], 16.165 [m^2], 0.025, 7.366022, 0.8, 1.225 [kg/m^3])`,
		`least(lambda v: v * polar_curve(1338.632459, 16.165, 0.025, 7.366022, 0.8, 1.225)(v), 15, 80)[1] / (1338.632459 * gravity)`,
	},
	{
		`least_power(1338.632459 [kg], 16.165 [m^2], 0.025, 7.366022, 0.8, 1.225 [kg/m^3])`,
		`least(lambda v: v * polar_curve(1338.632459, 16.165, 0.025, 7.366022, 0.8, 1.225)(v), 15, 80)[1]`,
	},
	{
		`time_to_climb(8000 [ft], 26666.666667 [ft], 1000 [ft/min])`,
		`integrate.quad(lambda h: 1 / (1000 * (1 - h / 26666.666667)), 0, 8000)[0]`,
	},
	{
		`terminal_speed(1338.632459 [kg], 16.165 [m^2], 0.025, 90 [deg], 1.225 [kg/m^3])`,
		`optimize.brentq(lambda v: 1.225 / 2 * v * v * 16.165 * 0.025 - 1338.632459 * gravity, 50, 500)`,
	},
	{
		`speed_after_dive(20 [m/s], 50 [m], 60 [m/s])`,
		`falling(20, 50, 60)`,
	},
	{
		`drift_angle(30 [m/s], 10 [m/s], 45 [deg])`,
		`wind_triangle(30, 10, 45)[0]`,
	},
	{
		`ground_speed(30 [m/s], 10 [m/s], 45 [deg])`,
		`wind_triangle(30, 10, 45)[1]`,
	},

	// ground
	{
		`tip_clearance_tail_down(7 [in], 10 [in], 3 [in], 12 [deg])`,
		`Point(-3, 2).rotate(-rad(12)).y`,
	},
	{
		`tip_clearance_nose_down(7 [in], 10 [in], 3 [in], 12 [deg])`,
		`Point(-3, 2).rotate(rad(12)).y`,
	},
	{
		`tip_clearance_landing(7 [in], 10 [in], 3 [in], 3/4 [in], 5 [deg])`,
		`Point(-3, Rational(5, 4)).rotate(rad(5)).y`,
	},
	{
		`three_point_angle(7 [in], 2 [in], 24 [in])`,
		`rises(Line(Point(0, 2), Point(24, 7)))`,
	},
	{
		`nose_over_angle(60 [mm], 0 [mm], 180 [mm])`,
		`90 - rises(Line(Point(0, 0), Point(60, 180)))`,
	},
	{
		`axle_for_angle(2.5 [in], 7.5 [in], 16 [deg])`,
		`Line(Point(Rational(5, 2), Rational(15, 2)), slope=tan(rad(74))).intersection(Line(Point(0, 0), Point(1, 0)))[0].x`,
	},
	{
		`tip_back_angle(2.5 [in], 4 [in], 7.5 [in])`,
		`90 - rises(Line(Point(0, 0), Point(Rational(3, 2), Rational(15, 2))))`,
	},
	{
		`tail_strike_angle(5 [in], 20 [in])`,
		`rises(Line(Point(0, 0), Point(20, 5)))`,
	},
	{
		`overturn_angle(10 [in], 24 [in], 21.5 [in], 7.5 [in])`,
		`deg(atan(7.5 / Line(Point(0, 0), Point(24, 5)).distance(Point(Rational(43, 2), 0))))`,
	},
	{
		`wing_tip_angle(10 [in], 50 [in], 10 [in])`,
		`rises(Line(Point(5, 0), Point(25, 10)))`,
	},
	{
		`tail_wheel_load(56 [oz], 2.5 [in], 0 [in], 25 [in])`,
		`bears(56, Rational(5, 2), 25)[1]`,
	},
	{
		`tail_wheel_load_tail_down(1.35 [kg], 70 [mm], 0 [mm], 640 [mm], 180 [mm], 11 [deg])`,
		`bears(1.35, Point(70, 180).rotate(-rad(11)).x.evalf(), Point(640, 640 * tan(rad(11))).distance(Point(0, 0)).evalf())[1]`,
	},
	{
		`nose_wheel_load(2.2 [kg], 280 [mm], 310 [mm], 10 [mm])`,
		`bears(Rational(11, 5), 30, 300)[1]`,
	},
	{
		`wheel_for_bump(1/4 [in], 0.75)`,
		`optimize.brentq(lambda wheel: float(over_bump(Rational(1, 4), wheel)) - 0.75, 1, 10)`,
	},
	{
		`pull_over_bump(1/4 [in], 2-1/2 [in])`,
		`over_bump(Rational(1, 4), Rational(5, 2))`,
	},
	{
		`plate_stress(20 [lbf], 2 [in], 2-1/2 [in], 1/8 [in])`,
		`amid(20, 2) / box(Rational(5, 2), Rational(1, 8)).section_modulus()[0]`,
	},
	{
		`plate_push_limit(7000 [psi], 2 [in], 2-1/2 [in], 1/8 [in])`,
		`7000 * box(Rational(5, 2), Rational(1, 8)).section_modulus()[0] / amid(1, 2)`,
	},
	{
		`plate_glue_stress(15 [lbf], 25 [%], 6 [in], 2-1/2 [in], 3/4 [in])`,
		`15 * 0.25 * 6 / box(Rational(3, 4), Rational(5, 2)).section_modulus()[0] - 15 / box(Rational(3, 4), Rational(5, 2)).area`,
	},
	{
		`saddle_pull(9 [lbf], 4-1/2 [in], 1-1/2 [in])`,
		`abs(bears(9, 6, Rational(3, 2))[0])`,
	},
	{
		`saddle_push_limit(27 [lbf], 4-1/2 [in], 1-1/2 [in])`,
		`27 / abs(bears(1, 6, Rational(3, 2))[0])`,
	},

	// joints
	{
		`scarf_area_factor(12)`,
		`Point(0, 0).distance(Point(12, 1))`,
	},
	{
		`scarf_angle(8)`,
		`deg(Line(Point(0, 0), Point(8, 1)).angle_between(Line(Point(0, 0), Point(1, 0))))`,
	},
	{
		`scarf_glue_area(6 [mm], 3 [mm], 10)`,
		`6 * Point(0, 0).distance(Point(30, 3))`,
	},
	{
		`scarf_shear_stress(29 [MPa], 12)`,
		`abs(on_face(29, 12)[1])`,
	},
	{
		`scarf_peel_stress(29 [MPa], 12)`,
		`on_face(29, 12)[0]`,
	},
	{
		`brace_stress(144 [N mm], 6 [mm], 12 [mm])`,
		`144 / box(6, 12).section_modulus()[0]`,
	},
	{
		`brace_thickness(144 [N mm], 12 [mm], 1 [MPa])`,
		`optimize.brentq(lambda wide: float(box(wide, 12).section_modulus()[0]) - 144, 1, 20)`,
	},
	{
		`socket_load(6 [N m], 90 [mm])`,
		`in_socket(6000, 90)[0]`,
	},
	{
		`socket_pressure(6 [N m], 90 [mm], 6 [mm])`,
		`in_socket(6000, 90)[1] / 6`,
	},
	{
		`column_buckling(10 [GPa], 100 [mm^4], 100 [mm], "fixed and pinned")`,
		`buckling(10, 100, 100, "fixed and pinned")`,
	},
	{
		`rod_buckling(3 [mm], 300 [mm], 3400 [MPa], "fixed")`,
		`buckling(3400, float(round_bar(3)), 300, "fixed")`,
	},
	{
		`strip_buckling(4 [in], 2 [in], 12 * 12 * 1 [in], 1.6e6 * 1 [psi], "pinned")`,
		`buckling(1.6e6, float(second_moment(box(4, 2))), 144, "pinned")`,
	},
	{
		`tube_buckling(6 [mm], 4 [mm], 600 [mm], 70 [GPa], "pinned")`,
		`buckling(70000, float(round_bar(6, 4)), 600, "pinned")`,
	},
	{
		`longest_column(2030.7823 [lbf], 1.6e6 * 1 [psi], 4 * 8 / 12 * 1 [in^4], "pinned")`,
		`optimize.brentq(lambda long: buckling(1.6e6, 8 / 3, long, "pinned") - 2030.7823, 50, 300)`,
	},
	{
		`buckling_stress(10800 [MPa], 6 [mm] / sqrt(12), 300 [mm], "pinned")`,
		`buckling(10800, float(second_moment(box(1, 6))), 300, "pinned") / 6`,
	},
	{
		`column_strength(6 [mm], 6 [mm], 300 [mm], "Sitka spruce", 28 [lb/cu ft], "pinned")`,
		`buckling(10800, float(second_moment(box(6, 6))), 300, "pinned")`,
	},
	{
		`strut_load(10 [lbf], 12 [in], 16 [in], 30 [deg])`,
		`bears(10, 12, 16)[1] / sin(rad(30))`,
	},
	{
		`interplane_load(8 [lbf], 0 [lbf], 20 [in], 20 [in], 1000 [lbf in^2], 1e12 * 1 [lbf in^2])`,
		`propped(20, 8)`,
	},
	{
		`upper_wing_moment(7 [lbf], 24 [in], 15 [in], 2 [lbf])`,
		`clamped(cantilever(24, 1, 1, (Rational(7, 24), 0, 0, 24), (-2, 15, -1)))`,
	},
	{
		`lower_wing_moment(4 [lbf], 22 [in], 15 [in], 2 [lbf])`,
		`clamped(cantilever(22, 1, 1, (Rational(4, 22), 0, 0, 22), (2, 15, -1)))`,
	},
	{
		`dowel_stress(30 [N], 10 [mm], 6 [mm])`,
		`clamped(cantilever(10, 1, 1, (-30, 10, -1))) / Circle(Point(0, 0), 3).section_modulus()[0]`,
	},
	{
		`dowel_shear_stress(27 [N], 6 [mm])`,
		`27 * integral(2 * y * sqrt(9 - y**2), (y, 0, 3)) / (round_bar(6) * 6)`,
	},
	{
		`bolt_load(8 [lbf], 2 [in], 8 [in])`,
		`bears(8, 2, 8)[1]`,
	},

	// loads
	{
		`load_centre(2 [m], 0.5)`,
		`along_half_span(tapered(Rational(1, 2)), 1, 2)[1]`,
	},
	{
		`load_centre_elliptic(2 [m])`,
		`along_half_span(elliptic, 1, 2)[1]`,
	},
	{
		`wing_root_moment_elliptic(850 [g], 6, 1.2 [m])`,
		`along_half_span(elliptic, 0.85 * 6 * gravity / 2, Rational(6, 5))[1]`,
	},
	{
		`wing_root_moment_tapered(50 [kN] / standard_gravity, 1, 20 [m], 0)`,
		`clamped(cantilever(10, 1, 1, (-5000, 0, 0, 10), (500, 0, 1, 10)))`,
	},
	{
		`wing_root_moment_mean(850 [g], 6, 1.2 [m], 1)`,
		`(along_half_span(elliptic, 0.85 * 6 * gravity / 2, Rational(6, 5))[1] + along_half_span(tapered(1), 0.85 * 6 * gravity / 2, Rational(6, 5))[1]) / 2`,
	},
	{
		`wing_shear(27 [oz], 4, 44 [in], 11 [in])`,
		`along_half_span(tapered(1), Rational(27, 8), 44, 11)[0]`,
	},
	{
		`wing_shear_elliptic(5 [lb], 4, 80 [in], 20 [in])`,
		`along_half_span(elliptic, 10, 80, 20)[0]`,
	},
	{
		`wing_shear_tapered(5 [lb], 4, 80 [in], 0.5, 20 [in])`,
		`along_half_span(tapered(Rational(1, 2)), 10, 80, 20)[0]`,
	},
	{
		`wing_moment_elliptic(5 [lb], 4, 80 [in], 20 [in])`,
		`along_half_span(elliptic, 10, 80, 20)[1]`,
	},
	{
		`wing_moment_tapered(5 [lb], 4, 80 [in], 0.5, 20 [in])`,
		`along_half_span(tapered(Rational(1, 2)), 10, 80, 20)[1]`,
	},
	{
		`wing_weight_relief(1.5 [lb], 4, 80 [in], 1)`,
		`along_half_span(tapered(1), 3, 80)[1]`,
	},

	// plan
	{
		`strut_length(6 [in], 2 [in], 3 [in])`,
		`Point3D(0, 0, 0).distance(Point3D(6, 2, 3))`,
	},
	{
		`arc_radius(8 [in], 2 [in])`,
		`Circle(Point(-4, 0), Point(4, 0), Point(0, 2)).radius`,
	},
	{
		`area_from_ordinates([0 [in], 3 [in], 4 [in], 3 [in], 0 [in]], 2 [in])`,
		`Polygon((8, 0), (6, 3), (4, 4), (2, 3), (0, 0)).area`,
	},
	{
		`longest_in_box(45 [in], 24 [in], 28 [in])`,
		`Point3D(0, 0, 0).distance(Point3D(45, 24, 28))`,
	},
	{
		`longest_round_corner(27 [in], 64 [in])`,
		`least(lambda a: 27 / np.sin(a) + 64 / np.cos(a), 0.05, 1.5)[1]`,
	},

	// power
	{
		`motor_best_current(44.4 [V], 1.5 [A], 42 [mohm])`,
		`least(lambda a: -(a - 1.5) * (44.4 - a * 0.042) / (44.4 * a), 2, 500)[0]`,
	},
	{
		`motor_best_efficiency(44.4 [V], 1.5 [A], 42 [mohm])`,
		`-100 * least(lambda a: -(a - 1.5) * (44.4 - a * 0.042) / (44.4 * a), 2, 500)[1]`,
	},
	{
		`motor_peak_current(44.4 [V], 1.5 [A], 42 [mohm])`,
		`least(lambda a: -(a - 1.5) * (44.4 - a * 0.042), 2, 1000)[0]`,
	},

	// structure
	{
		`round_area(2 [mm])`,
		`Circle(Point(0, 0), 1).area`,
	},
	{
		`round_second_moment(10 [mm])`,
		`round_bar(10)`,
	},
	{
		`round_modulus(3 [mm])`,
		`Circle(Point(0, 0), Rational(3, 2)).section_modulus()[0]`,
	},
	{
		`tube_area(6 [mm], 4 [mm])`,
		`Circle(Point(0, 0), 3).area - Circle(Point(0, 0), 2).area`,
	},
	{
		`tube_second_moment(10 [mm], 8 [mm])`,
		`round_bar(10, 8)`,
	},
	{
		`tube_modulus(6 [mm], 4 [mm])`,
		`round_bar(6, 4) / 3`,
	},
	{
		`box_second_moment(10 [mm], 20 [mm], 1 [mm], 3 [mm])`,
		`second_moment(box(10, 20)) - second_moment(box(8, 14))`,
	},
	{
		`twin_caps(6 [mm], 3 [mm], 30 [mm])`,
		`second_moment(box(6, 3), box(6, 3, 27))`,
	},
	{
		`i_spar_second_moment(6 [mm], 3 [mm], 2 [mm], 30 [mm])`,
		`second_moment(box(6, 3), box(2, 24, 3), box(6, 3, 27))`,
	},
	{
		`neutral_axis(8 [mm], 4 [mm], 6 [mm], 3 [mm], 30 [mm])`,
		`axis(box(6, 3), box(8, 4, 26))`,
	},
	{
		`unequal_caps(8 [mm], 4 [mm], 6 [mm], 3 [mm], 30 [mm])`,
		`second_moment(box(6, 3), box(8, 4, 26))`,
	},
	{
		`unequal_caps_top_modulus(8 [mm], 4 [mm], 6 [mm], 3 [mm], 30 [mm])`,
		`second_moment(box(6, 3), box(8, 4, 26)) / (30 - axis(box(6, 3), box(8, 4, 26)))`,
	},
	{
		`unequal_caps_bottom_modulus(8 [mm], 4 [mm], 6 [mm], 3 [mm], 30 [mm])`,
		`second_moment(box(6, 3), box(8, 4, 26)) / axis(box(6, 3), box(8, 4, 26))`,
	},
	{
		`section_axis([32 [mm^2], 18 [mm^2]], [28 [mm], 1.5 [mm]])`,
		`axis(box(6, 3), box(8, 4, 26))`,
	},
	{
		`radius_of_gyration(rectangle_second_moment(6 [mm], 10 [mm]), 60 [mm^2])`,
		`sqrt(second_moment(box(6, 10)) / box(6, 10).area)`,
	},
	{
		`bending_stiffness([2 [GPa], 1 [GPa]], [10 [mm^4], 10 [mm^4]], [30 [mm^2], 30 [mm^2]], [20 [mm], 0 [mm]])`,
		`1000 * second_moment(box(15, 2, -1), box(30, 2, 19))`,
	},
	{
		`stress_in_part(1 [N m], 3400 [MPa], 15 [mm], 3400 * 6588 * 1 [N mm^2])`,
		`1000 * 15 / second_moment(box(6, 3), box(6, 3, 27))`,
	},
	{
		`bending_stress(1 [N m], 6588 [mm^4], 15 [mm])`,
		`1000 * 15 / second_moment(box(6, 3), box(6, 3, 27))`,
	},
	{
		`spar_stress(1 [N m], 6 [mm], 3 [mm], 30 [mm])`,
		`1000 * 15 / second_moment(box(6, 3), box(6, 3, 27))`,
	},
	{
		`stick_stress(10000 [N] * 2 [m], 10 [cm], 5 [cm])`,
		`clamped(cantilever(2000, 1, 1, (-10000, 2000, -1))) / box(100, 50).section_modulus()[0]`,
	},
	{
		`stick_width(144 [N mm], 12 [mm], 1 [MPa])`,
		`optimize.brentq(lambda wide: float(box(wide, 12).section_modulus()[0]) - 144, 1, 20)`,
	},
	{
		`normal_deviate(10 [%])`,
		`stats.norm.isf(0.1)`,
	},
	{
		`safety_for(1 [%], 14 [%])`,
		`1 / (1 - stats.norm.isf(0.01) * 0.14)`,
	},
	{
		`stick_shear_stress(72 [N], 6 [mm], 12 [mm])`,
		`72 * box(6, 6).area * 3 / (second_moment(box(6, 12)) * 6)`,
	},
	{
		`round_shear_stress(30 [N], 4 [mm])`,
		`30 * integral(2 * y * sqrt(4 - y**2), (y, 0, 2)) / (round_bar(4) * 4)`,
	},
	{
		`web_buckling_stress(12 * 0.91 / pi ^ 2 * 1 [GPa], 1 [mm], 100 [mm], 100 [mm])`,
		`0.1 * plate_in_shear(1)`,
	},
	{
		`cap_strength_ratio(6 [mm], 3 [mm], 30 [mm], 6 [mm], 2 [mm], 30 [mm])`,
		`second_moment(box(6, 2), box(6, 2, 28)) / second_moment(box(6, 3), box(6, 3, 27))`,
	},
	{
		`cap_stiffness_ratio(6 [mm], 3 [mm], 30 [mm], 6 [mm], 3 [mm], 24 [mm])`,
		`second_moment(box(6, 3), box(6, 3, 21)) / second_moment(box(6, 3), box(6, 3, 27))`,
	},
	{
		`column_strength_ratio(1/4 [in], 1/4 [in], 3/16 [in], 3/16 [in])`,
		`buckling(1, float(second_moment(box(3, 3))), 100, "pinned") / buckling(1, float(second_moment(box(4, 4))), 100, "pinned")`,
	},
	{
		`double_skin_bending_ratio(2 [mm], 20 [mm], 1 [mm], 20 [mm])`,
		`second_moment(box(1, 1), box(1, 1, 19)) / second_moment(box(1, 2), box(1, 2, 18))`,
	},
	{
		`tip_deflection(20 [N], 0.75 [m], 10.8 [GPa], 6588 [mm^4])`,
		`sag(cantilever(750, 10800, 6588, (-S(20) / 750, 0, 0, 750)), 750)`,
	},
	{
		`tip_deflection_elliptic(20 [N], 0.75 [m], 10.8 [GPa], 6588 [mm^4])`,
		`integrate.quad(lambda a: 80 / (np.pi * 750) * np.sqrt(1 - (a / 750) ** 2) * a * a * (3 * 750 - a) / (6 * 10800 * 6588), 0, 750)[0]`,
	},
	{
		`tip_deflection_falling(25 [kN], 10 [m], 0, 1000 [GPa], 4.166667e6 * 1 [mm^4])`,
		`sag(cantilever(10, 1000, Rational(4166667, 10**12), (-Rational(5, 10**6), 0, 0, 10), (Rational(5, 10**7), 0, 1, 10)), 10)`,
	},
	{
		`tip_deflection_end_load(1 [N], 0.3 [m], 3.4 [GPa], 864 [mm^4])`,
		`sag(cantilever(300, 3400, 864, (-1, 300, -1)), 300)`,
	},
	{
		`second_moment_for_deflection(20 [N], 0.75 [m], 10.8 [GPa], 14.823353 [mm])`,
		`sag(cantilever(750, 10800, 1, (-S(20) / 750, 0, 0, 750)), 750) / 14.823353`,
	},
	{
		`round_torsion_constant(6 [mm])`,
		`polar(6)`,
	},
	{
		`tube_torsion_constant(10 [mm], 8 [mm])`,
		`polar(10, 8)`,
	},
	{
		`rectangle_torsion_constant(20 [mm], 10 [mm])`,
		`twisting(20, 10) / 1e4`,
	},
	{
		`strip_torsion_constant(300 [mm], 1 [mm])`,
		`twisting(300, 1, 20)`,
	},
	{
		`closed_torsion_constant(pi * 2500 * 1 [mm^2], pi * 100 * 1 [mm], 0.1 [mm])`,
		`polar(Rational(1001, 10), Rational(999, 10))`,
	},
	{
		`walled_torsion_constant(pi * 2500 * 1 [mm^2], [pi * 50 * 1 [mm], pi * 50 * 1 [mm]], [0.1 [mm], 0.1 [mm]])`,
		`polar(Rational(1001, 10), Rational(999, 10))`,
	},
	{
		`closed_shear_flow(1 [N m], pi * 2500 * 1 [mm^2])`,
		`1000 * 50 / polar(Rational(1001, 10), Rational(999, 10)) / 10`,
	},
	{
		`closed_torsion_stress(1 [N m], pi * 2500 * 1 [mm^2], 0.1 [mm])`,
		`1000 * 50 / polar(Rational(1001, 10), Rational(999, 10))`,
	},
	{
		`round_torsion_stress(250 [N mm], 4 [mm])`,
		`250 * 2 / polar(4)`,
	},
	{
		`sheeting_sag(100 [Pa], 75 [mm], 1.5 [mm], 3400 [MPa])`,
		`built_in(75, 3400, second_moment(box(1, Rational(3, 2))), Rational(1, 10**4))`,
	},

	// tail
	{
		`upwash_ahead(4.5 [in], 9 [in], 4.5 [1/rad])`,
		`1 + 4.5 / (2 * np.pi) * integrate.quad(lambda t: (1 + np.cos(t)) / ((1 - np.cos(t)) / 2 + 0.5), 0, np.pi)[0] / (2 * np.pi)`,
	},
	{
		`pull_out_elevator(2, 0.5 [m], 20 [m/s], 1)`,
		`rises(Line(Point(0, 0), Point(400 / Rational('9.80665'), Rational(1, 2))))`,
	},
	{
		`stagger_angle(1.75 [in], 7 [in])`,
		`90 - rises(Line(Point(0, 0), Point(Rational(7, 4), 7)))`,
	},

	// wing
	{
		`panel_area(400 [mm], 200 [mm], 1000 [mm])`,
		`Polygon((0, 0), (400, 0), (800, 1000), (600, 1000)).area`,
	},
	{
		`tapered_wing_area(50 [in], 9 [in], 6 [in])`,
		`2 * Polygon((0, 0), (9, 0), (7, 25), (1, 25)).area`,
	},
	{
		`elliptic_wing_area(40 [in], 10 [in])`,
		`Ellipse(Point(0, 0), 20, 5).area`,
	},
	{
		`wing_area_of_panels([12 [in], 10 [in], 6 [in]], [10 [in], 6 [in], 3 [in]], [20 [in], 16 [in], 6 [in]])`,
		`2 * Polygon((0, 0), (12, 0), (10, 20), (6, 36), (3, 42), (0, 42)).area`,
	},
	{
		`round_tip_area(8 [in], 2 [in])`,
		`Ellipse(Point(0, 0), 4, 2).area / 2`,
	},
	{
		`mean_chord(400 [mm], 200 [mm])`,
		`mean_chord((400, 200, 1000, 0, 0, 600))[0]`,
	},
	{
		`mean_chord_out(400 [mm], 200 [mm], 1000 [mm])`,
		`mean_chord((400, 200, 1000, 0, 0, 600))[1]`,
	},
	{
		`mean_chord_back(400 [mm], 200 [mm], 600 [mm])`,
		`mean_chord((400, 200, 1000, 0, 0, 600))[2]`,
	},
	{
		`mean_chord_of_panels([12 [in], 10 [in], 6 [in]], [10 [in], 6 [in], 3 [in]], [20 [in], 16 [in], 6 [in]])`,
		`mean_chord((12, 10, 20, 0, 0, S(1) / 2), (10, 6, 16, 20, S(1) / 2, 2), (6, 3, 6, 36, S(5) / 2, 2))[0]`,
	},
	{
		`mean_chord_out_of_panels([12 [in], 10 [in], 6 [in]], [10 [in], 6 [in], 3 [in]], [20 [in], 16 [in], 6 [in]], [0 [in], 20 [in], 36 [in]])`,
		`mean_chord((12, 10, 20, 0, 0, S(1) / 2), (10, 6, 16, 20, S(1) / 2, 2), (6, 3, 6, 36, S(5) / 2, 2))[1]`,
	},
	{
		`mean_chord_back_of_panels([12 [in], 10 [in], 6 [in]], [10 [in], 6 [in], 3 [in]], [20 [in], 16 [in], 6 [in]], [0 [in], 0.5 [in], 2.5 [in]], [0.5 [in], 2 [in], 2 [in]])`,
		`mean_chord((12, 10, 20, 0, 0, S(1) / 2), (10, 6, 16, 20, S(1) / 2, 2), (6, 3, 6, 36, S(5) / 2, 2))[2]`,
	},
	{
		`elliptic_mean_chord(10 [in])`,
		`integral(100 * (1 - x**2), (x, 0, 1)) / integral(10 * sqrt(1 - x**2), (x, 0, 1))`,
	},
	{
		`elliptic_mean_chord_out(40 [in])`,
		`20 * integral(x * sqrt(1 - x**2), (x, 0, 1)) / integral(sqrt(1 - x**2), (x, 0, 1))`,
	},
	{
		`naca_section_area(10 [in], 12 [%])`,
		`100 * 2 * integrate.quad(naca_half(0.12), 0, 1)[0]`,
	},
	{
		`naca_section_centre(10 [in])`,
		`10 * integrate.quad(lambda a: a * naca_half(0.12)(a), 0, 1)[0] / integrate.quad(naca_half(0.12), 0, 1)[0]`,
	},
	{
		`naca_zero_lift(2 [%], 40 [%])`,
		`thin_aerofoil(0.02, 0.4)[0]`,
	},
	{
		`naca_moment(2 [%], 40 [%])`,
		`thin_aerofoil(0.02, 0.4)[1]`,
	},

	// wire
	{
		`leg_rate(1/8 [in], 5 [in])`,
		`1 / sag(cantilever(5, 28500000, round_bar(Rational(1, 8)), (-1, 5, -1)), 5)`,
	},
	{
		`leg_stress(50 [N], 3 [mm], 100 [mm])`,
		`clamped(cantilever(100, 1, 1, (-50, 100, -1))) / Circle(Point(0, 0), Rational(3, 2)).section_modulus()[0]`,
	},
	{
		`leg_load_limit(3 [mm], 100 [mm])`,
		`0.65 * 2211 * 3**-0.145 * Circle(Point(0, 0), Rational(3, 2)).section_modulus()[0] / 100`,
	},
	{
		`leg_wire_needed(32.485023 [N], 100 [mm], 1)`,
		`optimize.brentq(lambda d: 0.65 * 2211 * d**-0.145 * float(Circle(Point(0, 0), d / 2).section_modulus()[0]) - 3248.5023, 1, 6)`,
	},
	{
		`leg_long(6 [in], 3 [in], 2 [in])`,
		`Point3D(0, 0, 0).distance(Point3D(6, 3, 2))`,
	},
	{
		`torsion_bar_rate(1/8 [in], 4 [in], 5 [in])`,
		`11750000 * polar(Rational(1, 8)) / 4 / 25`,
	},
	{
		`torsion_bar_stress(50 [N], 3 [mm], 100 [mm])`,
		`5000 * Rational(3, 2) / polar(3)`,
	},
	{
		`joiner_stress(1 [N m], 2 [mm])`,
		`1000 / Circle(Point(0, 0), 1).section_modulus()[0]`,
	},
	{
		`joiner_wire_needed(3.2485023 [N m], 1)`,
		`optimize.brentq(lambda d: 0.65 * 2211 * d**-0.145 * float(Circle(Point(0, 0), d / 2).section_modulus()[0]) - 3248.5023, 1, 6)`,
	},
	{
		`pushrod_limit(1/16 [in], 12 [in])`,
		`buckling(29e6, float(round_bar(Rational(1, 16))), 12, "pinned")`,
	},
	{
		`sink_of_drop(18.7 [in])`,
		`from_rest(18.7 * inch) / 0.3048`,
	},
	{
		`drop_of_sink(2 [m/s])`,
		`1000 * optimize.brentq(lambda high: from_rest(high) - 2, 0.01, 1)`,
	},
	{
		`drop_load(1 [kg], 100 [mm], 2 [N/mm])`,
		`hardest_push(1, 2000, np.sqrt(2 * gravity * 0.1), 0)`,
	},
	{
		`landing_load(1 [kg], 2 [m/s], 2 [N/mm], 100 [%])`,
		`hardest_push(1, 2000, 2, 1)`,
	},
	{
		`sink_limit(120 [N], 2 [kg], 4 [N/mm], 66.7 [%])`,
		`optimize.brentq(lambda sink: hardest_push(2, 4000, sink, 0.667) - 120, 0.5, 3)`,
	},
	{
		`leg_energy_limit(3 [mm], 100 [mm])`,
		`(0.65 * 2211 * 3**-0.145)**2 / (2 * 196500) * integral(x**2 / 100**2, (x, 0, 100)) * round_bar(3) / Rational(3, 2)**2 / 1000`,
	},
	{
		`torsion_bar_energy_limit(3 [mm], 100 [mm])`,
		`(0.45 * 2211 * 3**-0.145)**2 / (2 * 81013.398) * 100 * integral(2 * pi * y * (y / Rational(3, 2))**2, (y, 0, Rational(3, 2))) / 1000`,
	},
	{
		`strip_rate(1 [in], 1/8 [in], 5 [in], 10000000 [psi])`,
		`1 / sag(cantilever(5, 10000000, second_moment(box(1, Rational(1, 8))), (-1, 5, -1)), 5)`,
	},
	{
		`tapered_strip_rate(1 [in], 1/2 [in], 1/8 [in], 5 [in], 10000000 [psi])`,
		`1 / integral((5 - x)**2 / (10**7 * (1 - x / 10) / (12 * 8**3)), (x, 0, 5))`,
	},
	{
		`strip_stress(10 [lbf], 1 [in], 1/8 [in], 5 [in])`,
		`clamped(cantilever(5, 1, 1, (-10, 5, -1))) / box(1, Rational(1, 8)).section_modulus()[0]`,
	},
	{
		`strip_load_limit(1 [in], 1/8 [in], 5 [in], 19200 [psi])`,
		`19200 * box(1, Rational(1, 8)).section_modulus()[0] / 5`,
	},
	{
		`strip_thickness_needed(10 [lbf], 1 [in], 5 [in], 19200 [psi], 1)`,
		`optimize.brentq(lambda thick: 19200 * float(box(1, thick).section_modulus()[0]) - 50, 0.05, 1)`,
	},
	{
		`strip_energy_limit(25 [mm], 3 [mm], 120 [mm], 70 [GPa], 280 [MPa])`,
		`S(280)**2 / (2 * 70000) * 25 * integral(integral((x / 120 * y / Rational(3, 2))**2, (x, 0, 120)), (y, -Rational(3, 2), Rational(3, 2))) / 1000`,
	},
	{
		`tube_stress(1 [N m], 6 [mm], 1 [mm])`,
		`1000 * 3 / round_bar(6, 4)`,
	},

	// wood
	{
		`hole_area(3/8 [in], 1)`,
		`Circle(Point(0, 0), Rational(3, 16)).area`,
	},
	{
		`normal_tail(0)`,
		`100 * stats.norm.sf(0)`,
	},
	{
		`normal_tail(1)`,
		`100 * stats.norm.sf(1)`,
	},
	{
		`normal_tail(1.96)`,
		`100 * stats.norm.sf(1.96)`,
	},
	{
		`normal_tail(-1.645)`,
		`100 * stats.norm.sf(-1.645)`,
	},
	{
		`lower_strength(100 [psi], 20 [%])`,
		`stats.norm.ppf(0.05, 100, 20)`,
	},
	{
		`weaker_share(1.490313, 20 [%], 0 [%])`,
		`100 * stats.norm.cdf((1 / 1.490313 - 1) / 0.2)`,
	},
}
