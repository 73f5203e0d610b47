package xlsx

import "strings"

// IsDate reports whether a number format shows a number as a date or a time.
func IsDate(format string) bool {
	return strings.ContainsAny(bare(format), "yYmMdDhHsS") // General has none of them, nor has the E of an exponent
}

// IsPercent reports whether a number format shows a number as a percentage.
func IsPercent(format string) bool { return strings.Contains(bare(format), "%") }

// bare returns the sections of a format that are for numbers, without what they show as it stands: text in quotes,
// characters after \ _ and *, and without colours, conditions and languages in brackets. [h], [mm] and the like stay.
func bare(format string) string {
	var b strings.Builder
	sections := 1
	for s := []rune(format); len(s) > 0; {
		n := 1
		switch s[0] {
		case '"':
			n = afterMark(s, '"')
		case '\\', '_', '*':
			n = min(2, len(s))
		case '[':
			n = afterMark(s, ']')
			if inside := strings.Trim(string(s[1:n]), "]"); isElapsed(inside) {
				b.WriteString(inside)
			}
		case ';':
			if sections++; sections > 3 {
				return b.String() // the fourth is for texts
			}
		default:
			b.WriteRune(s[0])
		}
		s = s[n:]
	}
	return b.String()
}

// afterMark returns the place after the mark that closes what s[0] opens, or the end of s.
func afterMark(s []rune, mark rune) int {
	for i, r := range s[1:] {
		if r == mark {
			return i + 2
		}
	}
	return len(s)
}

// isElapsed reports whether what is in brackets counts hours, minutes or seconds.
func isElapsed(s string) bool {
	s = strings.ToLower(s)
	return s != "" && strings.Contains("hms", s[:1]) && strings.Trim(s, s[:1]) == ""
}
