package xlsx

import "fmt"

// What a workbook that is read may hold. The largest that gusset export writes, of 50 000 values, has 4.4 million tags,
// 520 000 cells and 50 000 names; a builder's stays far below all of these. A file that was made to do harm
// meets one of them before it costs much memory or time. All are counts and none is a time, so that every
// machine says the same of a file.
const (
	maxFile     = 16 << 20  // bytes of the file: a model of a thousand cells takes a hundred thousand
	maxParts    = 2000      // parts packed in it: a few for each sheet, and its pictures
	maxPart     = 64 << 20  // bytes of one part, unpacked: blanks can be packed a thousandfold
	maxUnpacked = 128 << 20 // bytes of all parts that are read
	maxText     = 1 << 20   // bytes of one tag or one text: a cell holds 32 767 characters at most
	maxDepth    = 64        // tags within tags: what the standard describes needs fifteen
	maxTokens   = 6_000_000 // tags and texts between them
	maxCells    = 600_000   // cells with something in them
	maxStrings  = maxCells  // texts that cells share
	maxTexts    = 32 << 20  // bytes of all texts that are kept: of cells, names and formats
	maxNames    = 100_000   // defined names: one for each value and column of a large model, and room
	maxSheets   = 1000      // sheets, for each of which the links are looked through
	maxStyles   = 65_536    // cell formats: the standard's programs stop at 64 000
	maxFormat   = 1000      // bytes of a number format, which each value looks through: programs stop at 255 characters
	maxArrays   = 256       // blocks of cells under one formula, which are searched in turn for each cell
	maxRefersTo = 1000      // bytes of a name's formula that may be a block of cells; a sheet's name has 31 characters

	sheetRows, sheetColumns = 1 << 20, 1 << 14 // of the standard's largest sheet: XFD1048576
)

// damaged returns the error for a file that is not whole, or not as the standard has it.
func damaged(format string, args ...any) error {
	return fmt.Errorf(format+"; open it in a spreadsheet program and save it again as .xlsx", args...)
}

// tooMuch returns the error for a file that passes a limit.
func tooMuch(format string, args ...any) error {
	return fmt.Errorf(format+", more than a workbook of a model needs; take out what does not belong to it", args...)
}

// inQuotes returns what a file says in quotes and short enough for a message, so that it steers no terminal.
func inQuotes(s string) string {
	const most = 60
	if runes := []rune(s[:min(len(s), 4*most+4)]); len(runes) > most {
		s = string(runes[:most]) + "…"
	}
	return fmt.Sprintf("%q", s)
}
