package main

import (
	"fmt"
	"maps"
	"slices"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/report"
	"gusset/sheets/text"
)

// writeChoice puts one of the combinations that are shown into the sheets that its values are in. Only what changes is
// written; a value that is a guess stays one.
func writeChoice(cmd *cobra.Command, sheet *project.Sheet, file string, a engine.ChooseAnswer, wrong report.Wrong,
	o chooseOptions,
) error {
	list := shownList(a, o)
	switch {
	case wrong.Mistakes > 0:
		return &failure{sheetErrors, fmt.Errorf("%s has mistakes, so nothing is written", project.Shown(file))}
	case a.Stopped:
		return &failure{stoppedByHand, fmt.Errorf("not all combinations were tried, so nothing is written")}
	case len(list) == 0:
		return &failure{checkUnmet, fmt.Errorf("nothing holds, so nothing is written")}
	case o.write > len(list):
		return usage("--write=%d: %s shown", o.write, report.Count(len(list), "combination"))
	}
	c := list[o.write-1]
	targets := map[string][]engine.Target{}
	for i, set := range c.Settings {
		if c.Changed[i] {
			t, err := sheet.Model.Target(set)
			if err != nil {
				return usage("%s", err.Error())
			}
			t.Value = set.Value // with the mark of a guess
			targets[sheet.File(t.Sheet)] = append(targets[sheet.File(t.Sheet)], t)
		}
	}
	files := slices.Sorted(maps.Keys(targets))
	err := project.EditAll(files, func(old [][]byte) ([][]byte, error) {
		if err := isUnchanged(sheet, file); err != nil {
			return nil, err
		}
		texts := make([][]byte, len(old))
		for i, data := range old {
			f, _ := text.Parse(text.NewSource(project.FromHere(files[i]), data))
			for _, t := range targets[files[i]] {
				var err error
				if f, err = t.Write(f); err != nil {
					return nil, usage("%s: %s", project.FromHere(files[i]), err.Error())
				}
			}
			texts[i] = []byte(f.Source.Text())
		}
		return texts, nil
	})
	if err != nil {
		return asIOFailure(err)
	}
	out := cmd.OutOrStdout()
	if o.isAsked() {
		out = cmd.ErrOrStderr()
	}
	if len(files) == 0 {
		fmt.Fprintf(out, "%s says so already\n", project.Shown(file))
	}
	for _, f := range files {
		for _, t := range targets[f] {
			fmt.Fprintf(out, "written: %s:%d: %s : %s\n", shownAs(f, file), t.Line, t.Name, t.Value)
		}
	}
	return nil
}

// shownAs returns the name of a file as it is shown: as it was typed, if it is the sheet that was named.
func shownAs(file, typed string) string {
	if file == project.Real(typed) {
		return project.Shown(typed)
	}
	return project.Shown(project.FromHere(file))
}

// isUnchanged makes sure that a sheet, and all that it uses, is what it was when the combinations were tried.
func isUnchanged(sheet *project.Sheet, file string) error {
	now, err := project.Load(file)
	if err != nil {
		return err
	}
	was, is := engine.TextsOf(sheet.Model), engine.TextsOf(now.Model)
	same := len(was) == len(is)
	for path, f := range was {
		same = same && is[path] != nil && is[path].Source.Text() == f.Source.Text()
	}
	if same {
		return nil
	}
	return &project.Error{File: file, Kind: project.Changed,
		Msg:  "the sheets have been changed meanwhile, so nothing is written",
		Hint: "run the same command again"}
}
