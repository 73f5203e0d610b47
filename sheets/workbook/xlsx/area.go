package xlsx

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// Area is a block of cells on one sheet. Row and Col, counted from 1, are those of its first cell.
type Area struct {
	Sheet                *Sheet
	Row, Col, Rows, Cols int
}

// ErrGone is the error of Resolve for a name whose cells were deleted.
var ErrGone = errors.New("its cells were deleted")

const (
	sheetForm = `('(?:[^']|'')+'|[^\s'!:\[\](),;+\-*/^&=<>"{}#$%@]+)!`
	cellForm  = `(\$?[A-Za-z]+\$?[0-9]+)`
)

var (
	areaForm  = regexp.MustCompile(`^` + sheetForm + cellForm + `(?::(?:` + sheetForm + `)?` + cellForm + `)?$`)
	fileForm  = regexp.MustCompile(`\[.*\].*!`)
	wholeForm = regexp.MustCompile(`^` + sheetForm + `(?:\$?[A-Za-z]+:\$?[A-Za-z]+|\$?[0-9]+:\$?[0-9]+)$`)
)

// Resolve returns the cells that a defined name refers to: a cell or a block of cells on one sheet, written as
// Wing!$B$5 or 'Tail ”A”'!$H$1:$H$20. Of anything else its error says what it is.
func (b *Book) Resolve(refersTo string) (Area, error) {
	text := strings.TrimSpace(refersTo)
	if len(text) > maxRefersTo {
		return Area{}, fmt.Errorf("%s is not a cell or a block of cells on one sheet", inQuotes(text))
	}
	parts := areaForm.FindStringSubmatch(text)
	if parts == nil || strings.Contains(parts[1], "[") {
		return Area{}, noArea(text)
	}
	name := sheetName(parts[1])
	if parts[3] != "" && fold(sheetName(parts[3])) != fold(name) {
		return Area{}, fmt.Errorf("%s goes from one sheet to another", inQuotes(text))
	}
	sheet := b.byName[fold(name)]
	if sheet == nil {
		return Area{}, fmt.Errorf("the sheet %s is gone from the workbook", inQuotes(name))
	}
	if parts[4] == "" {
		parts[4] = parts[2]
	}
	from, ok := parseLocation(strings.ReplaceAll(parts[2], "$", ""))
	to, ok2 := parseLocation(strings.ReplaceAll(parts[4], "$", ""))
	if !ok || !ok2 {
		return Area{}, fmt.Errorf("%s is beyond the edges of a sheet", inQuotes(text))
	}
	all := blockOf(from, to)
	a := Area{
		sheet, int(all.from.row), int(all.from.col), int(all.to.row-all.from.row) + 1,
		int(all.to.col-all.from.col) + 1,
	}
	if a.Rows > maxCells/a.Cols {
		return Area{}, fmt.Errorf("%s is of more cells than a workbook may hold", inQuotes(text))
	}
	return a, nil
}

// noArea returns the error for what is not an area.
func noArea(text string) error {
	switch {
	case strings.Contains(text, "#REF!"):
		return ErrGone
	case fileForm.MatchString(text):
		return fmt.Errorf("%s is in another file", inQuotes(text))
	case wholeForm.MatchString(text):
		return fmt.Errorf("%s is of whole columns or rows", inQuotes(text))
	}
	return fmt.Errorf("%s is not a cell or a block of cells on one sheet", inQuotes(text))
}

// sheetName returns the name of a sheet that is in a formula.
func sheetName(s string) string {
	if !strings.HasPrefix(s, "'") {
		return s
	}
	return strings.ReplaceAll(s[1:len(s)-1], "''", "'")
}

// blockOf returns the block between two corners, whichever they are.
func blockOf(a, b location) block {
	return block{location{min(a.row, b.row), min(a.col, b.col)}, location{max(a.row, b.row), max(a.col, b.col)}}
}

// parseLocation reads the address of a cell, such as B5, that is on a sheet.
func parseLocation(s string) (location, bool) {
	digits := strings.TrimLeft(s, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz")
	letters := strings.ToUpper(s[:len(s)-len(digits)])
	row, err := strconv.Atoi(digits)
	if err != nil || len(letters) < 1 || len(letters) > 3 || digits[0] < '1' || digits[0] > '9' || row > sheetRows {
		return location{}, false
	}
	col := 0
	for _, r := range letters {
		col = col*26 + int(r-'A') + 1
	}
	return at(row, col), col <= sheetColumns
}

// ColumnLetters returns the letters of a column, counted from 1.
func ColumnLetters(col int) string {
	var s string
	for ; col > 0; col = (col - 1) / 26 {
		s = string(rune('A'+(col-1)%26)) + s
	}
	return s
}

// Address returns the address of a cell: B5.
func Address(row, col int) string { return fmt.Sprintf("%s%d", ColumnLetters(col), row) }

// String returns the location as a spreadsheet program calls it: B5.
func (p location) String() string { return Address(int(p.row), int(p.col)) }
