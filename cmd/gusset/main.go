// Gusset works out a model aircraft from its calculation sheet. See the README.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"

	"github.com/spf13/cobra"
)

// The exit statuses.
const (
	allWell     = 0
	checkUnmet  = 1 // a check fails or has no result, under --strict
	wrongUsage  = 2
	sheetErrors = 3
	fileTrouble = 4 // a file could not be read or written
)

func main() {
	debug.SetGCPercent(400) // a run lasts milliseconds: memory is cheaper than collecting it
	fitPage(os.Getenv("COLUMNS"))
	fitLocale(os.Getenv)
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
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
func usage(format string, args ...any) error {
	return &failure{wrongUsage, fmt.Errorf(format, args...)}
}

// trouble returns a failure for a file that could not be read or written.
func trouble(err error) error { return &failure{fileTrouble, err} }

// run runs one command line and returns the exit status.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	root := rootCommand()
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := root.Execute()
	if err == nil {
		return allWell
	}
	var f *failure
	if !errors.As(err, &f) { // cobra's own
		fmt.Fprintf(stderr, "%v\ngusset --help shows what there is\n", err)
		return wrongUsage
	}
	if f.err != nil {
		fmt.Fprintln(stderr, f.err)
	}
	return f.status
}

const rootHelp = `Gusset works out a model aircraft from one plain-text sheet. You put in what you measured off the
plan; out come weight, balance, strength, power, handling and what to buy, each number explained.

Exit status: 0 all well; 1 a check fails or has no result (with --strict); 2 wrong usage; 3 the sheet
has errors; 4 a file could not be read or written.`

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
	addCommands(root, groupStart, newCommand(), tidyCommand())
	addCommands(root, groupWork, showCommand(), watchCommand())
	addCommands(root, groupAsk, whyCommand(), compareCommand(), rippleCommand())
	addCommands(root, groupHandOn, exportCommand(), importCommand())
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
