package fill_test

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/sheets/fill"
	"gusset/sheets/project"
	"gusset/sheets/report"
	"gusset/sheets/text"
)

// write writes sheets into a folder of their own, which becomes the present one.
func write(t *testing.T, files map[string]string) {
	t.Helper()
	t.Chdir(t.TempDir())
	for name, data := range files {
		require.NoError(t, os.WriteFile(name, []byte(data), 0o644))
	}
}

// names returns the names of some values.
func names(values []engine.GivenValue) []string {
	var list []string
	for _, v := range values {
		list = append(list, v.Name)
	}
	return list
}

// TestNeeded: what a check or a chief result needs, the empty before the guessed, each in the order of the sheets; also
// in used sheets, as far as something reads them; not what ?? can do without, nor what is not read for now.
func TestNeeded(t *testing.T) {
	write(t, map[string]string{
		"rack.gusset": "table stock\n  size | usual [oz] | weighed [oz]\n  ply | | \n  balsa | 2 ? |\n  weight [oz] = weighed ?? usual\n" +
			"idle [in] :\n",
		"tern.gusset": `use "rack.gusset"
span [in] : 36 ?
stock [one of rack.stock] : "ply"
by_hand :
fast : no ?
motor [oz] :
pack [oz] :
rubber [oz] :
unused [in] :
spare [in] = unused * 2
page At a glance
all_up [oz] = rack.stock[stock].weight + (by_hand ? motor : pack) + (fast ? rubber : 0 [oz])
page Checks
check small = span < 40 [in] and rubber < 3 [oz]
`,
	})
	sheet, err := project.Load("tern.gusset")
	require.NoError(t, err)
	require.Empty(t, sheet.Model.Problems())
	assert.Equal(t, []string{"by_hand", "motor", "pack", "rubber", `rack.stock["ply"].usual`, "span", "fast"},
		names(fill.Needed(sheet.Model)))
	require.NoError(t, sheet.Model.SetAll(engine.Setting{Name: "by_hand", Value: "no"},
		engine.Setting{Name: `rack.stock["ply"].weighed`, Value: "7"}))
	assert.Equal(t, []string{"pack", "rubber", "span", "fast"}, names(fill.Needed(sheet.Model)))
	s, err := fill.Open("tern.gusset", nil, "")
	require.NoError(t, err)
	assert.Equal(t, []string{"by_hand", "motor", "pack", "rubber", `rack.stock["ply"].usual`, "span", "fast", "unused"},
		names(s.Queue()))
}

// TestNeededIsEnough: of each starter all given cells and all numbers of its tables are taken away. Once all that is
// needed then has been answered, nothing that a check or a chief result needs is left, and each of them has come out.
func TestNeededIsEnough(t *testing.T) {
	starters, err := filepath.Abs("../../library/starters")
	require.NoError(t, err)
	files, err := os.ReadDir(starters)
	require.NoError(t, err)
	files = slices.DeleteFunc(files, os.DirEntry.IsDir) // pages that are added, and metric twins
	t.Chdir(t.TempDir())
	for _, f := range files {
		data, err := os.ReadFile(filepath.Join(starters, f.Name()))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(f.Name(), data, 0o644))
	}
	for _, f := range files {
		t.Run(f.Name(), func(t *testing.T) {
			sheet, err := project.Load(f.Name())
			require.NoError(t, err)
			m := sheet.Model
			before := map[string]string{}
			var blank []engine.Setting
			parsed := engine.TextsOf(m)[f.Name()]
			for name, v := range text.Given(parsed) {
				if entry, err := m.EntriesOf(name); err != nil || entry[0].Table != "" && v.Kind != text.NumberValue {
					continue
				}
				before[name] = v.Typed()
				blank = append(blank, engine.Setting{Name: name})
			}
			waiting := func(m *engine.Model) (list []string) {
				for _, c := range append(m.Checks(), report.Chief(m)...) {
					if report.StateOf(c.Value) == report.Waits {
						list = append(list, c.Name)
					}
				}
				return list
			}
			waited := waiting(m)
			require.NoError(t, m.SetAll(blank...))
			asked := map[string]bool{}
			for more := true; more; {
				var answers []engine.Setting
				for _, v := range fill.Needed(m) {
					if before[v.Name] != "" && !asked[v.Name] {
						asked[v.Name] = true
						answers = append(answers, engine.Setting{Name: v.Name, Value: before[v.Name]})
					}
				}
				require.NoError(t, m.SetAll(answers...))
				more = len(answers) > 0
			}
			t.Logf("%d asked of %d", len(asked), len(blank))
			assert.Equal(t, waited, waiting(m))
		})
	}
}

// TestAnswers: what a line comes to, in the words of a builder at the keyboard.
func TestAnswers(t *testing.T) {
	const sheet = `span [in] : 36 ? // tip to tip
grain [one of "along", "across", "acrylic"] :
covered : no
said : "none yet"
check small = span < 40 [in] and grain == "along" and not covered
`
	for _, tt := range []struct{ name, line, want, wrong string }{
		{"span", "8-1/4", "span [in] : 8-1/4 // tip to tip", ""},
		{"span", "155 cm ?", "span [in] : 155 cm ? // tip to tip", ""},
		{"span", "ok", "span [in] : 36   // tip to tip", ""},
		{"span", "", "span [in] : 36 ? // tip to tip", ""},
		{"grain", "2", `grain [one of "along", "across", "acrylic"] : "across"`, ""},
		{"grain", "AL", `grain [one of "along", "across", "acrylic"] : "along"`, ""},
		{"grain", `acr ?`, "", `"acr" could be "across" or "acrylic"`},
		{"grain", `"al"`, "", "tern.gusset:2:47: grain cannot be \"al\"\n" +
			"    grain [one of \"along\", \"across\", \"acrylic\"] : \"al\"\n" +
			"                                                  ~~~~\n    hint: choose from \"along\", \"across\" and \"acrylic\""},
		{"grain", `al ?`, `grain [one of "along", "across", "acrylic"] : "along" ?`, ""},
		{"grain", "ok", "", "grain is not given yet, so there is nothing to confirm"},
		{"covered", "y", "covered : yes", ""},
		{"covered", "yes ?", "covered : yes ?", ""},
		{"said", `a "b" : c`, `said : "a \"b\" : c"`, ""},
		{"said", `not sure ?`, `said : "not sure" ?`, ""},
		{"said", `span : 40`, "span [in] : 40   // tip to tip", ""},
	} {
		t.Run(tt.name+" "+tt.line, func(t *testing.T) {
			write(t, map[string]string{"tern.gusset": sheet})
			s, err := fill.Open("tern.gusset", []string{tt.name}, "")
			require.NoError(t, err)
			q, ok := s.Question()
			require.True(t, ok)
			require.Equal(t, tt.name, q.Name)
			r := s.Take(tt.line)
			if tt.wrong != "" {
				require.EqualError(t, r.Wrong, tt.wrong)
				return
			}
			require.NoError(t, r.Wrong)
			data, err := os.ReadFile("tern.gusset")
			require.NoError(t, err)
			assert.Contains(t, string(data), tt.want+"\n")
			again, err := project.Load("tern.gusset") // what the model has without loading is what loading gives
			require.NoError(t, err)
			assert.Empty(t, engine.Between(s.Model(), again.Model).Moves)
		})
	}
}

// TestNewPiece: a piece that goes into the list of wood of a starter brings along its rows in the cutting list and the
// lists behind it, each asked for once, by nothing but what the sheet says.
func TestNewPiece(t *testing.T) {
	folder, err := filepath.Abs("../../library/starters")
	require.NoError(t, err)
	files := map[string]string{}
	for _, name := range []string{"powered.gusset", "rack.gusset"} {
		data, err := os.ReadFile(filepath.Join(folder, name))
		require.NoError(t, err)
		files[name] = string(data)
	}
	write(t, files)
	s, err := fill.Open("powered.gusset", []string{"wood"}, "")
	require.NoError(t, err)
	offers := map[string]string{}
	_, _ = s.Question()
	require.NoError(t, s.Take("+ like formers").Wrong)
	require.NoError(t, s.Take("canopy").Wrong)
	for {
		q, asking := s.Question()
		line := ""
		switch {
		case q.Kind == fill.AskRow:
			offers[q.Table] = q.NewRow
			line = "yes"
		case q.Kind == fill.AskValue && q.Row != "canopy":
			asking = false // back in the list itself
		case q.Column == "station", q.Column == "long", q.Column == "wide":
			line = "3"
		case q.Column == "left":
			line = "50"
		case q.Column == "pieces":
			line = "1"
		}
		if !asking {
			break
		}
		require.NoError(t, s.Take(line).Wrong, "%s: %s", q.Name, line)
	}
	assert.Equal(t, map[string]string{"cut": "canopy", "detail": "canopy", "buying": "canopy"}, offers)
	again, err := project.Load("powered.gusset")
	require.NoError(t, err)
	assert.Empty(t, again.Model.Problems().Err())
	for _, name := range []string{`wood["canopy"].used`, `cut["canopy"].weight`} {
		v, err := again.Model.Value(name)
		require.NoError(t, err)
		assert.Equal(t, report.Known, report.StateOf(v), name)
	}
	tidy, diags := text.Parse(text.NewSource("powered", engine.TextsOf(again.Model)["powered.gusset"].Bytes()))
	require.Empty(t, diags)
	assert.Len(t, text.Format(tidy), len(tidy.Bytes()), "it is as tidy as it was")
}

// TestChangedMeanwhile: what another program writes is kept. Another value than the one that was asked about is not
// written over, but asked about again; other lines make no difference.
func TestChangedMeanwhile(t *testing.T) {
	write(t, map[string]string{"tern.gusset": "span [in] :\nchord [in] :\ncheck c = span > chord\n"})
	s, err := fill.Open("tern.gusset", nil, "")
	require.NoError(t, err)
	_, ok := s.Question()
	require.True(t, ok)
	overwrite := func(data string) { require.NoError(t, os.WriteFile("tern.gusset", []byte(data), 0o644)) }
	overwrite("// mine\nspan [in] :\nchord [in] : 5\ncheck c = span > chord\n")
	r := s.Take("36")
	require.NoError(t, r.Wrong)
	assert.NotEmpty(t, r.Said)
	data, _ := os.ReadFile("tern.gusset")
	assert.Equal(t, "// mine\nspan [in] : 36\nchord [in] : 5\ncheck c = span > chord\n", string(data))
	_, ok = s.Question()
	assert.False(t, ok, "chord is given already")
	overwrite("span [in] : 36\nchord [in = 5\n")
	assert.Error(t, s.Take("span : 37").Wrong, "a sheet with a mistake is left alone")
	data, _ = os.ReadFile("tern.gusset")
	assert.Equal(t, "span [in] : 36\nchord [in = 5\n", string(data))
}
