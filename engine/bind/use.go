package bind

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"gusset/engine/program"
	"gusset/sheets/text"
)

// loadUses loads the sheets that mod uses, and gives them their names.
func (ld *loader) loadUses(mod *program.Module, users []string) {
	for _, n := range mod.File.Nodes {
		line, ok := n.(*text.Use)
		if !ok {
			continue
		}
		if len(mod.Uses) == maxUses {
			ld.Report(mod, text.Diag{
				Code: "use-many", Span: line.Path.Span,
				Msg: fmt.Sprintf("a sheet may use others under %d names at most", maxUses),
			})
			return
		}
		used, slip := ld.useSheet(mod, line, users)
		if slip != nil {
			ld.bindMissing(mod, line, ld.Report(mod, *slip))
			continue
		}
		alias := line.Name()
		if slip := ld.unfitAlias(mod, line, used); slip != nil {
			ld.Report(mod, *slip)
			continue
		}
		if ld.name(mod, alias, program.Ref{Kind: program.ModuleRef, Num: int32(len(mod.Uses)), Span: alias.Span}) < 0 {
			mod.Uses = append(mod.Uses, program.Use{Mod: used, Alias: alias.Text})
		}
	}
}

// useSheet loads one used sheet, or finds it among those loaded.
func (ld *loader) useSheet(mod *program.Module, use *text.Use, users []string) (*program.Module, *text.Diag) {
	slip := func(code, msg, hint string) (*program.Module, *text.Diag) {
		return nil, &text.Diag{Code: code, Span: use.Path.Span, Msg: msg, Hint: hint}
	}
	file := use.Path.Text
	target := path.Join(path.Dir(mod.Path), file)
	switch {
	case path.IsAbs(file) || strings.Contains(file, `\`) || strings.Contains(file, ":"):
		return slip(
			"use-path", "a used sheet is named by its place relative to this one, with / between folders",
			pathHint(file),
		)
	case !fs.ValidPath(target):
		return slip(
			"use-outside", "this leads out of the project folder",
			"a project's folder is the nearest one above the sheet that holds a bench.gusset; "+
				"put one where both sheets are below it",
		)
	case target == mod.Path:
		return slip("use-ring", "a sheet cannot use itself", "leave this line out")
	case slices.Contains(users, target):
		at := slices.Index(users, target)
		names := append(slices.Clone(users[at:]), target)
		return slip(
			"use-ring", "these sheets use one another: "+text.Visible(strings.Join(names, " uses ")),
			"leave out one of the uses",
		)
	}
	if known, ok := ld.modules[target]; ok {
		return known, nil
	}
	if ld.size > ld.mostBytes() {
		return slip("use-large", fmt.Sprintf("the sheets of a project may have %s together", sizeText(ld.mostBytes())), "")
	}
	if most := program.AtMost(ld.Limits.Sheets, maxSheets); len(ld.modules) >= most {
		return slip("use-many", fmt.Sprintf("a project may hold %d sheets at most", most), "")
	}
	if ld.ctx.Err() != nil {
		return slip("use-unread", "this sheet has not been read", "") // nobody will be told
	}
	data, err := readSheet(ld.src.Files, target)
	if err != nil {
		return slip(
			"use-unread", fmt.Sprintf("this sheet cannot be read: %v", plainCause(err)),
			meantFile(ld.src.Files, file, target, mod.Path, err),
		)
	}
	if ld.size += len(data); ld.size > ld.mostBytes() {
		const format = "with this one, the sheets of this project have more than %s together"
		return slip("use-large", fmt.Sprintf(format, sizeText(ld.mostBytes())), "")
	}
	return ld.loadModule(target, data, users), nil
}

// unfitAlias tells why the name of its file does not do for a used sheet, if no other is given.
func (ld *loader) unfitAlias(mod *program.Module, line *text.Use, used *program.Module) *text.Diag {
	if line.As.Given() {
		return nil
	}
	name := line.Name().Text
	old, twice := mod.Names[name]
	d := text.Diag{Code: "use-name", Span: line.Path.Span, Msg: fmt.Sprintf("%q cannot be a name in formulas", name)}
	if twice {
		d.Code, d.Notes = "name-twice", []string{fmt.Sprintf("first used on line %d", mod.Src.Position(old.Span.Start).Line)}
	}
	other := "sheet_" + name
	switch {
	case twice && slices.Contains(mod.Uses, program.Use{Mod: used, Alias: name}):
		d.Msg, d.Hint = "this sheet is used already", "leave this line out"
		return &d
	case twice:
		d.Msg, other = fmt.Sprintf("another sheet goes by the name %s already", name), name+"_2"
	case text.IsName(name):
		return nil
	case text.IsName(name + "_1"): // a word of the language
		other = name + "_1"
	}
	d.Hint = fmt.Sprintf("name it yourself: use %s as %s", text.Quote(line.Path.Text), other)
	return &d
}

// bindMissing gives the name of a used sheet that cannot be read to a broken cell, so that those that name its
// cells wait instead of being reported as unknown.
func (ld *loader) bindMissing(mod *program.Module, use *text.Use, diag int) {
	name := use.Name()
	if _, taken := mod.Names[name.Text]; !taken && text.IsName(name.Text) {
		ld.BreakSlot(ld.bindUnread(mod, use, name).Slot, diag)
	}
}

// What Sources.Files may return for a file, beside what the fs package has: it is a folder, a pipe or the like,
// or a link that leads out of the project folder.
var (
	ErrNotPlain = errors.New("is not a plain file")
	ErrOutside  = errors.New("leads out of the project folder")
)

// plainCause says in plain words why a file could not be read.
func plainCause(err error) string {
	var pe *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "there is no such file"
	case errors.Is(err, fs.ErrPermission):
		return "reading it is not permitted"
	case errors.Is(err, ErrNotPlain):
		return "it is a folder, a pipe or the like, not a plain file"
	case errors.Is(err, ErrOutside):
		return "it leads out of the project folder"
	case errors.As(err, &pe):
		return pe.Err.Error()
	}
	return err.Error()
}
