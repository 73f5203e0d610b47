package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
)

// The groups of commands, in the order in which a builder comes to them.
const (
	groupStart  = "start"
	groupWork   = "work"
	groupAsk    = "ask"
	groupHandOn = "hand"
	groupLookUp = "look"
)

func helpGroups() []*cobra.Group {
	return []*cobra.Group{
		{ID: groupStart, Title: "Start a sheet, and keep it in order"},
		{ID: groupWork, Title: "Work it out"},
		{ID: groupAsk, Title: "Ask about it"},
		{ID: groupHandOn, Title: "Hand it on"},
		{ID: groupLookUp, Title: "Look things up"},
	}
}

// helpWidth is how many columns options take: those of the narrowest terminal that is common.
const helpWidth = 80

// addCommands adds commands to the root, as one group of its help.
func addCommands(root *cobra.Command, group string, commands ...*cobra.Command) {
	for _, c := range commands {
		c.GroupID = group
		root.AddCommand(c)
	}
}

// printHelp prints what a command is for, examples of it, and its options; for the root, the commands by group.
func printHelp(cmd *cobra.Command, _ []string) {
	out := cmd.OutOrStdout()
	fmt.Fprintf(out, "%s\n", strings.TrimSpace(cmd.Long))
	if !cmd.HasParent() {
		printGroups(out, cmd)
		return
	}
	fmt.Fprintf(out, "\nUsage\n  %s\n", strings.Replace(cmd.UseLine(), "[flags]", "[options]", 1))
	fmt.Fprintf(out, "\nFor example\n%s\n", cmd.Example)
	if options := cmd.LocalFlags().FlagUsagesWrapped(helpWidth); options != "" {
		fmt.Fprintf(out, "\nOptions\n%s", options)
	}
}

func printGroups(out io.Writer, root *cobra.Command) {
	for _, g := range root.Groups() {
		fmt.Fprintf(out, "\n%s\n", g.Title)
		for _, c := range root.Commands() {
			if c.GroupID == g.ID && !c.Hidden {
				example, _, _ := strings.Cut(strings.TrimSpace(c.Example), "\n")
				fmt.Fprintf(out, "  %-10s  %s\n              %s\n", c.Name(), c.Short, example)
			}
		}
	}
	fmt.Fprint(out, "\ngusset COMMAND --help says more about a command, gusset --version which one this is.\n")
}

const completionHelp = `Print a script that lets a shell complete what you type: commands, sheets, and
the names in a sheet. The shell reads it when it starts; where it looks for
such scripts is written in its own manual.`

// completionCommand takes the place of cobra's own, whose help is not in our words.
func completionCommand(root *cobra.Command) *cobra.Command {
	scripts := map[string]func(io.Writer) error{
		"bash":       func(w io.Writer) error { return root.GenBashCompletionV2(w, true) },
		"zsh":        root.GenZshCompletion,
		"fish":       func(w io.Writer) error { return root.GenFishCompletion(w, true) },
		"powershell": root.GenPowerShellCompletionWithDesc,
	}
	shells := []string{"bash", "zsh", "fish", "powershell"}
	return &cobra.Command{
		Use:   "completion SHELL",
		Short: "print a script that completes commands and names in your shell",
		Long:  completionHelp + "\n\nSHELL is bash, zsh, fish or powershell.",
		Example: "  gusset completion bash > ~/.local/share/bash-completion/completions/gusset\n" +
			"  gusset completion fish > ~/.config/fish/completions/gusset.fish",
		ValidArgs:             shells,
		DisableFlagsInUseLine: true,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 || scripts[args[0]] == nil {
				return usage("which shell? bash, zsh, fish or powershell. For example: gusset completion bash")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error { return scripts[args[0]](cmd.OutOrStdout()) },
	}
}
