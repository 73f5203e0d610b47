package engine

import (
	"os"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"gusset/engine/explain"
	"gusset/engine/program"
	"gusset/library"
	"gusset/sheets/text"
)

// demo returns the files of the demo project.
func demo(t *testing.T) fstest.MapFS {
	t.Helper()
	files := fstest.MapFS{}
	for _, name := range []string{"bench.gusset", "rack.gusset", "marsh-tern.gusset"} {
		data, err := os.ReadFile("../testdata/marsh-tern/" + name)
		require.NoError(t, err)
		files[name] = &fstest.MapFile{Data: data}
	}
	return files
}

func loadDemo(t *testing.T, files fstest.MapFS) *Model {
	t.Helper()
	m, err := Load(program.Sources{Files: files, Library: library.Pages()}, "marsh-tern.gusset")
	require.NoError(t, err)
	return m
}

// TestDemoSettings gives every cell of the demo's sheet all sorts of values, one after another, in the same model. What
// comes of each is what the sheet with that value on its line comes to, and nothing infinite is shown. Under -short it
// is every 30th cell.
func TestDemoSettings(t *testing.T) {
	t.Parallel()
	files := demo(t)
	m := loadDemo(t, files)
	sheet := files["marsh-tern.gusset"].Data
	file, diags := text.Parse(text.NewSource("marsh-tern.gusset", sheet))
	require.NoError(t, diags.Err())
	before, _ := account(m)
	cells, tried, every := 0, 0, rounds(1, 30)
	for _, p := range m.Pages() {
		for _, it := range p.Items {
			if it.Cell == nil || it.Cell.Kind != explain.Given || it.Cell.Status != explain.OK {
				continue
			}
			if cells++; cells%every != 0 {
				continue
			}
			was := typedAgain(it.Cell.Value)
			if it.Cell.IsText {
				was = it.Cell.Text
			}
			for _, value := range []string{"", "0", "1e308"} {
				if m.Set(it.Cell.Name, value) != nil {
					continue
				}
				tried++
				checkSound(t, m)
				if it.Cell.IsText && value != "" {
					continue // in the sheet a text stands in quotes
				}
				edited, err := text.SetGiven(file, it.Cell.Name, value)
				require.NoError(t, err)
				files["marsh-tern.gusset"] = &fstest.MapFile{Data: []byte(edited.Source.Text())}
				want, _ := account(loadDemo(t, files))
				got, _ := account(m)
				require.Equal(t, want, got, "%s = %q", it.Cell.Name, value)
			}
			require.NoError(t, m.Set(it.Cell.Name, was))
		}
	}
	require.Greater(t, tried, 60/every)
	after, _ := account(m)
	require.Equal(t, before, after, "all values set back")
}
