package units

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"gusset/units/nearest"
)

// spelled gives, for a unit, what people type for it; capitals do not count.
// It is read only when a unit is not known.
var spelled = []struct{ write, typed string }{
	{"in", `inch inches ins " ″ ” “ zoll`},
	{"ft", "foot feet fts ' ′ ’"},
	{"yd", "yard yards yds"},
	{"mil", "mils thous"},
	{"mile", "mi miles"},
	{"nmi", "nauticalmile nauticalmiles nmile nmiles"},
	{"m", "metre metres meter meters mtr mtrs"},
	{"dm", "decimetre decimetres decimeter decimeters"},
	{"cm", "centimetre centimetres centimeter centimeters cms"},
	{"mm", "millimetre millimetres millimeter millimeters mms"},
	{"µm", "micron microns micrometre micrometres micrometer micrometers"},
	{"km", "kilometre kilometres kilometer kilometers kms"},
	{"sq in", "sqin sqins sqinch sqinches si"},
	{"sq ft", "sqft sqfeet sqfoot"},
	{"sq yd", "sqyd sqyds"},
	{"cu in", "cuin cuins ci cid"},
	{"cu ft", "cuft cft"},
	{"mm^2", "qmm sqmm"},
	{"cm^2", "qcm sqcm"},
	{"dm^2", "qdm sqdm"},
	{"m^2", "qm sqm"},
	{"L", "litre litres liter liters ltr ltrs"},
	{"mL", "millilitre millilitres milliliter milliliters"},
	{"cc", "ccm ccs"},
	{"oz", "ounce ounces ozs onz"},
	{"lb", "lbs pound pounds lbm #"},
	{"grain", "grains grn"},
	{"g", "gram grams gramme grammes gm gms grm grms"},
	{"kg", "kgs kilo kilos kilogram kilograms kilogramme kilogrammes"},
	{"mg", "milligram milligrams milligramme milligrammes"},
	{"stone", "stones st"},
	{"slug", "slugs"},
	{"tonne", "tonnes t"},
	{"N", "newton newtons"},
	{"ozf", "ozfs"},
	{"lbf", "lbsf lbfs"},
	{"kgf", "kp kilopond kiloponds"},
	{"N m", "newtonmetre newtonmetres newtonmeter newtonmeters"},
	{"N cm", "ncm"},
	{"mN m", "mnm"},
	{"oz-in", "ozin inoz oz-inch oz-inches"},
	{"lb-in", "lbin inlb inlbs in-lbs lbs-in"},
	{"lb-ft", "lbft ftlb ftlbs ft-lbs lbs-ft"},
	{"kg-cm", "kgcm cm-kg"},
	{"g-cm", "gcm cm-g"},
	{"Pa", "pascal pascals"},
	{"bar", "bars"},
	{"N/mm^2", "nmm2"},
	{"mph", "mi/h milesperhour"},
	{"kn", "knot knots kt kts"},
	{"km/h", "kph kmh kmph kmhr"},
	{"ft/s", "fps ftps"},
	{"m/s", "mps"},
	{"deg", "degree degrees degs º"},
	{"rad", "radian radians rads"},
	{"rev", "revs revolution revolutions turn turns"},
	{"rpm", "rpms upm"},
	{"s", "sec secs second seconds"},
	{"ms", "msec msecs millisecond milliseconds"},
	{"min", "mins minute minutes"},
	{"h", "hr hrs hour hours"},
	{"day", "days d"},
	{"Hz", "hertz cps"},
	{"K", "kelvin kelvins degk"},
	{"degC", "celsius centigrade"},
	{"degF", "f fahrenheit"},
	{"A", "amp amps ampere amperes"},
	{"mA", "milliamp milliamps milliampere milliamperes"},
	{"V", "volt volts"},
	{"mV", "millivolt millivolts"},
	{"ohm", "ohms"},
	{"mohm", "milliohm milliohms mohms"},
	{"Ah", "amphour amphours ahr"},
	{"mAh", "mahr milliamphour milliamphours milliamphr"},
	{"rpm/V", "kv rpmv"},
	{"W", "watt watts"},
	{"kW", "kilowatt kilowatts"},
	{"Wh", "watthour watthours whr"},
	{"hp", "bhp horsepower"},
	{"hp_metric", "ps cv pk"},
	{"J", "joule joules"},
	{"%", "percent pct percentage"},
	{"g/m^2", "gsm"},
	{"EUR", "€ euro euros"},
	{"JPY", "¥ yen"},
	{"GBP", "£ sterling quid"},
	{"USD", "dollar dollars $"},
}

// A slip that needs more than another spelling.
type slip struct{ typed, msg, hint string }

const (
	aGauge = "a gauge number is not a length"
	diam   = "give the diameter, such as 1/16 in or 1.6 mm"
	oneNum = "a value is one number"
	aCount = "a count needs no unit"
	noUnit = "leave the unit out"

	middleOne = "give the middle one with a ? after it, and the range in the note"
)

// slips are met before spelled; capitals do not count here either.
var slips = []slip{
	{"to", oneNum, middleOne},
	{"x × by", oneNum, "give each size a line of its own"},
	{"o", "this is the letter O", "write the figure 0"},
	{"s s1p s2p s3p s4p", "a number of cells needs no unit", "leave the S out"},
	{"gr", "", "write g for gram or grain for grain"},
	{"gauge ga swg awg bwg", aGauge, diam},
	{"each ea pc pcs piece pieces off", aCount, noUnit},
	{"c", "", "write degC for a temperature; the C rating of a battery is a plain number"},
	{"gal gals gallon gallons", "the US and the imperial gallon differ", "write us gal or imp gal"},
	{"pt pts pint pints", "the US and the imperial pint differ", "write us pt or imp pt"},
	{"qt qts quart quarts", "the US and the imperial quart differ", "write us qt or imp qt"},
	{"fl floz", "the US and the imperial fluid ounce differ", "write us floz or imp floz"},
	{"ton tons", "the ton differs from place to place", "write tonne, or give it in lb"},
	{"grad grads gon gons", "", "write deg for degrees; a gon is 0.9 deg"},
	{"nm", "", "write N m for newton metres or nmi for nautical miles"},
	{"kn", "", "write kn for knots or kN for kilonewtons"},
	{"per", "per is written /", "write / for per"},
	{"mpa", "", "write MPa"},
	{"mw", "", "write mW for milliwatts or kW for kilowatts"},
	{"gf-in gf-m", "", "write it with a space, as in gf cm"},
	{"square", "square is written sq", "write sq"},
	{"cubic", "cubic is written cu", "write cu"},
	{"us imp", "", "write us gal, us floz, imp gal or imp floz"},
}

// phrases are slips of two words and more.
var phrases = []slip{
	{"deg c|degree c|degrees c|degrees celsius|deg celsius|° c", "", "write degC"},
	{"deg f|degree f|degrees f|degrees fahrenheit|deg fahrenheit|° f", "", "write degF"},
	{"fl oz|fluid ounce|fluid ounces|fl. oz.|fl.oz.", "the US and the imperial fluid ounce differ",
		"write us floz or imp floz"},
	{"us fl oz|us fluid ounce|us fluid ounces", "", "write us floz"},
	{"imp fl oz|uk fl oz|imperial fluid ounce|imperial fluid ounces", "", "write imp floz"},
	{"uk gal|uk gallon|imperial gallon|imperial gallons", "", "write imp gal"},
	{"us gallon|us gallons", "", "write us gal"},
	{"square inch|square inches|sq inch|sq inches|square in", "", "write sq in"},
	{"square foot|square feet|sq foot|sq feet|square ft", "", "write sq ft"},
	{"square yard|square yards", "", "write sq yd"},
	{"cubic inch|cubic inches|cu inch|cu inches", "", "write cu in"},
	{"cubic foot|cubic feet|cu feet|cu foot", "", "write cu ft"},
	{"ft lbs|foot pound|foot pounds|ft pounds|lbs ft", "", "write ft-lb for a torque"},
	{"in lbs|inch pound|inch pounds|lbs in", "", "write in-lb for a torque"},
	{"inch ounce|inch ounces|ounce inch|ounce inches", "", "write oz-in for a torque"},
	{"per cent", "", "write %"},
	{"u/min|r/min", "", "write rpm"},
	{"nautical mile|nautical miles", "", "write nmi"},
	{"amp hour|amp hours", "", "write Ah"},
	{"milliamp hour|milliamp hours|ma hours", "", "write mAh"},
	{"watt hour|watt hours", "", "write Wh"},
	{"feet inches|feet and inches|ft and in", "", "write ft in"},
	{"pounds ounces|lbs oz|pounds and ounces|lb and oz", "", "write lb oz"},
}

// respellings finds what to write for what was typed.
var respellings = sync.OnceValue(func() map[string]string {
	m := make(map[string]string, 6*len(spelled))
	for _, s := range spelled {
		for typed := range strings.FieldsSeq(s.typed) {
			m[typed] = s.write
		}
	}
	return m
})

// unknown reports what is the matter with a name, and what to write.
func (s *Set) unknown(name string, from, to int) *Error {
	e := &Error{Code: "unknown-unit", From: from, To: to, Msg: "unknown unit " + name}
	if s.brief {
		return e
	}
	lower := strings.ToLower(name)
	for _, sl := range slips {
		if slices.Contains(strings.Fields(sl.typed), lower) {
			return e.with(sl)
		}
	}
	if r, _ := utf8.DecodeRuneInString(name); unicode.IsDigit(r) {
		e.Code, e.Msg = "unit-form", "there is a number in the unit"
		return e
	}
	if write := s.respell(name, lower); write != "" {
		e.Hint = "write " + write
	}
	return e
}

func (e *Error) with(sl slip) *Error {
	if sl.msg != "" {
		e.Msg = sl.msg
	}
	e.Hint = sl.hint
	return e
}

// respell finds the unit that was meant by name.
func (s *Set) respell(name, lower string) string {
	if write := respellings()[lower]; write != "" {
		return write
	}
	if write := s.recased(name); write != "" {
		return write
	}
	if base := strings.TrimRight(name, "0123456789"); base != name {
		return s.powerless(base, name[len(base):])
	}
	if write := s.splitAtDashes(name); write != "" {
		return write
	}
	if utf8.RuneCountInString(name) < 3 {
		return "" // too short to guess at: most units are near to it
	}
	return s.nearest(lower)
}

// nearest looks among the names and what people type for them.
func (s *Set) nearest(name string) string {
	known := s.wordList()
	for typed := range respellings() {
		if len(typed) > 3 {
			known = append(known, typed)
		}
	}
	near, _ := nearest.Word(name, known)
	if write := respellings()[near]; write != "" {
		return write
	}
	return near
}

// recased finds a unit that differs in capitals alone.
func (s *Set) recased(name string) string {
	var found []string
	for _, known := range append(s.wordList(), currencyCodes()...) {
		if strings.EqualFold(known, name) {
			found = append(found, known)
		}
	}
	slices.Sort(found)
	return strings.Join(found, " or ")
}

// powerless returns what to write for in2 and ft3.
func (s *Set) powerless(base, power string) string {
	if write := respellings()[strings.ToLower(base)]; write != "" {
		base = write
	}
	u, ok := s.word(base)
	switch {
	case !ok:
		return ""
	case u.Dim() == Length && power == "2" && isInchFootYard(base):
		return "sq " + base
	case u.Dim() == Length && power == "3" && isInchFootYard(base):
		return "cu " + base
	}
	return base + "^" + power
}

func isInchFootYard(name string) bool { return name == "in" || name == "ft" || name == "yd" }

// splitAtDashes returns the units joined by a dash that are not in the table.
func (s *Set) splitAtDashes(name string) string {
	names := strings.Split(name, "-")
	for _, n := range names {
		if _, ok := s.word(n); !ok {
			return ""
		}
	}
	return strings.Join(names, " ")
}

// wordList lists every name of one unit, and every other spelling.
func (s *Set) wordList() []string {
	list := s.ownNames()
	for _, e := range table {
		list = append(list, e.name)
		list = append(list, e.aliases...)
	}
	return list
}

// phraseSlip reports a slip of several words; it returns nil when there is none.
func phraseSlip(text string) *Error {
	typed := strings.ToLower(strings.Join(strings.Fields(text), " "))
	for _, p := range phrases {
		if slices.Contains(strings.Split(p.typed, "|"), typed) {
			e := &Error{Code: "unknown-unit", From: 0, To: len(text), Msg: "unknown unit " + strings.TrimSpace(text)}
			return e.with(p)
		}
	}
	return nil
}

// stepHint shows a unit with a step, for the unit that ends before a comma.
func (p *unitParser) stepHint(end int) string {
	unit := strings.TrimSpace(p.text[:end])
	if unit == "" {
		return "leave it out"
	}
	return fmt.Sprintf("write it as in [%s, 0.1]", unit)
}
