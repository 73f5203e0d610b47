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
)

const newHelp = `Start a sheet. It holds the inputs that a builder needs, each with a note on how to measure it,
and works out what can be worked out as they are filled in. A starter that uses another sheet, such
as the rack of stock, brings it along. A file that is there already is left alone.`

func newCommand() *cobra.Command {
	from := ""
	cmd := &cobra.Command{
		Use:               "new FILE [--from STARTER]",
		Short:             "start a sheet",
		Long:              newHelp + "\n\nStarters: " + strings.Join(library.StarterNames(), ", "),
		Example:           "  gusset new my-model.gusset",
		Args:              oneNewFile,
		ValidArgsFunction: sheetFiles,
		RunE: func(cmd *cobra.Command, args []string) error {
			return startSheet(cmd, args[0], from)
		},
	}
	cmd.Flags().StringVar(&from, "from", "blank", "the `STARTER` to begin from")
	cmd.RegisterFlagCompletionFunc("from", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return library.StarterNames(), cobra.ShellCompDirectiveNoFileComp
	})
	return cmd
}

func startSheet(cmd *cobra.Command, file, from string) error {
	if !slices.Contains(library.StarterNames(), from) {
		return usage("there is no starter %s; there is %s", from, strings.Join(library.StarterNames(), ", "))
	}
	if filepath.Ext(file) == "" {
		file += ".gusset"
	}
	data, uses := library.Starter(from, titleFrom(file))
	if err := project.Create(file, data); err != nil {
		return trouble(err)
	}
	out := cmd.OutOrStdout()
	fmt.Fprintf(out, "%s is ready to fill in; gusset show %s works it out\n", project.Shown(file), typed(file))
	for _, used := range uses {
		beside := filepath.Join(filepath.Dir(file), used)
		if _, err := os.Stat(beside); err == nil {
			fmt.Fprintf(out, "it uses %s, which is there\n", project.Shown(beside))
			continue
		}
		data, _ := library.Starter(strings.TrimSuffix(used, ".gusset"), "")
		if err := project.Create(beside, data); err != nil {
			return trouble(err)
		}
		fmt.Fprintf(out, "it uses %s, which came with it: put your own figures there too\n", project.Shown(beside))
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
