package bind

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"io/fs"
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
	maxNamed    = 500_000   // different names of the rows that ranges make, in all sheets together
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
	ownUnits int   // how many lines with unit there have been
	named    int32 // different names of the rows that ranges have made
}

// resolver binds the names of formulas, and declares what of the library they ask for.
type resolver struct {
	*binder
	ctx         context.Context
	pages       *librarySet
	files       fs.FS                             // for hints; nothing is read
	formulaSize int                               // bytes of the formulas that have been read
	within      int                               // how many formulas are being resolved, each called by the one before
	choiceSets  map[choiceText]*program.ChoiceSet // of the tags that name rows; many cells may have the same
	choosing    int                               // rows that have been looked through for choices
	chosen      struct{ cells, tables int }       // how many of them have been looked at by readChoices
	points      int                               // that charts draw
}

// loader reads the sheets of a project.
type loader struct {
	*resolver
	src     program.Sources
	modules map[string]*program.Module // by path
	size    int                        // bytes of the sheets that have been read
	values  int                        // written in them
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
	ld.size = len(data)
	if most := ld.mostBytes(); ld.size > most && most < text.MaxFile { // else its text says so
		return nil, program.Errorf(program.ErrLimit, path, "%s has more than %s", path, sizeText(most))
	}
	ld.Root = ld.loadModule(path, data, nil)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
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
	ld.Root = &program.Module{
		Path: "library", Title: "library", Src: text.NewSource("library", nil), Units: units.Builtin(),
	}
	ld.openLibrary()
	ld.finish()
	return ld.Program
}

func newLoader(ctx context.Context, src program.Sources) *loader {
	p := &program.Program{
		Limits: src.Limits, Texts: program.NewTexts(nil), LostOf: map[int32]*program.Table{}, Undrawn: map[*text.Chart]bool{},
		Marked: map[*text.Chart][]int32{}, Missing: map[program.RowKey]*program.MissingRow{}, Guesses: map[int32]bool{},
		Tolerances: map[int32]program.Tolerance{}, Spreads: map[int32]int32{},
	}
	p.TypeNum, p.Overflow = map[program.Type]uint16{}, -1
	p.TypeNumber(program.Type{}) // 0 is not known
	p.Add(program.Node{})        // 0 is no node of a formula
	pages := ReadLibrary(src.Library)
	p.Library = pages
	b := &binder{Program: p, shows: map[[2]string]*program.Show{}}
	rs := &resolver{
		ctx: ctx, binder: b, pages: pages, files: src.Files, choiceSets: map[choiceText]*program.ChoiceSet{},
	}
	rs.libraryModules()
	return &loader{resolver: rs, src: src, modules: map[string]*program.Module{}}
}

// finish binds the names of a project in which everything is declared, and lays out the order of work.
func (ld *loader) finish() {
	ld.resolveAll()
	ld.readChoices()
	ld.refuseDeciding()
	ld.leaveRoom()
	order.All(ld.Program)
	findTrusting(ld.Program)
	ld.remarkHidden()
	ld.BuilderUnits()
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
		diags = text.Diags{{
			Code: "sheet-large", Source: file.Source,
			Msg:  fmt.Sprintf("with this one, the sheets of this project have more than %d values", text.MaxValues),
			Hint: "a range and worked columns make as many without writing them down",
		}}
	}
	mod := newModule(ld.Program, path, false)
	mod.File = file
	mod.Begin(file.Source)
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

// newModule adds a module in which there is nothing yet.
func newModule(p *program.Program, path string, library bool) *program.Module {
	mod := &program.Module{Path: path, Number: int32(len(p.Modules)), Library: library}
	p.Modules = append(p.Modules, mod)
	return mod
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
	var data bytes.Buffer
	data.Grow(int(min(info.Size(), text.MaxFile)) + bytes.MinRead)
	if _, err := data.ReadFrom(io.LimitReader(f, text.MaxFile+1)); err != nil {
		return nil, err
	}
	return data.Bytes(), nil
}
