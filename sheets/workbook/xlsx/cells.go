package xlsx

import (
	"math"
	"strconv"
	"strings"
)

// sheetReader reads the cells of one sheet.
type sheetReader struct {
	*document
	sheet *Sheet
	at    location // of the cell read last
}

// readSheet reads the cells of a sheet from its part, if it has one.
func (r *bookReader) readSheet(sheet *Sheet, name string) error {
	if name == "" {
		return nil
	}
	return r.read(name, "worksheet", func(d *document) error {
		sheet.formats = r.formats
		s := sheetReader{document: d, sheet: sheet}
		return s.each("sheetData", func(tag) error {
			return s.each("row", s.readRow)
		})
	})
}

// readRow reads one row. A row or a cell that does not say where it stands comes next to the one before.
func (s *sheetReader) readRow(t tag) error {
	row := int(s.at.row) + 1
	if r := t.attr("r"); r != "" {
		row, _ = strconv.Atoi(r)
	}
	if row < 1 || row > sheetRows {
		return damaged("the sheet %s has a row %s", inQuotes(s.sheet.Name), inQuotes(t.attr("r")))
	}
	s.at = location{int32(row), 0}
	return s.each("c", s.readCell)
}

func (s *sheetReader) readCell(t tag) error {
	s.at.col++
	if r := t.attr("r"); r != "" {
		at, ok := parseLocation(r)
		if !ok || at.row != s.at.row {
			return damaged("the sheet %s has a cell %s in its row %d", inQuotes(s.sheet.Name), inQuotes(r), s.at.row)
		}
		s.at = at
	}
	if s.at.col > sheetColumns {
		return s.wrong("is beyond the last column")
	}
	c, err := s.content(t.attr("t"))
	if err != nil || c == (stored{}) {
		return err
	}
	if c.style, err = s.style(t.attr("s")); err != nil {
		return err
	}
	return s.keep(c)
}

func (s *sheetReader) keep(c stored) error {
	if _, twice := s.sheet.cells[s.at]; twice {
		return s.wrong("is there twice")
	}
	if s.book.cells++; s.book.cells > maxCells {
		return tooMuch("the workbook has over %d cells", maxCells)
	}
	s.sheet.cells[s.at] = c
	return nil
}

// wrong returns the error for the cell read last.
func (s *sheetReader) wrong(format string, args ...any) error {
	return damaged("cell %s of the sheet %s "+format, append([]any{s.at, inQuotes(s.sheet.Name)}, args...)...)
}

// content reads what is in a cell of a type.
func (s *sheetReader) content(kind string) (c stored, err error) {
	var value, inline string
	valued, inlined := false, false
	err = s.each("", func(t tag) (err error) {
		switch t.Name.Local {
		case "f":
			if err := s.addArray(t); err != nil {
				return err
			}
			formula, err := s.text()
			c.formula = formula != "TRUE()" && formula != "FALSE()" // the form in which some programs save a plain TRUE
			return err
		case "v":
			valued = true
			value, err = s.text()
		case "is":
			inlined = true
			inline, err = s.richText()
		}
		return err
	})
	switch {
	case err != nil:
		return c, err
	case kind == "inlineStr" && inlined:
		c.kind, c.text = Text, inline
		err = s.book.keepText(inline)
	case valued && kind != "inlineStr":
		err = s.setValue(&c, kind, value)
	}
	return c, err
}

// addArray notes the block of cells that a formula fills, when it is more than its own cell.
func (s *sheetReader) addArray(t tag) error {
	if kind := t.attr("t"); kind != "array" && kind != "dataTable" {
		return nil // a shared formula is told at each of its cells
	}
	from, to, _ := strings.Cut(t.attr("ref"), ":")
	first, ok := parseLocation(from)
	last, ok2 := parseLocation(to)
	switch {
	case to == "" || to == from:
		return nil
	case !ok || !ok2:
		return s.wrong("has a formula for the block %s", inQuotes(t.attr("ref")))
	case len(s.sheet.arrays) >= maxArrays:
		return tooMuch("the sheet %s has over %d formulas for blocks of cells", inQuotes(s.sheet.Name), maxArrays)
	}
	s.sheet.arrays = append(s.sheet.arrays, blockOf(first, last))
	return nil
}

// setValue puts a value of a type into the cell.
func (s *sheetReader) setValue(c *stored, kind, value string) error {
	switch kind {
	case "", "n":
		return s.setNumber(c, strings.TrimSpace(value))
	case "s":
		i, err := strconv.Atoi(strings.TrimSpace(value))
		if err != nil || i < 0 || i >= len(s.book.texts) {
			return s.wrong("shows text number %s of %d", inQuotes(value), len(s.book.texts))
		}
		c.kind, c.text = Text, s.book.texts[i]
	case "str", "d":
		c.kind, c.text = Text, unescape(value)
		return s.book.keepText(value)
	case "b":
		return s.setBoolean(c, strings.TrimSpace(value))
	case "e":
		c.kind, c.text = Fault, unescape(value)
		return s.book.keepText(value)
	default:
		return s.wrong("is of an unknown type, %s", inQuotes(kind))
	}
	return nil
}

func (s *sheetReader) setBoolean(c *stored, value string) error {
	switch c.kind = Boolean; {
	case isTrue(value):
		c.number = 1
	case value != "0" && value != "false":
		return s.wrong("holds %s, which is neither true nor false", inQuotes(value))
	}
	return nil
}

func (s *sheetReader) setNumber(c *stored, value string) (err error) {
	if value == "" {
		return nil
	}
	c.kind = Number
	c.number, err = strconv.ParseFloat(value, 64)
	if err != nil || math.IsInf(c.number, 0) || strings.Trim(value, "0123456789+-.eE") != "" {
		return s.wrong("holds %s, which is not a number", inQuotes(value))
	}
	return nil
}

// style returns the place of a style's number format among those of the book.
func (s *sheetReader) style(style string) (int32, error) {
	if style == "" {
		style = "0"
	}
	i, err := strconv.Atoi(style)
	switch formats := s.book.formats; {
	case err == nil && i >= 0 && i < len(formats):
		return int32(i), nil
	case len(formats) == 0:
		return 0, nil
	}
	return 0, s.wrong("has style %s of %d", inQuotes(style), len(s.book.formats))
}
