package engine

import (
	"fmt"
	"io/fs"
	"slices"

	"gusset/engine/graph"
	"gusset/sheets/text"
	"gusset/units"
)

// Program is a sheet that has been loaded, with all that it uses: names bound, dimensions checked. Nothing in it changes any
// more once it has been handed over, so that any number of states may work it out side by side.
type Program struct {
	Tree
	Messages

	root    *module
	sheets  []*module // all of them, by number
	library []*module // the pages of the library; those that nothing was asked of are empty

	slots       []slot
	inputs      []float64      // what each given slot holds in the sheet as it stands, SI; NaN: nothing yet
	guesses     map[int32]bool // given slots that hold a guess
	cells       []*cell
	cellTypes   []typ // by number
	tables      []*table
	columns     []*column
	columnTypes []typ // by number
	formulas    []*formulaDef
	examples    []*example
	variants    []*variant
	texts       *Texts
	undrawn     map[*text.Chart]bool // those that would draw too many points

	broken   brokenSlots
	lostOf   map[int32]*table       // tables that were not read whole, by the broken slot that stands for them
	missing  map[rowKey]*missingRow // rows that formulas and choices name and that are not there
	pending  []pendingNote
	trusting []bool // nodes that call a formula that says where it is to be trusted; nil: there is no such formula
	looked   effort
	own      ownUnits
	ownSeen  int // how much had been declared when own was made

	needs    *graph.Graph
	users    func() *graph.Graph // for each thing what needs it
	plan     graph.Plan
	loops    []graph.Loop
	searches []*cell // the cell of each loop
}

// Tree holds the formulas of a program: one array of nodes, with every name bound, and their types.
type Tree struct {
	nodes   []node
	lists   []int32 // arguments of calls
	types   []typ
	typeNum map[typ]uint16
	written []units.Unit // that numbers in formulas are written with
}

// Messages holds what was found wrong while a program was made.
type Messages struct {
	diags     text.Diags
	fromTexts int // how many of them reading the texts has given
	overflow  int // number of the one that stands for those that are not listed; -1: there is none
}

// Sources is where sheets are read from.
type Sources struct {
	Files   fs.FS // the project folder; nothing outside it is ever read
	Library fs.FS // pages of the library (*.gusset); may be nil
	// Name turns a path within Files into the name that messages use; nil leaves it as it is.
	Name func(path string) string
}

// slotKind tells how a slot comes to its value.
type slotKind uint8

const (
	given    slotKind = iota
	worked            // by its formula
	adjusted          // by a search
)

// slot is a place for one value: a cell, an entry of a table, or something worked out on the way.
type slot struct {
	kind    slotKind
	hidden  bool  // not a name of the sheet's
	example bool  // a formula's example
	entry   bool  // owner is a column
	root    int32 // its formula; none if it has none
	row     int32 // its row, for an entry of a table
	owner   int32 // its cell; for an entry of a table, its column; for a hidden slot, its module
}

// cellKind tells what sort of statement a cell comes from.
type cellKind uint8

const (
	givenCell cellKind = iota
	workedCell
	adjustedCell
	checkCell
	badCell  // its line could not be read
	badCheck // the same, of a check
)

func (c *cell) isCheck() bool { return c.kind == checkCell || c.kind == badCheck }

// unread reports whether the line of a cell could not be read.
func (c *cell) unread() bool { return c.kind == badCell || c.kind == badCheck }

// unreadShow stands for a unit that could not be read, which has been said: nothing is known of what it belongs to.
var unreadShow = &show{}

// typ returns what a unit in brackets tells of a value.
func (sh *show) typ() typ {
	if sh == unreadShow {
		return typ{}
	}
	return typeOf(sh.unit)
}

// show is how a value is shown.
type show struct {
	unit units.Unit
	step units.Step
}

// whole reports whether what is given for it can only be a whole number: it has no unit, and its step is 1.
func (sh *show) whole() bool { return sh.unit.String() == "" && sh.step.Value() == 1 }

type cell struct {
	mod     *module
	number  int32
	node    text.Node // *text.Cell, *text.Check, *text.Adjust or *text.Bad
	name    text.Word
	note    string
	show    *show
	slot    int32
	page    int32 // place among the module's pages; none before the first
	kind    cellKind
	adjust  *adjustDef
	choices *choiceSet // what a given text may be; nil: anything
}

// adjustDef is what an adjusted cell searches with.
type adjustDef struct {
	lo, hi, left, right, goal int32 // slots
	search                    int32 // number of the search; none if there are too many
}

type table struct {
	mod      *module
	node     *text.Table
	name     text.Word
	page     int32
	number   int32
	cols     []*column
	rowName  []int32         // texts
	rowValue []float64       // of rows that a range makes: what the first column has, in its unit
	rowSpan  []text.Span     // of a range: one for all rows
	byName   map[int32]int32 // text to row
	byColumn map[string]*column
	lost     int32 // a broken slot that stands for what of it was not read; none when it was read whole
	mend     []int // the lines to mend, when it was not
	headless bool  // no column of it is known, since its head could not be read or it is too large
	ranged   bool
	list     bool // a list of values that stands in a formula; it has no name and one column
}

type column struct {
	table   *table
	name    text.Word
	note    string
	show    *show // of a list in a formula: nil
	number  int32
	base    int32 // slot of its first row
	root    int32 // formula of a worked column; none otherwise
	worked  *text.Cell
	choices *choiceSet // what its texts may be; nil: anything
	refused int32      // a broken slot that stands for a first column with a unit, which names of rows cannot have; else none
}

// row finds a row by its name.
func (t *table) row(texts *Texts, name string) (row int32, ok bool) {
	if n, known := texts.Find(name); known {
		row, ok = t.byName[n]
	}
	return row, ok
}

func (t *table) column(name string) *column { return t.byColumn[name] }

// module is one sheet: the one asked for, one that it uses, or a page of the library.
type module struct {
	path     string
	number   int32
	src      *text.Source
	file     *text.File
	title    string
	units    *units.Set
	names    map[string]ref
	formulas map[string]*formulaDef
	uses     []use
	cautions []string
	pages    []text.Word
	pageAt   map[string]int32 // the first page of each name
	charts   []*text.Chart
	order    []ref // cells, tables and charts in the order of the text
	library  bool
	waiting  map[string]text.Node   // of a library page: cells and tables that are declared when first asked for
	page     int32                  // while declaring
	unread   struct{ from, to int } // its Diags about lines that could not be read, in the order of the text
}

// use is a sheet that another one uses, and what it is called there.
type use struct {
	mod   *module
	alias string
}

// refKind tells what a name stands for.
type refKind uint8

const (
	noRef refKind = iota
	cellRef
	tableRef
	moduleRef
	chartRef
)

// ref is what a name stands for.
type ref struct {
	kind refKind
	num  int32 // of the cell or the table; of the module among its user's uses; of the chart in its module
	page int32 // of a chart
	span text.Span
}

type param struct {
	name    text.Word
	each    bool
	typ     typ
	show    *show
	choices *choiceSet // what a text given to it may be; nil: anything
}

// formulaState guards against formulas that call themselves.
type formulaState uint8

const (
	unresolved formulaState = iota
	resolving
	resolved
)

type formulaDef struct {
	mod    *module
	node   *text.Formula
	number int32
	params []param
	typ    typ
	show   *show
	state  formulaState
	unread int // number of the Diag about text of it that cannot be read, or -1
	body   int32
	needs  []condition
	trusts []condition
	depth  int // how deep the calls below it go
}

type condition struct {
	root int32
	node *text.Condition
}

// example is a worked example of a formula.
type example struct {
	formula *formulaDef
	node    *text.Example
	slot    int32
	want    float64
	within  float64
	show    *show
}

// rowKey is a row of a table by its name, there or not.
type rowKey struct {
	table *table
	name  int32 // number of the text
}

// missingRow is a row that is not there. It is said once.
type missingRow struct {
	diag int
	more int // in how many more places it is named
}

// pendingNote asks for the values behind a message, which are known only after the run.
type pendingNote struct {
	diag int
	refs []int32 // slots
}

// typeNumber returns the number of a type, new if need be.
func (m *Tree) typeNumber(t typ) uint16 {
	if n, ok := m.typeNum[t]; ok {
		return n
	}
	if len(m.types) >= 1<<16-1 {
		return 0 // 65 535 dimensions in one project: the rest is not known
	}
	n := uint16(len(m.types))
	m.types = append(m.types, t)
	m.typeNum[t] = n
	return n
}

// typeAt returns the type of a node.
func (m *Tree) typeAt(i int32) typ { return m.types[m.nodes[i].typ] }

// unitNumber returns the number of the unit that a number in a formula is written with; it is above 0.
func (m *Tree) unitNumber(u units.Unit) int32 {
	for i := len(m.written) - 1; i >= 0 && i >= len(m.written)-8; i-- { // most formulas keep to a few
		if m.written[i] == u {
			return int32(i) + 1
		}
	}
	m.written = append(m.written, u)
	return int32(len(m.written))
}

// maxListed is how many messages of each kind are told: about the text, about what has no result, about what is used outside
// its range. Nobody reads more, and all of them could be more than memory holds.
const maxListed = 1000

// report adds a message about a span of a sheet.
func (m *Messages) report(mod *module, d text.Diag) int {
	d.Source = mod.src
	if len(m.diags)-m.fromTexts < maxListed {
		m.diags = append(m.diags, d)
		return len(m.diags) - 1
	}
	if m.overflow < 0 {
		m.overflow = len(m.diags)
		m.diags = append(m.diags, moreListed(d))
	}
	if d.Sev == text.Error {
		m.diags[m.overflow].Sev = text.Error
	}
	return m.overflow
}

// moreListed is the message that stands for d and all further ones of its kind.
func moreListed(d text.Diag) text.Diag {
	return text.Diag{Code: "more-told", Sev: d.Sev, Source: d.Source, Span: d.Span, Msg: fmt.Sprintf("there is more like what was told before: %d messages of a kind are told at most", maxListed)}
}

// readDiags adds what reading a text has found.
func (m *Messages) readDiags(diags text.Diags) {
	m.diags = append(m.diags, diags...)
	m.fromTexts += len(diags)
}

// note adds a fact to a Diag, unless it is told already.
func (m *Messages) note(said int, fact string) {
	if d := &m.diags[said]; said != m.overflow && len(d.Notes) < 4 && !slices.Contains(d.Notes, fact) {
		d.Notes = append(d.Notes, fact)
	}
}
