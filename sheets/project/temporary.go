package project

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"sync"
)

// temporary is a file that is being written. It goes again when the run ends before the file is whole.
type temporary struct {
	*os.File
}

// temporaries are those of this process. Whoever has the lock may make, rename and remove them; Abandon keeps it.
var temporaries = struct {
	sync.Mutex
	open map[*temporary]bool
}{open: map[*temporary]bool{}}

// Abandon removes what has been written in part, and lets nothing more be written: the process is about to end. It
// returns with every file either as it was or whole.
func Abandon() {
	temporaries.Lock()
	for t := range temporaries.open {
		t.Close() // some systems remove no open file
		os.Remove(t.Name())
	}
}

// newTemporary makes a file that is not there yet.
func newTemporary(file string, perm fs.FileMode) (*temporary, error) {
	temporaries.Lock()
	defer temporaries.Unlock()
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, perm)
	if err != nil {
		return nil, err
	}
	t := &temporary{f}
	temporaries.open[t] = true
	return t, nil
}

// temporaryName matches the names that newTemporaryIn gives.
var temporaryName = regexp.MustCompile(`^\.gusset-[0-9]+$`)

// newTemporaryIn makes a file of a name of its own in a folder.
func newTemporaryIn(folder string, perm fs.FileMode) (*temporary, error) {
	for {
		t, err := newTemporary(filepath.Join(folder, fmt.Sprintf(".gusset-%d", rand.Uint32())), perm)
		if !errors.Is(err, fs.ErrExist) {
			return t, err
		}
	}
}

// clearTemporaries removes what runs that were killed have left in a folder. The folder must be locked: then no
// run that goes on has a temporary file in it.
func clearTemporaries(folder string) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return // they do no harm
	}
	temporaries.Lock()
	defer temporaries.Unlock()
	for _, e := range entries {
		file := filepath.Join(folder, e.Name())
		if temporaryName.MatchString(e.Name()) && e.Type().IsRegular() && !isOpen(file) {
			os.Remove(file)
		}
	}
}

// isOpen reports whether a file is one of temporaries, which must be locked.
func isOpen(file string) bool {
	for t := range temporaries.open {
		if t.Name() == file {
			return true
		}
	}
	return false
}

// rename puts the file in the place of another.
func (t *temporary) rename(target string) error {
	temporaries.Lock()
	defer temporaries.Unlock()
	if err := os.Rename(t.Name(), target); err != nil {
		return err
	}
	delete(temporaries.open, t)
	return nil
}

// keep makes the file one that stays.
func (t *temporary) keep() {
	temporaries.Lock()
	defer temporaries.Unlock()
	delete(temporaries.open, t)
}

// remove removes the file, unless it has been renamed or kept.
func (t *temporary) remove() {
	temporaries.Lock()
	defer temporaries.Unlock()
	if temporaries.open[t] {
		t.Close()
		os.Remove(t.Name())
		delete(temporaries.open, t)
	}
}
