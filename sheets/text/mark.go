package text

import (
	"strings"
	"unicode/utf8"

	"github.com/mattn/go-runewidth"
)

// width counts columns the same way on every machine, whatever its locale.
var width = &runewidth.Condition{EastAsianWidth: false}

// shownColumns is how much of a long line a message shows where there is room.
const shownColumns = 96

// marked returns a line as a message shows it, no more than some columns of it, and the line of marks below it. The
// span starts at character column of the line, from 0; what of it is on later lines is left out.
func marked(line string, column, columns int, s *Source, span Span) (shown, mark string) {
	chars := []rune(line)
	for i, c := range chars {
		if c != '\t' && steers(c) || invisible(c) {
			chars[i] = utf8.RuneError // what steers a terminal is not sent to one, and what is marked is seen
		}
	}
	column = min(column, len(chars))
	n := 0
	if int(span.Start) <= int(span.End) && int(span.End) <= len(s.text) {
		n = utf8.RuneCountInString(s.text[span.Start:span.End])
	}
	n = max(min(n, len(chars)-column), 1)
	from, to := window(chars, columns, column, min(column+n, len(chars)))
	var b strings.Builder
	shown = string(chars[from:to])
	if from > 0 {
		shown = "…" + shown
		b.WriteByte(' ')
	}
	if to < len(chars) {
		shown += "…"
	}
	for _, c := range chars[from:min(column, to)] {
		b.WriteString(underlay(c, ' '))
	}
	for _, c := range chars[min(column, to):min(column+n, to)] {
		b.WriteString(underlay(c, '~'))
	}
	if column+n > len(chars) {
		b.WriteByte('~') // the place after the last character
	}
	return shown, b.String()
}

// window returns which characters of a long line to show: about so many columns of them, around [from, to).
func window(chars []rune, columns, from, to int) (int, int) {
	if width.StringWidth(string(chars)) <= columns {
		return 0, len(chars)
	}
	spare := max(columns-(to-from), columns/2)
	start := max(0, from-spare/2)
	end := min(len(chars), start+columns)
	return max(0, min(start, end-columns)), end
}

// underlay returns what goes under c: as many marks as c has columns, or the tab that c is.
func underlay(c rune, mark byte) string {
	if c == '\t' {
		if mark == ' ' {
			return "\t"
		}
		return string(mark)
	}
	return strings.Repeat(string(mark), width.RuneWidth(c))
}
