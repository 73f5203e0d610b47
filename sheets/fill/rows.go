package fill

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gusset/engine"
	"gusset/sheets/text"
)

// beginRow begins a new row of the table that is asked about: + NAME, + like ROW, or + alone.
func (s *Session) beginRow(q Question, rest string) Reply {
	if q.Table == "" {
		return Reply{Wrong: fmt.Errorf("+ adds a row while a table is asked for, and %s is a cell", q.Name)}
	}
	row := Question{Kind: AskName, Table: q.Table, path: q.path}
	name := rest
	if like, found := strings.CutPrefix(rest+" ", wordLike); found {
		var rows []string
		for _, r := range tableOf(s.texts[q.path], ownName(q.Table)).Rows {
			rows = append(rows, r.Name.Text)
		}
		found := Options(rows, strings.TrimSpace(like))
		switch {
		case slices.Contains(rows, strings.TrimSpace(like)):
			found = []string{strings.TrimSpace(like)}
		case len(found) == 0:
			return Reply{Wrong: fmt.Errorf("%s has no row %q", q.Table, strings.TrimSpace(like))}
		case len(found) > 1:
			return Reply{Wrong: fmt.Errorf("%q could be %s", strings.TrimSpace(like), someOf(found))}
		}
		row.like, name = found[0], ""
	}
	if name != "" {
		return s.addRow(row, name)
	}
	s.putOff()
	s.current = &row
	return Reply{}
}

// putOff leaves what is asked now for later: what is in the queue comes up again by itself.
func (s *Session) putOff() {
	if s.current != nil && s.current.first {
		s.next = slices.Insert(s.next, 0, *s.current)
	}
	s.current = nil
}

// nameRow takes the name of a new row; without one there is none.
func (s *Session) nameRow(q Question, name string) Reply {
	if name == "" {
		s.current = nil
		return Reply{}
	}
	if v, err := text.ParseValue(name); err == nil && v.Kind == text.TextValue {
		name = v.Word.Text
	}
	return s.addRow(q, name)
}

// addRow writes a new row into its table, and sees to it that its columns are asked for next.
func (s *Session) addRow(q Question, name string) Reply {
	table := ownName(q.Table)
	_, err := s.put(q.path, true, func(f *text.File) (*text.File, error) {
		var entries []string
		if q.like != "" {
			entries, _ = text.RowEntries(f, table, q.like)
		}
		return text.AddRow(f, table, name, entries...)
	})
	if err != nil {
		return Reply{Wrong: err}
	}
	reply := Reply{Said: []string{fmt.Sprintf("%s is a row of %s now", strconv.Quote(name), q.Table)}}
	if reply.Moves, err = s.moved(""); err != nil {
		reply.Said = append(reply.Said, err.Error())
	}
	if s.current != nil && s.current.Kind == AskValue {
		s.putOff()
	}
	s.current = nil
	s.refill()
	for _, v := range s.givens {
		if v.Table == q.Table && v.Row == name {
			s.next = append(s.next, Question{GivenValue: v, first: true})
		}
	}
	s.offerFor(q.Table, q.path, tableOf(s.texts[q.path], table).Head[0].Name.Text, name)
	return reply
}

// offered takes the answer to whether a row is to be added.
func (s *Session) offered(q Question, line string) Reply {
	yes := Options([]string{"yes", "no"}, line)
	switch {
	case len(yes) != 1 && line != "":
		return Reply{Wrong: fmt.Errorf("yes or no? %s", strconv.Quote(line))}
	case line == "" || yes[0] == "no":
		s.current = nil
		if q.then != nil {
			s.next = slices.Insert(s.next, 0, Question{GivenValue: s.describe(q.then.name).GivenValue, first: true})
		}
		return Reply{}
	}
	reply := s.addRow(q, q.NewRow)
	if reply.Wrong != nil || q.then == nil {
		return reply
	}
	then := s.answer(q.then.name, q.then.typed)
	then.Said = append(reply.Said, then.Said...)
	return then
}

// tableOfOptions returns the table whose rows are the options of a value, if each row of it is one.
func (s *Session) tableOfOptions(q Question) (table, path string, ok bool) {
	choice := choiceOf(s.texts[q.Sheet], q)
	if choice == nil || !choice.Rows.Given() {
		return "", "", false
	}
	way, err := text.ParsePath(choice.Rows.Text)
	if err != nil || slices.ContainsFunc(way.Parts, func(p text.Part) bool { return p.Row }) {
		return "", "", false // a filter: a new row is not an option yet
	}
	name := way.String()
	if owner := ownerOf(q.GivenValue); strings.Contains(owner, ".") {
		name = owner[:strings.LastIndexByte(owner, '.')+1] + name
	}
	for path, alias := range s.m.Aliases() {
		own, found := strings.CutPrefix(name, strings.TrimPrefix(alias+".", "."))
		if found && tableOf(s.texts[path], own) != nil && tableOf(s.texts[path], own).Range == nil {
			return name, path, true
		}
	}
	return "", "", false
}

// choiceOf returns what the text of a cell or an entry may be, as its sheet says it.
func choiceOf(f *text.File, q Question) *text.Choice {
	for _, n := range f.Nodes {
		switch n := n.(type) {
		case *text.Cell:
			if q.Table == "" && n.Name.Text == ownName(q.Name) {
				return n.Unit.Choice
			}
		case *text.Table:
			for _, c := range n.Head {
				if q.Table != "" && n.Name.Text == ownName(q.Table) && c.Name.Text == q.Column {
					return c.Unit.Choice
				}
			}
		}
	}
	return nil
}

// offerRow offers to add what was typed to the table whose rows are the options.
func (s *Session) offerRow(q Question, typed string) Reply {
	table, path, _ := s.tableOfOptions(q)
	body := strings.TrimSpace(strings.TrimSuffix(typed, "?"))
	if v, err := text.ParseValue(typed); err == nil && v.Kind == text.TextValue {
		body = v.Word.Text
	}
	if s.current != nil && s.current.Name != q.Name {
		s.current.first = true
		s.putOff()
	}
	s.current = &Question{Kind: AskRow, Table: table, NewRow: body, path: path, then: &later{q.Name, typed}}
	return Reply{}
}

// offerCompanions offers what a choice brings along.
func (s *Session) offerCompanions(q Question, t engine.Target) {
	if q.Table == "" || !q.IsText || t.Value == "" {
		return
	}
	if v, err := text.ParseValue(t.Value); err == nil && v.Kind == text.TextValue {
		s.offerFor(q.Table, q.path, q.Column, v.Word.Text)
	}
}

// offerFor offers a row in each table that lists what is in a column of another one: its own first column has the same
// name, and it has a row for all that is in that column but for the new one, and for nothing that could not be.
func (s *Session) offerFor(table, path, column, value string) {
	f := s.texts[path]
	from := tableOf(f, ownName(table))
	at := slices.IndexFunc(from.Head, func(c text.Column) bool { return c.Name.Text == column })
	if at < 0 {
		return
	}
	used := map[string]bool{}
	for _, r := range from.Rows {
		if at == 0 {
			used[r.Name.Text] = true
		} else if v := r.Values[at-1]; v.Kind == text.TextValue {
			used[v.Word.Text] = true
		}
	}
	delete(used, value)
	for _, n := range f.Nodes {
		other, isTable := n.(*text.Table)
		if !isTable || other == from || other.Range != nil || len(other.Head) == 0 || other.Head[0].Name.Text != column {
			continue
		}
		rows := map[string]bool{}
		for _, r := range other.Rows {
			rows[r.Name.Text] = true
		}
		lists := len(used) > 0 && !rows[value]
		for u := range used {
			lists = lists && rows[u]
		}
		if at == 0 {
			for r := range rows {
				lists = lists && used[r]
			}
		}
		if lists {
			name := table[:strings.LastIndexByte(table, '.')+1] + other.Name.Text
			s.next = append(s.next, Question{Kind: AskRow, Table: name, NewRow: value, path: path})
		}
	}
}
