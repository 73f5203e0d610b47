package pack

import (
	"cmp"
	"math/rand/v2"
	"slices"
)

// stickSteps is how many ways to fill one stick are looked at.
const stickSteps = 300

// pricing looks for plans in one dimension by trial: each kind of piece has a price, and one stick after the other is
// filled with what is worth most. What was on a stick that wasted much becomes dearer, so that the next time it is
// placed while there is still a choice (sequential value correction: G. Belov and G. Scheithauer, "Setup and
// open-stacks minimization in one-dimensional stock cutting", INFORMS Journal on Computing 19 (2007), who name
// E. A. Mukhacheva; from memory).
type pricing struct {
	sticks
	length []int64 // of each kind, as a share
	price  []int64
	order  []int // the kinds, the dearest for their length first
	chance *rand.Rand

	onHand   []int // what is left of order
	shortest int64 // the size of the shortest of them
	chosen   []int // what is on the stick
	best     []int // what was worth most
	worth    int64 // of the best
	tries    int
}

// searchByPrice makes trials until the steps are spent or it has a plan with so few sticks, and offers what it finds.
func (p *problem) searchByPrice(most int, steps *budget, offer func([]*sheet)) {
	all := p.newSticks(p.all(), steps)
	q := pricing{chance: rand.New(rand.NewPCG(1, 2))} // the same job always gives the same plan
	for k, size := range all.size {
		q.length = append(q.length, max(1, share(size)))
		q.order = append(q.order, k)
	}
	q.price = slices.Clone(q.length)
	for fewest := len(p.items); fewest > most && !steps.spent(); {
		q.sticks = *all
		q.left = slices.Clone(all.left)
		if q.trial() {
			fewest = min(fewest, len(q.cut))
			offer(q.sheets())
		}
	}
}

// trial fills sticks until nothing is left; it returns false where the steps are spent.
func (q *pricing) trial() bool {
	slices.SortFunc(q.order, func(a, b int) int {
		return cmp.Or(cmp.Compare(q.price[b]*q.length[a], q.price[a]*q.length[b]), cmp.Compare(a, b))
	})
	for q.rest > 0 {
		if !q.steps.take(len(q.order) / walkedPerStep) {
			return false
		}
		q.onHand, q.shortest = q.onHand[:0], whole
		for _, k := range q.order {
			if q.left[k] > 0 {
				q.onHand = append(q.onHand, k)
				q.shortest = min(q.shortest, q.size[k])
			}
		}
		q.chosen, q.best, q.worth, q.tries = q.chosen[:0], nil, 0, 0
		q.choose(0, whole, 0)
		if q.best == nil {
			return false
		}
		used := int64(0)
		for _, k := range q.best {
			q.take(k)
			used += q.length[k]
		}
		q.cut = append(q.cut, q.best)
		q.correct(q.best, used)
	}
	return true
}

// correct moves the prices of what is on a stick towards what it cost there: its share of the whole stick. Longer
// pieces cost a little more. It moves them the less, the more such pieces there are.
func (q *pricing) correct(kinds []int, used int64) {
	for i, k := range kinds {
		if i > 0 && kinds[i-1] == k {
			continue
		}
		n := int64(0)
		for _, other := range kinds {
			if other == k {
				n++
			}
		}
		length := q.length[k]
		cost := (length + length*length/(16*shareSteps)) * shareSteps / used
		const unit = 1024
		inertia := (unit + q.chance.Int64N(unit/2)) * int64(len(q.items[k])+q.left[k]) / n
		q.price[k] = max(1, (inertia*q.price[k]+unit*cost)/(inertia+unit))
	}
}

// choose looks for what is worth most in the room that is left on a stick, of those on hand from number i on.
func (q *pricing) choose(i int, room, worth int64) {
	if worth > q.worth {
		q.worth, q.best = worth, slices.Clone(q.chosen)
	}
	if room < q.shortest {
		return
	}
	from := i
	for i < len(q.onHand) && q.size[q.onHand[i]] > room {
		i++
	}
	q.tries++
	if q.tries > stickSteps || !q.steps.take(1+(i-from)/walkedPerStep) || i == len(q.onHand) {
		return
	}
	k := q.onHand[i]
	if worth+share(room)*q.price[k]/q.length[k] <= q.worth {
		return
	}
	n := int(min(int64(q.left[k]), room/q.size[k]))
	before := len(q.chosen)
	q.chosen = append(q.chosen, slices.Repeat([]int{k}, n)...)
	for ; n >= 0; n-- {
		q.chosen = q.chosen[:before+n]
		q.choose(i+1, room-int64(n)*q.size[k], worth+int64(n)*q.price[k])
	}
}
