package explain

import "gusset/engine/program"

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
	e.EachUsedCheck(func(s int32, prefix string) {
		if mod := e.ModuleOf(s); mod != last {
			last = mod
			all = append(all, UsedSheet{Path: mod.Src.Name})
		}
		sheet := &all[len(all)-1]
		sheet.Checks = append(sheet.Checks, e.Entry(s, prefix).Cell)
	})
	return all
}

// WithUsedChecks returns the Entries and, behind them, the checks of used sheets: all that is looked at for what a
// change does.
func (e *Explainer) WithUsedChecks() []Entry {
	all := e.Entries()
	e.EachUsedCheck(func(s int32, prefix string) { all = append(all, e.Entry(s, prefix)) })
	return all
}

// EachUsedCheck visits the checks of all sheets that the asked-for one uses, sheet by sheet, with what stands before
// their names there.
func (e *Explainer) EachUsedCheck(visit func(s int32, prefix string)) {
	for _, mod := range e.Modules {
		if prefix := e.AliasOf(mod); prefix != "" { // else it is the asked-for sheet itself, or a page of the library
			eachCheck(e.Program, mod, func(s int32) { visit(s, prefix) })
		}
	}
}
