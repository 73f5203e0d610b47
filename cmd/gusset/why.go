package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/report"
	"gusset/sheets/text"
)

const whyHelp = `Show how a number came about: its formula, the same with its values put in, and
where each of these comes from. Of a condition that fails it tells which part
does, by how much and for which rows. With --deep it goes on, each value in the
same way, down to what was measured or chosen.

Numbers are printed with as many digits as it takes for what is said of them to
be true of them.

NAME is a cell, a check, a column (fitted.weight) or an entry
(fitted["motor"].weight), also one of a sheet that is used (rack.price) or of
the library.`

func whyCommand() *cobra.Command {
	var s settings
	var deep bool
	cmd := &cobra.Command{
		Use:   "why FILE NAME",
		Short: "how a number came about",
		Long:  whyHelp,
		Example: "  gusset why my-model.gusset cg\n  gusset why my-model.gusset 'fitted[\"motor\"].weight'\n" +
			"  gusset why my-model.gusset cg --deep\n  gusset why my-model.gusset cg --variant 'as drawn'",
		Args:              sheetAndName,
		ValidArgsFunction: sheetThen(cellNames),
		RunE: func(cmd *cobra.Command, args []string) error {
			sheet, err := s.load(args[0])
			if err != nil {
				return err
			}
			m := sheet.Model
			why := (*engine.Model).WhyOneStep
			if deep {
				why = (*engine.Model).Why
			}
			r, err := why(m, args[1])
			if err != nil && ofLibrary(m, args[1]) {
				r, err = why(wholeLibrary(), args[1])
			}
			if err != nil {
				return notExplained(m, args[0], args[1], err)
			}
			if b := printed(cmd); deep {
				printReason(b, r, 0)
			} else {
				printStep(b, r)
			}
			return finish(cmd, args[0], m)
		},
	}
	cmd.Flags().BoolVar(&deep, "deep", false, "go on down to what was measured or chosen")
	s.addTo(cmd, "explain it in", forOnce)
	return cmd
}

// ofLibrary reports whether what a name leads to can only be the library's: the sheet has nothing of its first name.
func ofLibrary(m *engine.Model, name string) bool {
	path, err := text.ParsePath(name)
	if err != nil {
		return false
	}
	first := path.Parts[0].Text
	_, unknown := m.EntriesOf(first)
	_, unset := wholeLibrary().EntriesOf(first)
	return unknown != nil && unset == nil && !hasSheet(m, first)
}

// printStep prints how a value came about, and where each value that it rests on comes from.
func printStep(b sink, r *engine.Reason) {
	printSelf(b, r, "")
	deeper := false
	for _, x := range r.Rests {
		deeper = deeper || x.Kind != engine.Given
		writeNote(b, "  "+reasonHead(x, "  ")+"  ", report.OriginOf(x))
		if x.Column {
			writeHanging(b, "      ", rowList(x, rowsInStep), paint.faint)
		}
	}
	if r.More {
		b.WriteString("  and so on\n")
	} else if deeper {
		b.WriteString(paint.faint("--deep goes on, down to what was measured") + "\n")
	}
}

// printReason prints one step of an explanation and, indented below it, what it rests on.
func printReason(b sink, r *engine.Reason, depth int) {
	pad := strings.Repeat("  ", min(depth, 20))
	if r.Again {
		fmt.Fprintf(b, "%s%s  %s\n", pad, reasonHead(r, pad), paint.faint("(see above)"))
		return
	}
	printSelf(b, r, pad)
	for _, x := range r.Rests {
		printReason(b, x, depth+1)
	}
	if r.More {
		b.WriteString(pad + "  and so on\n")
	}
}

// printSelf prints a value, and how it came about.
func printSelf(b sink, r *engine.Reason, pad string) {
	fmt.Fprintf(b, "%s%s\n", pad, reasonHead(r, pad))
	switch {
	case r.Kind == engine.Given && !r.Column:
		given := "given"
		if report.StateOf(r.Value) == report.NotGiven {
			given = "to be given"
		}
		if r.Note != "" {
			given += ": " + r.Note
		}
		writeHanging(b, pad+"    ", given+" ("+r.Place+")", paint.faint)
	default:
		printWorking(b, r, pad+"    ")
	}
}

// reasonHead returns the name and the value, or why there is none; later lines are indented by pad and more.
func reasonHead(r *engine.Reason, pad string) string {
	if r.Column {
		return report.Label(paint.name(r.Name), r.Value.Unit)
	}
	value := report.InFull(r.Value)
	if !report.StateOf(r.Value).HasValue() {
		value = strings.Join(wrap(value, max(20, pageWidth-len(pad)-widthOf(r.Name)-2)), "\n"+pad+"      ")
	}
	return paint.name(r.Name) + "  " + value
}

// printWorking prints the formula, the formula with its values, and where it comes from.
func printWorking(b sink, r *engine.Reason, pad string) {
	switch {
	case r.Kind == engine.Adjusted:
		writeHanging(b, pad+"adjusted ", r.Formula, plain)
	case r.Formula != "":
		writeHanging(b, pad+"= ", r.Formula, plain)
	}
	if r.Filled != "" {
		writeHanging(b, pad+"= ", r.Filled, plain)
	}
	for _, p := range r.Cuts {
		printPlanShort(b, p, pad)
	}
	for _, part := range report.UnmetParts(r.Unmet, r.Formula) {
		writeHanging(b, pad, part, paint.bad)
	}
	if r.Doubt != nil {
		writeHanging(b, pad, report.InDoubt(r.Doubt), plain)
	}
	for _, remark := range r.Value.Remarks {
		writeHanging(b, pad+report.OutsideMark+" ", remark, paint.waiting)
	}
	if r.Column {
		writeHanging(b, pad, rowList(r, len(r.Rows)), paint.faint)
	}
	if r.Note != "" {
		writeHanging(b, pad, r.Note, paint.faint)
	}
	for _, u := range r.Uses {
		writeHanging(b, pad, u.Signature+" = "+u.Expr, paint.faint)
		for _, s := range u.Sources {
			writeHanging(b, pad+"  source: ", s, paint.faint)
		}
	}
	if r.Place != "" && !r.Column {
		writeHanging(b, pad, r.Place, paint.faint)
	}
}

// rowsInStep is how many entries of a column are listed where only its origin is told.
const rowsInStep = 100

// rowList writes a column's entries in one run, at most so many of them.
func rowList(r *engine.Reason, most int) string {
	var parts []string
	for i, row := range r.Rows {
		if i == most {
			parts = append(parts, fmt.Sprintf("and %d more (--deep)", len(r.Rows)-most))
			break
		}
		s := report.Show(row.Values[0])
		s.Unit = ""
		parts = append(parts, row.Name+" "+s.String())
	}
	return strings.Join(parts, "; ")
}
