package program

import (
	"fmt"
	"slices"

	"gusset/sheets/text"
)

// Messages holds what was found wrong while a program was made.
type Messages struct {
	Diags     text.Diags
	fromTexts int // how many of them reading the texts has given
	Overflow  int // number of the one that stands for those that are not listed; -1: there is none
}

// PendingNote asks for the values behind a message, which are known only after the run.
type PendingNote struct {
	Diag int
	Refs []int32 // slots
}

// MaxListed is how many messages of each kind are told: about the text, about what has no result, about what is
// used outside its range. Nobody reads more, and all of them could be more than memory holds.
const MaxListed = 1000

// Report adds a message about a span of a sheet.
func (ms *Messages) Report(mod *Module, d text.Diag) int {
	d.Source = mod.Src
	if len(ms.Diags)-ms.fromTexts < MaxListed {
		ms.Diags = append(ms.Diags, d)
		return len(ms.Diags) - 1
	}
	if ms.Overflow < 0 {
		ms.Overflow = len(ms.Diags)
		ms.Diags = append(ms.Diags, moreListed(d))
	}
	if d.Sev == text.Error {
		ms.Diags[ms.Overflow].Sev = text.Error
	}
	return ms.Overflow
}

// AddListed appends a message of a kind to those that there are, or, once these are MaxListed, one that stands for it
// and all further ones. Full: what is added from now on is left out.
func AddListed(ds text.Diags, d text.Diag) (all text.Diags, full bool) {
	switch {
	case len(ds) < MaxListed:
		return append(ds, d), false
	case len(ds) == MaxListed:
		ds = append(ds, moreListed(d))
	}
	return ds, true
}

// moreListed is the message that stands for d and all further ones of its kind.
func moreListed(d text.Diag) text.Diag {
	return text.Diag{
		Code: "more-told", Sev: d.Sev, Source: d.Source, Span: d.Span,
		Msg: fmt.Sprintf("there is more like what was told before: %d messages of a kind are told at most", MaxListed),
	}
}

// ReadDiags adds what reading a text has found.
func (ms *Messages) ReadDiags(diags text.Diags) {
	ms.Diags = append(ms.Diags, diags...)
	ms.fromTexts += len(diags)
}

// Note adds a fact to a Diag, unless it is told already.
func (ms *Messages) Note(diag int, fact string) {
	if d := &ms.Diags[diag]; diag != ms.Overflow && len(d.Notes) < 4 && !slices.Contains(d.Notes, fact) {
		d.Notes = append(d.Notes, fact)
	}
}
