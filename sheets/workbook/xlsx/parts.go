package xlsx

import (
	"archive/zip"
	"bytes"
	"errors"
	"io"
	"path"
	"slices"
	"strings"
)

// saveAs is what to do about a file of another kind.
const saveAs = "; in the spreadsheet program, save it as .xlsx"

// part is a file within the workbook.
type part = *zip.File

// openParts returns the parts of a workbook by their names in small letters, as case makes no difference to the
// standard.
func openParts(r io.ReaderAt, size int64) (map[string]part, error) {
	if err := checkHead(r, size); err != nil {
		return nil, err
	}
	z, err := zip.NewReader(r, size)
	if err != nil {
		return nil, damaged("the file is damaged or cut short")
	}
	if len(z.File) > maxParts {
		return nil, tooMuch("the file is packed from over %d parts", maxParts)
	}
	parts := make(map[string]part, len(z.File))
	for _, f := range z.File {
		if strings.HasSuffix(f.Name, "/") {
			continue // a folder
		}
		key := strings.ToLower(f.Name)
		if parts[key] != nil {
			return nil, damaged("the part %s is there twice", inQuotes(f.Name))
		}
		if err := checkPart(f); err != nil {
			return nil, err
		}
		parts[key] = f
	}
	if parts["mimetype"] != nil {
		return nil, errors.New("this is an OpenDocument file (.ods)" + saveAs)
	}
	return parts, nil
}

// checkHead tells a file that is no zip by its length and first bytes.
func checkHead(r io.ReaderAt, size int64) error {
	if size == 0 {
		return errors.New("the file is empty; export the workbook again")
	}
	if size > maxFile {
		return tooMuch("the file is larger than %d MiB", maxFile>>20)
	}
	head := make([]byte, 4)
	if _, err := r.ReadAt(head, 0); err != nil && err != io.EOF {
		return err
	}
	switch {
	case bytes.Equal(head, []byte{0xd0, 0xcf, 0x11, 0xe0}):
		return errors.New("this workbook has a password, or is of the old kind (.xls)" + saveAs + " without a password")
	case !bytes.Equal(head, []byte("PK\x03\x04")):
		return errors.New("this is not a workbook" + saveAs)
	}
	return nil
}

// checkPart refuses a part by what the list of parts says of it.
func checkPart(f part) error {
	name := f.Name
	switch {
	case path.Base(strings.ToLower(name)) == "vbaproject.bin":
		return errHasMacros
	case name == "" || path.Clean("/"+name) != "/"+name || strings.ContainsAny(name, "\\\x00"):
		return damaged("a part has the name %s, which leads out of the workbook", inQuotes(name))
	case f.Flags&1 != 0:
		return errors.New("this file is packed with a password" + saveAs + " without a password")
	case f.UncompressedSize64 > maxPart:
		return tooMuch("the part %s is larger than %d MiB", inQuotes(name), maxPart>>20)
	}
	return nil
}

var errHasMacros = errors.New("this workbook has macros, which are not let in" + saveAs + ", which leaves them out")

// link leads from one part to another.
type link struct {
	id   string
	kind string // the last word of its type, in small letters and without hyphens
	part string
}

// find returns the part that the first link of a kind leads to.
func find(links []link, kind string) string {
	i := slices.IndexFunc(links, func(l link) bool { return l.kind == kind })
	if i < 0 {
		return ""
	}
	return links[i].part
}

// links returns the links of a part, or of the whole file when from is empty. Links to other files are left out.
func (r *bookReader) links(from string) ([]link, error) {
	name := "_rels/.rels"
	if from != "" {
		name = path.Join(path.Dir(from), "_rels", path.Base(from)+".rels")
	}
	if r.parts[strings.ToLower(name)] == nil {
		return nil, nil
	}
	var links []link
	err := r.read(name, "Relationships", func(d *document) error {
		return d.each("Relationship", func(t tag) error {
			if t.attr("TargetMode") == "External" {
				return nil
			}
			if len(links) >= maxParts {
				return tooMuch("the part %s has over %d links", inQuotes(name), maxParts)
			}
			kind := path.Base(strings.ReplaceAll(strings.ToLower(t.attr("Type")), "-", ""))
			if kind == "vbaproject" || strings.HasSuffix(kind, "macrosheet") {
				return errHasMacros
			}
			links = append(links, link{t.attr("Id"), kind, partOf(from, t.attr("Target"))})
			return nil
		})
	})
	return links, err
}

// partOf returns the name of the part that a link's target stands for.
func partOf(from, target string) string {
	if strings.HasPrefix(target, "/") {
		return path.Clean(target)[1:]
	}
	return path.Join(path.Dir(from), target)
}
