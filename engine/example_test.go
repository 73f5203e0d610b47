package engine_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"sync"
	"testing/fstest"
	"time"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/text"
	"gusset/units"
)

// A project is a folder of sheets. Here it is made of text; os.DirFS or an os.Root gives one on disk.
var project = fstest.MapFS{
	"rack.gusset": {Data: []byte(`
page Rack
  table stock
    stock           | thickness [in] | density [lb/cu ft]
    balsa 1/16      | 1/16           | 8
    balsa 3/32      | 3/32           | 8
`)},
	"sparrow.gusset": {Data: []byte(`sheet "Barn Sparrow"
use "rack.gusset"

page Wing
  span        [in, 1/8]   : 36            // tip to tip, on the bench
  chord       [in, 1/16]  : 6
  rib_stock               : "balsa 1/16"
  ribs                    : 13
  rib_area    [sq in]     : 4
  area        [sq in]     = span * chord
  rib_weight  [oz, 0.01]  = ribs * rib_area * rack.stock[rib_stock].thickness * rack.stock[rib_stock].density

page Flying
  all_up      [oz, 0.1]        : 15
  loading     [oz/sq ft, 0.1]  = wing_loading(all_up, area)  // all of it, ready to fly
  check gentle                 = loading < 12 [oz/sq ft]
`)},
}

// open loads a sheet of the project beside the library.
func open(path string) *engine.Model {
	m, err := engine.Load(engine.Sources{Files: project, Library: library.Pages()}, path)
	if err != nil {
		panic(err)
	}
	return m
}

func ExampleLoad() {
	m, err := engine.Load(engine.Sources{Files: project, Library: library.Pages()}, "sparrow.gusset")
	if err != nil {
		fmt.Println(err)
		return
	}
	area, err := m.Value("area")
	fmt.Println(m.Title(), "has a wing of", area.Quantity(), err)
	_, err = engine.Load(engine.Sources{Files: project}, "robin.gusset")
	fmt.Println(errors.Is(err, fs.ErrNotExist))
	_, err = engine.Load(engine.Sources{}, "robin.gusset") // no files at all
	fmt.Println(errors.Is(err, fs.ErrInvalid))
	// Output:
	// Barn Sparrow has a wing of 216 sq in <nil>
	// true
	// true
}

func ExampleModel_Value() {
	m := open("sparrow.gusset")
	for _, name := range []string{"loading", "rib_stock", "gentle", `rack.stock["balsa 3/32"].thickness`} {
		v, err := m.Value(name)
		fmt.Println(name, "is", v.Quantity(), err)
	}
	v, _ := m.Value("rib_weight")
	fmt.Printf("%s on the page, %.6f %s at full precision\n", v.Quantity(), v.Number, v.Unit)
	_, err := m.Value("lodaing")
	fmt.Println(err)
	// Output:
	// loading is 10.0 oz/sq ft <nil>
	// rib_stock is balsa 1/16 <nil>
	// gentle is yes <nil>
	// rack.stock["balsa 3/32"].thickness is 0.09375 in <nil>
	// 0.24 oz on the page, 0.240741 oz at full precision
	// unknown name lodaing; is it loading? It is set on line 15
}

// A given value may say how far off it may be. That belongs to the value: another one says it anew.
func ExampleModel_Value_tolerance() {
	m := open("sparrow.gusset")
	m.Set("span", "36 ± 1/8")
	v, _ := m.Value("span")
	fmt.Printf("%s %s, %s, sd %.4f in\n", v.Quantity(), v.Tolerance, v.Off.Kind, v.Off.SD()/v.Unit.Factor())
	m.Set("all_up", "15 ± 5 % sd")
	v, _ = m.Value("all_up")
	fmt.Printf("%s %s, sd %.4f oz\n", v.Quantity(), v.Tolerance, v.Off.SD()/v.Unit.Factor())
	m.Set("span", "37")
	v, _ = m.Value("span")
	fmt.Println(v.Quantity(), v.Off == nil)
	// Output:
	// 36 in ± 1/8 in, rectangular, sd 0.0722 in
	// 15.0 oz ± 5 % sd, sd 0.7500 oz
	// 37 in true
}

// A new value is typed as it would stand in the sheet. Only what depends on it is worked out again.
func ExampleModel_Set() {
	m := open("sparrow.gusset")
	show := func() {
		ribs, _ := m.Value("rib_weight")
		loading, _ := m.Value("loading")
		gentle, _ := m.Cell("gentle")
		fmt.Printf("ribs %s, loading %s, gentle %t\n", ribs.Quantity(), loading.Quantity(),
			gentle.State() == engine.CheckHolds)
	}
	show()
	for name, value := range map[string]string{"rib_stock": "balsa 3/32", "chord": "5-1/2", "all_up": "1 lb 4 oz"} {
		if err := m.Set(name, value); err != nil {
			fmt.Println(err)
		}
	}
	show()
	fmt.Println(m.Set("all_up", "6 N"))
	fmt.Println(m.Set("loading", "9"))
	// Output:
	// ribs 0.24 oz, loading 10.0 oz/sq ft, gentle true
	// ribs 0.36 oz, loading 14.5 oz/sq ft, gentle false
	// all_up: 6 N is a force, but [oz] is a mass
	// loading is worked out, not given; set what it is worked out from: all_up, span and chord
}

// SetNumber is for a program that tries many values. The number is in the unit of the cell.
func ExampleModel_SetNumber() {
	m := open("sparrow.gusset")
	for _, chord := range []float64{5, 6, 7} {
		if err := m.SetNumber("chord", chord); err != nil {
			fmt.Println(err)
		}
		v, _ := m.Value("loading")
		fmt.Printf("%.0f in: %.2f %s\n", chord, v.Number, v.Unit)
	}
	// Output:
	// 5 in: 12.00 oz/sq ft
	// 6 in: 10.00 oz/sq ft
	// 7 in: 8.57 oz/sq ft
}

// A value taken away leaves what needs it waiting. That is no mistake.
func ExampleModel_Set_waiting() {
	m := open("sparrow.gusset")
	fmt.Println(m.Set("span", ""))
	loading, _ := m.Value("loading")
	fmt.Println(loading.Status == engine.Waits, loading.Reason)
	gentle, _ := m.Cell("gentle")
	fmt.Println(gentle.State() == engine.CheckWaits)
	fmt.Println(m.Problems().Err())
	// Output:
	// <nil>
	// true waits for span
	// true
	// <nil>
}

// Each user of a program has values of their own: a fork of what was loaded once. They may work at the same time.
func ExampleModel_Fork() {
	sheet := open("sparrow.gusset")
	chords := []string{"5", "5-1/2", "6-1/2"}
	loadings := make([]string, len(chords))
	var users sync.WaitGroup
	for i, chord := range chords {
		users.Go(func() {
			mine := sheet.Fork()
			if err := mine.Set("chord", chord); err != nil {
				panic(err)
			}
			v, _ := mine.Value("loading")
			loadings[i] = v.Quantity()
		})
	}
	users.Wait()
	as, _ := sheet.Value("loading")
	fmt.Println(strings.Join(loadings, ", "), "- and still", as.Quantity())
	// Output:
	// 12.0 oz/sq ft, 10.9 oz/sq ft, 9.2 oz/sq ft - and still 10.0 oz/sq ft
}

// A fork for one request works as long as the request does. What came of it is kept with a context of its own.
func ExampleModel_ForkContext() {
	request, gone := context.WithCancel(context.Background())
	m := open("sparrow.gusset").ForkContext(request)
	fmt.Println(m.Set("chord", "5"))
	gone()
	fmt.Println(m.Set("chord", "7"))
	kept := m.ForkContext(context.Background())
	chord, err := kept.Value("chord")
	fmt.Println(chord.Quantity(), err)
	fmt.Println(kept.Set("chord", "7"))
	// Output:
	// <nil>
	// context canceled
	// 5 in <nil>
	// <nil>
}

// A stranger's sheet may be held to less than what is built in.
func ExampleLoadContext() {
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	src := engine.Sources{
		Files: project, Library: library.Pages(), Limits: engine.Limits{Sheets: 1, Bytes: 10_000, Steps: 1e6},
	}
	m, err := engine.LoadContext(ctx, src, "sparrow.gusset")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range m.Problems() {
		fmt.Println(p.Msg)
	}
	// Output:
	// a project may hold 1 sheets at most
}

// A number that is tried with many values is looked up once.
func ExampleModel_Handle() {
	m := open("sparrow.gusset")
	chord, err := m.Handle("chord")
	if err != nil {
		panic(err)
	}
	loading, err := m.Handle("loading")
	if err != nil {
		panic(err)
	}
	for c := 5.0; c < 7; c += 0.5 {
		if err := chord.Set(c); err != nil {
			fmt.Println(err)
		}
		fmt.Printf("%.1f %s: %.2f %s\n", c, chord.Unit(), loading.Value(), loading.Unit())
	}
	// Output:
	// 5.0 in: 12.00 oz/sq ft
	// 5.5 in: 10.91 oz/sq ft
	// 6.0 in: 10.00 oz/sq ft
	// 6.5 in: 9.23 oz/sq ft
}

// A program acts on the kind of an error, and shows its text.
func ExampleError() {
	m := open("sparrow.gusset")
	for _, s := range [][2]string{{"chrod", "6"}, {"loading", "9"}, {"chord", "6 oz"}, {"chord", "six"}} {
		err := m.Set(s[0], s[1])
		var e *engine.Error
		switch {
		case errors.Is(err, engine.ErrNoSuchName):
			fmt.Print("ask again: ")
		case errors.Is(err, engine.ErrNotGiven):
			fmt.Print("show it grey: ")
		case errors.As(err, &e):
			fmt.Printf("mark the field %s: ", e.Name)
		}
		fmt.Println(err)
	}
	// Output:
	// ask again: unknown name chrod; is it chord? It is set on line 6
	// show it grey: loading is worked out, not given; set what it is worked out from: all_up, span and chord
	// mark the field chord: chord: 6 oz is a mass, but [in] is a length
	// mark the field chord: chord: six is not a number
}

// A value that was tried is written into the text of the sheet that it stands in; every other byte stays.
func ExampleModel_Target() {
	m := open("sparrow.gusset")
	target, err := m.Target(engine.Setting{Name: `rack.stock["balsa 3/32"].density`, Value: "9 lb/cu ft"})
	if err != nil {
		fmt.Println(err)
		return
	}
	data, err := fs.ReadFile(project, target.Sheet)
	if err != nil {
		fmt.Println(err)
		return
	}
	file, _ := text.Parse(text.NewSource(target.Sheet, data))
	if file, err = target.Write(file); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s, line %d:\n%s", target.Sheet, target.Line, file.Source.Text())
	// Output:
	// rack.gusset, line 6:
	//
	// page Rack
	//   table stock
	//     stock           | thickness [in] | density [lb/cu ft]
	//     balsa 1/16      | 1/16           | 8
	//     balsa 3/32      | 3/32           | 9 lb/cu ft
}

// What is read goes out as JSON, numbers that are none as null.
func ExampleValue_json() {
	m := open("sparrow.gusset")
	if err := m.Set("span", ""); err != nil {
		fmt.Println(err)
	}
	v, _ := m.Value("area")
	var out struct {
		Status, Reason, Unit string
		Number               *float64
	}
	data, err := json.Marshal(v)
	fmt.Println(err, json.Unmarshal(data, &out))
	fmt.Println(out.Status, out.Reason, out.Number == nil, out.Unit)
	// Output:
	// <nil> <nil>
	// waits waits for span true sq in
}

func ExampleModel_Table() {
	stock, err := open("sparrow.gusset").Table("rack.stock")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, row := range stock.Rows {
		fmt.Println(row.Name, row.Values[1].Quantity())
	}
	// Output:
	// balsa 1/16 0.0625 in
	// balsa 3/32 0.09375 in
}

// Why follows a number down to what was measured.
func ExampleModel_Why() {
	why, err := open("sparrow.gusset").Why("loading")
	if err != nil {
		fmt.Println(err)
		return
	}
	var tell func(r *engine.Reason, depth int)
	tell = func(r *engine.Reason, depth int) {
		line := strings.Repeat("  ", depth) + r.Name + " " + r.Value.Quantity()
		if r.Formula != "" {
			line += " = " + r.Formula
		}
		fmt.Println(line)
		for _, below := range r.Rests {
			tell(below, depth+1)
		}
	}
	tell(why, 0)
	fmt.Println("by", why.Uses[0].Signature)
	// Output:
	// loading 10.0 oz/sq ft = wing_loading(all_up, area)
	//   all_up 15.0 oz
	//   area 216 sq in = span * chord
	//     span 36 in
	//     chord 6 in
	// by wing_loading(weight [oz], area [sq in]) [oz/sq ft]
}

// What is wrong inside a sheet is no error of Load's: the rest of it is worked out all the same.
func ExampleModel_Problems() {
	files := fstest.MapFS{"wren.gusset": {Data: []byte(`
span   [in]     : 30
chord  [in]     : 5
area   [sq in]  = span + 2 [oz]
aspect          = span / chord
`)}}
	m, err := engine.Load(engine.Sources{Files: files}, "wren.gusset")
	fmt.Println(err)
	for _, p := range m.Problems() {
		fmt.Println(p.Msg)
	}
	aspect, _ := m.Value("aspect")
	fmt.Println("aspect", aspect.Text)
	// Output:
	// <nil>
	// cannot add a mass to a length
	// aspect 6
}

// Pages gives everything in the sheet's own order, for a page, a list or a file of one's own.
func ExampleModel_Pages() {
	type cell struct {
		Name string `json:"name"`
		Kind string `json:"kind"`
		Text string `json:"text"`
		Unit string `json:"unit"`
	}
	pages := map[string][]cell{}
	for _, p := range open("sparrow.gusset").Pages() {
		for _, it := range p.Items {
			if c := it.Cell; c != nil && c.IsNumber() {
				pages[p.Name] = append(pages[p.Name], cell{c.Name, c.Kind.String(), c.Text, c.Unit.String()})
			}
		}
	}
	out, _ := json.MarshalIndent(pages["Flying"], "", "  ")
	fmt.Println(string(out))
	fmt.Println(len(pages["Wing"]), "numbers on the page Wing")
	// Output:
	// [
	//   {
	//     "name": "all_up",
	//     "kind": "given",
	//     "text": "15.0",
	//     "unit": "oz"
	//   },
	//   {
	//     "name": "loading",
	//     "kind": "worked",
	//     "text": "10.0",
	//     "unit": "oz/sq ft"
	//   }
	// ]
	// 6 numbers on the page Wing
}

// A table is read by rows, or one entry at a time.
func ExampleModel_Pages_table() {
	for _, p := range open("rack.gusset").Pages() {
		for _, it := range p.Items {
			for _, row := range it.Table.Rows {
				fmt.Println(row.Name, row.Values[1].Quantity(), row.Values[2].Quantity())
			}
		}
	}
	// Output:
	// balsa 1/16 0.0625 in 8 lb/cu ft
	// balsa 3/32 0.09375 in 8 lb/cu ft
}

// The cautions of the formulas that a sheet calls go with its numbers.
func ExampleModel_Cautions() {
	files := fstest.MapFS{"pack.gusset": {Data: []byte(`
cells       : 3
full   [V]  = pack_voltage_full(cells)
`)}}
	m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, "pack.gusset")
	if err != nil {
		fmt.Println(err)
		return
	}
	full, _ := m.Value("full")
	fmt.Println(full.Quantity())
	shorter := strings.NewReplacer("; ", ";\n", ". ", ".\n") // the lines are
	for _, c := range m.Cautions() {
		fmt.Println(shorter.Replace(c))
	}
	// Output:
	// 12.6 V
	// Lithium batteries: charge them attended, on a surface that does not burn, with the right charger and cell count;
	// never use a swollen or damaged pack.
	// Follow the maker's and your local rules.
}

// withVariants is a sheet of the project with variants.
const withVariants = `
use "rack.gusset"
span      [in]            : 36
chord     [in]            : 6
rib_stock                 : "balsa 1/16"
area      [sq in]         = span * chord
all_up    [oz, 0.1]       = 12 [oz] + area * rack.stock[rib_stock].thickness * rack.stock[rib_stock].density / 4
loading   [oz/sq ft, 0.1] = wing_loading(all_up, area)

variant "as drawn"
  rib_stock : "balsa 3/32"
variant "as drawn, longer" from "as drawn"
  span : 40
`

func ExampleModel_UseVariant() {
	files := fstest.MapFS{"rack.gusset": project["rack.gusset"], "martin.gusset": {Data: []byte(withVariants)}}
	m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, "martin.gusset")
	if err != nil {
		panic(err)
	}
	for _, v := range m.Variants() {
		if err := m.UseVariant(v.Name); err != nil {
			panic(err)
		}
		loading, _ := m.Value("loading")
		fmt.Printf("%s: %s, setting %d\n", m.Variant(), loading.Quantity(), len(v.Settings))
	}
	fmt.Println(m.UseVariant("as drwan"))
	fmt.Println(m.UseVariant("")) // the sheet as it stands
	// Output:
	// as drawn: 8.3 oz/sq ft, setting 1
	// as drawn, longer: 7.5 oz/sq ft, setting 1
	// martin.gusset has no variant "as drwan"; is it "as drawn"?
	// <nil>
}

func ExampleCompare() {
	files := fstest.MapFS{"rack.gusset": project["rack.gusset"], "martin.gusset": {Data: []byte(withVariants)}}
	m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, "martin.gusset")
	if err != nil {
		panic(err)
	}
	asItStands := m.Entries()
	if err := m.UseVariant("as drawn, longer"); err != nil {
		panic(err)
	}
	for _, r := range engine.Compare(asItStands, m.Entries()).Rows {
		if is := r.Values[1]; r.Differs {
			fmt.Println(strings.TrimSpace(fmt.Sprint(r.Name, ": ", r.Value.Quantity(), " -> ", is.Quantity(), "  ",
				is.ChangeText, "  ", is.PercentText)))
		}
	}
	// Output:
	// span: 36 in -> 40 in  +4  +11.1 %
	// rib_stock: balsa 1/16 -> balsa 3/32
	// area: 216 sq in -> 240 sq in  +24  +11.1 %
	// all_up: 12.3 oz -> 12.4 oz  +0.1  +1.4 %
	// loading: 8.2 oz/sq ft -> 7.5 oz/sq ft  -0.7  -8.8 %
}

// Ripple sets values, and tells what that moved.
func ExampleModel_Ripple() {
	r, err := open("sparrow.gusset").Ripple(engine.Setting{Name: `rack.stock["balsa 1/16"].thickness`, Value: "3/32"})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, move := range r.Moves {
		fmt.Println(move.Name, move.Before.Quantity(), "->", move.Quantity(), " ", move.ChangeText)
	}
	fmt.Println(r.Again, "of", r.Values, "worked out again")
	// Output:
	// rib_weight 0.24 oz -> 0.36 oz   +0.12
	// 1 of 10 worked out again
}

func ExampleModel_EntriesOf() {
	m := open("sparrow.gusset")
	list, err := m.EntriesOf("rack.stock.thickness")
	for _, e := range list {
		fmt.Println(e.Name, e.Quantity(), err)
	}
	// Output:
	// rack.stock["balsa 1/16"].thickness 0.0625 in <nil>
	// rack.stock["balsa 3/32"].thickness 0.09375 in <nil>
}

func ExampleModel_Formulas() {
	m := open("sparrow.gusset")
	loading, _ := m.Cell("loading")
	e := m.Formulas()(loading.Place)
	fmt.Println(e.Op == engine.OpCall, e.Formula.Name, e.Formula.Params, len(e.Args))
	fmt.Println(e.Args[0].Op == engine.OpSlot, e.Dim == units.AreaDensity)
	fmt.Println(e.Formula.Body.Op == engine.OpDiv)
	// Output:
	// true wing_loading [weight area] 2
	// true true
	// true
}

// How pieces are cut from stock: what comes out of which sheet, and where it lies on it.
func ExampleCutPlans() {
	files := fstest.MapFS{"cut.gusset": {Data: []byte(`
table pieces
  piece | long [in] | wide [in] | many
  rib   | 9         | 1-1/2     | 4
  side  | 24        | 3         | 1
sheets [1, 1] = stock_needed(pieces, .many, .long, .wide, 36 [in], 3 [in], 1/32 [in], no)
`)}}
	m, err := engine.Load(engine.Sources{Files: files}, "cut.gusset")
	if err != nil {
		fmt.Println(err)
		return
	}
	for plan := range engine.CutPlans(m) {
		for i, sheet := range plan.Sheets {
			for _, p := range sheet.Pieces {
				fmt.Println(plan.Name, i+1, p.Piece, p.Number, "at", p.X.Quantity(), "and", p.Y.Quantity())
			}
		}
	}
	// Output:
	// sheets 1 side 1 at 0 in and 0 in
	// sheets 1 rib 1 at 24-1/32 in and 0 in
	// sheets 2 rib 2 at 0 in and 0 in
	// sheets 2 rib 3 at 9-1/32 in and 0 in
	// sheets 2 rib 4 at 18-1/16 in and 0 in
}

// The library by itself: its formulas, and values of its tables.
func ExampleLoadLibrary() {
	m := engine.LoadLibrary(engine.Sources{Library: library.Pages()})
	wood, err := m.Value(`woods["basswood"].density`)
	fmt.Println(wood.Quantity(), err)
	for _, page := range m.Library() {
		for _, section := range page.Sections {
			for _, f := range section.Formulas {
				if f.Name == "wing_loading" {
					fmt.Println(page.Title, "has", f.Signature)
				}
			}
		}
	}
	// Output:
	// 25.87 lb/cu ft <nil>
	// Wing has wing_loading(weight [oz], area [sq in]) [oz/sq ft]
}

func ExampleModel_Sheets() {
	for _, s := range open("sparrow.gusset").Sheets() {
		fmt.Printf("%q %s\n", s.Alias, s.Path)
	}
	// Output:
	// "" sparrow.gusset
	// "rack" rack.gusset
}

func ExampleChoose() {
	m := open("sparrow.gusset")
	answer, err := engine.Choose(context.Background(), m, engine.ChooseQuestion{
		Vary:  []string{"chord: 5, 5-1/2, 6", "span from 30 to 40 step 2"},
		Goals: []engine.ChooseGoal{{Name: "area"}},
		Keep:  2,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(answer.Hold, "of", answer.Tried, "hold")
	for _, c := range answer.Best {
		fmt.Println(c.Goals[0].Quantity(), c.Settings, c.Tightest)
	}
	for _, r := range answer.RuledOut {
		fmt.Println(r.Check, "rules out", r.Count)
	}
	// Output:
	// 11 of 18 hold
	// 187 sq in [{chord 5-1/2} {span 34}] gentle
	// 190 sq in [{chord 5} {span 38}] gentle
	// gentle rules out 7
}

// lark is a sheet in which given values say how far off they may be.
func lark() *engine.Model {
	sheet := `
table parts
  part    | station [in] | weight [oz]
  nose    | -6 ± 1/16    | 5.6 ± 0.1
  wing    | 3.25 ± 1/16  | 7.4 ± 5 %
  tail    | 29 ± 1/8     | 1.1 ± 20 % sd
moment [oz in]  = sum(parts.weight * parts.station)
cg [in, 0.01]   = moment / sum(parts.weight)
check far_enough_ahead = cg < 2 [in]
`
	files := fstest.MapFS{"lark.gusset": {Data: []byte(sheet)}}
	m, err := engine.Load(engine.Sources{Files: files}, "lark.gusset")
	if err != nil {
		panic(err)
	}
	return m
}

// By how much a result moves with what was measured: here in inches, for each ounce.
func ExampleSlopesOf() {
	slopes, err := engine.SlopesOf(lark(), "cg", `parts["nose"].weight`, `parts["tail"].weight`)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range slopes {
		fmt.Printf("%s %+.2f\n", s.Name, s.Up)
	}
	// Output:
	// parts["nose"].weight -0.54
	// parts["tail"].weight +1.94
}

// How far off a result may be, without drawing anything, and which values make that.
func ExampleDoubtOf() {
	m := lark()
	cg, err := m.Value("cg")
	if err != nil {
		fmt.Println(err)
		return
	}
	doubt := engine.DoubtOf(m, cg.Place)
	fmt.Println(cg.Quantity(), "±", doubt.By.Quantity())
	for _, s := range doubt.Shares[:2] {
		fmt.Printf("%.1f %% from %s\n", 100*s.Share, s.Name)
	}
	// Output:
	// 1.59 in ± 0.84 in
	// 98.8 % from parts["tail"].weight
	// 0.5 % from parts["nose"].weight
}

// What the give or take of measured values does to a result.
func ExampleOddsOf() {
	m := lark()
	odds, err := engine.OddsOf(context.Background(), m, engine.OddsOptions{Names: []string{"cg", "far_enough_ahead"}})
	if err != nil {
		panic(err)
	}
	cg := odds.Results[0]
	fmt.Printf("cg is %s; 95 of 100 builds have it between %.1f and %.1f in\n", cg.Quantity(), cg.Low, cg.High)
	fmt.Printf("%s makes %.0f %% of the doubt\n", cg.Shares[0].Name, 100*cg.Shares[0].Share)
	fmt.Printf("it is below 2 in in %.0f of 100\n", 100*odds.Checks[0].Holds)
	// Output:
	// cg is 1.59 in; 95 of 100 builds have it between 0.7 and 2.4 in
	// parts["tail"].weight makes 99 % of the doubt
	// it is below 2 in in 84 of 100
}
