package text

import "strings"

// Tried is what is to be tried of a given value, as it is typed on a command line: NAME alone, NAME: VALUE, VALUE or
// NAME from A to B step S.
type Tried struct {
	Path           Path
	Values         []string // as typed; nil: not listed
	From, To, Step string   // empty: no range
}

// triedForm says how it is written.
const triedForm = `write NAME, or in quotes 'NAME: VALUE, VALUE' or 'NAME from A to B step S'`

// ParseTried reads what is to be tried. Its error is a Diags of one message.
func ParseTried(s string) (Tried, error) {
	path, end := readPath(s, 0, ".[: \t")
	if end == 0 {
		return Tried{}, noPath(s, triedForm)
	}
	t := Tried{Path: path}
	rest := strings.TrimSpace(s[end:])
	switch list, listed := strings.CutPrefix(rest, ":"); {
	case rest == "":
		return t, nil
	case listed:
		for _, v := range splitValues(list) {
			if v = strings.TrimSpace(v); v == "" {
				return t, noPath(s, `a value is missing: `+triedForm)
			}
			t.Values = append(t.Values, v)
		}
		return t, nil
	}
	words := [...]string{"from ", " to ", " step "}
	parts := [3]string{}
	after, found := strings.CutPrefix(rest+" ", words[0])
	for i := range parts {
		if i == 2 { // nothing, where the step is missing
			parts[i] = after
			break
		}
		if !found {
			return t, noPath(s, triedForm)
		}
		parts[i], after, found = strings.Cut(after, words[i+1])
	}
	t.From, t.To, t.Step = strings.TrimSpace(parts[0]), strings.TrimSpace(parts[1]), strings.TrimSpace(parts[2])
	if t.From == "" || t.To == "" || t.Step == "" && found || strings.HasPrefix(t.To, "step ") {
		return t, noPath(s, triedForm)
	}
	return t, nil
}

// splitValues cuts a list at its commas, but for those in quotes.
func splitValues(list string) []string {
	var values []string
	from := 0
	for at := 0; at < len(list); at++ {
		switch list[at] {
		case '"':
			if shut := closingQuote(list, at, len(list)); shut > at {
				at = shut
			}
		case ',':
			values = append(values, list[from:at])
			from = at + 1
		}
	}
	return append(values, list[from:])
}
