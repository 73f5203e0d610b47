// Package formula has the formulas of a workbook as trees: numbers, texts, references, operators and calls.
//
// A tree is printed once, when its cell is written. What has to be known of it before is known of each of its pieces
// from when it is made: how long it gets, how deep it nests, and whether it has to be entered as an array formula.
// Pieces do not change, so formulas share them; one piece may be printed many times.
package formula

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"
)

// Formula is a formula, or a piece of one: a Number, Text, Boolean, Cell or Range, or what an Operator, a Function or
// Negative made of others. Those that are not made of others can be compared by ==, all by Equal.
type Formula interface {
	print(to *strings.Builder)
	traits() traits
}

// Number is a number that is part of a formula.
type Number struct {
	Value   float64
	Written string // in the formula, where that is not the shortest way: 30%
}

// Text is a text that is part of a formula.
type Text string

// Boolean is TRUE or FALSE.
type Boolean bool

// Cell is the address of a cell, or the name of one.
type Cell string

// Range is the address of several cells, or a name for them.
type Range string

// binding is how tightly the outermost operator of a formula binds.
type binding uint8

const (
	comparing binding = iota
	joining
	adding
	multiplying
	raising
	negating
	whole // nothing can tear it apart
)

// traits are what is known of a formula without a look into it.
type traits struct {
	binding binding
	minus   bool // it begins with a minus
	Size

	rows    bool // it has several values: those of a range, or one for each of them
	isRange bool // it is a range itself
	calls   bool // it has a call in it
	lifts   bool // a function that takes a single value gets several, and has a value for each
	array   bool // a part of it is worked out only in an array formula
}

// Size is how much of a spreadsheet's limits a formula takes.
type Size struct {
	Chars  int // as it is printed, counted as spreadsheets count
	Stored int // bytes at most, as some of them keep it
	Depth  int // of the brackets within one another
	Values int // of the call that takes most of them
}

// SizeOf returns the size of a formula.
func SizeOf(f Formula) Size { return f.traits().Size }

// NeedsArray reports whether a formula is worked out only if it is entered as an array formula.
func NeedsArray(f Formula) bool {
	t := f.traits()
	return t.array || t.rows
}

// HasRows reports whether a formula has several values: those of a range, or one for each of them.
func HasRows(f Formula) bool { return f.traits().rows }

// HasCalls reports whether there is a call in a formula.
func HasCalls(f Formula) bool { return f.traits().calls }

// Print returns a formula as a cell has it, without the = in front.
func Print(f Formula) string {
	var b strings.Builder
	b.Grow(f.traits().Chars)
	f.print(&b)
	return b.String()
}

// Equal reports whether two formulas are the same, piece by piece.
func Equal(a, b Formula) bool {
	if a == b {
		return true
	}
	if a == nil || b == nil || a.traits() != b.traits() {
		return false
	}
	switch a := a.(type) {
	case *operation:
		b, ok := b.(*operation)
		return ok && a.operator == b.operator && Equal(a.left, b.left) && Equal(a.right, b.right)
	case *negative:
		b, ok := b.(*negative)
		return ok && Equal(a.of, b.of)
	case *call:
		b, ok := b.(*call)
		return ok && a.function == b.function && slices.EqualFunc(a.args, b.args, Equal)
	}
	return false
}

// IsLeaf reports whether a formula is not made of others; then it can be compared by ==.
func IsLeaf(f Formula) bool {
	switch f.(type) {
	case *operation, *negative, *call:
		return false
	}
	return true
}

// What a piece takes where formulas are kept in a binary form, in bytes at most.
const (
	storedNumber    = 9
	storedReference = 11
	storedFunction  = 7
)

// Num returns a number.
func Num(x float64) Number { return Number{Value: x} }

func (n Number) text() string {
	if n.Written != "" {
		return n.Written
	}
	return Numeral(n.Value)
}

// Numeral writes a number as formulas have it.
func Numeral(x float64) string { return strings.ToUpper(strconv.FormatFloat(x, 'g', -1, 64)) }

func (n Number) print(to *strings.Builder) { to.WriteString(n.text()) }
func (n Number) traits() traits {
	t := traits{binding: whole, Size: Size{Chars: len(n.text()), Stored: storedNumber}}
	if n.Value < 0 {
		t.binding, t.minus = negating, true
	}
	return t
}

// longestText is how many characters a text of a formula may have.
const longestText = 250

// Quote returns a text as formulas have it. A long one is joined of several.
func Quote(s string) string {
	var parts []string
	for s != "" || parts == nil {
		part := UpTo(s, longestText)
		parts = append(parts, `"`+strings.ReplaceAll(part, `"`, `""`)+`"`)
		s = s[len(part):]
	}
	if len(parts) > 1 {
		return "(" + strings.Join(parts, "&") + ")"
	}
	return parts[0]
}

// UpTo returns the beginning of a text that is no longer than so many characters, as spreadsheets count: those beyond
// the first 65 536 that there are, such as pictures of faces, count double.
func UpTo(s string, most int) string {
	for i, r := range s {
		if most -= utf16.RuneLen(r); most < 0 {
			return s[:i]
		}
	}
	return s
}

// chars counts the characters of a text likewise.
func chars(s string) int {
	n := 0
	for _, r := range s {
		n += max(utf16.RuneLen(r), 1)
	}
	return n
}

func (s Text) print(to *strings.Builder) { to.WriteString(Quote(string(s))) }
func (s Text) traits() traits {
	n := chars(Quote(string(s)))
	t := traits{binding: whole, Size: Size{Chars: n, Stored: 2 * n}}
	if chars(string(s)) > longestText {
		t.Depth = 1
	}
	return t
}

func (b Boolean) print(to *strings.Builder) {
	to.WriteString(strings.ToUpper(strconv.FormatBool(bool(b))))
}
func (b Boolean) traits() traits {
	n := len("FALSE")
	if b {
		n = len("TRUE")
	}
	return traits{binding: whole, Size: Size{Chars: n, Stored: storedFunction}}
}

func (c Cell) print(to *strings.Builder) { to.WriteString(string(c)) }
func (c Cell) traits() traits {
	return traits{binding: whole, Size: Size{Chars: chars(string(c)), Stored: storedReference}}
}

func (r Range) print(to *strings.Builder) { to.WriteString(string(r)) }
func (r Range) traits() traits {
	t := Cell(r).traits()
	t.rows, t.isRange = true, true
	return t
}
