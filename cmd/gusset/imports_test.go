package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// rooms says which rooms of the house each room may import. A room's sub-rooms may be imported by the room alone, and
// may import what the room may, and one another; those of the engine only as engineWay says.
var rooms = map[string][]string{
	"units/nearest":  {},
	"units":          {"units/nearest"},
	"sheets/text":    {"units/nearest"},
	"engine":         {"engine/pack", "sheets/text", "units", "units/nearest"},
	"engine/pack":    {},
	"library":        {"sheets/text"},
	"library/search": {},
	"sheets/workbook": {
		"engine", "sheets/report", "sheets/text", "sheets/workbook/formula", "units", "units/nearest",
	},
	"sheets/workbook/formula": {},
	"sheets/report":           {"engine", "sheets/text", "units", "units/nearest"},
	"sheets/page":             {"engine", "sheets/report", "sheets/text", "units"},
	"sheets/project":          {"engine", "library", "sheets/text"},
	"sheets/fill":             {"engine", "sheets/project", "sheets/report", "sheets/text", "units/nearest"},
	"cmd/gusset": {
		"engine", "library", "library/search", "sheets/fill", "sheets/page", "sheets/project", "sheets/report",
		"sheets/text", "sheets/workbook", "units", "units/nearest",
	},
}

// engineWay is the way of a sheet through the rooms of the engine. Each may import only those before it, so that Load
// walks down and does not come back up.
var engineWay = []string{
	"engine/program", "engine/check", "engine/order", "engine/bind", "engine/code", "engine/state", "engine/explain",
	"engine/differ", "engine/odds", "engine/choose", "engine/portable", "engine",
}

// engineTools know nothing of programs. All rooms of the engine may use them; they use none.
var engineTools = []string{
	"engine/formula", "engine/graph", "engine/machine", "engine/oracle", "engine/solve",
}

// TestImportDirections keeps the arrows between the rooms as they are drawn.
func TestImportDirections(t *testing.T) {
	top := os.DirFS("../..")
	seen := map[string]bool{}
	err := fs.WalkDir(top, ".", func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return err
		}
		from := roomOf(path.Dir(file))
		require.NotEmpty(t, from, "%s stands in no room", file)
		seen[from] = true
		parsed, err := parser.ParseFile(token.NewFileSet(), filepath.Join("../..", file), nil, parser.ImportsOnly)
		require.NoError(t, err)
		for _, imp := range parsed.Imports {
			name, err := strconv.Unquote(imp.Path.Value)
			require.NoError(t, err)
			within, ours := strings.CutPrefix(name, "gusset/")
			if !ours {
				if strings.HasPrefix(name, "github.com/expr-lang/expr") {
					require.Equal(t, "engine/formula", path.Dir(file), "%s: only the reader of formulas may know expr",
						file)
				}
				continue
			}
			require.NotEqual(t, "engine/oracle", within, "%s: only tests may ask the oracle", file)
			to := roomOf(within)
			if to == from {
				if to == "engine" {
					requireWayDown(t, file, within)
				}
				continue
			}
			require.Equal(t, to, within, "%s reaches into a sub-room of %s", file, to)
			require.Contains(t, rooms[from], to, "%s: %s may not import %s", file, from, to)
		}
		return nil
	})
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(seen), 5)
}

// requireWayDown asks that a file of the engine imports a room before its own.
func requireWayDown(t *testing.T, file, imported string) {
	t.Helper()
	room := path.Dir(file)
	require.NotContains(t, engineTools, room, "%s: a tool of the engine may not import %s", file, imported)
	require.Contains(t, engineWay, room, "%s stands in no room of the engine", file)
	if slices.Contains(engineTools, imported) {
		return
	}
	before := engineWay[:slices.Index(engineWay, room)]
	require.Contains(t, before, imported, "%s: %s comes later on a sheet's way, or is no room", file, imported)
}

// roomOf returns the room that a folder belongs to: the innermost one, where a room is inside another.
func roomOf(dir string) string {
	found := ""
	for room := range rooms {
		if (dir == room || strings.HasPrefix(dir, room+"/")) && len(room) > len(found) {
			found = room
		}
	}
	return found
}
