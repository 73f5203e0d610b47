package project

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/fsnotify/fsnotify"
)

// Saves tells of changes to some files. It watches their folders: an editor that saves by renaming puts another file in
// the place of the one that was there, and with it ends any watch on that.
type Saves struct {
	*fsnotify.Watcher
	files []string
}

// Follow goes over to some files. Fresh tells that a folder was not watched before: what happened there until now has
// not been seen.
func (s *Saves) Follow(files []string) (fresh bool, err error) {
	s.files = withTargets(files)
	known := s.WatchList()
	for _, f := range s.files {
		folder := folderOf(f)
		if slices.Contains(known, folder) {
			continue
		}
		if failed := s.Add(folder); failed != nil && !errors.Is(failed, fs.ErrNotExist) { // it may just have gone
			err = failed
			continue
		}
		fresh = true
		known = append(known, folder)
	}
	return fresh, err
}

// Concern reports whether something that happened may have changed one of the files: it happened to the file itself, or
// to a folder above it.
func (s *Saves) Concern(ev fsnotify.Event) bool {
	if ev.Op == fsnotify.Chmod {
		return false
	}
	return slices.ContainsFunc(s.files, func(f string) bool {
		return f == ev.Name || strings.HasPrefix(f, ev.Name+string(filepath.Separator))
	})
}

// withTargets adds the files that links lead to, each once.
func withTargets(files []string) []string {
	var all []string
	for _, f := range files {
		all = append(all, f)
		if target, err := filepath.EvalSymlinks(f); err == nil {
			all = append(all, target)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// folderOf returns the folder of a file or, as long as it is not there, the nearest one above.
func folderOf(file string) string {
	for at := filepath.Dir(file); ; at = filepath.Dir(at) {
		if info, err := os.Stat(at); err == nil && info.IsDir() || at == filepath.Dir(at) {
			return at
		}
	}
}
