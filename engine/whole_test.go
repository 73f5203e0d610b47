package engine

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/explain"
	"gusset/engine/program"
	"gusset/library"
	"gusset/sheets/text"
)

// damage is a line of a table with a mistake in it.
type damage struct {
	what, table string
	sheet       []byte
	line        int
}

// damages returns a sheet with each row of its tables dedented, with a bar too many, with one too few and doubled, and
// with each worked column spoilt, in turn.
func damages(t *testing.T, name string, data []byte) []damage {
	f, diags := text.Parse(text.NewSource(name, data))
	require.NoError(t, diags.Err())
	var all []damage
	for _, n := range f.Nodes {
		table, ok := n.(*text.Table)
		if !ok {
			continue
		}
		spoil := func(what string, at text.Span, by func(code string) string) {
			line := string(data[at.Start:at.End])
			made := by(strings.TrimSpace(line))
			sheet := append(append(append([]byte{}, data[:at.Start]...), made+"\n"...), data[at.End:]...)
			all = append(all, damage{what, table.Name.Text, sheet, f.Source.Position(at.Start).Line + strings.Count(made, "\n")})
		}
		for _, r := range table.Rows {
			bar := -1 // the first outside the row's name
			if name := int(r.Name.Span.End - r.Extent().Start); len(r.Values) > 0 {
				line := string(data[r.Extent().Start:r.Extent().End])
				bar = len(strings.TrimSpace(line[:name])) + strings.IndexByte(line[name:], '|')
			}
			spoil("dedented", r.Extent(), func(code string) string { return code })
			spoil("doubled", r.Extent(), func(code string) string { return "      " + code + "\n      " + code })
			if bar < 0 {
				continue
			}
			spoil("a bar too many", r.Extent(), func(code string) string { return "      " + code[:bar] + "|" + code[bar:] })
			spoil("a bar too few", r.Extent(), func(code string) string { return "      " + code[:bar] + " " + code[bar+1:] })
		}
		for _, c := range table.Worked {
			spoil("a column spoilt", c.Extent(), func(code string) string { return "      (" + code })
		}
	}
	return all
}

// mustLose returns the values of a sound model that must not be there once a table is not whole: what goes through its
// rows, and what reads that. Formulas that can do without a part, by ?? or ? : or and, are left out.
func mustLose(m *Model, tableName string) map[string]bool {
	lost := map[int32]bool{}
	for round := 0; round == 0 || len(lost) != round; {
		round = len(lost)
		for i := range m.st.Slots {
			s := int32(i)
			sl := m.st.Slots[s]
			if sl.Root == program.None || lost[s] || !program.IsNumber(m.st.Mach.Regs[s]) {
				continue
			}
			gone, optional := false, false
			var look func(root int32)
			look = func(root int32) {
				m.st.Walk(root, func(n *program.Node) {
					switch n.Op {
					case program.OpGiven, program.OpChoose, program.OpAnd, program.OpOr:
						optional = true
					case program.OpColumn:
						t := m.st.Columns[n.A].Table
						gone = gone || t.Name.Text == tableName && !t.Mod.Library
					case program.OpRows:
						gone = gone || m.st.Tables[n.A].Name.Text == tableName && !m.st.Tables[n.A].Mod.Library
					case program.OpSlot:
						gone = gone || lost[n.A]
					case program.OpOwn:
						gone = gone || lost[m.st.Columns[n.A].Base+sl.Row]
					case program.OpCall:
						look(m.st.Formulas[n.A].Body)
					}
				})
			}
			look(sl.Root)
			if gone && !optional {
				lost[s] = true
			}
		}
		if len(lost) == 0 {
			break
		}
	}
	names := map[string]bool{}
	for _, e := range m.Entries() {
		if lost[int32(e.Place)] {
			names[e.Name] = true
		}
	}
	return names
}

// TestNoTotalOverADamagedTable spoils each line of the demos' tables, one at a time. What goes through the
// rows of that table has no result then, and whatever still has a value has the one that it had. Under -short it is every
// 210th line.
func TestNoTotalOverADamagedTable(t *testing.T) {
	lostAtAll := map[string]int{}
	every := rounds(1, 210)
	var lock sync.Mutex
	for _, d := range []struct{ folder, model string }{
		{"marsh-tern", "marsh-tern.gusset"}, {"dune-whimbrel", "dune-whimbrel.gusset"},
		{"mill-wagtail", "mill-wagtail.gusset"},
	} {
		files := fstest.MapFS{}
		paths, err := filepath.Glob("../testdata/" + d.folder + "/*.gusset")
		require.NoError(t, err)
		for _, p := range paths {
			data, err := os.ReadFile(p)
			require.NoError(t, err)
			files[filepath.Base(p)] = &fstest.MapFile{Data: data}
		}
		sound, err := Load(program.Sources{Files: files, Library: library.Pages()}, d.model)
		require.NoError(t, err)
		require.Empty(t, sound.Mistakes())
		before := map[string]Entry{}
		for _, e := range sound.Entries() {
			before[e.Name] = e
		}
		work := make(chan func())
		var workers sync.WaitGroup
		for range runtime.GOMAXPROCS(0) {
			workers.Go(func() {
				for f := range work {
					f()
				}
			})
		}
		tried := 0
		for _, mod := range sound.st.Modules {
			if mod.Library {
				continue
			}
			lose := map[string]map[string]bool{}
			for _, x := range damages(t, mod.Path, files[mod.Path].Data) {
				if tried++; tried%every != 0 {
					continue
				}
				if lose[x.table] == nil {
					lose[x.table] = mustLose(sound, x.table)
				}
				lost := lose[x.table]
				work <- func() {
					n := checkDamage(t, files, d.model, mod.Path, x, before, lost)
					lock.Lock()
					lostAtAll[d.folder] += n
					lock.Unlock()
				}
			}
		}
		close(work)
		workers.Wait()
		t.Logf("%s: %d lines spoilt", d.folder, tried)
		require.Greater(t, tried, 100)
		require.Greater(t, lostAtAll[d.folder], rounds(100, 10))
	}
}

// checkDamage loads a project with a damaged sheet, and returns how many values had to be lost.
func checkDamage(
	t *testing.T, files fstest.MapFS, model, path string, x damage, before map[string]Entry, lost map[string]bool,
) int {
	damaged := fstest.MapFS{}
	for name, file := range files {
		damaged[name] = file
	}
	damaged[path] = &fstest.MapFile{Data: x.sheet}
	m, err := Load(program.Sources{Files: damaged, Library: library.Pages()}, model)
	if !assert.NoError(t, err) {
		return 0
	}
	where := fmt.Sprintf("%s:%d: %s in the table %s", path, x.line, x.what, x.table)
	assert.Error(t, m.Mistakes().Err(), where)
	said := false
	for _, e := range m.Entries() {
		was, known := before[e.Name]
		switch {
		case e.Status == explain.OK && lost[e.Name]:
			assert.Fail(t, "a result is left", "%s: %s is %s", where, e.Name, e.Quantity())
		case e.Status == explain.OK && known && was.Status == explain.OK:
			assert.Empty(t, Moves([]Entry{was}, []Entry{e}), "%s: %s", where, e.Name)
		}
		said = said || strings.Contains(e.Reason, "was not read whole: mend line ")
	}
	if len(lost) > 0 {
		assert.True(t, said, "%s: no reason says which line to mend", where)
	}
	return len(lost)
}
