package project

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestSheetDependsOn: everything that the result hangs on is among the files, also what is not there.
func TestSheetDependsOn(t *testing.T) {
	top, err := filepath.EvalSymlinks(t.TempDir())
	require.NoError(t, err)
	for name, data := range map[string]string{
		"bench.gusset":       "",
		"models/tern.gusset": "use \"../shop/rack.gusset\"\nuse \"not-there.gusset\" as later\n",
		"shop/rack.gusset":   "use \"../timber.gusset\"\n",
		"timber.gusset":      "",
		"unused.gusset":      "",
	} {
		write(t, filepath.Join(top, name), data)
	}
	s, err := Load(filepath.Join(top, "models", "tern.gusset"))
	require.NoError(t, err)
	assert.Equal(t, top, s.Folder)
	assert.Equal(t, filepath.Join(top, "shop", "rack.gusset"), s.File("shop/rack.gusset"))
	var names []string
	for _, f := range s.Files {
		name, err := filepath.Rel(top, f)
		require.NoError(t, err)
		names = append(names, filepath.ToSlash(name))
	}
	slices.Sort(names)
	assert.Equal(t, []string{
		"bench.gusset", "models/bench.gusset", "models/not-there.gusset", "models/not-there.gusset.txt",
		"models/tern.gusset", "not-there.gusset",
		"shop/rack.gusset", "timber.gusset",
	}, slices.Compact(names))

	// what is not there may come
	s, err = Load(filepath.Join(top, "models", "none.gusset"))
	requireKind(t, Missing, err)
	assert.Nil(t, s.Model)
	assert.Contains(t, s.Files, filepath.Join(top, "models", "none.gusset"))
}

func TestFind(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{
		"b.gusset", "a.gusset", "notes.txt", "in/c.gusset", ".hidden/d.gusset", "1/2/3/4/5/6/7/8/e.gusset",
		"1/2/3/4/5/6/7/8/9/f.gusset",
	} {
		write(t, filepath.Join(dir, filepath.FromSlash(name)), "")
	}
	files, err := Find(dir)
	require.NoError(t, err)
	for i, f := range files {
		name, err := filepath.Rel(dir, f)
		require.NoError(t, err)
		files[i] = filepath.ToSlash(name)
	}
	assert.Equal(t, []string{"1/2/3/4/5/6/7/8/e.gusset", "a.gusset", "b.gusset", "in/c.gusset"}, files)
	_, err = Find(filepath.Join(
		dir, ".hidden", ".."+string(filepath.Separator)+"1", "2", "3", "4", "5", "6", "7", "8", "9",
	))
	require.NoError(t, err)
	require.NoError(t, os.Mkdir(filepath.Join(dir, "empty"), 0o755))
	_, err = Find(filepath.Join(dir, "empty"))
	requireKind(t, NoSheets, err)
}

func TestTyped(t *testing.T) {
	for in, want := range map[string]string{
		"tern.gusset": "tern.gusset", "my tern.gusset": `"my tern.gusset"`,
		"a\x1b]0;x\x07.gusset": "\"a\ufffd]0;x\ufffd.gusset\"",
		"a\xffb":               "a\ufffdb", "a\u202eb": "a\ufffdb", "flügel.gusset": "flügel.gusset",
	} {
		assert.Equal(t, want, Typed(in))
	}
}
