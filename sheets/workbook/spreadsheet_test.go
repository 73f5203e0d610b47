package workbook

import (
	"context"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"gusset/engine"
	"gusset/sheets/workbook/xlsx"
)

// The second reference is a spreadsheet program of another descent (Gnumeric), which is stricter about what
// works only in an array formula. Its converter works everything out again without a window.

// convert has the second program work a workbook out again, and reads what it came to.
func convert(t *testing.T, file string) officeBook {
	t.Helper()
	program := findTool(t, "ssconvert", "gnumeric")
	out := filepath.Join(t.TempDir(), "out.xlsx")
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	said, err := exec.CommandContext(ctx, program, "--recalc", file, out).CombinedOutput()
	require.NoError(t, err, string(said))

	f, err := excelize.OpenFile(out)
	require.NoError(t, err)
	defer f.Close()
	var book officeBook
	for _, name := range f.GetSheetList() {
		rows, err := f.GetRows(name, excelize.Options{RawCellValue: true})
		require.NoError(t, err)
		s := officeSheet{Name: name, Cells: map[string]officeCell{}}
		for y, row := range rows {
			for x, text := range row {
				address, err := excelize.CoordinatesToCellName(x+1, y+1)
				require.NoError(t, err)
				kind, err := f.GetCellType(name, address)
				require.NoError(t, err)
				number, err := strconv.ParseFloat(text, 64)
				switch {
				case kind == excelize.CellTypeError:
					s.Cells[address] = officeCell{Kind: "error", Text: text}
				case (kind == excelize.CellTypeUnset || kind == excelize.CellTypeNumber) && err == nil:
					s.Cells[address] = officeCell{Kind: "number", Number: number}
				case text != "":
					s.Cells[address] = officeCell{Kind: "text", Text: text}
				}
			}
		}
		book.Sheets = append(book.Sheets, s)
	}
	return book
}

func TestSecondProgramAgreesOnEveryDemoAndStarter(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	values := 0
	for _, f := range samples(t) {
		b := f.book(t)
		got := convert(t, bytesFile(t, b.data))
		values += agree(t, f.name, b.m, got, 1e-9)
		for _, s := range planOf(b.m).spots {
			if s.offBy == "" || s.value.Status != engine.OK {
				continue
			}
			state := xlsx.Address(s.row+1, noteColumn)
			assert.Equal(t, "in step", got.sheet(t, s.page.sheet)[state].Text, f.name+": "+s.called)
		}
	}
	require.Greater(t, values, 5000)
}

func TestSecondProgramAgreesOnOddShapes(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	// INDEX of a single cell is #REF! there (version 1.12.55): tables of one row are left out.
	m, src := loadText(t, strings.Replace(oddShapes, "first(one.v)", "max(one.v)", 1))
	agree(t, "odd", m, convert(t, writeBook(t, m, src)), 1e-9)
}

func TestSecondProgramAgreesOnGeneratedFormulas(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	for seed := range uint64(generatedSheets) {
		m, src := loadText(t, generatedSheet(seed, generatedFormulas))
		agree(t, "sheet "+strconv.FormatUint(seed, 10), m, convert(t, writeBook(t, m, src)), 1e-9)
	}
}
