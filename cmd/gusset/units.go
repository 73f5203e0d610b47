package main

import (
	"fmt"
	"regexp"
	"strings"

	"github.com/spf13/cobra"

	"gusset/units"
)

const unitsHelp = `Without arguments, list the units. With a unit, say what it is. With a
quantity, "to" and a unit, convert the one into the other; a denominator, as in
"in 1/16", shows it as on a ruler.`

func unitsCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "units [VALUE UNIT to UNIT]",
		Short: "list the units, or convert one into another",
		Long:  unitsHelp,
		Example: "  gusset units\n  gusset units oz-in\n" +
			"  gusset units 8-1/4 in to mm\n  gusset units 210 mm to in 1/16",
		DisableFlagsInUseLine: true,
		DisableFlagParsing:    true, // -7-1/2 in is a quantity
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 1 && (args[0] == "--help" || args[0] == "-h") {
				return cmd.Help()
			}
			return printUnits(printed(cmd), strings.Join(args, " "))
		},
	}
}

func printUnits(b sink, asked string) error {
	set := units.Builtin()
	from, to, turn := strings.Cut(asked, " to ")
	switch {
	case asked == "":
		listUnits(b, set)
		return nil
	case turn:
		turned, err := set.Turn(strings.TrimSpace(from), strings.TrimSpace(to))
		if err != nil {
			return unitSlip(err)
		}
		fmt.Fprintf(b, "%s = %s\n", strings.TrimSpace(from), turned)
		return nil
	}
	u, err := set.Parse(asked)
	if err != nil {
		return notTurned(set, asked, err)
	}
	fmt.Fprintln(b, set.About(u))
	return nil
}

// otherTo matches what people write for the word to, between a quantity and a unit.
var otherTo = regexp.MustCompile(`^(.*[0-9].*\pL.*) (?:in|as|into|=|->) (\pL.*)$`)

// notTurned tells what is wrong with a line that is neither a unit nor a quantity with the unit to turn it into; err is
// what is wrong with it as a unit.
func notTurned(set *units.Set, asked string, err error) error {
	if found := otherTo.FindStringSubmatch(asked); found != nil {
		return usage("the word between the two is to: gusset units %s to %s", found[1], found[2])
	}
	for i := range asked { // 25 km/h mph
		if from, to := asked[:i], strings.TrimSpace(asked[i:]); asked[i] == ' ' {
			if _, err := set.Turn(from, to); err == nil {
				return usage("the word to is missing: gusset units %s to %s", from, to)
			}
		}
	}
	num, wrong := set.ParseNumber(asked, units.Unit{})
	switch {
	case wrong == nil && num.HasUnit:
		return usage("%s to what? For example: gusset units %s to %s", asked, asked, num.Unit.Other())
	case wrong != nil && strings.ContainsAny(asked[:1], "0123456789.-+"):
		return unitSlip(wrong)
	}
	return unitSlip(err)
}

// unitSlip turns what the units package found wrong into a usage error.
func unitSlip(err error) error {
	if e, ok := err.(*units.Error); ok && e.Hint != "" {
		return usage("%s\nhint: %s", e.Msg, e.Hint)
	}
	return usage("%v", err)
}

func listUnits(b sink, set *units.Set) {
	group := ""
	all := set.Names()
	nameW := widestOf(all, func(u units.Info) string { return u.Name })
	defW := min(widestOf(all, func(u units.Info) string { return u.Definition }), 34)
	for _, u := range all {
		if u.Group != group {
			if group != "" {
				b.WriteString("\n")
			}
			group = u.Group
			b.WriteString(paint.heading(group) + "\n")
		}
		about := u.Describe
		if len(u.Aliases) > 0 {
			about += "; also " + strings.Join(u.Aliases, ", ")
		}
		lead := fmt.Sprintf("  %s  %s  ", paint.name(padRight(u.Name, nameW)), padRight(u.Definition, defW))
		writeNote(b, lead, about)
	}
	b.WriteString("\n")
	writeHanging(b, "Units combine: ",
		"oz/sq ft, lb/cu ft, rpm/V, kg/m^3, N m, GBP/sq ft. sq and cu go with any length.", plain)
}
