//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package project

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// nonBlocking opens a pipe without waiting for its other end.
const nonBlocking = syscall.O_NONBLOCK

// The commands that hints name.
const (
	rename       = "mv"
	makeWritable = "chmod u+w"
)

// tryLock locks a folder without waiting.
func tryLock(folder string) (release func(), err error) {
	f, err := os.Open(folder)
	if err != nil {
		return nil, errNoLocks // a folder that can be written to but not be read
	}
	for {
		err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
		if !errors.Is(err, syscall.EINTR) {
			break
		}
	}
	switch {
	case err == nil:
		return func() { f.Close() }, nil // which gives the lock back
	case errors.Is(err, syscall.EWOULDBLOCK):
		err = errLocked
	default:
		err = errNoLocks
	}
	f.Close()
	return nil, err
}

// keepOwner gives a new file the owner and the group of the one that it will replace.
func keepOwner(f *os.File, present fs.FileInfo) error {
	old, ok := present.Sys().(*syscall.Stat_t)
	if !ok {
		return nil
	}
	info, err := f.Stat()
	if err != nil {
		return err
	}
	if is, ok := info.Sys().(*syscall.Stat_t); ok && is.Uid == old.Uid && is.Gid == old.Gid {
		return nil
	}
	return f.Chown(int(old.Uid), int(old.Gid))
}

// countLinks returns how many names a file has.
func countLinks(f *os.File) uint64 {
	info, err := f.Stat()
	if err != nil {
		return 1
	}
	if st, ok := info.Sys().(*syscall.Stat_t); ok {
		return uint64(st.Nlink)
	}
	return 1
}

// syncFolder makes the names in a folder safe from a loss of power. A file system that cannot is no reason to report a
// file as not written.
func syncFolder(folder string) {
	if f, err := os.Open(folder); err == nil {
		_ = f.Sync()
		f.Close()
	}
}
