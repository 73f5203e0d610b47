// Package project finds, opens and safely replaces the files of a project.
//
// Reading: only plain files are opened, and never in a way that could wait for somebody else: a pipe or a device under
// the name of a sheet is refused, not read. A sheet and what it uses are read within the project folder alone.
//
// Writing: there are three ways, and each leaves either the old file or the whole new one. Edit changes a file that was
// read; Output writes what a command makes, a workbook for example; Create writes a file that must not be there yet.
// A writer holds a lock on the folder of its file, so that several runs of gusset follow one another.
//
// All messages use the name that was typed for a file.
package project

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/text"
)

// benchFile is the sheet that marks the top of a project folder.
const benchFile = "bench.gusset"

// Sheet is a sheet that has been loaded with everything that it uses.
type Sheet struct {
	Model  *engine.Model
	Folder string   // of the project, links resolved
	Files  []string // every file that the result depends on, whether it is there or not
}

// Load loads the sheet in a file, the library at hand. Nothing outside its project folder is read. When the sheet
// cannot be read, the Sheet has no Model, but still its Files; the error is an Error.
func Load(file string) (*Sheet, error) { return LoadInstead(file, "", nil) }

// LoadInstead is Load as if the file of the real path old, which the sheet may be or use, held something else.
func LoadInstead(file, old string, data []byte) (*Sheet, error) {
	s := &Sheet{}
	abs, err := filepath.Abs(file)
	if err != nil {
		return s, unread(file, err)
	}
	s.dependsOn(abs)
	folder, err := filepath.EvalSymlinks(filepath.Dir(abs))
	if err != nil {
		return s, unread(file, err)
	}
	sheet := filepath.Join(folder, filepath.Base(abs))
	s.dependsOn(sheet)
	s.findFolder(folder)
	root, err := os.OpenRoot(s.Folder)
	if err != nil {
		return s, unread(file, err)
	}
	defer root.Close()
	within, err := filepath.Rel(s.Folder, sheet)
	if err != nil {
		return s, unread(file, err)
	}
	path := filepath.ToSlash(within)
	s.Model, err = engine.Load(engine.Sources{
		Files: &plainFiles{FS: root.FS(), root: root, opening: func(p string) { s.dependsOn(s.file(p)) },
			instead: func(p string) []byte {
				if data == nil || s.File(p) != old {
					return nil
				}
				return data
			}},
		Library: library.Pages(),
		Name:    func(p string) string { return s.shown(p, path, file) },
	}, path)
	if err != nil {
		return s, unread(file, err)
	}
	return s, nil
}

func (s *Sheet) dependsOn(file string) { s.Files = append(s.Files, file) }

// file returns where a file of the project is, by its path within the project folder.
func (s *Sheet) file(path string) string { return filepath.Join(s.Folder, filepath.FromSlash(path)) }

// findFolder finds the project folder: the nearest folder at or above that of the sheet that holds a bench.gusset, or
// else the sheet's own. The result depends on every place below it where such a file would count.
func (s *Sheet) findFolder(own string) {
	s.Folder = own
	s.dependsOn(filepath.Join(own, benchFile))
	for at := own; ; at = filepath.Dir(at) {
		if info, err := os.Stat(filepath.Join(at, benchFile)); err == nil && info.Mode().IsRegular() {
			for below := own; below != at; below = filepath.Dir(below) {
				s.dependsOn(filepath.Join(filepath.Dir(below), benchFile))
			}
			s.Folder = at
			return
		}
		if at == filepath.Dir(at) {
			return
		}
	}
}

// shown names a sheet of the project as messages do: the asked-for one as it was typed, others from the folder that the
// program runs in.
func (s *Sheet) shown(path, asked, typed string) string {
	if path == asked {
		return Shown(typed)
	}
	here, err := os.Getwd()
	if err == nil {
		if rel, err := filepath.Rel(here, s.file(path)); err == nil {
			return Shown(rel)
		}
	}
	return Shown(path)
}

// File returns the real path of a sheet of the project, by its path in the Model.
func (s *Sheet) File(path string) string { return Real(s.file(path)) }

// Real returns where a file is, links followed, so that files can be told apart.
func Real(file string) string {
	abs, err := filepath.Abs(file)
	if err != nil {
		return file
	}
	if real, err := filepath.EvalSymlinks(abs); err == nil {
		return real
	}
	return abs
}

// FromHere names a file, given by its real path, from the folder that the program runs in.
func FromHere(file string) string {
	here, err := os.Getwd()
	if err != nil {
		return file
	}
	if rel, err := filepath.Rel(Real(here), file); err == nil {
		return rel
	}
	return file
}

// IsSheet reports whether a file's name is that of a sheet.
func IsSheet(file string) bool { return filepath.Ext(file) == ".gusset" }

// The bounds of what is looked through in a folder.
const (
	maxFound = 5000
	maxDepth = 8 // folders within folders
)

// Find returns the sheets in a folder and in those below it, in the order of their names.
func Find(folder string) ([]string, error) {
	var files []string
	top := strings.Count(filepath.Clean(folder), string(filepath.Separator))
	err := filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return unread(path, err)
		case d.IsDir() && path != folder && (strings.HasPrefix(d.Name(), ".") ||
			strings.Count(path, string(filepath.Separator))-top > maxDepth):
			return filepath.SkipDir
		case d.IsDir() || !IsSheet(path):
			return nil
		case len(files) == maxFound:
			return &Error{File: folder, Kind: TooMany, Msg: "this folder holds more than 5000 sheets",
				Hint: "name a smaller folder"}
		}
		files = append(files, path)
		return nil
	})
	if err == nil && len(files) == 0 {
		err = &Error{File: folder, Kind: NoSheets, Msg: "there is no sheet in this folder",
			Hint: "a sheet's name ends in .gusset"}
	}
	return files, err
}

// Found is a sheet that was named, or found in a folder that was.
type Found struct {
	Name     string
	InFolder bool
}

// FindAll returns the sheets that are named and those in the folders that are named, in that order and each once. What
// cannot be read is among them.
func FindAll(names []string) (all []Found, err error) {
	seen := map[string]bool{}
	add := func(f Found) {
		if real := Real(f.Name); !seen[real] {
			seen[real] = true
			all = append(all, f)
		}
	}
	for _, name := range names {
		if info, err := os.Stat(name); err != nil || !info.IsDir() {
			add(Found{name, false})
			continue
		}
		files, err := Find(name)
		if err != nil {
			return nil, err
		}
		for _, file := range files {
			add(Found{file, true})
		}
	}
	return all, nil
}

// Shown returns the name of a file as messages show it: what would steer a terminal, or is not seen, is replaced.
func Shown(file string) string { return text.Visible(file) }

// Typed returns the name of a file as it is typed on a command line.
func Typed(file string) string {
	if strings.ContainsAny(file, " \t'&();") {
		return `"` + Shown(file) + `"`
	}
	return Shown(file)
}
