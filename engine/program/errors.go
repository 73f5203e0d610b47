package program

import (
	"encoding/json"
	"errors"
	"fmt"
)

// ErrorKind tells what sort of thing went wrong when a model was asked or told something. Each is an error to look for:
// errors.Is(err, ErrNoSuchName).
type ErrorKind uint8

// The kinds of errors.
const (
	ErrNoSuchName  ErrorKind = iota + 1 // there is no cell, table, row, column, sheet or variant of this name
	ErrNotOneValue                      // it is the name of something else: of a table, not of one value
	ErrNotGiven                         // it is worked out, or names a row: it cannot be set
	ErrUnit                             // the value measures something else than is wanted, or its unit is unknown
	ErrWrongKind                        // the value is no number where one is wanted, or no text, or not yes or no
	ErrNotAChoice                       // the text is not one that may be chosen
	ErrLimit                            // it is more than may be asked for
	ErrUnread                           // the sheet, or the line that it is about, cannot be read
)

// Error names the kind.
func (k ErrorKind) Error() string {
	return [...]string{
		"no error", "no such name", "not the name of one value", "not given", "unit that does not fit",
		"value of the wrong kind", "not one of the choices", "over a limit", "cannot be read",
	}[k]
}

// MarshalText names the kind as Error does.
func (k ErrorKind) MarshalText() ([]byte, error) { return []byte(k.Error()), nil }

// Error is what goes wrong when a model is asked or told something. Its text is for the builder, and may change; its
// Kind is for programs.
type Error struct {
	Kind ErrorKind
	Name string // what it is about, as it was asked for: a name of the sheet, or the path of one
	Err  error  // what it says
}

// Error says what went wrong; of an Error without a text it is the kind.
func (e *Error) Error() string {
	switch {
	case e == nil:
		return ErrorKind(0).Error()
	case e.Err == nil:
		return e.Kind.Error()
	}
	return e.Err.Error()
}

// Unwrap returns what is behind it, such as the error of a file.
func (e *Error) Unwrap() error {
	if e == nil {
		return nil
	}
	return e.Err
}

// Is reports whether target is its kind.
func (e *Error) Is(target error) bool { return e != nil && target == e.Kind }

// MarshalJSON writes its fields, with the text of Err.
func (e *Error) MarshalJSON() ([]byte, error) {
	if e == nil {
		return []byte("null"), nil
	}
	return json.Marshal(struct {
		Kind      ErrorKind
		Name, Err string
	}{e.Kind, e.Name, e.Error()})
}

// KindOf returns the kind of an error; 0 where it has none.
func KindOf(err error) ErrorKind {
	var e *Error
	if errors.As(err, &e) {
		return e.Kind
	}
	return 0
}

// Errorf returns an Error with a text, as fmt.Errorf makes it.
func Errorf(kind ErrorKind, name, format string, args ...any) error {
	return &Error{Kind: kind, Name: name, Err: fmt.Errorf(format, args...)}
}
