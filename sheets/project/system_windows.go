package project

import (
	"errors"
	"fmt"
	"hash/fnv"
	"io/fs"
	"os"
	"strings"
	"syscall"
	"unsafe"
)

// nonBlocking is for systems where a pipe can have the name of a file.
const nonBlocking = 0

// The commands that hints name.
const (
	rename       = "ren"
	makeWritable = "attrib -r"
)

var createMutex = syscall.NewLazyDLL("kernel32.dll").NewProc("CreateMutexW")

// tryLock locks a folder without waiting: by a named object of the system, which is there as long as a process
// holds it.
func tryLock(folder string) (release func(), err error) {
	h := fnv.New64a()
	h.Write([]byte(strings.ToLower(folder))) // capitals do not count in names of files
	name, err := syscall.UTF16PtrFromString(fmt.Sprintf(`Global\gusset-%x`, h.Sum64()))
	if err != nil {
		return nil, errNoLocks
	}
	mutex, _, err := createMutex.Call(0, 0, uintptr(unsafe.Pointer(name)))
	switch {
	case mutex == 0:
		return nil, errNoLocks
	case errors.Is(err, syscall.ERROR_ALREADY_EXISTS):
		syscall.CloseHandle(syscall.Handle(mutex))
		return nil, errLocked
	}
	return func() { syscall.CloseHandle(syscall.Handle(mutex)) }, nil
}

// keepOwner leaves it to the system: a new file inherits who may do what from its folder.
func keepOwner(*os.File, fs.FileInfo) error { return nil }

// countLinks returns how many names a file has.
func countLinks(f *os.File) uint64 {
	var info syscall.ByHandleFileInformation
	if err := syscall.GetFileInformationByHandle(syscall.Handle(f.Fd()), &info); err != nil {
		return 1
	}
	return uint64(info.NumberOfLinks)
}

// syncFolder does nothing: the system keeps a journal of names.
func syncFolder(string) {}
