package engine

import (
	"fmt"
	"io/fs"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/oracle"
	"gusset/engine/program"
	"gusset/engine/state"
	"gusset/library"
	"gusset/sheets/text"
)

// variantLines writes a variant that sets some of a random sheet's values anew, and returns them.
func variantLines(s *oracle.RandomSheet, head string) (lines string, set map[string]string) {
	set = map[string]string{}
	for range 1 + s.Rnd.IntN(6) {
		name := s.Change()
		set[name] = s.Given[name]
	}
	var b strings.Builder
	b.WriteString(head + "\n")
	for _, name := range slices.Sorted(maps.Keys(set)) {
		fmt.Fprintf(&b, "  %s : %s\n", name, set[name])
	}
	return b.String(), set
}

// registers returns what every slot holds, to the last bit.
func registers(m *Model) []uint64 {
	all := make([]uint64, len(m.st.Slots))
	for s := range m.st.Slots {
		all[s] = math.Float64bits(m.st.Mach.Regs[s])
	}
	return all
}

// TestVariantIsTheSheetTyped holds these laws: in a variant every value, state and reason is what the sheet comes to
// with those values typed in, whichever variant was in use before; and back in the sheet as it stands every value is
// there again, to the last bit.
func TestVariantIsTheSheetTyped(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(41, 42))
	states := map[string]int{}
	sheets := rounds(100, 20)
	for range sheets {
		s := oracle.NewRandomSheet(rnd)
		asItStands, before := s.Text(), maps.Clone(s.Given)
		one, setByOne := variantLines(s, `variant "one"`)
		typed := map[string]string{"": asItStands, "one": s.Text()}
		two, _ := variantLines(s, `variant "two" from "one"`)
		typed["two"] = s.Text()
		s.Given = maps.Clone(before)
		three, _ := variantLines(s, `variant "three"`)
		typed["three"] = s.Text()
		m := load(t, asItStands+two+one+three)
		requireKnownProblems(t, m)
		require.Len(t, m.Variants()[1].Settings, len(setByOne))
		held := registers(m)
		for _, name := range []string{"two", "one", "three", "", "one", "two", "three", ""} {
			require.NoError(t, m.UseVariant(name))
			require.Equal(t, name, m.Variant())
			want, _ := account(load(t, typed[name]))
			got, _ := account(m)
			require.Equal(t, want, got, "%q of\n%s", name, m.st.Root.Src.Text())
			checkSound(t, m)
			countStates(m, states)
		}
		require.Equal(t, held, registers(m))
	}
	for _, state := range []string{"ok", "waits", "none"} {
		assert.Greater(t, states[state], 5*sheets, "the trial must see all states: %v", states)
	}
}

// TestVariantUndoesSet shows that a variant begins from the sheet as it stands, whatever was set before, and that a
// value can be set upon a variant.
func TestVariantUndoesSet(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(43, 44))
	for range rounds(50, 20) {
		s := oracle.NewRandomSheet(rnd)
		asItStands, typed := s.Text(), maps.Clone(s.Given)
		lines, set := variantLines(s, `variant "other"`)
		maps.Copy(typed, set)
		m := load(t, asItStands+lines)
		for range 4 {
			name := s.Change()
			require.NoError(t, m.Set(name, s.Given[name]))
		}
		require.NoError(t, m.UseVariant("other"))
		name := s.Change()
		require.NoError(t, m.Set(name, s.Given[name]))
		typed[name] = s.Given[name]
		want, _ := account(load(t, (&oracle.RandomSheet{Blocks: s.Blocks, Given: typed}).Text()))
		got, _ := account(m)
		require.Equal(t, want, got, "%s upon the variant, in\n%s", name, m.st.Root.Src.Text())
		require.NoError(t, m.UseVariant(""))
		require.Equal(t, registers(load(t, asItStands+lines)), registers(m))
	}
}

// TestVariantsOfDemos writes variants of each demo that change a dozen given values each, entries of tables among them.
// Each comes to what the demo comes to with those values typed in.
func TestVariantsOfDemos(t *testing.T) {
	for _, path := range []string{"marsh-tern/marsh-tern", "dune-whimbrel/dune-whimbrel", "mill-wagtail/mill-wagtail"} {
		t.Run(path, func(t *testing.T) {
			t.Parallel()
			files := fstest.MapFS{}
			names, err := filepath.Glob("../testdata/" + filepath.Dir(path) + "/*.gusset")
			require.NoError(t, err)
			for _, name := range names {
				data, err := os.ReadFile(name)
				require.NoError(t, err)
				files[filepath.Base(name)] = &fstest.MapFile{Data: data}
			}
			checkDemoVariants(t, files, filepath.Base(path)+".gusset")
		})
	}
}

func checkDemoVariants(t *testing.T, files fstest.MapFS, sheet string) {
	t.Helper()
	open := func(data []byte) *Model {
		files[sheet] = &fstest.MapFile{Data: data}
		m, err := Load(program.Sources{Files: files, Library: library.Pages()}, sheet)
		require.NoError(t, err)
		return m
	}
	rnd := rand.New(rand.NewPCG(45, 46))
	file, diags := text.Parse(text.NewSource(sheet, files[sheet].Data))
	require.NoError(t, diags.Err())
	asItStands := file.Source.Text()
	given := givenValues(file)
	require.Greater(t, len(given), 100)
	variants := rounds(8, 3)
	all := asItStands
	typed := make([][]byte, variants)
	for i := range variants {
		all += fmt.Sprintf("\nvariant \"trial %d\"\n", i)
		edited := file
		for _, k := range rnd.Perm(len(given))[:12] {
			g := given[k]
			value := []string{"0", "1", "17.25", ""}[rnd.IntN(4)]
			if g.whole && value == "17.25" {
				value = "17"
			}
			if g.kind != text.NumberValue {
				value = given[rnd.IntN(len(given))].inPlaceOf(g)
			}
			all += fmt.Sprintf("  %s : %s\n", g.target, value)
			var err error
			edited, err = g.edit(edited, value)
			require.NoError(t, err)
		}
		typed[i] = []byte(edited.Source.Text())
	}
	m := open([]byte(all))
	require.Empty(t, m.st.Broken)
	held := registers(m)
	for i := range variants {
		require.NoError(t, m.UseVariant(fmt.Sprintf("trial %d", i)))
		want, _ := account(open(typed[i]))
		got, _ := account(m)
		require.Equal(t, want, got, "trial %d", i)
	}
	require.NoError(t, m.UseVariant(""))
	require.Equal(t, held, registers(m))
}

// givenValue is a value of a sheet, with how to write another one in its place.
type givenValue struct {
	target, written string
	choice          string // what it may be, where a text has choices
	kind            text.ValueKind
	whole           bool // it is counted, and nothing but a whole number is taken
	edit            func(f *text.File, value string) (*text.File, error)
}

// inPlaceOf returns the value if it may stand where another is, and that other if not.
func (g givenValue) inPlaceOf(other givenValue) string {
	if g.kind == other.kind && g.choice == other.choice {
		return g.written
	}
	return other.written
}

// givenValues lists the values that are given in a sheet.
func givenValues(f *text.File) []givenValue {
	var all []givenValue
	add := func(target string, tag text.UnitTag, v text.Value, edit func(f *text.File, value string) (*text.File, error)) {
		if v.Kind != text.NoValue && v.Kind != text.FormulaValue {
			choice := ""
			if tag.Choice != nil {
				choice = tag.Choice.Whole.Text
			}
			whole := tag.Unit.Text == "1" && tag.Step.Text == "1"
			all = append(all, givenValue{target, f.Source.Text()[v.Word.Span.Start:v.Word.Span.End], choice, v.Kind, whole, edit})
		}
	}
	for _, n := range f.Nodes {
		switch n := n.(type) {
		case *text.Cell:
			if n.IsGiven() {
				add(n.Name.Text, n.Unit, n.Value, func(f *text.File, value string) (*text.File, error) {
					return text.SetGiven(f, n.Name.Text, value)
				})
			}
		case *text.Table:
			for _, r := range n.Rows {
				for i, v := range r.Values {
					column := n.Head[i+1].Name.Text
					add(fmt.Sprintf("%s[%q].%s", n.Name.Text, r.Name.Text, column), n.Head[i+1].Unit, v,
						func(f *text.File, value string) (*text.File, error) {
							return text.SetEntry(f, n.Name.Text, r.Name.Text, column, value)
						})
				}
			}
		}
	}
	return all
}

// countingFS counts how often each file is opened.
type countingFS struct {
	fs.FS
	opened map[string]int
}

func (c countingFS) Open(name string) (fs.File, error) {
	c.opened[name]++
	return c.FS.Open(name)
}

// manyVariants is partSheet(50), which has 500 cells, with 50 variants of 5 values each.
func manyVariants() string {
	var b strings.Builder
	b.WriteString(partSheet(50))
	for i := range 50 {
		fmt.Fprintf(&b, "variant \"v%d\"\n", i)
		for k := range 5 {
			fmt.Fprintf(&b, "  long%d : %g\n", (i+k*7)%50, 0.3+float64(i)*0.02)
		}
	}
	return b.String()
}

// TestVariantsLoadOnce goes through 50 variants of a sheet that is read, checked and compiled once.
func TestVariantsLoadOnce(t *testing.T) {
	files := countingFS{fstest.MapFS{"x.gusset": {Data: []byte(manyVariants())}}, map[string]int{}}
	m, err := Load(program.Sources{Files: files}, "x.gusset")
	require.NoError(t, err)
	require.Empty(t, m.Problems())
	code := &m.st.Instrs[0]
	for i, v := range m.Variants() {
		require.NoError(t, m.UseVariant(v.Name))
		parts := handParts(50)
		for k := range 5 {
			parts[(i+k*7)%50].long = 0.3 + float64(i)*0.02
		}
		partsByHand(parts, 9.80665)
		for k, p := range parts {
			require.InEpsilon(t, p.reserve, worth(t, m, fmt.Sprintf("reserve%d", k)), 1e-12)
		}
	}
	assert.Same(t, code, &m.st.Instrs[0], "the program is made anew only when the sheet is checked anew")
	assert.Equal(t, map[string]int{"x.gusset": 1}, files.opened)
}

// BenchmarkVariants50 stands beside BenchmarkVariants50ByLoading, which does the same with a sheet for each variant.
func BenchmarkVariants50(b *testing.B) {
	src := program.Sources{Files: fstest.MapFS{"x.gusset": {Data: []byte(manyVariants())}}}
	for b.Loop() {
		m, err := Load(src, "x.gusset")
		require.NoError(b, err)
		for _, v := range m.Variants() {
			require.NoError(b, m.UseVariant(v.Name))
		}
	}
}

func BenchmarkVariants50ByLoading(b *testing.B) {
	src := program.Sources{Files: fstest.MapFS{"x.gusset": {Data: []byte(partSheet(50))}}}
	for b.Loop() {
		for i := range 50 {
			m, err := Load(src, "x.gusset")
			require.NoError(b, err)
			for k := range 5 {
				require.NoError(b, m.SetNumber(fmt.Sprintf("long%d", (i+k*7)%50), 0.3+float64(i)*0.02))
			}
		}
	}
}

// TestVariantNotes shows that the note and the place of a value are those of the variant's line that gives it.
func TestVariantNotes(t *testing.T) {
	m := load(t, "a [in] : 3 // in the sheet\nb [in] = a * 2\ntable t\n  n | w [in]\n  r | 1 // in the row\n"+
		"variant \"v\"\n  a : 4 // in the variant\n  t[\"r\"].w : 2\n")
	tell := func(name string) string {
		r, err := m.Why(name)
		require.NoError(t, err)
		return r.Value.Quantity() + ", " + r.Note + ", " + r.Place
	}
	assert.Equal(t, "3 in, in the sheet, x.gusset:1", tell("a"))
	require.NoError(t, m.UseVariant("v"))
	assert.Equal(t, "4 in, in the variant, x.gusset:7", tell("a"))
	assert.Equal(t, `2 in, in the row, x.gusset:8`, tell(`t["r"].w`))
	c, ok := m.Cell("a")
	require.True(t, ok)
	assert.Equal(t, "in the variant", c.Note)
	require.NoError(t, m.Set("a", "5"))
	assert.Equal(t, "5 in, in the sheet, x.gusset:1", tell("a"))
}

// TestFaultyVariant shows that a mistake in a variant leaves the sheet as it is, and that nothing has a result in the
// variant, nor in one that starts from it, whatever is set on top.
func TestFaultyVariant(t *testing.T) {
	m := load(t, "a [in] : 3\nb [in] = a * 2\nkind : \"x\"\nvariant \"v\"\n  a : 4 kg\n  kind : 5\n  nothing : 5\n"+
		"  area = 3\nvariant \"w\" from \"v\"\n  a : 5\n")
	require.Len(t, m.Problems(), 4)
	assert.Equal(t, "6 in", shown(t, m, "b"))
	require.NoError(t, m.UseVariant("v"))
	const why = `(none: the variant "v" was not read whole: mend line 5 and 3 more)`
	assert.Equal(t, why, shown(t, m, "b"))
	require.Len(t, m.Problems(), 4)
	require.NoError(t, m.Set("a", "7"))
	assert.Equal(t, why, shown(t, m, "b"))
	assert.Equal(t, why, shown(t, m, "a"))
	require.NoError(t, m.SetAll(state.Setting{Name: "a", Value: "8"}, state.Setting{Name: "kind", Value: "y"}))
	assert.Equal(t, why, shown(t, m, "b"))
	require.NoError(t, m.UseVariant("w"))
	assert.Equal(t, why, shown(t, m, "b"))
	require.Len(t, m.Problems(), 4)
	require.NoError(t, m.UseVariant(""))
	assert.Equal(t, "6 in", shown(t, m, "b"))
	assert.Equal(t, "x", shown(t, m, "kind"))
}

// TestVariantTellsAKind gives values to cells of which the sheet tells no kind, a different one in each variant.
func TestVariantTellsAKind(t *testing.T) {
	m := load(t, "blank :\nb = blank * 2\nvariant \"number\"\n  blank : 4\nvariant \"text\"\n  blank : \"x\"\n")
	assert.Empty(t, m.Problems())
	require.NoError(t, m.UseVariant("number"))
	assert.Equal(t, "8", shown(t, m, "b"))
	require.NoError(t, m.UseVariant("text"))
	require.Len(t, m.Problems(), 1, "a text cannot be doubled")
	require.NoError(t, m.UseVariant(""))
	assert.Empty(t, m.Problems())
	assert.Equal(t, "(waits: waits for blank)", shown(t, m, "b"))
}

// TestVariantNames shows what is said when a variant is not there.
func TestVariantNames(t *testing.T) {
	m := load(t, "a : 1\nvariant \"as drawn\"\n  a : 2\nvariant \"lighter\"\n  a : 3\n")
	assert.EqualError(t, m.UseVariant("as drwan"), `x.gusset has no variant "as drwan"; is it "as drawn"?`)
	assert.EqualError(t, m.UseVariant("x"), `x.gusset has no variant "x"; it has "as drawn" and "lighter"`)
	assert.EqualError(t, load(t, "a : 1\n").UseVariant("x"), "x.gusset has no variants")
	assert.Empty(t, m.Variant())
	assert.Equal(t, "1", shown(t, m, "a"))
}

// TestVariantsOfAUsedSheet shows that they are not looked at.
func TestVariantsOfAUsedSheet(t *testing.T) {
	m, err := Load(program.Sources{Files: fstest.MapFS{
		"x.gusset":    {Data: []byte("use \"rack.gusset\"\na = rack.b\nvariant \"v\"\n  rack.b : 7\n")},
		"rack.gusset": {Data: []byte("b : 2\nvariant \"w\"\n  nosuch : 3\n")},
	}}, "x.gusset")
	require.NoError(t, err)
	require.Empty(t, m.Problems())
	require.Len(t, m.Variants(), 1)
	require.NoError(t, m.UseVariant("v"))
	assert.Equal(t, "7", shown(t, m, "a"))
}

// TestNotesOfAFaultyVariant: also where a variant was not read whole, so that nothing has a value, it is told what it
// gives a value.
func TestNotesOfAFaultyVariant(t *testing.T) {
	t.Parallel()
	m := loadWrong(t, "a [g] : 5\nb [g] = a * 2\nvariant \"v\"\n  a : 7\n  b : 3\n")
	require.NoError(t, m.UseVariant("v"))
	assert.Equal(t, "a is 7 g (line 4)", m.st.SlotNote(slot(t, m, "a")))
	assert.Equal(t, "b is a mass, with no value yet (line 2)", m.st.SlotNote(slot(t, m, "b")))
}

// TestValueNotes: the first four names in a formula are told of, each once.
func TestValueNotes(t *testing.T) {
	t.Parallel()
	m := loadText(t, "a : 5\nb : 1\nc : 2\nd : 3\nf : 4\ne = a + a + b + c + d + f\n")
	assert.Equal(t, []string{"a is 5 (line 1)", "b is 1 (line 2)", "c is 2 (line 3)", "d is 3 (line 4)"},
		m.st.ValueNotes(m.st.Slots[slot(t, m, "e")].Root, -1))
}

// TestVariantWithoutOneLine: what the sheet has a mistake in has it again without the line of a variant that mends it.
func TestVariantWithoutOneLine(t *testing.T) {
	t.Parallel()
	m := load(t, "a [g] : 5 5\nb [g] : 1\nc [g] = a + b\nvariant \"mended\"\n  a : 7\n  b : 2\n")
	require.NoError(t, m.UseVariant("mended"))
	require.InDelta(t, 9, worth(t, m, "c"), within)
	a := slot(t, m, "a")
	require.NoError(t, state.UseAllBut(m.st, m.st.InUse, a))
	assert.True(t, m.st.IsBroken(a))
	require.NoError(t, state.UseAllBut(m.st, m.st.InUse, slot(t, m, "b")))
	assert.False(t, m.st.IsBroken(a))
	assert.InDelta(t, 8, worth(t, m, "c"), within)
}
