package workbook

import (
	"bytes"
	"io"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"gusset/sheets/workbook/xlsx"
)

const marshTern = "../../testdata/marsh-tern/marsh-tern.gusset"

// BenchmarkWrite stands beside the same cells that excelize writes: no formula is translated, nothing is laid out.
func BenchmarkWrite(b *testing.B) {
	m, src := loadFile(b, marshTern)
	data, _, err := Write(m, src)
	require.NoError(b, err)
	b.Run("gusset", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			_, _, err := Write(m, src)
			require.NoError(b, err)
		}
	})
	b.Run("by hand", func(b *testing.B) {
		sheets := contentsOf(b, data)
		b.ReportAllocs()
		for b.Loop() {
			writeByHand(b, sheets)
		}
	})
}

// BenchmarkReturn stands beside opening the same workbook with excelize and reading all cells.
func BenchmarkReturn(b *testing.B) {
	m, src := loadFile(b, marshTern)
	data, _, err := Write(m, src)
	require.NoError(b, err)
	b.Run("gusset", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			requireNothing(b, returned(b, data, m, src))
		}
	})
	b.Run("by hand", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			contentsOf(b, data)
		}
	})
}

// sheetContents are the cells of a worksheet: values, and formulas where there are some.
type sheetContents struct {
	name             string
	values, formulas map[string]string
}

// contentsOf reads a workbook with excelize.
func contentsOf(b *testing.B, data []byte) []sheetContents {
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(b, err)
	defer f.Close()
	var all []sheetContents
	for _, name := range f.GetSheetList() {
		s := sheetContents{name, map[string]string{}, map[string]string{}}
		rows, err := f.GetRows(name, excelize.Options{RawCellValue: true})
		require.NoError(b, err)
		for i, row := range rows {
			for k, value := range row {
				at := xlsx.Address(i+1, k+1)
				s.values[at] = value
				if formula, err := f.GetCellFormula(name, at); err == nil && formula != "" {
					s.formulas[at] = formula
				}
			}
		}
		all = append(all, s)
	}
	return all
}

func writeByHand(b *testing.B, sheets []sheetContents) {
	f := excelize.NewFile()
	defer f.Close()
	for _, s := range sheets {
		_, err := f.NewSheet(s.name)
		require.NoError(b, err)
		for at, value := range s.values {
			require.NoError(b, f.SetCellValue(s.name, at, value))
		}
		for at, formula := range s.formulas {
			require.NoError(b, f.SetCellFormula(s.name, at, formula))
		}
	}
	require.NoError(b, f.Write(io.Discard))
}
