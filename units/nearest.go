package units

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// Nearest gives the known name that name was most likely meant to be, and
// whether there is one near enough. Two letters swapped, one left out, one too
// many and one wrong count alike; capitals and underscores do not count. At
// most half of the letters may differ. Of names equally near, the first in
// alphabetical order is given. A name of one letter has no nearest.
func Nearest(name string, known []string) (string, bool) {
	want := fold(name)
	if utf8.RuneCountInString(name) < 2 || len(want) == 0 || len(want) > maxNear {
		return "", false
	}
	sorted := slices.Sorted(slices.Values(known))
	best, limit := "", len(want)/2+1
	for _, k := range sorted {
		if k == name {
			continue
		}
		got := fold(k)
		if len(got) > maxNear || max(len(got), len(want))-min(len(got), len(want)) >= limit {
			continue
		}
		if d := distance(want, got); d < limit {
			best, limit = k, d
		}
	}
	return best, best != ""
}

// maxNear bounds the work on very long names.
const maxNear = 100

func fold(name string) []rune {
	return []rune(strings.ToLower(strings.ReplaceAll(name, "_", "")))
}

// distance counts the slips that turn a into b: a letter left out, put in or
// changed, or two neighbours swapped.
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
