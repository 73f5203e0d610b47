package units

import (
	"math"
	"math/big"
	"slices"
	"strconv"
	"strings"
)

// term is one name in a compound unit, with its power in twelfths.
type term struct {
	name string
	unit Unit
	exp  int
	word string // "sq" or "cu" when it was written so
}

// unit multiplies the terms.
func (p *unitParser) unit() Unit {
	terms := merge(p.terms)
	switch {
	case len(terms) == 0:
		return Unit{}
	case len(terms) == 1 && terms[0].exp == parts:
		return terms[0].unit
	}
	fail := func(code, hint, format string, args ...any) { p.fail(code, 0, p.end, hint, format, args...) }
	text := prettyTerms(terms)
	if len(text) > maxUnit {
		fail("too-long", "", "the unit is too long to be one")
	}
	d := &unitDef{ratio: new(big.Rat).Set(one)}
	for _, t := range terms {
		if max(t.exp, -t.exp) > maxExp*parts {
			fail("power", "", "the power of %s is too high", t.name)
		}
		if t.unit.Reading() {
			fail("reading-in-compound", "use K for differences of temperature",
				"%s is a reading of temperature and cannot be part of another unit", t.unit)
		}
		if err := d.multiply(t); err != nil {
			e := *err.(*Error)
			e.From, e.To = 0, len(p.text)
			panic(&e)
		}
	}
	if f := timesPi(d.ratio, d.pi); !factorInRange(f) {
		fail("unit-form", "", "the unit is out of all range")
	}
	whole := newDef(text, d.dim, d.ratio, d.pi)
	whole.approx = d.approx
	return Unit{whole}
}

// factorInRange keeps factors to where float64 has room to spare.
func factorInRange(f float64) bool { return f > 1e-120 && f < 1e120 }

// multiply multiplies d by a term.
func (d *unitDef) multiply(t term) error {
	td := t.unit.d()
	dim, err := td.dim.Pow(t.exp, parts)
	if err != nil {
		return err
	}
	if d.dim, err = d.dim.Mul(dim); err != nil {
		return err
	}
	d.approx = d.approx || td.approx
	if t.exp%parts == 0 {
		d.ratio.Mul(d.ratio, ratPower(td.ratio, t.exp/parts))
		d.pi += td.pi * (t.exp / parts)
		return nil
	}
	if td.ratio.Cmp(one) == 0 && td.pi == 0 {
		return nil
	}
	root := new(big.Rat).SetFloat64(math.Pow(td.factor, float64(t.exp)/parts))
	if root == nil { // what comes to 0 is found out with the whole unit
		return &Error{Code: "unit-form", Msg: "the unit is out of all range"}
	}
	d.ratio.Mul(d.ratio, root)
	d.approx = true
	return nil
}

func ratPower(r *big.Rat, n int) *big.Rat {
	p := new(big.Rat).Set(one)
	for range max(n, -n) {
		p.Mul(p, r)
	}
	if n < 0 {
		p.Inv(p)
	}
	return p
}

// merge joins terms of one name, and drops those that cancel.
func merge(terms []term) []term {
	var merged []term
	for _, t := range terms {
		i := slices.IndexFunc(merged, func(m term) bool { return m.name == t.name })
		if i < 0 {
			merged = append(merged, t)
			continue
		}
		merged[i].exp += t.exp
		if merged[i].word != t.word {
			merged[i].word = ""
		}
	}
	return slices.DeleteFunc(merged, func(t term) bool { return t.exp == 0 })
}

// prettyTerms writes a compound unit: what is above the line, then what is below.
func prettyTerms(terms []term) string {
	var above, below []string
	for _, t := range terms {
		if t.exp > 0 {
			above = append(above, t.pretty())
		} else {
			t.exp = -t.exp
			below = append(below, t.pretty())
		}
	}
	if len(below) == 0 && len(above) == 2 && pairOf(above) != nil { // which would be read as feet and inches and the like
		above[0], above[1] = above[1], above[0]
	}
	top := strings.Join(above, " ")
	if top == "" {
		top = "1"
	}
	switch len(below) {
	case 0:
		return top
	case 1:
		return top + "/" + below[0]
	}
	return top + "/(" + strings.Join(below, " ") + ")"
}

func (t term) pretty() string {
	switch {
	case t.exp == parts:
		return t.name
	case t.word != "" && t.exp == powerOf(t.word)*parts:
		return t.word + " " + t.name
	case t.exp%parts == 0:
		return t.name + "^" + strconv.Itoa(t.exp/parts)
	}
	return t.name + "^(" + fraction(t.exp, parts) + ")"
}
