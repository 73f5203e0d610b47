package pack

import (
	"cmp"
	"math/rand/v2"
	"slices"
)

// improve takes the pieces off a few sheets, the emptiest among them, and places them again in about the same order,
// over and over, so that full sheets become fuller and the emptiest one is no longer needed (ruin and recreate:
// G. Schrimpf and others, "Record breaking optimization results using the ruin and recreate principle", Journal of
// Computational Physics 159 (2000), from memory). Chance has a fixed seed: the same job always gives the same plan.
func (p *problem) improve(sheets []*sheet, bound int, steps *budget) []*sheet {
	chance := rand.New(rand.NewPCG(1, 2))
	sheets = slices.Clone(sheets)
	for len(sheets) > bound && steps.take(len(sheets)) {
		few := min(len(sheets), 2+chance.IntN(3))
		kept := len(sheets) - few
		swap := func(i, j int) { sheets[i], sheets[j] = sheets[j], sheets[i] }
		emptiest := 0
		for i, s := range sheets {
			if s.area < sheets[emptiest].area {
				emptiest = i
			}
		}
		swap(emptiest, len(sheets)-1)
		for i := range few - 1 {
			swap(kept+i, chance.IntN(kept+i+1))
		}
		items := p.shuffled(sheets[kept:], chance)
		built := p.build(items, rules[chance.IntN(len(rules))], false, few, steps)
		if built != nil && (len(built) < few || fullness(built) >= fullness(sheets[kept:])) {
			sheets = append(sheets[:kept], built...)
		}
	}
	return sheets
}

// shuffled returns what is on sheets, the largest first but for a change of places among those of like size.
func (p *problem) shuffled(sheets []*sheet, chance *rand.Rand) []int {
	type ranked struct {
		item int
		rank int64
	}
	var drawn []ranked
	for _, s := range sheets {
		for _, at := range s.places {
			drawn = append(drawn, ranked{at.item, p.items[at.item].area / 64 * (64 + chance.Int64N(64))})
		}
	}
	slices.SortStableFunc(drawn, func(a, b ranked) int { return cmp.Compare(b.rank, a.rank) })
	items := make([]int, len(drawn))
	for i, d := range drawn {
		items[i] = d.item
	}
	return items
}
