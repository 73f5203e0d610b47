package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/text"
)

const whyHelp = `Show how a number came about: its formula, the values that went into it, where the formula comes
from, and so on down to what was measured or chosen.

NAME is a cell, a check, a column (parts.weight) or an entry (parts["motor"].weight), also one of a sheet that is used
(rack.price) or of the library.`

func whyCommand() *cobra.Command {
	var sets []string
	var variant string
	cmd := &cobra.Command{
		Use:               "why FILE NAME",
		Short:             "how a number came about",
		Long:              whyHelp,
		Example:           "  gusset why my-model.gusset cg\n  gusset why my-model.gusset 'parts[\"wing\"].weight'\n  gusset why my-model.gusset cg --variant 'as drawn'",
		Args:              sheetAndName,
		ValidArgsFunction: cellNames,
		RunE: func(cmd *cobra.Command, args []string) error {
			m, err := load(args[0])
			if err != nil {
				return err
			}
			if err := prepare(m, variant, sets); err != nil {
				return err
			}
			r, err := m.Why(args[1])
			if err != nil && ofLibrary(m, args[1]) {
				r, err = wholeLibrary().Why(args[1])
			}
			if err != nil {
				return notExplained(m, args[0], args[1], err)
			}
			printReason(printed(cmd), r, 0)
			if tell(cmd, m.Problems(), false) > 0 {
				return &failure{status: sheetErrors}
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&variant, "variant", "", "explain it in this `VARIANT` of the sheet")
	cmd.Flags().StringArrayVar(&sets, "set", nil, "change a given value for this once: `NAME=VALUE` (may be repeated)")
	completeVariants(cmd)
	return cmd
}

// ofLibrary reports whether what a name leads to can only be the library's: the sheet has nothing of the first name of it.
func ofLibrary(m *engine.Model, name string) bool {
	path, err := text.ParsePath(name)
	if err != nil {
		return false
	}
	first := path.Parts[0].Text
	_, unknown := m.EntriesOf(first)
	for _, alias := range m.Aliases() {
		if alias == first {
			return false
		}
	}
	_, err = wholeLibrary().EntriesOf(first)
	return unknown != nil && err == nil
}

// printReason prints one step of an explanation and, indented below it, what it rests on.
func printReason(b sink, r *engine.Reason, depth int) {
	pad := strings.Repeat("  ", min(depth, 20))
	fmt.Fprintf(b, "%s%s", pad, reasonHead(r, pad))
	switch {
	case r.Again:
		b.WriteString("  " + paint.faint("(see above)") + "\n")
		return
	case r.Kind == engine.Given && !r.Column:
		given := "given"
		if r.Value.Status == engine.Waits {
			given = "to be given"
		}
		if r.Note != "" {
			given += ": " + r.Note
		}
		b.WriteString("\n")
		hang(b, pad+"    ", given+" ("+r.Place+")", paint.faint)
	default:
		b.WriteString("\n")
		printWorking(b, r, pad+"    ")
	}
	for _, x := range r.Rests {
		printReason(b, x, depth+1)
	}
	if r.More {
		b.WriteString(pad + "  and so on\n")
	}
}

// reasonHead returns the name and the value, or why there is none; later lines are indented by pad and more.
func reasonHead(r *engine.Reason, pad string) string {
	name := paint.name(r.Name)
	switch {
	case r.Column:
		if u := r.Value.Unit.String(); u != "" {
			name += " [" + u + "]"
		}
		return name
	case r.Kind == engine.Check && r.Value.Status == engine.OK:
		return withMarks(name+"  "+checkWord(r.Value.State()), r.Value)
	case r.Value.Status != engine.OK:
		return name + "  " + strings.Join(wrap(noValue(r.Value), max(20, pageWidth-len(pad)-wide(r.Name)-2)), "\n"+pad+"      ")
	}
	return withMarks(name+"  "+r.Value.Quantity(), r.Value)
}

// noValue tells why there is no value.
func noValue(v engine.Value) string {
	switch {
	case v.Status == engine.None:
		return noResult + ": " + v.Reason
	case v.Reason == "nothing given yet":
		return "not given"
	}
	return v.Reason
}

// printWorking prints the formula, the formula with its values, and where it comes from.
func printWorking(b sink, r *engine.Reason, pad string) {
	switch {
	case r.Kind == engine.Adjusted:
		hang(b, pad+"adjusted ", r.Formula, plain)
	case r.Formula != "":
		hang(b, pad+"= ", r.Formula, plain)
	}
	if r.Filled != "" {
		hang(b, pad+"= ", r.Filled, plain)
	}
	for _, remark := range r.Value.Remarks {
		hang(b, pad+remarkMark+" ", remark, paint.waiting)
	}
	if r.Column {
		hang(b, pad, rowList(r), paint.faint)
	}
	if r.Note != "" {
		hang(b, pad, r.Note, paint.faint)
	}
	for _, u := range r.Uses {
		hang(b, pad, u.Signature+" = "+u.Expr, paint.faint)
		for _, s := range u.Sources {
			hang(b, pad+"  source: ", s, paint.faint)
		}
	}
	if r.Place != "" && !r.Column {
		hang(b, pad, r.Place, paint.faint)
	}
}

// rowList writes a column's entries in one run.
func rowList(r *engine.Reason) string {
	var parts []string
	for _, row := range r.Rows {
		v := withMarks(entryText(row.Values[0]), row.Values[0])
		if v == "·" {
			v = "not given"
		}
		parts = append(parts, row.Name+" "+v)
	}
	return strings.Join(parts, "; ")
}
