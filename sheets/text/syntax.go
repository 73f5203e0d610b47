package text

// File is a sheet as a tree. Its nodes are in the order of the text; an untouched File prints back byte for byte.
type File struct {
	Source *Source
	Nodes  []Node // every line of the file belongs to exactly one node
	Values int    // how many are in it: cells, entries of rows, what variants set
}

// Node is one line of a sheet, or one statement with the lines indented below it.
// The concrete types are *Blank, *Comment, *Bad, *Title, *Use, *Page, *Cell, *Table, *Check, *Adjust, *Chart, *Variant,
// *Formula, *Caution and *UnitDef.
type Node interface {
	// Extent is the whole lines of the node, line ends included.
	Extent() Span
	node()
}

// Word is a piece of a line that carries meaning, with its place. A Word whose Span is empty is not there.
// Text is as written, except that quoted text has lost its quotes and its backslashes; Span includes the quotes.
type Word struct {
	Text string
	Span Span
}

// Given reports whether the word is in the text.
func (w Word) Given() bool { return w.Span.Len() > 0 }

// Lines is the extent of a node; every node embeds it.
type Lines struct{ Span Span }

// Extent returns the whole lines of the node.
func (l Lines) Extent() Span { return l.Span }

func (Lines) node() {}

// Blank is a line of white space.
type Blank struct{ Lines }

// Comment is a line that holds only a comment. Text.Text is what follows the two slashes, trimmed.
type Comment struct {
	Lines
	Text Word
}

// Bad is a line that could not be read; a Diag says why. Where that line opens a block, all of the block is in it.
type Bad struct {
	Lines
	// Name is what the line was to set, where that much can be read, so that those who use it need not call it unknown.
	Name Word
	Kind BadKind
}

// BadKind says what a line that could not be read was to be, as far as its first word says.
type BadKind uint8

// The kinds of a Bad.
const (
	BadStatement BadKind = iota // anything else: a row, a table, a formula
	BadCell                     // a cell, given, worked or adjusted
	BadCheck
)

// Title is `sheet "NAME"`.
type Title struct {
	Lines
	Name Word
	Note Word
}

// Use is `use "FILE" [as NAME]`.
type Use struct {
	Lines
	Path Word
	As   Word
	Note Word
}

// Page is `page NAME`; what follows belongs to it until the next page. NAME is the rest of the line, or quoted text.
type Page struct {
	Lines
	Name Word
	Note Word
}

// UnitTag is `[UNIT]`, `[UNIT, STEP]` or `[one of ...]`. The zero UnitTag is not a tag at all.
type UnitTag struct {
	Span   Span // brackets included
	Unit   Word
	Step   Word
	Choice *Choice // nil if the tag has a unit
}

// Given reports whether there is a unit.
func (u UnitTag) Given() bool { return u.Span.Len() > 0 && u.Choice == nil }

// ValueKind says what a given value looks like.
type ValueKind uint8

// The kinds of a Value.
const (
	NoValue      ValueKind = iota // nothing yet
	NumberValue                   // a workshop number, not yet read
	TextValue                     // text in quotes
	YesNoValue                    // yes or no
	FormulaValue                  // = FORMULA; of a worked cell, or an entry of a table's row
)

// Value is what follows a `:` or in a row of a table.
type Value struct {
	Kind  ValueKind
	Word  Word   // the number, the text, yes or no, or the formula without its mark
	Doubt *Doubt // nil: none
}

// Doubt is what a value says of how sure it is. Most values say nothing, and a sheet may have very many.
type Doubt struct {
	GiveOrTake Word // how far off it may be, after ± or +-; the Word of the value excludes it
	Spread     Word // normal or sd after that: what it says of the values between; not given: limits
	Guess      Word // the ? that marks the value as a guess
}

// GiveOrTake returns how far off the value may be: what follows ± or +- in it.
func (v Value) GiveOrTake() Word { return v.doubt().GiveOrTake }

// Spread returns the word after that, normal or sd, which says how values are spread; none: between limits.
func (v Value) Spread() Word { return v.doubt().Spread }

// Tolerance returns what the value says of how far off it may be, as a tidy sheet writes it: ± 18 % sd. It is empty
// where it says nothing.
func (v Value) Tolerance() string {
	if !v.GiveOrTake().Given() {
		return ""
	}
	return join("±", v.GiveOrTake().Text, v.Spread().Text)
}

// Guess returns the ? that marks the value as a guess.
func (v Value) Guess() Word { return v.doubt().Guess }

func (v Value) doubt() Doubt {
	if v.Doubt == nil {
		return Doubt{}
	}
	return *v.Doubt
}

// End returns where the value ends in the text, with its give or take and its mark.
func (v Value) End() int32 {
	d := v.doubt()
	return max(v.Word.Span.End, d.GiveOrTake.Span.End, d.Spread.Span.End, d.Guess.Span.End)
}

// Cell is a given cell `NAME [UNIT, STEP] : VALUE` or a worked cell `NAME [UNIT, STEP] = FORMULA`.
// Inside a Table it is a worked column.
type Cell struct {
	Lines
	Name  Word
	Unit  UnitTag
	Value Value // what follows the mark; that of a worked cell is a FormulaValue
	Note  Word  // without the slashes, trimmed; its Span covers the text after the slashes
}

// IsGiven reports whether the cell is measured or chosen rather than worked out.
func (c *Cell) IsGiven() bool { return c.Value.Kind != FormulaValue }

// Formula returns the formula of a worked cell, without its mark.
func (c *Cell) Formula() Word {
	if c.IsGiven() {
		return Word{}
	}
	return c.Value.Word
}

// Column is one column of a table's head.
type Column struct {
	Name Word
	Unit UnitTag
}

// Range is `from A to B step S`: A, B and S as written.
type Range struct{ From, To, Step Word }

// Row is one row of a table. Values has an entry for each column of the head but the first.
type Row struct {
	Lines
	Name   Word
	Values []Value
	Note   Word
}

// Edges says at which edges a table's head has a bar; its rows then have one there too.
type Edges struct{ Left, Right bool }

// Table is `table NAME`, its head, its rows and its worked columns.
type Table struct {
	Lines
	Name     Word
	Note     Word
	Head     []Column // the first names the rows
	HeadNote Word
	Edges    Edges
	Range    *Range // the rows make themselves; Head then has one column and there are no rows
	Rows     []*Row
	Worked   []*Cell
	Body     []Node // every line below the first: *HeadLine, *Row, *Cell, *Comment, *Blank, *Bad
	Unread   []Span // lines, in the body and after it, that could not be read and may have been rows or columns of it
}

// HeadLine is the place of a table's head among its Body.
type HeadLine struct{ Lines }

// Check is `check NAME = CONDITION`.
type Check struct {
	Lines
	Name      Word
	Condition Word
	Note      Word
}

// Adjust is `adjust NAME [UNIT, STEP] from A to B so LEFT = RIGHT`.
type Adjust struct {
	Lines
	Name        Word
	Unit        UnitTag
	From, To    Word
	Left, Right Word
	Note        Word
}

// Chart is `chart "TITLE" TABLE: Y, Y against X`, `outline "TITLE" TABLE: Y against X`, or
// `picture "TITLE" TABLE: Y at X mark NAME, NAME`.
type Chart struct {
	Lines
	Outline bool // the rows are points of a closed outline
	Picture bool // the rows are weights along a line: Y is the weight, X the station
	Title   Word
	Table   Word
	Ys      []Word
	X       Word
	Marks   []Path // of a picture: values at stations
	Note    Word
}

// Variant is `variant "NAME" [from "NAME"]` with the given values below it.
type Variant struct {
	Lines
	Name Word
	From Word
	Note Word
	Body []Node // *Setting, *Comment, *Blank, *Bad
}

// Setting is one line of a variant: `TARGET : VALUE`.
type Setting struct {
	Lines
	Target Path
	Value  Value
	Note   Word
}

// Param is one argument of a formula: `[each] NAME [UNIT]`.
type Param struct {
	Each bool // the argument is a whole column
	Name Word
	Unit UnitTag
}

// Formula is `formula NAME(PARAM, ...) [UNIT] = EXPRESSION` with what is below it.
type Formula struct {
	Lines
	Name     Word
	Params   []Param
	Unit     UnitTag
	Expr     Word
	Note     Word
	Doc      []Word // the comment lines at the head of the body: what the formula is
	Sources  []*Citation
	Needs    []*Condition
	Trusts   []*Condition
	Examples []*Example
	Cautions []*Caution
	Body     []Node // every line below the first: *Comment, *Blank, *Citation, *Condition, *Example, *Caution, *Bad
}

// Citation is `source "TEXT"`.
type Citation struct {
	Lines
	Text Word
	Note Word
}

// Condition is `needs CONDITION // message` or `trust CONDITION // message`.
type Condition struct {
	Lines
	Trust   bool
	Cond    Word
	Message Word
}

// Example is `example NAME(...) = VALUE [UNIT] // where the figure comes from`.
type Example struct {
	Lines
	Call  Word
	Value Word
	Unit  UnitTag
	Where Word
}

// Caution is `caution "TEXT"`, of a sheet or of a formula.
type Caution struct {
	Lines
	Text Word
	Note Word
}

// UnitDef is `unit NAME = NUMBER [UNIT]`.
type UnitDef struct {
	Lines
	Name  Word
	Value Word
	Unit  UnitTag
	Note  Word
}
