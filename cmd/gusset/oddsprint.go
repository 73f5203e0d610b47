package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gusset/engine"
	"gusset/sheets/report"
)

// sharesShown is how many shares of a result are printed.
const sharesShown = 5

// printOdds prints odds: how they were worked out, what lessens them, results and checks.
func printOdds(b sink, m *engine.Model, o *engine.Odds, opts oddsOptions) {
	why := asManyAsItTakes
	if opts.builds > 0 {
		why = asAsked
	}
	writeHanging(b, "", drawnHow(o, why), plain)
	printUndeclared(b, "", opts.all, o)
	printWideGuesses(b, o)
	printCrossings(b, o)
	printKept(b, o)
	for i := range o.Results {
		b.WriteString("\n")
		printOddsResult(b, m, &o.Results[i], o.Builds, opts.all)
	}
	printOddsRemarks(b, o)
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

// printOddsResult prints one result.
func printOddsResult(b sink, m *engine.Model, r *engine.OddsResult, builds int, all bool) {
	shown := report.Show(r.Value)
	if hasRange(r) && shown.State == report.Known { // as finely as its range, within which it is to be seen
		shown.Text, _ = report.Ends(r.Value, r.Number, r.Number, r.SD)
	}
	b.WriteString(paint.name(r.Name) + "  " + paintOf(shown.State)(shown.String()))
	if r.Status != engine.OK {
		b.WriteString("  " + paint.faint(report.WhyNot(r.Value)))
	}
	b.WriteString("\n")
	const pad = "    "
	if builds > 0 && r.None+r.Waits > 0 {
		writeHanging(b, pad, withoutResult(r, builds), paint.bad)
	}
	if !hasRange(r) {
		if len(r.Undeclared) > 0 || builds > 0 && r.None+r.Waits == 0 {
			writeHanging(b, pad, "nothing that is drawn moves it", plain)
		}
		return
	}
	line := "95 of 100 builds: " + report.RangeOf(r) + "; first order: " + firstOrderOf(r)
	switch remark, _ := remarkOn(r); {
	case remark != "" && math.IsNaN(r.First.SD):
		line += " " + remark
	case remark != "":
		line += ", " + remark
	}
	writeHanging(b, pad, line, plain)
	b.WriteString(pad + drawStrip(r, plainMarks, pageWidth-len(pad)) + "\n")
	printShares(b, pad, m, r, all)
}

// firstOrderOf writes the range of a result to first order.
func firstOrderOf(r *engine.OddsResult) string {
	if math.IsNaN(r.First.SD) {
		return "none"
	}
	return report.Between(r.Value, r.First.Low, r.First.High, r.SD)
}

// remarkOn is report.RemarkOnOdds; nothing where it is not to be seen.
func remarkOn(r *engine.OddsResult) (short, legend string) {
	if firstOrderOf(r) == report.Between(r.Value, r.Low, r.High, r.SD) {
		return "", ""
	}
	return report.RemarkOnOdds(r)
}

// printOddsRemarks says once what the words after first orders mean.
func printOddsRemarks(b sink, o *engine.Odds) {
	var said []string
	for i := range o.Results {
		short, legend := remarkOn(&o.Results[i])
		one := fmt.Sprintf("%q: %s", short, legend)
		if hasRange(&o.Results[i]) && short != "" && !slices.Contains(said, one) {
			said = append(said, one)
		}
	}
	if len(said) > 0 {
		b.WriteString("\n")
		writeHanging(b, "", "First order "+strings.Join(said, "; ")+". There the builds are to go by.", plain)
	}
}

// hasRange reports whether anything that is drawn moves a result.
func hasRange(r *engine.OddsResult) bool {
	return !math.IsNaN(r.Low) && (r.SD > 0 || r.First.SD > 0)
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
		user := u.Names[0]
		if n := len(u.Names) - 1; n > 0 {
			user += " and " + report.Count(n, "other")
		}
		writeHanging(b, "  ", fmt.Sprintf("%s in %s, for %s", u.Formula, report.InHundred(u.Share, o.Looked), user), plain)
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
	said := strings.Join(parts, ", ")
	if r.None+r.Waits < 1 {
		said += "; what follows is of the other builds"
	}
	return said
}

// printShares says what to weigh or measure first, and what else counts.
func printShares(b sink, pad string, m *engine.Model, r *engine.OddsResult, all bool) {
	if len(r.Shares) == 0 {
		return
	}
	inputs := make([]report.Input, len(r.Shares))
	for i, s := range r.Shares {
		inputs[i] = report.Input{Name: s.Name, Dim: s.Dim}
	}
	names := report.InputNames(inputs)
	first := r.Shares[0]
	if alone := report.Percent(leastAlone); !all && first.Share < leastAlone && sharesAreMeasured(r) {
		writeHanging(b, pad, "no value by itself makes "+alone+" of the doubt: what they make only together counts", plain)
		return
	}
	makes := report.Percent(first.Share) + " of the doubt"
	said := ""
	switch at := engine.WrittenAt(m, first.Place); {
	case at == "":
		said = first.Name + ", which is the library's, makes " + makes
	case at == first.Name:
		said = fmt.Sprintf("%s %s first: it makes %s", report.ToDo(inputs[:1]), at, makes)
	default:
		said = fmt.Sprintf("weigh %s first, as %s: it makes %s", names[0], at, makes)
	}
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
	line := ""
	if len(others) > 0 {
		line = "then " + strings.Join(others, ", ")
	}
	if left := restOfDoubt(r, len(r.Shares)-shown, rest); left != "" {
		line = strings.TrimPrefix(line+"; "+left, "; ")
	}
	if line != "" {
		writeHanging(b, pad, line, plain)
	}
}

// What is left of the doubt is said from such a share of it on, where it is that of others, and where it is made by
// values together only: that is measured less closely. A value that makes less by itself than leastAlone is not worth
// measuring for that.
const (
	leastOthers   = 0.005
	leastTogether = 0.015
	leastAlone    = 0.05
)

// sharesAreMeasured reports whether shares are what builds have, since first order does not hold: they do not add up to
// all of the doubt.
func sharesAreMeasured(r *engine.OddsResult) bool {
	return !r.Remark.FirstOrderHolds() || math.IsNaN(r.First.SD)
}

// restOfDoubt says what makes the doubt that none of the values makes that are listed. Where first order does not hold
// shares are measured, and do not add up to all of it: some is made by values together only.
func restOfDoubt(r *engine.OddsResult, others int, rest float64) string {
	switch together := sharesAreMeasured(r); {
	case others > 0 && together && rest >= leastTogether:
		return report.Count(others, "other") + ", and what values make only together, " + report.Percent(rest)
	case others > 0 && rest >= leastOthers:
		return report.Count(others, "other") + " " + report.Percent(rest)
	case together && rest >= leastTogether:
		return "only together " + report.Percent(rest)
	}
	return ""
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
	from, to := report.Ends(r.Value, r.Strip.From, r.Strip.To, r.SD)
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
		lead := "  " + paint.name(padRight(c.Name, nameW)) + "  "
		said := wrap(report.HoldsIn(c, o.Builds), max(20, pageWidth-widthOf(lead)))
		for _, line := range said[:len(said)-1] {
			b.WriteString(lead + mark(line) + "\n")
			lead = strings.Repeat(" ", widthOf(lead))
		}
		writeNote(b, lead+mark(said[len(said)-1])+"  ", c.Formula)
	}
}
