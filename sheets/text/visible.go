package text

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// steers reports whether c does something else than being seen: control characters, line ends that are not ours, and
// orders to write the other way round, which make a line look different from what it says.
func steers(c rune) bool {
	return unicode.IsControl(c) || c == 0x2028 || c == 0x2029 || 0x202a <= c && c <= 0x202e ||
		0x2066 <= c && c <= 0x2069
}

// invisible reports whether c is one of the characters of which nothing is to be seen, as the Unicode standard lists
// them (Default_Ignorable_Code_Point): fillers, marks of direction, joiners, tags. The marks that choose between two
// looks of the character before them are not among them.
func invisible(c rune) bool {
	switch {
	case c < 0xad, unicode.Is(unicode.Variation_Selector, c) && c < 0xe0000,
		unicode.Is(unicode.Prepended_Concatenation_Mark, c):
		return false
	}
	return unicode.In(c, unicode.Cf, unicode.Other_Default_Ignorable_Code_Point, unicode.Variation_Selector)
}

// Visible returns s with every character that steers a terminal, is not seen or is not UTF-8 replaced by the
// replacement character, so that it can be shown on one line. It is for what comes from outside, as names of files do.
func Visible(s string) string {
	return strings.Map(func(c rune) rune {
		if steers(c) || invisible(c) {
			return utf8.RuneError
		}
		return c
	}, s) // Map makes the replacement character of what is not UTF-8
}
