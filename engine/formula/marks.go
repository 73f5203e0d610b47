package formula

import (
	"cmp"
	"fmt"
	"regexp"
	"strings"
)

// mark is a run of marks, what it is or is taken for, and what to say of it if a formula cannot have it.
type mark struct {
	text          string
	kind          kind
	op            Op
	refusal, hint string
	afterNumber   string // the hint after a number, with %s in its place: both are one bad value then
	meant         string // what the mark stands for
	as            string // what the parser is shown for an operator without a meaning
	pair          string // the other half of a pair, of which only the first is reported
}

// What is said of a give or take, which a formula cannot have.
const (
	tolerated     = "only what is given can be off by some amount, not what is worked out"
	tolerateThere = "leave it out, and put it where the value is given, such as span : 46 ± 1/16"
)

// marks are those that a formula may hold and those that people type for them, the longer ones first.
var marks = []mark{
	{text: "==", kind: operator, op: Equal},
	{text: "!=", kind: operator, op: NotEqual},
	{text: "<=", kind: operator, op: LessEqual},
	{text: ">=", kind: operator, op: GreaterEqual},
	{text: "??", kind: operator, op: Coalesce},
	{text: "&&", kind: operator, op: And, refusal: "join two conditions with a word", hint: "write and"},
	{text: "||", kind: operator, op: Or, refusal: "join two conditions with a word", hint: "write or"},
	{text: "**", kind: operator, op: Power, refusal: "a power is written with ^", hint: "write ^"},
	{text: "?.", kind: dot, refusal: "a dot is enough here", hint: "write ."},
	{
		text: "..", kind: operator, refusal: "a range of numbers cannot be used in a formula",
		hint: "make a table with from, to and step",
	},
	{text: "±", kind: bad, refusal: tolerated, hint: tolerateThere},
	{text: "+/-", kind: bad, refusal: tolerated, hint: tolerateThere},
	{text: "+- ", kind: bad, refusal: tolerated, hint: tolerateThere}, // a +-b is the sum of a and -b
	{text: "::", kind: operator, refusal: "two colons mean nothing here"},
	{text: "=>", kind: operator, op: GreaterEqual, refusal: "these two marks are the wrong way round", hint: "write >="},
	{text: "=<", kind: operator, op: LessEqual, refusal: "these two marks are the wrong way round", hint: "write <="},
	{text: "<>", kind: operator, op: NotEqual, refusal: "unlike is written !=", hint: "write !="},
	{text: "+", kind: operator, op: Add},
	{text: "-", kind: operator, op: Subtract},
	{text: "*", kind: operator, op: Multiply},
	{text: "/", kind: operator, op: Divide},
	{text: "^", kind: operator, op: Power},
	{text: "(", kind: open},
	{text: "[", kind: open},
	{text: ")", kind: closing},
	{text: "]", kind: closing},
	{text: ",", kind: comma},
	{text: "<", kind: operator, op: Less},
	{text: ">", kind: operator, op: Greater},
	{text: "?", kind: question},
	{text: ":", kind: colon},
	{text: ".", kind: dot},
	{
		text: "=", kind: operator, op: Equal, refusal: "one = is the mark of a worked cell",
		hint: "to compare two values write ==",
	},
	{
		text: "%", kind: operator, refusal: "% is not a sum that a formula can do",
		hint:        "a percentage has its unit in brackets, 30 [%]; what is left over after a division is mod(a, b)",
		afterNumber: "for a percentage write %s [%%]",
	},
	{text: "!", kind: operator, op: Not, refusal: "turn a condition round with a word", hint: "write not"},
	{
		text: "|", kind: bad, pair: "|", refusal: "| only parts the columns of a table",
		hint: "a size without its sign is abs( ); two conditions are joined with or",
	},
	{text: "&", kind: operator, op: And, refusal: "& means nothing here", hint: "join two conditions with and"},
	{
		text: "#", kind: bad, refusal: "# means nothing here",
		hint: "name a column of the row with a dot, as in sum(parts, .weight)",
	},
	{text: ";", kind: operator, as: " or ", refusal: "; means nothing here", hint: "one formula a line"},
	{text: "{", kind: open, meant: "(", refusal: "a curly bracket means nothing here", hint: "use ( and )"},
	{
		text: "}", kind: closing, pair: "{", meant: ")", refusal: "a curly bracket means nothing here",
		hint: "use ( and )",
	},
	{
		text: "$", kind: bad, refusal: "$ cannot be used in a formula",
		hint: "money is a unit, written by its code: 12.50 [USD]",
	},
	{
		text: "£", kind: bad, refusal: "£ cannot be used in a formula",
		hint: "money is a unit, written by its code: 12.50 [GBP]",
	},
	{
		text: "€", kind: bad, refusal: "€ cannot be used in a formula",
		hint: "money is a unit, written by its code: 12.50 [EUR]",
	},
	{text: "×", kind: operator, op: Multiply, refusal: "× cannot be used in a formula", hint: "write *"},
	{text: "·", kind: operator, op: Multiply, refusal: "· cannot be used in a formula", hint: "write *"},
	{text: "÷", kind: operator, op: Divide, refusal: "÷ cannot be used in a formula", hint: "write /"},
	{text: "−", kind: operator, op: Subtract, refusal: "a minus in a formula is the one on the keyboard", hint: "write -"},
	{text: "—", kind: operator, op: Subtract, refusal: "this is a long dash, not a minus", hint: "write -"},
	{text: "–", kind: operator, op: Subtract, refusal: "this is a long dash, not a minus", hint: "write -"},
	{text: "≤", kind: operator, op: LessEqual, refusal: "≤ cannot be used in a formula", hint: "write <="},
	{text: "≥", kind: operator, op: GreaterEqual, refusal: "≥ cannot be used in a formula", hint: "write >="},
	{text: "≠", kind: operator, op: NotEqual, refusal: "≠ cannot be used in a formula", hint: "write !="},
	{text: "²", kind: number, meant: "2", refusal: "² cannot be used in a formula", hint: "write ^2"},
	{text: "³", kind: number, meant: "3", refusal: "³ cannot be used in a formula", hint: "write ^3"},
	{text: "√", kind: nothing, refusal: "√ cannot be used in a formula", hint: "write sqrt( )"},
	{
		text: "°", kind: bad, refusal: "° cannot be used in a formula", hint: "write the unit in brackets: 30 [deg]",
		afterNumber: "write %s [deg]",
	},
	{
		text: "'", kind: bad, pair: "'", refusal: "' cannot be used in a formula",
		hint: "text goes in double quotes; feet are written 4 [ft]", afterNumber: "write %s [ft]",
	},
	{text: "`", kind: bad, pair: "`", refusal: "` cannot be used in a formula", hint: "text goes in double quotes"},
	{text: "\\", kind: operator, op: Divide, refusal: "\\ cannot be used in a formula", hint: "to divide write /"},
}

// marksFrom holds the marks by their first byte.
var marksFrom = func() (by [256][]mark) {
	for _, m := range marks {
		by[m.text[0]] = append(by[m.text[0]], m)
	}
	return by
}()

// scanMark takes the marks at i, which begin with c, and returns where they end.
func (s *scanner) scanMark(i int, c rune, size int) int {
	if to := s.unitAfterName(i); to > i {
		return to
	}
	for _, m := range marksFrom[s.text[i]] {
		if !strings.HasPrefix(s.text[i:], m.text) {
			continue
		}
		t := token{kind: m.kind, op: m.op, as: m.as, from: i, to: i + len(m.text), text: cmp.Or(m.meant, m.text)}
		if m.refusal != "" {
			s.refuse(m, &t)
		}
		if t.kind != nothing {
			s.tokens = append(s.tokens, t)
		}
		return t.to
	}
	s.mistakes.report(i, i+size, "formula-mark", fmt.Sprintf("%q cannot be used in a formula", c), "")
	s.tokens = append(s.tokens, token{kind: bad, from: i, to: i + size, text: s.text[i : i+size]})
	return i + size
}

// refuse reports a mark that cannot be used, with a hint that fits what is before it, and makes of it what it stands
// for.
func (s *scanner) refuse(m mark, t *token) {
	from, msg, hint := t.from, m.refusal, m.hint
	last := s.last()
	afterNumber := last.kind == number && m.afterNumber != ""
	if afterNumber {
		from, hint, t.kind = last.from, fmt.Sprintf(m.afterNumber, last.text), bad
	}
	switch m.text {
	case "=":
		if last.to == 0 {
			msg, hint, t.kind = "one = is enough", "leave this one out", nothing
		}
	case "%":
		if last.kind == name {
			hint = fmt.Sprintf("for what is left over after a division write mod(%s, ...)", last.text)
		}
	case "'":
		if afterNumber {
			msg = "feet are not written with '"
			break
		}
		if last.to > 0 {
			hint = "text goes in double quotes"
		}
		t.to = s.quoteEnd(t)
	case "$":
		if s.mistakes.reportArea(s.text, *t) {
			return
		}
	case "|":
		if call := pipedTo.FindStringSubmatch(s.text[t.from:]); call != nil && last.to > 0 {
			msg, hint = "a value is not handed on with |", "write it between the brackets of "+call[1]+"( )"
			t.to = len(s.text)
		}
	case "`":
		t.to = s.quoteEnd(t)
	case ";":
		if s.depth() > 0 {
			msg, hint, t.kind = "values are separated by commas", "write ,", comma
		} else if last.to > 0 && strings.TrimSpace(s.text[t.to:]) == "" {
			msg, hint, t.kind = "nothing is needed at the end of a formula", "leave the ; out", nothing
		}
	case "!":
		if last.to > 0 {
			hint = "write not before it"
			if endsValue(last) {
				t.kind = nothing
			}
		}
	case "²", "³":
		if !endsValue(last) {
			t.kind = bad
			break
		}
		s.tokens = append(s.tokens, token{kind: operator, op: Power, from: t.from, to: t.from, text: "^"})
	}
	if m.pair == "" || !strings.Contains(s.paired, m.pair) {
		s.mistakes.report(from, t.from+len(m.text), "formula-mark", msg, hint)
	}
	if (m.pair == m.text || m.text == "{") && !strings.Contains(s.paired, m.text) {
		s.paired += m.text
	}
}

// pipedTo matches the call of a formula after a |.
var pipedTo = regexp.MustCompile(`^\|\s*(\pL[\pL\d_]*)\s*\(`)

// quoteEnd returns where the text that begins with the quote t, of a kind that is not used here, ends.
func (s *scanner) quoteEnd(t *token) int {
	if n := strings.Index(s.text[t.to:], t.text); n >= 0 {
		return t.to + n + len(t.text)
	}
	return t.to
}

// depth returns how many brackets are open.
func (s *scanner) depth() int {
	n := 0
	for _, t := range s.tokens {
		n += t.nesting()
	}
	return n
}

// unitOnly matches what can stand in the brackets of a unit but is no row's name: a name, alone or with marks, or
// with the word in.
var unitOnly = regexp.MustCompile(`^\s*(in|(sq|cu) [a-z]+|[^"\[\]]*(\bin\b|[%°²³])[^"\[\]]*)\s*$`)

// unitAfterName meets a unit in brackets after something that has its unit already, and returns where it ends; i
// when there is none.
func (s *scanner) unitAfterName(i int) int {
	last := s.last()
	if s.text[i] != '[' || !endsOperand(last) {
		return i
	}
	end := strings.IndexByte(s.text[i:], ']')
	if end < 0 || !unitOnly.MatchString(s.text[i+1:i+end]) {
		return i
	}
	hint := "what comes before it has its unit already: leave the brackets out"
	if last.kind == name {
		hint = last.text + " has its unit already: leave the brackets out"
	}
	s.mistakes.report(i, i+end+1, "unit-behind-name", "a unit in brackets only follows a number", hint)
	return i + end + 1
}

// ruleFraction matches a fraction that ends what comes before a unit: 1/8.
var ruleFraction = regexp.MustCompile(`(?:^|[^\pL\d._\])])(\d+/\d+)$`)

// numberUpTo returns the number whose last token is t, with the line of its fraction.
func numberUpTo(text string, t token) string {
	if found := ruleFraction.FindStringSubmatch(text[:t.to]); found != nil {
		return found[1]
	}
	return t.text
}

// bareUnit matches a unit of more than a name that was typed without its brackets: oz/sq ft, lbf/in^2, sq in.
var bareUnit = regexp.MustCompile(`^\pL+/(?:(?:sq|cu) (?:in|ft)|(?:in|ft|m|dm|cm|mm)(?:\^[23])?|lb|kg|V|min|s)\b` +
	`|^(?:sq|cu) (?:in|ft|m|dm|cm|mm)\b`)

// unitFrom returns the unit that starts with token t, as far as it reads like one.
func unitFrom(text string, t token) string {
	if found := bareUnit.FindString(text[t.from:]); found != "" {
		return found
	}
	return t.text
}

// areaOfCells matches what a spreadsheet program calls an area: D2:D20.
var areaOfCells = regexp.MustCompile(`\$?[A-Za-z]{1,3}\$?[0-9]+:\$?[A-Za-z]{1,3}\$?[0-9]+`)

// reportArea meets an area that t is in.
func (ms *mistakes) reportArea(text string, t token) bool {
	at := areaOfCells.FindStringIndex(text)
	if at == nil || t.from < at[0] || t.from >= at[1] {
		return false
	}
	ms.report(at[0], at[1], "cell-area", "values have names here, not letters and numbers",
		"for a column of a table write sum(parts.weight)")
	return true
}
