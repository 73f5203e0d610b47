// Package fill asks for the given values of a sheet, one after the other, and writes each answer into its file at once.
// It knows no terminal: whoever uses it shows a Question, hands the line that was typed to Take, and shows the Reply.
//
// A Session holds a loaded model with the texts that it was loaded from. An answer is tried on the model first, then
// put into the text as it is in its file at that moment, and then set in the model, so that only what depends on it is
// worked out again. Where the text's structure changes, as with a new row, or where somebody else has written the file
// meanwhile, the model is loaded anew.
package fill

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/report"
	"gusset/sheets/text"
)

// Session is the filling in of one sheet. It is for one goroutine.
type Session struct {
	file  string // as it was typed
	sheet *project.Sheet
	m     *engine.Model
	texts map[string]*text.File // what was loaded and written since, by path within the project

	named []string // names of the values that are asked for; nil: whatever is open
	page  string   // and on which page; empty: on any
	chief map[string]bool

	// Found by refill.
	givens []engine.GivenValue // nil: not found yet
	open   []engine.GivenValue // those of them that are open, in the order in which they are asked for
	at     map[string]int      // where a name is among givens

	current *Question
	next    []Question      // that come before all others
	asked   map[string]bool // names of values that have had their turn
	trail   []string        // the same, in order
	written map[string]int  // how many answers went into each file
}

// Open begins the filling in of a sheet: of the values that names stand for, or else of those that are still open.
func Open(file string, names []string, page string) (*Session, error) {
	s := &Session{file: file, page: page, asked: map[string]bool{}, written: map[string]int{}}
	if err := s.load(); err != nil {
		return nil, err
	}
	for _, name := range names {
		of, err := s.namesOf(name)
		if err != nil {
			return nil, &NameError{err}
		}
		s.named = append(s.named, of...)
	}
	return s, nil
}

// NameError tells that what is to be asked for has no given value.
type NameError struct{ Err error }

func (e *NameError) Error() string { return e.Err.Error() }

// Model returns the model as it is after the last answer.
func (s *Session) Model() *engine.Model { return s.m }

// load loads the sheet. One with mistakes is refused: what an answer moves could not be told.
func (s *Session) load() error {
	sheet, err := project.Load(s.file)
	if err != nil {
		return err
	}
	if wrong := sheet.Model.Mistakes(); len(wrong) > 0 {
		return wrong[0]
	}
	s.sheet, s.m, s.texts, s.givens = sheet, sheet.Model, engine.TextsOf(sheet.Model), nil
	s.chief = map[string]bool{}
	for _, c := range report.Chief(s.m) {
		s.chief[c.Name] = true
	}
	return nil
}

// fileOf names the file of a sheet of the project: the asked-for one as it was typed.
func (s *Session) fileOf(path string) string {
	real := s.sheet.File(path)
	if real == project.Real(s.file) {
		return s.file
	}
	return project.FromHere(real)
}

// refresh loads the sheet anew if another program has written one of its files.
func (s *Session) refresh() (anew bool, err error) {
	for path, f := range s.texts {
		data, err := project.Read(s.fileOf(path))
		if err != nil {
			return false, err
		}
		if string(data) != f.Source.Text() {
			return true, s.load()
		}
	}
	return false, nil
}

// errMeanwhile is returned by put when the value that was to be replaced is not the one that was asked about.
var errMeanwhile = errors.New("changed meanwhile")

// retries is how often a file is written anew when somebody else writes it at the same moment.
const retries = 50

// put changes the file of a sheet of the project: edit is given its text as it is at that moment. It reports whether
// the text was the one that is known. With anew the new text must be one that the sheet can be loaded with, free of
// mistakes.
func (s *Session) put(path string, anew bool, edit func(*text.File) (*text.File, error)) (known bool, err error) {
	file := s.fileOf(path)
	var after *text.File
	change := func(old []byte) ([]byte, error) {
		before, _ := text.Parse(text.NewSource(project.Shown(file), old))
		known = string(old) == s.texts[path].Source.Text()
		var err error
		if after, err = edit(before); err != nil {
			return nil, err
		}
		data := []byte(after.Source.Text())
		if anew {
			err = s.mistakeIn(path, data)
		}
		return data, err
	}
	for range retries {
		if err = project.Edit(file, change); project.KindOf(err) != project.Changed {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	if err != nil {
		return known, err
	}
	s.texts[path] = after
	s.written[file]++
	s.givens = nil
	return known, nil
}

// mistakeIn returns the first mistake that the sheet has with another text in one of its files; nil if there is none.
func (s *Session) mistakeIn(path string, data []byte) error {
	sheet, err := project.LoadInstead(s.file, s.sheet.File(path), data)
	if err != nil {
		return err
	}
	if wrong := sheet.Model.Mistakes(); len(wrong) > 0 {
		return wrong[0]
	}
	return nil
}

// moved loads the sheet anew after a change of its text, and puts into a reply what that moved.
func (s *Session) moved(reply *Reply, page string) error {
	before := s.m
	if err := s.load(); err != nil {
		return err
	}
	if max(before.Count(), s.m.Count()) > engine.MaxCompared {
		reply.Others = -1
		return nil
	}
	s.tell(reply, engine.Between(before, s.m), page)
	return nil
}

// nearTold is how many cells of the answer's own page are reported where no chief result moved.
const nearTold = 3

// tell puts into a reply what of a change is told after an answer: checks that flipped, and chief results that moved,
// or else the first cells of the answer's own page, or else how many values moved.
func (s *Session) tell(reply *Reply, r engine.Ripple, page string) {
	var chief, near []engine.Move
	others := 0
	for _, m := range r.Moves {
		if m.Kind != engine.Given && !m.IsCheck {
			others++
		}
		switch {
		case m.IsCheck || m.Hidden || m.Table != "" || m.Kind == engine.Given:
		case s.chief[m.Name]:
			chief = append(chief, m)
		case m.Page == page && len(near) < nearTold:
			near = append(near, m)
		}
	}
	if len(chief) == 0 {
		chief = near
	}
	if reply.Moves = append(report.Flips(r.Moves), chief...); len(reply.Moves) == 0 {
		reply.Others = others
	}
}

// Written says what has been written so far, and where.
func (s *Session) Written() string {
	var parts []string
	for _, file := range slices.Sorted(maps.Keys(s.written)) {
		parts = append(parts, fmt.Sprintf("%s in %s", report.Count(s.written[file], "answer"), project.Shown(file)))
	}
	if len(parts) == 0 {
		return "nothing"
	}
	return strings.Join(parts, ", ")
}
