package report

import (
	"fmt"
	"slices"

	"gusset/sheets/text"
)

// Messages brings the messages of several models, or of variants of one, together.
type Messages struct {
	All   text.Diags
	known map[string]bool
}

// Add adds the messages that have not been told yet; those that only a variant has say so.
func (m *Messages) Add(more text.Diags, variant string) {
	if m.known == nil {
		m.known = map[string]bool{}
	}
	for _, d := range more {
		if m.known[About(d)] {
			continue
		}
		m.known[About(d)] = true
		if variant != "" {
			d.Notes = append(slices.Clone(d.Notes), fmt.Sprintf("in the variant %q", variant))
		}
		m.All = append(m.All, d)
	}
}

// About tells messages apart that are about other things, whatever values they show.
func About(d text.Diag) string { return fmt.Sprint(d.Source.Name, d.Span, d.Code) }
