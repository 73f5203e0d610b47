package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"gusset/library"
	"gusset/sheets/project"
	"gusset/sheets/report"
	"gusset/sheets/text"
)

const newHelp = `Start a sheet. It holds the inputs that a builder needs, each with a note on
how to measure it, and works out what can be worked out as they are filled in.
A starter that uses another sheet, such as the rack of stock, brings it along.
A file that is there already is left alone.

Next, gusset fill asks for your figures, and gusset show --brief shows what
comes of them.

--with adds pages that go further, also to a sheet that is there already: each
goes to its place, and no other line is touched. --list tells what there is.`

// newOptions are what new is told.
type newOptions struct {
	from   string
	with   []string
	list   bool
	metric bool
}

func newCommand() *cobra.Command {
	var opt newOptions
	cmd := &cobra.Command{
		Use:   "new FILE [--from STARTER] [--with PAGE,...]",
		Short: "start a sheet, or add a page to one",
		Long:  newHelp + "\n\nStarters: " + strings.Join(library.StarterNames(), ", "),
		Example: "  gusset new my-model.gusset --from powered\n" +
			"  gusset new my-model.gusset --from powered --with \"Motor wanted\"\n" +
			"  gusset new my-model.gusset --from powered --metric",
		ValidArgsFunction: sheetFiles,
		Args: func(cmd *cobra.Command, args []string) error {
			if opt.list && len(args) == 0 {
				return nil
			}
			return oneNewFile(cmd, args)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if opt.list {
				listStarters(cmd, opt)
				return nil
			}
			return startSheet(cmd, args[0], opt)
		},
	}
	cmd.Flags().StringVar(&opt.from, "from", blankStarter, "the `STARTER` to begin from")
	cmd.Flags().StringSliceVar(&opt.with, "with", nil, "add these `PAGES`, with commas between them")
	cmd.Flags().BoolVar(&opt.list, "list", false, "list the starters, and the pages that go with each")
	cmd.Flags().BoolVar(&opt.metric, "metric", false, "millimetres, grams and metric stock")
	completeFlag(cmd, "from", func([]string) []string { return library.StarterNames() })
	completeFlag(cmd, "with", func([]string) []string { return pagesOfAll(false) })
	return cmd
}

// blankStarter is begun from where nothing else is asked for.
const blankStarter = "blank"

// listStarters prints the starters with their pages, a line each.
func listStarters(cmd *cobra.Command, opt newOptions) {
	for _, name := range library.StarterNames() {
		data, _ := library.Starter(library.StarterPath(name, opt.metric), "")
		f, _ := text.Parse(text.NewSource("starter", data))
		about := report.FirstSentence(f.About()) + ". Also with --metric."
		fmt.Fprintf(cmd.OutOrStdout(), "%-12s  %s\n", name, about)
		for _, p := range pagesFor(name, opt.metric) {
			fmt.Fprintf(cmd.OutOrStdout(), "  with %-20s  %s\n", p.Name, p.About)
		}
	}
}

func startSheet(cmd *cobra.Command, file string, opt newOptions) error {
	if filepath.Ext(file) == "" {
		file += ".gusset"
	}
	var pages []library.StarterPage
	if len(opt.with) > 0 {
		sheet, err := project.Read(file)
		isThere := err == nil
		if pages, opt.from, err = opt.pages(sheet, isThere, cmd.Flags().Changed("from")); err != nil {
			return err
		}
		if isThere {
			return addPages(cmd, file, pages)
		}
	}
	if names := library.StarterNames(); !slices.Contains(names, opt.from) {
		return usage("there is no starter %s; there is %s", opt.from, strings.Join(names, ", "))
	}
	data, uses := library.Starter(library.StarterPath(opt.from, opt.metric), titleFrom(file))
	for _, p := range pages {
		var err error
		if data, err = withPage(data, p); err != nil {
			return ioFailure(err)
		}
	}
	mistakes, err := suitsFolder(file, data, uses, opt)
	if err != nil {
		return err
	}
	if err := project.Create(file, data); err != nil {
		return ioFailure(err)
	}
	fmt.Fprintf(cmd.OutOrStdout(), "%s is ready to fill in\n", project.Shown(file))
	if err := bringAlong(cmd, filepath.Dir(file), uses, opt.metric); err != nil {
		return err
	}
	if mistakes > 0 {
		fmt.Fprintf(cmd.OutOrStdout(), "it does not suit what is there yet: gusset show %s names %s\n", typed(file),
			report.Count(mistakes, "mistake"))
	}
	sayNext(cmd, "fill "+typed(file), file)
	return nil
}

// suitsFolder reports where a sheet that a new one uses is in its folder already and measures otherwise: in inches for
// a metric sheet, or in millimetres for one in inches. It returns how many mistakes come of any other, whose rows may
// have other names.
func suitsFolder(file string, data []byte, uses []string, opt newOptions) (mistakes int, err error) {
	if _, err := os.Stat(file); err == nil {
		return 0, nil // which is reported when it is to be made
	}
	sheet, err := project.LoadInstead(file, project.Real(file), data)
	if err != nil || len(sheet.Model.Mistakes()) == 0 {
		return 0, nil // what cannot be read is reported by the first command that needs it
	}
	for _, used := range uses {
		beside := filepath.Join(filepath.Dir(file), used)
		if there, err := project.Read(beside); err == nil && isMetric(there) != opt.metric {
			way := "with --metric"
			if opt.metric {
				way = "without --metric"
			}
			return 0, ioFailure(fmt.Errorf("%s is there already and measures otherwise: %s; nothing is written\n"+
				"    hint: start the sheet in a folder of its own, or %s", project.Shown(beside),
				sheet.Model.Mistakes()[0].Msg, way))
		} else if err == nil {
			mistakes = len(sheet.Model.Mistakes())
		}
	}
	return mistakes, nil
}

// sayNext says what comes next for a sheet: how its values are asked for, and how its chief results are shown.
func sayNext(cmd *cobra.Command, fill, file string) {
	fmt.Fprintln(cmd.OutOrStdout(), next(fmt.Sprintf("gusset %s asks for your figures, one after the other", fill),
		fmt.Sprintf("gusset show %s --brief shows what comes of them", typed(file))))
}

// next says what may be done next. Each is on one line, so that the command can be copied.
func next(steps ...string) string { return "Next: " + strings.Join(steps, "\n      ") }

// bringAlong writes the sheets that a new one uses, and those that they use, unless they are there.
func bringAlong(cmd *cobra.Command, folder string, uses []string, metric bool) error {
	out := cmd.OutOrStdout()
	for _, used := range uses {
		beside := filepath.Join(folder, used)
		if _, err := os.Stat(beside); err == nil {
			fmt.Fprintf(out, "it uses %s, which is there\n", project.Shown(beside))
			continue
		}
		data, more := library.Starter(library.StarterPath(strings.TrimSuffix(used, ".gusset"), metric), "")
		if err := project.Create(beside, data); err != nil {
			return ioFailure(err)
		}
		fmt.Fprintf(out, "it uses %s, which came with it: put your own figures there too\n", project.Shown(beside))
		if err := bringAlong(cmd, folder, more, metric); err != nil {
			return err
		}
	}
	return nil
}

// titleFrom makes a title from a file's name: marsh-tern-50.gusset gives Marsh tern 50.
func titleFrom(file string) string {
	name := project.Shown(strings.TrimSuffix(filepath.Base(file), filepath.Ext(file)))
	name = strings.Join(strings.FieldsFunc(name, func(r rune) bool { return r == '-' || r == '_' || r == ' ' }), " ")
	first, size := utf8.DecodeRuneInString(name)
	if size == 0 {
		return "New model"
	}
	return string(unicode.ToUpper(first)) + name[size:]
}
