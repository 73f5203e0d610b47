package text

import (
	"path"
	"strings"
)

// path reads the file of a use. A backslash in it is taken as it is: somebody has written it between folders, and has
// to be told about folders, not about backslashes.
func (r *reader) path() Word {
	if r.next() == '"' {
		from := r.pos
		if to := closingQuote(r.text, from, r.end); to >= 0 {
			r.pos = to + 1
			plain := strings.NewReplacer(`\\`, `\`, `\"`, `"`).Replace(r.text[from+1 : to])
			return Word{plain, Span{int32(from), int32(to + 1)}}
		}
	}
	if w := r.word(r.pos, r.codeEnd()); strings.Contains(w.Text, `\`) {
		r.failAt(w, "no-quotes", "the file goes in quotes, with / between folders",
			"use "+Quote(strings.ReplaceAll(w.Text, `\`, "/")))
	}
	return r.quoted("the file", `use "rack.gusset"`)
}

// Name returns the name that the used sheet goes by. Where none is given it is that of its file, without folder and
// ending, and with _ in place of all that a name may not have; it may still not be a name, as it begins with something
// else than a letter or is a word of the language.
func (u *Use) Name() Word {
	if u.As.Given() {
		return u.As
	}
	file := u.Path.Text
	file = file[strings.LastIndexAny(file, `/\`)+1:]
	name := strings.Map(func(c rune) rune {
		if inName(c) && !invisible(c) {
			return c
		}
		return '_'
	}, strings.TrimSuffix(file, path.Ext(file)))
	return Word{name, u.Path.Span}
}
