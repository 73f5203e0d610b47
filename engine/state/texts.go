package state

import (
	"maps"
	"math"

	"gusset/engine/program"
)

// textUse is what a state knows of the texts that it has added to those of its program: texts that have been set, and
// texts that have been joined from others.
type textUse struct {
	joined  int // bytes of those that have been joined
	joins   map[[2]int32]int32
	refused bool  // one could not be joined, since there were too many others
	left    int32 // how many there were, with those of the program, when those without use were dropped last
}

// Join returns the number of a text followed by another.
func (h host) Join(a, b float64) float64 {
	m, use := h.m, &h.m.texts
	pair := [2]int32{int32(a), int32(b)}
	if n, ok := use.joins[pair]; ok {
		return float64(n)
	}
	s := m.Texts.Of(a) + m.Texts.Of(b)
	known, ok := m.Texts.Find(s)
	switch {
	case len(s) > program.MaxTextSize:
		return math.NaN()
	case !ok && use.joined+countedSize(s) > program.MaxJoined:
		use.refused = true
		return math.NaN()
	case !ok:
		known = m.Texts.Add(s)
		use.joined += countedSize(s)
	}
	if use.joins == nil || len(use.joins) >= maxPairs {
		use.joins = map[[2]int32]int32{}
	}
	use.joins[pair] = known
	return float64(known)
}

// maxPairs is for how many pairs of texts it is known what they make together: columns often join the same ones.
const maxPairs = 1 << 14

// countedSize is how many bytes a joined text counts as.
func countedSize(s string) int { return max(len(s), program.LeastText) }

// mostIdle is how many texts may be of no use any more before they are dropped.
const mostIdle = 1 << 12

// forgetTexts drops the texts that no value has any more when there may be many of them: a state may live long, and be
// given another text by every visitor. Those that are left have other numbers then, so that nobody may be in the middle
// of comparing some.
func forgetTexts(st *State) {
	first := st.Program.Texts.Len()
	if st.Texts.Len()-st.texts.left < max(mostIdle, st.texts.left-first) {
		return
	}
	old := st.Texts
	st.Texts, st.texts, st.Last.own = program.NewTexts(st.Program.Texts), textUse{}, nil
	keep := func(v float64) float64 {
		if v >= float64(first) {
			return float64(st.Texts.Add(old.Of(v)))
		}
		return v
	}
	st.overrides = maps.Clone(st.overrides) // which forks share
	for s, o := range st.overrides {
		if o.Type.Kind == program.Text {
			moved := *o
			moved.value = keep(o.value)
			st.overrides[s] = &moved
		}
	}
	for s := range st.Slots {
		if s := int32(s); st.SlotType(s).Kind == program.Text {
			before := st.Texts.Len()
			v := keep(st.Mach.Regs[s])
			if st.Mach.Regs[s] = v; st.Texts.Len() > before { // else it is one that has been set
				st.texts.joined += countedSize(st.Texts.Of(v))
			}
		}
	}
	st.texts.left = st.Texts.Len()
	st.changed()
}
