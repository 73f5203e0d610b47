package units

// An entry of the unit table. Every unit but the base ones is defined by a
// number of another: the definition is what the builder is shown and what the
// factor is worked out from.
//
// Sources. The inch and the pound: the international yard and pound agreement,
// 1959. Standard gravity, the litre, the atmosphere, the conventional columns
// of mercury, and what follows from all these: NIST Special Publication 811,
// 2008, appendix B. The gallons: 231 cu in (US), and 4.54609 L (UK Units of
// Measurement Regulations 1995). Horsepower: 550 ft lbf/s and 75 kgf m/s, SP 811.
type entry struct {
	name    string
	aliases []string
	group   string
	def     string // "25.4 mm"; empty for a base unit
	about   string
	dim     Dim    // of a base unit only
	pi      int    // the power of pi in the definition
	offset  string // of a reading: what is added before scaling
}

// Groups, in the order in which Names lists them.
const (
	gLength = "length"
	gArea   = "area"
	gVolume = "volume"
	gMass   = "mass"
	gForce  = "force"
	gTorque = "torque"
	gStress = "pressure and stress"
	gSpeed  = "speed and acceleration"
	gAngle  = "angle and rotation"
	gTime   = "time"
	gTemp   = "temperature"
	gElec   = "electricity"
	gPower  = "power and energy"
	gPlain  = "plain numbers"
	gMixed  = "two units side by side"
	gMoney  = "money"
)

var table = []entry{
	{name: "in", group: gLength, def: "25.4 mm", about: "inch"},
	{name: "ft", group: gLength, def: "12 in", about: "foot"},
	{name: "yd", group: gLength, def: "3 ft", about: "yard"},
	{name: "mil", aliases: []string{"thou"}, group: gLength, def: "0.001 in", about: "thousandth of an inch"},
	{name: "mile", group: gLength, def: "5280 ft", about: "statute mile"},
	{name: "nmi", group: gLength, def: "1852 m", about: "nautical mile"},
	{name: "m", group: gLength, dim: Length, about: "metre"},
	{name: "dm", group: gLength, def: "0.1 m", about: "decimetre"},
	{name: "cm", group: gLength, def: "0.01 m", about: "centimetre"},
	{name: "mm", group: gLength, def: "0.001 m", about: "millimetre"},
	{name: "µm", aliases: []string{"um"}, group: gLength, def: "0.000001 m", about: "micrometre"},
	{name: "km", group: gLength, def: "1000 m", about: "kilometre"},

	{name: "L", group: gVolume, def: "1 dm^3", about: "litre"},
	{name: "cL", group: gVolume, def: "0.01 L", about: "centilitre"},
	{name: "mL", group: gVolume, def: "0.001 L", about: "millilitre"},
	{name: "cc", group: gVolume, def: "1 cm^3", about: "cubic centimetre"},
	{name: "us gal", group: gVolume, def: "231 cu in", about: "US gallon"},
	{name: "us qt", group: gVolume, def: "1/4 us gal", about: "US liquid quart"},
	{name: "us pt", group: gVolume, def: "1/8 us gal", about: "US liquid pint"},
	{name: "us floz", group: gVolume, def: "1/128 us gal", about: "US fluid ounce"},
	{name: "imp gal", group: gVolume, def: "4.54609 L", about: "imperial gallon"},
	{name: "imp qt", group: gVolume, def: "1/4 imp gal", about: "imperial quart"},
	{name: "imp pt", group: gVolume, def: "1/8 imp gal", about: "imperial pint"},
	{name: "imp floz", group: gVolume, def: "1/160 imp gal", about: "imperial fluid ounce"},

	{name: "oz", group: gMass, def: "1/16 lb", about: "ounce (avoirdupois), a mass"},
	{name: "lb", group: gMass, def: "0.45359237 kg", about: "pound (avoirdupois), a mass"},
	{name: "grain", group: gMass, def: "1/7000 lb", about: "grain"},
	{name: "stone", group: gMass, def: "14 lb", about: "stone"},
	{name: "slug", group: gMass, def: "1 lbf s^2/ft", about: "slug"},
	{name: "kg", group: gMass, dim: Mass, about: "kilogram"},
	{name: "g", group: gMass, def: "0.001 kg", about: "gram"},
	{name: "mg", group: gMass, def: "0.000001 kg", about: "milligram"},
	{name: "tonne", group: gMass, def: "1000 kg", about: "metric ton"},

	{name: "ozf", group: gForce, def: "1 oz gn", about: "ounce-force, the weight of an ounce"},
	{name: "lbf", group: gForce, def: "1 lb gn", about: "pound-force, the weight of a pound"},
	{name: "gf", group: gForce, def: "1 g gn", about: "gram-force, the weight of a gram"},
	{name: "kgf", group: gForce, def: "1 kg gn", about: "kilogram-force, the weight of a kilogram"},
	{name: "N", group: gForce, def: "1 kg m/s^2", about: "newton"},
	{name: "mN", group: gForce, def: "0.001 N", about: "millinewton"},
	{name: "kN", group: gForce, def: "1000 N", about: "kilonewton"},

	{name: "oz-in", aliases: []string{"in-oz", "ozf-in", "in-ozf"}, group: gTorque, def: "1 ozf in",
		about: "ounce-force inch, a torque"},
	{name: "lb-in", aliases: []string{"in-lb", "lbf-in", "in-lbf"}, group: gTorque, def: "1 lbf in",
		about: "pound-force inch, a torque"},
	{name: "lb-ft", aliases: []string{"ft-lb", "lbf-ft", "ft-lbf"}, group: gTorque, def: "1 lbf ft",
		about: "pound-force foot, a torque"},
	{name: "g-cm", aliases: []string{"gf-cm"}, group: gTorque, def: "1 gf cm",
		about: "gram-force centimetre, a torque"},
	{name: "kg-cm", aliases: []string{"kgf-cm"}, group: gTorque, def: "1 kgf cm",
		about: "kilogram-force centimetre, a torque"},
	{name: "N-m", group: gTorque, def: "1 N m", about: "newton metre, a torque"},
	{name: "N-cm", group: gTorque, def: "1 N cm", about: "newton centimetre, a torque"},
	{name: "mN-m", group: gTorque, def: "1 mN m", about: "millinewton metre, a torque"},

	{name: "psi", group: gStress, def: "1 lbf/sq in", about: "pound-force per square inch"},
	{name: "ksi", group: gStress, def: "1000 psi", about: "thousand psi"},
	{name: "psf", group: gStress, def: "1 lbf/sq ft", about: "pound-force per square foot"},
	{name: "Pa", group: gStress, def: "1 N/m^2", about: "pascal"},
	{name: "hPa", group: gStress, def: "100 Pa", about: "hectopascal"},
	{name: "kPa", group: gStress, def: "1000 Pa", about: "kilopascal"},
	{name: "MPa", group: gStress, def: "1000000 Pa", about: "megapascal, the same as N/mm^2"},
	{name: "GPa", group: gStress, def: "1000000000 Pa", about: "gigapascal"},
	{name: "bar", group: gStress, def: "100000 Pa", about: "bar"},
	{name: "mbar", group: gStress, def: "100 Pa", about: "millibar"},
	{name: "atm", group: gStress, def: "101325 Pa", about: "standard atmosphere"},
	{name: "mmHg", group: gStress, def: "133.322387415 Pa", about: "millimetre of mercury, conventional"},
	{name: "inHg", group: gStress, def: "25.4 mmHg", about: "inch of mercury, conventional"},

	{name: "mph", group: gSpeed, def: "1 mile/h", about: "mile per hour"},
	{name: "kn", group: gSpeed, def: "1 nmi/h", about: "knot"},
	{name: "fpm", group: gSpeed, def: "1 ft/min", about: "foot per minute"},
	{name: "gn", group: gSpeed, def: "9.80665 m/s^2", about: "standard gravity: a mass times 1 gn is its weight"},

	{name: "deg", aliases: []string{"°"}, group: gAngle, def: "1/360 rev", about: "degree of angle"},
	{name: "arcmin", group: gAngle, def: "1/60 deg", about: "minute of angle"},
	{name: "rad", group: gAngle, dim: Angle, about: "radian"},
	{name: "mrad", group: gAngle, def: "0.001 rad", about: "milliradian"},
	{name: "rev", group: gAngle, def: "2 rad", pi: 1, about: "revolution"},
	{name: "rpm", group: gAngle, def: "1 rev/min", about: "revolution per minute"},

	{name: "s", group: gTime, dim: Time, about: "second"},
	{name: "ms", group: gTime, def: "0.001 s", about: "millisecond"},
	{name: "µs", aliases: []string{"usec"}, group: gTime, def: "0.000001 s", about: "microsecond"},
	{name: "min", group: gTime, def: "60 s", about: "minute"},
	{name: "h", group: gTime, def: "60 min", about: "hour"},
	{name: "day", group: gTime, def: "24 h", about: "day"},
	{name: "Hz", group: gTime, def: "1 s^-1", about: "hertz, once a second"},
	{name: "kHz", group: gTime, def: "1000 Hz", about: "kilohertz"},

	{name: "K", group: gTemp, dim: Temperature,
		about: "kelvin: temperature differences, and temperature from absolute zero"},
	{name: "degC", aliases: []string{"°C"}, group: gTemp, def: "1 K", offset: "273.15",
		about: "a reading in degrees Celsius"},
	{name: "degF", aliases: []string{"°F"}, group: gTemp, def: "5/9 K", offset: "459.67",
		about: "a reading in degrees Fahrenheit"},

	{name: "A", group: gElec, dim: Current, about: "ampere"},
	{name: "mA", group: gElec, def: "0.001 A", about: "milliampere"},
	{name: "V", group: gElec, def: "1 W/A", about: "volt"},
	{name: "mV", group: gElec, def: "0.001 V", about: "millivolt"},
	{name: "kV", group: gElec, def: "1000 V", about: "kilovolt; a motor's speed constant is in rpm/V"},
	{name: "ohm", aliases: []string{"Ω"}, group: gElec, def: "1 V/A", about: "ohm"},
	{name: "mohm", aliases: []string{"mΩ"}, group: gElec, def: "0.001 ohm", about: "milliohm"},
	{name: "kohm", aliases: []string{"kΩ"}, group: gElec, def: "1000 ohm", about: "kilohm"},
	{name: "Ah", group: gElec, def: "1 A h", about: "ampere hour"},
	{name: "mAh", group: gElec, def: "0.001 Ah", about: "milliampere hour"},

	{name: "W", group: gPower, def: "1 J/s", about: "watt"},
	{name: "mW", group: gPower, def: "0.001 W", about: "milliwatt"},
	{name: "kW", group: gPower, def: "1000 W", about: "kilowatt"},
	{name: "hp", group: gPower, def: "550 ft lbf/s", about: "mechanical horsepower"},
	{name: "hp_metric", group: gPower, def: "75 kgf m/s", about: "metric horsepower"},
	{name: "J", group: gPower, def: "1 N m", about: "joule"},
	{name: "mJ", group: gPower, def: "0.001 J", about: "millijoule"},
	{name: "kJ", group: gPower, def: "1000 J", about: "kilojoule"},
	{name: "Wh", group: gPower, def: "1 W h", about: "watt hour"},
	{name: "mWh", group: gPower, def: "0.001 Wh", about: "milliwatt hour"},
	{name: "kWh", group: gPower, def: "1000 Wh", about: "kilowatt hour"},

	{name: "%", group: gPlain, def: "1/100", about: "per cent"},
}
