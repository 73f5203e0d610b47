package report

import (
	"fmt"

	"gusset/engine"
)

// State tells how a value, a check or an adjusted value stands.
type State uint8

// The states.
const (
	Known     State = iota // it has a value, and is not a check
	Holds                  // a check that is met
	Fails                  // a check that is not
	NotGiven               // to be measured or chosen, and not given yet
	Waits                  // something that it needs is not given yet, or has no result
	NoResult               // it cannot be worked out
	Absent                 // there is no such value on this side of a comparison
	InStep                 // an adjusted value that fits the other values
	OutOfStep              // one that does not any more, where nothing searches for it again
)

// StateOf returns how a value stands.
func StateOf(v engine.Value) State {
	switch {
	case v.Status == engine.Absent:
		return Absent
	case v.Status == engine.None:
		return NoResult
	case v.Status == engine.Waits && v.Given:
		return NotGiven
	case v.Status == engine.Waits:
		return Waits
	case !v.IsCheck:
		return Known
	case v.Number == 1:
		return Holds
	}
	return Fails
}

// HasValue reports whether there is a value, or a check has come out.
func (s State) HasValue() bool { return s == Known || s == Holds || s == Fails }

// IsBad reports whether a state calls for action: a check fails, or there is no result.
func (s State) IsBad() bool { return s == Fails || s == NoResult }

// words are the states in English, and in records that programs read.
var words = [...]struct{ code, word, one, many, now string }{
	Known:     {code: "ok"},
	Holds:     {"holds", "holds", "holds", "hold", "holds now"},
	Fails:     {"fails", "fails", "fails", "fail", "FAILS NOW"},
	NotGiven:  {"waits", "not given", "is not given", "are not given", "waits now"},
	Waits:     {"waits", "waits", "waits", "wait", "waits now"},
	NoResult:  {"none", "no result", "has no result", "have no result", "NO RESULT"},
	Absent:    {"absent", "absent", "is absent", "are absent", "gone now"},
	InStep:    {word: "in step", one: "is in step", many: "are in step"},
	OutOfStep: {word: "out of step", one: "is out of step", many: "are out of step"},
}

// String returns the word that is in the place of a value; none where there is a value.
func (s State) String() string { return words[s].word }

// Code returns the state as JSON and CSV have it.
func (s State) Code() string { return words[s].code }

// Now says whether a check holds after a change, loudly where that is bad.
func (s State) Now() string { return words[s].now }

// Are says that so many are like this: are on guesses, hold, have no result.
func (s State) Are(n int) string {
	if n == 1 {
		return words[s].one
	}
	return words[s].many
}

// counted says how many are like this: "1 holds", "2 hold", "1 has no result".
func (s State) counted(n int) string { return fmt.Sprintf("%d %s", n, s.Are(n)) }

// StatusCode returns whether there is a value, as JSON and CSV have it; of a check likewise, however it came out.
func StatusCode(v engine.Value) string {
	if v.Status == engine.OK {
		return Known.Code()
	}
	return StateOf(v).Code()
}
