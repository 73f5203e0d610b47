package engine

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/explain"
)

// The sides of and, and of or, may change places: of what they come to, the strongest counts.
func TestSidesMayChangePlaces(t *testing.T) {
	sides := []struct{ name, text string }{
		{"no", "two > 3"}, {"none", "1 / zero > 1"}, {"waits", "blank > 1"}, {"yes", "two > 1"},
	}
	stronger := map[string][]string{"and": {"no", "none", "waits", "yes"}, "or": {"yes", "none", "waits", "no"}}
	state := map[string]explain.CheckState{"yes": explain.CheckHolds, "no": explain.CheckFails,
		"waits": explain.CheckWaits, "none": explain.CheckNone}
	sheet := "two : 2\nzero : 0\nblank :\ntable t\n  n | v\n  r | 1\n"
	want := map[string]string{}
	for op, order := range stronger {
		for i, a := range sides {
			for j, b := range sides {
				for k, c := range sides {
					name := fmt.Sprintf("%s%d%d%d", op, i, j, k)
					formula := fmt.Sprintf("%s %s %s %s %s", a.text, op, b.text, op, c.text)
					for _, s := range order {
						if s == a.name || s == b.name || s == c.name {
							want[name] = s
							break
						}
					}
					sheet += fmt.Sprintf("check %s = %s\n", name, formula)
					// a row counts by the same rule, also where two filters stand for the and
					sheet += fmt.Sprintf("rows_%s = count(filter(t, %s))\n", name, formula)
					if op == "and" {
						sheet += fmt.Sprintf("kept_%s = count(filter(filter(filter(t, %s), %s), %s))\n", name, a.text, b.text, c.text)
					}
				}
			}
		}
	}
	m := load(t, sheet)
	for name, w := range want {
		c, ok := m.Cell(name)
		require.True(t, ok)
		assert.Equal(t, state[w], c.State(), c.Formula)
		for _, of := range []string{"rows_", "kept_"} {
			if c, ok := m.Cell(of + name); ok {
				status := map[string]explain.Status{"yes": explain.OK, "no": explain.OK, "waits": explain.Waits,
					"none": explain.None}[w]
				assert.Equal(t, status, c.Status, c.Formula)
				if status == explain.OK {
					assert.Equal(t, map[string]float64{"yes": 1, "no": 0}[w], c.Number, c.Formula)
				}
			}
		}
	}
	require.NoError(t, m.Set("blank", "1"))
	c, _ := m.Cell("and332")
	assert.Equal(t, explain.CheckFails, c.State())
}

// What a side lacks is not told of where the other decides.
func TestWhatASideLacks(t *testing.T) {
	m := load(t, "g : 2\ne :\nlate :\ncheck a = e > 1 and g > 2 and late > 1\n"+
		"check b = e > 1 and g > 1 and 1 / (g - 2) > 1\ncheck c = e > 1 or 1 / (g - 2) > 1 or g > 1\n"+
		"check d = late > 1 and g > 1\n")
	assert.Equal(t, map[string]int{"zero-division": 1}, codes(m))
	for name, reason := range map[string]string{"a": "", "c": "", "b": "this is 0, and nothing can be divided by 0",
		"d": "waits for late"} {
		c, _ := m.Cell(name)
		assert.Equal(t, reason, c.Reason, name)
	}
}

// A part of a formula that is worked out once for all rows is a part all the same.
func TestEntriesLikeCells(t *testing.T) {
	m := load(t, "k :\ntable a\n  n | v [oz]\n  r | 5\n  s |\ntable b\n  n | w [oz]\n"+
		"  q | = last(map(filter(a, .v < 3 [oz]), .v))\n  p | = sum(a.v) * 2\n"+
		"  x [oz] = w + mean(map(filter(a, .n == \"no\"), .v))\n"+
		"c [oz] = last(map(filter(a, .v < 3 [oz]), .v))\n")
	for name, want := range map[string]string{
		`b["q"].w`: `(waits: waits for a["s"].v)`, `b["p"].w`: `(waits: waits for a["s"].v)`,
		`b["p"].x`: "(none: there are no rows left to work with)", "c": `(waits: waits for a["s"].v)`,
	} {
		assert.Equal(t, want, shown(t, m, name), name)
	}
	require.NoError(t, m.Set(`a["s"].v`, "4"))
	for _, name := range []string{`b["q"].w`, "c", `b["q"].x`} {
		v, err := m.Value(name)
		require.NoError(t, err)
		assert.Equal(t, explain.None, v.Status, name)
		assert.Equal(t, "there are no rows left to work with", v.Reason, name)
	}
	assert.Equal(t, map[string]int{"no-rows": 3}, codes(m))
}

// What is in brackets with a ?? stands in for what is not given, and nothing else does. Arithmetic beside it without
// brackets is refused: it could be meant for either.
func TestWhatBelongsToGiven(t *testing.T) {
	m := load(t, "a :\nb : 2\nc : 3\ntable t\n  n | v | w\n  r |  | 5\n  s | 4 | 1\n  u = (v ?? w) + 1\n  x = -(v ?? w)\n"+
		"r1 = (a ?? b) + c\nr2 = a ?? (b + c)\nr3 = b ?? (c * 2)\nr4 = (b ?? c) * 2\nr5 = (a ?? a ?? b) - 1\n"+
		"r6 = a ?? ((b + c) * 2)\nr7 = (a ?? -b) + c\nr8 = a ?? (sum(t, (.v ?? .w) + 1) / 2)\n"+
		"r9 = (t[\"r\"].v ?? t[\"s\"].v) * b + 1\nr10 = a ?? b > 1 and c ?? a == 3 ? 1 : 0\n"+
		"r11 = max((a ?? b) + c, a ?? 1)\nr12 [in] = a ?? (2 * 3 [in] + (a ?? (1 * 1 [in])))\nr13 = sum(t, .u)\n"+
		"r14 = sum(t, .x)\n")
	assert.Empty(t, m.Problems())
	for name, want := range map[string]string{
		"r1": "5", "r2": "5", "r3": "2", "r4": "4", "r5": "1", "r6": "10", "r7": "1", "r8": "5.5", "r9": "9", "r10": "1",
		"r11": "5", "r12": "7 in", "r13": "11", "r14": "-9",
	} {
		assert.Equal(t, want, shown(t, m, name), name)
	}
	for formula, at := range map[string]string{
		"größe ?? 1/2 [in] + größe ?? 2 [in]": "größe ?? 1/2 [in] + größe",
		"1 [in] + (größe ?? 2 - 2)":           "größe ?? 2 - 2",
	} {
		d := load(t, "größe [in] :\nlänge [in] = "+formula+"\n").Problems()[0]
		assert.Equal(t, "given-brackets", d.Code)
		assert.Equal(t, at, d.Source.Text()[d.Span.Start:d.Span.End])
	}
}

// TestASideThatDecidesSettlesTheOther: where one side of an and or an or is enough, nothing waits for what the other
// lacks, and that is not why there is no result.
func TestASideThatDecidesSettlesTheOther(t *testing.T) {
	t.Parallel()
	for _, condition := range []string{
		"later > 1 and a > 9", "a > 9 and later > 1", "not (later > 1 or a < 9)", "not (a < 9 or later > 1)",
		"1 / (a - a) > 1 and a > 9", "not (sqrt(0 - a) > 1 or a < 9)",
	} {
		m := load(t, "a : 4\nlater :\ny = ("+condition+") ? 1 : log10(0 - a)\n")
		assert.Equal(t, "log10 has no value for -4", reasonOf(t, m, "y"), condition)
	}
}
