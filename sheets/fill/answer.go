package fill

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/report"
	"gusset/sheets/text"
)

// Reply is what became of a line that was typed.
type Reply struct {
	Wrong   error         // why it was not taken; nothing has been written then
	Said    []string      // what there is to say besides
	Wrote   bool          // a value was written
	Moves   []engine.Move // what that moved: checks that flipped, and results
	Settled bool          // a guess was confirmed as it is
	End     bool          // the line ends it
}

// Words that are answers of their own.
const (
	wordEnd     = "."
	wordBack    = "<"
	wordConfirm = "ok"
	markRow     = "+"
	wordLike    = "like "
)

// Take takes a line that was typed: an answer to the question, a word that steers, or NAME : VALUE for any given value.
func (s *Session) Take(line string) Reply {
	line = strings.TrimSpace(line)
	switch line {
	case wordEnd:
		return Reply{End: true}
	case wordBack:
		return s.back()
	}
	anew, err := s.refresh()
	if err != nil {
		return Reply{Wrong: err}
	}
	q, asking := s.Question()
	reply := s.take(q, asking, line)
	if anew {
		reply.Said = append(reply.Said, "another program has changed the sheet, or one that it uses: it has been read again")
	}
	return reply
}

func (s *Session) take(q Question, asking bool, line string) Reply {
	if name, value, ok := s.byName(q, line); ok {
		return s.answer(name, value)
	}
	switch {
	case !asking:
		return Reply{Wrong: errors.New("nothing is left to ask; NAME : VALUE sets any given value")}
	case q.Kind == AskRow:
		return s.offered(q, line)
	case q.Kind == AskName:
		return s.nameRow(q, line)
	case strings.HasPrefix(line, markRow) && !startsNumber(line):
		return s.beginRow(q, strings.TrimSpace(line[len(markRow):]))
	case line == "":
		s.done(q.Name)
		return Reply{}
	case line == wordConfirm:
		return s.confirm(q)
	}
	return s.answer(q.Name, line)
}

// startsNumber reports whether a plus begins a number.
func startsNumber(line string) bool {
	return len(line) > 1 && strings.ContainsRune(".0123456789", rune(line[1]))
}

// byName reads NAME : VALUE, where NAME is that of a given value.
func (s *Session) byName(q Question, line string) (name, value string, ok bool) {
	at := colonAfterName(line)
	if at < 0 {
		return "", "", false
	}
	path, err := text.ParsePath(strings.TrimSpace(line[:at]))
	if err != nil {
		return "", "", false
	}
	name, value = path.String(), strings.TrimSpace(line[at+1:])
	if _, given := s.find(name); !given && (q.Kind == AskName || q.IsText) {
		return "", "", false // a name and a text may have a colon in them
	}
	return name, value, true
}

// colonAfterName returns the place of the first colon outside quotes and brackets; -1 if there is none.
func colonAfterName(line string) int {
	depth, quoted := 0, false
	for i, c := range line {
		switch {
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '[':
			depth++
		case c == ']':
			depth--
		case c == ':' && depth == 0:
			return i
		}
	}
	return -1
}

// done notes that a value has had its turn.
func (s *Session) done(name string) {
	if !s.asked[name] {
		s.trail = append(s.trail, name)
	}
	s.asked[name] = true
	if s.current != nil && s.current.Kind == AskValue && s.current.Name == name {
		s.current = nil
	}
}

// back goes to the value that had its turn before.
func (s *Session) back() Reply {
	if len(s.trail) == 0 {
		return Reply{Wrong: errors.New("this is the first one, there is none before it")}
	}
	last := s.trail[len(s.trail)-1]
	s.trail = s.trail[:len(s.trail)-1]
	delete(s.asked, last)
	s.putOff()
	v, _ := s.find(last)
	s.current = &Question{GivenValue: v}
	return Reply{}
}

// confirm takes the mark of a guess off.
func (s *Session) confirm(q Question) Reply {
	switch {
	case report.StateOf(q.Value) == report.NotGiven:
		return Reply{Wrong: fmt.Errorf("%s is not given yet, so there is nothing to confirm", q.Name)}
	case !q.Guess:
		s.done(q.Name)
		return Reply{}
	}
	v := text.Given(s.texts[q.Sheet])[s.targetOf(q.GivenValue).Name]
	reply := s.answer(q.Name, v.Typed())
	reply.Settled = reply.Wrong == nil
	return reply
}

// answer gives a value what was typed for it, and writes that into its file.
func (s *Session) answer(name, typed string) Reply {
	if _, given := s.find(name); !given {
		_, err := s.m.Target(engine.Setting{Name: name, Value: typed})
		if err == nil {
			err = fmt.Errorf("%s is not a given value", name)
		}
		return Reply{Wrong: err}
	}
	q := s.describe(name)
	value, missing, err := s.read(q, typed)
	switch {
	case err != nil:
		return Reply{Wrong: err}
	case missing:
		return s.offerRow(q, typed)
	}
	target := s.targetOf(q.GivenValue)
	was := text.Given(s.texts[q.Sheet])[target.Name]
	set, err := s.m.Target(engine.Setting{Name: name, Value: value})
	structure := err != nil
	switch {
	case !structure && !strings.HasPrefix(value, `"`): // in quotes it may have the mark of a guess
		value = set.Value
	case structure:
		if err = s.refusal(q.Sheet, was, value, err); err != nil {
			return Reply{Wrong: err}
		}
	}
	target.Value = value
	known, err := s.put(q.Sheet, structure, func(f *text.File) (*text.File, error) {
		if now := text.Given(f)[target.Name]; !sameValue(now, was) {
			return nil, errMeanwhile
		}
		return target.Write(f)
	})
	if errors.Is(err, errMeanwhile) {
		err = s.load()
		if err == nil {
			err = fmt.Errorf("%s has been changed meanwhile; it is asked again as it is now", name)
		}
		return Reply{Wrong: err}
	}
	if err != nil {
		return Reply{Wrong: err}
	}
	reply := Reply{Wrote: true}
	setting := engine.Setting{Name: name, Value: value}
	switch {
	case !known || structure:
		reply.Moves, err = s.moved(q.Page)
	case s.m.Count() > engine.MaxCompared: // what moves is more than can be looked at
		err = s.m.SetAll(setting)
	default:
		var r engine.Ripple
		r, err = s.m.Ripple(setting)
		reply.Moves = s.tellable(r, q.Page)
	}
	if err != nil {
		reply.Said = append(reply.Said, err.Error())
	}
	s.done(name)
	s.offerCompanions(q, target)
	return reply
}

// targetOf returns where a value is written; its name is the one that text.Given has.
func (s *Session) targetOf(v engine.GivenValue) engine.Target {
	t := engine.Target{Sheet: v.Sheet, Name: ownName(v.Name)}
	if v.Table == "" {
		t.Cell = t.Name
	} else {
		t.Table, t.Row, t.Column = ownName(v.Table), v.Row, v.Column
		t.Name = fmt.Sprintf("%s[%q].%s", t.Table, t.Row, t.Column)
	}
	t.Unit, _ = text.UnitOf(s.texts[v.Sheet], t.Cell, t.Table, t.Column)
	return t
}

// sameValue reports whether two values are typed alike.
func sameValue(a, b text.Value) bool {
	return a.Kind == b.Kind && a.Typed() == b.Typed() && a.GiveOrTake().Text == b.GiveOrTake().Text &&
		a.Guess().Given() == b.Guess().Given()
}

// refusal returns why a value cannot take the place of an old one: what the sheet would say with it there. Where the
// sheet takes it all the same, as with one that decides what may be chosen elsewhere, that is nil.
func (s *Session) refusal(path string, old text.Value, value string, why error) error {
	f := s.texts[path]
	from, to := old.Word.Span.Start, max(old.Word.Span.Start, old.End())
	whole := f.Source.Text()
	if from > 0 && whole[from-1] != ' ' {
		value = " " + value
	}
	at := f.Source.Position(from).Line
	sheet, err := project.LoadInstead(s.file, s.sheet.File(path), []byte(whole[:from]+value+whole[to:]))
	if err != nil {
		return why
	}
	name := engine.TextsOf(sheet.Model)[path].Source.Name
	wrong := sheet.Model.Mistakes()
	for _, d := range wrong {
		if d.Source.Name == name && d.Source.Position(d.Span.Start).Line == at {
			return d
		}
	}
	switch _, err := text.ParseValue(value); {
	case err != nil:
		return why
	case len(wrong) > 0: // elsewhere, by way of what may be chosen there
		return wrong[0]
	}
	return nil
}

// read makes what was typed a value as a sheet writes it: an option by its number or its beginning, a text without its
// quotes. Missing reports that it is not an option, but could be one: the options are the rows of a table.
func (s *Session) read(q Question, typed string) (value string, missing bool, err error) {
	if len(q.Options) == 0 && !q.IsText || typed == "" {
		return typed, false, nil
	}
	body, mark, whole := typed, "", false
	if v, err := text.ParseValue(typed); err == nil && v.Kind == text.TextValue {
		body, whole = v.Word.Text, true
		if v.Guess().Given() {
			mark = " " + report.GuessMark
		}
	} else if cut, found := strings.CutSuffix(typed, report.GuessMark); found {
		body, mark = strings.TrimSpace(cut), " "+report.GuessMark
	}
	write := func(option string) string {
		if q.IsBoolean {
			return option + mark
		}
		return text.Quote(option) + mark
	}
	if len(q.Options) == 0 {
		return write(body), false, nil
	}
	var found []string
	if !whole { // in quotes it is all there is to it
		found = Options(q.Options, body)
	}
	switch n, err := strconv.Atoi(body); {
	case slices.Contains(q.Options, body):
		return write(body), false, nil
	case err == nil && !whole && n >= 1 && n <= len(q.Options):
		return write(q.Options[n-1]), false, nil
	case len(found) == 1:
		return write(found[0]), false, nil
	case len(found) > 1:
		return "", false, fmt.Errorf("%s could be %s", strconv.Quote(body), someOf(found))
	}
	_, _, offered := s.tableOfOptions(q)
	if !offered {
		return write(body), false, nil // which is refused with what there is to choose from
	}
	return "", true, nil
}

// Options returns those of some options that begin with what was typed, capitals or not.
func Options(options []string, typed string) []string {
	var found []string
	for _, o := range options {
		if len(o) >= len(typed) && strings.EqualFold(o[:len(typed)], typed) {
			found = append(found, o)
		}
	}
	return found
}

// someOf joins the first of some texts in quotes.
func someOf(texts []string) string {
	const most = 5
	var quoted []string
	for _, t := range texts[:min(len(texts), most)] {
		quoted = append(quoted, strconv.Quote(t))
	}
	if more := len(texts) - most; more > 0 {
		quoted = append(quoted, fmt.Sprintf("%d more", more))
	}
	last := len(quoted) - 1
	return strings.Join(quoted[:last], ", ") + " or " + quoted[last]
}
