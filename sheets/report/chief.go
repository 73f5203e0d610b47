package report

import (
	"strings"

	"gusset/engine"
)

// GlancePage is the page on which a sheet has its chief results.
const GlancePage = "At a glance"

// Chief returns the chief results of a sheet, which with its checks are what is read first: the worked and adjusted
// cells of its page "At a glance". A sheet without it has the worked cells that nothing else uses, and the adjusted
// ones, which are what the sheet was to find.
func Chief(m *engine.Model) []engine.Cell {
	if chief := atAGlance(m); len(chief) > 0 {
		return chief
	}
	return engine.Unused(m)
}

// HasGlance reports whether a sheet has chief results of its own, on its page "At a glance".
func HasGlance(m *engine.Model) bool { return len(atAGlance(m)) > 0 }

// atAGlance returns the worked and adjusted cells of the page "At a glance".
func atAGlance(m *engine.Model) (chief []engine.Cell) {
	for _, p := range m.Outline() {
		for _, it := range p.Items {
			if strings.EqualFold(p.Name, GlancePage) && it.Cell != nil &&
				(it.Cell.Kind == engine.Worked || it.Cell.Kind == engine.Adjusted) {
				chief = append(chief, *it.Cell)
			}
		}
	}
	return chief
}
