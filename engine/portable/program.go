package portable

import (
	"encoding/json"

	"gusset/units"
)

// Program is a worked sheet as data.
type Program struct {
	Registers int32     `json:"registers"` // how many there are; those below Slots hold the values of slots
	SlotCount int32     `json:"slotCount"`
	Held      Held      `json:"held"`
	Texts     []*string `json:"texts"` // by number; null: nothing needs it

	Ops       []Op     `json:"ops"`       // instructions, by number
	Operators []string `json:"operators"` // of Nodes, by number
	Functions []string `json:"functions"` // by number
	FoldKinds []string `json:"foldKinds"` // by number
	Tolerance float64  `json:"tolerance"` // the relative difference up to which two numbers compare as equal

	// Code, in the order in which it is run: op, D, A, B, C and so on. Where the first number is below 0, -1 - n, this
	// is several steps in a row: the code of the step at n of this list, with the operands that Shifts has for it moved
	// by as many rows as the second number says, by one more, and so on, as many times as the third number says.
	Steps    [][]int32         `json:"steps"`
	Shifts   map[int32][]int32 `json:"shifts"`
	Folds    map[int32]Fold    `json:"folds"`
	Searches map[int32]Search  `json:"searches"`
	Keys     map[int32][]int32 `json:"keys"`    // of tables that are looked up: number of a text, row, and so on
	Cuts     map[int32]Cut     `json:"cuts"`    // slots that this program alone can compute
	Trusted  map[int32][]int32 `json:"trusted"` // slots that conditions of trust in a slot's formula read, beyond its code
	Slots    map[int32]Slot    `json:"slots"`
	Names    map[int32]string  `json:"names"`   // of slots that are parts of formulas
	Broken   map[int32]string  `json:"broken"`  // the mistake because of which a slot has no value
	Lost     map[int32]string  `json:"lost"`    // of slots that stand for tables that were not read whole: why
	Written  map[int32]string  `json:"written"` // formulas of entries that are worked out by themselves
	Choices  [][]string        `json:"choices"` // what texts can be, from 1 on
	Cells    map[int32]Cell    `json:"cells"`   // by slot
	Columns  map[int32]Column  `json:"columns"`
	Tables   map[int32]Table   `json:"tables"`
	Formulas map[int32]Formula `json:"formulas"`
	Nodes    [][]float64       `json:"nodes"` // operator and what it has: see nodes.go
	Lists    map[int32]int32   `json:"lists"` // of nodes that go through rows, the node that says which
	Shows    []Show            `json:"shows"`
	Units    []units.Data      `json:"units"`
	Readable map[string]int32  `json:"readable"` // units that values may be given in, by name: their number
	Guesses  []int32           `json:"guesses"`  // given slots that hold a guess
	// Of given slots, how far off they may be: ± 1/16, in the unit in which they are shown.
	Tolerances map[int32]string `json:"tolerances"`
}

// Held are registers that hold a number before a run: by how much each is higher than the one before, and the numbers.
type Held struct {
	Registers []int32   `json:"registers"`
	Values    []float64 `json:"values"`
}

// Op is an instruction, with what its operands D, A, B and C are. The roles are those of machine.Role, by name.
type Op struct {
	Name  string    `json:"name"`
	Roles [4]string `json:"roles"`
}

// Fold works something out for every row of a table and brings the values together.
type Fold struct {
	Kind int32    `json:"kind"`
	Rows int32    `json:"rows"`
	Keep []int32  `json:"keep"`          // code that works out which rows count, into KeepReg; empty: all do
	Each []int32  `json:"each"`          // code that works out the value of a row, into EachReg
	Regs [4]int32 `json:"regs"`          // KeepReg, EachReg, OtherReg, AtReg; -1: none
	Cut  []int32  `json:"cut,omitempty"` // registers of what only the tool makes something of
}

// Search is what an adjusted cell is searched with: registers, and the code that works the condition out.
type Search struct {
	Unknown    int32   `json:"unknown"`
	Goal       int32   `json:"goal"`
	Lo         int32   `json:"lo"`
	Hi         int32   `json:"hi"`
	Left       int32   `json:"left"`
	Right      int32   `json:"right"`
	First      bool    `json:"first,omitempty"`      // a few trials tell where the goal is zero ...
	Fractional bool    `json:"fractional,omitempty"` // ... and it is one straight line over another
	Body       []int32 `json:"body"`
}

// Cut is what a slot came to that this program alone can compute.
type Cut struct {
	Value   *float64 `json:"value"`             // null: none
	Reads   []int32  `json:"reads"`             // slots that its value has used
	Missing []int32  `json:"missing,omitempty"` // why it has none
	Fault   string   `json:"fault,omitempty"`
}

// Slot is one value. In JSON it is a list of numbers: the first four fields, then 1 for Part, 2 for Distrust and 4 for
// Settable added up, then Row where there is any; those of an entry of a column follow from where it is. Entries that
// are as their column says are not listed.
type Slot struct {
	Kind     uint8 // 0 a given one, 1 a worked one, 2 one that is adjusted, 3 how far one may be off
	Type     uint8 // 0 not known, 1 a number, 2 a text, 3 yes or no
	Show     int32 // how it is shown
	Root     int32 // node of its formula; -1: none
	Part     bool  // of a formula, with no name of its own
	Settable bool  // it is given, and can be given another value
	Distrust bool  // its formula calls one that says where it is to be trusted
	Row      int32 // in its table
	Column   int32 // -1: it is a cell, or a part of a formula
}

// MarshalJSON writes the numbers.
func (s Slot) MarshalJSON() ([]byte, error) {
	flag := map[bool]int32{true: 1}
	list := []int32{int32(s.Kind), int32(s.Type), s.Show, s.Root,
		flag[s.Part] + 2*flag[s.Distrust] + 4*flag[s.Settable]}
	if s.Row > 0 && s.Column < 0 {
		list = append(list, s.Row)
	}
	return json.Marshal(list)
}

// Cell is what the slot of a cell, a check or an adjusted cell has besides.
type Cell struct {
	Name    string `json:"name"`
	Formula string `json:"formula,omitempty"`
	Check   bool   `json:"check,omitempty"`
	Search  *int32 `json:"search,omitempty"`
	Choice  int    `json:"choice,omitempty"` // number of what it can be alone; 0: anything
}

// Column is a column of a table, one slot after the other.
type Column struct {
	Entry   Slot    `json:"entry"` // what most of its slots are; Row and Column are left out
	Table   int32   `json:"table"`
	Name    string  `json:"name"`
	Base    int32   `json:"base"` // slot of its first row
	Rows    int32   `json:"rows"`
	Formula string  `json:"formula,omitempty"` // of a worked column
	Choice  int     `json:"choice,omitempty"`
	Decides []int32 `json:"decides,omitempty"` // nodes of conditions on what may be chosen elsewhere, which read it
}

// Table is a table; Rows has the texts that name its rows.
type Table struct {
	Name string  `json:"name"`
	Rows []int32 `json:"rows"`
	Lost string  `json:"lost,omitempty"` // why nothing goes through its rows
	List bool    `json:"list,omitempty"` // values that are written in a formula
}

// Formula is one that others call.
type Formula struct {
	Name      string      `json:"name"`
	Each      []bool      `json:"each"` // for each parameter, whether it is a whole column
	Body      int32       `json:"body"`
	Needs     []Condition `json:"needs,omitempty"`
	Trusts    []Condition `json:"trusts,omitempty"`
	Signature string      `json:"signature,omitempty"` // this and the sources where a value's formula calls it itself
	Sources   []string    `json:"sources,omitempty"`
}

// Condition is what a formula needs, or under which it is to be trusted.
type Condition struct {
	Root int32  `json:"root"`
	Text string `json:"text"` // what is said where it does not hold
}

// Show is how a value is shown: the number of its unit, and its step as units.ParseStep reads it.
type Show struct {
	Unit int32  `json:"unit"`
	Step string `json:"step,omitempty"`
}
