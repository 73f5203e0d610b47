package choose

import (
	"slices"

	"gusset/engine/odds"
)

// addOdds finds out how sure the first combinations are that are told of. All of them are drawn the same builds: a
// given value that they have in common is the same piece in each.
func (s *search) addOdds() error {
	a := &s.answer
	list := a.Best
	if len(s.goals) > 1 {
		list = a.Front
	}
	list = list[:min(len(list), MaxOdds, s.asked.Keep)]
	for i := range list {
		if s.asked.Drawing != nil {
			s.asked.Drawing(i+1, len(list))
		}
		if s.ctx.Err() != nil {
			a.OddsStopped = true
			return nil
		}
		st := s.base.Fork()
		if err := st.SetAll(list[i].Settings...); err != nil {
			return err
		}
		o, err := odds.OfSlots(s.ctx, st, s.drawn(), s.oddsOptions())
		if err != nil {
			return err
		}
		list[i].Odds = o
		a.OddsStopped = a.OddsStopped || o.Stopped
	}
	for i := range a.Best { // what is on the front is among the best as well
		same := func(c Combination) bool { return c.index == a.Best[i].index }
		if k := slices.IndexFunc(list, same); k >= 0 {
			a.Best[i].Odds = list[k].Odds
		}
	}
	return nil
}

// drawn returns the goals and checks of which it is found out how sure they are.
func (s *search) drawn() []int32 { return append(slices.Clone(s.goals), s.decide...) }

// oddsOptions is how the first combinations are drawn: each may take its part of what one sheet may.
func (s *search) oddsOptions() odds.Options { return odds.Options{Parts: MaxOdds, Seed: s.asked.Seed} }
