package report

import (
	"fmt"
	"strings"

	"gusset/engine"
	"gusset/sheets/text"
)

// UnmetParts says which parts of a condition fail, by how much and for which rows. What is the whole condition is not
// named once more.
func UnmetParts(parts []engine.Unmet, whole string) []string {
	var said []string
	for _, u := range parts {
		how, why := "does not hold", whyUnmet(u)
		if u.Holds {
			how = "holds"
		}
		switch {
		case u.Text != whole && why != "":
			why = fmt.Sprintf("%s %s: %s", u.Text, how, why)
		case u.Text != whole:
			why = u.Text + " " + how
		}
		if why != "" {
			said = append(said, why)
		}
	}
	return said
}

// whyUnmet says why a part of a condition comes out as it does; nothing where that is plain to see.
func whyUnmet(u engine.Unmet) string {
	if u.TooWide != nil {
		return tooWide(u.TooWide)
	}
	left, right, rows := QuantityOf(u.Left), QuantityOf(u.Right), unmetRows(u)
	said := ""
	switch u.Order {
	case engine.Uncompared:
		if rows != "" {
			return "not for " + rows
		}
		return joinUnmet(u.Of)
	case engine.Alike:
		said = left + " is the same as " + right
		if left == right {
			said = "both sides are " + left
		}
	case engine.Less:
		said = apart(u, "less")
	case engine.Greater:
		said = apart(u, "more")
	case engine.Other:
		said = left + " is not " + right
	}
	switch {
	case rows == "":
		return said
	case u.LeftOut:
		return said + ", left out: " + rows
	}
	return said + ", counted: " + rows
}

// tooWide says that it is too early for what a condition guards, and what to weigh first.
func tooWide(w *engine.Doubt) string {
	said := fmt.Sprintf("not yet: %s may still end %s either way", w.Name, QuantityOf(w.By))
	if first, inputs := firstShares(w.Shares); first != "" {
		return said + "; " + ToDo(inputs) + " first: " + first
	}
	return said
}

// InDoubt says how far a value may be off, and what that comes from.
func InDoubt(d *engine.Doubt) string {
	said := EitherWay(d)
	if from, _ := firstShares(d.Shares); from != "" {
		said += ", from " + from
	}
	if n := len(d.Undeclared); n > 0 {
		said += "; neither a ± nor a weighing: " + strings.Join(d.Undeclared[:min(n, 3)], ", ")
		if n > 3 {
			said += " and more"
		}
	}
	return said
}

// EitherWay says how far a value may be off.
func EitherWay(d *engine.Doubt) string {
	said := "± " + QuantityOf(d.By) + " to first order"
	if len(d.Undeclared) > 0 {
		return "at least " + said
	}
	return said
}

// firstShares names what most of the doubt comes from, and returns that.
func firstShares(shares []engine.WeighedShare) (said string, first []Input) {
	inputs := make([]Input, len(shares))
	for i, s := range shares {
		inputs[i] = Input{s.Name, s.Dim}
	}
	var names []string
	for i, name := range InputNames(inputs) {
		if i == 0 || shares[i].Share >= worthWeighing {
			names = append(names, name+" "+Percent(shares[i].Share))
			first = append(first, inputs[i])
		}
	}
	return strings.Join(names, ", "), first
}

// worthWeighing is the share of a variance from which on something is named as worth weighing.
const worthWeighing = 0.05

// apart says by how much the left side is less or more than the right one.
func apart(u engine.Unmet, how string) string {
	left, right := QuantityOf(u.Left), QuantityOf(u.Right)
	switch {
	case u.By == "":
		return fmt.Sprintf("%s is %s than %s, by less than is shown", left, how, right)
	case u.Right.Number == 0: // it is the left side itself
		return fmt.Sprintf("%s is %s than %s", left, how, right)
	}
	return fmt.Sprintf("%s is %s %s than %s", left, difference(u.By), how, right)
}

// difference returns how far apart two values are. Of two percentages that is in points: 54 % is 10 % less than 60 %.
func difference(by string) string {
	by = strings.TrimLeft(by, "+-")
	points, percent := strings.CutSuffix(by, " %")
	switch {
	case !percent:
		return by
	case points == "1":
		return "1 percentage point"
	}
	return points + " percentage points"
}

// QuantityOf returns a value with its unit, a text in quotes.
func QuantityOf(v engine.Value) string {
	if v.IsText {
		return text.Quote(v.Text)
	}
	return v.Quantity()
}

// unmetRows names rows, each with what of its condition fails.
func unmetRows(u engine.Unmet) string {
	var names []string
	for _, row := range u.Rows {
		name := text.Quote(row.Name)
		if why := joinUnmet(row.Parts); why != "" {
			name += " (" + why + ")"
		}
		names = append(names, name)
	}
	if u.More > 0 {
		names = append(names, fmt.Sprintf("%d more", u.More))
	}
	return strings.Join(names, ", ")
}

// joinUnmet says in one run what of a condition fails; a part that is all there is of it is not named.
func joinUnmet(parts []engine.Unmet) string {
	whole := ""
	if len(parts) == 1 {
		whole = parts[0].Text
	}
	return strings.Join(UnmetParts(parts, whole), "; ")
}
