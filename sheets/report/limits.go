package report

import (
	"fmt"
	"slices"
	"strings"
)

// The bounds of what is listed unless all is asked for.
const (
	entriesListed = 6  // of one table
	namesListed   = 10 // in a line
)

// Listed joins names; of many only the first, unless all are asked for.
func Listed(names []string, all bool) string {
	if all {
		return strings.Join(names, ", ")
	}
	return firstOf(names, " (--all)")
}

// FirstOf joins names; of many only the first.
func FirstOf(names []string) string { return firstOf(names, "") }

func firstOf(names []string, how string) string {
	if more := len(names) - namesListed; more > 1 {
		names = append(slices.Clone(names[:namesListed]), fmt.Sprintf("and %d more%s", more, how))
	}
	return strings.Join(names, ", ")
}

// Together joins names in a sentence, at most the first few of them and how many others there are; last is what is
// before the last of them.
func Together(names []string, most int, others, last string) string {
	if more := len(names) - most; more > 1 {
		names = append(slices.Clone(names[:most]), fmt.Sprintf("%d %s", more, others))
	}
	n := len(names) - 1
	return strings.Join(names[:n], ", ") + " " + last + " " + names[n]
}

// LimitTables keeps the first entries of each table. More is what is said after a kept one, by its number; how ends it,
// and says how to see the rest. TableOf gives the table of a thing; empty for what is not an entry.
func LimitTables[T any](things []T, all bool, how string, tableOf func(T) string) (kept []T, more map[int]string) {
	count, last := map[string]int{}, map[string]int{}
	long := false
	for _, t := range things {
		table := tableOf(t)
		count[table]++
		long = long || table != "" && count[table] > entriesListed
	}
	if all || !long {
		return things, nil
	}
	seen := map[string]int{}
	for _, t := range things {
		table := tableOf(t)
		if seen[table]++; table == "" || seen[table] <= entriesListed {
			last[table] = len(kept)
			kept = append(kept, t)
		}
	}
	more = map[int]string{}
	for table, n := range count {
		if table != "" && n > entriesListed {
			more[last[table]] = fmt.Sprintf("and %d more of %s%s", n-entriesListed, table, how)
		}
	}
	return kept, more
}
