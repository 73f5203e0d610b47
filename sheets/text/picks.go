package text

import "strings"

// SplitNames cuts lists of names, such as a,b["c, d"].e, at their commas, but for those in brackets.
func SplitNames(lists []string) []string {
	var names []string
	for _, list := range lists {
		depth, from := 0, 0
		for i, c := range list + "," {
			switch {
			case c == '[':
				depth++
			case c == ']':
				depth--
			case c == ',' && (depth == 0 || i == len(list)):
				if name := strings.TrimSpace(list[from:min(i, len(list))]); name != "" {
					names = append(names, name)
				}
				from = i + 1
			}
		}
	}
	return names
}
