package units

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNearest(t *testing.T) {
	known := []string{"wing_area", "wing_span", "chord", "span", "ab", "ba", "x"}
	for _, tt := range []struct {
		name, want string
	}{
		{"wing_aera", "wing_area"}, // two letters swapped
		{"wingarea", "wing_area"},
		{"Wing_Area", "wing_area"},
		{"chrod", "chord"},
		{"cord", "chord"},
		{"chordd", "chord"},
		{"spam", "span"},
		{"bb", "ab"}, // as near as ba: the first in the alphabet
		{"y", ""},    // one letter
		{"", ""},
		{"___", ""},
		{"elevator", ""},
		{"chord", ""}, // itself does not count
		{strings.Repeat("span", 100), ""},
	} {
		got, ok := Nearest(tt.name, known)
		assert.Equal(t, tt.want, got, tt.name)
		assert.Equal(t, tt.want != "", ok, tt.name)
	}
	_, ok := Nearest("chord", nil)
	assert.False(t, ok)
}

// Distances counted by hand; "kitten" to "sitting" is the usual textbook pair.
func TestDistance(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want int
	}{
		{"kitten", "sitting", 3}, {"ab", "ba", 1}, {"", "abc", 3}, {"abc", "abc", 0}, {"ca", "abc", 3}, {"µs", "us", 1},
	} {
		assert.Equal(t, tt.want, distance([]rune(tt.a), []rune(tt.b)), tt.a)
		assert.Equal(t, tt.want, distance([]rune(tt.b), []rune(tt.a)), tt.b)
	}
}
