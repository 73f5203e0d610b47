package engine

import (
	"slices"
	"strings"
)

// sorted returns words in order.
func sorted(words []string) []string {
	slices.Sort(words)
	return words
}

// joinWords writes a list as people do: a, b and c.
func joinWords(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}
