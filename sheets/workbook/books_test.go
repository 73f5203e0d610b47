package workbook

import (
	"archive/zip"
	"bytes"
	"cmp"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"gusset/engine"
	"gusset/library"
)

// plover is a sheet of everything that a workbook shows: given values of all kinds, guesses, choices, steps of
// decimals and of rulers, tables, notes, charts, an outline, a picture, values that are searched for, that pieces are
// cut for and that are outside their range, chief results, a used sheet and the library.
const plover = `sheet "Sand Plover 30"
use "rack.gusset" as rack
page At a glance
  all_up   [oz, 0.1]  = sum(parts.weight) + lead       // ready to fly
  loading  [oz/sq ft] = all_up / wing_area
  balance  [in, 1/16] = sum(parts.moment) / all_up
  heaviest            = find(parts, .weight == max(parts.weight)).part
  advice              = "mind the fin when you carry the model in its box, and the tips of the " + parts["wing"].kind
  covered             = fitted and all_up < 40 [oz]
page Wing
  span      [in, 1/8]   : 30-1/2                      // tip to tip
  chord     [in]        : 5-1/4 ± 1/16
  tip       [ft in, 1/16] : 1 ft 2-1/2 in ?           // off the plan, before the tips are rounded with a sanding block, which takes a little
  sweep     [deg]       : 3 ± 1 normal ?
  share     [%]         : 30
  part_of   [%]         : 0.5
  room      [degC]      : 18
  cells     [1, 1]      : 3
  spent     [GBP, 0.05] : 12.35
  metric    [in]        : 120 mm
  late      [oz]        :
  unknown               :
  grain [one of "along", "across", ""] : "across"
  stock [one of rack.stock] : "balsa 1/16"
  skin                  : "balsa 1/16"
  pilot                 : "Ann"
  motto                 : "abcdefghijklmnopqrstuvwxyz"
  none_yet              : ""
  fitted                : yes ?
  lead      [oz]        : 0.5
  wing_area [sq in]     = span * chord
  wood      [oz, 0.01]  = rack.stock[skin].thickness * wing_area * 8 [lb/cu ft]
  mean_chord [in, 1/16] = (chord_of(wing_area, span) + chord_of(wing_area / 2, span / 2)) / 2
  other                 : "balsa 1/16"
  other_thick [in]      = thick_of(other)
  spare                 : "balsa 3/32"
  ply        [in]       = rack.stock[spare ?? skin].thickness
  cube      [cu in, 5]  = wing_area * chord
  far       [mm, 0.5]   = span
  word                  = grain == "along" ? "stiff" : "limp"
  slow      [mph]       = stall_speed(all_up, wing_area, 0.9, air_density)
  thin      [in]        = trusted(chord * 3)
formula chord_of(area [sq in], long [in]) [in] = area / long
  source "worked by hand from the definition"
formula area_of(each x [in], each y [in]) [sq in] = outline_area(x, y)
formula thick_of(name [text]) [in] = rack.stock[name].thickness
formula trusted(x [in]) [in] = x / 2
  trust x < 9 [in]  // short ones only
page Balance
  table parts // what is in it
    part    | kind   | station [in, 1/8] | estimated [oz] | weighed [oz]
    wing    | "wing" | 3-1/4             | 4.2 ± 0.2 ?    | 4.45          // with its covering, and the tubes for the rods that hold the outer panels, which came out heavier than the plan says
    motor   | "nose" | -6                | 2.3            |
    battery | "a pack of three cells in a sleeve" | = battery_at | 3.1 |
    weight [oz]      = weighed ?? estimated // what counts
    moment [oz in]   = weight * station
    double [g]       = weight * 2
    well_in_front_of_the_spar = station < -1 [in] and estimated > 1 [oz]
  table speeds
    v [mph] from 10 to 30 step 10
    lift [ozf, 0.1] = 0.1 [ozf/mph^2] * v^2
    falls = (10 [mph] / v)^9
    above = v / 1 [mph] * 100.05 - 1000.5
  table empty
    n | w [oz]
    half [oz] = w / 2
  chart "Weights" parts: weight, double, station, kind against part
  chart "Lift" speeds: lift against v
  chart "Nothing" empty: w against n
  picture "Where" parts: weight at station mark battery_at, bulkhead
  bulkhead [mm] : 50.8
  table plate
    n | x [in] | y [in]
    a | 0 | 0
    b | 4 | 0
    c | 0 | 3
  table void
    n | x [in] | y [in]
  table strip
    n | x [in] | y [in]
    a | 0 | 0
    b | 40 | 0
    c | 40 | 2
  outline "Strip" strip: y against x
  table open
    n | x [in] | y [in]
    a |   | 0
    b | 4 | 0
    c | 0 | 3
  outline "Open" open: y against x
  table floats
    part | at [in] | lift [oz]
    a | 1 | 2
    b | 2 | -1
  picture "Floats" floats: lift at at
  twice_the_plate [sq in] = area_of(plate.x, plate.y) * 2
  table bare
    part | at [in] | w [oz]
  picture "Bare" bare: w at at mark bulkhead
  end = skins["left"].finish
  table dot
    n | x [in] | y [in]
    a | 1 | 1
  outline "Dot" dot: y against x
  outline "Void" void: y against x
  table skins
    part | of | finish
    left | "balsa 3/32" | ""
    right | "balsa 1/16" |
    thick [in] = rack.stock[of].thickness
  outline "Plate" plate: y against x
  plate_area [sq in] = outline_area(plate.x, plate.y)
  adjust battery_at [in, 1/8] from -9 [in] to 9 [in] so balance = 1 [in]
  adjust curve [in] from 0 to 9 so curve^2 = span * 1 [in]
  adjust never [in] from 0 to 1 so never^2 = span * 1 [in]
  adjust idle from 0 to 9 so idle * 0 = 0
  adjust pushed [oz] from 0 [oz] to lead so pushed * 2 = all_up
  table cut
    piece | pieces | long [in] | wide [in]
    rib   | 8      | 10        | 1.5 ?
    cap   | 3      | 12        | 1
    alone = stock_needed(filter(cut, .piece == piece), .pieces, .long, .wide, 36 [in], 3 [in], 1/32 [in]) // if bought so
  shape [one of cut] : "rib"
  table bits
    piece | pieces | long [in] | wide [in]
  bit : "rib"
  bit_long [in] = bits[bit].long
  for_bits = stock_needed(bits, .pieces, .long, .wide, 36 [in], 3 [in], 1/32 [in])
  adjust reach [in] from 0 to 30 so trusted(reach) = 10 [in]
  sheets = stock_needed(cut, .pieces, .long, .wide, 36 [in], 3 [in], 1/32 [in])
  needed = sum(map(cut, .pieces * stock_needed(cut, .pieces, .long, .wide, 36 [in], 3 [in], 1/32 [in])))
  check enough = sheets <= 3
  check forward = balance < 2 [in]
  check light = all_up < 5 [oz] // for calm days
  check curved = curve < 6 [in]
  check sure_enough = spread(all_up) <= 1 [oz]
  check waiting = late > 1 [oz]
  check slim = thin < 9 [in]
  check trimmed = pushed < 9 [oz]
  rib3 : 1
  Span : 2
`

// ploverRack is the sheet that plover uses.
const ploverRack = `sheet "Rack"
table stock
  stock | thickness [in] | price [GBP]
  balsa 1/16 | 1/16 | 2 ?
  balsa 3/32 | 3/32 | 2.5
in_hand [GBP] : 20 ?
check paid = sum(stock.price) < in_hand
`

// nothingOn is a sheet in units of the metric system with nothing of which a workbook has a page or a list of its own.
const nothingOn = `page Only
  long [mm] : 300
  wide [mm] : 40
  area [cm^2] = long * wide
  loading [g/dm^2] = wing_loading(30 [g], area)
  glued : yes
  blank [one of ""] : ""
  only [one of "this"] : "this"
`

// givenOnly is a sheet of which nothing follows.
const givenOnly = "a : 1\n"

// TestBooksStay holds workbooks, cell by cell, against those that testdata/books.txt has: what each cell holds and how
// it looks, heights and widths, what may be typed, what is shown under which condition, names, pictures and paper.
// Whether a formula is right other tests say; this one says that nothing else has moved.
func TestBooksStay(t *testing.T) {
	t.Parallel()
	var got strings.Builder
	for _, sheets := range [][]string{
		{"plover.gusset", plover, "rack.gusset", ploverRack}, {"nothing.gusset", nothingOn},
		{"given.gusset", givenOnly},
	} {
		m, err := engine.Load(engine.Sources{Files: mapFiles(sheets...), Library: library.Pages()}, sheets[0])
		require.NoError(t, err)
		require.NoError(t, m.Mistakes().Err())
		src := Source{File: sheets[0], Text: []byte(sheets[1])}
		b, err := build(m, src)
		require.NoError(t, err)
		fmt.Fprintf(&got, "==== %s ====\n", sheets[0])
		writeBuilt(t, &got, b)
		data, err := b.pack(zip.Deflate)
		require.NoError(t, err)
		require.NoError(t, b.file.Close())
		writePacked(t, &got, data)
	}
	const file = "testdata/books.txt"
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got.String()), 0o600))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, strings.Split(string(want), "\n"), strings.Split(got.String(), "\n"))
}

// said returns how a look is made, such as "bold tint CFEAE2".
func (l look) said() string {
	var said []string
	add := func(is bool, word string) {
		if is {
			said = append(said, word)
		}
	}
	add(l.size != 0, fmt.Sprint("size ", l.size))
	add(l.format != "", fmt.Sprintf("%q", l.format))
	add(l.tint != "", "tint "+l.tint)
	for _, f := range []struct {
		is   bool
		word string
	}{
		{l.bold, "bold"}, {l.italic, "italic"}, {l.faint, "faint"}, {l.wrap, "wrap"}, {l.center, "center"},
		{l.right, "right"}, {l.indent, "indent"}, {l.under, "under"}, {l.box, "box"}, {l.open, "open"},
	} {
		add(f.is, f.word)
	}
	return strings.Join(said, " ")
}

// writeBuilt writes what is in a workbook that has been built and not yet packed.
func writeBuilt(t *testing.T, to *strings.Builder, b *builder) {
	looks := map[styleID]string{}
	for l, id := range b.styles {
		looks[id] = l.said()
	}
	sum := b.summary()
	fmt.Fprintf(to, "summary: %d sheets, %d cells; stays: %v; renamed: %v\n", sum.Sheets, sum.Cells, sum.Adjusted, sum.Renamed)
	for _, r := range sum.NotLive {
		fmt.Fprintf(to, "not live: %s: %s\n", r.Name, r.Text)
	}
	for _, d := range b.plan.defined {
		fmt.Fprintf(to, "name: %s %s\n", d.name, d.refersTo)
	}
	for _, sheet := range b.file.GetSheetList() {
		fmt.Fprintf(to, "-- %s --\n", sheet)
		g := b.grids[sheet]
		for row, cells := range g.cells {
			if len(cells) == 0 {
				continue
			}
			fmt.Fprintf(to, "row %d", row)
			if h := g.heights[row]; h != 0 {
				fmt.Fprintf(to, " high %g", h)
			}
			for _, m := range g.merged {
				if m.row == row {
					fmt.Fprintf(to, ", %d to %d as one", m.from, m.to)
				}
			}
			end := "\n"
			if sheet == exportedSheet { // a line of which is one value
				end = ""
			}
			to.WriteString(end)
			for _, c := range slices.SortedFunc(slices.Values(cells), func(x, y cell) int { return cmp.Compare(x.col, y.col) }) {
				fmt.Fprintf(to, "  %d: ", c.col)
				switch c.kind {
				case aNumber:
					fmt.Fprint(to, c.number)
				case aText:
					fmt.Fprintf(to, "%q", c.text)
				case anError:
					to.WriteString(c.text)
				}
				if c.formula != "" {
					fmt.Fprintf(to, " %s%s", map[bool]string{true: "{=}", false: "="}[c.array], c.formula)
				}
				fmt.Fprintf(to, " (%s)%s", looks[c.style], end)
			}
			to.WriteString("\n"[len(end):])
		}
	}
	for _, id := range slices.Sorted(maps.Keys(looks)) {
		st, err := b.file.GetStyle(int(id))
		require.NoError(t, err)
		var format, edges string
		if st.CustomNumFmt != nil {
			format = *st.CustomNumFmt
		}
		for _, edge := range st.Border {
			edges += fmt.Sprintf(" %s %s %d", edge.Type, edge.Color, edge.Style)
		}
		fmt.Fprintf(to, "look (%s): %+v %v; format %q; fill %v; edges%s; locked %v\n",
			looks[id], *st.Font, *st.Alignment, format, st.Fill.Color, edges, st.Protection.Locked)
	}
}

// writePacked writes what another reader finds in a workbook beside its cells.
func writePacked(t *testing.T, to *strings.Builder, data []byte) {
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	defer f.Close()
	props, err := f.GetDocProps()
	require.NoError(t, err)
	fmt.Fprintf(to, "properties: %+v\n", *props)
	for _, sheet := range f.GetSheetList() {
		fmt.Fprintf(to, "-- %s, beside its cells --\n", sheet)
		visible, err := f.GetSheetVisible(sheet)
		require.NoError(t, err)
		fmt.Fprint(to, "visible: ", visible, "; widths:")
		for col := 1; col <= 40; col++ {
			letters, err := excelize.ColumnNumberToName(col)
			require.NoError(t, err)
			width, err := f.GetColWidth(sheet, letters)
			require.NoError(t, err)
			shown, err := f.GetColVisible(sheet, letters)
			require.NoError(t, err)
			switch {
			case !shown:
				fmt.Fprint(to, " -")
			case width != 9.140625:
				fmt.Fprint(to, " ", width)
			}
		}
		page, err := f.GetSheetProps(sheet)
		require.NoError(t, err)
		view, err := f.GetSheetView(sheet, 0)
		require.NoError(t, err)
		fmt.Fprintf(to, "; as wide as the paper: %v; lines: %v", setTo(page.FitToPage), setTo(view.ShowGridLines))
		panes, err := f.GetPanes(sheet)
		require.NoError(t, err)
		fmt.Fprintf(to, "\npanes: %v %d %d %s\n", panes.Freeze, panes.XSplit, panes.YSplit, panes.TopLeftCell)
		layout, err := f.GetPageLayout(sheet)
		require.NoError(t, err)
		margins, err := f.GetPageMargins(sheet)
		require.NoError(t, err)
		footer, err := f.GetHeaderFooter(sheet)
		require.NoError(t, err)
		said := ""
		if footer != nil {
			said = footer.OddFooter
		}
		fmt.Fprintf(to, "paper: %d %s %d %d, margins %g %g, footer %q\n", setTo(layout.Size), setTo(layout.Orientation),
			setTo(layout.FitToWidth), setTo(layout.FitToHeight), setTo(margins.Left), setTo(margins.Top), said)
		protection, err := f.GetSheetProtection(sheet)
		require.NoError(t, err)
		fmt.Fprintf(to, "protection: %+v\n", protection)
		merged, err := f.GetMergeCells(sheet)
		require.NoError(t, err)
		fmt.Fprintf(to, "%d pieces as one, from %v\n", len(merged), merged[:min(1, len(merged))])
		rules, err := f.GetDataValidations(sheet)
		require.NoError(t, err)
		for _, dv := range rules {
			fmt.Fprintf(to, "typed in %s, or nothing %v: %s %s %s %s, else %q: %q\n",
				dv.Sqref, dv.AllowBlank, dv.Type, dv.Operator, dv.Formula1, dv.Formula2, *dv.ErrorTitle, *dv.Error)
		}
		writeConditions(t, to, f, sheet)
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	for _, part := range z.File {
		fmt.Fprintf(to, "part %s\n", part.Name)
		if !strings.HasPrefix(part.Name, "xl/charts/") && !strings.HasPrefix(part.Name, "xl/drawings/drawing") {
			continue
		}
		r, err := part.Open()
		require.NoError(t, err)
		writeElements(t, to, r)
	}
}

// setTo returns what a setting is, or nothing where it has been left as it is.
func setTo[T any](setting *T) (value T) {
	if setting != nil {
		value = *setting
	}
	return value
}

// writeConditions writes how cells look under which conditions.
func writeConditions(t *testing.T, to *strings.Builder, f *excelize.File, sheet string) {
	rules, err := f.GetConditionalFormats(sheet)
	require.NoError(t, err)
	for _, area := range slices.Sorted(maps.Keys(rules)) {
		for _, rule := range rules[area] {
			fmt.Fprintf(to, "%s where %s:", area, rule.Criteria)
			st := f.Styles.Dxfs.Dxfs[*rule.Format]
			if st.NumFmt != nil {
				fmt.Fprintf(to, " %q", st.NumFmt.FormatCode)
			}
			if st.Fill != nil {
				fmt.Fprintf(to, " tint %s", st.Fill.PatternFill.BgColor.RGB)
			}
			if st.Font != nil {
				to.WriteString(" bold")
			}
			fmt.Fprintf(to, ", and no more: %v\n", rule.StopIfTrue)
		}
	}
}

// shownOfCharts are the elements of a chart, and of where it is, that are not the same in every chart.
var shownOfCharts = map[string]bool{
	"f": true, "t": true, "symbol": true, "size": true, "srgbClr": true, "noFill": true, "min": true, "max": true,
	"majorUnit": true, "majorGridlines": true, "varyColors": true, "legendPos": true, "ln": true, "rPr": true,
	"col": true, "row": true, "colOff": true, "rowOff": true, "ext": true,
}

// writeElements writes them.
func writeElements(t *testing.T, to *strings.Builder, r io.Reader) {
	around := []string{}
	d := xml.NewDecoder(r)
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		require.NoError(t, err)
		is := len(around) > 0 && shownOfCharts[around[len(around)-1]]
		switch token := token.(type) {
		case xml.StartElement:
			around = append(around, token.Name.Local)
			if !shownOfCharts[token.Name.Local] {
				continue
			}
			fmt.Fprintf(to, "  %s", strings.Join(around, "."))
			for _, a := range token.Attr {
				if a.Name.Local == "val" || a.Name.Local == "w" || a.Name.Local == "sz" || len(a.Name.Local) == 2 {
					fmt.Fprintf(to, " %s", a.Value)
				}
			}
			to.WriteString("\n")
		case xml.EndElement:
			around = around[:len(around)-1]
		case xml.CharData:
			if is {
				fmt.Fprintf(to, "    %s\n", token)
			}
		}
	}
}
