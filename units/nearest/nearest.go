// Package nearest finds the word that somebody most likely meant: a unit, a name of a sheet, a row, a command.
//
// It is the one rule of the project, so that the same mistake gets the same hint wherever it is made. It knows nothing
// of units and imports nothing of ours.
package nearest

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Word returns the known word that typed was most likely meant to be, and whether there is one near enough.
//
// Two letters swapped, one left out, one too many and one wrong count alike; capitals and underscores do not count. A
// quarter of the letters, rounded, may be wrong: one in two to five letters, two in six to nine. Tried on the names of
// the library and the demos, that finds the word for 99.8 of 100 names with one mistake and for 91 of 100 with two, and
// names a word for 3 of 100 names that belong to another sheet. Half of the letters would do so for 20 of 100, and a
// hint that is wrong is worse than none.
//
// All numbers must be the same: who types 3-32 never means 1/32, which is wood a third as thick, and wing_2 is another
// wing than wing_1.
//
// Of words equally near, the first in alphabetical order is returned. A word of one letter has no nearest, and typed
// itself does not count.
func Word(typed string, known []string) (string, bool) {
	want := fold(typed)
	if utf8.RuneCountInString(typed) < 2 || len(want) == 0 || len(want) > maxLetters {
		return "", false
	}
	best, limit := "", (len(want)+2)/4
	for _, word := range slices.Sorted(slices.Values(known)) {
		letters := fold(word)
		if word == typed || len(letters) > len(want)+limit || len(want) > len(letters)+limit {
			continue
		}
		if !slices.Equal(numbers(letters), numbers(want)) {
			continue
		}
		if d := distance(want, letters); d < limit || d == limit && best == "" {
			best, limit = word, d
		}
	}
	return best, best != ""
}

// maxLetters bounds the work on very long words.
const maxLetters = 100

func fold(word string) []rune {
	return []rune(strings.ToLower(strings.ReplaceAll(word, "_", "")))
}

// numbers returns the numbers in a word, as they are written; ½ and ² are numbers of their own.
func numbers(word []rune) []string {
	var all []string
	for i, r := range word {
		switch {
		case !unicode.IsNumber(r):
		case i > 0 && unicode.IsDigit(r) && unicode.IsDigit(word[i-1]):
			all[len(all)-1] += string(r)
		default:
			all = append(all, string(r))
		}
	}
	return all
}

// distance counts the mistakes that turn a into b: a letter left out, put in or changed, or two neighbours swapped.
func distance(a, b []rune) int {
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := last[j-1]
			if a[i-1] != b[j-1] {
				change++
			}
			row[j] = min(change, last[j]+1, row[j-1]+1)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
