package main

import (
	"fmt"
	"iter"
	"maps"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/report"
	"gusset/units/nearest"
)

const cutHelp = `Show how pieces are cut from stock. Each stock_needed of the sheet is one plan, named by the row or
the cell that it stands in. Its sheets or sticks are drawn with the grain from left to right. Every
piece has a letter, for its row of the cutting list, and a number. Below each sheet stands what to
tick off at the bench, and what is left over that is worth keeping.

Where a plan is the least that can be, it says "proven least"; otherwise it says what it cannot be
below. Where the cutting list has a column feel, such as "light", "medium" or "hard", each sheet is
named by the feel that its pieces want.

A sheet that began as powered, glider or biplane has its plans in its buying list. In a sheet of
your own a plan is
  sheets = stock_needed(parts, .pieces, .long, .wide, stock_long, stock_wide, kerf)
with long along the grain. A last value, yes or a column of yes and no, lets pieces be turned.`

func cutCommand() *cobra.Command {
	var stock, variant string
	var sets []string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "cut FILE",
		Short: "the cutting plan: which piece comes out of which sheet or stick",
		Long:  cutHelp,
		Example: "  gusset cut my-model.gusset\n  gusset cut my-model.gusset --stock ribs\n" +
			"  gusset cut my-model.gusset --json",
		Args:              oneSheet,
		ValidArgsFunction: sheetFiles,
		RunE: func(cmd *cobra.Command, args []string) error {
			sheet, err := project.Load(args[0])
			if err != nil {
				return err
			}
			m := sheet.Model
			if err := prepare(m, variant, sets); err != nil {
				return err
			}
			if err := printPlans(printed(cmd), m, args[0], stock, asJSON); err != nil {
				return err
			}
			if printDiags(cmd, m.Problems(), false) > 0 {
				return &failure{status: sheetErrors}
			}
			return nil
		},
	}
	f := cmd.Flags()
	f.StringVar(&stock, "stock", "", "show only the plan of this `NAME`")
	f.BoolVar(&asJSON, "json", false, "print the plans as JSON")
	f.StringVar(&variant, "variant", "", "cut this `VARIANT` of the sheet")
	f.StringArrayVar(&sets, "set", nil, "change a given value for this once: `NAME=VALUE` (may be repeated)")
	completeVariants(cmd, "variant")
	completePlans(cmd)
	return cmd
}

// completePlans completes the names of the plans of the sheet that is the first argument.
func completePlans(cmd *cobra.Command) {
	names := func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		var names []string
		if len(args) > 0 {
			if sheet, err := project.Load(args[0]); err == nil {
				for p := range engine.CutPlans(sheet.Model) {
					names = append(names, p.Name)
				}
			}
		}
		return names, cobra.ShellCompDirectiveNoFileComp
	}
	cobra.CheckErr(cmd.RegisterFlagCompletionFunc("stock", names))
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
	for asked != "" && asked != p.Name && asked != p.Path {
		names = append(names, p.Name)
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
		each(func(p engine.CutPlan) { printPlan(b, p) })
		printGuessesLeft(b, len(m.Guesses()))
		return nil
	}
	j := newJSON(b)
	j.object("", func() {
		j.put("sheet", m.Title())
		putWrong(j, wrong)
		j.list("plans", func() { each(func(p engine.CutPlan) { j.put("", planRecordOf(p)) }) })
	})
	if j.err != nil {
		return ioFailure(j.err)
	}
	return nil
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
	writeHanging(b, "  ", planInShort(p), plain)
	keys := keysOf(p)
	for k, s := range p.Sheets {
		name := fmt.Sprintf("%s %d of %d", stockWord(p), k+1, len(p.Sheets))
		if len(s.Feels) > 0 {
			name += ": " + strings.Join(s.Feels, ", ")
		}
		line := name + "; " + share(s.Used) + " used"
		if !s.Straight {
			line += ", some cuts end within it"
		}
		b.WriteString("\n")
		writeHanging(b, "  ", line, paint.name)
		for _, row := range drawSheet(p, s, keys, pageWidth-4, plainMarks) {
			b.WriteString("  " + row + "\n")
		}
		printTicks(b, s, keys)
	}
}

// planInShort says what a plan takes.
func planInShort(p engine.CutPlan) string {
	if len(p.Sheets) == 0 {
		return "nothing to cut"
	}
	count := report.MarksOf(p.Value).After(report.Count(len(p.Sheets), stockWord(p)))
	said := fmt.Sprintf("%s of %s, %s used", count, sizeOf(p.Long, p.Wide), share(p.Used))
	if p.Kerf.Number > 0 {
		said += ", kerf " + p.Kerf.Quantity()
	}
	if p.Proven {
		return said + ", proven least"
	}
	return said + fmt.Sprintf(", not below %d; a better plan was not found", p.Bound)
}

// sheetsInShort is how many sheets are told of where a plan is told in short.
const sheetsInShort = 12

// printPlanShort says which pieces come out of which sheet; gusset cut draws them.
func printPlanShort(b sink, p engine.CutPlan, pad string) {
	writeHanging(b, pad, planInShort(p), plain)
	for k, s := range p.Sheets {
		if k == sheetsInShort {
			b.WriteString(pad + fmt.Sprintf("  and %d more\n", len(p.Sheets)-k))
			break
		}
		var parts []string
		for _, t := range ticksOf(s) {
			parts = append(parts, t.Piece+" "+runs(t.numbers))
		}
		said := fmt.Sprintf("%s; %s used", strings.Join(parts, "; "), share(s.Used))
		writeHanging(b, fmt.Sprintf("%s  %s %d: ", pad, stockWord(p), k+1), said, paint.faint)
	}
}

// stockWord is what a plan is cut from.
func stockWord(p engine.CutPlan) string {
	if p.Sticks {
		return "stick"
	}
	return "sheet"
}

// share writes a share as it is shown: rounded down, so that no stock with room left is full.
func share(x float64) string { return fmt.Sprintf("%d %%", int(x*100+1e-6)) }

// sizeOf writes a length and a width, with the unit once where they share it.
func sizeOf(long, wide engine.Value) string {
	if long.Unit == wide.Unit && !long.Unit.Mixed() {
		return long.Text + " x " + wide.Quantity()
	}
	return long.Quantity() + " x " + wide.Quantity()
}

// keysOf gives the rows of a plan's cutting list letters, in the order of the list.
func keysOf(p engine.CutPlan) map[int]string {
	keys := map[int]string{}
	for _, s := range p.Sheets {
		for _, piece := range s.Pieces {
			keys[piece.Row] = ""
		}
	}
	for k, row := range slices.Sorted(maps.Keys(keys)) {
		keys[row] = keyLetters(k)
	}
	return keys
}

// keyLetters returns A to Z, then AA, AB and so on.
func keyLetters(n int) string {
	if n < 26 {
		return string(rune('A' + n))
	}
	return keyLetters(n/26-1) + string(rune('A'+n%26))
}

// tick is what one line of the list says: pieces of one row that lie one way.
type tick struct {
	engine.CutPiece
	numbers []int
}

// ticksOf returns what to tick off of a sheet, in the order of the cutting list.
func ticksOf(s engine.CutSheet) []*tick {
	var ticks []*tick
	for _, piece := range s.Pieces {
		same := func(t *tick) bool { return t.Row == piece.Row && t.Turned == piece.Turned }
		i := slices.IndexFunc(ticks, same)
		if i < 0 {
			i, ticks = len(ticks), append(ticks, &tick{CutPiece: piece})
		}
		ticks[i].numbers = append(ticks[i].numbers, piece.Number)
	}
	slices.SortStableFunc(ticks, func(a, b *tick) int { return a.Row - b.Row })
	return ticks
}

// printTicks prints what to tick off of a sheet, and what is left of it.
func printTicks(b sink, s engine.CutSheet, keys map[int]string) {
	ticks := ticksOf(s)
	keyW := widestOf(ticks, func(t *tick) string { return keys[t.Row] })
	for _, t := range ticks {
		size := sizeOf(t.Long, t.Wide)
		if t.Turned {
			size = sizeOf(t.Wide, t.Long) + ", turned"
		}
		lead := "  [ ] " + padRight(keys[t.Row], keyW) + "  "
		writeHanging(b, lead, fmt.Sprintf("%s %s  (%s)", t.Piece, runs(t.numbers), size), plain)
	}
	var rest []string
	for _, o := range s.Offcuts {
		rest = append(rest, sizeOf(o.Long, o.Wide))
	}
	if len(rest) > 0 {
		writeHanging(b, "      left over: ", strings.Join(rest, "; "), plain)
	}
}

// runs writes numbers as runs: 1 to 4, 7, 9 and 10.
func runs(numbers []int) string {
	slices.Sort(numbers)
	var parts []string
	for i := 0; i < len(numbers); {
		k := i
		for k+1 < len(numbers) && numbers[k+1] == numbers[k]+1 {
			k++
		}
		switch k - i {
		case 0:
			parts = append(parts, fmt.Sprint(numbers[i]))
		case 1:
			parts = append(parts, fmt.Sprint(numbers[i]), fmt.Sprint(numbers[k]))
		default:
			parts = append(parts, fmt.Sprintf("%d to %d", numbers[i], numbers[k]))
		}
		i = k + 1
	}
	return strings.Join(parts, ", ")
}
