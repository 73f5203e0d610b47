package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/report"
)

// writeChoice puts one of the combinations that are shown into the sheets that its values are in. Only what changes is
// written; a value that is a guess stays one.
func writeChoice(cmd *cobra.Command, sheet *project.Sheet, file string, a engine.ChooseAnswer, wrong report.Wrong,
	vary []string, o chooseOptions,
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
	targets, was := map[string][]engine.Target{}, map[string][]string{} // by file
	for i, set := range c.Settings {
		if c.Changed[i] {
			t, err := sheet.Model.Target(set)
			if err != nil {
				return usage("%s", err.Error())
			}
			at := sheet.File(t.Sheet)
			value, before := anew(sheet.Model, set, vary)
			t.Value = value
			targets[at], was[at] = append(targets[at], t), append(was[at], before)
		}
	}
	files := slices.Sorted(maps.Keys(targets))
	err := project.EditAll(files, func(old [][]byte) ([][]byte, error) {
		if err := isUnchanged(sheet, file); err != nil {
			return nil, err
		}
		texts := make([][]byte, len(old))
		for i, data := range old {
			var err error
			list := targets[files[i]]
			if texts[i], err = putAllInto(project.FromHere(files[i]), data, list, engine.Target.Write); err != nil {
				return nil, usage("%v", err)
			}
		}
		return texts, nil
	})
	if err != nil {
		return asIOFailure(err)
	}
	out := o.beside(cmd)
	if len(files) == 0 {
		fmt.Fprintf(out, "%s says so already\n", project.Shown(file))
	}
	for _, f := range files {
		for i, t := range targets[f] {
			fmt.Fprintf(out, "written: %s:%d: %s : %s  (%s)\n", shownAs(f, file), t.Line, t.Name, t.Value, was[f][i])
		}
	}
	return nil
}

// anew returns what is written for a value that is tried, with the mark of a guess, and what was there before. While it
// is tried it is taken to be as far off as the old value; what is written says so only if that was asked for, since
// nobody has measured the new one.
func anew(m *engine.Model, set engine.Setting, vary []string) (value, was string) {
	before, err := m.Value(set.Name)
	if err != nil || before.Status != engine.OK {
		return set.Value, "was not given"
	}
	was = "was " + report.QuantityOf(before)
	if before.Tolerance == "" {
		return set.Value, was
	}
	was += " " + before.Tolerance
	asked := strings.Join(vary, "\n")
	for _, typed := range []string{"±", "+-", "+/-"} {
		if strings.Contains(asked, typed) {
			return set.Value, was
		}
	}
	value = strings.Replace(set.Value, " "+before.Tolerance, "", 1)
	return value, was + ", which went with the old value"
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
	return changedMeanwhile(file)
}
