package bind

import (
	"fmt"
	"path"
	"regexp"
	"strings"
	"unicode/utf8"

	"gusset/engine/formula"
	"gusset/engine/program"
	"gusset/sheets/text"
)

// dashedName tells of a name whose _ was typed as a dash, which reads as a subtraction of two unknown names.
func (sc *scope) dashedName(n *formula.Binary) (int32, bool) {
	if n.Op != formula.Subtract {
		return 0, false
	}
	a, okA := edge(n.X, func(n *formula.Binary) formula.Node { return n.Y }).(*formula.Name)
	right := edge(n.Y, func(n *formula.Binary) formula.Node { return n.X })
	for {
		part, ok := right.(*formula.Member) // rack.stock of my-rack.stock
		if !ok {
			break
		}
		right = part.X
	}
	b, okB := right.(*formula.Name)
	if !okA || !okB || b.Span().Start != a.Span().End+1 {
		return 0, false
	}
	at := dashedRun(sc.mod.Src.Text(), text.Span{Start: a.Span().Start, End: b.Span().End})
	typed := sc.mod.Typed(at)
	joined := strings.ReplaceAll(typed, "-", "_")
	if _, known := sc.mod.Names[joined]; !known || sc.isKnown(a.Text) && sc.isKnown(b.Text) {
		return 0, false
	}
	return sc.wrong(at, text.Diag{
		Code: "unknown-name", Msg: "unknown name " + typed,
		Hint: fmt.Sprintf("is it %s?%s", joined, sc.WhereSet(sc.mod, joined)),
	}), true
}

// dashedRun widens a span to the whole run of letters, digits, _ and dashes that it is in.
func dashedRun(data string, at text.Span) text.Span {
	isPart := func(b byte) bool {
		return b == '-' || b == '_' || b >= utf8.RuneSelf || '0' <= b && b <= '9' || 'A' <= b && b <= 'Z' ||
			'a' <= b && b <= 'z'
	}
	for at.Start > 0 && isPart(data[at.Start-1]) {
		at.Start--
	}
	for int(at.End) < len(data) && isPart(data[at.End]) {
		at.End++
	}
	return at
}

// edge follows one side of the operators below n down to what is at its end.
func edge(n formula.Node, side func(*formula.Binary) formula.Node) formula.Node {
	for {
		b, ok := n.(*formula.Binary)
		if !ok {
			return n
		}
		n = side(b)
	}
}

// isKnown reports whether a name by itself means something here.
func (sc *scope) isKnown(name string) bool {
	_, r := sc.lookUp(sc.mod, name)
	_, local := sc.local(name)
	return local || r.Kind != program.NoRef
}

// elsewhere suggests where a name that is not known here is set: in a used sheet, in a table, in the rows that a list
// function goes through, or in a sheet that is not used yet.
func (sc *scope) elsewhere(name string) string {
	if n := len(sc.folds); n > 0 && sc.folds[n-1].Column(name) != nil {
		return "write ." + name + " for the column of the row"
	}
	hint := sc.Elsewhere(sc.mod, "", name, program.Purpose{Leads: sc.leading})
	if hint != "" || !sc.leading || sc.mod.Library {
		return hint
	}
	if isPlain(sc.files, path.Join(path.Dir(sc.mod.Path), name+".gusset")) {
		return fmt.Sprintf("use %q", name+".gusset")
	}
	return ""
}

// commaHint suggests a point, where a call has a value too many because a number was typed with a comma.
func commaHint(call string) string {
	if found := decimalComma.FindStringSubmatch(call); found != nil {
		return fmt.Sprintf("if one number is meant write %s.%s", found[1], found[2])
	}
	return ""
}

// decimalComma matches a number that was typed with a comma.
var decimalComma = regexp.MustCompile(`\b(\d+),(\d+)\b`)
