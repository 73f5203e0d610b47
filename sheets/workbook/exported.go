package workbook

import (
	"gusset/engine"
	"gusset/sheets/text"
)

// exported writes what ties the workbook to its sheet, and what was given when it was made, so that what has been
// changed since can be told from what the sheet's owner has changed meanwhile. The worksheet is hidden.
func (b *builder) exported(src Source) {
	g := newGrid()
	b.grids[exportedSheet] = g
	_, err := b.file.NewSheet(exportedSheet)
	b.note(err)
	st := b.style(look{})
	for i, tie := range [][2]string{{"form", form}, {"sheet", src.File},
		{"fingerprint of its text", text.Fingerprint(src.Text)}} {
		g.write(i+1, 1, tie[0], st)
		g.write(i+1, 2, tie[1], st)
	}
	g.write(sheetRow, 3, b.plan.model.Title(), st)
	for i, head := range exportedHead {
		g.write(exportedTop, i+1, head, b.style(look{bold: true}))
	}
	row := exportedTop + 1
	add := func(s *spot, cells, keys, rowName string) {
		v, kind := b.grids[s.page.sheet].at(s.row, s.col), kindOf(s)
		if kind == "worked" && v.formula == "" { // it does not follow
			kind = "constant"
		}
		for i, text := range []string{kind, s.called, cells, keys, rowName, unitName(s.value)} {
			if text != "" {
				g.write(row, i+1, text, st)
			}
		}
		v.formula, v.array, v.style = "", false, st
		g.set(row, len(exportedHead), v)
		row++
	}
	for s := range b.plan.exportedSpots() {
		if c := s.column; c != nil {
			key := c.table.key()
			add(s, c.name, key.name, rowName(cellOf(key.entries[s.rowInTable()].value)))
		} else {
			add(s, s.name, "", "")
		}
	}
	cutStates(b, g)
	col := listsFrom
	for _, l := range b.plan.lists {
		if l.kept == nil {
			continue
		}
		for i, text := range l.kept {
			g.write(listsTop+i, col, text, st)
		}
		col++
	}
	b.note(b.file.SetSheetVisible(exportedSheet, false))
	b.protect(exportedSheet)
}

// form is that of the workbook itself: a newer one may be another.
const form = "1"

// Rows of the hidden worksheet: its ties, each in the second column (the sheet's title beside its file), and the
// heading of its columns.
const (
	formRow        = 1
	sheetRow       = 2
	fingerprintRow = 3
	exportedTop    = 4
)

// exportedHead are the columns of the hidden worksheet.
var exportedHead = []string{"kind", "called", "cells", "keys", "row", "unit", "value"}

// kindOf tells how a value comes about: input, constant, worked or adjusted.
func kindOf(s *spot) string {
	switch {
	case s.input:
		return "input"
	case s.kind == engine.Given:
		return "constant"
	case s.stays():
		return "adjusted"
	}
	return "worked"
}
