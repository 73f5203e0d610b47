package odds

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestPublishedExamples holds first order and builds against worked examples of the literature. What is printed there
// is checked to its last digit; the builds also against closed forms, within four standard deviations of sampling.
func TestPublishedExamples(t *testing.T) {
	type figure struct {
		value, first        float64 // printed, with half of what their last digit counts
		valueBy, firstBy    float64
		mean, sd, low, high float64 // of the builds, exact or from a far longer run; NaN: not given
		rough               float64 // how far these figures may be off themselves, beside sampling
		remark              Remark
	}
	nan := math.NaN()
	for _, tt := range []struct {
		name, source, sheet string
		figure
	}{
		{"comparison loss at 0", "JCGM 101:2008, 9.4.2.2 and table 8; exact: mean 5e-5, sd 5e-5", `
x1 : 0 ± 0.005 sd
x2 : 0 ± 0.005 sd
y = x1^2 + x2^2
`, figure{0, 0, 1e-12, 1e-9, 50e-6, 50e-6, 1.2659e-6, 184.444e-6, 0, Curved}},
		{"comparison loss at 0.050", "JCGM 101:2008, 9.4.2.4; exact: mean 2550e-6, sd 502.494e-6", `
x1 : 0.050 ± 0.005 sd
x2 : 0 ± 0.005 sd
y = x1^2 + x2^2
`, figure{2500e-6, 500e-6, 1e-12, 1e-9, 2550e-6, 502.494e-6, nan, nan, 0, Curved}},
		{"logarithm", "NPL's example, ln of U(0.1, 1.1), by way of the suncal tests: GUM -0.511, 0.481", `
x : 0.6 ± 0.5
y = ln(x)
`, figure{-0.511, 0.481, 0.0005, 0.0005, -0.664900, 0.606227, math.Log(0.125), math.Log(1.075), 0, Curved}},
		{"viscosity", "NIST TN 1900, example E3: 5.69 by GUM; Monte Carlo 5.82, 1.11, [4.05, 8.39]", `
c_viscosity : 4.63 ± 1 % sd
c_time      : 36.6 ± 15 % sd
time        : 61 ± 10 % sd
ball        : 2217 ± 0.5 sd
c_fluid     : 810 ± 0.5 sd
fluid       : 1180 ± 0.5 sd
y = c_viscosity * time * (ball - fluid) / (c_time * (ball - c_fluid))
`, figure{5.69, 1.027, 0.005, 0.0005, 5.826, 1.115, 4.05, 8.39, 0.006, Curved}},
		{"expansion", "NIST TN 1900, example E13: GUM 1.7266e-5, 1.76e-6", `
long0 : 1.4999 ± 0.0001 sd
long1 : 1.5021 ± 0.0002 sd
cold  : 288.15 ± 0.02 sd
hot   : 373.10 ± 0.05 sd
y = (long1 - long0) / (long0 * (hot - cold))
`, figure{1.7266e-5, 1.76e-6, 0.5e-9, 0.5e-8, 1.7266e-5, 1.7555e-6, nan, nan, 1e-9, Agrees}},
		{"end gauge", "JCGM 100:2008, H.1: 50 000 838 nm, u 32 nm, and 34 with the second order (H.1.7)", `
standard : 50000623 ± 25 sd
apart    : 215 ± 9.7 sd
lag      : 0 ± 0.000001
stretch  : 0.0000115 ± 0.000002
warmth   : -0.1 ± 0.41 sd
gap      : 0 ± 0.05
y = standard + apart - standard * (lag * warmth + stretch * gap)
`, figure{50000838, 32, 0.5, 0.5, 50000838, 33.9, nan, nan, 0.1, Curved}},
		{"impedance, as if nothing went together", "JCGM 100:2008, H.2 without its correlations: u(R) 0.195", `
volts : 4.999 ± 0.0032093613 sd
amps  : 0.019661 ± 0.0000094710 sd
angle : 1.04446 ± 0.00075206 sd
y = volts / amps * (1 - angle^2 / 2 + angle^4 / 24 - angle^6 / 720 + angle^8 / 40320 - angle^10 / 3628800)
`, figure{127.732, 0.195, 0.0005, 0.0005, nan, nan, nan, nan, 0, Agrees}},
		{"cadmium standard", "Eurachem/CITAC CG 4, A1: 1002.7 mg/L, u 0.84; a triangle is two even spreads", `
purity : 0.9999 ± 0.0001
mass   : 100.28 ± 0.05 sd
flask1 : 50 ± 0.05
flask2 : 50 ± 0.05
fill   : 0 ± 0.02 sd
warmth : 0 ± 0.084
y = 1000 * mass * purity / (flask1 + flask2 + fill + warmth)
`, figure{1002.7, 0.835, 0.05, 0.005, nan, nan, nan, nan, 0, Agrees}},
		{"weight", "EA-4/02 M, example S2: 10 000.025 g, u 29.3 mg before rounding; metrodata's copy 29.15", `
standard : 10000.005 ± 0.0225 sd
drift    : 0 ± 0.015
apart    : 0.020 ± 0.0144 sd
centre   : 0 ± 0.010
air      : 0 ± 0.010
y = standard + drift + apart + centre + air
`, figure{10000.025, 0.0293, 0.0005, 0.0002, nan, nan, nan, nan, 0, Agrees}},
		{"mass calibration", "JCGM 101:2008, 9.3 (inputs from memory): first order 0.0539, with the product 0.0754", `
reference : 100000 ± 0.05 sd
apart     : 1.234 ± 0.02 sd
air       : 1.20 ± 0.10
weight    : 8000 ± 1000
standard  : 8000 ± 50
y = (reference + apart) * (1 + (air - 1.2) * (1 / weight - 1 / standard)) - 100000
`, figure{1.234, 0.0539, 0.0005, 0.00005, 1.234, calibration(), nan, nan, 0, Curved}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			y := resultOf(t, oddsOf(t, strings.TrimPrefix(tt.sheet, "\n"), Options{Builds: builds, Seed: 1}), "y")
			require.InDelta(t, tt.value, y.Number, tt.valueBy, tt.source)
			require.InDelta(t, tt.first, y.First.SD, tt.firstBy, tt.source)
			root := math.Sqrt(builds)
			check := func(what string, want, got, sd float64) {
				if want == want {
					require.InDelta(t, want, got, 4*sd+tt.rough, "%s of %s", what, tt.source)
				}
			}
			check("mean", tt.mean, y.Mean, y.SD/root)
			check("sd", tt.figure.sd, y.SD, 2*y.SD/root) // the kurtosis of these is below 9
			check("low end", tt.low, y.Low, 3*y.SD/root)
			check("high end", tt.high, y.High, 7*y.SD/root)
			require.Equal(t, tt.remark, y.Remark, tt.source)
		})
	}
}

// calibration is the standard deviation of the mass calibration in closed form: the mean of 1/w is ln(b/a) / (b - a) for w
// evenly between a and b, that of 1/w² is 1 / (a b).
func calibration() float64 {
	mean := func(a, b float64) float64 { return math.Log(b/a) / (b - a) }
	square := 1/(7000.*9000) + 1/(7950.*8050) - 2*mean(7000, 9000)*mean(7950, 8050)
	return math.Sqrt(0.05*0.05 + 0.02*0.02 + 1e10*0.01/3*square)
}

// TestLineFit is JCGM 100:2008, H.3: a straight line through eleven readings, each with the scatter about it. Intercept,
// slope and the correction at 30 degrees are not independent of one another, and have the uncertainties that are printed.
func TestLineFit(t *testing.T) {
	at := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	read := []float64{-.171, -.169, -.166, -.159, -.164, -.165, -.156, -.157, -.159, -.161, -.160}
	s, n, sum, squares, readings, products := "", float64(len(at)), 0.0, 0.0, []string{}, []string{}
	for i := range at {
		x := at[i] - 20
		sum += x
		squares += x * x
		s += fmt.Sprintf("b%d : %g ± 0.0034975640 sd\n", i, read[i]) // the root of 0.000110096583109 / 9
		readings = append(readings, fmt.Sprintf("b%d", i))
		products = append(products, fmt.Sprintf("%g * b%d", x, i))
	}
	s += "b = " + strings.Join(readings, " + ") + "\nxb = " + strings.Join(products, " + ") + "\n"
	d := n*squares - sum*sum
	s += fmt.Sprintf("slope = (%g * xb - %.17g * b) / %.17g\n", n, sum, d)
	s += fmt.Sprintf("start = (%.17g * b - %.17g * xb) / %.17g\nat30 = start + 10 * slope\n", squares, sum, d)
	o := oddsOf(t, s, Options{Names: []string{"start", "slope", "at30"}, Builds: builds, Seed: 1})
	for _, tt := range []struct {
		name                  string
		value, u, valueBy, by float64
	}{
		{"start", -0.1712, 0.0029, 0.00005, 0.00005},
		{"slope", 0.00218, 0.00067, 0.000005, 0.000005},
		{"at30", -0.1494, 0.0041, 0.00005, 0.00005},
	} {
		r := resultOf(t, o, tt.name)
		require.InDelta(t, tt.value, r.Number, tt.valueBy)
		require.InDelta(t, tt.u, r.First.SD, tt.by)
		near(t, tt.name, r.First.SD, r.SD, r.SD/math.Sqrt(2*builds))
		require.Equal(t, Agrees, r.Remark)
	}
}

// TestRanks holds what each input counts for against Ishigami's function, whose shares are known in closed form. To first
// order x3 bears on nothing, and x2 does not either at its middle.
func TestRanks(t *testing.T) {
	for _, tt := range []struct {
		a, mean, variance float64
		shares            [2]float64
		order             []string
	}{
		{7, 3.5, 13.844587940719, [2]float64{.313905191148, .442411144790}, []string{"x2", "x1"}},
		{5, 2.5, 10.844587940719, [2]float64{.400742568335, .288162170576}, []string{"x1", "x2"}},
	} {
		sheet := fmt.Sprintf(`x1 [rad] : 0 ± 3.141592653589793
x2 [rad] : 0 ± 3.141592653589793
x3 : 0 ± 3.141592653589793
y = sin(x1) + %g * sin(x2)^2 + 0.1 * x3^4 * sin(x1)
`, tt.a)
		y := resultOf(t, oddsOf(t, sheet, Options{Builds: builds, Seed: 1}), "y")
		near(t, "mean", tt.mean, y.Mean, math.Sqrt(tt.variance/builds))
		near(t, "variance", tt.variance, y.SD*y.SD, 2*tt.variance/math.Sqrt(builds))
		var order []string
		for _, s := range y.Shares {
			order = append(order, s.Name)
			require.InDelta(t, tt.shares[s.Name[1]-'1'], s.Share, 0.015)
			require.InDelta(t, 1-math.Sqrt(1-s.Share), s.Known, 1e-9)
		}
		require.Equal(t, tt.order, order, "x3, once known, changes nothing on average")
	}
}

// TestClosedForms holds builds against sums and products of even spreads, as they are known exactly.
func TestClosedForms(t *testing.T) {
	root := math.Sqrt(builds)
	o := oddsOf(t, `a : 0 ± 1
b : 0 ± 1
c : 0.5 ± 0.5
d : 0.5 ± 0.5
sum = a + b
product = c * d
flat = a
`, Options{Builds: builds, Seed: 2, Names: []string{"sum", "product", "flat"}})
	sum := resultOf(t, o, "sum") // a triangle: one side holds (1 - x)² / 2 of it, in halves
	near(t, "sum", 2*(1-math.Sqrt(0.05)), sum.High, 3/root)
	near(t, "sum", math.Sqrt(2./3), sum.SD, 1/root)
	product := resultOf(t, o, "product") // P(cd < x) = x (1 - ln x)
	near(t, "product", 0.25, product.Mean, 0.22/root)
	near(t, "product", math.Sqrt(7./144), product.SD, 0.22/root)
	below := func(x float64) float64 { return x * (1 - math.Log(x)) }
	require.InDelta(t, 0.025, below(product.Low), 0.0015)
	require.InDelta(t, 0.975, below(product.High), 0.0015)
	flat := resultOf(t, o, "flat")
	near(t, "flat", 0.95, flat.High, 0.4/root)
	require.Equal(t, Flat, flat.Remark)
	require.InDelta(t, 1, flat.Shares[0].Known, 0.01, "once it is known nothing is left")
}
