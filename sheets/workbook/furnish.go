package workbook

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"gusset/sheets/report"
	"gusset/sheets/workbook/formula"
	"gusset/sheets/workbook/xlsx"
)

// widths returns how wide the columns of a page are, from 1: their part of the grid, or more for the texts of a table.
func widths(pg *page) []float64 {
	all := []float64{0, nameWidth, valueWidth, unitWidth}
	grow := func(col int, text string, room int) {
		all[col] = max(all[col], float64(min(utf8.RuneCountInString(text)+room, widestText)))
	}
	upTo := func(col int) {
		for len(all) <= col {
			all = append(all, gridWidth)
		}
	}
	upTo(lastColumn)
	for _, it := range pg.items {
		switch {
		case it.Cell != nil:
			grow(valueColumn, it.Cell.Quantity(), 4)
		case it.Table != nil:
			upTo(len(it.Table.Columns) + noteSpan)
			for _, r := range it.Table.Rows {
				for k, v := range r.Values {
					if v.IsText {
						grow(k+1, v.Text, 2)
					}
				}
			}
		}
	}
	return all
}

// furnish sets what belongs to a worksheet as a whole.
func (b *builder) furnish(pg *page) {
	for col := 1; col < len(pg.widths); col++ {
		b.note(b.file.SetColWidth(pg.sheet, xlsx.ColumnLetters(col), xlsx.ColumnLetters(col), pg.widths[col]))
	}
	if pg.hiddenTo > 0 {
		hidden := xlsx.ColumnLetters(pg.hiddenFrom) + ":" + xlsx.ColumnLetters(pg.hiddenTo)
		b.note(b.file.SetColVisible(pg.sheet, hidden, false))
	}
	b.note(b.file.SetPanes(pg.sheet, &excelize.Panes{
		Freeze: true, XSplit: 1, YSplit: headingRow,
		TopLeftCell: xlsx.Address(headingRow+1, 2), ActivePane: "bottomRight",
	}))
	b.flags(pg, b.grids[pg.sheet])
	b.reduced(pg)
	b.tintStates(pg.sheet, fmt.Sprintf("B%d:G%d", headingRow+1, max(pg.next, headingRow+1)))
	b.print(pg.sheet, true)
	b.note(b.file.SetDefinedName(&excelize.DefinedName{
		Name: "_xlnm.Print_Titles", Scope: pg.sheet,
		RefersTo: fmt.Sprintf("%s!$%d:$%d", sheetRef(pg.sheet), headingRow, headingRow),
	}))
	b.protect(pg.sheet)
}

// tintStates tints holds, fails, waits and what has no value yet.
func (b *builder) tintStates(sheet, area string) {
	first := area[:strings.IndexByte(area, ':')]
	rule := func(criteria string, l conditionalLook) {
		b.when(sheet, area, strings.ReplaceAll(criteria, "?", first), l)
	}
	rule(`ISERROR(?)`, conditionalLook{tint: tintWaits})
	either := func(check, adjusted report.State) string {
		return fmt.Sprintf("OR(LEFT(?,%d)=%s,?=%s)",
			statesFrom, formula.Quote(check.String()), formula.Quote(adjusted.String()))
	}
	rule(either(report.Holds, report.InStep), conditionalLook{tint: tintHolds})
	rule(either(report.Fails, report.OutOfStep), conditionalLook{tint: tintFails, bold: true})
	rule("?="+formula.Quote(report.NoResult.String()), conditionalLook{tint: tintFails, bold: true})
	rule("?="+formula.Quote(report.Waits.String()), conditionalLook{tint: tintWaits})
}

// print sets a worksheet up for paper: A4, as wide as the paper.
func (b *builder) print(sheet string, landscape bool) {
	a4, one, any, yes := 9, 1, 0, true
	orientation := "portrait"
	if landscape {
		orientation = "landscape"
	}
	b.note(b.file.SetPageLayout(sheet, &excelize.PageLayoutOptions{Size: &a4, Orientation: &orientation,
		FitToWidth: &one, FitToHeight: &any}))
	b.note(b.file.SetSheetProps(sheet, &excelize.SheetPropsOptions{FitToPage: &yes}))
	side, top := 0.5, 0.6
	b.note(b.file.SetPageMargins(sheet, &excelize.PageLayoutMarginsOptions{Left: &side, Right: &side, Top: &top,
		Bottom: &top}))
	name := strings.ReplaceAll(atMost(b.plan.model.Title(), 60), "&", "&&")
	b.note(b.file.SetHeaderFooter(sheet, &excelize.HeaderFooterOptions{OddFooter: "&L" + name + "&C&A&R&P / &N"}))
	no := false
	b.note(b.file.SetSheetView(sheet, 0, &excelize.ViewOptions{ShowGridLines: &no}))
}

// protect keeps formulas from being typed over by mistake. There is no password: who wants to change them can.
func (b *builder) protect(sheet string) {
	b.note(b.file.ProtectSheet(sheet, &excelize.SheetProtectionOptions{
		SelectLockedCells: true, SelectUnlockedCells: true,
		FormatCells: true, FormatColumns: true, FormatRows: true, InsertRows: true, Sort: false,
	}))
}
