// Package units knows the units of the workshop, its way of writing numbers,
// and how to show a quantity. It is the manual of all three.
//
// # Dimensions
//
// A [Dim] is what a quantity measures: the powers of length, mass, time,
// electric current, temperature, angle and money. Two quantities can be added
// when their Dims are equal.
//
// Angle is a dimension of its own, so that a speed of rotation in rad/s and
// one in rev/s cannot be mixed up by a silent 2 pi. Torque and energy have one
// dimension: a torque turned through an angle is an energy times an angle, and
// one divides by 1 rad.
//
// Money has a dimension for each currency of ISO 4217. Two currencies never
// meet in one Dim.
//
// Ounce, pound, gram and kilogram are masses. Their weights are the forces
// ozf, lbf, gf and kgf: a mass times 1 gn, the standard gravity of 9.80665 m/s^2.
// The torques oz-in, lb-in, lb-ft, g-cm and kg-cm are forces times a length,
// as the trade means them; "oz in" with a space is a mass times a length, as in
// a balance sheet.
//
// # Units
//
// A [Unit] counts a dimension. Its factor to SI is an exact fraction, or one
// times a power of pi, so that a conversion rounds once.
//
// The text of a unit, as [Set.Parse] reads it, is made of names:
//
//	in  sq ft  cu in  oz  ozf  us floz  oz-in  degC  GBP  %  1
//
// sq and cu raise the unit of length that follows them. Names are joined so:
//
//	oz in    a product: a space, * or ·
//	oz/ft    a quotient
//	ft^2     a power: ft², s^-1, s⁻¹, m^(1/2)
//	(m s)    brackets
//
// A product or quotient is read from left to right, as in a formula: m/s/s is
// m/s^2, and 1/rad*deg is deg/rad. A space or · after a / is refused, since
// kg/m s can be read as kg/(m s) and as kg s/m (The International System of
// Units, 9th edition, 2019, section 5.4.6 warns of the same). In oz/sq ft and
// lb/cu ft, sq ft and cu ft are one name each.
//
// Three pairs are one unit of two parts: "ft in", "lb oz" and "min s" are shown as
// 4 ft 2-1/2 in, 3 lb 5 oz and 5 min 30 s. Such a unit counts the smaller part.
// Their product is written ft*in.
//
// degC and degF are readings, with a zero of their own: they are used alone, and
// differences are in K. % is 1/100. Metric horsepower is hp_metric. A sheet adds units of its own with [Set.With].
//
// # Numbers
//
// [Set.ParseNumber] reads numbers as they are written in a workshop:
//
//	8.25   .5   1.2e3
//	8-1/4  8 1/4  3/16  8½
//	4 ft 2-1/2 in   3 lb 5 oz
//	155 g  30 %  12V
//	-7-1/2          the minus covers the whole
//
// A number is exact as typed, and is rounded once when it has been converted.
// What can be read two ways is refused, with what to write: 8,25 and 1,250,
// 8 -1/4, 8-5/4, 4' 2", 1 000.
//
// # Showing
//
// [Format] shows a value for people: to a [Step], as ruler fractions or with
// decimals, or else to four significant digits, but never to less than whole
// numbers below a thousand million. [Exact] shows all of it. Both write what ParseNumber reads.
//
// Mistakes are returned as an [Error] with its place, and with what to type where that is known.
package units
