package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gusset/engine"
	"gusset/sheets/report"
	"gusset/units"
)

// How much is printed of long lists.
const (
	sharesShown     = 5
	undeclaredShown = 6
	guessesShown    = 6
)

// printOdds prints odds: how they were worked out, what lessens them, results and checks.
func printOdds(b sink, o *engine.Odds, opts oddsOptions) {
	why := asManyAsItTakes
	if opts.builds > 0 {
		why = asAsked
	}
	writeHanging(b, "", drawnHow(o, why), plain)
	printUndeclared(b, opts.all, o)
	printWideGuesses(b, o)
	printCrossings(b, o)
	printKept(b, o)
	for i := range o.Results {
		b.WriteString("\n")
		printOddsResult(b, &o.Results[i], o.Builds, opts.all)
	}
	if len(o.Checks) > 0 {
		b.WriteString("\n" + paint.heading("Checks") + "\n")
		printOddsChecks(b, o)
	}
	printOutsideRange(b, o)
	if len(o.Texts) > 0 {
		b.WriteString("\n")
		writeHanging(b, "", "Left out, since they are texts: "+strings.Join(o.Texts, ", "), plain)
	}
}

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
	said := fmt.Sprintf("%s builds, in which %s drawn (seed %d); ", report.Thousands(o.Builds), areDrawn(len(o.Drawn)),
		o.Seed)
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

func areDrawn(n int) string {
	if n == 1 {
		return "1 value is"
	}
	return fmt.Sprintf("%d values are", n)
}

// printUndeclared says of which values behind the results of some odds nobody says how far off they may be.
func printUndeclared(b sink, all bool, odds ...*engine.Odds) {
	type counted struct {
		name  string
		moves float64 // how far it moves a result, as a share of it
		flips int     // how many checks come out another way
	}
	bySlot := map[int32]*counted{}
	var list []*counted
	note := func(u engine.Undeclared, moves float64, flips int) {
		c := bySlot[u.Slot]
		if c == nil {
			c = &counted{name: u.Name}
			bySlot[u.Slot], list = c, append(list, c)
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
		switch {
		case a.flips != b.flips:
			return b.flips - a.flips
		case a.moves > b.moves:
			return -1
		case a.moves < b.moves:
			return 1
		}
		return 0
	})
	shown := list
	if !all {
		shown = list[:min(len(list), undeclaredShown)]
	}
	var names []string
	for _, c := range shown {
		names = append(names, c.name)
	}
	said := report.Count(len(list), "value") + " behind these with neither a ± nor a weighing"
	if len(shown) < len(list) {
		said += "; those that count most, a tenth off either way: " + strings.Join(names, ", ")
	} else {
		said += ", those that count most first: " + strings.Join(names, ", ")
	}
	if drawn {
		said += ". So ranges are \"at least\", and checks have a word: " + report.OddsLegend
	}
	writeHanging(b, "", said, paint.waiting)
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

// printOddsResult prints one result.
func printOddsResult(b sink, r *engine.OddsResult, builds int, all bool) {
	shown := report.Show(r.Value)
	b.WriteString(paint.name(r.Name) + "  " + paintOf(shown.State)(shown.String()))
	if r.Status != engine.OK {
		b.WriteString("  " + paint.faint(report.WhyNot(r.Value)))
	}
	b.WriteString("\n")
	const pad = "    "
	if builds > 0 && r.None+r.Waits > 0 {
		writeHanging(b, pad, withoutResult(r, builds), paint.bad)
	}
	if math.IsNaN(r.Low) || !(r.SD > 0) && !(r.First.SD > 0) {
		if len(r.Undeclared) > 0 || builds > 0 && r.None+r.Waits == 0 {
			writeHanging(b, pad, "nothing that is drawn moves it", plain)
		}
		return
	}
	unit := r.Unit.String()
	if r.Unit.Mixed() {
		unit = ""
	}
	least := ""
	if len(r.Undeclared) > 0 {
		least = "at least "
	}
	ends, first := report.Between(r.Value, r.Low, r.High, r.SD), "none"
	if r.First.SD == r.First.SD {
		first = report.Between(r.Value, r.First.Low, r.First.High, r.SD)
	}
	line := strings.TrimSpace("95 of 100 builds: " + least + ends + " " + unit)
	writeHanging(b, pad, line+"; first order: "+first, plain)
	if remark := report.RemarkOnOdds(r); remark != "" && first != ends {
		writeHanging(b, pad, remark, paint.faint)
	}
	b.WriteString(pad + drawStrip(r, plainMarks, pageWidth-len(pad)) + "\n")
	printShares(b, pad, r, all)
}

// outsideShown is how many formulas are named that are used outside their range.
const outsideShown = 12

// printOutsideRange says which formulas are used outside the range where they are to be trusted, and how often.
func printOutsideRange(b sink, o *engine.Odds) {
	if len(o.Outside) == 0 {
		return
	}
	fmt.Fprintf(b, "\n%s\n", paint.heading("Outside the range where a formula is to be trusted"))
	writeHanging(b, "", fmt.Sprintf("counted in the first %s", report.Count(o.Looked, "build")), paint.faint)
	for _, u := range o.Outside[:min(len(o.Outside), outsideShown)] {
		by := u.Names[0]
		if n := len(u.Names) - 1; n > 0 {
			by += " and " + report.Count(n, "other")
		}
		writeHanging(b, "  ", fmt.Sprintf("%s in %s, by %s", u.Formula, report.InHundred(u.Share, o.Looked), by), plain)
	}
	if n := len(o.Outside) - outsideShown; n > 0 {
		fmt.Fprintf(b, "  and %d more\n", n)
	}
}

// withoutResult says in how many builds a result is missing.
func withoutResult(r *engine.OddsResult, builds int) string {
	var parts []string
	if r.None > 0 {
		s := "no result in " + report.InHundred(r.None, builds)
		if r.NoneWhy != "" {
			s += " (" + r.NoneWhy + ")"
		}
		parts = append(parts, s)
	}
	if r.Waits > 0 {
		parts = append(parts, "waits in "+report.InHundred(r.Waits, builds))
	}
	return strings.Join(parts, ", ") + "; what follows is of the other builds"
}

// printShares says what to weigh or measure first, and what else counts.
func printShares(b sink, pad string, r *engine.OddsResult, all bool) {
	if len(r.Shares) == 0 {
		return
	}
	names := make([]string, len(r.Shares))
	for i, s := range r.Shares {
		names[i] = s.Name
	}
	names = report.InputNames(names)
	first := r.Shares[0]
	said := fmt.Sprintf("%s %s first: it makes %s of the doubt", weighOrMeasure(first), names[0],
		report.Percent(first.Share))
	if first.Known >= 0.005 {
		said += fmt.Sprintf("; once known, the range is %s narrower", report.Percent(first.Known))
	}
	writeHanging(b, pad, said, paint.name)
	shown := len(r.Shares)
	if !all {
		shown = min(shown, sharesShown)
	}
	var others []string
	rest := 1 - first.Share
	for i := 1; i < shown; i++ {
		others = append(others, names[i]+" "+report.Percent(r.Shares[i].Share))
		rest -= r.Shares[i].Share
	}
	if len(others) == 0 {
		return
	}
	line := "then " + strings.Join(others, ", ")
	if shown < len(r.Shares) && rest >= 0.005 {
		line += "; " + report.Count(len(r.Shares)-shown, "other") + " " + report.Percent(rest)
	}
	writeHanging(b, pad, line, plain)
}

// weighOrMeasure is what is done to know an input.
func weighOrMeasure(s engine.Share) string {
	if s.Dim == units.Mass {
		return "weigh"
	}
	return "measure"
}

// The marks of a strip, from nothing to most.
const (
	stripMarks  = " ▁▂▃▄▅▆▇█"
	stripASCII  = " .:-=+*#@"
	stripHeight = 8
)

// drawStrip draws how often a result is where, in one line of at most so many columns; what 95 of 100 builds hold is in
// brackets.
func drawStrip(r *engine.OddsResult, ascii bool, columns int) string {
	marks := []rune(stripMarks)
	if ascii {
		marks = []rune(stripASCII)
	}
	from, to := report.OddsNumber(r.Value, r.Strip.From, r.SD), report.OddsNumber(r.Value, r.Strip.To, r.SD)
	shares := r.Strip.Shares
	for len(shares)%2 == 0 && widthOf(from)+widthOf(to)+len(shares)+len(" [] ") > columns { // two parts make one
		half := make([]float64, len(shares)/2)
		for i := range half {
			half[i] = shares[2*i] + shares[2*i+1]
		}
		shares = half
	}
	most := slices.Max(append([]float64{0}, shares...))
	if !(most > 0) {
		return "every build comes to the same"
	}
	var line strings.Builder
	wide := (r.Strip.To - r.Strip.From) / float64(len(shares))
	low := int(math.Round((r.Low - r.Strip.From) / wide))
	high := int(math.Round((r.High - r.Strip.From) / wide))
	for i, s := range shares {
		if i == low {
			line.WriteByte('[')
		}
		if i == high {
			line.WriteByte(']')
		}
		line.WriteRune(marks[int(math.Ceil(stripHeight*s/most))])
	}
	if high >= len(shares) {
		line.WriteByte(']')
	}
	return from + " " + line.String() + " " + to
}

// printOddsChecks prints how often checks hold, in columns.
func printOddsChecks(b sink, o *engine.Odds) {
	nameW := min(28, widestOf(o.Checks, func(c engine.CheckOdds) string { return c.Name }))
	for i := range o.Checks {
		c := &o.Checks[i]
		mark := paint.good
		switch {
		case c.OnlySpread:
			mark = paintOf(report.Show(c.Value).State)
		case c.Fails+c.None > 0.25:
			mark = paint.bad
		case c.Fails+c.None+c.Waits > 0.05:
			mark = paint.waiting
		}
		lead := "  " + paint.name(padRight(c.Name, nameW)) + "  " + mark(report.HoldsIn(c, o.Builds))
		writeNote(b, lead+"  ", c.Formula)
	}
}
