package main

import (
	"bytes"
	"cmp"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/report"
	"gusset/sheets/text"
)

// change is what is changed, sheet by sheet.
type change struct {
	sheets []*sheetChange
	typed  []engine.Setting // of --set
	was    string           // of --was, where no present sheet is named
	moved  *atomic.Int64    // how many values moved in the models so far
}

// sheetChange is what is changed in one sheet.
type sheetChange struct {
	file   string           // real path
	shown  string           // as it was typed, or from here
	alias  string           // what a model calls it
	now    []engine.Setting // of --set; names as in the sheet itself
	places []engine.Target  // one for each of now
	old    []byte           // of --was: the older copy; nil under --set
	notes  []string         // of --was: what else differs
	anew   report.Given     // of --was
}

// findChange finds out which sheets are changed, and how.
func findChange(cmd *cobra.Command, models []*model, o rippleOptions) (*change, error) {
	ch := &change{moved: new(atomic.Int64)}
	if o.was != "" {
		return ch, ch.compareWith(cmd, models, o)
	}
	for _, s := range o.sets {
		set, path, err := readSet(s)
		if err != nil {
			return nil, err
		}
		if err := ch.locate(models, set, path, s); err != nil {
			return nil, err
		}
		ch.typed = append(ch.typed, set)
	}
	return ch, nil
}

// locate finds the sheet that a setting belongs to: that of the first model in which its name leads somewhere.
func (ch *change) locate(models []*model, set engine.Setting, path text.Path, typed string) error {
	var unread, first, fitting error // what models say to it; one that knows the sheet's name knows best
	for _, m := range models {
		loaded, err := project.Load(m.file)
		if err != nil {
			unread = cmp.Or(unread, err)
			continue
		}
		e := loaded.Model
		place, err := e.Target(set)
		if err == nil {
			at := ch.sheet(loaded.File(place.Sheet), e.Aliases()[place.Sheet], models)
			if slices.ContainsFunc(at.places, func(p engine.Target) bool { return p.Name == place.Name }) {
				return usage("--set %s: another --set changes %s already", typed, place.Name)
			}
			at.now = append(at.now, engine.Setting{Name: place.Name, Value: set.Value})
			at.places = append(at.places, place)
			return nil
		}
		slip := notSet(e, typed, err)
		first = cmp.Or(first, slip)
		if hasSheet(e, path.Parts[0].Text) {
			fitting = cmp.Or(fitting, slip)
		}
	}
	return cmp.Or(fitting, first, unread)
}

// hasSheet reports whether a sheet calls one that it uses by a name.
func hasSheet(m *engine.Model, name string) bool {
	return slices.Contains(slices.Collect(maps.Values(m.Aliases())), name)
}

// sheet returns the change of the sheet in a file, new if need be. If it is one of the models that were named, it goes
// by that name.
func (ch *change) sheet(file, alias string, models []*model) *sheetChange {
	for _, s := range ch.sheets {
		if s.file == file {
			return s
		}
	}
	s := &sheetChange{file: file, shown: project.FromHere(file), alias: alias}
	for _, m := range models {
		if !m.found && project.Real(m.file) == file {
			s.shown = m.file
		}
	}
	ch.sheets = append(ch.sheets, s)
	return s
}

// workOut works the change out in every model, and leaves out those found in a folder that do not use what is changed.
func (ch *change) workOut(models []*model) []*model {
	inParallel(len(models), func(i int) { models[i].err = ch.workOutIn(models[i]) })
	return slices.DeleteFunc(models, func(m *model) bool {
		return m.found && m.err == nil && m.elsewhere == "" && (!m.used || ch.isChanged(m.file))
	})
}

func (ch *change) isChanged(file string) bool {
	real := project.Real(file)
	return slices.ContainsFunc(ch.sheets, func(s *sheetChange) bool { return s.file == real })
}

// workOutIn works the change out in one model. What is wrong with that is told also where it could not be done.
func (ch *change) workOutIn(m *model) error {
	loaded, err := project.Load(m.file)
	if err != nil {
		return err
	}
	now, before := loaded.Model, loaded.Model
	m.title = now.Title()
	at, settings := ch.in(m, loaded)
	if !m.used {
		return nil
	}
	if s := ch.sheets[0]; s.old != nil {
		older, err := project.LoadInstead(m.file, s.file, s.old)
		if err != nil {
			return err
		}
		before = older.Model
	}
	known := remarks(before.Problems())
	if before != now {
		m.ripple = engine.Between(before, now)
	} else {
		m.ripple, err = now.Ripple(settings...)
	}
	if ch.moved.Add(int64(len(m.ripple.Moves)+len(m.ripple.Stays))) > engine.MaxCompared {
		m.ripple = engine.Ripple{}
		err = fmt.Errorf("%s is left out: more than %d values move in these models; name fewer of them",
			project.Shown(m.file), engine.MaxCompared)
	}
	m.sortOut(now, at)
	problems := now.Problems()
	m.wrong = report.FindWrong(now, problems)
	m.problems = slices.DeleteFunc(problems, func(d text.Diag) bool {
		return d.Sev != text.Error && known[report.About(d)]
	})
	return err
}

// in finds the changed sheets among those of a model, by their paths in it, and the settings under the names that the
// model has for them.
func (ch *change) in(m *model, loaded *project.Sheet) (at map[string]*sheetChange, settings []engine.Setting) {
	at = map[string]*sheetChange{}
	aliases := loaded.Model.Aliases()
	for _, path := range slices.Sorted(maps.Keys(aliases)) {
		file, alias := loaded.File(path), aliases[path]
		for _, s := range ch.sheets {
			if s.file == file {
				m.used, at[path] = true, s
				settings = append(settings, named(s.now, alias)...)
			} else if ch.was != "" && isPresent(file, ch.was, alias, m) {
				m.elsewhere = file
			}
		}
	}
	m.elsewhere = max(m.elsewhere, ch.otherwise(loaded))
	return at, settings
}

// sortOut gives each changed sheet what is given otherwise in it, and what did not move in it.
func (m *model) sortOut(e *engine.Model, at map[string]*sheetChange) {
	m.changes, m.held = map[*sheetChange]report.Given{}, map[*sheetChange][]engine.Stay{}
	for path, s := range at {
		m.changes[s] = report.GivenIn(m.ripple, path)
	}
	aliases := e.Aliases()
	m.ripple.Stays = slices.DeleteFunc(m.ripple.Stays, func(v engine.Stay) bool {
		s := at[v.Sheet]
		if s == nil || aliases[v.Sheet] == "" {
			return false
		}
		m.held[s] = append(m.held[s], v)
		return true
	})
	m.variants = variantNames(e)
}

// named returns settings under the names that a model has for them.
func named(settings []engine.Setting, sheet string) []engine.Setting {
	list := slices.Clone(settings)
	for i := range list {
		if sheet != "" {
			list[i].Name = sheet + "." + list[i].Name
		}
	}
	return list
}

// otherwise returns the file that a name of --set leads to in a model, if it is none of those that are changed.
func (ch *change) otherwise(loaded *project.Sheet) string {
	for _, set := range ch.typed {
		place, err := loaded.Model.Target(set)
		if err != nil {
			continue
		}
		file := loaded.File(place.Sheet)
		if !slices.ContainsFunc(ch.sheets, func(s *sheetChange) bool { return s.file == file }) {
			return file
		}
	}
	return ""
}

// conflict refuses a change that would mean one sheet for some models and another one for others.
func (ch *change) conflict(models []*model) error {
	for _, m := range models {
		if m.elsewhere != "" {
			return usage("two sheets could be meant: %s, and for %s it is %s; name the models of one of them",
				ch.sheets[0].shown, m.file, project.FromHere(m.elsewhere))
		}
	}
	return nil
}

func remarks(ds text.Diags) map[string]bool {
	known := map[string]bool{}
	for _, d := range ds {
		if d.Sev != text.Error {
			known[report.About(d)] = true
		}
	}
	return known
}

// refuseFaulty makes sure that only sheets without mistakes are written to.
func (ch *change) refuseFaulty(cmd *cobra.Command, all bool) error {
	for _, s := range ch.sheets {
		sheet, err := project.Load(s.shown)
		if err != nil {
			return err
		}
		if printDiags(cmd, sheet.Model.Problems(), all) > 0 {
			return &failure{sheetErrors, fmt.Errorf("%s has mistakes, so nothing is written", project.Shown(s.shown))}
		}
	}
	return nil
}

// files returns the files that are changed.
func (ch *change) files() []string {
	var files []string
	for _, s := range ch.sheets {
		files = append(files, s.shown)
	}
	return files
}

// write works the change out once more, with its files kept from other runs, shows it, and puts the values of --set
// into the files. It returns the models.
func (ch *change) write(cmd *cobra.Command, args []string, o rippleOptions) (models []*model, err error) {
	var same []bool
	err = project.EditAll(ch.files(), func(old [][]byte) ([][]byte, error) {
		again, now, err := findModels(cmd, args, o)
		if err != nil {
			return nil, err
		}
		if !slices.Equal(ch.files(), now.files()) {
			return nil, changedMeanwhile(ch.sheets[0].shown)
		}
		*ch = *now
		if err := ch.refuseFaulty(cmd, o.all); err != nil {
			return nil, err
		}
		texts := make([][]byte, len(old))
		for i, s := range ch.sheets {
			if texts[i], err = putAllInto(s.shown, old[i], s.places, engine.Target.Write); err != nil {
				return nil, usage("%v", err)
			}
			same = append(same, bytes.Equal(texts[i], old[i]))
		}
		models, err = ch.print(cmd, again, o)
		return texts, err
	})
	if err != nil {
		return nil, asIOFailure(err)
	}
	out := o.beside(cmd)
	for i, s := range ch.sheets {
		if same[i] {
			fmt.Fprintf(out, "%s says so already\n", project.Shown(s.shown))
			continue
		}
		for _, p := range s.places {
			fmt.Fprintf(out, "written: %s:%d: %s : %s\n", project.Shown(s.shown), p.Line, p.Name, p.Value)
		}
	}
	return models, nil
}

// putAllInto puts each of a list into the text of a sheet.
func putAllInto[T any](
	file string, data []byte, list []T, put func(T, *text.File) (*text.File, error),
) ([]byte, error) {
	f, _ := text.Parse(text.NewSource(project.Shown(file), data))
	for _, one := range list {
		next, err := put(one, f)
		if err != nil {
			return nil, fmt.Errorf("%s: %v", project.Shown(file), err)
		}
		f = next
	}
	return f.Bytes(), nil
}

// changedMeanwhile refuses to write what was worked out from sheets that are others now.
func changedMeanwhile(file string) error {
	return &project.Error{File: file, Kind: project.Changed, Hint: "run the same command again",
		Msg: "the sheets have been changed meanwhile, so nothing is written"}
}

// compareWith makes the change of what differs between an older copy of a sheet and what it is now.
func (ch *change) compareWith(cmd *cobra.Command, models []*model, o rippleOptions) error {
	old, err := parseFile(cmd, o.was)
	if err != nil {
		return err
	}
	if o.now == "" {
		ch.was = o.was
	}
	for _, m := range models {
		loaded, err := project.Load(m.file)
		if err != nil {
			continue // it is said in its turn
		}
		e := loaded.Model
		aliases := e.Aliases()
		for _, path := range slices.Sorted(maps.Keys(aliases)) {
			file, alias := loaded.File(path), aliases[path]
			if o.now != "" && file != project.Real(o.now) || o.now == "" && !isPresent(file, o.was, alias, m) {
				continue
			}
			return ch.sheet(file, alias, models).compareWith(cmd, old)
		}
	}
	if o.now != "" {
		return usage("none of these models uses %s", o.now)
	}
	return usage("none of these models uses a sheet called %s; name the present one with --now", filepath.Base(o.was))
}

// isPresent reports whether a sheet of a model can be the present state of an older copy, by its name. One that was
// found in a folder is not a model of itself.
func isPresent(file, was, alias string, m *model) bool {
	return filepath.Base(file) == filepath.Base(was) && file != project.Real(was) && (alias != "" || !m.found)
}

// compareWith takes in how the sheet differs from its older copy: both are loaded whole.
func (s *sheetChange) compareWith(cmd *cobra.Command, old *text.File) error {
	now, err := parseFile(cmd, s.shown)
	if err != nil {
		return err
	}
	s.old = []byte(old.Source.Text())
	before, err := project.LoadInstead(s.shown, s.file, s.old)
	if err != nil {
		return err
	}
	after, err := project.Load(s.shown)
	if err != nil {
		return err
	}
	s.anew = report.GivenBetween(before.Model.Entries(), after.Model.Entries())
	c := text.Compare(old, now)
	for _, list := range []struct {
		what  string
		names []string
	}{{"added", c.Added}, {"taken away", c.Gone}, {"another formula", c.Reworked}} {
		if len(list.names) > 0 {
			s.notes = append(s.notes, list.what+": "+strings.Join(list.names, ", "))
		}
	}
	return nil
}
