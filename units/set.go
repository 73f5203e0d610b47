package units

import (
	"fmt"
	"maps"
	"math"
	"math/big"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"
)

// Set is the units that a sheet knows: the built-in ones and the sheet's own.
// It does not change, and it is safe for use by several goroutines at once.
type Set struct {
	own   map[string]ownUnit
	brief bool // says what is unknown, and no more
	mu    sync.RWMutex
	cache map[string]Unit // what was parsed before, by its text
}

type ownUnit struct {
	unit Unit
	def  string // "48 in"
}

// cacheSize bounds what a Set remembers, whatever a sheet throws at it.
const cacheSize = 4096

// Builtin returns the units that are always known. It is the same Set each time.
func Builtin() *Set { return builtin() }

var builtin = sync.OnceValue(func() *Set { return newSet(nil) })

func newSet(own map[string]ownUnit) *Set {
	return &Set{own: own, cache: make(map[string]Unit)}
}

// Brief returns a Set of the same units that does not look for what an unknown one may have been meant to be.
func (s *Set) Brief() *Set {
	if s.brief {
		return s
	}
	b := newSet(s.own)
	b.brief = true
	return b
}

func (s *Set) cached(text string) (Unit, bool) {
	s.mu.RLock()
	u, ok := s.cache[text]
	s.mu.RUnlock()
	return u, ok
}

func (s *Set) remember(text string, u Unit) {
	s.mu.Lock()
	if len(s.cache) < cacheSize {
		s.cache[strings.Clone(text)] = u
	}
	s.mu.Unlock()
}

// With returns a Set that knows one unit more, the sheet's own: value of the
// unit in. The name is a letter followed by letters, digits and underscores.
// It fails with an *Error on a name that is taken or malformed, and on a value
// that is not above zero.
func (s *Set) With(name string, value float64, in Unit) (*Set, error) {
	name = spelling(name)
	if err := s.checkName(name); err != nil {
		return nil, err
	}
	refuse := func(msg, hint string) (*Set, error) {
		return nil, &Error{Code: "unit-value", From: 0, To: len(name), Msg: msg, Hint: hint}
	}
	switch {
	case in.Reading():
		return refuse("a unit cannot be made of "+in.String()+", which is read off a scale", "use K")
	case in.Mixed():
		pair := in.d().mixed
		return refuse("the size could be in "+pair.small+" or "+pair.big, "use ["+pair.small+"] or ["+pair.big+"]")
	case !(value > 0) || math.IsInf(value, 0):
		return refuse("the size of a unit must be above zero", "")
	}
	text := strconv.FormatFloat(value, 'g', -1, 64)
	ratio, _ := new(big.Rat).SetString(text) // which is a number
	if !factorInRange(value * in.Factor()) {
		return refuse("the size of the unit "+name+" is out of all range", "")
	}
	d := in.d()
	def := newDef(name, d.dim, ratio.Mul(ratio, d.ratio), d.pi)
	def.approx = d.approx
	text = strings.TrimSpace(text + " " + d.text)
	own := make(map[string]ownUnit, len(s.own)+1)
	for k, v := range s.own {
		own[k] = v
	}
	own[name] = ownUnit{Unit{def}, text}
	return newSet(own), nil
}

// prefixWords begin the name of a unit of two words.
var prefixWords = []string{"sq", "cu", "us", "imp"}

func (s *Set) checkName(name string) *Error {
	for i, r := range name {
		if !unicode.IsLetter(r) && (i == 0 || r != '_' && !unicode.IsDigit(r)) {
			return &Error{Code: "unit-name", From: 0, To: len(name),
				Msg: fmt.Sprintf("%q cannot name a unit", name), Hint: "use a letter, then letters, digits and _"}
		}
	}
	_, taken := s.word(name)
	switch {
	case name == "":
		return &Error{Code: "unit-name", Msg: "a unit needs a name"}
	case len(name) > maxWord:
		return &Error{Code: "unit-name", From: 0, To: len(name), Msg: "the name of the unit is too long"}
	case taken || slices.Contains(prefixWords, name):
		return &Error{Code: "unit-taken", From: 0, To: len(name),
			Msg: fmt.Sprintf("there is a unit %s already", name), Hint: "choose another name"}
	}
	return nil
}

// entries finds the built-in units by name and alias.
var entries = sync.OnceValue(func() map[string]*entry {
	m := make(map[string]*entry, 2*len(table))
	for i := range table {
		e := &table[i]
		m[e.name] = e
		for _, a := range e.aliases {
			m[a] = e
		}
	}
	return m
})

// word finds the unit of one name: the sheet's own, built in, or a currency.
func (s *Set) word(name string) (Unit, bool) {
	if own, ok := s.own[name]; ok {
		return own.unit, true
	}
	if len(s.own) > 0 {
		return Builtin().word(name)
	}
	key := "\x00" + name
	if u, ok := s.cached(key); ok {
		return u, true
	}
	u, ok := s.build(name)
	if ok {
		s.remember(key, u)
	}
	return u, ok
}

func (s *Set) build(name string) (Unit, bool) {
	if d, ok := Money(name); ok {
		return Unit{newDef(name, d, one, 0)}, true
	}
	if name == "money" {
		d, _ := Money("XAF") // any code will do
		return Unit{newDef(name, d.WithCurrency(AnyMoney), one, 0)}, true
	}
	e, ok := entries()[name]
	if !ok {
		return Unit{}, false
	}
	return s.define(e), true
}

// define works out a unit of the table from its definition.
func (s *Set) define(e *entry) Unit {
	if e.def == "" {
		return Unit{newDef(e.name, e.dim, one, 0)}
	}
	number, unit, _ := strings.Cut(e.def, " ")
	ratio, ok := new(big.Rat).SetString(number)
	in, err := s.Parse(unit)
	if !ok || err != nil {
		panic("unit table: " + e.name) // a mistake in the table; a test reads every entry
	}
	base := in.d()
	d := newDef(e.name, base.dim, ratio.Mul(ratio, base.ratio), base.pi+e.pi)
	if e.offset != "" {
		d.offset, _ = new(big.Rat).SetString(e.offset)
		d.off, _ = d.offset.Float64()
	}
	return Unit{d}
}

// Info tells a builder about a unit.
type Info struct {
	Name       string
	Aliases    []string // other spellings
	Group      string   // "length", "mass" ...
	Definition string   // "25.4 mm exactly"
	Describe   string   // "inch", "ounce-force, the weight of an ounce"
	Unit       Unit
}

// powerWords are the units that are listed with sq and cu, though any unit of
// length takes these words.
var powerWords = []struct{ name, group, def, about string }{
	{"sq in", gArea, "1 in^2", "square inch"},
	{"sq ft", gArea, "1 ft^2", "square foot"},
	{"sq yd", gArea, "1 yd^2", "square yard"},
	{"cu in", gVolume, "1 in^3", "cubic inch"},
	{"cu ft", gVolume, "1 ft^3", "cubic foot"},
	{"cu yd", gVolume, "1 yd^3", "cubic yard"},
}

var mixedAbout = map[string]string{
	"ft in": "feet and inches, as in 4 ft 2-1/2 in",
	"lb oz": "pounds and ounces, as in 3 lb 5 oz",
	"min s": "minutes and seconds, as in 5 min 30 s",
}

var groups = []string{gLength, gArea, gVolume, gMass, gForce, gTorque, gStress, gSpeed, gAngle, gTime, gTemp,
	gElec, gPower, gPlain, gMixed, gMoney, gOwn}

const gOwn = "the sheet's own"

// Names lists every unit, group by group, in the order of the table.
func (s *Set) Names() []Info {
	var all []Info
	add := func(name, group, def, about string, aliases ...string) {
		u, _ := s.Parse(name) // every listed name is one, or a test fails
		all = append(all, Info{name, aliases, group, def, about, u})
	}
	for _, e := range table {
		add(e.name, e.group, e.definition(), e.about, e.aliases...)
	}
	for _, w := range powerWords {
		add(w.name, w.group, w.def+" exactly", w.about)
	}
	for _, p := range mixedPairs {
		name := p.big + " " + p.small
		add(name, gMixed, fmt.Sprintf("%d %s to the %s", p.per, p.small, p.big), mixedAbout[name])
	}
	for _, code := range currencyCodes() {
		add(code, gMoney, "base unit", "currency (ISO 4217)")
	}
	for _, name := range s.ownNames() {
		u := s.own[name]
		add(name, gOwn, u.def, u.unit.Dim().Describe())
	}
	slices.SortStableFunc(all, func(a, b Info) int {
		return slices.Index(groups, a.Group) - slices.Index(groups, b.Group)
	})
	return all
}

func (s *Set) ownNames() []string {
	return slices.Sorted(maps.Keys(s.own))
}

func (e *entry) definition() string {
	switch {
	case e.def == "":
		return "base unit"
	case e.pi == 1:
		number, unit, _ := strings.Cut(e.def, " ")
		return number + " pi " + unit
	case e.offset != "":
		return fmt.Sprintf("t %s = (t + %s) * %s exactly", e.name, e.offset, e.def)
	}
	return e.def + " exactly"
}
