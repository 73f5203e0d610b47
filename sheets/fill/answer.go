package fill

import (
	"cmp"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"gusset/engine"
	"gusset/sheets/report"
	"gusset/sheets/text"
	"gusset/units/nearest"
)

// Reply is what became of a line that was typed.
type Reply struct {
	Wrong   error         // why it was not taken; nothing has been written then
	Said    []string      // what there is to say besides
	Wrote   bool          // a value was written
	Moves   []engine.Move // what that moved: checks that flipped, and results
	Others  int           // how many other values it moved, where Moves has none; -1: more than can be looked at
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
	if name, err := s.asInSheet(line); err != nil {
		return Reply{Wrong: err}
	} else if name != "" {
		line = name + line[strings.IndexByte(line, ']')+1:]
	}
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

// sheetLine matches a cell as a sheet has it, which is typed for NAME : VALUE.
var sheetLine = regexp.MustCompile(`^(\pL[\pL\pN_]*)\s*(\[[^\]"]*\])?\s*([:=])`)

// asInSheet returns the name of a line that is typed as the sheet has it, NAME [UNIT] : VALUE; empty for any other. An
// error says what an answer cannot have of it: another unit than the sheet's, or an =.
func (s *Session) asInSheet(line string) (name string, err error) {
	part := sheetLine.FindStringSubmatch(line)
	if part == nil || part[2] == "" && part[3] == ":" {
		return "", nil
	}
	v, given := s.find(part[1])
	if !given {
		return "", nil
	}
	tag, _ := text.TagOf(s.texts[v.At.Sheet], v.At.Cell, v.At.Table, v.At.Column)
	unit, _, _ := strings.Cut(strings.Trim(part[2], "[]"), ",")
	switch {
	case part[3] == "=":
		return "", fmt.Errorf("%s is given, so its mark is a colon: %s : VALUE", v.Name, v.Name)
	case strings.TrimSpace(unit) != tag.Unit.Text:
		return "", fmt.Errorf("%s is counted in [%s]; the unit of another value goes after it: %s : VALUE %s", v.Name,
			tag.Unit.Text, v.Name, strings.TrimSpace(unit))
	}
	return part[1], nil
}

// startsNumber reports whether a plus begins a number.
func startsNumber(line string) bool {
	return len(line) > 1 && strings.ContainsRune(".0123456789", rune(line[1]))
}

// byName reads NAME : VALUE, where NAME is that of a given value.
func (s *Session) byName(q Question, line string) (name, value string, ok bool) {
	path, value, err := text.ParseSetting(line, ":")
	if err != nil {
		name, value, ok = strings.Cut(line, ":") // the name of a row may be typed for an entry
		ok = ok && q.Kind == AskValue && !q.IsText && !strings.Contains(name, `"`) && !startsNumber("+"+name)
		return strings.TrimSpace(name), strings.TrimSpace(value), ok
	}
	name = path.String()
	switch _, given := s.find(name); {
	case given:
	case q.Kind == AskName || q.IsText && (len(q.Options) == 0 || len(Options(q.Options, line)) > 0):
		return "", "", false // a name and a text may have a colon in them
	}
	return name, value, true
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
	v := text.Given(s.texts[q.At.Sheet])[q.At.Name]
	reply := s.answer(q.Name, v.Confirmed())
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
	isFormula := strings.HasPrefix(typed, "=")
	if isFormula && q.Table == "" {
		return Reply{Wrong: fmt.Errorf("%s is a given cell, which takes a value; where it is to be worked out, write = "+
			"in the place of : on its line in the sheet", name)}
	}
	value, missing, err := s.read(q, typed)
	switch {
	case err != nil:
		return Reply{Wrong: err}
	case missing:
		return s.offerRow(q, typed)
	}
	target := q.At
	was := text.Given(s.texts[target.Sheet])[target.Name]
	set, err := s.m.Target(engine.Setting{Name: name, Value: value})
	structure := err != nil
	switch {
	case isFormula:
	case !structure && !strings.HasPrefix(value, `"`): // in quotes it may have the mark of a guess
		value = set.Value
	case structure:
		if err = s.refusal(target.Sheet, was, value, err); err != nil {
			return Reply{Wrong: err}
		}
	}
	target.Value = value
	known, err := s.put(target.Sheet, structure, func(f *text.File) (*text.File, error) {
		if now := text.Given(f)[target.Name]; !sameValue(now, was) {
			return nil, errMeanwhile
		}
		if isFormula {
			return text.SetEntryFormula(f, target.Table, target.Row, target.Column, value)
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
		err = s.moved(&reply, q.Page)
	case s.m.Count() > engine.MaxCompared: // what moves is more than can be looked at
		reply.Others = -1
		err = s.m.SetAll(setting)
	default:
		var r engine.Ripple
		r, err = s.m.Ripple(setting)
		s.tell(&reply, r, q.Page)
	}
	if err != nil {
		reply.Said = append(reply.Said, err.Error())
	}
	if v, err := s.m.Value(name); err == nil && v.Tolerance == "" && was.Tolerance() != "" {
		reply.Said = append(reply.Said, fmt.Sprintf("the %s went with the old value; an answer may have one too",
			was.Tolerance()))
	}
	s.done(name)
	s.offerCompanions(q, target)
	return reply
}

// sameValue reports whether two values are typed alike.
func sameValue(a, b text.Value) bool {
	return a.Kind == b.Kind && a.Confirmed() == b.Confirmed() &&
		a.Guess().Given() == b.Guess().Given()
}

// read makes what was typed a value as a sheet writes it: an option by its number or its beginning, a text without its
// quotes. Missing reports that it is not an option, but could be one: the options are the rows of a table.
func (s *Session) read(q Question, typed string) (value string, missing bool, err error) {
	if len(q.Options) == 0 && !q.IsText || typed == "" || strings.HasPrefix(typed, "=") {
		return typed, false, nil
	}
	body, quoted, guess := takeApart(typed)
	write := func(answer string) string {
		if !q.IsBoolean {
			answer = text.Quote(answer)
		}
		if guess {
			answer += " " + report.GuessMark
		}
		return answer
	}
	n, err := strconv.Atoi(body)
	switch {
	case quoted || slices.Contains(q.Options, body): // it is all there is to it
	case err == nil && n >= 1 && n <= len(q.Options):
		body = q.Options[n-1]
	default:
		option, err := beginning(q.Options, body)
		if err != nil {
			return "", false, err
		}
		body = cmp.Or(option, body)
	}
	if table, _, offered := s.tableOfOptions(q); offered && !slices.Contains(q.Options, body) {
		if near, found := nearest.Word(body, q.Options); found && !quoted {
			return "", false, fmt.Errorf("%s has no row %q; is it %q? Else write it in quotes, to add it there", table, body,
				near)
		}
		return "", true, nil
	}
	return write(body), false, nil // what is not an option is refused with what there is to choose from
}

// takeApart returns what an answer says, without quotes and the mark of a guess.
func takeApart(typed string) (body string, quoted, guess bool) {
	if v, err := text.ParseValue(typed); err == nil && v.Kind == text.TextValue {
		return v.Word.Text, true, v.Guess().Given()
	}
	body, guess = strings.CutSuffix(typed, report.GuessMark)
	return strings.TrimSpace(body), false, guess
}

// mostNamed is how many options are named of those that begin as an answer does.
const mostNamed = 5

// beginning returns the one of some options that is typed, or that alone begins so; empty where none does.
func beginning(options []string, typed string) (string, error) {
	found := Options(options, typed)
	switch {
	case slices.Contains(options, typed):
		return typed, nil
	case len(found) > 1:
		quoted := make([]string, len(found))
		for i, o := range found {
			quoted[i] = strconv.Quote(o)
		}
		return "", fmt.Errorf("%s could be %s", strconv.Quote(typed), report.Together(quoted, mostNamed, "more", "or"))
	}
	return strings.Join(found, ""), nil
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
