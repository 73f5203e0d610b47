package oracle

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"gusset/units"
)

// node is a formula, or a part of one.
type node struct {
	op   string // an operator, or one of the words below
	args []*node
	name string  // of "name", "row", "member" and "text"
	num  float64 // of "number", SI; of "truth" 1 or 0
}

// Section 7 of FORMAT.md, from the loosest: each level takes operands of the next.
var levels = [][]string{{"or"}, {"and"}, {"==", "!=", "<=", ">=", "<", ">"}, {"+", "-"}, {"*", "/"}}

const (
	orLevel = iota
	andLevel
	compareLevel
	sumLevel
	productLevel
)

// parser reads a formula by recursive descent.
type parser struct {
	rest  string
	units *units.Set
}

// parse reads a formula; it panics with an error if it cannot.
func parse(formula string, set *units.Set) *node {
	p := &parser{rest: formula, units: set}
	n := p.choice()
	if p.blanks(); p.rest != "" {
		p.fail("nothing more is expected")
	}
	return n
}

func (p *parser) fail(msg string) { panic(fmt.Errorf("%s before %q", msg, p.rest)) }

func (p *parser) blanks() { p.rest = strings.TrimLeft(p.rest, " \t") }

// takes takes a mark or a word if it is next.
func (p *parser) takes(mark string) bool {
	p.blanks()
	after, ok := strings.CutPrefix(p.rest, mark)
	if !ok || isWord(mark) && isWord(after) {
		return false
	}
	if (mark == "<" || mark == ">") && strings.HasPrefix(after, "=") || mark == "?" && strings.HasPrefix(after, "?") {
		return false
	}
	p.rest = after
	return true
}

func (p *parser) needs(mark string) {
	if !p.takes(mark) {
		p.fail(mark + " is expected")
	}
}

// isWord reports whether a text begins as a name, or goes on as one.
func isWord(s string) bool {
	r, _ := utf8.DecodeRuneInString(s)
	return unicode.IsLetter(r) || unicode.IsDigit(r) || r == '_'
}

func (p *parser) choice() *node {
	c := p.level(orLevel)
	if !p.takes("?") {
		return c
	}
	yes := p.choice()
	p.needs(":")
	return &node{op: "?:", args: []*node{c, yes, p.choice()}}
}

func (p *parser) level(l int) *node {
	if l > productLevel {
		return p.signed()
	}
	if l == productLevel && p.takes("not") {
		return &node{op: "not", args: []*node{p.level(productLevel)}}
	}
	left := p.level(l + 1)
	var chain, last *node // comparisons by size, all of which hold, and the value that the next one begins with
	for {
		op := ""
		for _, mark := range levels[l] {
			if p.takes(mark) {
				op = mark
				break
			}
		}
		if op == "" {
			return left
		}
		right := p.level(l + 1)
		if l != compareLevel || op == "==" || op == "!=" {
			left, chain = &node{op: op, args: []*node{left, right}}, nil
			continue
		}
		if chain == nil {
			chain = &node{op: op, args: []*node{left, right}}
		} else {
			chain = &node{op: "and", args: []*node{chain, {op: op, args: []*node{last, right}}}}
		}
		left, last = chain, right
	}
}

func (p *parser) signed() *node {
	if p.takes("-") {
		return &node{op: "neg", args: []*node{p.signed()}}
	}
	return p.power()
}

func (p *parser) power() *node {
	base := p.given()
	if !p.takes("^") {
		return base
	}
	return &node{op: "^", args: []*node{base, p.signed()}}
}

// given reads A ?? B ?? C, as one node.
func (p *parser) given() *node {
	n := p.parts()
	if !p.takes("??") {
		return n
	}
	all := &node{op: "??", args: []*node{n}}
	for more := true; more; more = p.takes("??") {
		if p.takes("-") {
			all.args = append(all.args, &node{op: "neg", args: []*node{p.parts()}})
			continue
		}
		all.args = append(all.args, p.parts())
	}
	return all
}

// parts reads a value and what follows it: .NAME, ["ROW"], (VALUES).
func (p *parser) parts() *node {
	n := p.value()
	for {
		switch {
		case p.takes("."):
			n = &node{op: "member", args: []*node{n}, name: p.word()}
		case p.takes("["):
			n = &node{op: "index", args: []*node{n, p.choice()}}
			p.needs("]")
		case p.takes("("):
			n = &node{op: "call", args: append([]*node{n}, p.list(")")...)}
		default:
			return n
		}
	}
}

// list reads values up to a closing bracket.
func (p *parser) list(end string) []*node {
	var all []*node
	for !p.takes(end) {
		if len(all) > 0 {
			p.needs(",")
		}
		all = append(all, p.choice())
	}
	return all
}

func (p *parser) word() string {
	p.blanks()
	to := 0
	for to < len(p.rest) && isWord(p.rest[to:]) {
		_, size := utf8.DecodeRuneInString(p.rest[to:])
		to += size
	}
	if to == 0 {
		p.fail("a name is expected")
	}
	word := p.rest[:to]
	p.rest = p.rest[to:]
	return word
}

var (
	plain    = regexp.MustCompile(`^(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?`)
	measured = regexp.MustCompile(`^(\d+-\d+/\d+|\d+ \d+/\d+|\d+/\d+|` + plain.String()[1:] + `)[ \t]*\[([^\]"]+)\]`)
)

func (p *parser) value() *node {
	p.blanks()
	if m := measured.FindStringSubmatch(p.rest); m != nil {
		p.rest = p.rest[len(m[0]):]
		return &node{op: "number", num: must(p.units.ParseNumber(m[1], must(p.units.Parse(m[2])))).SI}
	}
	if m := plain.FindString(p.rest); m != "" {
		p.rest = p.rest[len(m):]
		return &node{op: "number", num: must(strconv.ParseFloat(m, 64))}
	}
	switch {
	case p.takes("("):
		n := p.choice()
		p.needs(")")
		return n
	case p.takes("["):
		return &node{op: "list", args: p.list("]")}
	case p.takes("."):
		return &node{op: "row", name: p.word()}
	case strings.HasPrefix(p.rest, `"`):
		return &node{op: "text", name: p.quoted()}
	case p.takes("yes"):
		return &node{op: "truth", num: 1}
	case p.takes("no"):
		return &node{op: "truth"}
	}
	return &node{op: "name", name: p.word()}
}

// must returns what could be read; it panics with the error of what could not.
func must[T any](read T, err error) T {
	if err != nil {
		panic(err)
	}
	return read
}

func (p *parser) quoted() string {
	var b strings.Builder
	for i := 1; i < len(p.rest); i++ {
		switch p.rest[i] {
		case '\\':
			i++
			b.WriteByte(p.rest[i])
		case '"':
			p.rest = p.rest[i+1:]
			return b.String()
		default:
			b.WriteByte(p.rest[i])
		}
	}
	panic(fmt.Errorf("a quote has no end: %q", p.rest))
}
