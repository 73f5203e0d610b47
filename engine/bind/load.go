package bind

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"

	"gusset/engine/order"
	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

// Limits on what a project may ask for, so that a stranger's sheet takes bounded time and memory.
const (
	maxSheets   = 64
	maxUses     = 256       // names under which a sheet uses others
	maxRows     = 10_000    // that a table may make for itself
	maxSlots    = 2_000_000 // values in all sheets together
	maxRead     = 16 << 20  // bytes of all sheets together
	maxFormulas = 8 << 20   // bytes of all formulas together
	maxUnits    = 1000      // of the sheets' own, in all sheets together
	maxPoints   = 1_000_000 // that the charts of a sheet may draw
	maxCalls    = 100       // formulas that call one another, one below the other
	maxChoosing = 500_000   // rows that are looked through for what may be chosen, in all sheets together
)

// binder makes the parts of a program out of the statements of its sheets.
type binder struct {
	*program.Program
	shows    map[[2]string]*program.Show
	ownUnits int // how many lines with unit there have been
}

// resolver binds the names of formulas, and declares what of the library they ask for.
type resolver struct {
	*binder
	ctx           context.Context
	pages         *librarySet
	files         fs.FS // for hints; nothing is read
	formulaSize   int   // bytes of the formulas that have been read
	within        int   // how many formulas are being resolved, each called by the one before
	choiceSets    map[*text.Choice]*program.ChoiceSet
	choiceRowSets map[choiceText]*program.ChoiceSet // of the tags that name rows; many cells may have the same
	choosing      int                               // rows that have been looked through for choices
	chosen        struct{ cells, tables int }       // how many of them have been looked at by readChoices
	points        int                               // that charts draw
}

// loader reads the sheets of a project.
type loader struct {
	*resolver
	src     program.Sources
	modules map[string]*program.Module // by path
	size    int                        // bytes of the sheets that have been read
	values  int                        // that stand in them
}

// mostBytes is how large all sheets together may be.
func (ld *loader) mostBytes() int { return program.AtMost(ld.Limits.Bytes, maxRead) }

// sizeText says how many bytes something may have.
func sizeText(bytes int) string {
	if bytes%(1<<20) == 0 {
		return fmt.Sprintf("%d MiB", bytes>>20)
	}
	return fmt.Sprintf("%d bytes", bytes)
}

// Sheet reads the sheet at path, and the sheets that it uses, and binds all their names. It gives up when ctx is done.
func Sheet(ctx context.Context, src program.Sources, path string) (*program.Program, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	data, err := readSheet(src.Files, path)
	if err != nil {
		return nil, &program.Error{Kind: program.ErrUnread, Name: path, Err: err}
	}
	ld := newLoader(ctx, src)
	if ld.size = len(data); ld.size > ld.mostBytes() && ld.size <= text.MaxFile { // else its text says so
		return nil, program.Errorf(program.ErrLimit, path, "%s has more than %s", path, sizeText(ld.mostBytes()))
	}
	ld.Root = ld.loadModule(path, data, nil)
	ld.NameSheets()
	ld.readChoices()
	ld.readVariants()
	ld.finish()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return ld.Program, nil
}

// Library binds every page of the library as if each were asked for.
func Library(src program.Sources) *program.Program {
	ld := newLoader(context.Background(), src)
	ld.Root = &program.Module{Path: "library", Title: "library", Src: text.NewSource("library", nil), Units: units.Builtin()}
	ld.openLibrary()
	ld.finish()
	return ld.Program
}

func newLoader(ctx context.Context, src program.Sources) *loader {
	p := &program.Program{Limits: src.Limits, Texts: program.NewTexts(nil), LostOf: map[int32]*program.Table{}, Undrawn: map[*text.Chart]bool{}}
	p.TypeNum, p.Overflow = map[program.Type]uint16{}, -1
	p.TypeNumber(program.Type{}) // 0 is not known
	p.Add(program.Node{})        // 0 is no node of a formula
	pages := ReadLibrary(src.Library)
	p.Library = pages
	b := &binder{Program: p, shows: map[[2]string]*program.Show{}}
	rs := &resolver{ctx: ctx, binder: b, pages: pages, files: src.Files}
	rs.libraryModules()
	return &loader{resolver: rs, src: src, modules: map[string]*program.Module{}}
}

// finish binds the names of a project in which everything is declared, and lays out the order of work.
func (ld *loader) finish() {
	ld.resolveAll()
	ld.readChoices()
	order.All(ld.Program)
	ld.FindTrusting()
	ld.remarkHidden()
	ld.BuilderUnits()
}

// readSheet reads one file of a project. Only plain files of a bearable size are read.
func readSheet(files fs.FS, name string) ([]byte, error) {
	if files == nil {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrInvalid}
	}
	f, err := files.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, &fs.PathError{Op: "read", Path: name, Err: ErrNotPlain}
	}
	data, err := io.ReadAll(io.LimitReader(f, text.MaxFile+1))
	if err != nil {
		return nil, err
	}
	return data, nil
}

func (ld *loader) newModule(path string, file *text.File) *program.Module {
	mod := &program.Module{Path: path, Number: int32(len(ld.Modules)), File: file}
	mod.Begin(file.Source)
	ld.Modules = append(ld.Modules, mod)
	return mod
}

// loadModule parses and declares a sheet; users is the chain of sheets that led to it.
func (ld *loader) loadModule(path string, data []byte, users []string) *program.Module {
	name := path
	if ld.src.Name != nil {
		name = ld.src.Name(path)
	}
	file, diags := text.Parse(text.NewSource(name, data))
	if ld.values += file.Values; ld.values > text.MaxValues {
		file = &text.File{Source: file.Source}
		diags = text.Diags{{Code: "sheet-large", Source: file.Source, Msg: fmt.Sprintf("with this one, the sheets of this project have more than %d values", text.MaxValues), Hint: "a range and worked columns make as many without writing them down"}}
	}
	mod := ld.newModule(path, file)
	mod.Unread.From = len(ld.Diags)
	ld.ReadDiags(diags)
	mod.Unread.To = len(ld.Diags)
	ld.modules[path] = mod
	mod.Title = text.Visible(strings.TrimSuffix(program.BaseName(path), ".gusset"))
	ld.indexFormulas(mod)
	ld.loadUses(mod, append(users, path))
	ld.declareAll(mod)
	return mod
}

// loadUses loads the sheets that mod uses, and gives them their names.
func (ld *loader) loadUses(mod *program.Module, users []string) {
	for _, n := range mod.File.Nodes {
		line, ok := n.(*text.Use)
		if !ok {
			continue
		}
		if len(mod.Uses) == maxUses {
			ld.Report(mod, text.Diag{Code: "use-many", Span: line.Path.Span, Msg: fmt.Sprintf("a sheet may use others under %d names at most", maxUses)})
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

// useSheet loads one used sheet, or finds it among those loaded.
func (ld *loader) useSheet(mod *program.Module, use *text.Use, users []string) (*program.Module, *text.Diag) {
	slip := func(code, msg, hint string) (*program.Module, *text.Diag) {
		return nil, &text.Diag{Code: code, Span: use.Path.Span, Msg: msg, Hint: hint}
	}
	file := use.Path.Text
	target := path.Join(path.Dir(mod.Path), file)
	switch {
	case path.IsAbs(file) || strings.Contains(file, `\`) || strings.Contains(file, ":"):
		return slip("use-path", "a used sheet is named by its place relative to this one, with / between folders", pathHint(file))
	case !fs.ValidPath(target):
		return slip("use-outside", "this leads out of the project folder", "a project's folder is the nearest one above the sheet that holds a bench.gusset; put one where both sheets are below it")
	case target == mod.Path:
		return slip("use-ring", "a sheet cannot use itself", "leave this line out")
	case slices.Contains(users, target):
		at := slices.Index(users, target)
		names := append(slices.Clone(users[at:]), target)
		return slip("use-ring", "these sheets use one another: "+text.Visible(strings.Join(names, " uses ")), "leave out one of the uses")
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
		return slip("use-unread", fmt.Sprintf("this sheet cannot be read: %v", plainCause(err)), meantFile(ld.src.Files, file, target, mod.Path, err))
	}
	if ld.size += len(data); ld.size > ld.mostBytes() {
		return slip("use-large", fmt.Sprintf("with this one, the sheets of this project have more than %s together", sizeText(ld.mostBytes())), "")
	}
	return ld.loadModule(target, data, users), nil
}

// What Sources.Files may return for a file, beside what the fs package has: it is a folder, a pipe or the like, or a link
// that leads out of the project folder.
var (
	ErrNotPlain = errors.New("is not a plain file")
	ErrOutside  = errors.New("leads out of the project folder")
)

// bindMissing gives the name of a used sheet that cannot be read to a broken cell, so that those who name its cells wait
// instead of being told of an unknown name.
func (ld *loader) bindMissing(mod *program.Module, use *text.Use, said int) {
	name := use.Name()
	if _, taken := mod.Names[name.Text]; !taken && text.IsName(name.Text) {
		ld.BreakSlot(ld.bindUnread(mod, use, name).Slot, said)
	}
}

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

// indexFormulas takes note of a module's formulas by name.
func (rs *resolver) indexFormulas(mod *program.Module) {
	for _, n := range mod.File.Nodes {
		if f, ok := n.(*text.Formula); ok {
			rs.indexFormula(mod, f)
		}
	}
}

func (rs *resolver) indexFormula(mod *program.Module, f *text.Formula) {
	if old, twice := mod.Formulas[f.Name.Text]; twice {
		rs.Report(mod, text.Diag{Code: "formula-twice", Span: f.Name.Span, Msg: fmt.Sprintf("the formula %s is set twice", f.Name.Text), Notes: []string{rs.setOn(mod, old.Node.Name.Span)}})
		return
	}
	if _, taken := program.FunctionByName[f.Name.Text]; taken {
		rs.Report(mod, text.Diag{Code: "formula-taken", Span: f.Name.Span, Msg: fmt.Sprintf("%s is a function that is always at hand", f.Name.Text), Hint: "choose another name"})
		return
	}
	def := &program.Formula{Mod: mod, Node: f, Number: int32(len(rs.Formulas)), Body: program.None, Unread: -1}
	rs.Formulas = append(rs.Formulas, def)
	mod.Formulas[f.Name.Text] = def
}

// remarkHidden reports where a sheet's own cell, table or formula takes the place of the library's, and where formulas of the
// library that are used here go on with theirs all the same: they never see a sheet's names.
func (ld *loader) remarkHidden() {
	remark := func(mod *program.Module, at text.Span, name string) {
		d := text.Diag{Code: "hides-library", Sev: text.Remark, Span: at, Msg: fmt.Sprintf("the library has %s too; in this sheet your own is meant", name)}
		if ld.libraryUses(name) {
			d.Msg += ", but the library's formulas go on using theirs"
			d.Hint = fmt.Sprintf("gusset library %s shows theirs; work out with your own what rests on it", name)
		}
		ld.Report(mod, d)
	}
	for _, mod := range ld.Modules {
		if mod.Library {
			continue
		}
		for name, r := range mod.Names {
			if r.Kind != program.ModuleRef && ld.pages.Sets(name, false) {
				remark(mod, r.Span, name)
			}
		}
		for name, f := range mod.Formulas {
			if ld.pages.Sets(name, true) {
				remark(mod, f.Node.Name.Span, name)
			}
		}
	}
}

// libraryUses reports whether a cell or table of the library was asked for by this name: by formulas of the library, or by a
// sheet that has none of its own.
func (ld *loader) libraryUses(name string) bool {
	return slices.ContainsFunc(ld.Modules, func(mod *program.Module) bool {
		_, declared := mod.Names[name]
		return mod.Library && declared
	})
}

// setOn tells where something was first set.
func (b *binder) setOn(mod *program.Module, at text.Span) string {
	return fmt.Sprintf("first set on line %d", mod.Src.Position(at.Start).Line)
}
