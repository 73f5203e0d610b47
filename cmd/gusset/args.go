package main

import (
	"errors"
	"os"
	"regexp"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"golang.org/x/term"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/project"
	"gusset/units/nearest"
)

// What is said when a command is called with too few, too many or other things than it takes.

// exampleSheet is the name in examples for the builder's own sheet.
const exampleSheet = "my-model.gusset"

// typed returns a file's name as it is typed on a command line.
func typed(file string) string { return project.Typed(file) }

// noCommand is for the program itself, which takes nothing but commands.
func noCommand(root *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	if project.IsSheet(args[0]) {
		return usage("what is to be done with %s? For example: gusset show %s", args[0], typed(args[0]))
	}
	var names []string
	for _, c := range root.Commands() {
		names = append(names, c.Name())
	}
	hint := "gusset --help shows what there is"
	if near, ok := nearest.Word(args[0], names); ok {
		hint = "is it gusset " + near + "?"
	}
	return usage("there is no command %s; %s", args[0], hint)
}

// oneSheetOrMore is for commands that take sheets.
func oneSheetOrMore(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return usage("which sheet? For example: gusset %s %s", cmd.Name(), exampleSheet)
	}
	return nil
}

// oneSheet is for commands that take one sheet.
func oneSheet(cmd *cobra.Command, args []string) error {
	if len(args) > 1 {
		return usage("one sheet at a time; a name with a space in it goes in quotes: gusset %s %s", cmd.Name(),
			typed(strings.Join(args, " ")))
	}
	return oneSheetOrMore(cmd, args)
}

// oneNewFile is for new.
func oneNewFile(cmd *cobra.Command, args []string) error {
	switch {
	case len(args) == 0:
		return usage("what is the sheet to be called? For example: gusset new %s", exampleSheet)
	case len(args) == 2 && slices.Contains(library.StarterNames(), args[1]):
		return usage("one sheet at a time; to begin from the starter %s: gusset new %s --from %s", args[1],
			typed(args[0]), args[1])
	}
	return oneSheet(cmd, args)
}

// sheetAndName is for why.
func sheetAndName(_ *cobra.Command, args []string) error {
	switch {
	case len(args) == 2 && project.IsSheet(args[1]) && !project.IsSheet(args[0]):
		return usage("the sheet comes first: gusset why %s %s", typed(args[1]), args[0])
	case len(args) == 2:
		return nil
	case len(args) > 2:
		return usage(`one name at a time; one with a space in it goes in quotes: `+
			`gusset why %s 'parts["motor and mount"].weight'`, typed(args[0]))
	case len(args) == 1 && project.IsSheet(args[0]):
		return usage("which number? For example: gusset why %s cg", typed(args[0]))
	}
	return usage("which sheet, and which number? For example: gusset why %s cg", exampleSheet)
}

// flagName matches a flag in the list that a command's help gives.
var flagName = regexp.MustCompile(`(?m)^ +(?:-\w, )?--([a-z]+)`)

// numberWanted is what flags with numbers take, by the kind of number.
var numberWanted = map[string]string{"int": "a whole number", "uint64": "a whole number from 0 up"}

// wrongFlag tells what is wrong with the flags of a command, and of the flag that was meant.
func wrongFlag(cmd *cobra.Command, err error) error {
	hint := cmd.CommandPath() + " --help shows what there is"
	var value *pflag.InvalidValueError
	if errors.As(err, &value) {
		if want := numberWanted[value.GetFlag().Value.Type()]; want != "" {
			name := value.GetFlag().Name
			return usage("--%s=%s: --%s takes %s, such as --%s=3; %s", name, value.GetValue(), name, want, name, hint)
		}
	}
	var unknown *pflag.NotExistError
	if errors.As(err, &unknown) && unknown.GetSpecifiedShortnames() == "" {
		name := unknown.GetSpecifiedName()
		var names []string
		for _, found := range flagName.FindAllStringSubmatch(cmd.LocalFlags().FlagUsages(), -1) {
			names = append(names, found[1])
		}
		if near, ok := nearest.Word(name, names); ok {
			hint = "is it --" + near + "?"
		}
	}
	return usage("%v; %s", err, hint)
}

// notExplained tells why a name has no explanation: it may be that of a page.
func notExplained(m *engine.Model, file, name string, err error) error {
	for _, p := range m.Outline() {
		if strings.EqualFold(p.Name, name) {
			return usage("%s is a page; gusset show %s --page %s shows it", p.Name, typed(file), typed(p.Name))
		}
	}
	return usage("%v", err)
}

// fromTerminal reports whether in is somebody's keyboard.
func fromTerminal(in any) bool {
	f, ok := in.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}
