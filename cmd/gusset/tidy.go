package main

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"

	"github.com/aymanbagabas/go-udiff"
	"github.com/spf13/cobra"

	"gusset/sheets/project"
	"gusset/sheets/text"
)

const tidyHelp = `Give sheets their one layout: names, units, marks, notes and the columns of
tables aligned. No value, formula or comment is changed. A line that cannot be
read stays as it is.

With - or no file, tidy what comes in and write it out. With --check nothing is
written; the differences are shown, and the exit status is 1 if there are any.`

func tidyCommand() *cobra.Command {
	check := false
	cmd := &cobra.Command{
		Use:               "tidy [FILE...]",
		Short:             "give sheets their one layout",
		Long:              tidyHelp,
		Example:           "  gusset tidy my-model.gusset\n  gusset tidy --check *.gusset",
		ValidArgsFunction: sheetFiles,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 && fromTerminal(cmd.InOrStdin()) {
				return oneSheetOrMore(cmd, args)
			}
			if len(args) == 0 {
				args = []string{"-"}
			}
			var untidy, faulty bool
			for _, file := range args {
				differs, err := tidyFile(cmd, file, check)
				if err != nil && !isTold(err) {
					return err
				}
				untidy, faulty = untidy || differs, faulty || err != nil
			}
			switch {
			case faulty:
				return &failure{status: sheetErrors}
			case check && untidy:
				return &failure{status: checkUnmet}
			}
			return nil
		},
	}
	cmd.Flags().BoolVar(&check, "check", false, "only show what would change")
	return cmd
}

// isTold reports whether an error is no more than the exit status of what has been told already.
func isTold(err error) bool {
	var f *failure
	return errors.As(err, &f) && f.err == nil
}

// tidyFile tidies one file, or standard input for -, and reports whether its layout was another.
func tidyFile(cmd *cobra.Command, file string, check bool) (differs bool, err error) {
	var faulty error
	tidied := func(data []byte) ([]byte, error) {
		f, diags := text.Parse(text.NewSource(project.Shown(file), data))
		if printDiags(cmd, diags, false) > 0 {
			faulty = &failure{status: sheetErrors}
			if refused(f) {
				return nil, faulty
			}
		}
		tidy := text.Format(f)
		differs = !bytes.Equal(data, tidy)
		return tidy, nil
	}
	if file != "-" && !check {
		err = asIOFailure(project.Edit(file, tidied))
		return differs, cmp.Or(err, faulty)
	}
	data, err := readAll(cmd, file)
	if err != nil {
		return false, err
	}
	tidy, err := tidied(data)
	switch {
	case err != nil:
	case !check:
		_, err = cmd.OutOrStdout().Write(tidy)
	case differs:
		name := project.Shown(file)
		fmt.Fprint(cmd.OutOrStdout(), recount(udiff.Unified(name, name+" (tidied)", string(data), string(tidy))))
	}
	return differs, cmp.Or(err, faulty)
}

// hunkHead matches the line that begins each piece of a unified diff.
var hunkHead = regexp.MustCompile(`(?m)^@@ -(\d+)(,\d+)? \+\d+(,\d+)? @@`)

// recount numbers the second file's lines anew: the diff package loses count of lines that stay the same inside
// a piece.
func recount(diff string) string {
	more := 0 // lines that the pieces so far add
	lines := func(s string) int {
		if s == "" {
			return 1 // left out when it is one
		}
		n, _ := strconv.Atoi(s[1:])
		return n
	}
	return hunkHead.ReplaceAllStringFunc(diff, func(head string) string {
		found := hunkHead.FindStringSubmatch(head)
		from, _ := strconv.Atoi(found[1])
		to := from + more
		more += lines(found[3]) - lines(found[2])
		return fmt.Sprintf("@@ -%d%s +%d%s @@", from, found[2], to, found[3])
	})
}

// refused reports whether a file could not be read as a sheet at all.
func refused(f *text.File) bool {
	return !slices.ContainsFunc(f.Nodes, func(n text.Node) bool {
		_, bad := n.(*text.Bad)
		return !bad
	})
}
