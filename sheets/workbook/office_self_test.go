package workbook

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// wingBook writes a workbook with cached values of every kind. That of area is
// wrong, and that of load was worked out from it.
func wingBook(t *testing.T) string {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	require.NoError(t, f.SetSheetName("Sheet1", "Wing"))
	fraction := "# ?/16"
	sixteenths, err := f.NewStyle(&excelize.Style{CustomNumFmt: &fraction})
	require.NoError(t, err)
	w, err := f.NewStreamWriter("Wing")
	require.NoError(t, err)
	for i, row := range [][]any{
		{"span", 36.5},
		{"chord", 2.0 / 3},
		{"area", excelize.Cell{Formula: "span*chord", Value: 99}},
		{"load", excelize.Cell{Formula: "area*2", Value: 198}},
		{"says", excelize.Cell{Formula: `IF(area>10,"holds","fails")`, Value: "holds"}},
		{"big", excelize.Cell{Formula: "area>10", Value: true}},
		{"missing", excelize.Cell{Formula: "NA()"}},
		{"nothing", excelize.Cell{Formula: "1/(chord-chord)"}},
		{"rib", excelize.Cell{StyleID: sixteenths, Value: 1.5}},
		{"stations", 1, 2},
		{"", 3, 4},
		{"code", "007"},
	} {
		address, err := excelize.CoordinatesToCellName(1, i+1)
		require.NoError(t, err)
		require.NoError(t, w.SetRow(address, row))
		if name, _ := row[0].(string); name != "" {
			require.NoError(t, f.SetDefinedName(&excelize.DefinedName{Name: name, RefersTo: wingCells(name, i+1)}))
		}
	}
	require.NoError(t, f.SetDefinedName(&excelize.DefinedName{Name: "local", RefersTo: "Wing!$B$1", Scope: "Wing"}))
	require.NoError(t, w.Flush())
	_, err = f.NewSheet("Notes")
	require.NoError(t, err)
	require.NoError(t, f.SetCellValue("Notes", "A1", false))
	require.NoError(t, f.SetCellValue("Notes", "A2", 0))
	require.NoError(t, f.SetCellStr("Notes", "A3", "TRUE"))
	require.NoError(t, f.SetRowVisible("Notes", 1, false))
	require.NoError(t, f.SetSheetVisible("Notes", false))
	path := filepath.Join(t.TempDir(), "wing.xlsx")
	require.NoError(t, f.SaveAs(path))
	return path
}

func wingCells(name string, row int) string {
	if name == "stations" {
		return fmt.Sprintf("Wing!$B$%d:$C$%d", row, row+1)
	}
	return fmt.Sprintf("Wing!$B$%d", row)
}

func numberCell(n float64) officeCell { return officeCell{Kind: "number", Number: n} }

func TestOfficeTellsLoadedFromRecalculated(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	got := office(t, []officeJob{{In: wingBook(t), Loaded: true, Recalculate: true}})[0]

	area := 36.5 * 0.666666666666666 // the writer cuts 2/3 to 15 digits
	for name, want := range map[string][2]officeCell{
		"span":  {numberCell(36.5), numberCell(36.5)},
		"chord": {numberCell(0.666666666666666), numberCell(0.666666666666666)},
		"area": {{
			Kind: "number", Number: 99, Formula: "=span*chord",
		}, {Kind: "number", Number: area, Formula: "=span*chord"}},
		"load": {{Kind: "number", Number: 198, Formula: "=area*2"}, {Kind: "number", Number: 2 * area, Formula: "=area*2"}},
		"code": {{Kind: "text", Text: "007"}, {Kind: "text", Text: "007"}},
	} {
		assert.Equal(t, want[0], got.Loaded.named(t, name), "%s loaded", name)
		assert.Equal(t, want[1], got.After.named(t, name), "%s recalculated", name)
	}
	for name, want := range map[string]officeCell{
		"says":    {Kind: "text", Text: "holds", Formula: `=IF(area>10;"holds";"fails")`},
		"big":     {Kind: "boolean", Number: 1, Formula: "=area>10"},
		"missing": {Kind: "error", Text: "#N/A", Formula: "=NA()"},
		"nothing": {Kind: "error", Text: "#DIV/0!", Formula: "=1/(chord-chord)"},
	} {
		assert.Equal(t, want, got.After.named(t, name), name)
	}
	assert.Equal(t, officeName{
		Content: "$Wing.$B$10:$C$11", Sheet: "Wing", First: "B10", Last: "C11",
	}, got.After.Names["stations"])
	assert.Equal(t, numberCell(4), got.After.at(t, "stations", 1, 1))
	assert.Zero(t, got.After.at(t, "stations", 0, 2), "an empty cell")
	assert.Equal(t, "B1", got.After.Names["Wing!local"].First)
	assert.Equal(t, "span", got.After.sheet(t, "Wing")["A1"].Text)
	// The office makes a formula of a truth that is given.
	assert.Equal(t, map[string]officeCell{
		"A1": {Kind: "boolean", Formula: "=FALSE()"}, "A2": numberCell(0), "A3": {Kind: "text", Text: "TRUE"},
	},
		got.Loaded.sheet(t, "Notes"), "hidden cells are told too")
}

func TestOfficeChangesCellsByName(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	got := office(t, []officeJob{{In: wingBook(t), Steps: []officeStep{
		setNumber("span", 10),
		setFormula("chord", "=SUM(2;3)"),
		setText("code", "12"),
		setNumber("stations", 7).at(1, 0),
		typeIn("rib", "1/2"),
		typeIn("stations", "1/2").at(0, 1),
		clearCell("missing"),
	}}})[0].After

	assert.Equal(t, officeCell{
		Kind: "number", Number: 50, Formula: "=span*chord",
	}, got.named(t, "area"), "what depends on a change follows at once")
	assert.Equal(t, officeCell{Kind: "number", Number: 5, Formula: "=SUM(2;3)"}, got.named(t, "chord"))
	assert.Equal(t, officeCell{Kind: "text", Text: "12"}, got.named(t, "code"))
	assert.Equal(t, numberCell(7), got.at(t, "stations", 1, 0))
	assert.Equal(t, numberCell(0.5), got.named(t, "rib"), "a fraction format reads fractions")
	assert.Equal(t, numberCell(secondOfJanuary()), got.at(t, "stations", 0, 1), "any other format makes a date of them")
	assert.Zero(t, got.named(t, "missing"))
}

// secondOfJanuary counts the days of this year's 2 January as workbooks do.
func secondOfJanuary() float64 {
	day := time.Date(time.Now().Year(), time.January, 2, 0, 0, 0, 0, time.UTC)
	return day.Sub(time.Date(1899, time.December, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24
}

func TestOfficeMovesThingsAndNamesFollow(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	in, saved, drawn := wingBook(t), filepath.Join(t.TempDir(), "saved.xlsx"), filepath.Join(t.TempDir(), "drawn.pdf")
	got := office(t, []officeJob{{In: in, XLSX: saved, PDF: drawn, Recalculate: true, Steps: []officeStep{
		setNumber("span", 12),
		insertRows("Wing", 2, 3),
		deleteRows("Wing", 15, 1), // of the code
		moveCells("Wing", "B4:B5", "E20"),
		renameSheet("Wing", "My wing's plan"),
		moveSheet("Notes", 1),
	}}, {In: in, Loaded: true}})

	again := office(t, []officeJob{{In: saved, Loaded: true}})[0].Loaded
	for _, book := range []officeBook{got[0].After, again} {
		require.Len(t, book.Sheets, 2)
		assert.Equal(t, "My wing's plan", book.Sheets[1].Name)
		assert.Equal(t, "My wing's plan", book.Names["chord"].Sheet)
		assert.Equal(t, numberCell(12), book.named(t, "span"))
		assert.InDelta(t, 8, book.named(t, "area").Number, 1e-13)
	}
	assert.Equal(t, "B1", again.Names["span"].First)
	assert.Equal(t, "E21", again.Names["chord"].First)
	assert.Equal(t, "B6", again.Names["area"].First)
	assert.Equal(t, officeName{Content: "#REF!"}, again.Names["code"], "the cell is gone")
	assert.Equal(t, "Wing", got[1].Loaded.Names["chord"].Sheet, "each job opens its own file")

	pdf, err := os.ReadFile(drawn)
	require.NoError(t, err)
	assert.Equal(t, "%PDF-", string(pdf[:5]))
}

func TestOfficeRefusesWhatABuilderCannotDo(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	f := excelize.NewFile()
	defer f.Close()
	require.NoError(t, f.SetCellValue("Sheet1", "A1", 1))
	require.NoError(t, f.SetDefinedName(&excelize.DefinedName{Name: "result", RefersTo: "Sheet1!$A$1"}))
	require.NoError(t, f.ProtectSheet("Sheet1", &excelize.SheetProtectionOptions{}))
	locked := filepath.Join(t.TempDir(), "locked.xlsx")
	require.NoError(t, f.SaveAs(locked))

	got := tryOffice(t, []officeJob{
		{In: locked, Steps: []officeStep{setNumber("result", 2)}},
		{In: locked, Steps: []officeStep{insertRows("Sheet1", 1, 1)}},
		{In: locked, Steps: []officeStep{unprotect("Sheet1"), insertRows("Sheet1", 1, 1), setNumber("result", 2)}},
		{In: locked, Steps: []officeStep{setNumber("nosuch", 2)}},
		{In: locked + ".missing"},
	})
	assert.Contains(t, got[0].Error, "the cell of result is locked")
	assert.Contains(t, got[1].Error, "the sheet Sheet1 is protected")
	assert.Empty(t, got[2].Error)
	assert.Equal(t, numberCell(2), got[2].After.sheet(t, "Sheet1")["A2"])
	assert.Contains(t, got[3].Error, "NoSuchElementException")
	assert.NotEmpty(t, got[4].Error)
}
