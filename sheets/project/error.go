package project

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"gusset/engine"
)

// Kind tells what is wrong with a file.
type Kind uint8

// The kinds of an Error.
const (
	Other       Kind = iota
	Missing          // there is no such file, or no such folder
	Denied           // reading or writing it is not permitted
	NotPlain         // a folder, a pipe, a device or the like
	Outside          // it leads out of the project folder
	Exists           // it is there already
	Changed          // somebody else has written it meanwhile
	Busy             // another run of gusset is writing it
	WouldLose        // replacing the file would lose what belongs to it
	WouldBeRead      // the output is one of the files that it is made from
	NoSheets         // a folder without sheets
	TooMany          // a folder with too many sheets
)

// Error is what is wrong with a file, under the name that was typed for it.
type Error struct {
	File string
	Kind Kind
	Msg  string
	Hint string // at most one thing to do about it
}

func (e *Error) Error() string {
	s := Shown(e.File) + ": " + e.Msg
	if e.Hint != "" {
		s += "\n    hint: " + e.Hint
	}
	return s
}

// KindOf returns the kind of an error of this package, or Other.
func KindOf(err error) Kind {
	var e *Error
	if errors.As(err, &e) {
		return e.Kind
	}
	return Other
}

// unread says in plain words that a file could not be read.
func unread(file string, err error) error {
	var known *Error
	switch {
	case errors.As(err, &known):
		return err
	case errors.Is(err, fs.ErrNotExist):
		return missing(file)
	case errors.Is(err, fs.ErrPermission):
		return &Error{File: file, Kind: Denied, Msg: "reading it is not permitted"}
	case errors.Is(err, engine.ErrNotPlain):
		return notPlain(file, modeOf(file), toRead)
	case errors.Is(err, engine.ErrOutside):
		switch info, err := os.Stat(file); {
		case errors.Is(err, fs.ErrNotExist):
			return missing(file)
		case err == nil && !info.Mode().IsRegular():
			return notPlain(file, info.Mode(), toRead)
		}
		return &Error{
			File: file, Kind: Outside, Msg: "this link leads out of the folder that it is in",
			Hint: "name the sheet itself: " + Typed(FromHere(Real(file))),
		}
	}
	return &Error{File: file, Msg: plain(err)}
}

// unwritten says in plain words that a file could not be written.
func unwritten(file string, err error) error {
	var known *Error
	switch {
	case err == nil, errors.As(err, &known):
		return err
	case errors.Is(err, fs.ErrPermission):
		return &Error{File: file, Kind: Denied, Msg: "it could not be written: that is not permitted here"}
	}
	return &Error{File: file, Msg: "it could not be written: " + plain(err)}
}

// plain returns what the system says to a file, without the names of our own temporary files.
func plain(err error) string {
	var pe *fs.PathError
	var le *os.LinkError
	switch {
	case errors.As(err, &pe):
		err = pe.Err
	case errors.As(err, &le):
		err = le.Err
	}
	return err.Error()
}

// modeOf returns what kind of file something is.
func modeOf(file string) fs.FileMode {
	info, err := os.Stat(file)
	if err != nil {
		return fs.ModeIrregular
	}
	return info.Mode()
}

// purpose is what a file is wanted for.
type purpose uint8

const (
	toRead purpose = iota
	toWrite
)

// notPlain says that something is not a plain file.
func notPlain(file string, mode fs.FileMode, p purpose) error {
	e := &Error{File: file, Kind: NotPlain, Msg: "this is not a plain file", Hint: "choose another name"}
	switch {
	case mode.IsDir():
		e.Msg = "this is a folder, not a file"
	case mode&fs.ModeNamedPipe != 0:
		e.Msg = "this is a pipe, not a plain file"
	case mode&fs.ModeSocket != 0:
		e.Msg = "this is a socket, not a plain file"
	case mode&fs.ModeDevice != 0:
		e.Msg = "this is a device, not a plain file"
	}
	switch {
	case mode.IsDir():
		e.Hint = "name a file in it"
	case p == toRead:
		e.Hint = "put what comes out of it into a plain file first, and name that"
	}
	return e
}

// missing says that a file is not there, and what may have been meant.
func missing(file string) error {
	if _, err := os.Stat(filepath.Dir(file)); errors.Is(err, fs.ErrNotExist) {
		return noFolder(file, "")
	}
	if info, err := os.Lstat(file); err == nil && info.Mode().Type() == fs.ModeSymlink {
		return dangling(file, "")
	}
	e := &Error{File: file, Kind: Missing, Msg: "there is no such file"}
	there := func(name string) bool {
		info, err := os.Stat(name)
		return err == nil && info.Mode().IsRegular()
	}
	switch sheet := strings.TrimSuffix(file, ".gusset") + ".gusset"; {
	case file == "-":
		e.Hint = "only gusset tidy - and gusset ripple --was - read what is piped in: save it in a file, and name that"
	case sheet != file && there(sheet):
		e.Hint = "is it " + Typed(sheet) + "?"
	case there(sheet + ".txt"):
		e.Hint = "an editor has called it " + Shown(sheet) + ".txt; take the .txt off its name: " + rename + " " +
			Typed(sheet+".txt") + " " + Typed(sheet)
	}
	return e
}

// dangling says that a link leads to no file.
func dangling(file, hint string) error {
	to, err := os.Readlink(file)
	if err != nil {
		return &Error{File: file, Kind: Missing, Msg: plain(err)}
	}
	return &Error{File: file, Kind: Missing, Msg: "this link leads to " + Shown(to) + ", which is not there", Hint: hint}
}

// noFolder says that the folder of a file is not there.
func noFolder(file, hint string) error {
	return &Error{File: file, Kind: Missing, Msg: "there is no folder " + Shown(filepath.Dir(file)), Hint: hint}
}

// makeFolder is the command that makes the folder of a file.
func makeFolder(file string) string {
	folder := filepath.Dir(file)
	if _, err := os.Stat(filepath.Dir(folder)); err != nil && runtime.GOOS != "windows" {
		return "make it first: mkdir -p " + Typed(folder)
	}
	return "make it first: mkdir " + Typed(folder)
}
