// Package formula reads the text of a formula.
//
// The reading itself is done by the parser of github.com/expr-lang/expr. Before it sees the text, every number with a
// unit, such as 2.5 [oz/sq ft] or 8-1/4 [in], is replaced by a name of the same length, so that every place that the
// parser reports is a place in the builder's own text. The mistakes that builders make are looked for first, since the
// parser would speak of tokens.
package formula

import (
	"errors"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/builtin"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"
)

// Limits on a formula, so that a stranger's sheet takes bounded time and memory.
const (
	MaxBytes   = 8 << 10
	MaxNesting = 64
	maxNodes   = 2000
)

// Slip is something wrong with a formula's text. From and To count bytes.
type Slip struct {
	Code      string
	From, To  int
	Msg, Hint string
}

func (s *Slip) Error() string { return s.Msg }

// Literal is a number with a unit, as written.
type Literal struct {
	Number, Unit     string
	From, To         int // of the whole, in bytes
	UnitFrom, UnitTo int // of the unit, brackets left out
}

// Formula is a formula that has been read.
type Formula struct {
	Root     ast.Node
	text     string
	literals []Literal
	bytes    []int32 // byte offset of each character; nil where all characters are single bytes
	brackets []int   // that the parser is shown and the builder did not write, by character, in order
}

// shared are the functions that the parser knows by the names that we use. All else that it knows by itself, such as trim
// or take, is a name like any other, which a builder may give to a formula.
var shared = map[string]bool{
	"all": true, "any": true, "none": true, "one": true, "count": true, "sum": true, "filter": true, "map": true, "find": true, "first": true, "last": true,
	"len": true, "min": true, "max": true, "mean": true, "median": true, "abs": true, "ceil": true, "floor": true, "round": true,
}

// parserConfig is the parser's configuration, which it only reads.
var parserConfig = sync.OnceValue(func() *conf.Config {
	config := conf.CreateNew()
	config.MaxNodes = maxNodes
	for _, f := range builtin.Builtins {
		if !shared[f.Name] {
			config.Functions[f.Name] = f
		}
	}
	return config
})

// Parse reads a formula.
func Parse(text string) (*Formula, *Slip) {
	if len(text) > MaxBytes {
		return nil, &Slip{Code: "formula-long", From: 0, To: len(text), Msg: "this formula is longer than 8192 bytes", Hint: "work it out in parts, each a cell of its own"}
	}
	tokens, slip := scan(text)
	if slip != nil {
		return nil, slip
	}
	f := &Formula{text: text}
	f.countCharacters()
	if slip := checkTokens(text, tokens); slip != nil {
		return nil, slip
	}
	tree, err := parser.ParseWithConfig(f.hide(tokens), parserConfig())
	if err != nil {
		return nil, f.unread(err)
	}
	f.Root = tree.Node
	return f, nil
}

// Literal returns the number with a unit that a name of the tree stands for.
func (f *Formula) Literal(name string) (Literal, bool) {
	if !strings.HasPrefix(name, "_") {
		return Literal{}, false
	}
	i, err := strconv.ParseUint(name[1:], 36, 31)
	if err != nil || int(i) >= len(f.literals) {
		return Literal{}, false
	}
	return f.literals[i], true
}

// Place returns the bytes that a node's own token takes: its name, its operator or its number.
func (f *Formula) Place(n ast.Node) (from, to int) {
	loc := n.Location()
	if id, ok := n.(*ast.IdentifierNode); ok {
		if l, ok := f.Literal(id.Value); ok {
			return l.From, l.To
		}
	}
	if call, ok := n.(*ast.BuiltinNode); ok {
		from := f.offset(loc.From)
		return from, from + len(f.Function(call))
	}
	return f.offset(loc.From), f.offset(loc.To)
}

// Function returns the name of the function that a node calls, as written.
func (f *Formula) Function(n *ast.BuiltinNode) string {
	return scanName(f.text, f.offset(n.Location().From)).text
}

func (f *Formula) countCharacters() {
	if utf8.RuneCountInString(f.text) == len(f.text) {
		return
	}
	for i := range f.text {
		f.bytes = append(f.bytes, int32(i))
	}
	f.bytes = append(f.bytes, int32(len(f.text)))
}

// offset turns a count of characters that the parser was shown into a count of bytes of the builder's text.
func (f *Formula) offset(characters int) int {
	before, _ := slices.BinarySearch(f.brackets, characters)
	characters -= before
	if f.bytes == nil {
		return min(characters, len(f.text))
	}
	return int(f.bytes[min(max(characters, 0), len(f.bytes)-1)])
}

// rowByRow are the functions of ours that can work something out for each row, where the parser's own of that name cannot.
// It is shown sum( ) in their place.
var rowByRow = map[string]bool{"mean": true, "median": true}

// usesRow reports whether tokens begin with values in brackets among which a column of the row stands, as .weight.
func usesRow(tokens []token) bool {
	depth := 0
	for k, t := range tokens {
		switch {
		case t.kind == open:
			depth++
		case t.kind == closing:
			depth--
		case t.text == "." && depth > 0 && !endsValue(tokens[k-1]):
			return tokens[0].text == "("
		}
		if depth == 0 {
			return false
		}
	}
	return false
}

// hide puts a name of the same length in the place of each number with a unit, and of what the parser takes otherwise
// than meant. It puts brackets around each ??, which the parser does not take beside other operators.
func (f *Formula) hide(tokens []token) string {
	var b strings.Builder
	done := 0
	opening, closing := choicesOfGiven(tokens)
	bracket := func(mark string, count, at int) {
		b.WriteString(f.text[done:at])
		done = at
		for range count {
			f.brackets = append(f.brackets, utf8.RuneCountInString(b.String()))
			b.WriteString(mark)
		}
	}
	for i, t := range tokens {
		if opening[i] > 0 {
			bracket("(", opening[i], t.from)
		}
		var name string
		switch {
		case t.kind == quantity:
			name = "_" + strconv.FormatInt(int64(len(f.literals)), 36)
			f.literals = append(f.literals, t.literal)
		case rowByRow[t.text] && usesRow(tokens[i+1:]):
			name = "sum"
		}
		if name != "" {
			b.WriteString(f.text[done:t.from])
			b.WriteString(name)
			b.WriteString(strings.Repeat(" ", max(0, utf8.RuneCountInString(f.text[t.from:t.to])-len(name))))
			done = t.to
		}
		if closing[i] > 0 {
			bracket(")", closing[i], t.to)
		}
	}
	b.WriteString(f.text[done:])
	return b.String()
}

// unread turns the parser's complaint into one of ours. The slips that are known are found before; this is the rest.
func (f *Formula) unread(err error) *Slip {
	s := &Slip{Code: "formula-unread", From: 0, To: len(f.text), Msg: "this formula cannot be read"}
	var at *file.Error
	if !errors.As(err, &at) {
		return s
	}
	if strings.Contains(at.Message, "exceeds maximum allowed nodes") {
		s.Code, s.Msg, s.Hint = "formula-large", "this formula has too many parts", "work it out in parts, each a cell of its own"
		return s
	}
	from := f.offset(at.From)
	to := from
	for to < len(f.text) && f.text[to] != ' ' {
		to++
	}
	if from < len(f.text) {
		s.From, s.To = from, max(to, from+1)
		s.Msg = "did not expect this here"
	}
	s.explain(f.text, at.Message)
	return s
}

// leastArguments matches the parser's complaint about a list function that was given too little.
var leastArguments = regexp.MustCompile(`expected at least (\d+) arguments`)

// explain says what the parser meant, where that can be told.
func (s *Slip) explain(text, message string) {
	switch {
	case strings.HasPrefix(text[s.From:], "."):
		s.To = s.From + 1 + nameLength(text[s.From+1:])
		s.Code, s.Msg = "row-dot", "a column of a row can only be used inside a list function"
		s.Hint = "for example sum(parts, .weight); max and min take a column: max(parts" + text[s.From:s.To] + ")"
	case strings.HasPrefix(text[s.From:], ")") || leastArguments.MatchString(message):
		s.Code, s.Msg, s.Hint = "value-missing", "a value is missing here", ""
	case strings.Contains(message, "coalesce"): // after -a^2 or not a
		s.Code, s.Msg, s.Hint = "given-brackets", "it is not clear how much of this belongs to the ??", "put the part with ?? in brackets"
	}
}

// nameLength returns how many bytes of text a name at its start takes.
func nameLength(text string) int {
	if text == "" {
		return 0
	}
	return len(scanName(text, 0).text)
}
