package text

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestOfferedRowsAreTheOnesMeant takes an entry with its bar, a bar alone, or one more bar, out of or into rows of which
// all is known: where a whole row is offered, it is the one that was meant.
func TestOfferedRowsAreTheOnesMeant(t *testing.T) {
	columns := []struct {
		head    string
		entries []string
	}{
		{"a%d [in]", []string{"3", "1/16", "8-1/4", "3 1/4", "2.5 oz", "4 ft 2 in", "7 ± 1.5", "12 ?", "= b * 2", ""}},
		{`c%d [one of "along", "across"]`, []string{`"along"`, `"across"`, ""}},
		{"t%d [one of rack.stock]", []string{`"balsa sheet 1/16"`, `"ply"`, `"a | b"`, ""}},
		{"u%d", []string{"3", `"x"`, "yes", "= s", ""}},
	}
	names := []string{"wing", "rib 3", "balsa sheet 1/16", `"tail | fin"`}
	offered, rounds := 0, 20_000
	if testing.Short() {
		rounds = 4000
	}
	for seed := range rounds {
		r := rand.New(rand.NewPCG(uint64(seed), 1))
		head, row := []string{"part"}, []string{names[r.IntN(len(names))]}
		for i := range 2 + r.IntN(5) {
			c := columns[r.IntN(len(columns))]
			head = append(head, strings.ReplaceAll(c.head, "%d", string(rune('a'+i))))
			row = append(row, c.entries[r.IntN(len(c.entries))])
		}
		typed, meant := slices.Clone(row), slices.Clone(row)
		at := 1 + r.IntN(len(row)-1)
		switch r.IntN(3) {
		case 0:
			typed = slices.Delete(typed, at, at+1)
			meant[at] = ""
		case 1:
			typed[at-1] = strings.TrimSpace(typed[at-1] + " " + typed[at])
			typed = slices.Delete(typed, at, at+1)
		case 2:
			typed = slices.Insert(typed, at, "")
		}
		sheet := "table parts\n  " + strings.Join(head, " | ") + "\n  " + strings.Join(typed, " | ") + "\n"
		_, diags := Parse(NewSource("s", []byte(sheet)))
		for _, d := range diags {
			kind, hint, found := strings.Cut(d.Hint, ": ")
			if d.Code != "entry-count" || !found || strings.HasPrefix(kind, "see") || strings.HasPrefix(kind, "inches") {
				continue
			}
			offered++
			require.Equal(t, oneRow(meant), oneRow(strings.Split(hint, " |")), sheet+d.Hint)
		}
	}
	require.Greater(t, offered, rounds/20, "or there would be no use in it")
}

func oneRow(entries []string) string {
	return strings.Join(strings.Fields(strings.Join(entries, " | ")), " ")
}
