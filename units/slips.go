package units

import (
	"fmt"
)

func (s *Set) unknown(name string, from, to int) *Error {
	e := &Error{Code: "unknown-unit", From: from, To: to, Msg: "unknown unit " + name}
	if near, ok := Nearest(name, s.wordList()); ok {
		e.Hint = fmt.Sprintf("write %s", near)
	}
	return e
}

func phraseSlip(text string) *Error { return nil }

func (s *Set) wordList() []string {
	list := s.ownNames()
	for _, e := range table {
		list = append(list, e.name)
		list = append(list, e.aliases...)
	}
	return list
}
