package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"gusset/library"
	"gusset/sheets/project"
	"gusset/sheets/text"
)

const newHelp = `Start a sheet. It holds the inputs that a builder needs, each with a note on how to measure it,
and works out what can be worked out as they are filled in. A starter that uses another sheet, such
as the rack of stock, brings it along. A file that is there already is left alone.`

func newCommand() *cobra.Command {
	from := ""
	cmd := &cobra.Command{
		Use:               "new FILE [--from STARTER]",
		Short:             "start a sheet",
		Long:              newHelp + "\n\nStarters: " + strings.Join(starterNames(), ", "),
		Example:           "  gusset new my-model.gusset",
		Args:              oneNewFile,
		ValidArgsFunction: sheetFiles,
		RunE: func(cmd *cobra.Command, args []string) error {
			return startSheet(cmd, args[0], from)
		},
	}
	cmd.Flags().StringVar(&from, "from", "blank", "the `STARTER` to begin from")
	cmd.RegisterFlagCompletionFunc("from", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return starterNames(), cobra.ShellCompDirectiveNoFileComp
	})
	return cmd
}

// starterNames returns the names of the starters, in order.
func starterNames() []string {
	files, err := fs.Glob(library.Starters(), "*.gusset")
	if err != nil {
		return nil
	}
	for i, f := range files {
		files[i] = strings.TrimSuffix(f, ".gusset")
	}
	return files
}

func startSheet(cmd *cobra.Command, file, from string) error {
	data, err := fs.ReadFile(library.Starters(), from+".gusset")
	if err != nil {
		return usage("there is no starter %s; there is %s", from, strings.Join(starterNames(), ", "))
	}
	if filepath.Ext(file) == "" {
		file += ".gusset"
	}
	data = withTitle(data, titleFrom(file))
	if err := project.Create(file, data); err != nil {
		return trouble(err)
	}
	fmt.Fprintf(
		cmd.OutOrStdout(), "%s is ready to fill in; gusset show %s works it out\n", project.Shown(file),
		typed(file),
	)
	for _, used := range usedBy(data) {
		if err := bringAlong(cmd, filepath.Join(filepath.Dir(file), used), used); err != nil {
			return err
		}
	}
	return nil
}

// usedBy returns the files that a starter uses, which are starters themselves.
func usedBy(data []byte) []string {
	var used []string
	f, _ := text.Parse(text.NewSource("starter", data))
	for _, n := range f.Nodes {
		if u, ok := n.(*text.Use); ok {
			used = append(used, u.Path.Text)
		}
	}
	return used
}

// bringAlong writes a sheet that a new one uses, unless it is there.
func bringAlong(cmd *cobra.Command, file, starter string) error {
	if _, err := os.Stat(file); err == nil {
		fmt.Fprintf(cmd.OutOrStdout(), "it uses %s, which is there\n", project.Shown(file))
		return nil
	}
	data, err := fs.ReadFile(library.Starters(), starter)
	if err != nil {
		return trouble(err)
	}
	if err := project.Create(file, data); err != nil {
		return trouble(err)
	}
	fmt.Fprintf(cmd.OutOrStdout(), "it uses %s, which came with it: put your own figures there too\n", project.Shown(file))
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

// withTitle returns a starter with its title replaced.
func withTitle(data []byte, title string) []byte {
	f, _ := text.Parse(text.NewSource("starter", data))
	for _, n := range f.Nodes {
		if t, ok := n.(*text.Title); ok {
			at := t.Name.Span
			return []byte(string(data[:at.Start]) + text.Quote(title) + string(data[at.End:]))
		}
	}
	return data
}
