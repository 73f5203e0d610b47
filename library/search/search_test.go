package search

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gusset/engine"
	"gusset/library"
)

// TestFind shows what counts, and how much.
func TestFind(t *testing.T) {
	things := []Thing{
		{Name: "gust_load", Title: "What a gust adds", Place: "loads"},
		{Name: "leg_stress", Title: "The stress in an undercarriage leg", More: "of wire"},
		{Name: "wire_weight", Title: "What wires weigh"},
		{Name: "engineer", Title: "Nobody"},
	}
	for _, c := range []struct {
		typed string
		want  []int
		all   bool
	}{
		{"wire", []int{2, 1}, true},                // in the name it counts more
		{"Wires", []int{2, 1}, true},               // plurals and capitals
		{"weight wire", []int{2}, true},            // all of the words
		{"landing gear", []int{1}, true},           // the trade's other word
		{"the undercarriage", []int{1}, true},      // idle words do not count
		{"gust plonk", []int{0}, false},            // some of the words
		{"engine", []int{3}, true},                 // a longer word
		{"plonk", nil, false},                      //
		{"", nil, false},                           //
		{"gus", nil, false},                        // too little of a word
		{"loads", []int{0}, true},                  // the heading
		{"undercarriage gust", []int{0, 1}, false}, // nothing has both: the shorter name is nearer
	} {
		found, all := Find(things, c.typed)
		assert.Equal(t, c.want, found, c.typed)
		assert.Equal(t, c.all, all, c.typed)
	}
}

// TestAlike tells slips from other words.
func TestAlike(t *testing.T) {
	assert.True(t, Alike("stall_sped", "stall_speed"))
	assert.False(t, Alike("tongue", "to_buy"))
	assert.False(t, Alike("laminate", "climb_rate"))
	assert.False(t, Alike("shock", "shop"))
}

// TestWordsOfTheTradeLeadSomewhere shows that the library speaks of every line of words.txt.
func TestWordsOfTheTradeLeadSomewhere(t *testing.T) {
	var words []string
	for _, p := range engine.LoadLibrary(engine.Sources{Library: library.Pages()}).Library() {
		words = append(words, stems(p.Text)...)
	}
	assert.Greater(t, len(sayings()), 100)
	for _, s := range sayings() {
		for _, to := range s.others[:len(s.others)-len(s.typed)] {
			assert.Positive(t, term{[][]string{to}}.share(words), "%s > %s", s.typed[0], to)
		}
		assert.Positive(t, term{s.others}.share(words), s.typed[0])
	}
}
