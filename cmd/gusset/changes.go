package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/page"
	"gusset/sheets/project"
	"gusset/sheets/report"
)

const changesHelp = `Show what was changed and why: from a variant of the sheet, such as the plan as
drawn, to the sheet as it stands. Each line of the variant is one change, with
its note as the reason.

  variant "as drawn"
    tail_stock : "balsa sheet 1/4"    // no room for lead in the nose

Each change is first made by itself: the variant with this one value as the
sheet has it now. Below them is what all of them do together, and what the
single ones come to when they are added up; the two differ where one change
bears on another. The columns are the chief results that move, those of the
page "At a glance"; checks that flip are named below the change. What the
variant does not set is not a change. A result that moves by less than its step
shows is` + report.BelowStep + `.`

func changesCommand() *cobra.Command {
	var from, out string
	var asJSON, all bool
	cmd := &cobra.Command{
		Use:   "changes FILE --from VARIANT",
		Short: "what was changed from the plan, why, and what each change did",
		Long:  changesHelp,
		Example: "  gusset changes my-model.gusset --from 'as drawn'\n" +
			"  gusset changes my-model.gusset --from 'as drawn' -o changes.html\n" +
			"  gusset changes my-model.gusset --from 'as drawn' --json",
		Args:              oneSheet,
		ValidArgsFunction: sheetFiles,
		RunE: func(cmd *cobra.Command, args []string) error {
			return changes(cmd, args[0], from, out, asJSON, all)
		},
	}
	f := cmd.Flags()
	f.StringVar(&from, "from", "", "the `VARIANT` that the changes are counted from")
	f.StringVarP(&out, "output", "o", "", "write them as a page to hand on: `OUT.html`")
	f.BoolVar(&asJSON, "json", false, "print the changes as JSON")
	f.BoolVar(&all, "all", false, "show every message, however many there are")
	completeFlag(cmd, "from", ofSheet(variantNames))
	return cmd
}

func changes(cmd *cobra.Command, file, from, out string, asJSON, all bool) error {
	switch {
	case out != "" && asJSON:
		return usage("--json prints the changes, and -o writes them as a page: one or the other")
	case out != "":
		if err := pageFile.check(out); err != nil {
			return err
		}
	}
	sheet, err := project.Load(file)
	if err != nil {
		return err
	}
	m := sheet.Model
	if from == "" {
		return noOrigin(m, file)
	}
	c, err := report.ChangesOf(m, from)
	if err != nil {
		return usage("%v", err)
	}
	wrong := report.FindWrong(m, m.Problems())
	switch {
	case out != "":
		var data bytes.Buffer
		if err := page.WriteChanges(&data, c, wrong, page.Options{File: project.Shown(filepath.Base(file))}); err != nil {
			return usage("%s: %v", file, err)
		}
		if err := writePage(cmd, out, data.Bytes(), sheet.Files); err != nil {
			return err
		}
	case asJSON:
		err = printObject(printed(cmd), func(j *jsonPrinter) { putChanges(j, file, c, wrong) })
		if err != nil {
			return err
		}
	default:
		b := printed(cmd)
		printChanges(b, c, wrong)
		printGuessesLeft(b, len(m.Guesses()))
	}
	problems := m.Problems()
	if !all {
		problems = countRemarks(cmd, file, problems)
	}
	return checksStatus(false, wrong.Mistakes, printDiags(cmd, problems, all))
}

// noOrigin asks from which variant, or tells how to write one.
func noOrigin(m *engine.Model, file string) error {
	names := variantNames(m)
	if len(names) == 0 {
		return usage(`%s has no variant to count changes from; write what the plan had at its end: `+
			`variant "as drawn", and below it, indented, lines such as `+
			`tail_stock : "balsa sheet 1/4" // why it was changed`, file)
	}
	return usage("from which variant? For example: gusset changes %s --from %s", typed(file), typed(names[0]))
}

// printChanges prints the changes as rows, and the chief results that they move as columns.
func printChanges(b sink, c *report.Changed, wrong report.Wrong) {
	b.WriteString(paint.heading(c.Title) + "\n")
	writeHanging(b, "", c.FromTo(), plain)
	if c.Note != "" {
		writeHanging(b, "", c.Note, paint.faint)
	}
	printWrong(b, wrong)
	b.WriteString("\n")
	if len(c.Lines) == 0 {
		writeHanging(b, "  ", fmt.Sprintf("nothing is changed: what %q sets is what the sheet has", c.From), plain)
		return
	}
	t := newChangesTable(c)
	for k, block := range t.blocks {
		if k > 0 {
			b.WriteString("\n")
		}
		t.print(b, block, k == 0)
	}
	if len(c.Lines) > 1 && len(c.Together.Flips) > 0 {
		b.WriteString("\n  " + c.Together.Name + ":\n")
		printChangeFlips(b, c.Together)
	}
	if len(c.Results) == 0 || len(c.Hidden)+len(c.Same) > 0 {
		b.WriteString("\n")
	}
	if len(c.Results) == 0 {
		writeHanging(b, "  ", "no chief result moves by as much as its step shows", plain)
	}
	if len(c.Hidden) > 0 {
		writeHanging(b, "  moved by less than is shown: ", strings.Join(c.Hidden, ", "), paint.faint)
	}
	if len(c.Same) > 0 {
		writeHanging(b, "  as in the sheet, and so no change: ", strings.Join(c.Same, ", "), paint.faint)
	}
}

// changesTable is how changes are printed in columns.
type changesTable struct {
	*report.Changed
	sums   []report.ChangedRow
	names  int     // how wide they are
	widths []int   // of the results, without their marks
	marks  []int   // of these
	blocks [][]int // which results are beside one another
}

const changesIndent = 2

func newChangesTable(c *report.Changed) *changesTable {
	t := &changesTable{Changed: c, sums: c.Sums()}
	all := slices.Concat(c.Lines, t.sums)
	name := func(r report.ChangedRow) string { return r.Name }
	t.names = min(max(min(widestOf(all, name), pageWidth/3), widestOf(t.sums, name)), pageWidth/2)
	for k, r := range c.Results {
		cells := widestOf(all, func(r report.ChangedRow) string { return r.Cells[k].Text })
		marks := widestOf(all, func(r report.ChangedRow) string { return r.Cells[k].Marks.String() })
		t.widths = append(t.widths, max(widthOf(r.Name), widthOf(r.Unit), cells))
		t.marks = append(t.marks, marks+min(marks, 1))
	}
	at := pageWidth
	for k, w := range t.widths {
		w += t.marks[k]
		if at += 2 + w; at > pageWidth {
			t.blocks, at = append(t.blocks, nil), changesIndent+t.names+2+w
		}
		last := len(t.blocks) - 1
		t.blocks[last] = append(t.blocks[last], k)
	}
	if len(t.blocks) == 0 {
		t.blocks = [][]int{nil}
	}
	return t
}

// print prints the results of a block; whole says what was changed, why, and which checks flip.
func (t *changesTable) print(b sink, block []int, whole bool) {
	head := func(of func(report.ChangedResult) string) {
		line := strings.Repeat(" ", changesIndent+t.names)
		for _, k := range block {
			line += "  " + padLeft(of(t.Results[k]), t.widths[k]) + strings.Repeat(" ", t.marks[k])
		}
		if line = strings.TrimRight(line, " "); line != "" {
			b.WriteString(line + "\n")
		}
	}
	head(func(r report.ChangedResult) string { return r.Name })
	head(func(r report.ChangedResult) string { return r.Unit })
	for _, r := range t.Lines {
		t.row(b, block, r)
		if !whole {
			continue
		}
		writeNote(b, "      "+r.Change.String()+"  ", r.Reason)
		if len(t.Lines) == 1 {
			printChangeFlips(b, r)
			continue
		}
		for _, f := range report.FlipsByState(r.Flips) {
			writeHanging(b, "      "+paintOf(f.State)(f.State.Now())+"  ", strings.Join(f.Names, ", "), plain)
		}
	}
	if len(block) == 0 {
		return
	}
	b.WriteString("\n")
	for _, r := range t.sums {
		t.row(b, block, r)
	}
}

// row prints what a change does to the results of a block. A name that is too long is on a line of its own.
func (t *changesTable) row(b sink, block []int, r report.ChangedRow) {
	lead := "  " + paint.name(padRight(r.Name, t.names))
	if widthOf(r.Name) > t.names {
		b.WriteString("  " + paint.name(r.Name) + "\n")
		lead = strings.Repeat(" ", changesIndent+t.names)
	}
	for _, k := range block {
		marks := strings.TrimRight(" "+r.Cells[k].Marks.String(), " ")
		lead += "  " + padLeft(r.Cells[k].Text, t.widths[k]) + padRight(marks, t.marks[k])
	}
	b.WriteString(strings.TrimRight(lead, " ") + "\n")
}

// printChangeFlips prints the checks that a change flips.
func printChangeFlips(b sink, r report.ChangedRow) {
	for _, m := range r.Flips {
		printFlip(b, m, "      ", 0, 0)
	}
}

// changedRecord is one change, or what all of them do.
type changedRecord struct {
	Name    string       `json:"name,omitempty"`
	Given   *moveRecord  `json:"given,omitempty"`
	Reason  string       `json:"reason,omitempty"`
	Results []moveRecord `json:"results"`
	Checks  []flipRecord `json:"checks"`
}

// changedOf returns what moves, results and checks apart.
func changedOf(moves []engine.Move) changedRecord {
	r := changedRecord{Results: []moveRecord{}, Checks: []flipRecord{}}
	for _, m := range moves {
		switch {
		case !m.Differs:
		case m.IsCheck:
			r.Checks = append(r.Checks, flipOf(m))
		default:
			r.Results = append(r.Results, moveOf(m))
		}
	}
	return r
}

func putChanges(j *jsonPrinter, file string, c *report.Changed, wrong report.Wrong) {
	j.put("sheet", c.Title)
	j.put("file", file)
	j.put("from", c.From)
	j.put("note", c.Note)
	putAll(j, "changes", c.Made.Lines, func(l engine.ChangedLine) changedRecord {
		r, given := changedOf(l.Moves), moveOf(l.Given)
		r.Name, r.Given, r.Reason = l.Given.Name, &given, l.Note
		return r
	})
	j.put("together", changedOf(c.Made.Together))
	j.put("added", changedOf(c.Made.Added).Results)
	putAll(j, "same", c.Same, itself)
	putWrong(j, wrong)
}
