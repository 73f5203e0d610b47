package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gusset/engine"
	"gusset/sheets/report"
)

// How much of a long list is printed.
const (
	rulersShown = 6 // checks that rule something out
	unmetShown  = 5 // checks that do not hold in one combination
)

// printChoices prints what came of trying combinations.
func printChoices(b sink, m *engine.Model, a engine.ChooseAnswer, wrong report.Wrong, o chooseOptions) {
	fmt.Fprintln(b, paint.heading(m.Title()))
	printWrong(b, wrong)
	if o.variant != "" {
		fmt.Fprintf(b, "Variant: %s\n", o.variant)
	}
	writeHanging(b, "", triedInShort(a), plain)
	if len(a.Without) > 0 {
		writeHanging(b, "", "Left out, and so not known to hold: "+strings.Join(a.Without, ", "), paint.waiting)
	}
	same := " is the same in all that hold"
	if a.Hold == 0 {
		same = " is the same whatever is chosen"
	}
	for _, name := range a.Unmoved {
		writeHanging(b, "", name+same, paint.waiting)
	}
	printUntouched(b, a)
	list := shownList(a, o)
	switch {
	case len(list) > 0:
		printFound(b, a, list)
	case len(a.Nearest) > 0:
		b.WriteString("\n" + paint.heading("The nearest") + "\n")
		printCombinations(b, a, a.Nearest)
		if a.Looked < a.LookedOf {
			writeHanging(b, "  ", fmt.Sprintf("of %s with as few checks that do not hold, the %d were looked at that change "+
				"the least", report.Thousands(a.LookedOf), a.Looked), paint.faint)
		}
	}
	printRuledOut(b, a, o)
	printOddsOfChoices(b, a, list, o)
	printGuessesLeft(b, len(m.Guesses()))
	b.WriteString("\n")
	if len(list) > 0 {
		writeHanging(b, "", "Only the sheet's checks have decided: see for yourself that a stock is right for its place",
			paint.faint)
	}
	if len(list) > 0 && o.write == 0 && o.variant == "" && len(o.sets) == 0 {
		b.WriteString("--write puts number 1 into the sheet, --write=N another one\n")
	}
}

// triedInShort says how many combinations were tried of what, and how many hold.
func triedInShort(a engine.ChooseAnswer) string {
	var names []string
	for _, v := range a.Varied {
		names = append(names, fmt.Sprintf("%s (%d)", v.Name, v.Count))
	}
	of := " of " + strings.Join(names, ", ")
	said := report.Count(a.Tried, "combination") + of + " tried: "
	if a.Tried > 9999 {
		said = report.Thousands(a.Tried) + " combinations" + of + " tried: "
	}
	if a.Stopped {
		said = fmt.Sprintf("Stopped after %s of %s combinations%s; what follows is of these alone: ",
			report.Thousands(a.Tried), report.Thousands(a.Total), of)
	}
	parts := []string{report.Thousands(a.Hold) + " " + report.Holds.Are(a.Hold)}
	if a.Fail > 0 {
		parts = append(parts, report.Thousands(a.Fail)+" "+report.Fails.Are(a.Fail))
	}
	if a.Unknown > 0 {
		parts = append(parts, fmt.Sprintf("of %s a check waits or has no result", report.Thousands(a.Unknown)))
	}
	if a.NotLaidOut > 0 {
		parts = append(parts, report.Thousands(a.NotLaidOut)+" pass all checks but those that take long, and were not tried "+
			"any further: list fewer values")
	}
	return said + strings.Join(parts, ", ")
}

// printUntouched prints the checks because of which nothing can hold.
func printUntouched(b sink, a engine.ChooseAnswer) {
	if len(a.Untouched) == 0 {
		return
	}
	b.WriteString("\n" + paint.heading("Nothing can hold: no choice touches these") + "\n")
	printUnmetChecks(b, "  ", a.Untouched)
	var without []string
	for _, c := range a.Untouched[:min(len(a.Untouched), unmetShown)] {
		without = append(without, "--without "+c.Name)
	}
	writeHanging(b, "  ", "mend or fill in what they need, or leave them out: "+strings.Join(without, " "), plain)
}

// printUnmetChecks says of the first of some checks that do not hold why.
func printUnmetChecks(b sink, pad string, checks []engine.Cell) {
	for i, c := range checks {
		if i == unmetShown {
			fmt.Fprintf(b, "%sand %s\n", pad, report.Count(len(checks)-i, "more check"))
			break
		}
		s := report.Show(c.Value)
		lead := pad + paint.name(c.Name) + "  " + paintOf(s.State)(s.String()) + "  "
		writeHanging(b, lead, report.Beside(&c), paint.faint)
	}
}

// printFound prints combinations that hold.
func printFound(b sink, a engine.ChooseAnswer, list []engine.Combination) {
	head := "What holds, fewest changes first"
	switch n := len(a.Goals); {
	case n == 1:
		head = "The best: " + goalsInShort(a)
	case n > 1:
		head = "The best: " + goalsInShort(a) + "; no other is as good in all of these and better in one"
	}
	b.WriteString("\n")
	writeHanging(b, "", head, paint.heading)
	printCombinations(b, a, list)
	all := a.Hold
	if len(a.Goals) > 1 {
		all = a.FrontSize
	}
	if rest := all - len(list); rest > 0 {
		fmt.Fprintf(b, "  and %s more; --keep shows them\n", report.Thousands(rest))
	}
	if a.FrontCut {
		writeHanging(b, "  ", "there are too many that hold to compare all of them: some may be missing here", paint.waiting)
	}
	if a.Unranked > 0 {
		said := report.Thousands(a.Unranked) + " hold, but have no value for a goal: they come last"
		writeHanging(b, "  ", said, paint.waiting)
	}
}

// goalsInShort says what the goals are, and what they come to as the sheet stands.
func goalsInShort(a engine.ChooseAnswer) string {
	var said []string
	for i, g := range a.Goals {
		how := "least "
		if g.Most {
			how = "most "
		}
		said = append(said, fmt.Sprintf("%s%s (now %s)", how, g.Name, report.Show(a.Now[i])))
	}
	return strings.Join(said, ", ")
}

// printCombinations prints combinations with their numbers.
func printCombinations(b sink, a engine.ChooseAnswer, list []engine.Combination) {
	numberW := len(fmt.Sprint(len(list)))
	for i, c := range list {
		lead := "  " + padLeft(fmt.Sprint(i+1), numberW) + "  "
		writeHanging(b, paint.name(lead), strings.Join(combinationParts(a, c), " · "), plain)
		pad := strings.Repeat(" ", len(lead))
		writeHanging(b, pad, changesInShort(a, c), paint.faint)
		if c.Odds != nil {
			writeHanging(b, pad, strings.Join(report.OddsInShort(c.Odds), " · "), plain)
		}
		printUnmetChecks(b, pad, unmetByChoice(a, c))
	}
}

// combinationParts says what a combination comes to.
func combinationParts(a engine.ChooseAnswer, c engine.Combination) []string {
	var parts []string
	for i, g := range a.Goals {
		parts = append(parts, g.Name+" "+report.Show(c.Goals[i]).String())
	}
	switch own := unmetByChoice(a, c); {
	case len(own) > 0:
		parts = append(parts, report.Count(len(own), "check")+" unmet")
	case len(c.Unmet) > 0:
		parts = append(parts, "all other checks hold")
	default:
		marks := report.Marks{Guess: c.OnGuess > 0, Outside: c.Outside > 0}
		parts = append(parts, marks.After(report.Holds.String()))
	}
	if c.Tightest != "" && len(c.Unmet) == 0 {
		parts = append(parts, fmt.Sprintf("tightest %s, %s to spare", c.Tightest, spare(c.Margin)))
	}
	return parts
}

// unmetByChoice returns the checks of a combination that do not hold, but for those that no choice touches.
func unmetByChoice(a engine.ChooseAnswer, c engine.Combination) []engine.Cell {
	return slices.DeleteFunc(slices.Clone(c.Unmet), func(u engine.Cell) bool {
		return slices.ContainsFunc(a.Untouched, func(t engine.Cell) bool { return t.Name == u.Name })
	})
}

// spare writes a share of which no more may be shown than there is.
func spare(share float64) string {
	if share < 0.1 {
		return fmt.Sprintf("%.1f %%", math.Floor(share*1000+1e-9)/10)
	}
	return fmt.Sprintf("%.0f %%", math.Floor(share*100+1e-9))
}

// changesInShort names what is other than the sheet has.
func changesInShort(a engine.ChooseAnswer, c engine.Combination) string {
	var said []string
	for i, changed := range c.Changed {
		if changed {
			said = append(said, a.Varied[i].Name+": "+report.Show(c.Chosen[i]).String())
		}
	}
	if len(said) == 0 {
		return "as the sheet has it"
	}
	return strings.Join(said, "; ")
}

// printRuledOut names the checks that rule out most.
func printRuledOut(b sink, a engine.ChooseAnswer, o chooseOptions) {
	if len(a.RuledOut) == 0 {
		return
	}
	b.WriteString("\n" + paint.heading("What rules out most") + "\n")
	nameW := widestOf(a.RuledOut, func(r engine.RuledOut) string { return r.Check })
	for i, r := range a.RuledOut {
		if i == rulersShown && !o.all {
			fmt.Fprintf(b, "  and %s; --all shows them\n", report.Count(len(a.RuledOut)-i, "more check"))
			break
		}
		alone := report.Thousands(r.Alone)
		if r.Alone == 0 {
			alone = "none"
		}
		said := fmt.Sprintf("%s of %s, %s of them alone", report.Thousands(r.Count), report.Thousands(a.Tried), alone)
		if r.NoValue > 0 {
			said += fmt.Sprintf("; it waits or has no result in %s", report.Thousands(r.NoValue))
		}
		if r.LastAsked {
			said += "; asked only where all other checks hold"
		}
		writeHanging(b, "  "+paint.name(padRight(r.Check, min(nameW, 28)))+"  ", said, plain)
	}
}
