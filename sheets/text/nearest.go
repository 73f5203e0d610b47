package text

import "strings"

// nearest returns the word of known that name was most likely meant to be: a slip or two away, with case and underscores
// left aside. Of equally near words the first wins.
func nearest(name string, known []string) (string, bool) {
	name = folded(name)
	best, limit := "", min(len(name)/3, 2)+1
	if len(name) < 3 {
		limit = 1
	}
	for _, k := range known {
		if d := distance(name, folded(k), limit); d < limit {
			best, limit = k, d
		}
	}
	return best, best != ""
}

func folded(s string) string {
	return strings.ToLower(strings.ReplaceAll(s, "_", ""))
}

// distance counts the letters left out, put in, changed or swapped with a neighbour between a and b. It gives up, with
// limit, when the lengths say that there are so many, and on words that nobody types.
func distance(a, b string, limit int) int {
	s, t := []rune(a), []rune(b)
	if len(s)-len(t) >= limit || len(t)-len(s) >= limit || len(s) > 64 {
		return limit
	}
	before, last, row := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(s); i++ {
		before, last, row = last, row, before
		row[0] = i
		for j := 1; j <= len(t); j++ {
			row[j] = last[j-1]
			if s[i-1] != t[j-1] {
				row[j] = 1 + min(last[j-1], last[j], row[j-1])
			}
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
	}
	return row[len(t)]
}
