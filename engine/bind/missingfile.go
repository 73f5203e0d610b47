package bind

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"gusset/sheets/text"
	"gusset/units/nearest"
)

// What to do about a line with use whose file is not found.

// useLine is a hint: the line as it should be.
func useLine(file string) string { return "use " + text.Quote(text.Visible(file)) }

// pathHint is for a path that starts from the top of a disk, or is written as on another system.
func pathHint(file string) string {
	file = strings.ReplaceAll(file, `\`, "/")
	if path.IsAbs(file) || strings.Contains(file, ":") {
		base := path.Base(file)
		return fmt.Sprintf("if it is in the same folder, %s; if in the folder above, %s", useLine(base), useLine("../"+base))
	}
	return useLine(file)
}

// meantFile suggests which sheet was meant by a file that is not there: one whose name has had another ending
// put to it, one of the same name in a folder above or below, or one in the same folder whose name is close.
func meantFile(files fs.FS, file, target, asking string, missing error) string {
	if !errors.Is(missing, fs.ErrNotExist) {
		return ""
	}
	folder, base := path.Dir(target), path.Base(target)
	names := sheetNames(files, folder, asking)
	stem := strings.TrimSuffix(base, path.Ext(base)) + ".gusset"
	switch {
	case slices.Contains(names, stem):
		return useLine(path.Join(path.Dir(file), stem))
	case isPlain(files, target+".txt"):
		return fmt.Sprintf("an editor has called it %s.txt; take the .txt off its name", text.Visible(base))
	}
	up := "../"
	for at := path.Dir(asking); at != "."; up += "../" {
		if at = path.Dir(at); isPlain(files, path.Join(at, base)) {
			return useLine(up + base)
		}
	}
	if near := besideFolder(files, folder, base, asking); near != "" {
		return useLine(between(path.Dir(asking), near))
	}
	for i, name := range names { // the ending, which all have, is no likeness
		names[i] = strings.TrimSuffix(name, ".gusset")
	}
	if near, ok := nearest.Word(strings.TrimSuffix(base, ".gusset"), names); ok {
		return useLine(path.Join(path.Dir(file), near+".gusset"))
	}
	return ""
}

// maxFolders is how many folders are looked into for a sheet that is not where it was said to be.
const maxFolders = 100

// besideFolder finds a sheet in the folder above the one where it is missing, or in the one folder below it
// that has it.
func besideFolder(files fs.FS, folder, base, asking string) string {
	if above := path.Join(path.Dir(folder), base); folder != "." && above != asking && isPlain(files, above) {
		return above
	}
	entries, err := fs.ReadDir(files, folder)
	if err != nil {
		return ""
	}
	found, looked := "", 0
	for _, e := range entries {
		if !e.IsDir() {
			continue
		}
		if looked++; looked > maxFolders {
			break
		}
		if below := path.Join(folder, e.Name(), base); below != asking && isPlain(files, below) {
			if found != "" {
				return "" // it could be either
			}
			found = below
		}
	}
	return found
}

// between returns the way from a folder to a file.
func between(folder, file string) string {
	up := ""
	for folder != "." && !strings.HasPrefix(file, folder+"/") {
		folder, up = path.Dir(folder), up+"../"
	}
	if folder != "." {
		file = strings.TrimPrefix(file, folder+"/")
	}
	return up + file
}

// sheetNames returns the sheets in a folder other than the one that asks.
func sheetNames(files fs.FS, folder, asking string) []string {
	entries, err := fs.ReadDir(files, folder)
	if err != nil {
		return nil
	}
	var names []string
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), ".gusset") && path.Join(folder, e.Name()) != asking {
			names = append(names, e.Name())
		}
	}
	return names
}

// isPlain reports whether a plain file of that name is there.
func isPlain(files fs.FS, name string) bool {
	info, err := fs.Stat(files, name)
	return err == nil && info.Mode().IsRegular()
}
