package project

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"gusset/sheets/text"
)

// Edit changes a file: change is given what is in it, and what it returns takes its place, whole or not at all.
// While change works, no other run of gusset writes the file, so it must not wait for a person. An editor knows
// nothing of that: what it saves meanwhile is noticed, the save stays, and Edit reports Changed. What change
// returns as an error is returned as it is, and nothing is written.
//
// The file is read once more, and looked at, right before it is replaced. Between that and the rename, some
// millionths of a second, a save is not noticed: no system has a call that replaces a file only if it is what
// it was. Nor is it noticed when a program that has had the file open all along writes into it after that.
func Edit(file string, change func(old []byte) ([]byte, error)) error {
	return EditAll([]string{file}, func(old [][]byte) ([][]byte, error) {
		data, err := change(old[0])
		return [][]byte{data}, err
	})
}

// EditAll is Edit for several files. None is replaced unless all are what they were; should the system then fail to put
// one of them in its place, those before it are written already.
func EditAll(files []string, change func(old [][]byte) ([][]byte, error)) error {
	if len(files) == 0 {
		_, err := change(nil)
		return err
	}
	targets := make([]*target, len(files))
	folders := make([]string, len(files))
	for i, file := range files {
		if _, err := os.Stat(file); err != nil {
			return unread(file, err)
		}
		t, err := locate(file)
		if err != nil {
			return err
		}
		targets[i], folders[i] = t, filepath.Dir(t.real)
	}
	locks, err := lockFolders(files[0], folders)
	if err != nil {
		return err
	}
	defer locks.release()
	old := make([][]byte, len(files))
	for i, t := range targets {
		if t.old, err = t.read(); err != nil {
			return err
		}
		old[i] = bytes.Clone(t.old)
	}
	data, err := change(old)
	if err != nil {
		return err
	}
	var all []*replacement
	defer func() {
		for _, r := range all {
			r.drop()
		}
	}()
	for i, t := range targets {
		if bytes.Equal(data[i], t.old) {
			continue
		}
		r, err := t.prepare(locks, data[i])
		if err != nil {
			return err
		}
		all = append(all, r)
	}
	for _, r := range all {
		if err := r.target.unchanged(); err != nil {
			return err
		}
	}
	for _, r := range all {
		if err := r.finish(); err != nil {
			return err
		}
	}
	return nil
}

// Output writes what a command makes, in the place of what an earlier run has made or anew. It does not take
// the place of a file that the command has read, nor of one of another kind, as its first bytes tell.
func Output(file string, data []byte, read []string) error {
	t, err := locate(file)
	if err != nil {
		return err
	}
	locks, err := lockFolders(file, []string{filepath.Dir(t.real)})
	if err != nil {
		return err
	}
	defer locks.release()
	if t, err = locate(file); err != nil { // again: another run may have made it meanwhile
		return err
	}
	if err := t.mayBeOutput(data, read); err != nil {
		return err
	}
	r, err := t.prepare(locks, data)
	if err != nil {
		return err
	}
	defer r.drop()
	return r.finish()
}

// mayBeOutput refuses to write over what is not an earlier output.
func (t *target) mayBeOutput(data []byte, read []string) error {
	const other = "choose another name for what is to be written"
	if t.info == nil {
		return nil
	}
	for _, r := range read {
		if info, err := os.Stat(r); err == nil && os.SameFile(info, t.info) {
			return &Error{
				File: t.file, Kind: WouldBeRead,
				Msg:  "writing it would destroy " + Shown(FromHere(Real(r))) + ", which it is made from",
				Hint: other,
			}
		}
	}
	f, size, err := Open(t.file)
	if err != nil {
		return err
	}
	defer f.Close()
	head := make([]byte, min(4, len(data)))
	if _, err := io.ReadFull(f, head); size > 0 && (err != nil || !bytes.Equal(head, data[:len(head)])) {
		return &Error{
			File: t.file, Kind: Exists, Msg: "there is another file of this name, and it is not of this kind",
			Hint: other,
		}
	}
	return nil
}

// Create writes a file that must not be there yet.
func Create(file string, data []byte) error {
	f, err := newTemporary(file, 0o666)
	switch {
	case errors.Is(err, fs.ErrExist):
		return &Error{File: file, Kind: Exists, Msg: "this is there already", Hint: "choose another name"}
	case errors.Is(err, fs.ErrNotExist):
		return noFolder(file, makeFolder(file))
	case err != nil:
		return unwritten(file, err)
	}
	defer f.remove() // does nothing once it is kept
	_, err = f.Write(data)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return unwritten(file, err)
	}
	f.keep()
	syncFolder(filepath.Dir(file))
	return nil
}

// target is a file that is to be replaced, or written anew.
type target struct {
	file string      // as it was typed
	real string      // links followed: what a link leads to is replaced, not the link
	info fs.FileInfo // nil when it is not there
	old  []byte      // what Edit has read
}

// locate finds the file that a name leads to. It is a plain file, or is not there.
func locate(file string) (*target, error) {
	info, err := os.Stat(file)
	switch {
	case err == nil && !info.Mode().IsRegular():
		return nil, notPlain(file, info.Mode(), toWrite)
	case err == nil:
		real, err := filepath.EvalSymlinks(file)
		if err != nil {
			return nil, unwritten(file, err)
		}
		return &target{file: file, real: real, info: info}, nil
	case !errors.Is(err, fs.ErrNotExist):
		return nil, unwritten(file, err)
	}
	if _, err := os.Lstat(file); err == nil {
		return nil, dangling(file, "name the file itself, or take the link away")
	}
	folder, err := filepath.EvalSymlinks(filepath.Dir(file))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, noFolder(file, makeFolder(file))
	case err != nil:
		return nil, unwritten(file, err)
	}
	return &target{file: file, real: filepath.Join(folder, filepath.Base(file))}, nil
}

// read reads the file for Edit, and takes note of it anew: another run may have replaced it before the lock was ours.
func (t *target) read() ([]byte, error) {
	f, _, err := Open(t.real)
	if err != nil {
		return nil, unread(t.file, renamed(err, t.file))
	}
	defer f.Close()
	if t.info, err = f.Stat(); err != nil {
		return nil, unread(t.file, err)
	}
	data, err := io.ReadAll(io.LimitReader(f, text.MaxFile+1))
	if err != nil {
		return nil, unread(t.file, err)
	}
	return data, nil
}

// renamed returns an error of this package under another name of its file.
func renamed(err error, file string) error {
	var e *Error
	if errors.As(err, &e) {
		same := *e
		same.File = file
		return &same
	}
	return err
}

// changed says that a file is not what it was.
func (t *target) changed() error {
	return &Error{
		File: t.file, Kind: Changed,
		Msg:  "this has been changed by another program meanwhile, so it is left as it is",
		Hint: "run the same command again",
	}
}

// unchanged reports Changed when the file is not what it was.
func (t *target) unchanged() error {
	info, err := os.Lstat(t.real)
	if t.info == nil {
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		return t.changed()
	}
	if err != nil || !info.Mode().IsRegular() {
		return t.changed()
	}
	if t.old == nil { // an output: whatever workbook is there is replaced
		return nil
	}
	f, _, err := Open(t.real)
	if err != nil {
		return t.changed()
	}
	defer f.Close()
	now, err := io.ReadAll(io.LimitReader(f, text.MaxFile+1))
	if err != nil || !bytes.Equal(now, t.old) {
		return t.changed()
	}
	after, err := os.Lstat(t.real) // nor has anybody written while it was read
	if err != nil || !os.SameFile(after, t.info) || !after.ModTime().Equal(info.ModTime()) || after.Size() != info.Size() {
		return t.changed()
	}
	return nil
}

// replacement is a file that is ready to be put in the place of its target.
type replacement struct {
	target *target
	temp   *temporary
}

// prepare writes data beside its target, with everything that belongs to the present file: owner, group and mode. What
// cannot be kept so is refused. Not kept are access lists and other attributes beyond these.
func (t *target) prepare(locks locks, data []byte) (*replacement, error) {
	if err := t.mayBeReplaced(); err != nil {
		return nil, err
	}
	folder := filepath.Dir(t.real)
	if locks.hold(folder) {
		clearTemporaries(folder)
	}
	perm := fs.FileMode(0o666)
	if t.info != nil {
		perm = 0o600 // until it has the mode of the present file, nobody else looks into it
	}
	temp, err := newTemporaryIn(folder, perm)
	if err != nil {
		return nil, unwritten(t.file, err)
	}
	_, err = temp.Write(data)
	if t.info != nil && err == nil {
		if err := keepOwner(temp.File, t.info); err != nil {
			temp.remove()
			return nil, &Error{
				File: t.file, Kind: WouldLose,
				Msg:  "its owner or its group is not yours, and would be if it were written",
				Hint: "work on a copy of your own",
			}
		}
		err = temp.Chmod(t.info.Mode() & (fs.ModePerm | fs.ModeSetuid | fs.ModeSetgid | fs.ModeSticky))
	}
	if err = errors.Join(err, temp.Sync(), temp.Close()); err != nil {
		temp.remove()
		return nil, unwritten(t.file, err)
	}
	return &replacement{t, temp}, nil
}

// mayBeReplaced refuses to replace a file that could not be written otherwise, or that has other names: they would keep
// the old text.
func (t *target) mayBeReplaced() error {
	if t.info == nil {
		return nil
	}
	f, err := os.OpenFile(t.real, os.O_WRONLY|nonBlocking, 0)
	if err == nil {
		defer f.Close()
	}
	switch {
	case t.info.Mode()&0o222 == 0: // the super-user may write it all the same, and is not asked to
		return &Error{
			File: t.file, Kind: WouldLose, Msg: "this is marked read-only, so it is left as it is",
			Hint: "if it is to be written: " + makeWritable + " " + Typed(t.file),
		}
	case errors.Is(err, fs.ErrNotExist):
		return t.changed()
	case err != nil:
		return unwritten(t.file, err)
	}
	if n := countLinks(f); n > 1 {
		return &Error{
			File: t.file, Kind: WouldLose,
			Msg:  "this file has another name too (it has hard links), which would keep the old text",
			Hint: "name it once only, or work on a copy",
		}
	}
	return nil
}

// finish puts the new file in the place of the target, if that is what it was.
func (r *replacement) finish() error {
	if err := r.target.unchanged(); err != nil {
		return err
	}
	if err := r.temp.rename(r.target.real); err != nil {
		return unwritten(r.target.file, err)
	}
	syncFolder(filepath.Dir(r.target.real))
	return nil
}

// drop removes the new file, unless it has been put in its place.
func (r *replacement) drop() { r.temp.remove() }

// lockFolders takes the locks of some folders, in one order for all runs so that no two wait for each other. A message
// about them is about file.
func lockFolders(file string, folders []string) (locks, error) {
	all := locks{}
	slices.Sort(folders)
	for _, folder := range slices.Compact(folders) {
		if err := all.take(file, folder); err != nil {
			all.release()
			return nil, err
		}
	}
	return all, nil
}
