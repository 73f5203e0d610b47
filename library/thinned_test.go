package library_test

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
)

// "One size thinner" is a builder's whole method of saving weight. This file gives each piece of each cutting list, one at a
// time, a stock of half the thickness, and holds the sheet to have a check that then fails and that speaks of that piece.

// thinnable are the sheets with a cutting list, by the folder that they stand in.
func thinnable() map[string]fs.FS {
	sheets := map[string]fs.FS{}
	for _, name := range []string{"biplane", "glider", "powered"} {
		sheets[name+".gusset"] = library.Starters()
	}
	for _, name := range []string{"dune-whimbrel", "marsh-tern", "mill-wagtail"} {
		sheets[name+".gusset"] = os.DirFS(filepath.Join("..", "testdata", name))
	}
	return sheets
}

func TestEachPartOfHalfTheThicknessFailsACheckOfItsOwn(t *testing.T) {
	for sheet, files := range thinnable() {
		t.Run(sheet, func(t *testing.T) {
			m, err := engine.Load(engine.Sources{Files: withHalves(t, files), Library: library.Pages()}, sheet)
			require.NoError(t, err)
			require.NoError(t, m.Problems().Err())
			held := failingChecks(m)
			tried := 0
			for _, e := range stocksOf(t, m) {
				if tried++; testing.Short() && tried%8 != 0 {
					continue
				}
				chosen, back := chosenBy(t, m, e)
				thin(t, m, e.Text)
				require.NoError(t, m.Set(chosen, fmt.Sprintf("%q", halved(e.Text))), e.Name)
				var failing []string
				spoken := false
				for name, c := range failingChecks(m) {
					if _, before := held[name]; !before {
						failing = append(failing, name)
						spoken = spoken || speaksOf(c, e.Row)
					}
				}
				spoken = spoken || len(failing) > 0 && slices.Contains(culprits(m), e.Row)
				slices.Sort(failing)
				assert.True(t, spoken, "%s of half the thickness: no check that names it fails, only %v", e.Row, failing)
				require.NoError(t, m.Set(chosen, back))
			}
			assert.GreaterOrEqual(t, tried, 8)
		})
	}
}

// halved is the name of the stock of half the thickness.
func halved(stock string) string { return stock + ", halved" }

// stocksOf are the entries of what each piece is planned of: a table of its own, or a column of the cutting list.
func stocksOf(t *testing.T, m *engine.Model) (stocks []engine.Entry) {
	t.Helper()
	table, column := "wood", "planned"
	if _, err := m.EntriesOf(table); err != nil {
		table, column = "cut", "stock"
	}
	pieces, err := m.EntriesOf(table)
	require.NoError(t, err)
	for _, e := range pieces {
		if e.Column == column {
			stocks = append(stocks, e)
		}
	}
	return stocks
}

// culprits are the pieces that cells beside the checks name.
func culprits(m *engine.Model) (named []string) {
	for _, e := range m.Entries() {
		if e.Table == "" && e.IsText && !e.Given {
			named = append(named, e.Text)
		}
	}
	return named
}

// chosenBy is the name of what a builder sets to choose the stock of a piece: its entry, or the cell that this follows,
// and what stands there.
func chosenBy(t *testing.T, m *engine.Model, piece engine.Entry) (name, back string) {
	t.Helper()
	quoted := fmt.Sprintf("%q", piece.Text)
	if piece.Table == "wood" {
		return strings.TrimSuffix(piece.Name, ".planned") + ".stock", ""
	}
	if piece.Given {
		return piece.Name, quoted
	}
	for _, e := range m.Entries() {
		if e.Table != "" || !e.Given || !e.IsText || e.Text != piece.Text {
			continue
		}
		require.NoError(t, m.Set(e.Name, fmt.Sprintf("%q", halved(e.Text))))
		is, err := m.Value(piece.Name)
		require.NoError(t, err)
		require.NoError(t, m.Set(e.Name, fmt.Sprintf("%q", e.Text)))
		if is.Text != piece.Text {
			return e.Name, quoted
		}
	}
	require.Fail(t, "nothing chooses the stock", piece.Name)
	return "", ""
}

// thin makes the second row of a stock half as thick as the first. What a piece weighed goes: it was not weighed as thin.
func thin(t *testing.T, m *engine.Model, stock string) {
	t.Helper()
	row := func(name, column string) string { return fmt.Sprintf("rack.stock[%q].%s", name, column) }
	full, err := m.Value(row(stock, "thickness"))
	require.NoError(t, err)
	require.NoError(t, m.SetNumber(row(halved(stock), "thickness"), full.Number/2))
	if v, err := m.Value(row(stock, "weighed")); err == nil && v.Given {
		require.NoError(t, m.Set(row(halved(stock), "weighed"), ""))
	}
}

// withHalves is a folder whose rack has each stock a second time, to be made thinner.
func withHalves(t *testing.T, files fs.FS) fs.FS {
	t.Helper()
	made := fstest.MapFS{}
	names, err := fs.Glob(files, "*.gusset")
	require.NoError(t, err)
	for _, name := range names {
		data, err := fs.ReadFile(files, name)
		require.NoError(t, err)
		if name == "rack.gusset" {
			data = doubled(t, data)
		}
		made[name] = &fstest.MapFile{Data: data}
	}
	return made
}

// doubled is the rack with each row of its table of stock twice, the second of another name.
func doubled(t *testing.T, rack []byte) []byte {
	t.Helper()
	var made, halves []string
	const before, head, rows = 0, 1, 2
	at := before
	for line := range strings.Lines(string(rack)) {
		name, rest, isRow := strings.Cut(line, "|")
		switch {
		case strings.TrimSpace(line) == "table stock":
			at = head
		case at == head:
			at = rows
		case at == rows && isRow:
			halves = append(halves, "    "+halved(strings.TrimSpace(name))+" |"+rest)
		case at == rows: // they are over
			made = append(made, halves...)
			at = before
		}
		made = append(made, line)
	}
	require.NotEmpty(t, halves, "the rack has a table of stock")
	return []byte(strings.Join(made, ""))
}

// failingChecks are the checks that do not hold, by name.
func failingChecks(m *engine.Model) map[string]engine.Cell {
	failing := map[string]engine.Cell{}
	eachItem(m, func(it engine.Item) {
		if it.Cell != nil && it.Cell.IsCheck && it.Cell.State() != engine.CheckHolds {
			failing[it.Cell.Name] = *it.Cell
		}
	})
	return failing
}

// speaksOf reports whether a check names a part, in its name, its condition or its note.
func speaksOf(c engine.Cell, part string) bool {
	all := strings.ReplaceAll(c.Name, "_", " ") + " | " + c.Formula + " | " + c.Note
	return strings.Contains(strings.ToLower(all), strings.ToLower(part))
}
