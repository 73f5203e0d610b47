package report

import (
	"math"

	"gusset/engine"
)

// AddSpread finds out how far the points of a chart may be off, to first order, and returns how many it has looked at;
// none where they are more than most.
func (c *Chart) AddSpread(m *engine.Model, most int) int {
	points := 0
	for _, p := range c.Panels {
		points += len(p.Series) * len(p.Xs)
	}
	if points > most || c.Outline || !engine.MayBeOff(m) {
		return 0
	}
	for i := range c.Panels {
		p := &c.Panels[i]
		for k := range p.Series {
			s := &p.Series[k]
			for row, place := range s.Places {
				d := engine.DoubtOf(m, place)
				if d == nil || !p.Has(*s, row) {
					continue
				}
				if s.Half == nil {
					s.Half = make([]float64, len(s.Ys))
				}
				s.Half[row] = p.Unit.Difference().FromSI(d.By.SI())
				s.AtLeast = s.AtLeast || len(d.Undeclared) > 0
			}
		}
	}
	return points
}

// Around returns between which values a point is in 95 of 100 builds, to first order; ok is false where nothing says
// so.
func (s *Series) Around(row int) (lo, hi float64, ok bool) {
	if s.Half == nil || !(s.Half[row] > 0) || math.IsInf(s.Half[row], 0) {
		return s.Ys[row], s.Ys[row], false
	}
	return s.Ys[row] - s.Half[row], s.Ys[row] + s.Half[row], true
}

// BandLegend says what the band of a panel means; empty where it has none.
func (p *Panel) BandLegend() string {
	said, atLeast := "", false
	for _, s := range p.Series {
		if s.Half != nil {
			said = "The band holds 95 of 100 builds"
			if p.Named {
				said = "The line over the end of a bar holds 95 of 100 builds"
			}
		}
		atLeast = atLeast || s.AtLeast
	}
	switch {
	case said == "":
		return ""
	case atLeast:
		return said + ", to first order, and is at least as wide: not all that is behind it has a ± or a weighing."
	}
	return said + ", to first order."
}
