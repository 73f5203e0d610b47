// Package library is Gusset's library: pages of formulas, constants and data tables in the sheet language, and the
// starters that a new sheet can begin from.
//
// A page is read as a builder would read it: every formula says what it is, where it comes from, what it needs,
// the range in which to trust it, and shows an example with a figure from outside the project or one worked by
// hand.
package library

import (
	"embed"
	"io/fs"
)

//go:embed *.gusset
var pages embed.FS

//go:embed starters
var starters embed.FS

// Pages returns the pages of formulas, one file each at the top.
func Pages() fs.FS { return pages }

// Starters returns the starters for new sheets, one file each at the top. Pages that can be added to one are in a
// folder of its name, and metric twins of both in the folder metric.
func Starters() fs.FS {
	sub, err := fs.Sub(starters, "starters")
	if err != nil {
		panic(err) // the folder is named in the line above that embeds it
	}
	return sub
}
