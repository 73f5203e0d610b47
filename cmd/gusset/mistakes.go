package main

import (
	"fmt"

	"gusset/sheets/text"
)

// mistakeWarning says, on standard output beside the numbers, that the text of a sheet has mistakes, and where the first
// one is; nothing when there is none. Messages go to standard error, which may be read later or not at all.
func mistakeWarning(mistakes text.Diags) string {
	if len(mistakes) == 0 {
		return ""
	}
	first := mistakes[0]
	return fmt.Sprintf("%s in the text, the first in %s: what rests on it has no result", counted(len(mistakes), "mistake"), placeOf(first))
}

// placeOf returns the file and the line of a message.
func placeOf(d text.Diag) string {
	return fmt.Sprintf("%s, line %d", d.Source.Name, d.Source.Position(d.Span.Start).Line)
}

// printWarning prints a warning about mistakes; nothing where there is none.
func printWarning(b sink, warning string) {
	if warning != "" {
		hang(b, "", warning, paint.bad)
	}
}
