// Gusset works out a model aircraft from its calculation sheet. See the README.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"

	"github.com/spf13/cobra"

	"gusset/sheets/project"
	"gusset/sheets/text"
)

// The exit statuses.
const (
	allWell     = 0
	checkUnmet  = 1 // a check fails or has no result, under --strict; choose finds nothing that holds
	wrongUsage  = 2
	sheetErrors = 3
	fileTrouble = 4 // a file could not be read or written

	stoppedByHand = 130 // what was asked for was not finished, since Ctrl-C asked for what there was
)

// keptMemory is how much memory is used before what is no longer needed is collected more often: most sheets never get
// there.
const keptMemory = 150 << 20

func main() {
	endOnSignal()
	debug.SetGCPercent(400) // a run lasts milliseconds: memory is cheaper than collecting it
	debug.SetMemoryLimit(keptMemory)
	fitPage(os.Getenv("COLUMNS"), terminalWidth())
	fitLocale(os.Getenv)
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// endOnSignal makes every command end at once when it is told to, by Ctrl-C, by the system, or as its terminal is
// closed: with nothing half written. What ends it is still the signal, so that a shell that runs it in a loop ends the
// loop too. A signal that whoever started the program wants ignored is ignored.
func endOnSignal() {
	told := make(chan os.Signal, 1)
	for _, s := range []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP} {
		if !signal.Ignored(s) {
			signal.Notify(told, s)
		}
	}
	go func() {
		s := <-told
		for s == os.Interrupt && endings.interrupts() { // the work at hand ends by itself; the next one ends the program
			s = <-told
		}
		project.Abandon()
		endings.say()
		signal.Reset(s)
		if self, err := os.FindProcess(os.Getpid()); err == nil && self.Signal(s) == nil {
			select {} // until it arrives
		}
		n, _ := s.(syscall.Signal) // where a process cannot send itself one
		os.Exit(128 + int(n))
	}()
}

// failure is an error with the exit status that it leads to. A failure without a message has been told already.
type failure struct {
	status int
	err    error
}

func (f *failure) Error() string {
	if f.err == nil {
		return ""
	}
	return f.err.Error()
}

func (f *failure) Unwrap() error { return f.err }

// usage returns a failure for a call that cannot be meant so.
// What was typed is made visible in it: it may be the name of a file.
func usage(format string, args ...any) error {
	for i, a := range args {
		if s, ok := a.(string); ok {
			args[i] = text.Visible(s)
		}
	}
	return &failure{wrongUsage, fmt.Errorf(format, args...)}
}

// ioFailure returns a failure for a file that could not be read or written.
func ioFailure(err error) error { return &failure{fileTrouble, err} }

// run runs one command line and returns the exit status.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	root := rootCommand()
	root.SetArgs(args)
	root.SetIn(stdin)
	out := newOutput(stdout)
	root.SetOut(out)
	root.SetErr(&messages{*newOutput(stderr), out})
	err := execute(root, out)
	if err == nil {
		return allWell
	}
	f := &failure{fileTrouble, err}
	var file *project.Error
	if !errors.As(err, &f) && !errors.As(err, &file) { // cobra's own
		fmt.Fprintf(stderr, "%v\ngusset --help shows what there is\n", err)
		return wrongUsage
	}
	if f.err != nil {
		fmt.Fprintln(stderr, f.err)
	}
	return f.status
}

const rootHelp = `Gusset works out a model aircraft from one plain-text sheet. You put in what
you measured off the plan; out come weight, balance, strength, power, handling
and what to buy, each number explained.

To begin
  gusset new my-model.gusset --from powered   starts a sheet, with a sample value for each of yours
  gusset fill my-model.gusset                 asks for your figures, one after the other
  gusset show my-model.gusset --brief         shows what comes of them

Exit status: 0 all well; 1 a check fails or has no result (with --strict), or
choose finds nothing that holds; 2 wrong usage; 3 the sheet has errors; 4 a
file could not be read or written; ended by a signal, 128 and its number: 130
by Ctrl-C, 143 by the system, 129 as its terminal was closed.`

func rootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:           "gusset",
		Short:         "Work out a model aircraft from its calculation sheet",
		Long:          rootHelp,
		Version:       version(),
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          noCommand,
		RunE:          func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	root.SetFlagErrorFunc(wrongFlag)
	root.SetVersionTemplate("gusset {{.Version}}\n")
	root.SetHelpFunc(printHelp)
	cobra.EnableCommandSorting = false // the help has the order in which a builder comes to them
	root.CompletionOptions.DisableDefaultCmd = true
	root.AddGroup(helpGroups()...)
	addCommands(root, groupStart, newCommand(), fillCommand(), tidyCommand())
	addCommands(root, groupWork, showCommand(), watchCommand())
	addCommands(root, groupAsk, whyCommand(), oddsCommand(), compareCommand(), changesCommand(), rippleCommand(),
		chooseCommand(), cutCommand())
	addCommands(root, groupHandOn, reportCommand(), exportCommand(), importCommand())
	addCommands(root, groupLookUp, libraryCommand(), unitsCommand(), completionCommand(root))
	return root
}

// version returns the module's version, or the commit that the program was built from.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "of an unknown version"
	}
	v := info.Main.Version
	if v == "" || v == "(devel)" {
		v = "built from source"
	}
	return v + ", " + info.GoVersion
}
