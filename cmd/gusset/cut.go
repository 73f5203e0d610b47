package main

import (
	"fmt"
	"iter"
	"strings"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/report"
	"gusset/units/nearest"
)

const cutHelp = `Show how pieces are cut from stock. Each stock_needed of the sheet is one plan,
named by the row or the cell that it stands in, and by the stock that a column
stock of that row tells. Its sheets or sticks are drawn with the grain from left
to right. Every piece has a letter, for its row of the cutting list, and a
number. Below each sheet stands what to tick off at the bench, and what is left
over that is worth keeping. A row with nothing to cut is left out.

Where a plan is the least that can be, it says "proven least"; otherwise it
says what it cannot be below. Where the cutting list has a column feel, such as
"light", "medium" or "hard", each sheet is named by the feel that its pieces
want.

A sheet that began as powered, glider or biplane has its plans in its buying
list. In a sheet of your own a plan is
  n = stock_needed(parts, .pieces, .long, .wide, stock_long, stock_wide, kerf)
with long along the grain. A last value, yes or a column of yes and no, lets
pieces be turned.`

func cutCommand() *cobra.Command {
	var s settings
	var stock string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "cut FILE",
		Short: "the cutting plan: which piece comes out of which sheet or stick",
		Long:  cutHelp,
		Example: "  gusset cut my-model.gusset\n  gusset cut my-model.gusset --stock 'balsa sheet 1/16'\n" +
			"  gusset cut my-model.gusset --json",
		Args:              oneSheet,
		ValidArgsFunction: sheetFiles,
		RunE: func(cmd *cobra.Command, args []string) error {
			sheet, err := s.load(args[0])
			if err != nil {
				return err
			}
			if err := printPlans(printed(cmd), sheet.Model, args[0], stock, asJSON); err != nil {
				return err
			}
			return finish(cmd, args[0], sheet.Model)
		},
	}
	f := cmd.Flags()
	f.StringVar(&stock, "stock", "", "show only the plan of this `NAME`, or of this stock")
	f.BoolVar(&asJSON, "json", false, "print the plans as JSON")
	s.addTo(cmd, "cut", forOnce)
	completeFlag(cmd, "stock", ofSheet(planNames))
	return cmd
}

// printPlans prints the plans of a sheet, or the one that is asked for.
func printPlans(b sink, m *engine.Model, file, asked string, asJSON bool) error {
	next, stop := iter.Pull(engine.CutPlans(m))
	defer stop()
	p, some := next()
	if !some {
		return usage("%s has no stock_needed; gusset cut --help shows how to come by one", file)
	}
	var names []string
	for asked != "" && asked != p.Name && asked != p.Path && asked != p.Stock {
		if !report.NothingToCut(p) {
			names = append(names, report.PlanName(p))
		}
		if p, some = next(); !some {
			return noPlan(file, asked, names)
		}
	}
	each := func(print func(engine.CutPlan)) {
		for ; some; p, some = next() {
			if print(p); asked != "" {
				return
			}
		}
	}
	wrong := report.FindWrong(m, m.Problems())
	if !asJSON {
		fmt.Fprintln(b, paint.heading(m.Title()))
		printWrong(b, wrong)
		each(func(p engine.CutPlan) {
			if asked != "" || !report.NothingToCut(p) {
				printPlan(b, p)
			}
		})
		printGuessesLeft(b, len(m.Guesses()))
		return nil
	}
	return printObject(b, func(j *jsonPrinter) {
		j.put("sheet", m.Title())
		putWrong(j, wrong)
		j.list("plans", func() { each(func(p engine.CutPlan) { j.put("", planRecordOf(p)) }) })
	})
}

// noPlan says that a sheet has no plan of that name, and which it has.
func noPlan(file, asked string, names []string) error {
	if near, ok := nearest.Word(asked, names); ok {
		return usage("%s has no plan %s; is it %s?", file, asked, near)
	}
	const most = 20
	said := strings.Join(names[:min(len(names), most)], ", ")
	if len(names) > most {
		said += " and more"
	}
	return usage("%s has no plan %s; there are %s", file, asked, said)
}

// printPlan prints one plan.
func printPlan(b sink, p engine.CutPlan) {
	b.WriteString("\n" + paint.heading(p.Name))
	if p.Reason != "" {
		b.WriteString("\n")
		writeHanging(b, "  ", "no plan: "+p.Reason, paint.bad)
		return
	}
	if p.Path != p.Name {
		b.WriteString("  " + paint.faint(p.Path))
	}
	b.WriteString("\n")
	writeHanging(b, "  ", report.PlanInShort(p), plain)
	keys := report.CutKeys(p)
	for k, s := range p.Sheets {
		b.WriteString("\n")
		writeHanging(b, "  ", report.CutSheetHead(p, k), paint.name)
		for _, row := range drawSheet(p, s, keys, pageWidth-4, plainMarks) {
			b.WriteString("  " + row + "\n")
		}
		printTicks(b, s, keys)
	}
}

// sheetsInShort is how many sheets are listed where a plan is shown in short.
const sheetsInShort = 12

// printPlanShort says which pieces come out of which sheet; gusset cut draws them.
func printPlanShort(b sink, p engine.CutPlan, pad string) {
	writeHanging(b, pad, report.PlanInShort(p), plain)
	for k, s := range p.Sheets {
		if k == sheetsInShort {
			b.WriteString(pad + fmt.Sprintf("  and %d more\n", len(p.Sheets)-k))
			break
		}
		var parts []string
		for _, t := range report.CutTicks(s) {
			parts = append(parts, t.Piece+" "+t.Which())
		}
		said := fmt.Sprintf("%s; %s used", strings.Join(parts, "; "), report.ShareUsed(s.Used))
		writeHanging(b, fmt.Sprintf("%s  %s %d: ", pad, report.StockWord(p), k+1), said, paint.faint)
	}
}

// printTicks prints what to tick off of a sheet, and what is left of it.
func printTicks(b sink, s engine.CutSheet, keys map[int]string) {
	ticks := report.CutTicks(s)
	keyW := widestOf(ticks, func(t *report.CutTick) string { return keys[t.Row] })
	for _, t := range ticks {
		lead := "  [ ] " + padRight(keys[t.Row], keyW) + "  "
		writeHanging(b, lead, fmt.Sprintf("%s %s  (%s)", t.Piece, t.Which(), t.Size()), plain)
	}
	if rest := report.LeftOver(s); rest != "" {
		writeHanging(b, "      left over: ", rest, plain)
	}
}
