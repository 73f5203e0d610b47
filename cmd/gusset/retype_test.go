package main

import (
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/xuri/excelize/v2"
)

// retype changes a cell of a workbook as someone with a spreadsheet program would: retype BOOK NAME VALUE. NAME
// is a defined name, with +N for the Nth row below its first; no VALUE clears the cell.
func retype(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 || len(args) > 3 {
		ts.Fatalf("usage: retype book name [value]")
	}
	f, err := excelize.OpenFile(ts.MkAbs(args[0]))
	ts.Check(err)
	defer f.Close()
	name, below, _ := strings.Cut(args[1], "+")
	sheet, cell := placeOfName(ts, f, name)
	col, row, err := excelize.CellNameToCoordinates(cell)
	ts.Check(err)
	if below != "" {
		n, err := strconv.Atoi(below)
		ts.Check(err)
		cell, err = excelize.CoordinatesToCellName(col, row+n)
		ts.Check(err)
	}
	ts.Check(f.SetCellFormula(sheet, cell, ""))
	var value any
	if len(args) == 3 {
		value = args[2]
		if x, err := strconv.ParseFloat(args[2], 64); err == nil {
			value = x
		}
	}
	ts.Check(f.SetCellValue(sheet, cell, value))
	ts.Check(f.Save())
}

// placeOfName returns the first cell that a defined name stands for.
func placeOfName(ts *testscript.TestScript, f *excelize.File, name string) (sheet, cell string) {
	for _, n := range f.GetDefinedName() {
		if n.Name == name {
			i := strings.LastIndexByte(n.RefersTo, '!')
			first, _, _ := strings.Cut(strings.ReplaceAll(n.RefersTo[i+1:], "$", ""), ":")
			return strings.Trim(n.RefersTo[:i], "'"), first
		}
	}
	ts.Fatalf("the workbook has no name %s", name)
	return "", ""
}
