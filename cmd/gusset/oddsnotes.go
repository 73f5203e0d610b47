package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gusset/engine"
	"gusset/sheets/report"
)

// How many names are printed of long lists.
const (
	undeclaredShown = 6
	guessesShown    = 6
)

// howMany says why there are so many builds.
type howMany uint8

const (
	asManyAsItTakes howMany = iota
	asAsked
	quickly
)

// printKept names what is the same in all builds although the sizes behind it are not.
func printKept(b sink, o *engine.Odds) {
	if len(o.Kept) > 0 && o.Builds > 0 {
		writeHanging(b, "", "Pieces are not laid out on their stock again in each build: the sheet's count holds in "+
			strings.Join(o.Kept, ", "), paint.waiting)
	}
}

// hasValue reports whether a result has a value in the sheet as it stands.
func hasValue(r engine.OddsResult) bool { return r.Status == engine.OK }

// drawnHow says how many builds there are, and whether they are enough.
func drawnHow(o *engine.Odds, why howMany) string {
	if len(o.Drawn) == 0 {
		switch {
		case len(o.Results)+len(o.Checks) == 0 && len(o.Texts) > 0:
			return "Nothing is drawn: a text has no range."
		case len(o.Results) > 0 && !slices.ContainsFunc(o.Results, hasValue):
			return "Nothing is drawn: none of these results has a value as the sheet stands."
		}
		return "Nothing is drawn: no value behind these says how far off it may be. Write it after the value, such as " +
			"60 ± 5, for those that count most."
	}
	said := fmt.Sprintf("%s builds, in which %s drawn (seed %d); ", report.Thousands(o.Builds),
		report.CountThat(len(o.Drawn), "value", "is", "are"), o.Seed)
	switch {
	case o.Stopped:
		return said + "STOPPED by hand: this is the result so far"
	case why == asAsked:
		return said + "as many as asked for"
	case why == quickly:
		return said + "few, so that it is quick, and the second digit of a spread may be off; gusset odds draws more"
	case o.Steady:
		return said + "as many as it takes for two digits of every spread to be sure"
	}
	return said + "no more are drawn, and the second digit of a spread may still be off"
}

// printUndeclared says of which values behind the results of some odds nobody says how far off they may be.
func printUndeclared(b sink, pad string, all bool, odds ...*engine.Odds) {
	type counted struct {
		name  string
		moves float64 // how far it moves a result, as a share of it
		flips int     // how many checks come out another way
	}
	byPlace := map[engine.Place]*counted{}
	var list []*counted
	note := func(u engine.Undeclared, moves float64, flips int) {
		c := byPlace[u.Place]
		if c == nil {
			c = &counted{name: u.Name}
			byPlace[u.Place], list = c, append(list, c)
		}
		if moves > c.moves {
			c.moves = moves
		}
		c.flips += flips
	}
	drawn := false
	for _, o := range odds {
		drawn = drawn || o.Builds > 0
		for _, r := range o.Results {
			for _, u := range r.Undeclared {
				note(u, u.Moves/max(math.Abs(r.Number), r.SD), 0)
			}
		}
		for _, c := range o.Checks {
			for _, u := range c.Undeclared {
				flips := 0
				if u.Moves > 0 {
					flips = 1
				}
				note(u, 0, flips)
			}
		}
	}
	if len(list) == 0 {
		return
	}
	slices.SortStableFunc(list, func(a, b *counted) int {
		return cmp.Or(b.flips-a.flips, cmp.Compare(b.moves, a.moves))
	})
	var names []string
	for _, c := range list {
		names = append(names, c.name)
	}
	said := report.Count(len(list), "value") + " behind these with neither a ± nor a weighing"
	if !all && len(names) > undeclaredShown {
		said += "; those that count most, a tenth off either way: " + strings.Join(names[:undeclaredShown], ", ")
	} else {
		said += ", those that count most first: " + strings.Join(names, ", ")
	}
	if drawn {
		said += ". So ranges are \"at least\", and checks have a word: " + report.OddsLegend
	}
	said += ". What is chosen, as a limit is, is exact as a formula: least_margin [%] = 5 [%]"
	writeHanging(b, pad, said, paint.waiting)
}

// printWideGuesses names the guesses that some odds take with a wide spread of their own.
func printWideGuesses(b sink, odds ...*engine.Odds) {
	var names []string
	for _, o := range odds {
		for _, d := range o.Drawn {
			name := fmt.Sprintf("%s ± %s", d.Name, d.Off)
			if d.Guess && !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	if len(names) == 0 {
		return
	}
	said := report.Count(len(names), "guess") + " without a ± taken with a wide spread: "
	more := ""
	if n := len(names) - guessesShown; n > 0 {
		more = fmt.Sprintf(" and %d more", n)
		names = names[:guessesShown]
	}
	writeHanging(b, "", said+strings.Join(names, ", ")+more, paint.waiting)
}

// worthSaying is the share of builds from which on it is said that a value crosses 0.
const worthSaying = 0.0001

// printCrossings names the values that a normal spread takes across 0.
func printCrossings(b sink, o *engine.Odds) {
	var names []string
	for _, d := range o.Drawn {
		if d.Crosses >= worthSaying {
			names = append(names, d.Name+" in "+report.InHundred(d.Crosses, o.Builds))
		}
	}
	if len(names) == 0 {
		return
	}
	writeHanging(b, "", "In some builds on the other side of 0: "+strings.Join(names, ", ")+"; a normal spread has no "+
		"limits, and nothing is cut off here; a ± without a word has limits", paint.waiting)
}
