package xlsx

import "fmt"

// What a workbook that is read may hold. A builder's workbook stays far below all of these; a file that was made to do
// harm meets one of them before it costs much memory or time. All are counts and none is a time, so that every machine
// says the same of a file.
const (
	maxFile     = 16 << 20   // bytes of the file: a model of a thousand cells takes a hundred thousand
	maxParts    = 2000       // parts packed in it: a few for each sheet, and its pictures
	maxPart     = 64 << 20   // bytes of one part, unpacked: blanks can be packed a thousandfold
	maxUnpacked = 128 << 20  // bytes of all parts that are read
	maxText     = 1 << 20    // bytes of one tag or one text: a cell holds 32 767 characters at most
	maxDepth    = 64         // tags within tags: what the standard describes needs fifteen
	maxTokens   = 10_000_000 // tags and texts between them, which take some seconds; a cell has two or more, so 5 million cells are seen at most
	maxCells    = 1_000_000  // cells with something in them
	maxStrings  = 1_000_000  // texts that cells share: no more than cells
	maxShared   = 32 << 20   // bytes of these texts
	maxNames    = 100_000    // defined names: one for each value and column of a large model, and room
	maxStyles   = 65_536     // cell formats: the standard's programs stop at 64 000
	maxArrays   = 4096       // blocks of cells under one formula, which are searched in turn
	maxProps    = 1000       // document properties

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
