package fill

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/report"
	"gusset/sheets/text"
)

// Kind is what a Question asks for.
type Kind uint8

// The kinds of questions.
const (
	AskValue Kind = iota // a given value
	AskName              // the name of a new row of Table
	AskRow               // yes or no: whether NewRow is to be a row of Table
)

// Question is what is asked next.
type Question struct {
	Kind Kind

	// Of AskValue.
	engine.GivenValue
	File    string   // that it is in, where that is not the sheet itself
	HowTo   string   // the note on how to measure or choose it
	Options []string // what it may be, by number from 1
	Takes   string   // what the sheet takes in the place of an entry that is not given yet, with its unit

	// Of the others.
	Table  string // as formulas name it
	NewRow string
	Near   string // the row whose name is nearest to that
	path   string // of the sheet that the table is in
	like   string // the row that a new one is to be like
	then   *later // an answer that waits for the row
	first  bool   // it comes before what is in the queue
}

// later is an answer that can be taken once a row is there.
type later struct{ name, typed string }

// Waits reports whether an answer that was typed waits for this one.
func (q Question) Waits() bool { return q.then != nil }

// Needed returns the open values of a sheet that a check or a chief result needs, those of used sheets included, in the
// order in which they are asked for. An answer may make others needed, where a choice or a row hangs on it.
func Needed(m *engine.Model) []engine.GivenValue {
	return inOrder(m, slices.DeleteFunc(givens(m), func(v engine.GivenValue) bool { return !v.Wanted }))
}

// givens returns all given values of a model; wanted are those that a check or a chief result needs.
func givens(m *engine.Model) []engine.GivenValue {
	var on []engine.Place
	for _, c := range append(m.Checks(), report.Chief(m)...) {
		on = append(on, c.Place)
	}
	return engine.Givens(m, on...)
}

// inOrder returns the open ones of some values in the order in which they are asked for: first what is wanted, of that
// what is empty before what is a guess; guesses by how much of the doubt in a chief result comes from them, the most
// first, and all else in the order of the sheets. What nothing wants counts in the sheet itself only, and not where
// formulas name it and do not read it.
func inOrder(m *engine.Model, all []engine.GivenValue) []engine.GivenValue {
	open := slices.DeleteFunc(slices.Clone(all), func(v engine.GivenValue) bool {
		return !report.IsOpen(v.Value) || !v.Wanted && (v.Idle || strings.Contains(ownerOf(v), "."))
	})
	if len(open) < 2 {
		return open
	}
	rank := func(v engine.GivenValue) int {
		r := 0
		if !v.Wanted {
			r = 2
		}
		if v.Guess {
			r++
		}
		return r
	}
	weights := engine.VarianceShares(m, chiefNumbers(m))
	weight := func(v engine.GivenValue) float64 {
		if !v.Wanted || !v.Guess {
			return 0
		}
		return weights[v.Place]
	}
	slices.SortStableFunc(open, func(a, b engine.GivenValue) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(weight(b), weight(a)))
	})
	return open
}

// chiefNumbers returns the chief results that are numbers.
func chiefNumbers(m *engine.Model) []engine.Place {
	var places []engine.Place
	for _, c := range report.Chief(m) {
		if c.IsNumber() {
			places = append(places, c.Place)
		}
	}
	return places
}

// ownerOf returns the name of a cell or of the table of an entry: with a dot in it, it is in a used sheet.
func ownerOf(v engine.GivenValue) string { return cmp.Or(v.Table, v.Name) }

// refill finds the given values as they are now, if any of them may have changed.
func (s *Session) refill() {
	if s.givens != nil {
		return
	}
	s.givens = givens(s.m)
	s.open = inOrder(s.m, s.givens)
	s.at = map[string]int{}
	for i, v := range s.givens {
		s.at[v.Name] = i
	}
}

// find returns a given value by its name as the model has it.
func (s *Session) find(name string) (engine.GivenValue, bool) {
	s.refill()
	i, there := s.at[name]
	if !there {
		return engine.GivenValue{}, false
	}
	return s.givens[i], true
}

// Queue returns the values that are asked for, in order, whether they have had their turn or not.
func (s *Session) Queue() []engine.GivenValue {
	s.refill()
	queue := s.open
	if s.named != nil {
		queue = nil
		for _, name := range s.named {
			if v, there := s.find(name); there {
				queue = append(queue, v)
			}
		}
	}
	if s.page == "" {
		return queue
	}
	return slices.DeleteFunc(slices.Clone(queue), func(v engine.GivenValue) bool {
		return !strings.EqualFold(v.Page, s.page)
	})
}

// namesOf returns the names of the values that a name stands for: of a cell or an entry that one, of a column, a row or
// a table those that are open, or all of them if none is; those of a column in the order of sortColumn. A
// column's name alone stands for that column of each table of the sheet.
func (s *Session) namesOf(name string) ([]string, error) {
	entries, err := s.m.EntriesOf(name)
	if err != nil {
		var all []string
		for _, column := range s.columnsCalled(name) {
			names, err := s.namesOf(column)
			if err != nil {
				return nil, err
			}
			all = append(all, names...)
		}
		if len(all) > 0 {
			return all, nil
		}
		return nil, err
	}
	var all []engine.GivenValue
	for _, e := range entries {
		if v, given := s.find(e.Name); given {
			all = append(all, v)
		}
	}
	if len(all) == 0 && len(entries) > 0 {
		_, err = s.m.Target(engine.Setting{Name: entries[0].Name})
	}
	if len(all) == 0 {
		return nil, cmp.Or(err, fmt.Errorf("%s has no value that is given", name))
	}
	isSure := func(v engine.GivenValue) bool { return !report.IsOpen(v.Value) }
	if open := slices.DeleteFunc(slices.Clone(all), isSure); len(open) > 0 {
		all = open
	}
	if last := entries[len(entries)-1]; entries[0].Column == last.Column {
		s.sortColumn(all)
	}
	names := make([]string, len(all))
	for i, v := range all {
		names[i] = v.Name
	}
	return names, nil
}

// sortColumn puts the entries of a column in the order in which they are asked for: first what makes most of the doubt
// in a chief result, to first order, then by what the sheet takes in their place, the most first.
func (s *Session) sortColumn(all []engine.GivenValue) {
	size, doubt := map[string]float64{}, map[string]float64{}
	weights := engine.VarianceShares(s.m, chiefNumbers(s.m))
	var empty []engine.Place
	var values []float64
	var names []string
	for _, v := range all {
		size[v.Name], doubt[v.Name] = math.Inf(-1), weights[v.Place]
		if est, ok := s.takes(v); ok {
			size[v.Name] = est.Number
			if report.StateOf(v.Value) == report.NotGiven {
				empty, values, names = append(empty, v.Place), append(values, est.SI()), append(names, v.Name)
			}
		}
	}
	for i, gain := range engine.VarianceSaved(s.m, chiefNumbers(s.m), empty, values) {
		doubt[names[i]] = gain
	}
	slices.SortStableFunc(all, func(a, b engine.GivenValue) int {
		return cmp.Or(cmp.Compare(doubt[b.Name], doubt[a.Name]), cmp.Compare(size[b.Name], size[a.Name]))
	})
}

// columnsCalled returns the columns of that name in the sheet's own tables that have given entries.
func (s *Session) columnsCalled(name string) (columns []string) {
	s.refill()
	for _, v := range s.givens {
		column := v.Table + "." + name
		if v.Column == name && v.Table != "" && !strings.Contains(v.Table, ".") && !slices.Contains(columns, column) {
			columns = append(columns, column)
		}
	}
	return columns
}

// Question returns what is asked now; ok is false when nothing is left to ask.
func (s *Session) Question() (q Question, ok bool) {
	for s.current == nil && len(s.next) > 0 {
		first := s.next[0]
		s.next = s.next[1:]
		if _, there := s.find(first.Name); there || first.Kind != AskValue {
			s.current = &first
		}
	}
	if s.current == nil {
		for _, v := range s.Queue() {
			if !s.asked[v.Name] {
				s.current = &Question{GivenValue: v}
				break
			}
		}
	}
	if s.current == nil {
		return Question{}, false
	}
	if s.current.Kind == AskValue {
		first := s.current.first
		*s.current = s.describe(s.current.Name)
		s.current.first = first
	}
	return *s.current, true
}

// describe makes the question for a value as it is now.
func (s *Session) describe(name string) Question {
	v, _ := s.find(name)
	q := Question{GivenValue: v, HowTo: v.Note, Options: v.Choices, path: v.At.Sheet}
	if strings.Contains(ownerOf(v), ".") {
		q.File = project.Shown(s.fileOf(v.At.Sheet))
	}
	if v.IsBoolean {
		q.Options = []string{"yes", "no"}
	}
	if v.Table == "" {
		return q
	}
	q.Table = v.Table
	if note := text.ColumnNote(s.texts[v.At.Sheet], v.At.Table, v.Column); note != "" {
		q.HowTo = strings.Trim(note+" · "+q.HowTo, " ·")
	}
	if est, ok := s.takes(v); ok && report.StateOf(v.Value) == report.NotGiven {
		q.Takes = est.Quantity()
	}
	return q
}

// ownName returns what a sheet itself calls what another one names by way of it.
func ownName(name string) string { return name[strings.LastIndexByte(name, '.')+1:] }

// takes returns what the sheet takes for an entry as long as it is not given: the first worked column of its table that
// hangs on the entry, measures the same and is not zero.
func (s *Session) takes(v engine.GivenValue) (engine.Value, bool) {
	if v.Table == "" || !v.IsNumber() {
		return engine.Value{}, false
	}
	for _, column := range columnsFrom(s.texts[v.At.Sheet], v.At.Table, v.Column) {
		est, err := s.m.Value(v.Table + "[" + text.Quote(v.Row) + "]." + column)
		if err == nil && est.Status == engine.OK && est.IsNumber() &&
			est.Unit.Dim() == v.Unit.Dim() && est.Number != 0 {
			return est, true
		}
	}
	return engine.Value{}, false
}

// word matches a name in a formula.
var word = regexp.MustCompile(`[\pL_][\pL\pN_]*`)

// columnsFrom returns the worked columns of a table that hang on another column of it, in order.
func columnsFrom(f *text.File, table, column string) []string {
	hangs := map[string]bool{column: true}
	var list []string
	t := f.Table(table)
	if t == nil {
		return nil
	}
	for before := -1; before < len(list); {
		before = len(list)
		for _, w := range t.Worked {
			if !hangs[w.Name.Text] && slices.ContainsFunc(word.FindAllString(w.Formula().Text, -1),
				func(name string) bool { return hangs[name] }) {
				hangs[w.Name.Text] = true
				list = append(list, w.Name.Text)
			}
		}
	}
	return list
}

// Left counts what is open: what a check or a chief result needs, and the rest.
func (s *Session) Left() (needed, others int) {
	s.refill()
	for _, v := range s.open {
		if v.Wanted {
			needed++
		} else {
			others++
		}
	}
	return needed, others
}
