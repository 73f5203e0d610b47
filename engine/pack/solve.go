package pack

import (
	"cmp"
	"slices"
)

// budget counts steps. Once it has refused some it is spent.
type budget struct{ limit, used int }

func (b *budget) take(steps int) bool {
	if steps > b.limit-b.used {
		b.used = b.limit
		return false
	}
	b.used += steps
	return true
}

func (b *budget) spent() bool { return b.used >= b.limit }

// part runs something with a part of the steps that are left.
func (b *budget) part(num, den int, run func()) {
	limit := b.limit
	b.limit = b.used + (limit-b.used)/den*num
	run()
	b.limit = limit
}

// solve returns the best plan that it finds, the problem that it is for, and a number of stocks below which there is
// none. Pieces are turned only where that takes fewer stocks. Where they are only counted, it ends as soon as there can
// be no fewer, and what it searches until then is the same.
func solve(items []item, steps *budget, counted bool) (p *problem, sheets []*sheet, bound int) {
	p = newProblem(items)
	if !slices.ContainsFunc(items, func(it item) bool { return it.turns() }) {
		sheets, bound = p.solve(steps, counted)
		return p, sheets, bound
	}
	upright := slices.Clone(items)
	for i := range upright {
		upright[i].turned = extent{}
	}
	asGiven := newProblem(upright)
	if sheets = asGiven.firstFit(); counted && len(sheets) == p.boundBelow(len(sheets)) {
		return asGiven, sheets, len(sheets)
	}
	steps.part(1, 2, func() { sheets, _ = asGiven.solve(steps, false) }) // what it leaves is for the other search
	if bound = p.boundBelow(len(sheets)); len(sheets) > bound {
		var turned []*sheet
		if turned, bound = p.solve(steps, counted); len(turned) < len(sheets) {
			return p, turned, bound
		}
	}
	return asGiven, sheets, bound
}

// solve returns the best plan that it finds, and a number of stocks below which there is none.
func (p *problem) solve(steps *budget, counted bool) (sheets []*sheet, bound int) {
	steps.part(7, 8, func() { sheets, bound = p.fewest(steps, counted) })
	if counted {
		return sheets, bound
	}
	for i, s := range sheets {
		if straight := p.straighten(s, steps); straight != nil {
			sheets[i] = straight
		}
	}
	slices.SortStableFunc(sheets, func(a, b *sheet) int { return cmp.Compare(b.area, a.area) })
	return sheets, bound
}

// fewest looks for a plan with the fewest sheets.
func (p *problem) fewest(steps *budget, counted bool) (best []*sheet, bound int) {
	best = p.firstFit()
	bound = p.boundBelow(len(best))
	offer := func(found []*sheet) {
		if found != nil && (len(found) < len(best) || len(found) == len(best) && fullness(found) > fullness(best)) {
			best = found
		}
	}
	if (p.inRow || counted) && len(best) == bound {
		return best, bound
	}
	steps.part(1, 4, func() {
		if p.inRow {
			p.searchByPrice(bound, steps, offer)
		} else {
			p.buildAll(len(best), steps, offer)
		}
	})
	for most := bound; most < len(best); most++ {
		thirds := 2
		if p.inRow && most == len(best)-1 {
			thirds = 3 // nothing comes after it
		}
		steps.part(thirds, 3, func() {
			found, ended := p.search(most, steps)
			offer(found)
			if found == nil && ended && bound == most {
				bound++
			}
		})
	}
	if !p.inRow {
		offer(p.improve(best, bound, steps))
	}
	return best, bound
}

// buildAll builds with every order and rule.
func (p *problem) buildAll(most int, steps *budget, offer func([]*sheet)) {
	for _, straight := range []bool{true, false} {
		for _, order := range orders {
			if steps.spent() {
				return
			}
			items := p.sorted(p.all(), order)
			for _, rule := range rules {
				offer(p.build(items, rule, straight, most, steps))
			}
		}
	}
}

// search looks everywhere for a plan with so many sheets. Where none is found, ended says that there is none.
func (p *problem) search(most int, steps *budget) (found []*sheet, ended bool) {
	if p.inRow {
		return p.searchSticks(most, steps)
	}
	return p.searchSheets(most, steps)
}

// straighten returns a sheet with the same pieces that can be cut up with straight cuts, nil where it finds none or
// where this one can.
func (p *problem) straighten(s *sheet, steps *budget) *sheet {
	items := make([]int, len(s.places))
	rects := make([]rect, len(s.places))
	for i, at := range s.places {
		items[i], rects[i] = at.item, p.rect(at)
	}
	if cuttable(rects) {
		return nil
	}
	return p.buildOne(items, true, steps)
}

// buildOne places items on a single sheet, by any order and rule; it returns nil where it finds no way.
func (p *problem) buildOne(items []int, straight bool, steps *budget) *sheet {
	for _, order := range orders {
		sorted := p.sorted(items, order)
		for _, rule := range rules {
			if built := p.build(sorted, rule, straight, 1, steps); built != nil {
				return built[0]
			}
		}
	}
	return nil
}

// fullness is the more, the more unequally full the sheets are: what is left over is worth more in one piece.
func fullness(sheets []*sheet) int64 {
	sum := int64(0)
	for _, s := range sheets {
		share := s.area / shareSteps
		sum += share * share
	}
	return sum
}

// all returns the indices of all items.
func (p *problem) all() []int {
	all := make([]int, len(p.items))
	for i := range all {
		all[i] = i
	}
	return all
}
