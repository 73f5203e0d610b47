package workbook

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"

	"gusset/sheets/workbook/formula"
	"gusset/sheets/workbook/xlsx"
)

// Names as spreadsheets take them: a letter or _, then letters, digits and _; not a cell's address in any style of
// writing it, nor a word of the formula language; capitals do not count (ECMA-376, 1st edition, part 4, section
// 3.17.2.5).

// mostName is how many characters a defined name may have.
const mostName = 255

// namer hands out names, each once.
type namer struct {
	taken map[string]bool
	next  map[string]int // the number to try for a name that is taken
}

// take returns the first of a name's forms that nobody has taken: as it is, with a 2, with a 3 and so on.
func (n *namer) take(name string, form func(i int) string) string {
	if n.taken == nil {
		n.taken, n.next = map[string]bool{}, map[string]int{}
	}
	key := strings.ToLower(name)
	got, i := name, max(n.next[key], 2)
	for ; n.taken[strings.ToLower(got)]; i++ {
		got = form(i)
	}
	n.next[key] = i
	n.taken[strings.ToLower(got)] = true
	return got
}

// address matches what could be the address of a cell: B2, XFD1048576, R1C1, RC.
var address = regexp.MustCompile(`(?i)^([a-z]{1,3}[0-9]+|r[0-9]*(c[0-9]*)?|c[0-9]*)$`)

// words are those of the formula language that could be meant for a constant or a function.
var words = map[string]bool{}

func init() {
	for _, w := range strings.Fields(`true false if and or not sum sumproduct min max average abs sqrt exp ln log log10
		sin cos tan asin acos atan atan2 pi degrees radians round roundup rounddown int trunc mod sign index match
		vlookup forecast sumif count countif countblank countifs median rows row column columns exact isnumber isna
		iserr iserror isblank na iferror offset indirect value text len find mid left right rept
		print_area print_titles criteria extract database sheet_title all auto_open auto_close`) {
		words[w] = true
	}
}

// name returns a defined name for what the sheet calls so: rack.stock makes shop_rack. It also reports whether that
// is all that had to be changed.
func (n *namer) name(called string) (name string, asCalled bool) {
	name = strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return r
		}
		return '_'
	}, called)
	plain := name
	if name != called {
		for strings.Contains(name, "__") {
			name = strings.ReplaceAll(name, "__", "_")
		}
		name = strings.TrimRight(name, "_")
	}
	name = formula.UpTo(name, mostName-8) // and room for a number
	if address.MatchString(name) || words[strings.ToLower(name)] {
		name += "_"
	}
	name = n.take(name, func(i int) string { return fmt.Sprintf("%s_%d", strings.TrimRight(name, "_"), i) })
	return name, name == plain
}

// mostSheetName is how many characters a worksheet's name may have.
const mostSheetName = 31

// sheetName returns a name for a worksheet.
func (n *namer) sheetName(called string) string {
	name := strings.TrimSpace(strings.Map(func(r rune) rune {
		if strings.ContainsRune(`:\/?*[]'`, r) || unicode.IsControl(r) {
			return ' '
		}
		return r
	}, called))
	if name == "" || strings.EqualFold(name, "history") { // which some keep for themselves
		name += " sheet"
	}
	numbered := func(i int) string {
		end := fmt.Sprintf(" %d", i)
		return strings.TrimSpace(formula.UpTo(name, mostSheetName-len(end))) + end
	}
	return n.take(strings.TrimSpace(formula.UpTo(name, mostSheetName)), numbered)
}

// inWords returns a name as a person would say it: wing_area is wing area.
func inWords(name string) string { return strings.ReplaceAll(name, "_", " ") }

// fixed returns the address of a cell that stays the same wherever it is read: Plan!$B$5.
func fixed(sheet string, row, col int) string {
	return fmt.Sprintf("%s!$%s$%d", sheetRef(sheet), xlsx.ColumnLetters(col), row)
}

// fixedRange returns the address of some cells.
func fixedRange(sheet string, row, col, toRow, toCol int) string {
	return fmt.Sprintf("%s:$%s$%d", fixed(sheet, row, col), xlsx.ColumnLetters(toCol), toRow)
}

// sheetRef returns a worksheet's name as formulas have it.
func sheetRef(name string) string { return "'" + strings.ReplaceAll(name, "'", "''") + "'" }
