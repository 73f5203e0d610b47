package report

import (
	"cmp"
	"fmt"
	"slices"

	"gusset/engine"
	"gusset/units"
)

// Changed is what was changed from a variant of a sheet to the sheet as it stands, as it is shown: a row for each
// change, a column for each chief result that moves.
type Changed struct {
	Title, From, Note string
	Results           []ChangedResult
	Lines             []ChangedRow
	Together, Added   ChangedRow // Added has no cells where there is only one change
	Was, Is           ChangedRow // the results in the variant, and in the sheet as it stands
	Same              []string   // what the variant sets to what the sheet has anyway
	Hidden            []string   // chief results that move by less than is shown
	Made              engine.Changes
}

// FromTo says what the changes lead from.
func (c *Changed) FromTo() string { return fmt.Sprintf("from %q to the sheet as it stands", c.From) }

// Sums are the rows below the changes: what all of them do and what they come to one by one, where there are several,
// and the results before and after.
func (c *Changed) Sums() []ChangedRow {
	if len(c.Lines) > 1 {
		return []ChangedRow{c.Together, c.Added, c.Was, c.Is}
	}
	return []ChangedRow{c.Was, c.Is}
}

// ChangedResult is a chief result that moves.
type ChangedResult struct {
	Name string
	Unit string // in brackets; that of the sheet as it stands
}

// ChangedRow is one change, or all of them together.
type ChangedRow struct {
	Name   string
	Change Change // of the given value
	Reason string
	Cells  []ChangedCell // for each result
	Flips  []engine.Move // checks
}

// ChangedCell is what a change does to a result. The text is a dot where it moves nothing.
type ChangedCell struct {
	State State
	Text  string
	Marks Marks
}

// String returns the text with its marks.
func (c ChangedCell) String() string { return c.Marks.After(c.Text) }

// BelowStep is shown where a result moves by less than its step shows.
const BelowStep = "~0"

// unmoved stands where a change moves nothing.
const unmoved = "·"

// noSum stands where a change leaves a result without a value, so that there is nothing to add up.
const noSum = "no sum"

// ChangesOf works out what was changed from a variant to the sheet as it stands, and what that moves among the chief
// results and the checks.
func ChangesOf(m *engine.Model, variant string) (*Changed, error) {
	made, err := engine.ChangesFrom(m, variant, lookedAt(m))
	if err != nil {
		return nil, err
	}
	c := &Changed{Title: m.Title(), From: made.From, Note: made.Note, Same: made.Same, Made: made}
	var columns []engine.Move
	fine := map[engine.Place]bool{}
	for _, t := range made.Together {
		if t.IsCheck {
			continue
		}
		moved := []engine.Move{t}
		for _, l := range made.Lines {
			moved = append(moved, of(l.Moves, t.Place)...)
		}
		shows := slices.ContainsFunc(moved, func(m engine.Move) bool { return m.Differs && !m.Hidden && !refined(m) })
		switch {
		case shows:
			columns = append(columns, t)
			fine[t.Place] = refined(t)
			c.Results = append(c.Results, ChangedResult{t.Name, resultUnit(t)})
		case slices.ContainsFunc(moved, func(m engine.Move) bool { return m.Differs }):
			c.Hidden = append(c.Hidden, t.Name)
		}
	}
	row := func(moves []engine.Move) (r ChangedRow) {
		for _, column := range columns {
			cell := ChangedCell{Text: unmoved}
			for _, m := range of(moves, column.Place) {
				cell = changedCell(m, fine[m.Place])
			}
			r.Cells = append(r.Cells, cell)
		}
		r.Flips = Flips(slices.DeleteFunc(slices.Clone(moves), func(m engine.Move) bool { return !m.Differs }))
		return r
	}
	for _, l := range made.Lines {
		r := row(l.Moves)
		r.Name, r.Change, r.Reason = l.Given.Name, ChangeOf(l.Given), l.Note
		c.Lines = append(c.Lines, r)
	}
	c.Together = row(made.Together)
	c.Together.Name = fmt.Sprintf("all %d together", len(c.Lines))
	if len(c.Lines) > 1 {
		c.Added = row(made.Added)
		c.Added.Name = "added up"
		for k, column := range columns {
			if column.IsNumber() && len(of(made.Added, column.Place)) == 0 {
				c.Added.Cells[k].Text = noSum
			}
		}
	}
	c.Was.Name, c.Is.Name = fmt.Sprintf("%q", c.From), "the sheet"
	for _, column := range columns {
		c.Was.Cells = append(c.Was.Cells, standing(column.Before, column.Unit))
		c.Is.Cells = append(c.Is.Cells, standing(column.Value, column.Unit))
	}
	return c, nil
}

// lookedAt returns the chief results and the checks of a sheet, and the checks of those that it uses.
func lookedAt(m *engine.Model) []engine.Entry {
	var list []engine.Entry
	seen := map[engine.Place]bool{}
	add := func(c engine.Cell, prefix string) {
		if !seen[c.Place] {
			seen[c.Place] = true
			c.Name = prefix + c.Name
			list = append(list, engine.Entry{Cell: c})
		}
	}
	for _, c := range Chief(m) {
		add(c, "")
	}
	for _, c := range m.Checks() {
		add(c, "")
	}
	aliases := m.Aliases()
	for _, u := range m.UsedChecks() {
		for _, c := range u.Checks {
			add(c, cmp.Or(aliases[u.Path], u.Path)+".")
		}
	}
	return list
}

// of returns what moved at a place, if it did.
func of(moves []engine.Move, place engine.Place) []engine.Move {
	at := slices.IndexFunc(moves, func(m engine.Move) bool { return m.Place == place })
	if at < 0 {
		return nil
	}
	return moves[at : at+1]
}

// resultUnit returns what is below the name of a result.
func resultUnit(m engine.Move) string {
	if !m.IsNumber() || m.Unit.Mixed() {
		return ""
	}
	return InBrackets(m.Unit)
}

// refined reports whether a move has more digits than its step, since that would hide what it is.
func refined(m engine.Move) bool {
	return m.Differs && m.Status == engine.OK && m.IsNumber() && m.Step.Given() &&
		units.Format(m.SI(), m.Unit, m.Step) != m.Text
}

// changedCell returns what is shown of a result that moved, or did not; fine says that its column has more digits than
// the step.
func changedCell(m engine.Move, fine bool) ChangedCell {
	marks := MarksOf(m.Value).Or(MarksOf(m.Before))
	switch {
	case !m.Differs:
		return ChangedCell{Text: unmoved}
	case (m.Hidden || refined(m)) && !fine:
		return ChangedCell{Text: BelowStep, Marks: marks}
	case m.ChangeText != "" && !m.Unlike && fine && !refined(m) && !m.Unit.Reading():
		text := units.Format(m.Unit.ToSI(m.Change), m.Unit, units.Step{}) // the difference at the step would be coarser
		if m.Change > 0 {
			text = "+" + text
		}
		return ChangedCell{Text: text, Marks: marks}
	case m.ChangeText != "" && !m.Unlike:
		return ChangedCell{Text: m.ChangeText, Marks: marks}
	}
	return standing(m.Value, m.Unit)
}

// standing returns what is shown of a result in a column that has a unit.
func standing(v engine.Value, in units.Unit) ChangedCell {
	s := Show(v)
	if s.State == Known && (v.IsText || v.IsNumber() && !v.Unit.Equal(in)) {
		s.Text = QuantityOf(v)
	}
	return ChangedCell{s.State, s.Text, s.Marks}
}
