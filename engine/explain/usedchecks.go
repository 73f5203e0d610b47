package explain

import (
	"iter"

	"gusset/engine/program"
)

// UsedSheet is a sheet that the asked-for one uses, directly or through others, with its checks. Their names are as for
// Set: rack.believable.
type UsedSheet struct {
	Path   string
	Checks []Cell
}

// UsedChecks returns the checks of all sheets that the asked-for one uses; those without checks are left out.
func (e *Explainer) UsedChecks() []UsedSheet {
	var all []UsedSheet
	var last *program.Module
	for s := range usedChecks(e) {
		if mod := e.ModuleOf(s); mod != last {
			last = mod
			all = append(all, UsedSheet{Path: mod.Src.Name})
		}
		sheet := &all[len(all)-1]
		sheet.Checks = append(sheet.Checks, e.Entry(s).Cell)
	}
	return all
}

// WithUsedChecks returns the Entries and, behind them, the checks of used sheets: all that is looked at for what a
// change does.
func (e *Explainer) WithUsedChecks() []Entry {
	all := []Entry{}
	for s := range Shown(e) {
		all = append(all, e.Entry(s))
	}
	return all
}

// Shown gives the slots of the values of the asked-for sheet and, behind them, those of the checks of the sheets that
// it uses.
func Shown(e *Explainer) iter.Seq[int32] {
	return func(yield func(int32) bool) {
		for s := range Values(e.Program, e.Root) {
			if !yield(s) {
				return
			}
		}
		for s := range usedChecks(e) {
			if !yield(s) {
				return
			}
		}
	}
}

// usedChecks gives the slots of the checks of all sheets that the asked-for one uses, sheet by sheet.
func usedChecks(e *Explainer) iter.Seq[int32] {
	return func(yield func(int32) bool) {
		for _, mod := range e.Modules {
			if e.AliasOf(mod) == "" {
				continue // the asked-for sheet itself, or a page of the library
			}
			for c := range cellsOf(e.Program, mod, true) {
				if !yield(c.Slot) {
					return
				}
			}
		}
	}
}
