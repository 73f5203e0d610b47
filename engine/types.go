package engine

import "gusset/units"

// kind tells what sort of thing a value is.
type kind uint8

const (
	unknown kind = iota // not known, since a mistake was found there or nothing is given yet; nothing more is said about it
	number
	writing // text
	truth   // yes or no
	rows    // rows of a table
)

// temperature tells readings from differences; both are held in K.
type temperature uint8

const (
	neutral    temperature = iota // given in K, or no temperature
	reading                       // given in degC or degF
	difference                    // one reading less another
)

// typ is what is known of a value before any number is. It is comparable.
type typ struct {
	kind kind
	list bool // one for each row of a table
	dim  units.Dim
	temp temperature
}

func numberOf(d units.Dim) typ { return typ{kind: number, dim: d} }

var (
	plainType   = typ{kind: number}
	writingType = typ{kind: writing}
	truthType   = typ{kind: truth}
)

// typeOf returns the type of a quantity in unit u.
func typeOf(u units.Unit) typ {
	t := numberOf(u.Dim())
	if u.Reading() {
		t.temp = reading
	}
	return t
}

// String describes the type with its article, in the trade's words.
func (t typ) String() string {
	if t.list {
		one := t
		one.list = false
		if t.kind == rows {
			return "rows of a table"
		}
		return "a column of which each is " + one.String()
	}
	switch t.kind {
	case number:
		if t.temp == difference {
			return "a difference of temperature"
		}
		return t.dim.Describe()
	case writing:
		return "a text"
	case truth:
		return "yes or no"
	case rows:
		return "a row of a table"
	}
	return "not known"
}
