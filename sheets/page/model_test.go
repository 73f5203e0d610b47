package page

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/report"
	"gusset/sheets/text"
)

func load(t *testing.T, sheet string) *engine.Model {
	t.Helper()
	files := fstest.MapFS{"x.gusset": {Data: []byte(sheet)}}
	m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, "x.gusset")
	require.NoError(t, err)
	return m
}

// TestEveryInstructionHasItsJavaScript compares the tables of the engine with those of the page, by name: what the page
// lacks, it could not run, and what only the page has is of no use any more.
func TestEveryInstructionHasItsJavaScript(t *testing.T) {
	ctx := emptyTab(t)
	d, err := Collect(load(t, "x : 1"))
	require.NoError(t, err)
	var has struct{ Instructions, Operators, Functions, Folds []string }
	call(t, ctx, &has, fmt.Sprintf(`() => {
		%s %s %s
		return {Instructions: Object.keys(INSTRUCTIONS), Operators: Object.keys(EVALUATE), Functions: Object.keys(FUNCTIONS),
			Folds: [...Object.keys(FOLDS), ...Object.keys(POINTS), 'interpolate']};
	}`, numbersScript, machineScript, walkScript))
	var ops []string
	for _, op := range d.Ops {
		if op.Name != "" { // else plain instructions take its place
			ops = append(ops, op.Name)
		}
	}
	assert.ElementsMatch(t, ops, has.Instructions, "machine.js")
	assert.ElementsMatch(t, d.Operators, has.Operators, "walk.js")
	assert.ElementsMatch(t, d.Functions, has.Functions, "machine.js")
	assert.ElementsMatch(t, d.FoldKinds, has.Folds, "machine.js")
}

// TestWhatThePageDoesNotKnowIsRefused: data with an instruction that the page has no rule for is not run at all.
func TestWhatThePageDoesNotKnowIsRefused(t *testing.T) {
	ctx := loadScript(t)
	for _, table := range []string{"operators", "functions", "foldKinds"} {
		d, err := Collect(load(t, "x : 1\ny = x + 1"))
		require.NoError(t, err)
		var said string
		try := "(data, table) => { data[table].push('spin'); try { new GussetModel(data) } catch (e) { return e.message } }"
		call(t, ctx, &said, try, d, table)
		assert.Contains(t, said, "spin", table)
	}
	d, err := Collect(load(t, "x : 1"))
	require.NoError(t, err)
	var said string
	try := "data => { data.ops.push({name: 'Spin', roles: ['', '', '', '']}); try { new GussetModel(data) } " +
		"catch (e) { return e.message } }"
	call(t, ctx, &said, try, d)
	assert.Contains(t, said, "Spin")
}

// told is a model in a page by the names of its values.
type told struct {
	t     *testing.T
	ctx   context.Context
	place map[string]int
}

func tell(t *testing.T, m *engine.Model) told {
	ctx := loadScript(t)
	p := open(t, ctx, m)
	of := told{t, ctx, map[string]int{}}
	for e := range m.All() {
		of.place[e.Name], _ = p.data.Place(e.Value)
	}
	return of
}

func (p told) set(name, value string) (refused string) {
	p.t.Helper()
	require.Contains(p.t, p.place, name)
	call(p.t, p.ctx, &refused, "(place, text) => model.set(place, text) ?? ''", p.place[name], value)
	return refused
}

func (p told) undo(name string) { call(p.t, p.ctx, nil, "place => model.undo(place)", p.place[name]) }

// shown writes a value as the page shows it, "~" after what is out of step.
func (p told) shown(name string) string {
	p.t.Helper()
	require.Contains(p.t, p.place, name)
	var v []seen
	call(p.t, p.ctx, &v, "place => [model.shown(place)]", p.place[name])
	marks := report.Marks{Guess: v[0].Guesses > 0, Outside: v[0].Outside}
	s := report.Shown{Text: v[0].Text, Unit: v[0].Unit, Off: v[0].Tolerance, Marks: marks}.String()
	if v[0].Stale {
		s += " ~"
	}
	return s
}

const cutSheet = `
long [in] : 10
price : 2
packs : 3 ?
table pieces
  piece | wide [in]
  rib | 1
  spar | 2
sheets = stock_needed(pieces, 3, .wide, 2 [in], long, 4 [in])
cost = sheets * price
all = cost + packs
apart = price * 2
`

// TestCutsAreOutOfStep: what only the tool works out stays as it was sent, and is marked as soon as what it is made of
// has changed; so is what depends on it, and nothing else.
func TestCutsAreOutOfStep(t *testing.T) {
	p := tell(t, load(t, cutSheet))
	values := func() []string {
		return []string{p.shown("sheets"), p.shown("cost"), p.shown("all"), p.shown("apart")}
	}
	want := []string{"1", "2", "5 ?", "4"}
	assert.Equal(t, want, values())
	require.Empty(t, p.set("price", "5"))
	require.Empty(t, p.set("packs", "4"))
	assert.Equal(t, []string{"1", "5", "9", "10"}, values())
	require.Empty(t, p.set(`pieces["rib"].wide`, "1-1/2"))
	stale := []string{"1 ~", "2 ~", "5 ? ~", "10"}
	assert.Equal(t, stale, values())
	require.Empty(t, p.set("price", "6"))
	stale[3] = "12"
	assert.Equal(t, stale, values())
	p.undo(`pieces["rib"].wide`)
	assert.Equal(t, []string{"1", "6", "10", "12"}, values())
	var affected []int
	call(t, p.ctx, &affected, "() => model.affected")
	assert.Subset(t, affected, []int{p.place["sheets"], p.place["cost"], p.place["all"]})
	call(t, p.ctx, nil, "() => model.undoAll()")
	assert.Equal(t, want, values())
}

// TestSpreadsAreOutOfStep: how far a value may be off is the tool's to say, and out of step once anything behind the
// value has changed, be it only how far that may be off.
func TestSpreadsAreOutOfStep(t *testing.T) {
	p := tell(t, load(t, `
a [oz] : 3 ± 0.5
b [oz] : 2 ± 1 sd
c [oz] : 1
both [oz] = a + b
check sure = spread(both) <= 3 [oz]
check light = both < 6 [oz]
`))
	assert.Equal(t, []string{"3 oz ± 0.5", "holds", "holds"}, []string{p.shown("a"), p.shown("sure"), p.shown("light")})
	require.Empty(t, p.set("c", "7"))
	assert.Equal(t, "holds", p.shown("sure"))
	require.Empty(t, p.set("b", "2 ± 9 sd"))
	assert.Equal(t, []string{"2 oz ± 9 sd", "holds ~", "holds"}, []string{p.shown("b"), p.shown("sure"), p.shown("light")})
	require.Empty(t, p.set("b", "4"))
	assert.Equal(t, []string{"4 oz", "holds ~", "fails"}, []string{p.shown("b"), p.shown("sure"), p.shown("light")})
	p.undo("b")
	assert.Equal(t, []string{"2 oz ± 1 sd", "holds", "holds"}, []string{p.shown("b"), p.shown("sure"), p.shown("light")})
}

// TestOnlyWhatMayHaveChanged: a change of one row of a table is said to bear on what looks that row up, and on nothing
// that looks up another.
func TestOnlyWhatMayHaveChanged(t *testing.T) {
	p := tell(t, load(t, `
table rack
  name | price | weight
  a | 2 | 3
  b | 4 | 5
first [one of rack] : "a"
second [one of rack] : "b"
cost = rack[first].price * 2
other = rack[second].price * 2
total = sum(rack.price)
weight = rack[first].weight
zero = total * 0
after = zero + 1
`))
	affected := func() []string {
		var places []int
		call(t, p.ctx, &places, "() => model.affected")
		names := []string{}
		for name, at := range p.place {
			if slices.Contains(places, at) {
				names = append(names, name)
			}
		}
		slices.Sort(names)
		return names
	}
	require.Empty(t, p.set(`rack["a"].price`, "3"))
	assert.Equal(t, []string{"cost", `rack["a"].price`, "total"}, affected())
	require.Empty(t, p.set("second", "a"))
	assert.Equal(t, []string{"other", "second"}, affected())
	require.Empty(t, p.set(`rack["a"].price`, "7 ?"))
	assert.Equal(t, []string{"after", "cost", "other", `rack["a"].price`, "total", "zero"}, affected())
	assert.Equal(t, "1 ?", p.shown("after"))
}

// TestLinesAreAVariant: what was changed on a page can stand below a variant in the sheet, and does the same there.
func TestLinesAreAVariant(t *testing.T) {
	sheet := `sheet "A trial"
span [ft in] : 4 ft 2 in
bar [in, 1/64] : 11-15/16
wood [one of "flat", "on edge"] : "flat"
note : "none"
built : no
later [oz] :
warm [degC] : 20
table parts
  part | weight [oz]
  nose "x" | 3
total [oz] = sum(parts.weight) + (later ?? 2 [oz])
`
	m := load(t, sheet)
	require.NoError(t, m.Mistakes().Err())
	p := tell(t, m)
	row := `parts["nose \"x\""].weight`
	for _, set := range [][2]string{
		{"span", "5 ft 1/2 in ?"}, {"bar", "1 2/3 ± 1/64 sd"}, {"wood", "on edge"}, {"note", `a \ "quote"`}, {"built", "yes"},
		{"later", "+5 g"}, {"warm", "–3"}, {row, "1.25e+0 oz"},
	} {
		require.Empty(t, p.set(set[0], set[1]), set[0])
	}
	var lines string
	call(t, p.ctx, &lines, "() => model.lines()")
	assert.Equal(t, `// A trial
// file x.gusset
// fingerprint `+text.Fingerprint([]byte(sheet))+`
span : 5 ft 1/2 in ?
bar : 1 2/3 ± 1/64 sd
wood : "on edge"
note : "a \\ \"quote\""
built : yes
later : 5 g
warm : -3
`+row+` : 1.25e0 oz
`, lines)
	with := load(t, sheet+"variant \"from the field\"\n  "+strings.ReplaceAll(strings.TrimSpace(lines), "\n", "\n  ")+"\n")
	require.NoError(t, with.Mistakes().Err())
	require.NoError(t, with.UseVariant("from the field"))
	for e := range with.All() {
		assert.Equal(t, report.Show(e.Value).String(), p.shown(e.Name), e.Name)
	}
	for _, c := range [][2]string{
		{"span", "5"}, {"bar", "3 oz"}, {"wood", "askew"}, {"built", "perhaps"}, {"later", `"x"`}, {"total", "3"},
		{"bar", "1 ± "}, {"bar", "1 ± 3 oz"}, {"bar", "1 ± -1/16"}, {"warm", "20 ± 3 %"}, {"bar", "± 1/16"},
		{"bar", "1 ± 1/16 ± 2"}, {"warm", "-300"},
	} {
		assert.NotEmpty(t, p.set(c[0], c[1]), c)
	}
	var left string
	call(t, p.ctx, &left, "() => model.lines()")
	assert.Equal(t, lines, left, "what was refused has changed nothing")
}

// TestWhyOnThePage: a value's formula, what went into it and the sources of the formulas that it calls are those of
// gusset why, one step of it.
func TestWhyOnThePage(t *testing.T) {
	m := sheets(t)["marsh-tern"]
	p := tell(t, m)
	told := 0
	for e := range m.All() {
		want, err := m.WhyOneStep(e.Name)
		if err != nil || e.Kind == engine.Adjusted {
			continue
		}
		var got struct {
			Formula string
			Values  []struct{ Name, Text string }
			Source  []struct{ Name string }
		}
		call(t, p.ctx, &got, "place => model.why(place)", p.place[e.Name])
		require.Equal(t, want.Formula, got.Formula, e.Name)
		var names, gotNames, uses, gotUses []string
		for _, r := range want.Rests {
			names = append(names, r.Name)
		}
		for _, v := range got.Values {
			gotNames = append(gotNames, v.Name)
		}
		require.Equal(t, names, gotNames, e.Name)
		for _, u := range want.Uses {
			uses = append(uses, u.Name)
		}
		for _, u := range got.Source {
			gotUses = append(gotUses, u.Name)
		}
		require.ElementsMatch(t, uses, gotUses, e.Name)
		if told++; told >= 300 {
			break
		}
	}
	assert.Greater(t, told, 200)
}

// TestHostileTextsStayTexts: nothing in the data can end the script element that it stands in.
func TestHostileTextsStayTexts(t *testing.T) {
	const hostile = `</script><script>alert(1)</script><!-- & '`
	quoted := text.Quote(hostile)
	m := load(t, "sheet "+quoted+"\nnote [one of "+quoted+`, "b"] : `+quoted+"\ntable t\n  n | a\n  "+quoted+
		" | 3\nx = t["+quoted+"].a // "+hostile)
	require.NoError(t, m.Mistakes().Err())
	d, err := Collect(m)
	require.NoError(t, err)
	d.Title += "\u2028\u2029" // which no sheet can have
	js, err := d.JSON()
	require.NoError(t, err)
	for _, c := range []string{"<", ">", "&", "\u2028", "\u2029"} {
		assert.NotContains(t, string(js), c)
	}
	p := tell(t, m)
	assert.Equal(t, hostile, strings.TrimSpace(p.shown("note")))
	assert.Contains(t, p.set("note", "b\nc"), "one line")
}

// TestDeepFormulas: formulas that call one another as deep as they may do not break the page. What it has not looked at
// counts as a guess where it may be one.
func TestDeepFormulas(t *testing.T) {
	var b strings.Builder
	deep := strings.Repeat("(", 60) + "a" + strings.Repeat(" + 1)", 60)
	fmt.Fprintf(&b, "formula f0(a) = %s\n", deep)
	for i := range 60 {
		fmt.Fprintf(&b, "formula f%d(a) = f%d(%s)\n", i+1, i, deep)
	}
	p := tell(t, load(t, b.String()+"x : 1 ?\ny = f60(x)\nempty [1] :\nz = f60(empty)\nafter = z + y\n"))
	assert.Equal(t, "3661 ?", p.shown("y"))
	assert.Equal(t, "waits", p.shown("z"))
	require.Empty(t, p.set("empty", "2"))
	assert.Equal(t, "7323 ?", p.shown("after"))
}

// TestWhatAPageCannotHold: a page of what is too much, or of what has no values, shows what it was made with.
func TestWhatAPageCannotHold(t *testing.T) {
	var b strings.Builder
	for i := range 21_000 {
		fmt.Fprintf(&b, "x%d : 1\n", i)
	}
	_, err := Collect(load(t, b.String()))
	assert.True(t, errors.Is(err, engine.ErrLimit), err)
	_, err = Collect(load(t, "table t\n  n from 1 to 3000 step 1\n  a = n * 2\n  b = sum(map(t, sum(t, .a))) + a\n"))
	assert.True(t, errors.Is(err, engine.ErrLimit), err)
	m := load(t, "x : 1\nvariant \"bad\"\n  x ; 3\n")
	require.NoError(t, m.UseVariant("bad"))
	_, err = Collect(m)
	assert.True(t, errors.Is(err, engine.ErrUnread), err)
}

// TestTheMachineIsSmall: whoever wants to know what the page does can read it.
func TestTheMachineIsSmall(t *testing.T) {
	lines := strings.Split(Script(), "\n")
	assert.LessOrEqual(t, len(lines), 1500)
	assert.LessOrEqual(t, len(Script()), 60<<10)
	for _, line := range lines {
		assert.LessOrEqual(t, len(line), 130, line)
	}
}
