package library_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/library"
	"gusset/sheets/text"
)

const (
	icao           = "ICAO Doc 7488/3, Manual of the ICAO Standard Atmosphere (1993)"
	icaoTables     = icao + ", tables"
	icaoByHand     = icao + ": its constants and laws, worked by hand"
	coesa          = "US Standard Atmosphere (1976)"
	weatherService = "US National Weather Service, density altitude sheet"
)

func TestAirFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "fall", formula: "standard_gravity", unit: "m/s^2", printed: "9.80665",
			source: "ISO 80000-3, standard acceleration of free fall",
		},
		{what: "density", formula: "air_density", unit: "kg/m^3", printed: "1.225", source: icaoTables + ", sea level"},
		{what: "viscosity", formula: "air_viscosity", unit: "Pa s", printed: "1.7894e-5", source: icaoTables + ", sea level"},
		{
			what: "viscosity from Sutherland's law", formula: "air_viscosity", unit: "Pa s",
			byHand: "1.7893803e-5", within: 5e-10, source: icaoByHand + "; the table rounds to 5 digits",
		},
		{
			what: "viscosity over density", formula: "air_viscosity / air_density", unit: "m^2/s",
			printed: "1.4607e-5", source: icaoTables + ", sea level",
		},
		{
			what:    "density from the gas law",
			formula: "sea_level_pressure / (air_gas_constant * sea_level_temperature)", unit: "kg/m^3",
			byHand: "1.2250000", source: icao + ": 101325 Pa / (287.05287 J/(kg K) x 288.15 K); worked by hand",
		},
		{
			what:    "density with the other gas constant",
			formula: "sea_level_pressure / (287.053072 [J/(kg K)] * sea_level_temperature)", unit: "kg/m^3",
			byHand: "1.2249992", source: coesa + ": 8314.32 / 28.9644 for its gas constant; worked by hand",
		},
		{
			what:    "exponent of the law of pressure",
			formula: "standard_gravity / (lapse_rate * air_gas_constant)", byHand: "5.255879813",
			source: icaoByHand,
		},
		{
			what: "sea level in degrees Rankine", formula: "sea_level_temperature / 1 [K] * 1.8",
			byHand: "518.67", source: "288.15 x 1.8; worked by hand",
		},
		{
			what: "sea level in pounds on a square foot", formula: "sea_level_pressure", unit: "psf",
			byHand: "2116.2166", source: "101325 Pa / 47.88025898; worked by hand",
		},
	})
}

// TestAirTableRows holds the standard day against printed rows. Tables step in geometric metres Z or
// geopotential ones H; each row says which.
func TestAirTableRows(t *testing.T) {
	const handbook = "Mechanical Engineers' Handbook, vol. 4, table 6 (US Standard Atmosphere)"
	for _, row := range []struct {
		height                            string
		kelvin, pascal, density, sound    string
		viscosity, kinematic              string
		source                            string
		kelvinIn, pascalIn, densIn, sndIn float64 // how far rounding in the source may go, where its last digit does not say
	}{
		{
			height: "0 [m]", kelvin: "288.15", pascal: "101325", density: "1.225", sound: "340.294",
			viscosity: "1.7894e-5", kinematic: "1.4607e-5", source: icaoTables,
		},
		{
			height: "geopotential_altitude(1000 [m])", kelvin: "281.651", pascal: "89876.3", density: "1.11166",
			sound: "336.435", viscosity: "1.7579e-5", kinematic: "1.5813e-5",
			source: icaoTables + ", Z = 1000 m",
		},
		{
			height: "geopotential_altitude(2000 [m])", kelvin: "275.154", pascal: "79501.4", density: "1.00655",
			sound: "332.532", viscosity: "1.7260e-5", kinematic: "1.7147e-5",
			source: icaoTables + ", Z = 2000 m",
		},
		{
			height: "geopotential_altitude(2000 [m])", kelvin: "275.15", pascal: "79501", density: "1.0066",
			sound: "332.53", viscosity: "1.7260e-5",
			source: coesa + ", tables, quoted; they step in the same constants as " + icao,
		},
		{
			height: "geopotential_altitude(3000 [m])", kelvin: "268.66", pascal: "70120", density: "0.9093",
			sound: "328.6", source: handbook + ", 0.7012 bar", pascalIn: 5,
		},
		{
			height: "geopotential_altitude(4000 [m])", kelvin: "262.17", pascal: "61660", density: "0.81935",
			sound: "324.59", viscosity: "1.6612e-5",
			source: coesa + ", tables, quoted; they step in the same constants as " + icao,
		},
		{
			height: "500 [m]", kelvin: "284.9", pascal: "95460.835", density: "1.1672688", sound: "338.36948",
			viscosity: "1.7736560e-5", kinematic: "1.5194923e-5", source: icaoByHand,
		},
		{
			height: "1000 [m]", kelvin: "281.65", pascal: "89874.563", density: "1.1116425", sound: "336.43397",
			viscosity: "1.7578455e-5", kinematic: "1.5813047e-5", source: icaoByHand,
		},
		{
			height: "1500 [m]", kelvin: "278.4", pascal: "84555.994", density: "1.0580673", sound: "334.48726",
			viscosity: "1.7419477e-5", kinematic: "1.6463488e-5", source: icaoByHand,
		},
		{
			height: "2000 [m]", kelvin: "275.15", pascal: "79495.202", density: "1.0064901", sound: "332.52915",
			viscosity: "1.7259615e-5", kinematic: "1.7148320e-5", source: icaoByHand,
		},
		{
			height: "3000 [m]", kelvin: "268.65", pascal: "70108.526", density: "0.90912186",
			sound: "328.57793", viscosity: "1.6937187e-5", kinematic: "1.8630272e-5", source: icaoByHand,
		},
	} {
		temperature := "standard_temperature(" + row.height + ")"
		figures := []figure{
			{what: "temperature", formula: temperature, unit: "K", printed: row.kelvin, source: row.source},
			{
				what: "pressure", formula: "standard_pressure(" + row.height + ")", unit: "Pa",
				printed: row.pascal, within: row.pascalIn, source: row.source,
			},
			{
				what: "density", formula: "standard_density(" + row.height + ")", unit: "kg/m^3",
				printed: row.density, source: row.source,
			},
			{what: "sound", formula: "speed_of_sound(" + temperature + ")", unit: "m/s", printed: row.sound, source: row.source},
			{
				what: "viscosity", formula: "viscosity_of_air(" + temperature + ")", unit: "Pa s",
				printed: row.viscosity, source: row.source,
			},
			{
				what:    "kinematic",
				formula: "kinematic_viscosity(" + temperature + ", standard_density(" + row.height + "))",
				unit:    "m^2/s", printed: row.kinematic, source: row.source,
			},
		}
		var known []figure
		for _, f := range figures {
			if f.printed != "" {
				known = append(known, f)
			}
		}
		t.Run(row.height+" "+row.source, func(t *testing.T) { workFigures(t, "", known) })
	}
}

// TestGeometricIsNotGeopotential: a table of one kind read as the other misses by more than its digits.
func TestGeometricIsNotGeopotential(t *testing.T) {
	workFigures(t, "", []figure{
		{what: "500 m", formula: "geopotential_altitude(500 [m])", unit: "m", byHand: "499.961", source: icaoByHand},
		{what: "1000 m", formula: "geopotential_altitude(1000 [m])", unit: "m", byHand: "999.843", source: icaoByHand},
		{what: "1500 m", formula: "geopotential_altitude(1500 [m])", unit: "m", byHand: "1499.646", source: icaoByHand},
		{
			what: "2000 m", formula: "geopotential_altitude(2000 [m])", unit: "m", printed: "1999",
			byHand: "1999.371", source: icaoTables,
		},
		{
			what: "3000 m", formula: "geopotential_altitude(3000 [m])", unit: "m", printed: "2999",
			byHand: "2998.585", source: icaoTables,
		},
		{
			what: "there and back", formula: "geometric_altitude(geopotential_altitude(3000 [m]))", unit: "m",
			byHand: "3000.00000000", source: byHandOnly,
		},
		{
			what: "pressure at 500 m", formula: "standard_pressure(geopotential_altitude(500 [m]))", unit: "Pa",
			byHand: "95461.285", source: icaoByHand,
		},
		{
			what: "pressure at 1500 m", formula: "standard_pressure(geopotential_altitude(1500 [m]))",
			unit: "Pa", byHand: "84559.666", source: icaoByHand,
		},
		{
			what: "pressure at 3000 m", formula: "standard_pressure(geopotential_altitude(3000 [m]))",
			unit: "Pa", byHand: "70121.144", source: icaoByHand,
		},
		{
			what: "density at 500 m", formula: "standard_density(geopotential_altitude(500 [m]))",
			unit: "kg/m^3", byHand: "1.1672733", source: icaoByHand,
		},
		{
			what: "density at 3000 m", formula: "standard_density(geopotential_altitude(3000 [m]))",
			unit: "kg/m^3", byHand: "0.90925435", source: icaoByHand,
		},
		{
			what:    "6 Pa at 2000 m",
			formula: "standard_pressure(geopotential_altitude(2000 [m])) - standard_pressure(2000 [m])",
			unit:    "Pa", byHand: "6.209", source: icaoByHand,
		},
		{
			what:    "13 Pa at 3000 m",
			formula: "standard_pressure(geopotential_altitude(3000 [m])) - standard_pressure(3000 [m])",
			unit:    "Pa", byHand: "12.618", source: icaoByHand,
		},
	})
}

func TestAirInFeet(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "density at 1000 ft", formula: "standard_density(1000 [ft])", unit: "kg/m^3",
			byHand: "1.189554", source: icaoByHand,
		},
		{
			what: "density at 2000 ft", formula: "standard_density(2000 [ft])", unit: "kg/m^3",
			byHand: "1.154897", source: icaoByHand,
		},
		{
			what: "density at 3000 ft", formula: "standard_density(3000 [ft])", unit: "kg/m^3",
			byHand: "1.121019", source: icaoByHand,
		},
		{
			what: "density at 5000 ft", formula: "standard_density(5000 [ft])", unit: "kg/m^3",
			byHand: "1.055546", source: icaoByHand,
		},
		{
			what: "pressure at 5000 ft", formula: "standard_pressure(5000 [ft])", unit: "Pa",
			byHand: "84307.26", source: icaoByHand,
		},
		{
			what: "pressure at 10000 ft", formula: "standard_pressure(10000 [ft])", unit: "Pa",
			byHand: "69681.64", source: icaoByHand,
		},
		{
			what: "heat at 10000 ft", formula: "standard_temperature(10000 [ft])", unit: "degF",
			byHand: "23.338", source: icaoByHand,
		},
		{
			what: "share at 1000 ft", formula: "density_ratio(standard_density(1000 [ft]))", byHand: "0.971064",
			source: icaoByHand,
		},
		{
			what: "share at 5000 ft", formula: "density_ratio(standard_density(5000 [ft]))", byHand: "0.861670",
			source: icaoByHand,
		},
		{
			what: "share at 10000 ft", formula: "density_ratio(standard_density(10000 [ft]))",
			printed: "0.7384", within: 1e-4,
			source: "a practical-aerodynamics text of the 1930s, standard altitude table: 0.7384, on the older standard air",
		},
		{
			what: "where the law ends", formula: "standard_pressure(11000 [m])", unit: "hPa",
			byHand: "226.3204", source: icaoByHand,
		},
	})
}

func TestDensityAltitude(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "a table read backwards", formula: "altitude_of_density(0.001812 [slug/cu ft])", unit: "ft",
			printed: "9000", within: 20,
			source: "standard altitude table of flight schools: 0.001812 slug/cu ft stands at 9000 ft; one in its last digit is 17 ft",
		},
		{
			what:    "the standard day at the sea has none",
			formula: "density_altitude(sea_level_pressure, sea_level_temperature)", unit: "ft", byHand: "0.0",
			source: "by definition; the rounded constants of the " + weatherService + " give 17 to 22 ft",
		},
		{
			what: "nor has it a pressure altitude", formula: "pressure_altitude(29.92126 [inHg])", unit: "ft",
			byHand: "0.0", source: "by definition: 1013.25 hPa",
		},
		{
			what:    "a standard day high up",
			formula: "density_altitude(standard_pressure(6000 [ft]), standard_temperature(6000 [ft]))",
			unit:    "ft", byHand: "6000.000", source: "by definition",
		},
		{
			what: "the rule of thumb on a hot field", formula: "density_altitude_rule(5470 [ft], 35 [degC])",
			unit: "ft", printed: "9070", within: 70,
			source: "flying-school example: 5000 ft, 29.45 inHg, 35 degC; it takes 120 ft a degree and the standard heat at the field's own height",
		},
		{
			what:    "the exact law on that field",
			formula: "density_altitude(pressure_at_field(5000 [ft], 29.45 [inHg]), 35 [degC])", unit: "ft",
			byHand: "8857.46", source: icaoByHand,
		},
		{
			what:    "pressure altitude of that field",
			formula: "pressure_altitude(pressure_at_field(5000 [ft], 29.45 [inHg]))", unit: "ft",
			printed: "5470", within: 40, source: "flying-school example: 1000 ft for an inch of mercury",
		},
		{
			what:    "cold air at 10000 ft, there alone",
			formula: "density_altitude(standard_pressure(10000 [ft]), standard_temperature(10000 [ft]) - 15 [K])",
			unit:    "ft", byHand: "8156.92",
			source: icaoByHand + ": 15 K colder there, at the same pressure; a cold column of air would give 8843 ft",
		},
		{
			what:    "damp air is lighter",
			formula: "density_of_damp_air(1000 [hPa], 30 [degC], 20 [degC]) / density_of_air(1000 [hPa], 30 [degC])",
			byHand:  "0.9911772", source: "1 - 23.340674 / 1000 x 0.378; worked by hand",
		},
		{
			what: "vapour of a full-wet day", formula: "vapour_pressure(dew_point(20 [degC], 60 [%]))",
			unit: "hPa", byHand: "14.004404", source: "60 % of 23.340674; worked by hand",
		},
		{
			what:    "true airspeed at 10000 ft",
			formula: "true_airspeed(100 [mph], standard_density(10000 [ft]))", unit: "mph", byHand: "116.36728",
			source: "100 / sqrt 0.7384791; worked by hand",
		},
		{
			what:    "pitot and dynamic pressure",
			formula: "airspeed_from_pitot(dynamic_pressure(33 [mph], air_density), air_density)", unit: "mph",
			byHand: "33.000000", source: byHandOnly,
		},
		{
			what: "no air moves, no pressure", formula: "airspeed_from_pitot(0 [Pa], air_density)", unit: "mph",
			byHand: "0.000", source: byHandOnly,
		},
	})
}

// TestDensityAltitudeByTheOtherLaw holds the damp density altitude against the rounded law of the weather
// service, which is a way of its own: it stands about 20 ft above on any day.
func TestDensityAltitudeByTheOtherLaw(t *testing.T) {
	for _, day := range []struct{ hPa, degC, dew float64 }{
		{1013.25, 15, -30}, {1000, 30, 20}, {990, 25, 5}, {850, 35, 10}, {1030, -5, -10},
	} {
		e := 6.11 * math.Pow(10, 7.5*day.dew/(237.7+day.dew))
		virtual := (day.degC + 273.15) / (1 - e/day.hPa*(1-0.622))
		want := 145366 * (1 - math.Pow(17.326*(day.hPa/33.86388640341)/(virtual*1.8), 0.235))
		m := loadSheet(t, fmt.Sprintf(
			"height [ft] = density_altitude_damp(%g [hPa], %g [K], %g [K])\n", day.hPa, day.degC+273.15,
			day.dew+273.15,
		))
		require.NoError(t, m.Problems().Err())
		v, err := m.Value("height")
		require.NoError(t, err)
		assert.InDelta(t, want-17, v.Number, 8, "%+v, %s", day, weatherService)
	}
}

// TestStandardDayStandsOnItself: pressure falls with height by the weight of the air below, whatever law it was
// worked out by.
func TestStandardDayStandsOnItself(t *testing.T) {
	m := loadSheet(t, "height [m] : 0\nair [kg/m^3] = standard_density(height)\npress [Pa] = standard_pressure(height)\n")
	at := func(height float64, name string) float64 {
		require.NoError(t, m.Set("height", fmt.Sprint(height)))
		v, err := m.Value(name)
		require.NoError(t, err)
		return v.Number
	}
	const step = 250.0
	pressure := 101325.0
	for h := 0.0; h < 11000; h += step { // Simpson's rule over each step
		pressure -= 9.80665 * step / 6 * (at(h, "air") + 4*at(h+step/2, "air") + at(h+step, "air"))
		assert.InEpsilon(t, pressure, at(h+step, "press"), 1e-6, "at %v m", h+step)
	}
}

func TestReynoldsFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what:    "Reynolds number",
			formula: "reynolds_number(0.64 [m], 70 [m/s], 1.789e-5 [Pa s], 1.23 [kg/m^3])", printed: "3.08e6",
			byHand: "3080156.5", source: fundamentals + ", example 4.1",
		},
		// The report stands on the older standard air, 0.3 % thinner against its viscosity.
		{
			what:    "a foot at 100 mph",
			formula: "reynolds_number(1 [ft], 100 [mph], air_viscosity, air_density)", printed: "935400",
			within: 935400 * 0.003, source: "Abbott, von Doenhoff and Stivers, NACA Report 824 (1945), symbols",
		},
		{
			what: "a foot at 100 mph in the report's air", formula: "1 [ft] * 100 [mph] / 1.567957e-4 [ft^2/s]",
			printed: "935400", within: 5,
			source: "Abbott, von Doenhoff and Stivers, NACA Report 824 (1945), symbols: the viscosity that it implies",
		},
		{
			what:    "a foot in today's air",
			formula: "reynolds_number(1 [ft], 100 [mph], air_viscosity, air_density)", byHand: "932803.1",
			source: icaoByHand,
		},
		{
			what: "nothing moves", formula: "reynolds_number(8 [in], 0 [mph], air_viscosity, air_density)",
			byHand: "0.0", source: byHandOnly,
		},
		{
			what: "speed for 100000", formula: "speed_for_reynolds(100000, 8 [in], air_viscosity, air_density)",
			unit: "mph", byHand: "16.080563",
			source: "100000 x 1.7894e-5 / (1.225 x 0.2032) m/s; worked by hand",
		},
		{
			what:    "chord for 100000",
			formula: "chord_for_reynolds(100000, 30 [mph], air_viscosity, air_density)", unit: "in",
			byHand: "4.288150", source: "100000 x 1.7894e-5 / (1.225 x 13.4112) m; worked by hand",
		},
	})
}

func TestAirRefusals(t *testing.T) {
	refuse(t, []refusal{
		{"above the law", "standard_density(12000 [m])", "kg/m^3", "the lowest layer of the air"},
		{"below the law", "standard_pressure(-6000 [m])", "hPa", "too deep below the sea"},
		{"a temperature for a height", "standard_density(20 [degC])", "kg/m^3", "standard_density needs a length"},
		{"a plain number for a temperature", "density_of_air(990 [hPa], 20)", "kg/m^3", "density_of_air needs a temperature"},
		{"a density for a pressure", "density_altitude(air_density, 20 [degC])", "ft", "density_altitude needs a pressure"},
		{"nothing for a pressure", "density_of_air(0 [hPa], 20 [degC])", "kg/m^3", "a pressure is more than nothing"},
		{"colder than can be", "density_of_air(990 [hPa], 0 [degC] - 300 [K])", "kg/m^3", "absolute zero"},
		{"a pressure of the stratosphere", "pressure_altitude(100 [hPa])", "ft", "above the lowest layer"},
		{"a pressure under the sea", "pressure_altitude(3 [bar])", "ft", "is the pressure in the right unit?"},
		{"air like water", "altitude_of_density(62.4 [lb/cu ft])", "ft", "look at the unit"},
		{"humidity in whole numbers", "dew_point(30 [degC], 50)", "degC", "relative humidity lies between 0 and 100 %"},
		{"perfectly dry", "dew_point(30 [degC], 0 [%])", "degC", "perfectly dry air has no dew point"},
		{
			"dew above the temperature", "density_of_damp_air(1000 [hPa], 20 [degC], 25 [degC])", "kg/m^3",
			"never above the temperature",
		},
		{"tubes crossed", "airspeed_from_pitot(-10 [Pa], air_density)", "mph", "crossed"},
		{
			"no viscosity", "reynolds_number(8 [in], 30 [mph], 0 [Pa s], air_density)", "",
			"viscosity must be more than nothing",
		},
		{
			"a kinematic viscosity", "reynolds_number(8 [in], 30 [mph], 1.46e-5 [m^2/s], air_density)", "",
			"reynolds_number needs a dynamic viscosity",
		},
		{
			"a density ten times too great", "reynolds_number(8 [in], 30 [mph], air_viscosity, 12.25 [kg/m^3])",
			"", "is the density in the right unit?",
		},
		{"a weight for a density", "dynamic_pressure(30 [mph], 2 [kg])", "Pa", "dynamic_pressure needs a density"},
		{
			"no chord", "speed_for_reynolds(100000, 0 [in], air_viscosity, air_density)", "mph",
			"the chord must be more than nothing",
		},
		{
			"a chord with a sign", "reynolds_number(-8 [in], 30 [mph], air_viscosity, air_density)", "",
			"the chord must be more than nothing",
		},
		{
			"backwards", "reynolds_number(8 [in], -30 [mph], air_viscosity, air_density)", "",
			"give the airspeed without a sign",
		},
		{
			"no viscosity, a speed", "speed_for_reynolds(100000, 8 [in], 0 [Pa s], air_density)", "mph",
			"viscosity must be more than nothing",
		},
		{
			"no viscosity, a chord", "chord_for_reynolds(100000, 30 [mph], 0 [Pa s], air_density)", "in",
			"viscosity must be more than nothing",
		},
		{"an airspeed with a sign", "true_airspeed(-40 [mph], air_density)", "mph", "give the airspeed without a sign"},
		{"wind with a sign", "wind_at_height(-5 [mph], 10 [m], 2 [m])", "mph", "give the wind without a sign"},
		{"wind at the ground", "wind_at_height(5 [mph], 10 [m], 0 [m])", "mph", "more than nothing"},
	})
}

func TestAirRemarks(t *testing.T) {
	assertRemark(t, "density_altitude(990 [hPa], 30 [degC])", "ft", "")
	assertRemark(t, "density_altitude(990 [hPa], 86 [degC])", "ft", "is it degF or degC?")
	assertRemark(t, "pressure_at_field(5000 [ft], 24.5 [inHg])", "inHg", "is it the pressure at the field itself?")
	assertRemark(t, "airspeed_from_pitot(1 [psi], air_density)", "mph", "at such a speed the air is squeezed")
	assertRemark(t, "wind_at_height(10 [mph], 10 [m], 500 [m])", "mph", "the air near the ground")
}

// TestAirFlightAndPlanRefuseInWords: a builder never reads of a division by nothing on these pages.
func TestAirFlightAndPlanRefuseInWords(t *testing.T) {
	said := needed(t)
	for _, page := range parseAll(t, library.Pages()) {
		if !slices.Contains([]string{"air.gusset", "flight.gusset", "plan.gusset"}, page.name) {
			continue
		}
		for _, n := range page.file.Nodes {
			if f, ok := n.(*text.Formula); ok {
				t.Run(f.Name.Text, func(t *testing.T) { refuseInWords(t, f, said) })
			}
		}
	}
}
