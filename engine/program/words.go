package program

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Sorted returns words in order.
func Sorted(words []string) []string {
	slices.Sort(words)
	return words
}

// JoinWords writes a list as people do: a, b and c.
func JoinWords(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// JoinSome is JoinWords for a list that may be long: of one with more than a word beyond the most that are to be named,
// the rest is counted.
func JoinSome(words []string, most int) string {
	if more := len(words) - most; more > 1 {
		words = append(words[:most:most], fmt.Sprintf("%d more", more))
	}
	return JoinWords(words)
}

// CountOf says "1 value", "2 values".
func CountOf(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// Decimals returns how many decimals a number is written with: 2 of 1.25, -2 of 3e2.
func Decimals(number string) int {
	number, power, _ := strings.Cut(strings.ToLower(number), "e")
	_, after, _ := strings.Cut(number, ".")
	n, _ := strconv.Atoi(power)
	return len(after) - n
}
