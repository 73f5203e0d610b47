package report

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"gusset/engine"
)

// PlanName returns the name by which a plan is asked for: that of its stock, where its row tells it.
func PlanName(p engine.CutPlan) string { return cmp.Or(p.Stock, p.Name) }

// NothingToCut reports whether nothing is cut in a row: as in that of a buying list whose stock another one counts.
func NothingToCut(p engine.CutPlan) bool {
	return p.Reason == "" && len(p.Sheets) == 0 && p.Path != p.Name
}

// PlanInShort says what a plan takes.
func PlanInShort(p engine.CutPlan) string {
	if len(p.Sheets) == 0 {
		return "nothing to cut"
	}
	count := MarksOf(p.Value).After(Count(len(p.Sheets), StockWord(p)))
	stock := sizeOf(p.Long, p.Wide)
	if p.Stock != "" {
		stock = p.Stock + ", " + stock
	}
	said := fmt.Sprintf("%s of %s, %s used", count, stock, ShareUsed(p.Used))
	if p.Kerf.Number > 0 {
		said += ", kerf " + p.Kerf.Quantity()
	}
	if p.Proven {
		return said + ", proven least"
	}
	return said + fmt.Sprintf(", not below %d; a better plan was not found", p.Bound)
}

// CutSheetHead says which sheet or stick of a plan one is, what wood it wants, and how much of it is used.
func CutSheetHead(p engine.CutPlan, k int) string {
	s := p.Sheets[k]
	said := fmt.Sprintf("%s %d of %d", StockWord(p), k+1, len(p.Sheets))
	if len(s.Feels) > 0 {
		said += ": " + strings.Join(s.Feels, ", ")
	}
	said += "; " + ShareUsed(s.Used) + " used"
	if !s.Straight {
		said += ", some cuts end within it"
	}
	return said
}

// LeftOver says what of a sheet or stick is worth keeping; empty where nothing is.
func LeftOver(s engine.CutSheet) string {
	var rest []string
	for _, o := range s.Offcuts {
		rest = append(rest, sizeOf(o.Long, o.Wide))
	}
	return strings.Join(rest, "; ")
}

// StockWord is what a plan is cut from.
func StockWord(p engine.CutPlan) string {
	if p.Sticks {
		return "stick"
	}
	return "sheet"
}

// ShareUsed writes a share as it is shown: rounded down, so that no stock with room left is full.
func ShareUsed(x float64) string { return fmt.Sprintf("%d %%", int(x*100+1e-6)) }

// sizeOf writes a length and a width, with the unit once where they share it.
func sizeOf(long, wide engine.Value) string {
	if long.Unit == wide.Unit && !long.Unit.Mixed() {
		return long.Text + " x " + wide.Quantity()
	}
	return long.Quantity() + " x " + wide.Quantity()
}

// CutKeys gives the rows of a plan's cutting list letters, in the order of the list.
func CutKeys(p engine.CutPlan) map[int]string {
	keys := map[int]string{}
	for _, s := range p.Sheets {
		for _, piece := range s.Pieces {
			keys[piece.Row] = ""
		}
	}
	for k, row := range slices.Sorted(maps.Keys(keys)) {
		keys[row] = letters(k)
	}
	return keys
}

// letters counts from 0: A to Z, then AA, AB and so on.
func letters(n int) string {
	if n < 26 {
		return string(rune('A' + n))
	}
	return letters(n/26-1) + letters(n%26)
}

// CutTick is one line of what to tick off: pieces of one row that lie one way.
type CutTick struct {
	engine.CutPiece
	numbers []int
}

// Which says which pieces of the row these are: 1 to 4, 7, 9.
func (t *CutTick) Which() string { return runs(t.numbers) }

// Size says how long and how wide each of them is, along its own grain.
func (t *CutTick) Size() string {
	if t.Turned {
		return sizeOf(t.Wide, t.Long) + ", turned"
	}
	return sizeOf(t.Long, t.Wide)
}

// CutTicks returns what to tick off of a sheet, in the order of the cutting list.
func CutTicks(s engine.CutSheet) []*CutTick {
	var ticks []*CutTick
	for _, piece := range s.Pieces {
		same := func(t *CutTick) bool { return t.Row == piece.Row && t.Turned == piece.Turned }
		i := slices.IndexFunc(ticks, same)
		if i < 0 {
			i, ticks = len(ticks), append(ticks, &CutTick{CutPiece: piece})
		}
		ticks[i].numbers = append(ticks[i].numbers, piece.Number)
	}
	slices.SortStableFunc(ticks, func(a, b *CutTick) int { return a.Row - b.Row })
	return ticks
}

// runs writes numbers as runs: 1 to 4, 7, 9 and 10.
func runs(numbers []int) string {
	slices.Sort(numbers)
	var parts []string
	for i := 0; i < len(numbers); {
		k := i
		for k+1 < len(numbers) && numbers[k+1] == numbers[k]+1 {
			k++
		}
		switch k - i {
		case 0:
			parts = append(parts, fmt.Sprint(numbers[i]))
		case 1:
			parts = append(parts, fmt.Sprint(numbers[i]), fmt.Sprint(numbers[k]))
		default:
			parts = append(parts, fmt.Sprintf("%d to %d", numbers[i], numbers[k]))
		}
		i = k + 1
	}
	return strings.Join(parts, ", ")
}
