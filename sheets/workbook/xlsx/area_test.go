package xlsx

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func bookOf(names ...string) *Book {
	b := &Book{byName: map[string]*Sheet{}}
	for _, n := range names {
		s := &Sheet{Name: n}
		b.Sheets = append(b.Sheets, s)
		b.byName[fold(n)] = s
	}
	return b
}

func TestResolve(t *testing.T) {
	b := bookOf("Wing", "My plan's sheet", "Höhe_2.1", "#REF!", "A1")
	for refersTo, want := range map[string]Area{
		"Wing!$B$5":                     {b.Sheets[0], 5, 2, 1, 1},
		"wING!b5":                       {b.Sheets[0], 5, 2, 1, 1},
		" Wing!B$5 ":                    {b.Sheets[0], 5, 2, 1, 1},
		"Wing!$A$1:$B$3":                {b.Sheets[0], 1, 1, 3, 2},
		"Wing!$B$3:Wing!$A$1":           {b.Sheets[0], 1, 1, 3, 2},
		"'My plan''s sheet'!$H$1:$H$20": {b.Sheets[1], 1, 8, 20, 1},
		"'my PLAN''s sheet'!$H$1":       {b.Sheets[1], 1, 8, 1, 1},
		"HÖHE_2.1!$XFD$1048576":         {b.Sheets[2], 1048576, 16384, 1, 1},
		"'Höhe_2.1'!A1:Höhe_2.1!A2":     {b.Sheets[2], 1, 1, 2, 1},
		"'#REF!'!$AA$1":                 {b.Sheets[3], 1, 27, 1, 1},
		"A1!ZZ10":                       {b.Sheets[4], 10, 702, 1, 1},
		"Wing!$A$1:$A$600000":           {b.Sheets[0], 1, 1, 600000, 1},
		"Wing!$A$1048576:$XFD$1048576":  {b.Sheets[0], 1048576, 1, 1, 16384},
	} {
		a, err := b.Resolve(refersTo)
		assert.NoError(t, err, refersTo)
		assert.Equal(t, want, a, refersTo)
	}
}

func TestResolveRefuses(t *testing.T) {
	b := bookOf("Wing", "Tail")
	for refersTo, want := range map[string]string{
		"#REF!":                      "its cells were deleted",
		"Wing!#REF!":                 "its cells were deleted",
		"#REF!$A$1":                  "its cells were deleted",
		"Wing!$A$1:#REF!":            "its cells were deleted",
		"SUM(Wing!#REF!)":            "its cells were deleted",
		"Fin!$A$1":                   `the sheet "Fin" is gone from the workbook`,
		"Wing!$A$1:Tail!$A$2":        `"Wing!$A$1:Tail!$A$2" goes from one sheet to another`,
		"[1]Wing!$A$1":               `"[1]Wing!$A$1" is in another file`,
		"'[1]Wing'!$A$1":             `"'[1]Wing'!$A$1" is in another file`,
		"'C:\\[x.xlsx]Wing'!$A$1":    `"'C:\\[x.xlsx]Wing'!$A$1" is in another file`,
		"Wing!$A:$B":                 `"Wing!$A:$B" is of whole columns or rows`,
		"Wing!$1:$9":                 `"Wing!$1:$9" is of whole columns or rows`,
		"Wing!$A$1:$A$1048576":       `"Wing!$A$1:$A$1048576" is of more cells than a workbook may hold`,
		"Wing!$A$1:$XFD$1048576":     `"Wing!$A$1:$XFD$1048576" is of more cells than a workbook may hold`,
		"Wing!A0":                    `"Wing!A0" is beyond the edges of a sheet`,
		"Wing!AAAA1":                 `"Wing!AAAA1" is beyond the edges of a sheet`,
		"Wing!XFE1":                  `"Wing!XFE1" is beyond the edges of a sheet`,
		"Wing!A1048577":              `"Wing!A1048577" is beyond the edges of a sheet`,
		"Wing!A99999999999999999999": `"Wing!A99999999999999999999" is beyond the edges of a sheet`,
		"Wing!A1,Wing!B1":            `"Wing!A1,Wing!B1" is not a cell or a block of cells on one sheet`,
		"Wing:Tail!A1":               `"Wing:Tail!A1" is not a cell or a block of cells on one sheet`,
		"A1":                         `"A1" is not a cell or a block of cells on one sheet`,
		"Wing!R1C1":                  `"Wing!R1C1" is not a cell or a block of cells on one sheet`,
		"Wing!A-1":                   `"Wing!A-1" is not a cell or a block of cells on one sheet`,
		"Wing!A1:B":                  `"Wing!A1:B" is not a cell or a block of cells on one sheet`,
		"Wing!A1:A2:A3":              `"Wing!A1:A2:A3" is not a cell or a block of cells on one sheet`,
		"rack[price]":                `"rack[price]" is not a cell or a block of cells on one sheet`,
		"'Wing!A1":                   `"'Wing!A1" is not a cell or a block of cells on one sheet`,
		"''!A1":                      `"''!A1" is not a cell or a block of cells on one sheet`,
		"!A1":                        `"!A1" is not a cell or a block of cells on one sheet`,
		"":                           `"" is not a cell or a block of cells on one sheet`,
		"3.14":                       `"3.14" is not a cell or a block of cells on one sheet`,
		"\x1b[2J":                    `"\x1b[2J" is not a cell or a block of cells on one sheet`,
		strings.Repeat("🛩", 1<<18): `"` + strings.Repeat("🛩", 60) +
			`…" is not a cell or a block of cells on one sheet`,
		strings.Repeat("SUM(", 1<<18): `"` + strings.Repeat("SUM(", 15) +
			`…" is not a cell or a block of cells on one sheet`,
	} {
		_, err := b.Resolve(refersTo)
		assert.EqualError(t, err, want)
	}
	_, err := b.Resolve("#REF!")
	assert.ErrorIs(t, err, ErrGone)
}

func TestLocationString(t *testing.T) {
	for text, p := range map[string]location{
		"A1": {1, 1}, "Z9": {9, 26}, "AA10": {10, 27}, "ZZ1": {1, 702}, "AAA1": {1, 703},
		"XFD1048576": {sheetRows, sheetColumns},
	} {
		assert.Equal(t, text, p.String())
		back, ok := parseLocation(text)
		assert.True(t, ok)
		assert.Equal(t, p, back)
	}
}
