package engine

import (
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"gusset/engine/explain"
	"gusset/engine/program"
	"gusset/sheets/text"
)

// mostFuzzed is how long a sheet may be, in bytes, that the laws are tried on.
const mostFuzzed = 400

// fuzzedLibrary is a library in which there is one of each thing.
var fuzzedLibrary = fstest.MapFS{"wing.gusset": {Data: []byte("formula wing_loading(weight [oz], area [sq ft]) " +
	"[oz/sq ft] = weight / area\n  needs area > 0 // a wing has an area\n  trust weight > 1 [oz]\n" +
	"  caution \"fly with care\"\n" +
	"standard_gravity [m/s^2] : 9.80665\ntable woods\n  wood | density [lb/cu ft]\n  balsa | 8\n  spruce | 27\n")}}

// used is a sheet that fuzzed sheets can use.
const used = "rack_width [in] : 3\ntable stock\n  stock | thickness [in] | price [GBP]\n  balsa | 1/16 | 1.20\n" +
	"  ply | 1/32 |\n"

func loadFuzzed(t *testing.T, sheet []byte) *Model {
	t.Helper()
	files := fstest.MapFS{"x.gusset": {Data: sheet}, "rack.gusset": {Data: []byte(used)}}
	m, err := Load(program.Sources{Files: files, Library: fuzzedLibrary}, "x.gusset")
	require.NoError(t, err)
	return m
}

// account writes out everything that a model says, values to the last bit.
func account(m *Model) (values, messages string) {
	var b strings.Builder
	note := func(name string, v explain.Value) {
		if v.IsText && v.Status == explain.OK {
			v.Number = 0 // what stands for a text inside the engine differs from load to load
		}
		fmt.Fprintf(&b, "%s = %x %q %s %s\n", name, v.Number, v.Quantity(), statusName(v.Status), v.Reason)
	}
	for _, p := range m.Pages() {
		for _, it := range p.Items {
			switch {
			case it.Cell != nil:
				note(it.Cell.Name, it.Cell.Value)
			case it.Table != nil:
				for _, r := range it.Table.Rows {
					for i, v := range r.Values {
						note(fmt.Sprintf("%s[%q].%s", it.Table.Name, r.Name, it.Table.Columns[i].Name), v)
					}
				}
			}
		}
	}
	return b.String(), m.Problems().Error() + strings.Join(m.Cautions(), "\n")
}

// typedAgain is a given number as it may be typed, with how far off it may be. Of a value in % that has no unit: it
// could be read as a share of the value.
func typedAgain(v explain.Value) string {
	off := v.Tolerance
	if v.Unit.String() == "%" {
		off = strings.Replace(off, " %", "", 1)
	}
	return strings.TrimSpace(v.Quantity() + " " + off)
}

// checkSound fails where a value that counts as worked out is no number, and where a message points outside its sheet.
func checkSound(t *testing.T, m *Model) {
	t.Helper()
	e := explain.New(m.st)
	for s := range m.st.Slots {
		v := e.ViewValue(int32(s))
		if v.Status == explain.OK && (math.IsNaN(v.Number) || math.IsInf(v.Number, 0)) {
			t.Fatalf("%s is %v, and counts as worked out", m.st.SlotName(int32(s)), v.Number)
		}
		if v.Status != explain.OK && v.Reason == "" {
			t.Fatalf("%s is %s without a reason", m.st.SlotName(int32(s)), statusName(v.Status))
		}
	}
	for _, d := range m.Problems() {
		if d.Source == nil || d.Span.Start < 0 || d.Span.Start > d.Span.End || int(d.Span.End) > len(d.Source.Text()) {
			t.Fatalf("message outside its sheet: %+v", d)
		}
		if d.Msg == "" || d.Code == "" {
			t.Fatalf("message without words: %+v", d)
		}
	}
}

// checkAsked explains every name of the sheet, and asks what else walks formulas, those with mistakes too.
func checkAsked(t *testing.T, m *Model) {
	t.Helper()
	Givens(m)
	if _, err := AsData(m); err != nil && program.KindOf(err) != program.ErrLimit {
		require.ErrorIs(t, err, program.ErrUnread)
	}
	for name, r := range m.st.Root.Names {
		if r.Kind != program.CellRef {
			continue
		}
		_, err := m.Why(name)
		require.NoError(t, err)
	}
}

// checkVariants goes through the variants of a sheet, in both directions. Each is the same whatever came before, and
// back in the sheet as it stands everything is as it was.
func checkVariants(t *testing.T, m *Model) {
	t.Helper()
	values, messages := account(m)
	seen := map[string]string{}
	all := m.Variants()
	for i := range 2 * len(all) {
		name := all[min(i, 2*len(all)-1-i)].Name
		require.NoError(t, m.UseVariant(name))
		checkSound(t, m)
		is, _ := account(m)
		if was, known := seen[name]; known {
			require.Equal(t, was, is, name)
		}
		seen[name] = is
	}
	require.NoError(t, m.UseVariant(""))
	valuesAgain, messagesAgain := account(m)
	require.Equal(t, values, valuesAgain, "back in the sheet")
	require.Equal(t, messages, messagesAgain, "back in the sheet")
}

// FuzzLoad holds these laws: no sheet makes the engine panic, whatever it is asked; what counts as worked out is a number; every message
// points into its sheet; loading twice gives the same values and messages; going through its variants changes nothing;
// the tidy form of a sheet has its values.
//
// Sheets and library are small, so that very many can be tried.
func FuzzLoad(f *testing.F) {
	minimizeBriefly()
	names, err := filepath.Glob("../testdata/errors/*.txtar")
	require.NoError(f, err)
	for _, name := range names {
		data, err := os.ReadFile(name)
		require.NoError(f, err)
		for i, sheet := range cases(string(data)) {
			if i%16 == 1 && len(sheet) <= mostFuzzed/2 {
				f.Add([]byte(sheet))
			}
		}
	}
	for _, seed := range fuzzSeeds {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, sheet []byte) {
		if len(sheet) > mostFuzzed {
			return
		}
		m := loadFuzzed(t, sheet)
		checkSound(t, m)
		checkAsked(t, m)
		values, messages := account(m)
		valuesAgain, messagesAgain := account(loadFuzzed(t, sheet))
		require.Equal(t, values, valuesAgain, "loading twice")
		require.Equal(t, messages, messagesAgain, "loading twice")
		checkVariants(t, m)
		file, diags := text.Parse(text.NewSource("x.gusset", sheet))
		if diags.Err() != nil {
			return
		}
		layout := text.Format(file)
		if _, diags := text.Parse(text.NewSource("x.gusset", layout)); diags.Err() != nil {
			return // the tests of text see to its own laws
		}
		tidied, _ := account(loadFuzzed(t, layout))
		require.Equal(t, values, tidied, "tidied")
	})
}

// cases cuts an archive of sheets at the lines that name them.
func cases(data string) []string {
	var all []string
	for _, part := range strings.Split("\n"+data, "\n-- ") {
		if _, body, ok := strings.Cut(part, " --\n"); ok {
			part = body
		}
		all = append(all, part)
	}
	return all
}

var fuzzSeeds = []string{
	"a [in] : 5 kg\nb :\nc = b * 2\nk : \"p\"\ntable t\n  n | x\n  p | 1\n  q |\nd = t[k].x\nvariant \"v\"\n  a : 3\n" +
		"  b : 4\n  t[\"q\"].x : 5\nvariant \"w\" from \"v\"\n  b : \"x\"\n  k : \"q\"\n  a : 3 kg\n",
	"use \"rack.gusset\"\np [GBP] = rack.stock[\"ply\"].price\nadjust x from 0 to 10 so x = rack.rack_width / 1 [in]\n" +
		"variant \"v\" from \"w\"\n  rack.stock[\"ply\"].price : 4\nvariant \"w\" from \"v\"\n  rack.rack_width : 30\n" +
		"  p : 3\n",
	"table parts\n  part | weight [o]\n  tail | 1.1\nw [oz] = parts.weight\n",
	"blank :\ntable t\n  n | w\n  a | 1\n  v = w * blank\ns = sum(t, .v * 2) + mean(t, .w) + interpolate(1, t.w, t.v)\n",
	"kerf [in] : 1/32\ntable t\n  n | p | l [in]\n  a | 2 | 9\n  b | 3 | = kerf * 4\n  v = p < 3\n" +
		"y = stock_needed(filter(t, .p > 0), .p, .l, 1 [in], 36 [in], 3 [in], kerf, .v)\n",
	"use \"rack.gusset\"\nw [in] = rack.rack_width * 2\np [GBP] = rack.stock[\"ply\"].price ?? 1 [GBP]\n",
	"a : 1/4\nb [in] = a * 3 [in]\ncheck c = b < 1 [in]\n",
	"x :\ny = x ?? 2\nz = yes ? x : \"t\"\nw = no and x\n",
	"adjust x from 0 to 10 so x * x = 2\ny = x + 1\n",
	"adjust x from y to 10 so x = 3\ny = x - 1\n",
	"adjust x from 0 to 3 so x + y = 3\nadjust y from 0 to 3 so x - y = 1\n",
	"table t\n  n | w [g] | k\n  a | 1 | \"p\"\n  b | = sum(t.v) | \"q\"\n  c | | \"p\"\n  v [g] = w ?? 2 [g]\n" +
		"s [g] = sum(filter(t, .k == \"p\"), .v)\nm [g] = median(t.w)\n",
	"table r\n  v [mph] from 10 to 50 step 5\n  e = v / 1 [mph] * 2\nl = last(r.e)\n",
	"formula f(each w [g], k) [g] = sum(w * k)\n  needs k > 0 // k must be above 0\n  trust k < 5\n" +
		"  example f([1, 2], 3) = 9 [g] // by hand\ntable t\n  n | w [g]\n  a | 1\nx [g] = f(t.w, 2)\n",
	"t [degC] : 20\nd [K] = t - 15 [degC]\nu [degF] = t + d\n",
	"unit cubit = 18 [in]\nlong [cubit] : 2-1/2\n",
	"a = b\nb = c + a\nc = 1 / 0\nd = sqrt(-1) + ln(0)\ne = 10^400\n",
	"a = filter(t, .x > 1)\nb = map(t, .x)\nc = first(t).x\ntable t\n  n | x\n  p | 1\n  q | 2\nd = find(t, .x > 1).x\n" +
		"g = t[\"p\"].x + t[\"nosuch\"].x\nkey : \"q\"\nh = t[key].x\n",
	"table o\n  n | x | y\n  a | 0 | 0\n  b | 4 | 0\n  c | 4 | 3\na = outline_area(o.x, o.y) + outline_length(o.x, o.y)\n" +
		"b = outline_moment_x(filter(o, .x > 0).x, filter(o, .x > 0).y) + area_under(o.x, o.y)\n",
	"one = one([1, 2, 3] > 2)\nl = len([1, 2])\nm = max([1 [in], 2 [in]])\n",
}

// minimizeBriefly keeps Go from spending a minute on each input that shows something new to make it smaller: what it
// tries grows with the square of the length, and whole files are long. -fuzzminimizetime has its say all the same.
func minimizeBriefly() {
	if f := flag.Lookup("test.fuzzminimizetime"); f != nil && f.Value.String() == f.DefValue {
		f.Value.Set("10x")
	}
}
