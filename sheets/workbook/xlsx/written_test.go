package xlsx

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// written is a workbook that another library wrote, with two sheets, a hidden one, and all that a builder's may have.
func written(t testing.TB) []byte {
	t.Helper()
	f := excelize.NewFile()
	do := func(err error) { t.Helper(); require.NoError(t, err) }
	do(f.SetSheetName("Sheet1", "Wing"))
	for _, s := range []string{"My plan's sheet", "Lists"} {
		_, err := f.NewSheet(s)
		do(err)
	}
	do(f.SetSheetVisible("Lists", false))

	do(f.SetCellDefault("Wing", "B2", "0.66666666666666663"))
	do(f.SetCellValue("Wing", "B3", -1.25e-7))
	do(f.SetCellValue("Wing", "B4", "balsa ½, <hard> & \"dry\""))
	do(f.SetCellValue("Wing", "B5", true))
	do(f.SetCellValue("Wing", "B6", " two\nlines "))
	do(f.SetCellRichText("Wing", "B7", []excelize.RichTextRun{{
		Text: "spruce ",
	}, {Text: "spar", Font: &excelize.Font{Bold: true}}}))
	do(f.SetCellFormula("Wing", "B8", "chord*2"))
	do(f.SetCellStr("Wing", "B9", "=1+1"))
	for cell, code := range map[string]string{"C2": `# ?/16" in"`, "C3": "0.0%", "C4": `0.00" oz"`} {
		do(f.SetCellValue("Wing", cell, 1.0625))
		setFormat(t, f, cell, &excelize.Style{CustomNumFmt: &code})
	}
	do(f.SetCellValue("Wing", "C5", 46024))
	setFormat(t, f, "C5", &excelize.Style{NumFmt: 14})
	do(f.MergeCell("Wing", "D1", "E2"))
	do(f.AddComment("Wing", excelize.Comment{Cell: "B2", Author: "me", Text: "measured"}))

	sw, err := f.NewStreamWriter("My plan's sheet")
	do(err)
	do(sw.SetRow("H1", []any{excelize.Cell{
		Formula: "1/0", Value: 2.5,
	}, excelize.Cell{Value: "inline"}, excelize.Cell{Formula: "1=1", Value: true}}))
	do(sw.Flush())

	do(f.SetDefinedName(&excelize.DefinedName{Name: "chord", RefersTo: "Wing!$B$2"}))
	do(f.SetDefinedName(&excelize.DefinedName{
		Name: "chord", RefersTo: "'My plan''s sheet'!$H$1:$J$1", Scope: "My plan's sheet",
	}))
	do(f.SetDefinedName(&excelize.DefinedName{Name: "lost", RefersTo: "#REF!"}))

	var out bytes.Buffer
	do(f.Write(&out))
	return out.Bytes()
}

func setFormat(t testing.TB, f *excelize.File, cell string, style *excelize.Style) {
	t.Helper()
	id, err := f.NewStyle(style)
	require.NoError(t, err)
	require.NoError(t, f.SetCellStyle("Wing", cell, cell, id))
}

func TestReadWritten(t *testing.T) {
	b := mustRead(t, written(t))
	require.Len(t, b.Sheets, 3)
	wing, plan, lists := b.Sheets[0], b.Sheets[1], b.Sheets[2]
	assert.Equal(t, []string{"Wing", "My plan's sheet", "Lists"}, []string{wing.Name, plan.Name, lists.Name})

	column := func(col int) (cells []Cell) {
		for row := 2; row < 10; row++ {
			cells = append(cells, wing.Cell(row, col))
		}
		return cells
	}
	assert.Equal(t, []Cell{
		{Kind: Number, Number: 2. / 3, Format: "General"},
		{Kind: Number, Number: -1.25e-7, Format: "General"},
		{Kind: Text, Text: `balsa ½, <hard> & "dry"`, Format: "General"},
		{Kind: Boolean, Number: 1, Format: "General"},
		{Kind: Text, Text: " two\nlines ", Format: "General"},
		{Kind: Text, Text: "spruce spar", Format: "General"},
		{Kind: Blank, Formula: true, Format: "General"},
		{Kind: Text, Text: "=1+1", Format: "General"},
	}, column(2))
	assert.Equal(t, []Cell{
		{Kind: Number, Number: 1.0625, Format: `# ?/16" in"`},
		{Kind: Number, Number: 1.0625, Format: "0.0%"},
		{Kind: Number, Number: 1.0625, Format: `0.00" oz"`},
		{Kind: Number, Number: 46024, Format: "mm-dd-yy"},
		{}, {}, {}, {},
	}, column(3))
	assert.True(t, IsDate(wing.Cell(5, 3).Format))
	assert.True(t, IsPercent(wing.Cell(3, 3).Format))

	assert.Equal(t, Cell{Kind: Number, Number: 2.5, Formula: true, Format: "General"}, plan.Cell(1, 8))
	assert.Equal(t, Cell{Kind: Text, Text: "inline", Format: "General"}, plan.Cell(1, 9))
	assert.Equal(t, Cell{Kind: Boolean, Number: 1, Formula: true, Format: "General"}, plan.Cell(1, 10))

	require.Len(t, b.Names, 3)
	for _, n := range b.Names {
		a, err := b.Resolve(n.RefersTo)
		switch {
		case n.Name == "lost":
			assert.ErrorIs(t, err, ErrGone)
		case n.Sheet == nil:
			assert.Equal(t, Area{wing, 2, 2, 1, 1}, a)
		default:
			assert.Equal(t, plan, n.Sheet)
			assert.Equal(t, Area{plan, 1, 8, 1, 3}, a)
		}
	}
}
