package workbook

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"gusset/engine"
	"gusset/sheets/report"
	"gusset/sheets/text"
)

// Given values also come back as lines NAME : VALUE, as below a variant. Notes above them say which sheet they are of:
// its title, "file" with its name, and "fingerprint" with that of its text. The note of a line may say what the value
// was: "was 8-1/4".

// The limits of such lines, far beyond what somebody changes by hand.
const (
	MaxLinesBytes = 1 << 20
	maxLines      = 5000
	maxLinesSteps = 500_000_000 // of working them out
)

// The words of the notes.
const (
	fileWord        = "file "
	fingerprintWord = "fingerprint "
	wasWord         = "was "
)

// ReturnLines reads lines NAME : VALUE that somebody has changed, as Return reads a workbook. Its errors do not name
// their file.
func ReturnLines(lines []byte, m *engine.Model, src Source, anySheet bool) (*Returned, error) {
	if len(lines) > MaxLinesBytes {
		return nil, fmt.Errorf("these lines have more than %d bytes", MaxLinesBytes)
	}
	m = m.ForkContext(context.Background()) // what is tried here is bounded by itself
	lines = bytes.TrimPrefix(lines, []byte("\uFEFF"))
	head := headOf(lines)
	list, unread := readLines(lines)
	switch {
	case len(list) == 0 && len(unread) == 0:
		return nil, errors.New("there is no line NAME : VALUE in it")
	case len(list) > maxLines:
		return nil, fmt.Errorf("at most %d lines can be taken over at once", maxLines)
	case m.Effort() > maxLinesSteps/4:
		return nil, errors.New("this sheet takes too many steps to work out")
	}
	r := &returning{what: "the lines", Returned: Returned{
		From: head.file, SameText: head.fingerprint == text.Fingerprint(src.Text), Remaining: unread}}
	r.Changed = head.fingerprint != "" && !r.SameText
	b := &lineReader{returning: r, m: m, alias: m.Aliases(), lines: map[string][]int{}}
	sheet, _ := text.Parse(text.NewSource("sheet", src.Text))
	r.given = text.Given(sheet)
	known := 0
	for _, l := range list {
		if _, err := m.Value(l.name); err == nil {
			known++
		}
		b.lines[l.name] = append(b.lines[l.name], l.line)
	}
	sameName := r.From == printable(src.File) || head.title != "" && head.title == printable(m.Title())
	r.Other = !r.SameText && (!sameName || known*2 < len(list))
	if r.Other && !anySheet {
		return nil, &OtherSheet{What: "these lines were", From: r.From, Title: head.title, Names: len(list), Known: known}
	}
	for _, l := range list {
		b.target(l)
	}
	b.compare()
	r.refused(m)
	return &r.Returned, nil
}

// linesHead is what the notes above the lines say.
type linesHead struct{ title, file, fingerprint string }

// oneLine is a line NAME : VALUE.
type oneLine struct {
	name, value, was string
	empty, guess     bool
	line             int
}

// headOf reads the notes above the lines.
func headOf(data []byte) (head linesHead) {
	for l := range bytes.Lines(data) {
		line := string(bytes.TrimSpace(l))
		note, isNote := strings.CutPrefix(line, "//")
		note = printable(strings.TrimSpace(note))
		file, isFile := strings.CutPrefix(note, fileWord)
		print, isPrint := strings.CutPrefix(note, fingerprintWord)
		switch {
		case line == "":
		case !isNote:
			return head
		case isFile:
			head.file = strings.TrimSpace(file)
		case isPrint:
			head.fingerprint = strings.TrimSpace(print)
		case head.title == "":
			head.title = note
		}
	}
	return head
}

// readLines reads lines, as those of a variant. What cannot be read is named with its place.
func readLines(data []byte) (list []oneLine, unread []Remark) {
	var b strings.Builder
	b.WriteString("variant \"lines\"\n")
	for l := range bytes.Lines(data) {
		fmt.Fprintf(&b, "  %s\n", bytes.TrimSpace(l))
	}
	f, diags := text.Parse(text.NewSource("lines", []byte(b.String())))
	at := func(span text.Span) int { return f.Source.Position(span.Start).Line - 1 }
	for _, d := range diags {
		if at(d.Span) == 0 {
			continue // there is no line at all
		}
		said := "cannot be read: " + printable(d.Msg)
		if d.Hint != "" {
			said += " (" + printable(d.Hint) + ")"
		}
		unread = append(unread, Remark{fmt.Sprintf("line %d", at(d.Span)), said})
	}
	for _, v := range text.NodesOf[*text.Variant](f) {
		for _, n := range v.Body {
			s, ok := n.(*text.Setting)
			if !ok {
				continue
			}
			l := oneLine{name: s.Target.String(), line: at(s.Target.Span), guess: s.Value.Guess().Given(),
				empty: s.Value.Kind == text.NoValue}
			l.value = string(f.Source.Text()[s.Value.Word.Span.Start:s.Value.End()])
			if was, told := strings.CutPrefix(s.Note.Text, wasWord); told {
				l.was = was
			}
			list = append(list, l)
		}
	}
	return list, unread
}

// lineReader reads changes from lines.
type lineReader struct {
	*returning
	m     *engine.Model
	alias map[string]string // of each sheet, by path
	lines map[string][]int  // where each name is set
	wants []wanting
}

// wanting is a line with the value that it is for.
type wanting struct {
	oneLine
	target engine.Target
	was    engine.Value // in the sheet
}

// target finds out where the value of a line goes, or says why it cannot be taken.
func (b *lineReader) target(l oneLine) {
	said := func(format string, args ...any) {
		b.remain(l.name, fmt.Sprintf("(line %d) ", l.line)+format, args...)
	}
	if at := b.lines[l.name]; len(at) > 1 {
		if at[0] == l.line {
			said("is given %d times: keep one of these lines", len(at))
		}
		return
	}
	was, err := b.m.Value(l.name)
	if err != nil {
		said("is not in this sheet: %v", err)
		return
	}
	if l.empty {
		if was.Status == engine.OK {
			said("was %s and has been cleared", quantity(was))
		}
		return
	}
	target, err := b.m.Target(engine.Setting{Name: l.name, Value: l.value})
	if err != nil {
		said("cannot be taken: %s", strings.TrimPrefix(err.Error(), l.name+": "))
		return
	}
	if b.alias[target.Sheet] != "" {
		said("is %s and was %s, but it belongs to another sheet, which other models may use: change it there", l.value,
			quantity(was))
		return
	}
	b.wants = append(b.wants, wanting{oneLine: l, target: target, was: was})
}

// quantity shows a value with its unit, a text in quotes.
func quantity(v engine.Value) string {
	if v.Status != engine.OK {
		return "nothing"
	}
	return report.QuantityOf(v)
}

// compare tells which lines change something.
func (b *lineReader) compare() {
	now, refused := b.settle(func(w wanting) string { return w.value })
	then, _ := b.settle(func(w wanting) string { return w.oneLine.was })
	for _, w := range b.wants {
		is, ok := now[w.name]
		if !ok { // by itself it could be made, together with the others it cannot
			b.remain(w.name, "is %s in the lines and was %s, but %s", w.value, quantity(w.was),
				strings.TrimPrefix(refused[w.name].Error(), w.name+": "))
			continue
		}
		before, told := then[w.name]
		given, known := b.given[w.target.Name]
		same := alikeGiven(is, w.was)
		switch {
		case same && w.was.Guess && !w.guess && known:
			b.Measured = append(b.Measured, Change{Name: w.name, Was: quantity(w.was) + " " + guessMark,
				Now: quantity(w.was), Value: strings.TrimSpace(given.Typed() + " " + given.Tolerance()), entry: entryOf(w.target)})
		case same && (w.was.Guess || !w.guess):
		case told && !alikeGiven(before, w.was):
			b.remain(w.name, "has been changed on both sides since: it was %s, is %s in the sheet and %s in the lines",
				w.oneLine.was, quantity(w.was), quantity(is))
		case is.IsNumber() && is.Status == engine.OK && tooFar(w.was, is.Number, quantity(is)) != "":
			b.remain(w.name, "%s", tooFar(w.was, is.Number, quantity(is)))
		default:
			c := Change{Name: w.name, Was: quantity(w.was), Now: quantity(is), Value: w.target.Value,
				entry: entryOf(w.target)}
			if w.guess && !strings.HasSuffix(c.Value, guessMark) { // of a text, which the target holds without it
				c.Value += " " + guessMark
			}
			if is.IsNumber() {
				c.Doubt = doubt(w.was, is.Number)
			}
			if u := unitName(is); u != "" && !strings.ContainsFunc(c.Value, isOfUnit) {
				c.Now = c.Value + " " + u
			}
			if b.Changed && !told {
				b.Notes = append(b.Notes, Remark{w.name, "is taken whatever it was when the lines were saved: its line does " +
					"not say what it was"})
			}
			b.Changes = append(b.Changes, c)
		}
	}
}

// isOfUnit reports whether a character is not that of a plain number.
func isOfUnit(r rune) bool { return unicode.IsLetter(r) || strings.ContainsRune("%±?", r) }

// settle returns what values come to that are typed for the lines, and why some cannot be given together with the
// others. What cannot be typed at all is left out.
func (b *lineReader) settle(typed func(wanting) string) (values map[string]engine.Value, refused map[string]error) {
	fork := b.m.Fork()
	values, refused = map[string]engine.Value{}, map[string]error{}
	var settings []engine.Setting
	for _, w := range b.wants {
		set := engine.Setting{Name: w.name, Value: typed(w)}
		if _, err := b.m.Target(set); err == nil && set.Value != "" {
			settings = append(settings, set)
		}
	}
	for len(settings) > 0 {
		err := fork.SetAll(settings...)
		if err == nil {
			break
		}
		var why *engine.Error
		named := errors.As(err, &why) &&
			slices.ContainsFunc(settings, func(s engine.Setting) bool { return s.Name == why.Name })
		settings = slices.DeleteFunc(settings, func(s engine.Setting) bool {
			if named && s.Name != why.Name {
				return false
			}
			refused[s.Name] = err
			return true
		})
	}
	for _, s := range settings {
		if v, err := fork.Value(s.Name); err != nil {
			refused[s.Name] = err
		} else {
			values[s.Name] = v
		}
	}
	return values, refused
}

// alikeGiven reports whether two given values are the same, but for the mark of a guess.
func alikeGiven(a, b engine.Value) bool {
	switch {
	case a.Status != b.Status || a.IsText != b.IsText || a.IsBoolean != b.IsBoolean || a.Tolerance != b.Tolerance:
		return false
	case a.Status != engine.OK:
		return true
	case a.IsText:
		return a.Text == b.Text
	}
	return math.Abs(a.Number-b.Number) <= 1e-14*math.Abs(a.Number)
}

// entryOf returns the table, row and column of a target; of a cell they are empty.
func entryOf(t engine.Target) [3]string { return [3]string{t.Table, t.Row, t.Column} }
