package units

import (
	"fmt"
	"strings"
	"unicode"
)

// reader goes through a text that is read as a number or as a unit.
type reader struct {
	set  *Set
	text string
	at   int
	end  int // where the text ends
}

// rest is what has not been read yet.
func (r *reader) rest() string { return r.text[r.at:r.end] }

func (r *reader) skipSpace() {
	r.at = r.end - len(strings.TrimLeftFunc(r.rest(), unicode.IsSpace))
}

// fail ends the reading with a mistake in [from, to): see try.
func (r *reader) fail(code string, from, to int, hint, format string, args ...any) {
	panic(&Error{Code: code, From: from, To: min(to, len(r.text)), Msg: fmt.Sprintf(format, args...), Hint: hint})
}

// try calls parse, which panics with an *Error where it finds a mistake, and returns that.
func try(parse func()) (err *Error) {
	defer func() {
		if e := recover(); e != nil {
			var mistake bool
			if err, mistake = e.(*Error); !mistake {
				panic(e)
			}
		}
	}()
	parse()
	return nil
}
