package choose

import (
	"math"

	"gusset/engine/explain"
	"gusset/engine/state"
)

// tell sets combinations one after the other, and explains what comes of them.
func (s *search) tell(list []candidate) []Combination {
	told := make([]Combination, 0, len(list))
	for _, c := range list {
		st := s.base.Fork()
		settings := s.settings(int(c.index))
		if s.err = st.SetAll(settings...); s.err != nil {
			return nil
		}
		told = append(told, s.combination(st, int(c.index), settings))
	}
	return told
}

// combination explains a combination, which a state has.
func (s *search) combination(st *state.State, index int, settings []state.Setting) Combination {
	c := Combination{Settings: settings, Margin: math.NaN(), index: index}
	e := explain.New(st)
	for i, k := range s.chosen(index) {
		v := s.varied[i]
		c.Chosen = append(c.Chosen, e.ViewValue(v.slot))
		c.Changed = append(c.Changed, v.changed[k])
	}
	for _, slot := range s.goals {
		c.Goals = append(c.Goals, e.ViewValue(slot))
	}
	for slot := range explain.Shown(e) {
		if s.names[slot] == "" || s.without[slot] {
			continue
		}
		if st.Mach.Regs[slot] != 1 {
			if len(c.Unmet) < maxUnmet {
				c.Unmet = append(c.Unmet, e.Entry(slot).Cell)
			}
			continue
		}
		v := e.ViewValue(slot)
		if v.Guesses > 0 {
			c.OnGuess++
		}
		if v.Remarked > 0 {
			c.Outside++
		}
		m := explain.Margin(e, slot, s.counts)
		if s.touched[slot] && !math.IsInf(m, 1) && !(m >= c.Margin) && !math.IsNaN(m) {
			c.Tightest, c.Margin = s.names[slot], m
		}
	}
	return c
}
