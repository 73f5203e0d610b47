package project

import (
	"errors"
	"time"
)

// locks are the folders that this run has locked, each with what gives it back.
//
// The folder is locked and not the file in it, as every write puts another file in the file's place. The system gives a
// lock back when its process ends, however it ends. On a file system without locks, such as some network
// drives, writers go ahead without; what Edit has read is compared all the same.
type locks map[string]func()

// How long to wait for a lock. What another run does under a lock takes seconds at most.
const (
	lockPatience = 30 * time.Second
	lockPause    = 5 * time.Millisecond
)

// errLocked and errNoLocks tell why a folder could not be locked: another process has the lock, or there are none here.
var (
	errLocked  = errors.New("the folder is locked")
	errNoLocks = errors.New("folders cannot be locked here")
)

// take locks a folder, and waits while another run has the lock.
func (l locks) take(file, folder string) error {
	for deadline := time.Now().Add(lockPatience); ; time.Sleep(lockPause) {
		release, err := tryLock(folder)
		switch {
		case err == nil:
			l[folder] = release
			return nil
		case errors.Is(err, errNoLocks):
			return nil
		case !errors.Is(err, errLocked):
			return unwritten(file, err)
		case time.Now().After(deadline):
			return &Error{
				File: file, Kind: Busy, Msg: "another run of gusset is writing in this folder",
				Hint: "run the same command again when it has ended",
			}
		}
	}
}

// hold reports whether a folder is really locked.
func (l locks) hold(folder string) bool { return l[folder] != nil }

// release gives the locks back.
func (l locks) release() {
	for _, release := range l {
		release()
	}
}
