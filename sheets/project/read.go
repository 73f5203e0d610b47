package project

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"gusset/engine"
	"gusset/sheets/text"
)

// Read reads a sheet's text, of which no more than one byte beyond the largest that a sheet may be.
func Read(file string) ([]byte, error) {
	f, _, err := Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, text.MaxFile+1))
	if err != nil {
		return nil, unread(file, err)
	}
	return data, nil
}

// Open opens a plain file for reading, and returns its size. What is not a plain file is not opened at all: to
// open a pipe is to wait until somebody writes to it, and to open a device may do something.
func Open(file string) (f *os.File, size int64, err error) {
	info, err := os.Stat(file)
	switch {
	case err != nil:
		return nil, 0, unread(file, err)
	case !info.Mode().IsRegular():
		return nil, 0, notPlain(file, info.Mode(), toRead)
	}
	f, err = os.OpenFile(file, os.O_RDONLY|nonBlocking, 0)
	if err != nil {
		return nil, 0, unread(file, err)
	}
	if info, err = f.Stat(); err == nil && !info.Mode().IsRegular() { // it has just been put in the file's place
		err = notPlain(file, info.Mode(), toRead)
	}
	if err != nil {
		f.Close()
		return nil, 0, unread(file, err)
	}
	return f, info.Size(), nil
}

// plainFiles are the files of a project folder, links that lead out of it left out, for the engine.
type plainFiles struct {
	fs.FS   // of root
	root    *os.Root
	opening func(path string)        // is called with every file that is asked for
	instead func(path string) []byte // what a file holds for this once; nil: what it holds
}

// Open opens a plain file, as the function Open does.
func (p *plainFiles) Open(path string) (fs.File, error) {
	p.opening(path)
	if data := p.instead(path); data != nil {
		return &heldFile{Reader: bytes.NewReader(data), name: path}, nil
	}
	info, err := p.root.Stat(path)
	switch {
	case err != nil && p.leadsOut(path, err):
		return nil, &fs.PathError{Op: "open", Path: path, Err: engine.ErrOutside}
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular():
		return nil, &fs.PathError{Op: "open", Path: path, Err: engine.ErrNotPlain}
	}
	return p.root.OpenFile(path, os.O_RDONLY|nonBlocking, 0) // the engine looks again at what has been opened
}

// leadsOut reports whether a path, which the root has refused, leads by way of a link to something outside the folder.
func (p *plainFiles) leadsOut(path string, refused error) bool {
	if errors.Is(refused, fs.ErrNotExist) || errors.Is(refused, fs.ErrPermission) {
		return false
	}
	real, err := filepath.EvalSymlinks(filepath.Join(p.root.Name(), filepath.FromSlash(path)))
	if err != nil {
		return errors.Is(err, fs.ErrNotExist) // out there is nothing, but the root has not even looked
	}
	within, err := filepath.Rel(p.root.Name(), real)
	return err != nil || !filepath.IsLocal(within)
}

// ReadDir reads a folder, which is not a file that the result depends on.
func (p *plainFiles) ReadDir(path string) ([]fs.DirEntry, error) { return fs.ReadDir(p.FS, path) }

// heldFile is a plain file whose content is at hand.
type heldFile struct {
	*bytes.Reader
	name string
}

func (f *heldFile) Stat() (fs.FileInfo, error) { return f, nil }
func (f *heldFile) Close() error               { return nil }
func (f *heldFile) Name() string               { return f.name }
func (f *heldFile) Mode() fs.FileMode          { return 0o444 }
func (f *heldFile) ModTime() time.Time         { return time.Time{} }
func (f *heldFile) IsDir() bool                { return false }
func (f *heldFile) Sys() any                   { return nil }
