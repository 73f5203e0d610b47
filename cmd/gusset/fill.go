package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"gusset/sheets/fill"
	"gusset/sheets/project"
	"gusset/sheets/report"
	"gusset/sheets/text"
)

const fillHelp = `Ask for what is still empty in a sheet, then for what is still a guess, one
value after the other, with the note on how to measure it. What a check or a
chief result needs comes first, also from the sheets that it uses; chief results
are the worked cells of the page "At a glance". Of these guesses the one that
makes most of the doubt in a chief result is asked first: see gusset odds.

NAME asks for a cell, a table, a column or a row instead. Of a column too what
makes most of the doubt in a chief result comes first; where nothing tells, the
largest that the sheet takes so far. A column's name alone stands for it in all
tables of the sheet: weighed. Next, gusset show --brief shows what comes of it.

Answer as in the sheet: 8-1/4, 155 g ± 1, 46 ? for a guess; quotes may be left
out. Choices go by their number or their beginning. Each answer is written at
once, and no other line is touched.
  Enter     leaves it as it is        ok   confirms a guess
  <         goes back                 .    ends, as Ctrl-C does
  + NAME    adds a row to the table that is asked for
  + NAME like ROW   adds one as that ROW is
  NAME : VALUE   sets any given value
A choice that is not a row yet of the table it is chosen from can be added.

From a pipe each line is an answer. One that cannot be taken ends it, with
status 3.`

type fillOptions struct{ page string }

func fillCommand() *cobra.Command {
	var o fillOptions
	cmd := &cobra.Command{
		Use:   "fill FILE [NAME...]",
		Short: "ask for what is missing, and write it into the sheet",
		Long:  fillHelp,
		Example: "  gusset fill my-model.gusset\n  gusset fill my-model.gusset weighed\n" +
			"  gusset fill my-model.gusset --page Wing\n  gusset fill my-model.gusset < measured.txt",
		Args:              oneSheetOrMore,
		ValidArgsFunction: sheetThen(givenNames),
		RunE:              func(cmd *cobra.Command, args []string) error { return fillIn(cmd, args[0], args[1:], o) },
	}
	cmd.Flags().StringVarP(&o.page, "page", "p", "", "ask only for what is on this `PAGE`")
	return cmd
}

func fillIn(cmd *cobra.Command, file string, names []string, o fillOptions) error {
	s, err := fill.Open(file, names, o.page)
	if err != nil {
		return unfilled(file, err)
	}
	if o.page != "" {
		if _, err := choosePages(report.Of(s.Model()), file, []string{o.page}); err != nil {
			return err
		}
	}
	queue := s.Queue()
	d := &filling{Session: s, cmd: cmd, b: printed(cmd), file: file, page: "\x00", others: len(names) > 0}
	d.lines = newLines(cmd)
	defer atSignal(nil)
	needed := 0
	for _, v := range queue {
		if v.Wanted {
			needed++
		}
	}
	fmt.Fprintln(d.b, paint.heading(s.Model().Title()))
	if len(queue) > 0 {
		writeHanging(d.b, "", fmt.Sprintf("To ask: %s, of which a check or a chief result needs %d. Enter leaves one as "+
			"it is, ok confirms a guess, < goes back, . ends; a choice goes by its number or its beginning",
			report.Count(len(queue), "value"), needed), paint.faint)
	}
	return d.run()
}

// unfilled tells why a sheet cannot be filled in.
func unfilled(file string, err error) error {
	var in *project.Error
	var named *fill.NameError
	switch {
	case errors.As(err, &in):
		return err
	case errors.As(err, &named):
		return usage("%v", err)
	}
	return &failure{sheetErrors, fmt.Errorf("%w\n%s has mistakes, so nothing is asked", err, project.Shown(file))}
}

// lineReader is where answers come from.
type lineReader interface {
	// read returns the next line; io.EOF when there are no more, or when the builder ends it.
	read(prompt string, options []string) (string, error)
	pipe() bool // a line that cannot be taken ends it
}

// filling is the filling in of a sheet on the command line.
type filling struct {
	*fill.Session
	cmd    *cobra.Command
	b      sink
	lines  lineReader
	file   string
	page   string   // that the last question was on, with its file
	others bool     // it has been said that nothing needs what follows, or names were given
	shown  []string // the choices that were listed last
	note   string   // that was shown last
	count  int      // lines read
}

// run asks until nothing is left, or the builder ends it.
func (d *filling) run() error {
	for {
		atSignal(func() string { return "\n" + d.closing() + "\n" + d.nextStep() })
		q, asking := d.Question()
		prompt := ""
		if asking {
			prompt = d.ask(q)
		} else if !d.lines.pipe() {
			d.b.WriteString("\nNothing is left to ask\n")
			break
		}
		d.cmd.OutOrStdout().(*output).again()
		line, err := d.lines.read(prompt, q.Options)
		if errors.Is(err, io.EOF) && d.lines.pipe() && q.Waits() {
			return d.stopped(&failure{sheetErrors, fmt.Errorf("%q is not written: the answer yes, to add it to %s, is missing",
				q.NewRow, q.Table)})
		}
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return ioFailure(err)
		}
		if d.count++; !asking && strings.TrimSpace(line) == "" {
			continue
		}
		r := d.Take(line)
		if r.End {
			break
		}
		if err := d.tell(r); err != nil {
			return d.stopped(err)
		}
	}
	writeHanging(d.b, "", d.closing(), plain)
	d.b.WriteString(d.nextStep() + "\n")
	return nil
}

// stopped says where a line that cannot be taken has ended it.
func (d *filling) stopped(err error) error {
	writeHanging(d.b, "", fmt.Sprintf("Stopped at line %d. %s", d.count, d.closing()), plain)
	return err
}

// closing says what has been written, and what is left.
func (d *filling) closing() string {
	needed, others := d.Left()
	return fmt.Sprintf("Written: %s. Left: %d that a check or a chief result needs, %s", d.Written(), needed,
		report.Count(others, "other"))
}

// nextStep says what to do next.
func (d *filling) nextStep() string {
	steps := []string{fmt.Sprintf("gusset show %s --brief shows what comes of it", typed(d.file))}
	if needed, _ := d.Left(); needed > 0 {
		steps = append(steps, fmt.Sprintf("gusset fill %s goes on with what is left", typed(d.file)))
	}
	return next(steps...)
}

// ask prints a question, and returns what is before its answer.
func (d *filling) ask(q fill.Question) string {
	d.b.WriteString("\n")
	switch q.Kind {
	case fill.AskName:
		fmt.Fprintf(d.b, "  A new row of %s\n", paint.name(q.Table))
		return "    its name > "
	case fill.AskRow:
		asked := fmt.Sprintf("%s is not a row of %s yet; add it there?", strconv.Quote(q.NewRow), q.Table)
		if q.Near != "" {
			asked = fmt.Sprintf("%s is not a row of %s yet, but %s is; add it there?", strconv.Quote(q.NewRow), q.Table,
				strconv.Quote(q.Near))
		}
		writeHanging(d.b, "  ", asked, plain)
		return "    yes or no > "
	}
	if !q.Wanted && !d.others {
		writeHanging(d.b, "", "No check and no chief result needs what follows; . ends it here", paint.faint)
	}
	d.others = d.others || !q.Wanted
	if page := strings.TrimSpace(q.Page + "  " + q.File); page != d.page {
		d.page = page
		if page != "" {
			fmt.Fprintln(d.b, paint.heading(page))
		}
	}
	note := q.HowTo
	if note == d.note { // as down a column: it is just above
		note = ""
	}
	d.note = q.HowTo
	writeNote(d.b, "  "+report.Label(paint.name(q.Name), q.Unit)+"  ", note)
	d.list(q.Options)
	now := report.Show(q.Value)
	switch {
	case now.State == report.NotGiven && q.Takes != "":
		return fmt.Sprintf("    not given, %s so far > ", q.Takes)
	case now.State == report.NotGiven:
		return "    not given > "
	}
	return "    " + now.String() + " > "
}

const (
	optionsListed = 60 // how many choices are all listed
	optionsAgain  = 10 // how many are listed once more where they were the last ones listed
)

// list lists choices by number, unless they are those that were listed last.
func (d *filling) list(choices []string) {
	switch {
	case len(choices) == 0:
		return
	case len(choices) > optionsAgain && slices.Equal(choices, d.shown):
		writeHanging(d.b, "    ", fmt.Sprintf("%d choices, as above", len(choices)), paint.faint)
		return
	}
	d.shown = choices
	var numbered []string
	for i, c := range choices {
		numbered = append(numbered, fmt.Sprintf("%d %s", i+1, c))
		if i == optionsListed {
			numbered = append(numbered[:i], fmt.Sprintf("and %d more", len(choices)-i))
			break
		}
	}
	writeHanging(d.b, "    ", strings.Join(numbered, ", "), paint.faint)
}

// tell prints what became of a line. It returns an error where that ends the command.
func (d *filling) tell(r fill.Reply) error {
	for _, said := range r.Said {
		writeHanging(d.b, "    ", said, paint.faint)
	}
	var file *project.Error
	switch {
	case errors.As(r.Wrong, &file):
		return r.Wrong
	case r.Wrong != nil && d.lines.pipe():
		return &failure{sheetErrors, r.Wrong}
	case r.Wrong != nil:
		said := r.Wrong.Error()
		if mistake := (text.Diag{}); errors.As(r.Wrong, &mistake) {
			said = mistake.InColumns(pageWidth - 4)
		}
		for line := range strings.SplitSeq(said, "\n") {
			d.b.WriteString("    " + paint.bad(line) + "\n")
		}
	case len(r.Moves) > 0:
		writeHanging(d.b, "    ", movesInLine(r), plain)
	case r.Settled:
		writeHanging(d.b, "    ", "confirmed", paint.faint)
	case r.Wrote && r.Others > 0:
		writeHanging(d.b, "    ", fmt.Sprintf("written; %s moved, no check and no chief result",
			report.Count(r.Others, "value")), paint.faint)
	case r.Wrote && r.Others == 0:
		writeHanging(d.b, "    ", "written; nothing else moved", paint.faint)
	case r.Wrote:
		writeHanging(d.b, "    ", "written", paint.faint)
	}
	return nil
}

// movesInLine says what an answer moved, in about two lines.
func movesInLine(r fill.Reply) string {
	said := ""
	for i, m := range r.Moves {
		part := m.Name + " "
		if s := report.Show(m.Value); m.IsCheck {
			part += s.Marks.After(s.State.Now())
		} else {
			part += report.ChangeOf(m).String()
		}
		if i > 0 && widthOf(said)+widthOf(part) > 2*(pageWidth-4)-20 {
			return said + fmt.Sprintf("; and %d more", len(r.Moves)-i)
		}
		if i > 0 {
			said += "; "
		}
		said += part
	}
	return said
}
