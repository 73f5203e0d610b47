package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// replaceFile puts data in the place of a file, whole or not at all: it is written beside the file and then renamed. The
// file need not be there yet.
func replaceFile(file string, data []byte) error {
	target, err := filepath.EvalSymlinks(file) // the file that a link leads to is replaced, not the link
	if errors.Is(err, os.ErrNotExist) {
		target, err = file, nil
	}
	if err != nil {
		return unwritten(file, err)
	}
	mode := os.FileMode(0o644)
	if info, err := os.Stat(target); err == nil {
		mode = info.Mode().Perm()
	}
	f, err := os.CreateTemp(filepath.Dir(target), ".gusset-*")
	if err != nil {
		return unwritten(file, err)
	}
	defer os.Remove(f.Name()) // does nothing once it has been renamed
	_, err = f.Write(data)
	err = errors.Join(err, f.Chmod(mode), f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), target)
	}
	if err != nil {
		return unwritten(file, err)
	}
	return nil
}

// createFile writes a file that must not be there yet.
func createFile(file string, data []byte) error {
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, os.ErrExist) {
		return trouble(fmt.Errorf("%s is there already; choose another name", file))
	}
	if err != nil {
		return unwritten(file, err)
	}
	_, err = f.Write(data)
	if err = errors.Join(err, f.Close()); err != nil {
		os.Remove(file)
		return unwritten(file, err)
	}
	return nil
}

// unwritten says that a file could not be written.
func unwritten(file string, err error) error {
	var pe *os.PathError
	if errors.As(err, &pe) {
		err = pe.Err
	}
	return trouble(fmt.Errorf("%s could not be written: %v", file, err))
}
