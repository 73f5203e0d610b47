package project

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/fsnotify/fsnotify"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWhatConcernsAFile(t *testing.T) {
	at := filepath.FromSlash
	s := Saves{files: []string{at("/models/tern/tern.gusset"), at("/models/shop/rack.gusset")}}
	for _, tt := range []struct {
		name string
		op   fsnotify.Op
		want bool
	}{
		{"/models/tern/tern.gusset", fsnotify.Write, true},
		{"/models/tern/tern.gusset", fsnotify.Create, true},
		{"/models/tern/tern.gusset", fsnotify.Remove, true},
		{"/models/tern/tern.gusset", fsnotify.Rename, true},
		{"/models/tern/tern.gusset", fsnotify.Chmod, false},
		{"/models/tern/tern.gusset", fsnotify.Write | fsnotify.Chmod, true},
		{"/models/tern/tern.gusset~", fsnotify.Write, false},
		{"/models/tern/.tern.gusset.swp", fsnotify.Create, false},
		{"/models/tern/rack.gusset", fsnotify.Write, false},
		{"/models/shop", fsnotify.Create, true},
		{"/models/sho", fsnotify.Create, false},
		{"/models/shop.old", fsnotify.Rename, false},
	} {
		assert.Equal(t, tt.want, s.Concern(fsnotify.Event{Name: at(tt.name), Op: tt.op}), "%s %s", tt.op, tt.name)
	}
}

// TestFoldersAreFollowed: files of one folder share its watch, a folder that is not there is waited for in the
// one above, and a link is followed to the folder of what it leads to.
func TestFoldersAreFollowed(t *testing.T) {
	top, err := filepath.EvalSymlinks(t.TempDir())
	require.NoError(t, err)
	in := func(name string) string { return filepath.Join(top, name) }
	require.NoError(t, os.MkdirAll(in("real"), 0o755))
	require.NoError(t, os.WriteFile(in("real/a.gusset"), nil, 0o644))
	require.NoError(t, os.Symlink(in("real/a.gusset"), in("link.gusset")))
	assert.Equal(t, top, folderOf(in("none/of/these.gusset")))

	w, err := fsnotify.NewWatcher()
	require.NoError(t, err)
	defer w.Close()
	s := Saves{Watcher: w}
	follow := func(fresh bool, files ...string) {
		t.Helper()
		got, err := s.Follow(files)
		require.NoError(t, err)
		assert.Equal(t, fresh, got)
	}
	follow(true, in("a.gusset"), in("b.gusset"))
	assert.Equal(t, []string{top}, s.WatchList())
	follow(false, in("a.gusset"), in("later/c.gusset"))
	require.NoError(t, os.Mkdir(in("later"), 0o755))
	follow(true, in("a.gusset"), in("later/c.gusset"))
	assert.ElementsMatch(t, []string{top, in("later")}, s.WatchList())
	follow(true, in("link.gusset"))
	assert.True(t, s.Concern(fsnotify.Event{Name: in("real/a.gusset"), Op: fsnotify.Write}))
	assert.False(t, s.Concern(fsnotify.Event{Name: in("a.gusset"), Op: fsnotify.Write}), "no longer followed")
}
