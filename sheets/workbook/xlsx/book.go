// Package xlsx reads workbooks (ISO/IEC 29500) that any spreadsheet program has saved, from whoever they come,
// within hard limits: values, formats and names, and nothing else. Nothing in them is run and nothing that they
// point to is opened.
package xlsx

import (
	"errors"
	"io"
	"strings"
)

// Book is what a workbook holds, so far as values, formats and names go. Texts are as the file has them and may hold
// any character; whoever prints them quotes them.
type Book struct {
	Names  []Name   // in the order of the file
	Sheets []*Sheet // in the order of the tabs

	byName map[string]*Sheet // folded
}

// Name is a defined name.
type Name struct {
	Name     string
	Sheet    *Sheet // the sheet that it belongs to; nil for the whole book
	RefersTo string // a formula, such as Wing!$B$5
}

// Sheet is one sheet of a book.
type Sheet struct {
	Name string

	cells   map[location]stored
	formats []string // of the book's cell styles
	arrays  []block
}

// location is where a cell stands, counted from 1.
type location struct{ row, col int32 }

// at returns a location. What is beyond the edges of a sheet is nowhere.
func at(row, col int) location {
	if row < 1 || row > sheetRows || col < 1 || col > sheetColumns {
		return location{}
	}
	return location{int32(row), int32(col)}
}

// stored is a Cell as it is kept, for which little room is taken, as a workbook may have very many.
type stored struct {
	number  float64
	text    string
	style   int32 // among the book's formats
	kind    Kind
	formula bool
}

// block is the cells from one corner to the other.
type block struct{ from, to location }

func (b block) holds(p location) bool {
	return b.from.row <= p.row && p.row <= b.to.row && b.from.col <= p.col && p.col <= b.to.col
}

// Kind says what is in a cell.
type Kind uint8

// The kinds of a Cell.
const (
	Blank  Kind = iota // nothing, or a formula whose result was not saved
	Number             // a number; dates and times are numbers whose format IsDate
	Text
	Boolean // TRUE or FALSE
	Fault   // an error such as #DIV/0!
)

// Cell is what a cell holds. The zero Cell is that of an empty one, which keeps no format.
type Cell struct {
	Kind    Kind
	Number  float64 // of a Number, as it was stored; 1 or 0 of a Boolean
	Text    string  // of a Text and a Fault; of a date stored as text (ISO 8601), which is a Text
	Formula bool    // worked out by a formula, or part of a block that is; TRUE() and FALSE() do not count as formulas
	Format  string  // the number format, such as 0.00 or General
}

// Cell returns the cell in a row and a column, both counted from 1.
func (s *Sheet) Cell(row, col int) Cell {
	here := at(row, col)
	kept, ok := s.cells[here]
	c := Cell{Kind: kept.kind, Number: kept.number, Text: kept.text, Formula: kept.formula}
	switch {
	case ok && len(s.formats) > 0:
		c.Format = s.formats[kept.style]
	case ok:
		c.Format = general
	}
	for i := 0; i < len(s.arrays) && !c.Formula; i++ {
		c.Formula = s.arrays[i].holds(here)
	}
	return c
}

// Read reads a workbook of size bytes that any spreadsheet program saved, from whoever it comes: nothing in it is run,
// nothing that it points to is opened, and what it may cost is limited (limits.go). What the standard (ISO/IEC 29500)
// spells in two ways, strict and transitional, is taken either way. Errors say what is wrong with the file and
// what to do; they do not name it.
func Read(r io.ReaderAt, size int64) (*Book, error) {
	parts, err := openParts(r, size)
	if err != nil {
		return nil, err
	}
	b := newBookReader(parts)
	if err := b.readBook(); err != nil {
		return nil, err
	}
	return b.book, nil
}

// bookReader is a book in the making.
type bookReader struct {
	parts map[string]part
	book  *Book

	texts   []string // that cells share
	formats []string // number formats by a cell's style

	unpacked uint64 // bytes of the parts read so far
	kept     int    // bytes of the texts that are kept
	tokens   int
	cells    int
}

func newBookReader(parts map[string]part) *bookReader {
	return &bookReader{parts: parts, book: &Book{byName: map[string]*Sheet{}}}
}

func (r *bookReader) readBook() error {
	top, err := r.links("")
	if err != nil {
		return err
	}
	main := find(top, "officedocument")
	if main == "" {
		return errors.New("this is a packed file, but not a workbook" + saveAs)
	}
	if strings.HasSuffix(main, ".bin") {
		return errors.New("this is a workbook of the binary kind (.xlsb)" + saveAs)
	}
	links, err := r.links(main)
	if err != nil {
		return err
	}
	sheetParts, err := r.readContents(main, links)
	if err != nil {
		return err
	}
	for _, of := range []struct {
		kind string
		read func(string) error
	}{{"sharedstrings", r.readStrings}, {"styles", r.readStyles}} {
		if name := find(links, of.kind); name != "" {
			if err := of.read(name); err != nil {
				return err
			}
		}
	}
	for i, s := range r.book.Sheets {
		if err := r.readSheet(s, sheetParts[i]); err != nil {
			return err
		}
	}
	return nil
}
