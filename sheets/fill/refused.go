package fill

import (
	"strings"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/text"
)

// What is said of an answer that the sheet does not take.

// refusal returns why a value cannot take the place of an old one: what the sheet would say with it there. Where the
// sheet takes it all the same, as with one that decides what may be chosen elsewhere, that is nil.
func (s *Session) refusal(path string, old text.Value, value string, why error) error {
	from := old.Word.Span.Start
	before := s.texts[path].Source.Text()[:from]
	if from > 0 && before[from-1] != ' ' {
		value = " " + value
	}
	d, wrong, err := s.mistakeWith(path, old, value)
	if err != nil {
		return why
	}
	if d != nil {
		d.Hint = asAnswer(d.Hint, before)
		if answer, ok := mended(value, *d, int(from)); ok {
			if left, _, err := s.mistakeWith(path, old, answer); err == nil && left == nil {
				d.Hint = "write " + strings.TrimSpace(answer)
			}
		}
		return *d
	}
	switch _, err := text.ParseValue(value); {
	case err != nil:
		return why
	case len(wrong) > 0: // elsewhere, by way of what may be chosen there
		return wrong[0]
	}
	return nil
}

// mistakeWith returns what is wrong with the line of a value when another takes its place, nil where nothing is, and
// all that is wrong in the sheet then.
func (s *Session) mistakeWith(path string, old text.Value, value string) (*text.Diag, text.Diags, error) {
	src := s.texts[path].Source
	from, to := old.Word.Span.Start, max(old.Word.Span.Start, old.End())
	whole, at := src.Text(), src.Position(from).Line
	sheet, err := project.LoadInstead(s.file, s.sheet.File(path), []byte(whole[:from]+value+whole[to:]))
	if err != nil {
		return nil, nil, err
	}
	name := engine.TextsOf(sheet.Model)[path].Source.Name
	wrong := sheet.Model.Mistakes()
	for _, d := range wrong {
		if d.Source.Name == name && d.Source.Position(d.Span.Start).Line == at {
			return &d, wrong, nil
		}
	}
	return nil, wrong, nil
}

// asAnswer makes a hint about the whole line of a cell one about its value alone, as it is typed for an answer; before
// is the sheet up to the value.
func asAnswer(hint, before string) string {
	lead := strings.TrimSpace(strings.TrimRight(before[strings.LastIndexByte(before, '\n')+1:], ": \t"))
	if value, about := strings.CutPrefix(hint, lead+" : "); about && lead != "" {
		return value
	} else if strings.HasPrefix(hint, lead+" = ") && lead != "" {
		return "in the sheet write " + hint
	} else if hint == lead+" :" {
		return "Enter leaves it as it is"
	}
	return hint
}

// mended returns a value, which stands at from in the sheet, with what its message says to write in the place of what
// it marks: an answer is typed again as a whole, and a hint about a part of it would drop its unit or its ±.
func mended(value string, d text.Diag, from int) (string, bool) {
	part, isPart := strings.CutPrefix(d.Hint, "write ")
	start, end := int(d.Span.Start)-from, int(d.Span.End)-from
	if !isPart || start < 0 || end > len(value) {
		return "", false
	}
	return value[:start] + part + value[end:], true
}
