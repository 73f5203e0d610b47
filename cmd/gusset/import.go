package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/report"
	"gusset/sheets/text"
	"gusset/sheets/workbook"
)

const importHelp = `Take the given values of a workbook that gusset export made, and that someone
has changed and sent back, or lines NAME : VALUE with such values. Shows each
value that was changed, and what that moves; with --write the values go into
the sheet, where nothing else is touched. Values that cannot be taken over are
named, with the reason: nothing is guessed. A guess whose value was changed, or
whose ? was cleared, is a guess no more. The workbook is only read: no macro,
link or formula in it is followed.

Lines are those of a text file, written as below a variant. Notes above them
say which sheet they are of, and the note of a line may say what its value was:
  // Marsh Tern 50
  // file marsh-tern.gusset
  // fingerprint 1f3a0c52d4be7788990a1b2c3d4e5f60
  parts["motor"].weighed : 2.85     // was 2.75

A workbook that was made from another sheet is refused, one of another title
and file name or with mostly other names; --other-sheet takes from it what the
two sheets have in common.

Exit status 3 means that some values could not be taken over.`

func importCommand() *cobra.Command {
	var how importing
	cmd := &cobra.Command{
		Use:   "import OUT.xlsx|LINES FILE",
		Short: "take changed values back from a workbook, or from lines",
		Long:  importHelp,
		Example: "  gusset import my-model.xlsx my-model.gusset\n" +
			"  gusset import my-model.xlsx my-model.gusset --write\n" +
			"  gusset import my-model.xlsx new-name.gusset --other-sheet\n" +
			"  gusset import my-model.txt my-model.gusset",
		Args: workbookAndSheet,
		RunE: func(cmd *cobra.Command, args []string) error { return takeBack(cmd, args[0], args[1], how) },
	}
	cmd.Flags().BoolVar(&how.write, "write", false, "write the changed values into the sheet")
	cmd.Flags().BoolVar(
		&how.otherSheet, "other-sheet", false,
		"take what fits, though the workbook was made from another sheet",
	)
	cmd.Flags().BoolVar(&how.all, "all", false, "show every entry that moved and every message, however many there are")
	return cmd
}

// importing is how values are taken back.
type importing struct{ write, otherSheet, all bool }

// workbookAndSheet is for import.
func workbookAndSheet(_ *cobra.Command, args []string) error {
	isBook := workbookFile.has
	switch {
	case len(args) == 2 && isBook(args[1]) && !isBook(args[0]):
		return usage("the workbook comes first: gusset import %s %s", typed(args[1]), typed(args[0]))
	case len(args) == 2 && (isBook(args[0]) || linesFile.has(args[0])):
		return nil
	case len(args) == 2:
		return usage("%s: a workbook's name ends in .xlsx: open it in your spreadsheet program and save it as .xlsx; "+
			"that of a file of lines NAME : VALUE ends in .txt", args[0])
	case len(args) == 1 && isBook(args[0]):
		return usage("into which sheet? For example: gusset import %s %s", typed(args[0]), exampleSheet)
	}
	return usage("which workbook, and which sheet? For example: gusset import my-model.xlsx %s", exampleSheet)
}

func takeBack(cmd *cobra.Command, book, file string, how importing) error {
	var returned *workbook.Returned
	take := func(data []byte) ([]byte, error) {
		sheet, err := project.Load(file)
		if err != nil {
			return nil, err
		}
		m := sheet.Model
		if printDiags(cmd, m.Mistakes(), how.all) > 0 {
			fmt.Fprintf(cmd.ErrOrStderr(), "%s is not read: mend the sheet first\n", project.Shown(book))
			return nil, &failure{status: sheetErrors}
		}
		if returned, err = readReturned(book, file, m, data, how); err != nil {
			return nil, err
		}
		if err := printReturned(cmd, m, book, file, returned, how); err != nil {
			return nil, err
		}
		put := slices.Concat(returned.Changes, returned.Measured)
		after, err := putAllInto(file, data, put, workbook.Change.Put)
		if err != nil {
			return nil, ioFailure(err)
		}
		return after, nil
	}
	if how.write {
		if err := project.Edit(file, take); err != nil {
			return asIOFailure(err)
		}
	} else {
		data, err := readAll(cmd, file)
		if err != nil {
			return err
		}
		if _, err := take(data); err != nil {
			return err
		}
	}
	if n := len(returned.Changes) + len(returned.Measured); how.write && n > 0 {
		fmt.Fprintf(cmd.OutOrStdout(), "\n%s been written into %s\n", report.CountThat(n, "value", "has", "have"),
			project.Shown(file))
	}
	if len(returned.Remaining) > 0 {
		return &failure{status: sheetErrors}
	}
	return nil
}

// readReturned reads what a workbook brings back.
func readReturned(book, file string, m *engine.Model, sheet []byte, how importing) (*workbook.Returned, error) {
	f, size, err := project.Open(book)
	if err != nil {
		return nil, ioFailure(err)
	}
	defer f.Close()
	src := workbook.Source{File: project.Shown(filepath.Base(file)), Text: sheet}
	returned, err := (*workbook.Returned)(nil), error(nil)
	if linesFile.has(book) {
		var lines []byte
		if lines, err = io.ReadAll(io.LimitReader(f, workbook.MaxLinesBytes+1)); err == nil {
			returned, err = workbook.ReturnLines(lines, m, src, how.otherSheet)
		}
	} else {
		returned, err = workbook.Return(f, size, m, src, how.otherSheet)
	}
	var other *workbook.OtherSheet
	switch {
	case errors.As(err, &other):
		hint := fmt.Sprintf("to take what fits all the same: gusset import %s %s --other-sheet", typed(book), typed(file))
		if other.Alias != "" {
			from := filepath.Join(filepath.Dir(file), other.From)
			hint = fmt.Sprintf("gusset import %s %s shows what was changed of it, and how to put it there", typed(book),
				typed(from))
		}
		return nil, ioFailure(fmt.Errorf("%s: %v\n    hint: %s", project.Shown(book), err, hint))
	case err != nil:
		return nil, ioFailure(fmt.Errorf("%s: %v", project.Shown(book), err))
	}
	return returned, nil
}

// printReturned tells what was changed, what it moves, and what could not be taken over.
func printReturned(cmd *cobra.Command, m *engine.Model, book, file string, r *workbook.Returned, how importing) error {
	b, shown := printed(cmd), project.Shown(file)
	made := "the workbook was made"
	if linesFile.has(book) {
		made = "they were saved"
	}
	fmt.Fprintf(b, "%s, made from %s\n", project.Shown(book), cmp.Or(r.From, "no sheet that it names"))
	switch {
	case r.Other:
		writeHanging(b, "", "That is another sheet than "+shown+": only what has the same name in both is looked at.", plain)
	case r.Changed:
		said := "The sheet has been changed since " + made + "; what both sides have changed is left as it is."
		writeHanging(b, "", said, plain)
	}
	if len(r.Changes) == 0 {
		b.WriteString("\nNo given value has been changed in it.\n")
	} else if err := printEffects(b, m, book, r, how.all); err != nil {
		return err
	}
	printMeasured(b, r.Measured)
	printRemarks(b, "Remarks", r.Notes, how.all)
	printRemarks(b, "Not taken over", r.Remaining, how.all)
	printElsewhere(b, file, r.Elsewhere)
	if n := len(r.Changes) + len(r.Measured); n > 0 && !how.write {
		fmt.Fprintf(b, "\nNothing has been written yet: --write puts %s into %s.\n", report.Count(n, "value"), shown)
	}
	return nil
}

// printEffects puts the changed values into the sheet, and shows them and what they do to everything else.
func printEffects(b sink, m *engine.Model, book string, back *workbook.Returned, all bool) error {
	where := "Changed in the workbook"
	if linesFile.has(book) {
		where = "Changed in the lines"
	}
	doubts := doubtsOf(m, back)
	changed, typed := map[string]bool{}, map[string]string{}
	for _, c := range back.Changes {
		if changed[c.Name] = true; strings.HasPrefix(c.Now, c.Value) { // without a unit of its own
			typed[c.Name] = c.Value
		}
	}
	r, err := rippleOf(m, back, typed)
	if err != nil {
		return ioFailure(fmt.Errorf("what has been changed cannot be put into the sheet: %v", err))
	}
	besides := besidesAmounts(r, changed, typed, doubts)
	b.WriteString("\n" + paint.heading(where) + "\n")
	for i, line := range moveLines(r.Changes) {
		b.WriteString(line)
		for _, doubt := range doubts[r.Changes[i].Name] {
			writeHanging(b, "      ", doubt, paint.waiting)
		}
	}
	for _, said := range besides {
		writeHanging(b, "    ", said, plain)
	}
	b.WriteString("\n" + paint.heading("What that moves") + "\n")
	printMoves(b, slices.DeleteFunc(slices.Clone(r.Moves), func(v engine.Move) bool { return changed[v.Name] }), all)
	printStays(b, r.Stays, all)
	printSum(b, r)
	return nil
}

// rippleOf puts what was changed into the sheet. A number that is typed is shown as it will be written, whatever its
// step; what has a unit or a ± is shown as any other value.
func rippleOf(m *engine.Model, back *workbook.Returned, typed map[string]string) (engine.Ripple, error) {
	var settings []engine.Setting
	for _, c := range slices.Concat(back.Changes, back.Measured) {
		settings = append(settings, engine.Setting{Name: c.Name, Value: c.Value})
	}
	r, err := m.Ripple(settings...)
	for i := range r.Changes {
		c := &r.Changes[i]
		if as := typed[c.Name]; !c.IsText && as != "" && strings.Trim(as, "0123456789/.- ") == "" {
			c.ShowAs(as)
		}
	}
	return r, err
}

// besidesAmounts says what is changed of values, but for their amounts. A ± that went with an amount that is typed is a
// doubt.
func besidesAmounts(r engine.Ripple, changed map[string]bool, typed map[string]string,
	doubts map[string][]string) (said []string) {
	other := map[string]bool{}
	for _, c := range r.Changes {
		other[c.Name] = true
	}
	for _, o := range r.Offs {
		if !other[o.Name] || o.Tolerance != "" {
			said = append(said, report.Off{Name: o.Name, Was: o.Before.Tolerance, Now: o.Tolerance}.String())
		} else if typed[o.Name] != "" {
			doubts[o.Name] = append(doubts[o.Name],
				"the "+o.Before.Tolerance+" went with the old value; the new one says nothing")
		}
	}
	for _, v := range r.Guessed {
		said = append(said, v.Name+" is a guess now")
	}
	for _, v := range r.Sure {
		if changed[v.Name] { // the others are listed below
			said = append(said, v.Name+" is a guess no more")
		}
	}
	return said
}

// What is tried to find which of the changes makes a check fail.
const (
	maxTried      = 100
	maxTriedSteps = 50_000_000
)

// doubtsOf says what speaks against changes that are offered all the same: that a number may be a mistake of the mate,
// and that by itself it makes checks fail that hold.
func doubtsOf(m *engine.Model, back *workbook.Returned) map[string][]string {
	doubts := map[string][]string{}
	for _, c := range back.Changes {
		if c.Doubt != "" {
			doubts[c.Name] = append(doubts[c.Name], c.Doubt)
		}
	}
	if n := len(back.Changes); n > maxTried || m.Effort()*float64(n) > maxTriedSteps {
		return doubts
	}
	for _, c := range back.Changes {
		// an error is reported when all are put in
		r, _ := m.Fork().Ripple(engine.Setting{Name: c.Name, Value: c.Value})
		if fail := report.Lost(r.Moves)[report.Fails]; len(fail) > 0 {
			doubts[c.Name] = append(doubts[c.Name], "with this, "+checksFail(fail)+": is it right?")
		}
	}
	return doubts
}

// checksFail names checks that fail, the first few of many.
func checksFail(checks []engine.Move) string {
	if len(checks) == 1 {
		return checks[0].Name + " fails"
	}
	var names []string
	for _, c := range checks {
		names = append(names, c.Name)
	}
	return report.Together(names, 3, "more", "and") + " fail"
}

// mostElsewhere is how many values of used sheets are put into one command.
const mostElsewhere = 4

// printElsewhere says how values of the sheets that a model uses are put there: by a change that is seen in all models.
func printElsewhere(b sink, file string, changes []workbook.Change) {
	if len(changes) == 0 {
		return
	}
	line := "gusset ripple"
	for _, c := range changes[:min(len(changes), mostElsewhere)] {
		line += fmt.Sprintf(" --set '%s'", strings.ReplaceAll(c.Name+"="+c.Value, "'", `'\''`))
	}
	fmt.Fprintf(b, "\nTo change the sheet that they belong to (without --write: to see what it moves)\n  %s --write %s\n",
		line, typed(file))
	if more := len(changes) - mostElsewhere; more > 0 {
		fmt.Fprintf(b, "  and so on with the other %d\n", more)
	}
}

// printMeasured lists what is a guess no more, with its value as it was.
func printMeasured(b sink, measured []workbook.Change) {
	if len(measured) == 0 {
		return
	}
	b.WriteString("\n" + paint.heading("No guess any more") + "\n")
	nameW := widestOf(measured, func(c workbook.Change) string { return c.Name })
	for _, c := range measured {
		fmt.Fprintf(b, "    %s  %s\n", padRight(c.Name, nameW), text.Visible(c.Now))
	}
}

// printRemarks prints remarks on values. What is said of several in the same words, as of those on a page that
// is gone, is said once.
func printRemarks(b sink, heading string, remarks []workbook.Remark, all bool) {
	if len(remarks) == 0 {
		return
	}
	b.WriteString("\n" + paint.heading(heading) + "\n")
	names := map[string][]string{}
	for _, r := range remarks {
		names[r.Text] = append(names[r.Text], r.Name)
	}
	for _, r := range remarks {
		if of := names[r.Text]; of != nil && (all || len(of) == 1) {
			writeHanging(b, "  - ", r.Name+" "+r.Text, plain)
		} else if of != nil {
			writeHanging(b, "  - ", report.Together(of, 3, "others", "and")+": each "+r.Text, plain)
			delete(names, r.Text)
		}
	}
}
