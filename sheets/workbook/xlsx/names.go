package xlsx

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// readContents reads the list of the sheets and the defined names. It returns the part of each sheet, or nothing for a
// sheet without cells, such as a chart.
func (r *bookReader) readContents(name string, links []link) (sheetParts []string, err error) {
	names := map[string]bool{}
	err = r.read(name, "workbook", func(d *document) error {
		return d.each("", func(t tag) error {
			switch t.Name.Local {
			case "sheets":
				return d.each("sheet", func(t tag) error {
					part, err := r.addSheet(t, links, sheetParts)
					sheetParts = append(sheetParts, part)
					return err
				})
			case "definedNames":
				return d.each("definedName", func(t tag) error { return r.addName(d, t, names) })
			}
			return nil
		})
	})
	return sheetParts, err
}

// addSheet adds a sheet to the book and returns its part. Those of the sheets before it are taken.
func (r *bookReader) addSheet(t tag, links []link, taken []string) (string, error) {
	s := &Sheet{Name: unescape(t.attr("name")), cells: map[location]stored{}}
	if r.book.byName[fold(s.Name)] != nil {
		return "", damaged("the sheet %s is there twice", inQuotes(s.Name))
	}
	if len(r.book.Sheets) >= maxSheets {
		return "", tooMuch("the workbook has over %d sheets", maxSheets)
	}
	r.book.byName[fold(s.Name)] = s
	r.book.Sheets = append(r.book.Sheets, s)
	id := t.prefixed("id")
	i := slices.IndexFunc(links, func(l link) bool { return l.id == id })
	switch {
	case i < 0:
		return "", damaged("the sheet %s is not in the file", inQuotes(s.Name))
	case slices.Contains(taken, links[i].part) && links[i].part != "":
		return "", damaged("the sheet %s takes the place of another one", inQuotes(s.Name))
	case links[i].kind != "worksheet":
		return "", nil
	}
	return links[i].part, nil
}

// addName adds a defined name. Names are told apart without regard to case, within each sheet and within the book.
func (r *bookReader) addName(d *document, t tag, names map[string]bool) error {
	n := Name{Name: unescape(t.attr("name"))}
	scope := t.attr("localSheetId")
	if scope != "" {
		i, err := strconv.Atoi(scope)
		if err != nil || i < 0 || i >= len(r.book.Sheets) {
			return damaged("the name %s belongs to a sheet that is not there", inQuotes(n.Name))
		}
		n.Sheet = r.book.Sheets[i]
		scope = strconv.Itoa(i)
	}
	key := scope + "!" + fold(n.Name)
	if names[key] {
		return damaged("the name %s is there twice", inQuotes(n.Name))
	}
	names[key] = true
	if len(r.book.Names) >= maxNames {
		return tooMuch("the workbook has over %d defined names", maxNames)
	}
	text, err := d.text()
	n.RefersTo = unescape(text)
	r.book.Names = append(r.book.Names, n)
	if err == nil {
		err = r.keepText(n.Name + n.RefersTo)
	}
	return err
}

// isTrue reads a boolean of XML.
func isTrue(s string) bool { return s == "1" || s == "true" }

// fold returns a name in the form that all its spellings in large and small letters share.
func fold(s string) string {
	return strings.Map(func(r rune) rune { return unicode.ToLower(unicode.ToUpper(r)) }, s)
}
