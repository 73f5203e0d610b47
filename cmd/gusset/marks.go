package main

import (
	"fmt"
	"strings"

	"gusset/engine"
)

// The marks that are printed after a value.
const (
	guessMark  = "?" // it is a guess, or rests on one
	remarkMark = "!" // its formula, or for a check anything it rests on, uses a formula outside the range where that is trusted
)

// marksOf returns the marks of a value.
func marksOf(v engine.Value) string {
	var marks []string
	if v.Guesses > 0 {
		marks = append(marks, guessMark)
	}
	if isRemarked(v) {
		marks = append(marks, remarkMark)
	}
	return strings.Join(marks, " ")
}

// isRemarked reports whether a value has the mark of a remark. A check is what is read first, so it has that of all that it
// rests on.
func isRemarked(v engine.Value) bool { return len(v.Remarks) > 0 || v.IsCheck && v.Remarked > 0 }

// withMarks adds the marks of a value to what is printed after it.
func withMarks(after string, v engine.Value) string {
	return strings.Trim(after+" "+marksOf(v), " ")
}

// restsOn says what a check rests on that makes it less sure; nothing if there is nothing of the kind.
func restsOn(v engine.Value) string {
	var parts []string
	if v.Guesses > 0 {
		parts = append(parts, guessCount(v.Guesses))
	}
	if n := v.Remarked - min(len(v.Remarks), 1); n > 0 {
		parts = append(parts, counted(n, "value")+" marked "+remarkMark)
	}
	if len(parts) == 0 {
		return ""
	}
	return "rests on " + strings.Join(parts, " and ")
}

// lessSure says how many of the checks that hold rest on guesses, and how many are marked with a remark; nothing if none.
func lessSure(checks []engine.Cell) string {
	hold, guessed, remarked := 0, 0, 0
	for _, c := range checks {
		if c.State() != engine.CheckHolds {
			continue
		}
		hold++
		if c.Guesses > 0 {
			guessed++
		}
		if isRemarked(c.Value) {
			remarked++
		}
	}
	said := ""
	switch {
	case guessed == 0:
	case guessed == hold:
		said = ", on guesses"
	default:
		said = fmt.Sprintf(", %d of them on guesses", guessed)
	}
	if remarked > 0 {
		said += fmt.Sprintf(", %d marked %s", remarked, remarkMark)
	}
	return said
}

// anyRemarked reports whether something on the pages has the mark of a remark.
func anyRemarked(pages []engine.Page) bool {
	for _, p := range pages {
		for _, it := range p.Items {
			if it.Cell != nil && isRemarked(it.Cell.Value) {
				return true
			}
			if it.Table == nil {
				continue
			}
			for i := range it.Table.Len() {
				for k := range it.Table.Columns {
					if isRemarked(it.Table.Entry(i, k)) {
						return true
					}
				}
			}
		}
	}
	return false
}

// printRemarkLegend says what the mark of a remark means, if there is one.
func printRemarkLegend(b sink, marked bool) {
	if marked {
		b.WriteString("\n")
		hang(b, "", "Marked "+remarkMark+": a formula is used outside the range where it is to be trusted; gusset why tells which", plain)
	}
}

// remarksText joins the remarks on a value, as CSV has them.
func remarksText(v engine.Value) string { return strings.Join(v.Remarks, "; ") }
