package text

import (
	"slices"
	"strings"
)

// What to do about a row that has more or fewer entries than its table has columns. A whole row is offered only where
// there is one way alone to place its entries: an entry in the wrong column is a wrong number that looks right.

// misfit is a row of which a message says that it is unlike its head.
type misfit struct {
	diag int // the number of the message
	code Word
	n    int // how many entries it has
}

// misfit reports a row that has n entries, unlike the head. Its hint is made when all rows have been read.
func (b *tableReader) misfit(r *reader, code Word, n int) {
	b.unlike = b.unlike || len(b.misfits) > 0 && n != b.misfits[0].n
	b.misfits = append(b.misfits, misfit{b.p.nextReported(), code, n})
	r.failAt(code, "entry-count",
		"the row has "+count(n, "entry", "entries")+", the head has "+count(len(b.t.Head), "column", "columns"), "")
}

// hintMisfits says of each row that is unlike its head what to do about it.
func (b *tableReader) hintMisfits() {
	if len(b.misfits) == 0 {
		return
	}
	kinds := b.columnKinds()
	for _, m := range b.misfits {
		if m.diag >= MaxTold {
			return
		}
		d := &b.p.diags[m.diag]
		if d.Hint = b.offeredRow(m, kinds); d.Hint != "" {
			continue
		}
		names := make([]string, len(b.t.Head))
		for i, c := range b.t.Head {
			names[i] = c.Name.Text
		}
		d.Notes = append(d.Notes, "the columns are "+strings.Join(names, " | "))
		if inchMarked(m.code.Text) {
			d.Hint = "inches have no mark: write in after each number"
			continue
		}
		switch quoteless := strings.Split(quoted().ReplaceAllString(m.code.Text, ""), "|"); {
		case m.n == 1 && (endsWithNumber().MatchString(m.code.Text) || strings.ContainsAny(m.code.Text, "\",;\t")):
			d.Hint = "put a bar between the entries, and one for each that is not known yet"
		case m.n < len(b.t.Head):
			d.Hint = "see which entry is missing: where it is not known yet, its place is left empty: | |"
		case slices.ContainsFunc(quoteless[1:], looseText().MatchString):
			d.Hint = "text that holds a bar goes in quotes"
		default:
			d.Hint = "see which bar is one too many and take it out, or give the head a column more"
		}
	}
}

// inchMarked reports whether a number in a row has the mark of inches, which begins a text there.
func inchMarked(s string) bool {
	open := false
	for i := range len(s) {
		if s[i] == '"' {
			if !open && i > 0 && '0' <= s[i-1] && s[i-1] <= '9' {
				return true
			}
			open = !open
		}
	}
	return false
}

// offeredRow returns the hint that has the whole row as it should be; empty where it is not certain.
func (b *tableReader) offeredRow(m misfit, kinds []columnKind) string {
	head := len(b.t.Head)
	if inchMarked(m.code.Text) {
		return ""
	}
	if strings.HasPrefix(m.code.Text, "|") && !b.t.Edges.Left {
		return "a row does not begin with a bar"
	}
	if row, meant := b.otherBars(m); meant {
		return row
	}
	pieces := b.piecesOf(m.code.Text)
	if len(pieces) > head {
		rows := b.withoutOne(pieces, kinds)
		if len(rows) == 1 {
			return "one bar is too many: " + b.rowOf(rows[0])
		}
		return ""
	}
	row, split := completed(pieces, kinds)
	switch {
	case row == nil:
		return ""
	case split:
		return "a bar is missing: " + b.rowOf(row)
	}
	return "an entry that is not known yet keeps its bar: " + b.rowOf(row)
}

// piecesOf returns what is between the bars of a row, the name first.
func (b *tableReader) piecesOf(code string) []string {
	if b.t.Edges.Left {
		code = strings.TrimPrefix(code, "|")
	}
	if b.t.Edges.Right {
		code = strings.TrimSuffix(code, "|")
	}
	var pieces []string
	from := 0
	for i, c := range outsideQuotes(code) {
		if c == '|' {
			pieces = append(pieces, strings.TrimSpace(code[from:i]))
			from = i + 1
		}
	}
	return append(pieces, strings.TrimSpace(code[from:]))
}

// rowOf writes a row, with bars at its edges where the head has them.
func (b *tableReader) rowOf(entries []string) string {
	row := entries[0]
	if b.t.Edges.Left {
		row = "| " + row
	}
	for _, e := range entries[1:] {
		row += " |"
		if e != "" {
			row += " " + e
		}
	}
	if b.t.Edges.Right {
		row += " |"
	}
	return row
}

// otherBar matches what people type, or paste from elsewhere, for a bar.
var otherBar = lazily(`[;:¦｜│\t]`)

// betweenDigits matches such a mark where it may belong to a number: 1;5.
var betweenDigits = lazily(`[0-9][;:][0-9]`)

// otherBars returns the row with bars where other marks were typed for them, if these make it as long as the head.
func (b *tableReader) otherBars(m misfit) (hint string, meant bool) {
	if m.n > len(b.t.Head) || m.n > 1 && betweenDigits().MatchString(m.code.Text) {
		return "", false
	}
	code, from := "", 0
	for i := range outsideQuotes(m.code.Text) {
		if at := otherBar().FindStringIndex(m.code.Text[i:]); at != nil && at[0] == 0 && i >= from {
			code += m.code.Text[from:i] + "|"
			from = i + at[1]
		}
	}
	pieces := b.piecesOf(code + m.code.Text[from:])
	if last := len(pieces) - 1; last == len(b.t.Head) && pieces[last] == "" {
		pieces = pieces[:last]
	}
	if len(pieces) != len(b.t.Head) || len(pieces) == m.n {
		return "", false
	}
	return "entries are separated by bars: " + b.rowOf(pieces), true
}

// columnKind is what the entries of a column may be.
type columnKind struct {
	texts, numbers, yesNo bool
	choices               []string // what a text may be, where they are listed
}

// columnKinds returns what the columns after the names may hold: by what the head says, or else by what the rows have.
func (b *tableReader) columnKinds() []columnKind {
	kinds := make([]columnKind, len(b.t.Head))
	for i, c := range b.t.Head {
		k := &kinds[i]
		switch {
		case i == 0:
		case c.Unit.Given():
			k.numbers = true
		case c.Unit.Choice != nil:
			k.texts = true
			for _, t := range c.Unit.Choice.Texts {
				k.choices = append(k.choices, t.Text)
			}
		default:
			for _, row := range b.t.Rows {
				kind := row.Values[i-1].Kind
				k.texts = k.texts || kind == TextValue
				k.numbers = k.numbers || kind == NumberValue
				k.yesNo = k.yesNo || kind == YesNoValue
			}
			if !k.texts && !k.numbers && !k.yesNo {
				*k = columnKind{texts: true, numbers: true, yesNo: true}
			}
		}
	}
	return kinds
}

// numberForm matches one workshop number with its unit, a guess or not.
var numberForm = lazily(`^[-+−–—]?` + aNumber +
	`(?: *` + aUnit + `(?: +` + aNumber + ` *` + aUnit + `)*)?` +
	`(?: *(?:±|\+-|\+/-) *` + aNumber + ` *(?:` + aUnit + `)?)?(?: *\?)?$`)

const (
	aNumber = `(?:\.?[0-9][0-9.,]*(?:e[-+]?[0-9]+)?(?:[- ][0-9]+/[0-9]+|/[0-9]+|[¼½¾⅛⅜⅝⅞])?|[¼½¾⅛⅜⅝⅞])`
	aUnit   = `(?:%|(?:(?:sq|cu) )?[\pL°µ](?:[^0-9|"?±]|[\pL^][0-9])*)`
)

// takes reports whether an entry may be in a column of that kind; the first column takes names.
func (k columnKind) takes(entry string, first bool) bool {
	if first {
		return entry != "" && (strings.HasPrefix(entry, `"`) && closingQuote(entry, 0, len(entry)) == len(entry)-1 ||
			!strings.Contains(entry, `"`))
	}
	value := strings.TrimRight(entry, "? ")
	switch {
	case entry == "" || entry[0] == '=':
		return true
	case entry[0] == '"':
		return k.texts && closingQuote(value, 0, len(value)) == len(value)-1 &&
			(k.choices == nil || slices.Contains(k.choices, strings.Trim(value, `"`)))
	case value == "yes" || value == "no":
		return k.yesNo
	}
	return k.numbers && numberForm().MatchString(entry)
}

// withoutOne returns the rows that there are when one empty entry is left out, and that fit the columns.
func (b *tableReader) withoutOne(pieces []string, kinds []columnKind) (rows [][]string) {
	if len(pieces) != len(kinds)+1 {
		return nil
	}
	for i := 1; i < len(pieces); i++ {
		if pieces[i] != "" || pieces[i-1] == "" { // of neighbours that are empty, any is the same
			continue
		}
		row := slices.Delete(slices.Clone(pieces), i, i+1)
		fits := true
		for at, entry := range row {
			fits = fits && kinds[at].takes(entry, at == 0)
		}
		if fits {
			rows = append(rows, row)
		}
	}
	return rows
}

const (
	mostWords   = 40 // of a row whose missing bars are looked for
	mostColumns = 30
)

// completed returns the one row that comes of some pieces when bars are put between or into them so that every entry
// fits its column; nil where there is none, or more than one. split reports that a bar was put into a piece.
func completed(pieces []string, kinds []columnKind) (row []string, split bool) {
	type word struct {
		piece    int
		from, to int
	}
	var words []word
	for i, p := range pieces {
		for at, isFirst := 0, true; isFirst || at < len(p); isFirst = false {
			to := wordEnd(p, at)
			words = append(words, word{i, at, to})
			for at = to; at < len(p) && isBlank(p[at]); at++ {
			}
		}
	}
	if len(words) > mostWords || len(kinds) > mostColumns {
		return nil, false
	}
	type place struct{ word, column int }
	ways := map[place]int{}
	next := map[place]place{} // one of the ways on
	var count func(at place) int
	count = func(at place) int {
		if at.word == len(words) {
			return 1 // what is left of the columns is empty
		}
		if at.column == len(kinds) {
			return 0
		}
		if n, known := ways[at]; known {
			return n
		}
		n := 0
		try := func(to place) {
			if found := count(to); found > 0 {
				n += found
				next[at] = to
			}
		}
		w := words[at.word]
		isEmpty := pieces[w.piece] == ""
		if at.column > 0 && !isEmpty { // beside an entry that is empty, another one is the same on either side
			try(place{at.word, at.column + 1})
		}
		for end := at.word + 1; end <= len(words) && words[end-1].piece == w.piece && n < 2; end++ {
			entry := pieces[w.piece][w.from:words[end-1].to]
			if strings.HasPrefix(entry, "=") && end < len(words) && words[end].piece == w.piece {
				continue // a formula goes on up to the bar
			}
			if kinds[at.column].takes(entry, at.column == 0) {
				try(place{end, at.column + 1})
			}
		}
		ways[at] = min(n, 2)
		return ways[at]
	}
	if count(place{}) != 1 {
		return nil, false
	}
	row = make([]string, len(kinds))
	for at := (place{}); at.word < len(words); at = next[at] {
		to := next[at]
		if to.word == at.word {
			continue
		}
		w, last := words[at.word], words[to.word-1]
		row[at.column] = pieces[w.piece][w.from:last.to]
		split = split || to.word < len(words) && words[to.word].piece == w.piece
	}
	return row, split
}

// wordEnd returns the end of the word or the text in quotes at s[at].
func wordEnd(s string, at int) int {
	if at < len(s) && s[at] == '"' {
		if end := closingQuote(s, at, len(s)); end >= 0 {
			return end + 1
		}
	}
	for at < len(s) && !isBlank(s[at]) {
		if at++; at < len(s) && s[at] == '"' {
			break
		}
	}
	return at
}
