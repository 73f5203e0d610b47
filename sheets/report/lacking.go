package report

import (
	"fmt"

	"gusset/engine"
)

// Lacking is what of a table has no result, or waits. In the place of an entry there is no room to say why.
type Lacking struct {
	first map[State]string // the first of each state, and why
	count map[State]int
}

// Note takes an entry into account; name gives the one that formulas use.
func (l *Lacking) Note(v engine.Value, name func() string) {
	s := StateOf(v)
	if s != NoResult && s != Waits {
		return
	}
	if l.count == nil {
		l.first, l.count = map[State]string{}, map[State]int{}
	}
	if l.count[s]++; l.count[s] == 1 {
		l.first[s] = name() + ": " + v.Reason
	}
}

// Lines says why the first entry of each state has no value, and how many more there are.
func (l *Lacking) Lines() []string {
	var lines []string
	for _, s := range []State{NoResult, Waits} {
		line := l.first[s]
		switch more := l.count[s] - 1; {
		case more < 0:
			continue
		case more > 0:
			line += fmt.Sprintf("; %d more %s", more, s.Are(more))
		}
		lines = append(lines, line)
	}
	return lines
}
