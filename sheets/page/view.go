package page

import (
	"fmt"
	"html/template"
	"slices"
	"strings"

	"gusset/engine"
	"gusset/sheets/report"
	"gusset/sheets/text"
)

// view is all that a page shows, as page.html wants it.
type view struct {
	Policy template.HTMLAttr
	Style  template.CSS
	Script template.JS
	Data   template.JS // what the script works with; empty where the page shows what it was made with, and AsSent why
	AsSent string
	Served bool

	Title, File, Intro string
	Fingerprint        string
	Blank              string // what is in a table for what is not given
	Wrong              []string
	Trouble            string
	Problems           []problem
	Chief              []cell
	Groups             []checkGroup
	Used               string // how the checks of used sheets stand; empty where all of them hold
	Guesses            []engine.Guessed
	Outside            string // what the mark means; empty where it is nowhere
	Pages              []section
	Compared           *compared
	Plans              []plan
	Shopping           []report.ShoppingList
	Bench              []report.Bench
	Cautions           []caution
	Templates          []fullSize
	Cards              []card
}

// problem is a message about the sheet.
type problem struct {
	IsError bool
	Text    string
	Quote   string // the line of the sheet with a mark under it, where there is one
	Rest    string // notes and a hint, a line each
}

func problemOf(d text.Diag) problem {
	lines := strings.Split(d.Error(), "\n")
	for i, line := range lines {
		lines[i] = strings.TrimPrefix(line, "    ")
	}
	p := problem{IsError: d.Sev == text.Error, Text: lines[0]}
	rest := lines[1:]
	if len(rest) > 1 && strings.Trim(rest[1], "~ \t") == "" {
		p.Quote, rest = rest[0]+"\n"+rest[1], rest[2:]
	}
	p.Rest = strings.Join(rest, "\n")
	return p
}

// Mistakes returns how many mistakes of the sheet the page tells of.
func (v *view) Mistakes() (n int) {
	for _, p := range v.Problems {
		if p.IsError {
			n++
		}
	}
	return n
}

// checkGroup is the checks that stand alike.
type checkGroup struct {
	State  string // its code
	Word   string
	Folded bool // those that hold need no look
	Checks []chip
}

// chip is a check in short.
type chip struct {
	Name  string
	Place engine.Place
	Marks string
}

// caution is a caution in full, and its first sentence.
type caution struct {
	ID          string
	Short, Full string
}

// section is a page of the sheet.
type section struct {
	ID, Name string
	Blocks   []block
	Cautions []caution
}

// block is one thing on a page: exactly one of its fields is set.
type block struct {
	Comment string
	Cells   []cell
	Table   *table
	Figures []figure
	Unfit   []string // what of a chart is not drawn, and why
}

// cell is a cell, an adjusted cell or a check.
type cell struct {
	Name   string
	Class  string // what of its kind is seen: it is given, or a check
	Value  value
	Now    string // what is said of its present value
	Always string // and what is said beside it in any case
	Spread string // how far off a chief result may be, to first order
}

// value is a value as it is shown.
type value struct {
	Place  engine.Place
	State  string // its code; empty where that is nothing to point out
	Text   string
	Unit   string
	Off    string // ± and how far off it may be
	Marks  string
	Given  bool // the reader may change it
	Number bool
	YesNo  bool
	Check  bool

	Follows bool // in a table: its place follows from that of the first row
}

// Class is how a value is drawn: whether it may be changed (g), whether it is a text (x) or yes or no (b),
// and how it stands.
func (v value) Class() string {
	var class []string
	if v.Given {
		class = append(class, "g")
	}
	if !v.Number && !v.Check {
		class = append(class, "x")
	}
	if v.Given && v.YesNo {
		class = append(class, "b")
	}
	if v.State != "" {
		class = append(class, "s-"+v.State)
	}
	return strings.Join(class, " ")
}

// valueOf returns a value as it is shown. In a table the unit is in the head.
func valueOf(v engine.Value, s report.Shown) value {
	return value{Place: v.Place, State: stateClass(s.State), Text: s.Text, Unit: s.Unit, Off: s.Off,
		Marks: s.Marks.String(), Given: v.Given, Check: v.IsCheck, Number: v.IsNumber() && !v.IsCheck,
		YesNo: v.IsBoolean && !v.IsCheck}
}

// stateClass returns the code of a state; nothing where there is nothing to point out.
func stateClass(s report.State) string {
	if s == report.Known {
		return ""
	}
	return s.Code()
}

// cellOf returns how a cell is shown.
func cellOf(c *report.Cell) cell {
	shown := cell{Name: c.Name, Value: valueOf(c.Value, c.Shown),
		Now: report.BesideNow(c.Cell), Always: report.BesideAlways(c.Cell)}
	if c.Kind == engine.Given || c.Kind == engine.Check {
		shown.Class = c.Kind.String()
	}
	return shown
}

// IsCheck reports whether the cell is a check, to which its short form leads.
func (c cell) IsCheck() bool { return c.Value.Check }

// viewOf puts together what a page shows.
func viewOf(m *engine.Model, o Options) (*view, error) {
	m = m.Fork()
	sheet := report.Of(m)
	v := &view{Title: sheet.Title, File: o.File, Intro: report.Intro(m), Served: o.Served, Trouble: o.Trouble,
		Blank: report.NotGivenHere, Wrong: sheet.Wrong.Lines(),
		Guesses: m.Guesses(), Bench: report.BenchOf(sheet.Pages), Shopping: report.ShoppingLists(sheet.Pages)}
	for _, d := range sheet.Problems {
		v.Problems = append(v.Problems, problemOf(d))
	}
	for _, c := range report.Chief(m) {
		chief := cellOf(report.CellOf(&c))
		if d := engine.DoubtOf(m, c.Place); d != nil && c.Kind != engine.Given {
			chief.Spread = report.EitherWay(d)
		}
		v.Chief = append(v.Chief, chief)
	}
	v.Groups = checkGroups(m.Checks())
	v.Used = report.ChecksOf(nil, sheet.Used...).String()
	if report.AnyOutside(sheet.Pages) {
		v.Outside = report.OutsideLegend
	}
	if n := len(sheet.Cautions); n > maxCautions {
		return nil, fmt.Errorf("%w: %d cautions, at most %d can be shown", ErrTooLarge, n, maxCautions)
	}
	known := map[string]caution{}
	for i, full := range sheet.Cautions {
		known[full] = caution{fmt.Sprintf("caution%d", i+1), report.InShort([]string{full})[0], full}
		v.Cautions = append(v.Cautions, known[full])
	}
	comments := report.CommentsOf(m)
	room := pictureRoom{maxPoints, maxDoubts}
	for i, p := range sheet.Pages {
		if isChief(p, comments) {
			continue
		}
		s := sectionOf(m, p, comments, &room)
		s.ID = fmt.Sprintf("page%d", i+1)
		for _, full := range m.Cautions(p.Name) {
			s.Cautions = append(s.Cautions, known[full])
		}
		v.Pages = append(v.Pages, s)
	}
	pieces := 0
	for p := range engine.CutPlans(m) {
		if report.NothingToCut(p) {
			continue
		}
		for _, s := range p.Sheets {
			pieces += len(s.Pieces)
		}
		v.Plans = append(v.Plans, planOf(p, pieces <= maxPieces))
	}
	v.Cards = cardsOf(sheet)
	v.Templates = templatesOf(sheet.Pages)
	var err error
	v.Compared, err = comparedOf(m, o)
	return v, err
}

// HasChecks reports whether there is anything to say of checks.
func (v *view) HasChecks() bool {
	return v.Used != "" || slices.ContainsFunc(v.Groups, func(g checkGroup) bool { return len(g.Checks) > 0 })
}

// checkGroups sorts checks by how they stand, those that fail first.
func checkGroups(checks []engine.Cell) []checkGroup {
	groups := []checkGroup{}
	for _, s := range []report.State{report.Fails, report.NoResult, report.Waits, report.Holds} {
		g := checkGroup{State: s.Code(), Word: s.String(), Folded: s == report.Holds}
		for _, c := range checks {
			if shown := report.Show(c.Value); shown.State == s {
				g.Checks = append(g.Checks, chip{c.Name, c.Place, shown.Marks.String()})
			}
		}
		groups = append(groups, g)
	}
	return groups
}

// pictureRoom is how many more points pictures may have, and for how many of them it is asked how far off they may be.
type pictureRoom struct{ points, doubts int }

// sectionOf returns a page of the sheet with what is on it. What is said in lines of its own comes before what is below
// it in the text.
func sectionOf(m *engine.Model, p report.Page, comments []report.Comment, room *pictureRoom) section {
	s := section{Name: p.Name}
	comments = slices.DeleteFunc(slices.Clone(comments), func(c report.Comment) bool {
		return c.Page != p.Name || p.Name == ""
	})
	say := func(line int) {
		for len(comments) > 0 && comments[0].Line < line {
			s.Blocks = append(s.Blocks, block{Comment: comments[0].Text})
			comments = comments[1:]
		}
	}
	for _, it := range p.Items {
		switch {
		case it.Cell != nil:
			say(it.Cell.Line)
			if n := len(s.Blocks); n == 0 || s.Blocks[n-1].Cells == nil {
				s.Blocks = append(s.Blocks, block{})
			}
			last := &s.Blocks[len(s.Blocks)-1]
			last.Cells = append(last.Cells, cellOf(it.Cell))
		case it.Table != nil:
			say(it.Table.Line)
			s.Blocks = append(s.Blocks, block{Table: tableOf(m, it.Table)})
		case it.Chart != nil:
			if it.Chart.Picture {
				s.Blocks = append(s.Blocks, pictureBlock(report.PictureOf(it.Chart)))
				continue
			}
			c := report.ChartOf(it.Chart)
			for _, p := range c.Panels {
				room.points -= len(p.Xs) * len(p.Series)
			}
			if room.points < 0 {
				s.Blocks = append(s.Blocks, block{Unfit: []string{c.Title + ": not drawn, there are too many points"}})
				continue
			}
			room.doubts -= c.AddSpread(m, room.doubts)
			s.Blocks = append(s.Blocks, chartBlock(c))
		}
	}
	for _, c := range comments {
		s.Blocks = append(s.Blocks, block{Comment: c.Text})
	}
	return s
}

// isChief reports whether all that is on a page is in the head of the page anyway.
func isChief(p report.Page, comments []report.Comment) bool {
	return strings.EqualFold(p.Name, report.GlancePage) &&
		!slices.ContainsFunc(comments, func(c report.Comment) bool { return c.Page == p.Name }) &&
		!slices.ContainsFunc(p.Items, func(it report.Item) bool {
			return it.Cell == nil || it.Cell.Kind != engine.Worked && it.Cell.Kind != engine.Adjusted
		})
}

// card is as much of the page Field card as goes on one card.
type card struct {
	Title string
	Cells []cell
}

// cardPage is the page of a sheet that is also printed as a card, and cardLines is how many of its cells go on one.
const (
	cardPage  = "Field card"
	cardLines = 24
)

// cardsOf returns the field cards of a sheet: what is on its page, and nothing else. Checks that hold are left out.
func cardsOf(sheet *report.Sheet) []card {
	var cards []card
	for _, p := range sheet.Pages {
		if !strings.EqualFold(p.Name, cardPage) {
			continue
		}
		var cells []cell
		for _, it := range p.Items {
			if c := it.Cell; c != nil && (c.Kind != engine.Check || c.Shown.State != report.Holds) {
				cells = append(cells, cellOf(c))
			}
		}
		for some := range slices.Chunk(cells, cardLines) {
			cards = append(cards, card{sheet.Title, some})
		}
	}
	return cards
}
