package nearest

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The mistakes are those that F. J. Damerau, "A technique for computer detection and correction of spelling errors",
// Communications of the ACM 7 (1964), counts as one each: a letter wrong, missing or too many, two neighbours swapped.
func TestWord(t *testing.T) {
	known := []string{"wing_area", "wing_span", "chord", "span", "ab", "ba", "x"}
	for _, tt := range []struct{ typed, want string }{
		{"wing_aera", "wing_area"}, // two letters swapped
		{"wingarea", "wing_area"},
		{"Wing_Area", "wing_area"},
		{"chrod", "chord"},
		{"cord", "chord"},
		{"chordd", "chord"},
		{"spam", "span"},
		{"bb", "ab"},                // as near as ba: the first in the alphabet
		{"y", ""},                   // one letter
		{"X", ""},                   // one letter, but for its capital
		{"_x", "x"},                 // an underscore too many
		{"spoon", ""},               // two letters of five
		{"wing_spoon", "wing_span"}, // two of nine
		{"wung_spoon", ""},          // three of nine
		{"", ""},
		{"___", ""},
		{"elevator", ""},
		{"chord", ""}, // itself does not count
		{strings.Repeat("span", 25), ""},
		{strings.Repeat("span", 100), ""},
	} {
		got, ok := Word(tt.typed, known)
		assert.Equal(t, tt.want, got, tt.typed)
		assert.Equal(t, tt.want != "", ok, tt.typed)
	}
	_, ok := Word("chord", nil)
	assert.False(t, ok)
}

// Fractions of an inch are thicknesses of wood: a hint that names another one is followed to the wrong sheet.
func TestNumbersAreTheSame(t *testing.T) {
	rack := []string{"balsa sheet 1/32", "balsa sheet 1/16", "balsa sheet 3/32", "balsa sheet 1-1/2", "rib_12", "1¼ dowel"}
	for _, tt := range []struct{ typed, want string }{
		{"balsa sheet 3-32", "balsa sheet 3/32"},
		{"balsa sheet 3 32", "balsa sheet 3/32"},
		{"balsa shet 3/32", "balsa sheet 3/32"},
		{"balsa sheet 1 1/2", "balsa sheet 1-1/2"},
		{"balsa sheet 3/16", ""},
		{"balsa sheet 13/2", ""},
		{"balsa sheet", ""},
		{"rib12", "rib_12"},
		{"rib_11", ""},
		{"rib_1", ""},
		{"1½ dowel", ""},
		{"1¼ dowl", "1¼ dowel"},
	} {
		got, _ := Word(tt.typed, rack)
		assert.Equal(t, tt.want, got, tt.typed)
	}
	got, _ := Word("balsa sheet 3-32", []string{"balsa sheet 1/32", "balsa sheet 2-32"})
	assert.Empty(t, got, "rather none than another thickness")
}

// A quarter of the letters, rounded, may be wrong, missing or too many, and not one more.
func TestWordsOfAllLengths(t *testing.T) {
	for letters, most := range map[int]int{2: 1, 3: 1, 5: 1, 6: 2, 9: 2, 10: 3, 13: 3, 14: 4, 97: 24, 98: 25, 100: 25} {
		typed := strings.Repeat("a", letters)
		for wrong := 1; wrong <= min(most+1, letters-1); wrong++ {
			other := strings.Repeat("b", wrong)
			for _, known := range []string{other + typed[wrong:], other + typed, typed[wrong:]} {
				_, ok := Word(typed, []string{known})
				assert.Equal(t, wrong <= most, ok, "%s for %s", known, typed)
			}
		}
	}
	long := strings.Repeat("a", 101)
	_, ok := Word(long, []string{long[1:]})
	assert.False(t, ok, "nobody types so much")
}

// Distances counted by hand; "kitten" to "sitting" is the usual textbook pair.
func TestDistance(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want int
	}{
		{"kitten", "sitting", 3}, {"ab", "ba", 1}, {"", "abc", 3}, {"abc", "abc", 0}, {"ca", "abc", 3}, {"µs", "us", 1},
		{"abcd", "badc", 2}, {"abc", "cab", 2}, {"", "", 0},
	} {
		assert.Equal(t, tt.want, distance([]rune(tt.a), []rune(tt.b)), tt.a)
		assert.Equal(t, tt.want, distance([]rune(tt.b), []rune(tt.a)), tt.b)
	}
}
