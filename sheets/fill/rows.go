package fill

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gusset/engine"
	"gusset/sheets/text"
	"gusset/units/nearest"
)

// beginRow begins a new row of the table that is asked about: + NAME, + NAME like ROW, + like ROW, or + alone.
func (s *Session) beginRow(q Question, rest string) Reply {
	if q.Table == "" {
		return Reply{Wrong: fmt.Errorf("+ adds a row while a table is asked for, and %s is a cell", q.Name)}
	}
	row := Question{Kind: AskName, Table: q.Table, path: q.path}
	name := rest
	padded := " " + rest + " " // so that the word is one by itself at either end too
	if at := strings.LastIndex(padded, " "+wordLike); at >= 0 {
		var rows []string
		for _, r := range s.texts[q.path].Table(ownName(q.Table)).Rows {
			rows = append(rows, r.Name.Text)
		}
		before, typed := strings.TrimSpace(padded[:at]), strings.TrimSpace(padded[at+len(" "+wordLike):])
		like, err := beginning(rows, typed)
		switch {
		case err != nil:
			return Reply{Wrong: err}
		case like != "":
			row.like, name = like, before
		case before == "":
			return Reply{Wrong: fmt.Errorf("%s has no row %q", q.Table, typed)}
		}
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
	if body, quoted, _ := takeApart(name); quoted {
		name = body
	} else if strings.Contains(name, ":") {
		return Reply{Wrong: fmt.Errorf("a name with a colon goes in quotes: %s", text.Quote(name))}
	}
	return s.addRow(q, name)
}

// addRow writes a new row into its table, whose columns are asked for next.
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
	if err = s.moved(&reply, ""); err != nil {
		reply.Said = append(reply.Said, err.Error())
	}
	if s.current != nil && s.current.Kind == AskValue {
		s.putOff()
	}
	s.current = nil
	s.refill()
	var columns []Question
	for _, v := range s.givens {
		if v.Table == q.Table && v.Row == name {
			columns = append(columns, Question{GivenValue: v, first: true})
		}
	}
	s.next = slices.Concat(columns, s.next)
	s.offerFor(q.Table, q.path, s.texts[q.path].Table(table).Head[0].Name.Text, name)
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
	tag, _ := text.TagOf(s.texts[q.At.Sheet], q.At.Cell, q.At.Table, q.At.Column)
	if tag.Choice == nil || !tag.Choice.Rows.Given() {
		return "", "", false
	}
	way, err := text.ParsePath(tag.Choice.Rows.Text)
	if err != nil || slices.ContainsFunc(way.Parts, func(p text.Part) bool { return p.Row }) {
		return "", "", false // a filter: a new row is not an option yet
	}
	name := way.String()
	if owner := ownerOf(q.GivenValue); strings.Contains(owner, ".") {
		name = owner[:strings.LastIndexByte(owner, '.')+1] + name
	}
	for path, alias := range s.m.Aliases() {
		own, found := strings.CutPrefix(name, strings.TrimPrefix(alias+".", "."))
		if t := s.texts[path].Table(own); found && t != nil && t.Range == nil {
			return name, path, true
		}
	}
	return "", "", false
}

// offerRow offers to add what was typed to the table whose rows are the options.
func (s *Session) offerRow(q Question, typed string) Reply {
	table, path, _ := s.tableOfOptions(q)
	body, _, _ := takeApart(typed)
	if s.current != nil && s.current.Name != q.Name {
		s.current.first = true
		s.putOff()
	}
	near, _ := nearest.Word(body, q.Options)
	s.current = &Question{Kind: AskRow, Table: table, NewRow: body, Near: near, path: path, then: &later{q.Name, typed}}
	return Reply{}
}

// offerCompanions offers what a choice brings along.
func (s *Session) offerCompanions(q Question, t engine.Target) {
	if q.Table == "" || !q.IsText || t.Value == "" {
		return
	}
	if body, quoted, _ := takeApart(t.Value); quoted {
		s.offerFor(q.Table, q.path, q.Column, body)
	}
}

// offerFor offers a row in each table that lists what is in a column of another one: its own first column has the same
// name, and it has a row for all that is in that column but for the new one, and for nothing that could not be.
func (s *Session) offerFor(table, path, column, value string) {
	f := s.texts[path]
	from := f.Table(ownName(table))
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
	for _, other := range text.NodesOf[*text.Table](f) {
		if other == from || other.Range != nil || len(other.Head) == 0 || other.Head[0].Name.Text != column {
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
		name := table[:strings.LastIndexByte(table, '.')+1] + other.Name.Text
		waits := slices.ContainsFunc(s.next, func(q Question) bool {
			return q.Kind == AskRow && q.Table == name && q.NewRow == value
		})
		if lists && !waits {
			s.next = append(s.next, Question{Kind: AskRow, Table: name, NewRow: value, path: path})
		}
	}
}
