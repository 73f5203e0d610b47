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

// measure finds out how wide the columns of a page are, from 1: their part of the grid, or more for the texts of a
// table. The source, on the right, stays on the screen: on paper it would make all else small.
func (pg *page) measure() {
	pg.widths, pg.printed = []float64{0, nameWidth, valueWidth, unitWidth}, sourceColumn-1
	grow := func(col int, text string, room int) {
		pg.widths[col] = max(pg.widths[col], float64(min(utf8.RuneCountInString(text)+room, widestText)))
	}
	upTo := func(col int) {
		for len(pg.widths) <= col {
			pg.widths = append(pg.widths, gridWidth)
		}
	}
	upTo(lastColumn)
	for _, it := range pg.items {
		switch {
		case it.Cell != nil:
			grow(valueColumn, it.Cell.Quantity(), 4)
		case it.Table != nil:
			last := len(it.Table.Columns)
			upTo(last + noteSpan)
			for _, r := range it.Table.Rows {
				if r.Note != "" {
					last = len(r.Values) + noteSpan
				}
				for k, v := range r.Values {
					if v.IsText {
						grow(k+1, v.Text, 2)
					}
				}
			}
			pg.printed = max(pg.printed, last)
		}
	}
	for col := sourceColumn; col <= lastColumn && pg.printed < sourceColumn; col++ {
		pg.widths[col] = sourceWidth
	}
}

// widestUpright is how many characters side by side are printed on a page that stands upright: more would be too small
// to read there.
const widestUpright = 165

// lies reports whether a page is printed on paper that lies.
func (pg *page) lies() bool {
	width := 0.0
	for _, w := range pg.widths[:pg.printed+1] {
		width += w
	}
	return width > widestUpright
}

// furnish sets what belongs to a worksheet as a whole.
func (b *builder) furnish(pg *page) {
	widen(b, pg.sheet, pg.widths[1:])
	drawOutlines(b, pg)
	if pg.hiddenTo > 0 {
		hide(b, pg.sheet, pg.hiddenFrom, pg.hiddenTo)
	}
	b.note(b.file.SetPanes(pg.sheet, &excelize.Panes{
		Freeze: true, XSplit: 1, YSplit: headingRow,
		TopLeftCell: xlsx.Address(headingRow+1, 2), ActivePane: "bottomRight",
	}))
	b.flags(pg, b.grids[pg.sheet])
	b.reduced(pg)
	b.tintStates(pg.sheet, fmt.Sprintf("B%d:G%d", headingRow+1, max(pg.next, headingRow+1)))
	b.print(pg.sheet, pg.lies())
	for _, area := range [][2]string{
		{"Print_Titles", fmt.Sprintf("%s!$%d:$%d", sheetRef(pg.sheet), headingRow, headingRow)},
		{"Print_Area", fixedRange(pg.sheet, 1, 1, max(pg.next-1, headingRow), pg.printed)},
	} {
		b.note(b.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm." + area[0], Scope: pg.sheet, RefersTo: area[1]}))
	}
	b.protect(pg.sheet)
}

// widen makes the columns of a worksheet, from the first on, so wide.
func widen(b *builder, sheet string, widths []float64) {
	for i, w := range widths {
		b.note(b.file.SetColWidth(sheet, xlsx.ColumnLetters(i+1), xlsx.ColumnLetters(i+1), w))
	}
}

// hide hides some columns of a worksheet.
func hide(b *builder, sheet string, from, to int) {
	b.note(b.file.SetColVisible(sheet, xlsx.ColumnLetters(from)+":"+xlsx.ColumnLetters(to), false))
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

// Sizes of paper (ISO/IEC 29500-1, section 18.3.1.63).
const letter, a4 = 1, 9

// paper returns the paper that a workbook is printed on: Letter where more of the sheet's own lengths are in inches and
// feet than in other units, else A4.
func paper(p *plan) int {
	inches, others := 0, 0
	for s := range p.everySpot() {
		switch unit := s.value.Unit; {
		case s.page.alias != "" || s.page.library || unit.Dim() != inch.Dim():
		case unit.Equal(inch) || unit.Mixed() || unit.String() == "ft":
			inches++
		default:
			others++
		}
	}
	if inches > others {
		return letter
	}
	return a4
}

// print sets a worksheet up for paper, as wide as the paper.
func (b *builder) print(sheet string, lies bool) {
	size, one, any, yes := paper(b.plan), 1, 0, true
	orientation := "portrait"
	if lies {
		orientation = "landscape"
	}
	b.note(b.file.SetPageLayout(sheet, &excelize.PageLayoutOptions{Size: &size, Orientation: &orientation,
		FitToWidth: &one, FitToHeight: &any}))
	b.note(b.file.SetSheetProps(sheet, &excelize.SheetPropsOptions{FitToPage: &yes}))
	side, top := 0.4, 0.55
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
