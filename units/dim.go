package units

import (
	"fmt"
	"math/big"
)

// Places of the base dimensions in a Dim.
const (
	iLength = iota
	iMass
	iTime
	iCurrent
	iTemperature
	iAngle
	iMoney
	nBase
)

const (
	parts  = 12  // an exponent of 1 is held as twelve parts
	maxExp = 100 // the greatest exponent, either way
)

// Dim is what a quantity measures: the exponents of length, mass, time,
// electric current, temperature, angle and money, with the money's currency.
// It is comparable: two quantities can be added when their Dims are ==.
// The zero Dim is that of a plain number.
//
// Exponents are held in twelfths, so that square, cube and fourth roots are exact.
type Dim struct {
	exp      [nBase]int16
	currency [3]byte // ISO 4217; all zero when the exponent of money is zero
}

// dim makes a Dim from whole exponents.
func dim(length, mass, time, current, temperature, angle int16) Dim {
	return Dim{exp: [nBase]int16{
		length * parts, mass * parts, time * parts,
		current * parts, temperature * parts, angle * parts,
	}}
}

// The base dimensions; Money makes the one that is missing here.
var (
	Length      = dim(1, 0, 0, 0, 0, 0)
	Mass        = dim(0, 1, 0, 0, 0, 0)
	Time        = dim(0, 0, 1, 0, 0, 0)
	Current     = dim(0, 0, 0, 1, 0, 0)
	Temperature = dim(0, 0, 0, 0, 1, 0)
	Angle       = dim(0, 0, 0, 0, 0, 1)
)

// Dimensions made of the base ones. Torque and Energy are the same.
var (
	Area          = dim(2, 0, 0, 0, 0, 0)
	Volume        = dim(3, 0, 0, 0, 0, 0)
	AreaMoment    = dim(4, 0, 0, 0, 0, 0) // second moment of area
	Speed         = dim(1, 0, -1, 0, 0, 0)
	Acceleration  = dim(1, 0, -2, 0, 0, 0)
	Frequency     = dim(0, 0, -1, 0, 0, 0)
	RotationSpeed = dim(0, 0, -1, 0, 0, 1)
	Force         = dim(1, 1, -2, 0, 0, 0)
	Torque        = dim(2, 1, -2, 0, 0, 0)
	Energy        = Torque
	Power         = dim(2, 1, -3, 0, 0, 0)
	Pressure      = dim(-1, 1, -2, 0, 0, 0)
	Density       = dim(-3, 1, 0, 0, 0, 0)
	AreaDensity   = dim(-2, 1, 0, 0, 0, 0) // wing loading, weight of sheet and cloth
	LineDensity   = dim(-1, 1, 0, 0, 0, 0) // weight of strip and wire
	MassMoment    = dim(1, 1, 0, 0, 0, 0)  // balance moment
	Charge        = dim(0, 0, 1, 1, 0, 0)
	Voltage       = dim(2, 1, -3, -1, 0, 0)
	Resistance    = dim(2, 1, -3, -2, 0, 0)
)

// Mul returns the dimension of a product. It fails on two currencies and on an
// exponent beyond 100.
func (d Dim) Mul(e Dim) (Dim, error) {
	for i := range d.exp {
		sum := int(d.exp[i]) + int(e.exp[i])
		if !inRange(sum) {
			return Dim{}, errTooHigh(d, e)
		}
		d.exp[i] = int16(sum)
	}
	if e.currency != ([3]byte{}) {
		if d.currency != ([3]byte{}) && d.currency != e.currency {
			return Dim{}, &Error{
				Code: "two-currencies",
				Msg:  fmt.Sprintf("%s and %s cannot be mixed", d.currency, e.currency),
				Hint: "convert one of them first, with the rate of the day",
			}
		}
		d.currency = e.currency
	}
	return d.normalized(), nil
}

// Div returns the dimension of a quotient. It fails as Mul does.
func (d Dim) Div(e Dim) (Dim, error) {
	for i := range e.exp {
		e.exp[i] = -e.exp[i]
	}
	return d.Mul(e)
}

// Pow returns the dimension of the power num/den. It fails when den is zero,
// when the result cannot be held in twelfths, and on an exponent beyond 100.
func (d Dim) Pow(num, den int) (Dim, error) {
	if den == 0 {
		return Dim{}, &Error{Code: "power", Msg: "a power cannot have 0 below the line"}
	}
	for i, e := range d.exp {
		if e == 0 {
			continue
		}
		if num > parts*maxExp || num < -parts*maxExp || den > parts*maxExp || den < -parts*maxExp {
			return Dim{}, errPower(d, num, den)
		}
		p := int(e) * num
		if p%den != 0 || !inRange(p/den) {
			return Dim{}, errPower(d, num, den)
		}
		d.exp[i] = int16(p / den)
	}
	return d.normalized(), nil
}

func inRange(exp int) bool { return exp <= maxExp*parts && exp >= -maxExp*parts }

// normalized drops the currency of a Dim without money, so that == holds.
func (d Dim) normalized() Dim {
	if d.exp[iMoney] == 0 {
		d.currency = [3]byte{}
	}
	return d
}

func errTooHigh(d, e Dim) *Error {
	return &Error{Code: "power", Msg: fmt.Sprintf("the powers of %s and %s together are too high", d, e)}
}

func errPower(d Dim, num, den int) *Error {
	return &Error{
		Code: "power",
		Msg:  fmt.Sprintf("%s cannot be raised to the power %s", d.Describe(), fraction(num, den)),
	}
}

func fraction(num, den int) string {
	return big.NewRat(int64(num), int64(den)).RatString()
}

// IsPlain reports whether d is that of a plain number.
func (d Dim) IsPlain() bool { return d == Dim{} }

// baseOrder is the order in which String writes the base units.
var baseOrder = [nBase]int{iMoney, iMass, iLength, iTime, iCurrent, iTemperature, iAngle}

var baseNames = [nBase]string{iLength: "m", iMass: "kg", iTime: "s", iCurrent: "A", iTemperature: "K", iAngle: "rad"}

// String returns d in SI base units, as in "kg m^2/s^3"; "1" for a plain number.
func (d Dim) String() string {
	var terms []term
	for _, i := range baseOrder {
		if d.exp[i] == 0 {
			continue
		}
		name := baseNames[i]
		if i == iMoney {
			if name = d.Currency(); name == AnyMoney {
				name = "money"
			}
		}
		terms = append(terms, term{name: name, exp: int(d.exp[i])})
	}
	return prettyTerms(terms)
}

// MarshalText gives the dimension as String does, as encoding/json does for a value that holds one.
func (d Dim) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// Unit returns the coherent SI unit of d: its factor is 1, and it is shown as
// String shows d.
func (d Dim) Unit() Unit {
	if d.IsPlain() {
		return Unit{}
	}
	return Unit{newDef(d.String(), d, one, 0)}
}

// Describe says what d is in the words of the trade, with its article: "a
// length", "a wing loading (mass per area)", "a quantity in kg m^2/s^5".
func (d Dim) Describe() string {
	if d.exp[iMoney] != 0 {
		return d.describeMoney()
	}
	if words, ok := dimWords[d]; ok {
		return words
	}
	return "a quantity in " + d.String()
}

func (d Dim) describeMoney() string {
	rest := d
	rest.exp[iMoney] -= parts
	words := priceWords[rest.normalized()]
	switch {
	case words == "":
		return "a quantity in " + d.String()
	case d.Currency() == AnyMoney:
		return words + " in any currency"
	}
	return words + " (" + d.Currency() + ")"
}

// priceWords says what an amount of money is, by what it is for.
var priceWords = map[Dim]string{
	{}:                     "an amount of money",
	dim(-1, 0, 0, 0, 0, 0): "a price per length",
	dim(-2, 0, 0, 0, 0, 0): "a price per area",
	dim(-3, 0, 0, 0, 0, 0): "a price per volume",
	dim(0, -1, 0, 0, 0, 0): "a price per mass",
	dim(0, 0, -1, 0, 0, 0): "a price per time",
}

// dimWords names the dimensions that have a name in the workshop.
var dimWords = map[Dim]string{
	{}:                      "a plain number",
	Length:                  "a length",
	Mass:                    "a mass",
	Time:                    "a time",
	Current:                 "an electric current",
	Temperature:             "a temperature",
	Angle:                   "an angle",
	Area:                    "an area",
	Volume:                  "a volume",
	AreaMoment:              "a second moment of area",
	Speed:                   "a speed",
	Acceleration:            "an acceleration",
	Frequency:               "a rate (per time)",
	RotationSpeed:           "a speed of rotation",
	Force:                   "a force",
	Torque:                  "a torque or an energy",
	Power:                   "a power",
	Pressure:                "a pressure or a stress",
	Density:                 "a density (mass per volume)",
	AreaDensity:             "a wing loading (mass per area)",
	LineDensity:             "a mass per length",
	MassMoment:              "a balance moment (mass times length)",
	Charge:                  "an electric charge",
	Voltage:                 "a voltage",
	Resistance:              "an electric resistance",
	dim(-1, 0, 0, 0, 0, 0):  "a quantity per length",
	dim(0, 1, -1, 0, 0, 0):  "a mass flow (mass per time)",
	dim(3, 0, -1, 0, 0, 0):  "a volume flow (volume per time)",
	dim(2, 1, 0, 0, 0, 0):   "a moment of inertia",
	dim(-1, 1, -1, 0, 0, 0): "a dynamic viscosity",
	dim(2, 0, -1, 0, 0, 0):  "a kinematic viscosity",
	dim(0, 1, -2, 0, 0, 0):  "a force per length",
	dim(1, 1, -1, 0, 0, 0):  "a momentum",
	dim(0, 0, -2, 0, 0, 1):  "an angular acceleration",
	dim(-1, 0, 0, 0, 0, 1):  "an angle per length",
	dim(-2, -1, 2, 1, 0, 1): "a motor constant (speed of rotation per voltage)",
	dim(2, 0, -2, 0, 0, 0):  "an energy per mass",
	dim(2, 0, -3, 0, 0, 0):  "a power per mass",
	dim(2, 1, -2, 0, 0, -1): "a torque per angle",
	dim(3, 1, -3, -2, 0, 0): "an electric resistivity",
	dim(1, 1, -3, -2, 0, 0): "an electric resistance per length",
	dim(0, 0, 0, 0, -1, 0):  "a quantity per temperature",
	dim(2, 1, -2, -1, 0, 0): "a torque per current",
	dim(-1, 0, 0, 0, 1, 0):  "a temperature per length",
	dim(0, 0, 0, 0, 0, -1):  "a quantity per angle",
	dim(-2, 0, 0, 0, 0, 0):  "a quantity per area",
	dim(-3, 0, 0, 0, 0, 0):  "a quantity per volume",
	dim(0, -1, 0, 0, 0, 0):  "a quantity per mass",
}
