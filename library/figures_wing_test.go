package library_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const (
	// straightPanels is the definition of the mean aerodynamic chord and of its place: chord squared, and chord times
	// place, integrated over straight panels in closed form. TestMeanChordByIntegration adds up strips instead.
	straightPanels  = "definition, in closed form for straight panels; worked by hand"
	report460       = "E. N. Jacobs, K. E. Ward and R. M. Pinkerton, NACA Report 460 (1933)"
	coordinates0012 = "published coordinate file of the section 0012, 131 points, after " + report460
	oldPractice     = "B. Jones, Elements of Practical Aerodynamics (title from memory), worked examples of ch. 10: inputs from them, worked by hand"
)

func TestMeanChordFigures(t *testing.T) {
	workFigures(t, `
page Panels
  // A half wing of three straight panels. The mean of the whole is the mean of the panels' own, by their areas.
  table panels
    panel | root | tip | out | panel_span | back | sweep
    inner | 12   | 10  | 0   | 20         | 0    | 0.5
    mid   | 10   | 6   | 20  | 16         | 0.5  | 2
    outer | 6    | 3   | 36  | 6          | 2.5  | 2
    area [sq in]  = (root + tip) / 2 * panel_span * 1 [sq in]
    chord [in]    = mean_chord(root * 1 [in], tip * 1 [in])
    at [in]       = out * 1 [in] + mean_chord_out(root * 1 [in], tip * 1 [in], panel_span * 1 [in])
    edge [in]     = back * 1 [in] + mean_chord_back(root * 1 [in], tip * 1 [in], sweep * 1 [in])
  half_area [sq in] = sum(panels.area)
`, []figure{
		{
			what: "mean chord of a tapered panel", formula: "mean_chord(400 [mm], 200 [mm])", unit: "mm",
			byHand: "311.111111", source: straightPanels,
		},
		{
			what: "how far out", formula: "mean_chord_out(400 [mm], 200 [mm], 1000 [mm])", unit: "mm",
			byHand: "444.444444", source: straightPanels,
		},
		{
			what: "how far back", formula: "mean_chord_back(400 [mm], 200 [mm], 600 [mm])", unit: "mm",
			byHand: "266.666667", source: straightPanels,
		},
		{
			what:    "its trailing edge",
			formula: "mean_chord_back(400 [mm], 200 [mm], 600 [mm]) + mean_chord(400 [mm], 200 [mm])",
			unit:    "mm", byHand: "577.777778", source: straightPanels,
		},
		{
			what:    "its quarter point",
			formula: "mean_chord_back(400 [mm], 200 [mm], 600 [mm]) + mean_chord(400 [mm], 200 [mm]) / 4",
			unit:    "mm", byHand: "344.444444", source: straightPanels,
		},
		{
			what:    "from area, aspect ratio and taper",
			formula: "mean_chord(20 [m^2] / (10 [m] * 1.3), 0.3 * 20 [m^2] / (10 [m] * 1.3))", unit: "m",
			byHand: "1.096646943", source: straightPanels,
		},
		{
			what: "how far out, for that", formula: "mean_chord_out(1 [m], 0.3 [m], 5 [m])", unit: "m",
			byHand: "2.051282051", source: straightPanels,
		},
		{
			what: "swept, taper a half", formula: "mean_chord(1.5 [m], 0.75 [m])", unit: "m",
			byHand: "1.166667", source: straightPanels,
		},
		{
			what:    "swept, its quarter point",
			formula: "mean_chord_back(1.5 [m], 0.75 [m], 1.5 [m]) + mean_chord(1.5 [m], 0.75 [m]) / 4",
			unit:    "m", byHand: "0.958333", source: straightPanels,
		},
		{what: "three panels, half area", formula: "half_area", unit: "sq in", byHand: "375.0", source: straightPanels},
		{
			what: "three panels, mean chord", formula: "sum(panels.area * panels.chord) / half_area",
			unit: "in", byHand: "9.594667", source: straightPanels,
		},
		{
			what: "three panels, how far out", formula: "sum(panels.area * panels.at) / half_area", unit: "in",
			byHand: "17.802667", source: straightPanels,
		},
		{
			what: "three panels, how far back", formula: "sum(panels.area * panels.edge) / half_area",
			unit: "in", byHand: "0.869778", source: straightPanels,
		},
		{
			what: "one chord", formula: "mean_chord(8.25 [in], 8.25 [in])", unit: "in", byHand: "8.250000000",
			source: byHandOnly,
		},
		{
			what: "a point for a tip", formula: "mean_chord(9 [in], 0 [in])", unit: "in", byHand: "6.000000000",
			source: "two thirds of a triangle's root; worked by hand",
		},
	})
}

// TestPanelsOfAWholeWing: the formulas for several panels against the sums of the panels' own, and the ellipse.
func TestPanelsOfAWholeWing(t *testing.T) {
	workFigures(t, `
page Panels
  table half
    panel | root [in] | tip [in] | panel_span [in] | out [in] | back [in] | sweep [in]
    inner | 12 | 10 | 20 | 0  | 0   | 0.5
    mid   | 10 | 6  | 16 | 20 | 0.5 | 2
    outer | 6  | 3  | 6  | 36 | 2.5 | 2
  chord [in] = mean_chord_of_panels(half.root, half.tip, half.panel_span)
  edge [in]  = mean_chord_back_of_panels(half.root, half.tip, half.panel_span, half.back, half.sweep)
`, []figure{
		{
			what: "one panel's area", formula: "panel_area(400 [mm], 200 [mm], 1000 [mm])", unit: "mm^2",
			byHand: "300000.0000", source: straightPanels,
		},
		{
			what:    "its mean chord as a list of one",
			formula: "mean_chord_of_panels([400 [mm]], [200 [mm]], [1000 [mm]])", unit: "mm",
			byHand: "311.111111", source: straightPanels,
		},
		{
			what:    "how far out as a list of one",
			formula: "mean_chord_out_of_panels([400 [mm]], [200 [mm]], [1000 [mm]], [0 [mm]])", unit: "mm",
			byHand: "444.444444", source: straightPanels,
		},
		{
			what:    "how far back as a list of one",
			formula: "mean_chord_back_of_panels([400 [mm]], [200 [mm]], [1000 [mm]], [0 [mm]], [600 [mm]])",
			unit:    "mm", byHand: "266.666667", source: straightPanels,
		},
		{
			what:    "three panels, whole area",
			formula: "wing_area_of_panels(half.root, half.tip, half.panel_span)", unit: "sq in",
			byHand: "750.0000", source: straightPanels,
		},
		{what: "three panels, mean chord", formula: "chord", unit: "in", byHand: "9.594667", source: straightPanels},
		{
			what:    "three panels, how far out",
			formula: "mean_chord_out_of_panels(half.root, half.tip, half.panel_span, half.out)", unit: "in",
			byHand: "17.802667", source: straightPanels,
		},
		{what: "three panels, how far back", formula: "edge", unit: "in", byHand: "0.869778", source: straightPanels},
		{
			what: "three panels, trailing edge", formula: "edge + chord", unit: "in", byHand: "10.464444",
			source: straightPanels,
		},
		{
			what: "three panels, quarter point", formula: "edge + chord / 4", unit: "in", byHand: "3.268444",
			source: straightPanels,
		},
		{
			what: "root chord from area and taper", formula: "root_chord_for(10 [m^2], 10 [m], 0.3)", unit: "m",
			byHand: "1.538461538", source: straightPanels,
		},
		{
			what:    "mean chord from area and taper",
			formula: "mean_chord(root_chord_for(10 [m^2], span_for_ratio(10 [m^2], 10), 0.3), 0.3 * root_chord_for(10 [m^2], 10 [m], 0.3))",
			unit:    "m", byHand: "1.096646943", source: straightPanels,
		},
		{
			what: "swept, how far out", formula: "mean_chord_out(1.5 [m], 0.75 [m], 2 [m])", unit: "m",
			byHand: "0.888889", source: straightPanels,
		},
		{
			what: "ellipse, mean chord", formula: "elliptic_mean_chord(1 [m])", unit: "m",
			byHand: "0.8488263632", source: "8 / (3 pi); worked by hand",
		},
		{
			what:    "ellipse, average chord",
			formula: "mean_geometric_chord(elliptic_wing_area(7 [m], 1 [m]), 7 [m])", unit: "m",
			byHand: "0.7853981634", source: "pi / 4; worked by hand",
		},
		{
			what: "ellipse, how far out", formula: "elliptic_mean_chord_out(2 [m])", unit: "m",
			byHand: "0.4244131816", source: "4 / (3 pi); worked by hand",
		},
		{
			what:    "the chord where the mean chord lies is the mean chord",
			formula: "chord_at(9 [in], 6 [in], 24 [in], mean_chord_out(9 [in], 6 [in], 24 [in])) - mean_chord(9 [in], 6 [in])",
			unit:    "in", byHand: "0.000000000", source: "geometry of a straight panel; worked by hand",
		},
		{
			what:    "both halves",
			formula: "tapered_wing_area(2000 [mm], 400 [mm], 200 [mm]) - 2 * panel_area(400 [mm], 200 [mm], 1000 [mm])",
			unit:    "mm^2", byHand: "0.000000", source: byHandOnly,
		},
		{
			what:    "half the area doubles the aspect ratio",
			formula: "aspect_ratio(48 [in], 192 [sq in]) / aspect_ratio(48 [in], 384 [sq in])",
			byHand:  "2.000000000", source: byHandOnly,
		},
		{
			what:    "quarter line of the tapered panel",
			formula: "sweep_back_at(400 [mm], 200 [mm], 600 [mm], 25 [%])", unit: "mm", byHand: "550.000000",
			source: straightPanels,
		},
		{
			what: "and its sweep", formula: "sweep_angle(550 [mm], 1000 [mm])", unit: "deg",
			byHand: "28.810794", source: "arc tangent of 0.55; worked by hand",
		},
		{what: "taper", formula: "taper_ratio(400 [mm], 200 [mm])", byHand: "0.5000000", source: byHandOnly},
		{
			what:    "two round tips are an ellipse",
			formula: "2 * round_tip_area(10 [in], 20 [in]) - elliptic_wing_area(40 [in], 10 [in])",
			unit:    "sq in", byHand: "0.0000000", source: "half an ellipse; worked by hand",
		},
		{
			what: "tip of an ellipse", formula: "elliptic_chord_at(10 [in], 40 [in], 20 [in])", unit: "in",
			byHand: "0.0000000", source: byHandOnly,
		},
	})
}

// TestMeanChordByIntegration adds up strips, as the definition has it: the mean of the chord over the area is the mean
// chord, and the means of place and leading edge over the area are where it lies.
func TestMeanChordByIntegration(t *testing.T) {
	between := func(from, to, share float64) float64 { return from + (to-from)*share }
	threePanels := func(inner, mid, outer, tip float64) func(float64) float64 {
		return func(y float64) float64 {
			switch {
			case y < 20:
				return between(inner, mid, y/20)
			case y < 36:
				return between(mid, outer, (y-20)/16)
			}
			return between(outer, tip, (y-36)/6)
		}
	}
	const (
		roots, tips, spans = "[12 [in], 10 [in], 6 [in]]", "[10 [in], 6 [in], 3 [in]]", "[20 [in], 16 [in], 6 [in]]"
		begins             = "[0 [in], 20 [in], 36 [in]]"
		backs, sweeps      = "[0 [in], 0.5 [in], 2.5 [in]]", "[0.5 [in], 2 [in], 2 [in]]"
	)
	for _, tt := range []struct {
		what              string
		mean, out, back   string
		half              float64 // the half span
		chord, edgeBehind func(y float64) float64
	}{
		{"tapered", "mean_chord(400 [in], 200 [in])", "mean_chord_out(400 [in], 200 [in], 1000 [in])", "mean_chord_back(400 [in], 200 [in], 600 [in])", 1000,
			func(y float64) float64 { return between(400, 200, y/1000) }, func(y float64) float64 { return 600 * y / 1000 }},
		{"pointed", "mean_chord(1 [in], 0 [in])", "mean_chord_out(1 [in], 0 [in], 1 [in])", "mean_chord_back(1 [in], 0 [in], 0.25 [in])", 1,
			func(y float64) float64 { return 1 - y }, func(y float64) float64 { return y / 4 }},
		{"ellipse", "elliptic_mean_chord(1 [in])", "elliptic_mean_chord_out(2 [in])", "", 1,
			func(y float64) float64 { return math.Sqrt(1 - y*y) }, func(float64) float64 { return 0 }},
		{"three panels", "mean_chord_of_panels(" + roots + ", " + tips + ", " + spans + ")",
			"mean_chord_out_of_panels(" + roots + ", " + tips + ", " + spans + ", " + begins + ")",
			"mean_chord_back_of_panels(" + roots + ", " + tips + ", " + spans + ", " + backs + ", " + sweeps + ")", 42,
			threePanels(12, 10, 6, 3), threePanels(0, 0.5, 2.5, 4.5)},
	} {
		const strips = 100_000
		var area, chords, places, edges float64
		for i := range strips {
			y := (float64(i) + 0.5) / strips * tt.half
			c := tt.chord(y)
			area += c
			chords += c * c
			places += c * y
			edges += c * tt.edgeBehind(y)
		}
		const source = "definition, integrated over 100000 strips"
		figures := []figure{
			{what: tt.what, formula: tt.mean, unit: "in", byHand: fmt.Sprint(chords / area), within: 1e-6, source: source},
			{
				what: tt.what + ", how far out", formula: tt.out, unit: "in", byHand: fmt.Sprint(places / area),
				within: 1e-6, source: source,
			},
		}
		if tt.back != "" {
			figures = append(figures, figure{
				what: tt.what + ", how far back", formula: tt.back, unit: "in",
				byHand: fmt.Sprint(edges / area), within: 1e-6, source: source,
			})
		}
		workFigures(t, "", figures)
	}
}

func TestDihedralAndTwist(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "rise and back", formula: "dihedral_angle(tip_rise(6 [deg], 24 [in]), 24 [in])", unit: "deg",
			byHand: "6.0000000", source: byHandOnly,
		},
		{
			what: "two inches in 24", formula: "dihedral_angle(2 [in], 24 [in])", unit: "deg",
			byHand: "4.763642", source: "arc tangent of 1 / 12; worked by hand",
		},
		{what: "flat", formula: "dihedral_angle(0 [in], 24 [in])", unit: "deg", byHand: "0.0000000", source: byHandOnly},
		{what: "drooping", formula: "dihedral_angle(-2 [in], 24 [in])", unit: "deg", byHand: "-4.763642", source: byHandOnly},
		{
			what: "one tip", formula: "one_tip_rise(15 [deg], 24 [in])", unit: "in", byHand: "12.0000000",
			source: "24 sin 30; worked by hand",
		},
		{
			what:    "polyhedral of one angle is dihedral",
			formula: "polyhedral_rise([10 [in], 14 [in]], [30 [deg], 30 [deg]])", unit: "in",
			byHand: "12.0000000", source: "24 sin 30; worked by hand",
		},
		{
			what:    "and its half span",
			formula: "polyhedral_half_span([10 [in], 14 [in]], [60 [deg], 60 [deg]])", unit: "in",
			byHand: "12.0000000", source: "24 cos 60; worked by hand",
		},
		{
			what:    "equivalent of one angle is that angle",
			formula: "equivalent_dihedral([120 [sq in], 60 [sq in]], [8 [in], 20 [in]], [5 [deg], 5 [deg]])",
			unit:    "deg", byHand: "5.0000000", source: byHandOnly,
		},
		{
			what:    "outer panels count for more",
			formula: "equivalent_dihedral([100 [sq in], 100 [sq in]], [6 [in], 18 [in]], [0 [deg], 8 [deg]])",
			unit:    "deg", byHand: "6.0000000", source: "8 x 18 / 24; worked by hand",
		},
		{
			what: "washout on the way", formula: "washout_at(3 [deg], 24 [in], 16 [in])", unit: "deg",
			byHand: "2.0000000", source: byHandOnly,
		},
		{
			what:    "packing and back",
			formula: "washout_from_packing(washout_packing(6 [in], 2.5 [deg]), 6 [in])", unit: "deg",
			byHand: "2.5000000", source: byHandOnly,
		},
	})
}

func TestLoadingsAndBack(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what:    "area for a loading",
			formula: "wing_loading(40 [oz], wing_area_for_loading(40 [oz], 16 [oz/sq ft]))", unit: "oz/sq ft",
			byHand: "16.0000000", source: byHandOnly,
		},
		{
			what: "weight for a loading", formula: "weight_for_loading(432 [sq in], 15 [oz/sq ft])", unit: "oz",
			byHand: "45.0000000", source: byHandOnly,
		},
		{
			what: "an ounce on a square foot", formula: "wing_loading(1 [oz], 144 [sq in])", unit: "g/dm^2",
			printed: "3.051517", source: "NIST Special Publication 811, appendix B.8: 0.3051517 kg/m^2",
		},
		{
			what:    "a model twice the size, eight times the weight, feels alike",
			formula: "wing_cube_loading(8 * 20 [oz], 4 * 300 [sq in]) / wing_cube_loading(20 [oz], 300 [sq in])",
			byHand:  "1.0000000", source: byHandOnly,
		},
		{
			what:    "but loads its wing twice as much",
			formula: "wing_loading(8 * 20 [oz], 4 * 300 [sq in]) / wing_loading(20 [oz], 300 [sq in])",
			byHand:  "2.0000000", source: byHandOnly,
		},
	})
}

// TestNACAThickness: ordinates of the section 0012.
func TestNACAThickness(t *testing.T) {
	var figures []figure
	for _, row := range []struct{ along, half string }{
		{"0.9045085", "0.0139143"}, {"0.5120819", "0.0521620"}, {"0.3003177", "0.0600172"},
		{"0.0954915", "0.0460489"}, {"1", "0.00126"},
	} {
		figures = append(figures, figure{
			what: "file at " + row.along, formula: "naca_half_thickness(12 [%], " + row.along + ")",
			printed: row.half, within: 1e-7, source: coordinates0012,
		})
	}
	for _, row := range []struct{ along, half string }{
		{"1.25", "1.894"}, {"2.5", "2.615"}, {"5", "3.555"}, {"7.5", "4.200"}, {"10", "4.683"}, {"15", "5.345"},
		{"20", "5.738"}, {"25", "5.941"}, {"30", "6.002"},
		{"40", "5.803"}, {"50", "5.294"}, {"60", "4.563"}, {"70", "3.664"}, {"80", "2.623"}, {"90", "1.448"},
		{"95", "0.807"}, {"100", "0.126"}, {"0", "0.000"},
	} {
		figures = append(figures, figure{
			what: "per cent at " + row.along, formula: "naca_half_thickness(12 [%], " + row.along + " [%])",
			unit: "%", byHand: row.half, source: report460 + "; worked by hand",
		})
	}
	figures = append(figures,
		figure{
			what: "a nominal 12 % is 12.003 %", formula: "2 * naca_half_thickness(12 [%], 0.29983)", unit: "%",
			byHand: "12.00345", source: report460 + "; worked by hand",
		},
		figure{
			what: "closed at the tail", formula: "naca_half_thickness_closed(12 [%], 1)", byHand: "0.0000000",
			source: "the five coefficients add up to nothing; worked by hand",
		},
		figure{
			what: "nose radius", formula: "naca_nose_radius(1 [m], 12 [%])", unit: "m", byHand: "0.01586693",
			source: report460 + ": 1.1018701 t^2; worked by hand",
		},
		figure{
			what: "nose radius by the printed factor", formula: "naca_nose_radius(1 [m], 10 [%]) / 0.01",
			unit: "m", printed: "1.1019", source: report460,
		},
		// The table of the section prints 1.58 %, cut off and not rounded.
		figure{
			what:    "nose radius in the table",
			formula: "floor(naca_nose_radius(100 [m], 12 [%]) / 1 [m] * 100) / 100", printed: "1.58",
			source: "basic-thickness sheet of the section 0012",
		},
		figure{
			what: "depth for a spar", formula: "rib_depth_at(1 [m], 12 [%], 0.3003177)", unit: "m",
			printed: "0.1200344", within: 2e-7, source: coordinates0012,
		},
	)
	workFigures(t, "", figures)
}

// TestNACACamber: points of the section 2412, worked by hand from the rule; the thickness is square to the mean line.
func TestNACACamber(t *testing.T) {
	var figures []figure
	for _, row := range []struct{ along, upperAlong, upper, lowerAlong, lower string }{
		{"0.10", "0.096498", "0.055447", "0.103502", "-0.037947"},
		{"0.30", "0.298500", "0.078749", "0.301500", "-0.041249"},
		{"0.40", "0.400000", "0.078030", "0.400000", "-0.038030"},
	} {
		for name, want := range map[string]string{
			"naca_upper_along": row.upperAlong, "naca_upper": row.upper, "naca_lower_along": row.lowerAlong,
			"naca_lower": row.lower,
		} {
			figures = append(figures, figure{
				what: name + " at " + row.along, formula: name + "(2 [%], 40 [%], 12 [%], " + row.along + ")",
				byHand: want, source: report460 + "; worked by hand",
			})
		}
	}
	figures = append(figures,
		figure{
			what: "mean line", formula: "naca_mean_line(2 [%], 40 [%], 0.1)", byHand: "0.008750000",
			source: report460 + "; worked by hand",
		},
		figure{
			what: "digits, camber", formula: "naca_camber(4415)", unit: "%", byHand: "4.0000000",
			source: report460 + ": numbering of the sections",
		},
		figure{
			what: "digits, its place", formula: "naca_camber_at(4415)", unit: "%", byHand: "40.0000000",
			source: report460 + ": numbering of the sections",
		},
		figure{
			what: "digits, thickness", formula: "naca_thickness(4415)", unit: "%", byHand: "15.0000000",
			source: report460 + ": numbering of the sections",
		},
		figure{
			what:    "digits of a section without camber",
			formula: "naca_upper(naca_camber(0012), naca_camber_at(0012), naca_thickness(0012), 0.3003177)",
			printed: "0.0600172", source: coordinates0012,
		},
		figure{
			what:    "digits all the way",
			formula: "naca_upper(naca_camber(2412), naca_camber_at(2412), naca_thickness(2412), 0.3)",
			byHand:  "0.078749", source: report460 + "; worked by hand",
		},
		figure{
			what: "mean line at its top", formula: "naca_mean_line(2 [%], 40 [%], 0.4)", byHand: "0.020000000",
			source: report460 + ": by its meaning",
		},
		figure{
			what: "mean line just ahead of its top", formula: "naca_mean_line(2 [%], 40 [%], 0.39999999)",
			byHand: "0.0200000", source: report460 + ": both parts meet",
		},
		figure{
			what: "mean line at the tail", formula: "naca_mean_line(2 [%], 40 [%], 1)", byHand: "0.000000000",
			source: report460 + ": by its meaning",
		},
		figure{
			what: "level at its top", formula: "naca_mean_slope(2 [%], 40 [%], 0.4)", unit: "deg",
			byHand: "0.000000000", source: report460 + ": by its meaning",
		},
		figure{
			what: "slope at the nose", formula: "naca_mean_slope(2 [%], 40 [%], 0)", unit: "deg",
			byHand: "5.710593", source: "arc tangent of 2 m / p; worked by hand",
		},
		figure{
			what: "no camber, no mean line", formula: "naca_mean_line(0, 0, 0.5)", byHand: "0.000000000",
			source: report460 + ": by its meaning",
		},
		figure{
			what:    "no camber, upper is half the thickness",
			formula: "naca_upper(0, 0, 12 [%], 0.5) - naca_half_thickness(12 [%], 0.5)", byHand: "0.000000000",
			source: report460 + ": by its meaning",
		},
	)
	workFigures(t, "", figures)
}

// sectionTable holds a section cut into strips. Its rows are roots of places along the chord, so that strips are
// narrow at the nose, where the outline is steep.
const sectionTable = `
page Strips
  table strips
    root from 0.0005 to 0.9995 step 0.001
    along   = root ^ 2
    wide    = 2 * root * 0.001
    open    = 2 * naca_half_thickness(12 [%], along) * wide
    closed  = 2 * naca_half_thickness_closed(12 [%], along) * wide
  table turns
    place [deg] from 0.09 to 179.91 step 0.18
    at      = (1 - cos(place)) / 2
    steep   = tan(naca_mean_slope(2 [%], 40 [%], at))
    steep_6 = tan(naca_mean_slope(6 [%], 30 [%], at))
`

// TestSectionByIntegration: closed forms of the section against sums over strips of the formula that they come from.
func TestSectionByIntegration(t *testing.T) {
	workFigures(t, sectionTable, []figure{
		{
			what: "area", formula: "naca_section_area(1 [m], 12 [%]) - sum(strips.open) * 1 [m^2]", unit: "m^2",
			byHand: "0", within: 1e-7, source: "strips of the section; worked by hand",
		},
		{
			what:    "area of the closed one",
			formula: "naca_section_area_closed(1 [m], 12 [%]) - sum(strips.closed) * 1 [m^2]", unit: "m^2",
			byHand: "0", within: 1e-7, source: "strips of the section; worked by hand",
		},
		{
			what: "area factor", formula: "naca_section_area(1 [m], 10 [%])", unit: "m^2",
			byHand: "0.0685083333", source: "closed form; worked by hand",
		},
		{
			what: "area factor of the closed one", formula: "naca_section_area_closed(1 [m], 10 [%])",
			unit: "m^2", byHand: "0.0680883333", source: "closed form; worked by hand",
		},
		{
			what: "where the area's middle lies", formula: "sum(strips.open * strips.along) / sum(strips.open)",
			byHand: "0.420435", within: 1e-6, source: "0.02880333 / 0.06850833; worked by hand",
		},
		{
			what:    "where a solid rib balances",
			formula: "naca_section_centre(1 [m]) - sum(strips.open * strips.along) / sum(strips.open) * 1 [m]",
			unit:    "m", byHand: "0", within: 1e-6, source: "strips of the section; worked by hand",
		},
		{
			what:    "angle of no lift",
			formula: "naca_zero_lift(2 [%], 40 [%]) + 0.18 [deg] / pi * sum(turns.steep * (cos(turns.place) - 1))",
			unit:    "deg", byHand: "0", within: 1e-5,
			source: "thin aerofoil theory summed over turns; worked by hand",
		},
		{
			what:    "angle of no lift, more camber",
			formula: "naca_zero_lift(6 [%], 30 [%]) + 0.18 [deg] / pi * sum(turns.steep_6 * (cos(turns.place) - 1))",
			unit:    "deg", byHand: "0", within: 1e-4,
			source: "thin aerofoil theory summed over turns; worked by hand",
		},
		{
			what:    "moment",
			formula: "naca_moment(2 [%], 40 [%]) - pi / 1000 / 2 * sum(turns.steep * (cos(2 * turns.place) - cos(turns.place)))",
			byHand:  "0", within: 1e-6, source: "thin aerofoil theory summed over turns; worked by hand",
		},
		{
			what:    "moment, more camber",
			formula: "naca_moment(6 [%], 30 [%]) - pi / 1000 / 2 * sum(turns.steep_6 * (cos(2 * turns.place) - cos(turns.place)))",
			byHand:  "0", within: 1e-5, source: "thin aerofoil theory summed over turns; worked by hand",
		},
		{
			what: "no camber, no angle", formula: "naca_zero_lift(0, 0)", unit: "deg", byHand: "0.000000",
			source: "thin aerofoil theory: a flat plate",
		},
		{
			what: "no camber, no moment", formula: "naca_moment(0, 0)", byHand: "0.000000",
			source: "thin aerofoil theory: a flat plate",
		},
	})
}

// TestOutlineLength adds up chords between the points that the library gives: what covering a rib of 0012 takes.
func TestOutlineLength(t *testing.T) {
	m := loadSheet(t, sectionTable+"  half = naca_half_thickness(12 [%], at)\n  at : 0\n")
	at, err := m.Handle("at")
	require.NoError(t, err)
	half, err := m.Handle("half")
	require.NoError(t, err)
	length, x0, y0 := 0.0, 0.0, 0.0
	for i := 1; i <= 400; i++ {
		x := math.Pow(float64(i)/400, 2)
		require.NoError(t, at.Set(x))
		y := half.Value()
		length += 2 * math.Hypot(x-x0, y-y0)
		x0, y0 = x, y
	}
	assert.InDelta(t, 2.039272, length, 2e-5, "without the edge at the tail; worked by hand")
}

func TestFiniteWingFigures(t *testing.T) {
	workFigures(t, `
page Wing
  slope_51 [1/deg] = lift_slope_lifting_line(2 * pi / 1 [rad], 8, 0.055)
  lift_51          = lift_at_angle(slope_51, 5 [deg], 0 [deg])
  slope_53 [1/deg] = lift_slope_lifting_line(0.1 [1/deg], 7.96, 0.04)
  slope_54 [1/deg] = lift_slope_lifting_line(0.9 / 8 [deg], 7.61, 0.01)
  lift_54          = lift_at_angle(slope_54, 4 [deg], -1 [deg])
`, []figure{
		{
			what: "slope", formula: "slope_51", unit: "1/rad", byHand: "4.971858",
			source: fundamentals + ", example 5.1: inputs from it, worked by hand",
		},
		{
			what: "slope a degree", formula: "slope_51", unit: "1/deg", byHand: "0.0867753",
			source: fundamentals + ", example 5.1: inputs from it, worked by hand",
		},
		{
			what: "lift", formula: "lift_51", byHand: "0.433876",
			source: fundamentals + ", example 5.1: inputs from it, worked by hand",
		},
		{
			what: "induced drag", formula: "induced_drag_coefficient(lift_51, 8, 1 / 1.055)",
			byHand: "0.00790214", source: fundamentals + ", example 5.1: inputs from it, worked by hand",
		},
		{
			what: "slope of 5.3", formula: "slope_53", unit: "1/rad", byHand: "4.627034",
			source: fundamentals + ", example 5.3: inputs from it, worked by hand",
		},
		{
			what: "slope of 5.3 a degree", formula: "slope_53", unit: "1/deg", byHand: "0.0807570",
			source: fundamentals + ", example 5.3: inputs from it, worked by hand",
		},
		{
			what: "angle", formula: "angle_for_lift(slope_53, 0.21, -2 [deg])", unit: "deg", byHand: "0.600394",
			source: fundamentals + ", example 5.3: inputs from it, worked by hand",
		},
		{
			what: "slope of 5.4", formula: "slope_54", unit: "1/rad", byHand: "5.066203",
			source: fundamentals + ", example 5.4: inputs from it, worked by hand",
		},
		{
			what: "lift of 5.4", formula: "lift_54", byHand: "0.442110",
			source: fundamentals + ", example 5.4: inputs from it, worked by hand",
		},
		{
			what: "drag of 5.4", formula: "0.0065 + induced_drag_coefficient(lift_54, 7.61, 1 / 1.01)",
			byHand: "0.0147575", source: fundamentals + ", example 5.4: inputs from it, worked by hand",
		},
		{
			what: "slope of a section", formula: "lift_at_angle(0.105 [1/deg], 10 [deg], -2 [deg])",
			printed: "1.26", byHand: "1.260000",
			source: "NASA Glenn and Embry-Riddle, Introduction to Aerospace Flight Vehicles, worked examples on airfoils: 0.105 (10 - (-2))",
		},
		{
			what: "centre of pressure", formula: "centre_of_pressure(0.85, -0.09)", printed: "0.36",
			byHand: "0.355882", source: fundamentals + ", example 1.3",
		},
		{
			what: "without a moment it is the quarter point", formula: "centre_of_pressure(0.5, 0)",
			byHand: "0.250000", source: byHandOnly,
		},
		{
			what: "swept", formula: "lift_slope_swept(6.13 [1/rad], 6, 20 [deg])", unit: "1/rad",
			byHand: "4.262966", source: datcom + "; worked by hand",
		},
		{
			what:    "swept by nothing is the plain rule",
			formula: "lift_slope_swept(6.13 [1/rad], 8, 0 [deg]) - lift_slope(8)", unit: "1/rad",
			byHand: "0.000000000", source: datcom,
		},
		{
			what: "sweep forward counts alike", formula: "lift_slope_swept(6.13 [1/rad], 6, -20 [deg])",
			unit: "1/rad", byHand: "4.262966", source: datcom + "; worked by hand",
		},
		{
			what: "induced angle", formula: "induced_angle(0.8, 6.5)", unit: "deg", byHand: "2.2449",
			within: 0.0003, source: oldPractice + ", with its 18.24 for 18.2378",
		},
		{
			what: "induced drag of it", formula: "induced_drag_coefficient(0.8, 6.5, 1)", byHand: "0.031341",
			source: oldPractice,
		},
		{
			what: "angle at another aspect ratio", formula: "angle_at_other_ratio(3 [deg], 0.381, 6, 4)",
			unit: "deg", byHand: "3.5791", source: oldPractice,
		},
		{
			what: "drag at another aspect ratio", formula: "drag_at_other_ratio(0.0170, 0.381, 6, 4)",
			byHand: "0.020851", source: oldPractice,
		},
		{
			what: "a section's angle on a wing", formula: "angle_at_other_ratio(9 [deg], 1.03, 1e9, 8)",
			unit: "deg", byHand: "11.3484", within: 0.0004,
			source: oldPractice + ", with its 18.24 for 18.2378",
		},
		{
			what: "a section's drag on a wing", formula: "drag_at_other_ratio(0.067, 1.03, 1e9, 8)",
			byHand: "0.109212", source: oldPractice,
		},
		{
			what:    "lift of a section's slope on a wing",
			formula: "lift_at_angle(lift_slope_lifting_line(0.09 [1/deg], 6, 0), 9 [deg], 0 [deg])",
			byHand:  "0.635992", within: 2e-5, source: oldPractice + ", with its 18.24 for 18.2378",
		},
	})
}

func TestLiftSlopesByAspectRatio(t *testing.T) {
	var figures []figure
	for _, row := range []struct{ ratio, helmbold, line string }{
		{"3", "3.362659", "3.769911"}, {"4", "3.883222", "4.188790"}, {"6", "4.528664", "4.712389"},
		{"8", "4.905763", "5.026548"}, {"10", "5.150980", "5.235988"},
	} {
		figures = append(figures,
			figure{
				what: "stubby rule at " + row.ratio, formula: "lift_slope_helmbold(" + row.ratio + ")",
				unit: "1/rad", byHand: row.helmbold, source: "2 pi A / (2 + sqrt(4 + A^2)); worked by hand",
			},
			figure{
				what:    "lifting line at " + row.ratio,
				formula: "lift_slope_lifting_line(2 * pi / 1 [rad], " + row.ratio + ", 0)", unit: "1/rad",
				byHand: row.line, source: "2 pi A / (A + 2); worked by hand",
			},
		)
	}
	workFigures(t, "", figures)
}

func TestSpeedFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what:    "lift high up",
			formula: "lift_coefficient(15000 [lb], 342.6 [sq ft], 492 [mph], 0.00079656 [slug/cu ft])",
			byHand:  "0.2111166", source: fundamentals + ", example 1.6: inputs from it, worked by hand",
		},
		{
			what:    "lift of a metre of wing",
			formula: "lift_coefficient(1254 [N] / standard_gravity, 0.64 [m^2], 70 [m/s], 1.23 [kg/m^3])",
			printed: "0.65", byHand: "0.650199", source: fundamentals + ", example 4.1",
		},
		{
			what:    "lift over drag there",
			formula: "lift_coefficient(15000 [lb], 342.6 [sq ft], 492 [mph], 0.00079656 [slug/cu ft]) / 0.015",
			byHand:  "14.07444", source: fundamentals + ", example 1.6: inputs from it, worked by hand",
		},
		{
			what:    "greatest lift",
			formula: "max_lift_from_stall(15900 [lb], 342.6 [sq ft], 100 [mph], 0.002377 [slug/cu ft])",
			byHand:  "1.815297", source: fundamentals + ", example 1.7: inputs from it, worked by hand",
		},
		{
			what:    "area for a stall",
			formula: "wing_area_for_stall(15900 [lb], 100 [mph], 1.815297, 0.002377 [slug/cu ft])",
			unit:    "sq ft", printed: "342.6", byHand: "342.6000",
			source: fundamentals + ", example 1.7, read backwards",
		},
		{
			what: "a wing's lift from its section's", formula: "wing_max_lift(1.2, 60 [deg])",
			byHand: "0.540000", source: "0.9 x 1.2 x 1/2, the rule from memory; worked by hand",
		},
		{
			what:    "weight for a stall",
			formula: "weight_for_stall(342.6 [sq ft], 100 [mph], 1.815297, 0.002377 [slug/cu ft])", unit: "lb",
			printed: "15900", byHand: "15900.00", source: fundamentals + ", example 1.7, read backwards",
		},
		{
			what:    "example aeroplane",
			formula: "lift_coefficient(13127.5 [N] / standard_gravity, 16.165 [m^2], 60.96 [m/s], 1.225 [kg/m^3])",
			byHand:  "0.356788", source: exampleAircraft,
		},
		{
			what: "stall in a turn of 60 degrees", formula: "stall_speed_in_turn(20 [mph], 60 [deg])",
			unit: "mph", byHand: "28.284271", source: "20 sqrt 2; worked by hand",
		},
		{
			what: "the same by its load", formula: "stall_speed_at_load(20 [mph], 2)", unit: "mph",
			byHand: "28.284271", source: "20 sqrt 2; worked by hand",
		},
		{
			what: "wings level", formula: "stall_speed_in_turn(20 [mph], 0 [deg])", unit: "mph",
			byHand: "20.000000", source: byHandOnly,
		},
		{
			what: "weightless it does not stall", formula: "stall_speed_at_load(20 [mph], 0)", unit: "mph",
			byHand: "0.000000", source: byHandOnly,
		},
	})
}

func TestSurfaces(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what:    "share and span",
			formula: "aileron_share(aileron_span_for(10 [%], 400 [sq in], 1.25 [in]), 1.25 [in], 400 [sq in])",
			unit:    "%", byHand: "10.0000000", source: byHandOnly,
		},
		{
			what:    "share and chord",
			formula: "aileron_share(10 [in], aileron_chord_for(12 [%], 400 [sq in], 10 [in]), 400 [sq in])",
			unit:    "%", byHand: "12.0000000", source: byHandOnly,
		},
		{
			what: "elevator", formula: "elevator_share(28 [sq in], 80 [sq in])", unit: "%",
			byHand: "35.0000000", source: byHandOnly,
		},
		{
			what: "rudder", formula: "rudder_share(12 [sq in], 30 [sq in])", unit: "%", byHand: "40.0000000",
			source: byHandOnly,
		},
		// Model builders' habit, not a measurement: without ailerons the rudder is bigger.
		{
			what:    "rudder without ailerons is bigger",
			formula: "sign(surface_area(\"rudder without ailerons\", 30 [sq in]) - surface_area(\"rudder with ailerons\", 30 [sq in]))",
			byHand:  "1", source: "common practice, no source",
		},
	})
	for _, row := range []string{
		"strip ailerons", "outboard ailerons", "elevator", "rudder without ailerons", "rudder with ailerons",
		"tailplane", "fin", "flaps",
	} {
		m := loadSheet(
			t,
			fmt.Sprintf(
				"sound = 0 < surface_shares[%[1]q].least and surface_shares[%[1]q].least < surface_shares[%[1]q].most and surface_shares[%[1]q].most < 1\ncheck in_order = sound\n",
				row,
			),
		)
		require.NoError(t, m.Problems().Err())
		v, err := m.Value("sound")
		require.NoError(t, err)
		assert.Equal(t, "yes", v.Text, row)
	}
}

// TestBestLiftsCanBeReadOff: the guidance is a table and no formula, since it is from memory; it rises, so that
// it can be read off between its rows.
func TestBestLiftsCanBeReadOff(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what:    "between two rows",
			formula: "interpolate(150000, max_lifts.reynolds, max_lifts.naca_2412) - (interpolate(100000, max_lifts.reynolds, max_lifts.naca_2412) + interpolate(200000, max_lifts.reynolds, max_lifts.naca_2412)) / 2",
			byHand:  "0.000000000", source: byHandOnly,
		},
		{
			what:    "a flat bottom lifts more than a symmetrical section",
			formula: "sign(min(max_lifts.flat_bottomed) - max(max_lifts.naca_0012))", byHand: "1",
			source: "common practice, no source",
		},
	})
	refuse(t, []refusal{{
		"slower than the table", "interpolate(20000, max_lifts.reynolds, max_lifts.flat_bottomed)", "", "20000",
	}})
}

func TestWingRefusals(t *testing.T) {
	refuse(t, []refusal{
		{"no root", "mean_chord(0 [in], 0 [in])", "in", "mean_chord: "},
		{"a tip less than nothing", "mean_chord(9 [in], -1 [in])", "in", "a chord must not be less than nothing"},
		{"panels without area", "mean_chord_of_panels([5 [in]], [3 [in]], [0 [in]])", "in", "the panels have no area"},
		{
			"a panel with a sign",
			"wing_area_of_panels([5 [in], 5 [in]], [5 [in], -3 [in]], [10 [in], 10 [in]])", "sq in",
			"must not be less than nothing",
		},
		{
			"a panel's span with a sign", "mean_chord_out(9 [in], 6 [in], -24 [in])", "in",
			"the span must not be less than nothing",
		},
		{"drag that pushes", "drag_at_other_ratio(-0.02, 0.4, 6, 4)", "", "drag does not push"},
		{"a rib beyond the tip", "chord_at(9 [in], 6 [in], 24 [in], 25 [in])", "in", "the rib lies outside the panel"},
		{
			"a rib beyond the elliptic tip", "elliptic_chord_at(10 [in], 40 [in], 21 [in])", "in",
			"the rib lies beyond the tip",
		},
		{
			"an area for a span", "tapered_wing_area(400 [sq in], 9 [in], 6 [in])", "sq in",
			"tapered_wing_area needs a length for span",
		},
		{"no span", "mean_geometric_chord(400 [sq in], 0 [in])", "in", "area and span must be more than nothing"},
		{"a taper of no root", "taper_ratio(0 [in], 6 [in])", "", "taper_ratio: "},
		{"a plain number for a dihedral", "tip_rise(5, 24 [in])", "in", "tip_rise needs an angle for dihedral_each"},
		{"a dihedral straight up", "tip_rise(90 [deg], 24 [in])", "in", "the dihedral must lie between"},
		{"packing as high as the chord", "washout_from_packing(6 [in], 6 [in])", "deg", "as high as the chord is long"},
		{"equivalent of nothing", "equivalent_dihedral([100 [sq in]], [0 [in]], [5 [deg]])", "deg", "off the centre line"},
		{"beyond the tail", "naca_half_thickness(12 [%], 1.01)", "", "must lie between 0 and 1"},
		{"a per cent for a share of the chord", "naca_half_thickness(12 [%], 30)", "", "must lie between 0 and 1"},
		{"ahead of the nose", "naca_upper(2 [%], 40 [%], 12 [%], -0.1)", "", "must lie between 0 and 1"},
		{"digits for shares", "naca_mean_line(2, 4, 0.5)", "", "the highest place of the mean line must lie between 0 and 1"},
		{"a camber with a sign", "naca_moment(-2 [%], 40 [%])", "", "the camber must not be less than nothing"},
		{
			"a weight with a sign", "stall_speed(-40 [oz], 400 [sq in], 1.2, air_density)", "mph",
			"the weight must not be less than nothing",
		},
		{
			"a panel's area with a sign",
			"equivalent_dihedral([100 [sq in], -10 [sq in]], [6 [in], 18 [in]], [3 [deg], 8 [deg]])", "deg",
			"without a sign",
		},
		{"pressure without lift", "centre_of_pressure(0, -0.05)", "", "without lift there is no such place"},
		{
			"camber at the nose", "naca_zero_lift(2 [%], 0)", "deg",
			"the highest place of the mean line must lie between 0 and 1",
		},
		{
			"a length for the place", "rib_depth_at(8 [in], 12 [%], 2.4 [in])", "in",
			"rib_depth_at needs a plain number for along",
		},
		{"a slope without its angle", "lift_slope_lifting_line(6.28, 8, 0)", "1/rad", "section_slope"},
		{"no aspect ratio", "lift_slope_helmbold(0)", "1/rad", "the aspect ratio must be more than nothing"},
		{"sweep of a right angle", "lift_slope_swept(6.13 [1/rad], 6, 90 [deg])", "1/rad", "the sweep must lie between"},
		{"no speed", "lift_coefficient(40 [oz], 400 [sq in], 0 [mph], air_density)", "", "must be more than nothing"},
		{
			"a density ten times off", "stall_speed(40 [oz], 400 [sq in], 1.2, 12.25 [kg/m^3])", "mph",
			"is the density in the right unit?",
		},
		{
			"slugs read as pounds", "lift_coefficient(40 [oz], 400 [sq in], 20 [mph], 0.002377 [lb/cu ft])", "",
			"is the density in the right unit?",
		},
		{"a force for a weight", "max_lift_from_stall(40 [ozf], 400 [sq in], 18 [mph], air_density)", "", "force"},
		{"no loading", "wing_area_for_loading(40 [oz], 0 [oz/sq ft])", "sq in", "the loading must be more than nothing"},
		{
			"a knife-edge turn", "stall_speed_in_turn(18 [mph], 90 [deg])", "mph",
			"the bank must lie between -90 and 90 degrees",
		},
		{"a load pulling down", "stall_speed_at_load(18 [mph], -1)", "mph", "the load factor must not be less than nothing"},
		{"five digits", "naca_camber(23012)", "%", "the section's four digits"},
		{"half a digit", "naca_thickness(2412.5)", "%", "the section's four digits"},
		{"a surface that nobody lists", "surface_area(\"spoiler\", 80 [sq in])", "sq in", "choose from"},
	})
}

func TestWingRemarks(t *testing.T) {
	for _, tt := range []struct{ formula, unit, remark string }{
		{"aspect_ratio(48 [in], 384 [sq in])", "", ""},
		{"aspect_ratio(48 [in], 38.4 [sq in])", "", "is it the whole wing's area"},
		{"taper_ratio(6 [in], 9 [in])", "", "are they changed about"},
		{"dihedral_angle(25 [mm], 24 [mm])", "deg", "is the rise in the right unit"},
		{"naca_half_thickness(12, 0.3)", "", "is the thickness a percentage"},
		{"naca_section_area(8 [in], 12)", "sq in", "is the thickness a percentage"},
		{"naca_mean_line(2, 0.4, 0.3)", "", "is the camber a percentage"},
		{"lift_at_angle(0.08 [1/deg], 25 [deg], 0 [deg])", "", "beyond the stall"},
		{"lift_slope_lifting_line(0.105 [1/rad], 8, 0)", "1/rad", "section slopes lie near 2 pi per radian"},
		{"lift_slope_lifting_line(2 * pi / 1 [rad], 8, 0.9)", "1/rad", "the shape factor lies between"},
		{"induced_drag_coefficient(0.5, 6, 1.2)", "", "a single wing's span efficiency does not exceed 1"},
		{"max_lift_from_stall(40 [oz], 400 [sq in], 8 [mph], air_density)", "", "was there wind"},
		{"aileron_share(20 [in], 1 [in], 400 [sq in])", "%", ""},
		{"aileron_share(8 [in], 1 [in], 400 [sq in])", "%", "roll it slowly"},
		{"aileron_span_for(10, 400 [sq in], 1 [in])", "in", "is the share a percentage"},
		{"elevator_share(90 [sq in], 80 [sq in])", "%", "count both into the tailplane's area"},
		{"rudder_share(5 [sq in], 30 [sq in])", "%", "does little"},
	} {
		assertRemark(t, tt.formula, tt.unit, tt.remark)
	}
}
