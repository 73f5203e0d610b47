package program

import "gusset/units"

// Kind tells what sort of thing a value is.
type Kind uint8

const (
	// Unknown: a mistake was found there, or nothing is given yet. Nothing more is reported about it.
	Unknown Kind = iota
	Number       // in SI units
	Text         // text
	Boolean      // yes or no
	Rows         // rows of a table
)

// temperature tells readings from differences; all are held in K.
type temperature uint8

const (
	Neutral    temperature = iota // given in K, or no temperature
	Reading                       // given in degC or degF
	Difference                    // one reading less another
	Multiple                      // readings times plain numbers, or added: within a formula, while it is checked
)

// Type is what is known of a value before any number is. It is comparable.
type Type struct {
	Kind Kind
	List bool // one for each row of a table
	Dim  units.Dim
	Temp temperature
}

// NumberOf returns the type of a number of dimension d.
func NumberOf(d units.Dim) Type { return Type{Kind: Number, Dim: d} }

// The types without a dimension.
var (
	PlainType   = Type{Kind: Number}
	TextType    = Type{Kind: Text}
	BooleanType = Type{Kind: Boolean}
)

// TypeOf returns the type of a quantity in unit u.
func TypeOf(u units.Unit) Type {
	t := NumberOf(u.Dim())
	if u.Reading() {
		t.Temp = Reading
	}
	return t
}

// Difference returns the type of a difference of two of the type.
func (t Type) Difference() Type {
	if t.Temp == Reading {
		t.Temp = Difference
	}
	return t
}

// String describes the type with its article, in the trade's words.
func (t Type) String() string {
	if t.List {
		one := t
		one.List = false
		if t.Kind == Rows {
			return "rows of a table"
		}
		return "a column of which each is " + one.String()
	}
	switch t.Kind {
	case Number:
		if t.Temp == Difference {
			return "a difference of temperature"
		}
		return t.Dim.Describe()
	case Text:
		return "a text"
	case Boolean:
		return "yes or no"
	case Rows:
		return "a row of a table"
	}
	return "not known"
}
