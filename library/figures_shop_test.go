package library_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

const (
	airplaneBook  = "K. D. Wood, Airplane Design, 8th ed. (1947), as quoted"
	countedByHand = "counted by hand"
)

// TestCoveringWeights holds cotton and dope to the book that gives them; films are common practice, of no
// source, but must weigh what their plastic does.
func TestCoveringWeights(t *testing.T) {
	figures := []figure{
		{
			what: "thin plain film", formula: `covering_kinds["thin plain film"].weight / 0.005 [mm]`,
			unit: "kg/m^3", byHand: "1390", within: 15,
			source: "density of polyester film: common practice, no source",
		},
		{
			what: "thick plain film", formula: `covering_kinds["thick plain film"].weight / 0.015 [mm]`,
			unit: "kg/m^3", byHand: "1390", within: 15,
			source: "density of polyester film: common practice, no source",
		},
	}
	for _, r := range []struct{ formula, pounds, metric string }{
		{`covering_kinds["light cotton"].weight`, "0.028", "136.7"},
		{`covering_kinds["heavy cotton"].weight`, "0.031", "151.4"},
		{`finishes["clear nitrate dope"].least`, "0.0052", "25.4"},
		{`finishes["clear nitrate dope"].most`, "0.0076", "37.1"},
		{`finishes["pigmented dope"].least`, "0.0056", "27.3"},
		{`finishes["pigmented dope"].most`, "0.0083", "40.5"},
		{`finishes["lacquer"].least`, "0.0056", "27.3"},
		{`finishes["lacquer"].most`, "0.0090", "43.9"},
	} {
		figures = append(figures,
			figure{what: r.formula, formula: r.formula, unit: "lb/sq ft", printed: r.pounds, source: airplaneBook},
			figure{
				what: r.formula + " in metric", formula: r.formula, unit: "g/m^2", byHand: r.metric,
				source: airplaneBook + "; worked by hand",
			})
	}
	workFigures(t, "", append(figures,
		figure{
			what:    "a foot and a yard of it",
			formula: `covering_weight(1 [sq yd], 0 [%], "iron-on fabric") / covering_weight(1 [sq ft], 0 [%], "iron-on fabric")`,
			byHand:  "9.000000000", source: "definition of the yard",
		},
		figure{
			what:    "what light film saves on a wing",
			formula: `covering_change(6000 [cm^2], 10 [%], "iron-on film", "light iron-on film")`, unit: "g",
			byHand: "-20.460", source: "0.66 x (30 - 61); worked by hand",
		},
		figure{
			what:    "overlap flies too",
			formula: `covering_weight(500 [sq in], 12 [%], "tissue") / covering_weight(500 [sq in], 0 [%], "tissue")`,
			byHand:  "1.120000000", source: "definition",
		},
		figure{
			what:    "overlap counted in the area or by itself",
			formula: `covering_weight(covering_area(412 [sq in], 2, 104 [%], 0 [%]), 8 [%], "tissue") / covering_weight(covering_area(412 [sq in], 2, 104 [%], 8 [%]), 0 [%], "tissue")`,
			byHand:  "1.000000000", source: "definition",
		},
		figure{
			what:    "cotton with dope, tape and all",
			formula: `doped_weight(1 [sq ft], 0 [%], "light cotton", 5, 0.0076 [lb/sq ft])`, unit: "lb",
			printed: "0.070", within: 0.005, source: airplaneBook + ": 0.070 complete on control surfaces",
		},
		figure{
			what:    "what a weighing found",
			formula: "glue_share_weight(6 [oz], glue_share_found(6.3 [oz], 5.9 [oz]))", unit: "oz",
			byHand: "0.406780", source: "6 x 0.4 / 5.9; worked by hand",
		},
	))
}

func TestCuttingListFigures(t *testing.T) {
	workFigures(t, `
table cut
  piece  | pieces | long [in] | wide [in] | thick [in] | density [lb/cu ft]
  ribs   | 12     | 6         | 1         | 1/16       | 8
  skins  | 4      | 24        | 2-1/4     | 1/16       | 6
  spars  | 2      | 24        | 1/4       | 1/4        | 27
`, []figure{
		// 4.5 cu in at 8, 13.5 at 6 and 3 at 27 lb/cu ft, over 108: ounces
		{
			what: "weight", formula: "cut_list_weight(cut.pieces, cut.long, cut.wide, cut.thick, cut.density)",
			unit: "oz", byHand: "1.833333333",
			source: "4.5 x 8 + 13.5 x 6 + 3 x 27 = 198, over 108; worked by hand",
		},
		{
			what: "area", formula: "cut_list_area(cut.pieces, cut.long, cut.wide)", unit: "sq in",
			byHand: "300.0000", source: "72 + 216 + 12; worked by hand",
		},
		{
			what: "length", formula: "cut_list_length(cut.pieces, cut.long, 1/16 [in])", unit: "in",
			byHand: "217.1250", source: "72 + 96 + 48 + 18 / 16; worked by hand",
		},
		{
			what:    "the same as piece by piece",
			formula: "sum(map(cut, wood_weight(.long, .wide, .thick, .density) * .pieces)) / cut_list_weight(cut.pieces, cut.long, cut.wide, cut.thick, cut.density)",
			byHand:  "1.000000000", source: "definition; worked by hand",
		},
		{
			what: "spoil", formula: "spoil_of(300 [sq in] * 1.2, 300 [sq in])", unit: "%", byHand: "20.00000",
			source: "definition; worked by hand",
		},
	})
}

// cutting cuts pieces off a strip one by one, in sixty-fourths of an inch, and counts them and what is left.
func cutting(strip, piece, kerf int) (pieces, left int) {
	for left = strip; left >= piece; {
		left -= piece
		pieces++
		left -= min(left, kerf)
	}
	return pieces, left
}

func TestCountsByCutting(t *testing.T) {
	for _, strip := range []int{2304, 1536, 192} {
		for _, piece := range []int{1, 7, 12, 64, 96, 152, 192, 704, 768} {
			if piece > strip {
				continue
			}
			for _, kerf := range []int{0, 1, 2, 4} {
				pieces, left := cutting(strip, piece, kerf)
				size := fmt.Sprintf("(%d / 64 * 1 [in], %d / 64 * 1 [in], %d / 64 * 1 [in])", strip, piece, kerf)
				got := answers(t, "", "pieces_per_strip"+size, "strip_left"+size+" / 1 [in]")
				assert.Equal(t, float64(pieces), got[0], "%d of %d, kerf %d", piece, strip, kerf)
				assert.InDelta(t, float64(left)/64, got[1], 1e-9, "%d of %d, kerf %d", piece, strip, kerf)
				need := int(math.Ceil(100 / float64(pieces)))
				bought := answer(
					t, "",
					fmt.Sprintf(
						"strips_to_buy(100, %d / 64 * 1 [in], %d / 64 * 1 [in], %d / 64 * 1 [in], 0 [%%])",
						piece, strip, kerf,
					),
				)
				assert.Equal(t, float64(need), bought)
			}
		}
	}
}

func TestStockToBuyFigures(t *testing.T) {
	count := func(formula, want string) figure {
		return figure{what: formula, formula: formula, byHand: want, source: countedByHand}
	}
	workFigures(t, "", []figure{
		// Decimal sizes that do not come out even in binary must not lose a piece or buy a sheet.
		count("pieces_per_strip(0.3 [m], 0.1 [m], 0 [m])", "3"),
		count("pieces_per_strip(1 [m], 100 [mm], 0 [mm])", "10"),
		count("widths_needed(0.3 [m], 0.1 [m])", "3"),
		count("sheets_to_buy(1080 [sq in], 36 [in], 3 [in], 10 [%])", "11"),
		count("sheets_to_buy(1080.1 [sq in], 36 [in], 3 [in], 10 [%])", "12"),
		count("strips_to_buy(10, 12 [in], 36 [in], 0 [in], 20 [%])", "4"),
		count("to_buy(1.1 + 2.2 - 0.3, 0)", "3"),
		count("packs_to_buy(12, 6)", "2"),
		count("packs_to_buy(0, 6)", "0"),
		count("sheets_to_buy(0 [sq in], 36 [in], 3 [in], 15 [%])", "0"),
		count("sheets_for_pieces(0, 7 [in], 1 [in], 36 [in], 3 [in], 0 [in], 10 [%])", "0"),
		count("pieces_per_sheet(36 [in], 3 [in], 40 [in], 1 [in], 0 [in])", "0"),
		count("pieces_per_panel(12 [in], 24 [in], 24 [in], 12 [in], 0 [in])", "1"),
		count("plan_pages(10 [in], 7 [in], 10 [in], 7-1/2 [in], 1/2 [in])", "1"),
		count("plan_pages(2 [in], 1/4 [in], 10 [in], 7-1/2 [in], 1/2 [in])", "1"),
		count("plan_pages(19.5 [in], 7 [in], 10 [in], 7.5 [in], 0.5 [in])", "2"),
		count("rolls_to_buy(1872 [sq in], 72 [in], 26 [in], 0 [%])", "1"),
		count("rolls_for_panels(5, 26 [in], 12 [in], 72 [in], 26 [in])", "1"),
		count("flights_per_can(1 [L], 250 [mL])", "4"),
		count("flights_per_can(1 [L], 251 [mL])", "3"),
		count("evenings_needed(0 [h], 2 [h])", "0"),
		count("evenings_needed(0.3 [h], 0.1 [h])", "3"),
	})
}

func TestShopFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "both sides of a wing", formula: "covering_area(400 [sq in], 2, 104 [%], 8 [%])",
			unit: "sq in", byHand: "898.5600", source: "800 x 1.04 x 1.08; worked by hand",
		},
		{
			what: "a box of one girth", formula: "tapered_surface(14 [in], 14 [in], 30 [in])", unit: "sq in",
			byHand: "420.0000", source: "geometry",
		},
		{
			what: "a cone", formula: "tapered_surface(2 * pi * 1 [in], 0 [in], 100 [in])", unit: "sq in",
			byHand: "314.1593", source: "geometry: pi x radius x slant, to the 0.005 % that the slant adds",
		},
		{
			what:    "a fillet and its round make the square",
			formula: "fillet_weight(1/2 [in], 4 [in], 70 [lb/cu ft]) + dowel_weight(1 [in], 4 [in], 70 [lb/cu ft]) / 4",
			unit:    "oz", byHand: "0.648148", source: "1 cu in of 70 lb/cu ft; worked by hand",
		},
		{
			what:    "thin glass and as much resin",
			formula: "glassed_weight(2 [sq ft], 0.75 [oz/sq yd], 100 [%])", unit: "oz", byHand: "0.333333",
			source: "2 / 9 x 0.75 x 2; worked by hand",
		},
		{
			what: "epoxy all stays", formula: "glue_line_weight(100 [sq in], 100 [g/m^2], 100 [%])", unit: "g",
			byHand: "6.451600", source: "100 sq in is 0.064516 m^2; worked by hand",
		},
		{
			what:    "three coats of dope",
			formula: `finish_weight(2 [sq ft], 3, finishes["clear nitrate dope"].least)`, unit: "oz",
			byHand: "0.499200", source: airplaneBook + ": 6 x 0.0052 x 16; worked by hand",
		},
		{
			what: "a second one", formula: "time_of_next(10 [h], 2, 80 [%])", unit: "h", byHand: "8.000000",
			source: "T. P. Wright, Factors Affecting the Cost of Airplanes (1936): each doubling takes the share",
		},
		{
			what: "the first one", formula: "time_of_next(10 [h], 1, 80 [%])", unit: "h", byHand: "10.000000",
			source: "T. P. Wright, Factors Affecting the Cost of Airplanes (1936)",
		},
		{
			what: "the eighth", formula: "time_of_next(10 [h], 8, 80 [%])", unit: "h", byHand: "5.120000",
			source: "T. P. Wright, Factors Affecting the Cost of Airplanes (1936): 0.8 cubed",
		},
		{
			what:    "hours from minutes",
			formula: `building_time([21, 4], [building_times["rib"].minutes, building_times["former"].minutes]) / (21 * building_times["rib"].minutes + 4 * building_times["former"].minutes)`,
			byHand:  "1.000000000", source: "definition; worked by hand",
		},
		{
			what: "what a charge draws", formula: "charge_drawn(battery_energy(3, 2200 [mAh]), 100 [%])",
			unit: "Wh", byHand: "24.42000", source: "11.1 V x 2.2 Ah; worked by hand",
		},
		{
			what:    "a list and its pieces",
			formula: "cost_of_list([15, 0], [cost_per_piece(2.10 [GBP], 15), 1 [GBP]]) / 1 [GBP]",
			byHand:  "2.100000", source: "definition; worked by hand",
		},
		{
			what: "resin and hardener", formula: "hardener_needed(1 [oz], 2, 1)", unit: "oz",
			byHand: "0.500000", source: "definition; worked by hand",
		},
	})
}

// TestCostsInMoney: formulas take plain numbers, so that a sheet in any money can ask them.
func TestCostsInMoney(t *testing.T) {
	m := loadSheet(t, `
film_price [USD] : 16.50
bill  [USD] = rolls_to_buy(1800 [sq in], 72 [in], 26 [in], 10 [%]) * film_price
table buy
  stock | number | price [EUR]
  sheet | 5      | 2.20
  strip | 3      | 0.80
list [EUR] = cost_of_list(buy.number, buy.price)
`)
	for name, want := range map[string]float64{"bill": 33, "list": 13.4} {
		v, err := m.Value(name)
		if assert.NoError(t, err) {
			assert.InDelta(t, want, v.Number, 1e-9, name)
		}
	}
	assert.NoError(t, m.Problems().Err())
}

func TestResinsAndFuelCarryTheirCaution(t *testing.T) {
	assertCautions(
		t, "finish_weight", "doped_weight", "glassed_weight", "paint_needed", "glue_line_weight",
		"fillet_weight", "hardener_needed", "flights_per_can",
	)
}

func TestShopRefusals(t *testing.T) {
	refuse(t, []refusal{
		{"a piece longer than its strip", "strips_to_buy(8, 40 [in], 36 [in], 0 [in], 0 [%])", "", "longer than the strip"},
		{
			"a piece longer than the sheet",
			"sheets_for_pieces(8, 40 [in], 1 [in], 36 [in], 3 [in], 0 [in], 0 [%])", "",
			"longer than the sheet",
		},
		{
			"a piece wider than the sheet",
			"sheets_for_pieces(8, 10 [in], 4 [in], 36 [in], 3 [in], 0 [in], 0 [%])", "", "edge-join two first",
		},
		{
			"a panel larger than the roll", "rolls_for_panels(1, 80 [in], 10 [in], 72 [in], 26 [in])", "",
			"larger than the roll",
		},
		{
			"a panel wider than the roll", "rolls_for_panels(1, 30 [in], 30 [in], 72 [in], 26 [in])", "",
			"larger than the roll",
		},
		{
			"a kerf with a sign", "pieces_per_strip(36 [in], 3 [in], -1/16 [in])", "",
			"the saw cut must not be less than nothing",
		},
		{"a piece of no length", "pieces_per_strip(36 [in], 0 [in], 0 [in])", "", "give the lengths of piece and strip"},
		{
			"spoil with a sign", "sheets_to_buy(300 [sq in], 36 [in], 3 [in], -5 [%])", "",
			"the spoil must not be less than nothing",
		},
		{"three sides", "covering_area(400 [sq in], 3, 104 [%], 8 [%])", "sq in", "one side or two"},
		{"wrap of less than flat", "covering_area(400 [sq in], 2, 4 [%], 8 [%])", "sq in", "never less than its outline"},
		{"no such covering", `covering_weight(400 [sq in], 8 [%], "wallpaper")`, "oz", "wallpaper"},
		{
			"overlap with a sign", `covering_weight(400 [sq in], -8 [%], "tissue")`, "oz",
			"the overlap must not be less than nothing",
		},
		{
			"doped overlap with a sign", `doped_weight(400 [sq in], -8 [%], "tissue", 2, 5 [g/m^2])`, "oz",
			"the overlap must not be less than nothing",
		},
		{"a span for an area", `covering_weight(48 [in], 8 [%], "tissue")`, "oz", "area"},
		{"a price without its currency", "cost_of_list([2], [3])", "", "an amount of money"},
		{
			"less than nothing on the list", "cost_of_list([2, -2], [3 [GBP], 1 [GBP]]) / 1 [GBP]", "",
			"a number must not be less than nothing",
		},
		{
			"a model for no flight", "cost_per_flight(150 [GBP], 0, 17 [GBP], 100, 0.04 [GBP]) / 1 [GBP]", "",
			"how many flights",
		},
		{"too good a charger", "charge_drawn(24 [Wh], 110 [%])", "Wh", "between 0 and 100 %"},
		{
			"a lap as wide as the page", "plan_pages(48 [in], 36 [in], 10 [in], 7-1/2 [in], 8 [in])", "",
			"the lap must be smaller than a page",
		},
		{"before the first", "time_of_next(10 [h], 0, 80 [%])", "h", "the first is number 1"},
		{"no hardener", "hardener_needed(30 [g], 100, 0)", "g", "give both parts"},
		{"wrong ounces", "glue_share_weight(10 [ozf], 9 [%])", "oz", "wood"},
		{"built in out of nothing", "spoil_of(300 [sq in], 400 [sq in])", "%", "no more can be built in than was bought"},
		{"rows that do not match", "cut_list_area([1, 2], [3 [in]], [1 [in], 1 [in]])", "sq in", "rows"},
	})
}

func TestShopRemarks(t *testing.T) {
	assertRemark(t, "sheets_to_buy(384 [sq in], 36 [in], 3 [in], 20 [%])", "", "")
	assertRemark(t, "sheets_to_buy(384 [sq in], 36 [in], 3 [in], 20)", "", "is the spoil a percentage?")
	assertRemark(t, "sheets_to_buy(384 [sq in], 36 [in], 3 [in], 0 [%])", "", "nobody cuts with so little waste")
	assertRemark(t, "covering_area(400 [sq in], 2, 104 [%], 8)", "sq in", "is it a percentage?")
	assertRemark(t, `covering_weight(400 [sq in], 8, "tissue")`, "oz", "is it a percentage?")
	assertRemark(t, "glue_share_found(5 [oz], 6 [oz])", "%", "counted twice")
	assertRemark(t, "glue_share_found(9 [oz], 6 [oz])", "%", "missing from the list")
	assertRemark(t, "glue_share_weight(10 [oz], 9)", "oz", "is it a percentage?")
	assertRemark(t, "glassed_weight(1 [sq ft], 0.75 [oz/sq yd], 10 [%])", "oz", "less leaves dry cloth")
	assertRemark(t, "tapered_surface(20 [in], 2 [in], 3 [in])", "sq in", "take shorter bays")
	assertRemark(t, "cut_list_weight([1], [1 [in]], [1 [in]], [1 [in]], [8000 [lb/cu ft]])", "oz", "heavier than steel")
}
