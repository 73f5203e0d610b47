package text

import (
	"strings"

	"gusset/units/nearest"
)

// The forms of statements have units that people write whatever else they measure in.
const formulaForm = "formula power(voltage [V], current [A]) [W] = voltage * current"

// formula reads what follows `formula` and the block below it.
func (p *parser) formula(i int, r *reader) Node {
	f := &Formula{Name: r.name("the formula's name", formulaForm)}
	f.Params = r.params()
	f.Unit = r.plainTag()
	r.equals(formulaForm)
	f.Expr = r.formulaText()
	f.Note = r.note()
	if r.bad {
		return p.finishBlock(i)
	}
	p.at = p.block(i)
	f.Lines = p.extent(i, p.at)
	head := true
	for j := i + 1; j < p.at; j++ {
		n, next := p.formulaLine(j)
		f.add(n)
		if c, ok := n.(*Comment); ok && head {
			f.Doc = append(f.Doc, c.Text)
		}
		head = head && isComment(n)
		j = min(next, p.at) - 1
	}
	return f
}

func isComment(n Node) bool {
	_, ok := n.(*Comment)
	return ok
}

// params reads (PARAM, ...), each of them [each] NAME [UNIT].
func (r *reader) params() []Param {
	if !r.bad && !r.take('(') {
		r.missing("no-params", "there is no ( after the formula's name", formulaForm)
	}
	if r.bad || r.take(')') {
		return nil
	}
	var params []Param
	seen := make(map[string]bool)
	for more := true; more && !r.bad; more = r.take(',') {
		p := Param{Each: r.takeWord("each")}
		p.Name = r.name("the name of a value", formulaForm)
		p.Unit = r.steplessTag()
		if seen[p.Name.Text] && !r.bad {
			r.fail("argument-twice", int(p.Name.Span.Start), int(p.Name.Span.End),
				"the formula takes a value "+p.Name.Text+" already", "give one of the two another name")
		}
		seen[p.Name.Text] = true
		params = append(params, p)
	}
	if !r.bad && !r.take(')') {
		r.missing("no-params", "a , or ) is missing", formulaForm)
	}
	return params
}

// add puts a line of the body where it belongs.
func (f *Formula) add(n Node) {
	f.Body = append(f.Body, n)
	switch n := n.(type) {
	case *Citation:
		f.Sources = append(f.Sources, n)
	case *Example:
		f.Examples = append(f.Examples, n)
	case *Caution:
		f.Cautions = append(f.Cautions, n)
	case *Condition:
		if n.Trust {
			f.Trusts = append(f.Trusts, n)
		} else {
			f.Needs = append(f.Needs, n)
		}
	}
}

// formulaLine reads line j, which is below a formula, and returns the line after it.
func (p *parser) formulaLine(j int) (Node, int) {
	if n := p.plain(j); n != nil {
		return n, j + 1
	}
	r, lines := p.reader(j), p.extent(j, j+1)
	var n Node
	from := r.pos
	word := r.text[from : from+nameAt(r.text[from:r.end])]
	if !r.odd() {
		r.pos += len(word)
		switch word {
		case "source":
			n = &Citation{lines, r.quoted("the source", `source "author, title, year, page"`), r.note()}
		case "needs", "trust":
			n = r.condition(lines, word)
		case "example":
			n = r.example(lines)
		case "caution":
			n = r.caution(lines)
		default:
			r.pos = from
			r.failFormulaLine(word)
		}
	}
	if r.bad {
		next := max(j+1, r.swallow)
		return p.bad(j, min(next, len(p.lines))), next
	}
	return n, j + 1
}

// condition reads what follows `needs` or `trust`.
func (r *reader) condition(lines Lines, word string) Node {
	form := word + " area > 0 // the area is more than nothing"
	at := r.pos
	c := &Condition{Lines: lines, Trust: word == "trust", Cond: r.rest()}
	if !r.bad && !c.Cond.Given() {
		r.pos = at
		r.missing("no-condition", "there is no condition after "+word, form)
	}
	r.checkFormula(c.Cond)
	c.Message = r.note()
	return c
}

// example reads what follows `example`: NAME(...) = VALUE [UNIT].
func (r *reader) example(lines Lines) Node {
	const form = "example power(11.1 [V], 20 [A]) = 222 [W]"
	e := &Example{Lines: lines}
	end := r.codeEnd()
	at := r.findEquals(r.pos, end)
	if !r.bad && at < 0 {
		r.missing("no-mark", "an example is a call, an = and its value", form)
	}
	if r.bad {
		return nil
	}
	if e.Call = r.word(r.pos, at); !e.Call.Given() || !strings.HasSuffix(e.Call.Text, ")") || nameAt(e.Call.Text) == 0 {
		r.missing("no-call", "an example is a call, an = and its value", form)
	}
	r.checkFormula(e.Call)
	if !r.bad {
		r.pos = at + 1
	}
	if r.next() == '"' {
		e.Value = r.quoted("the value", form)
	} else {
		e.Value, e.Unit = r.numberAndTag(form)
	}
	e.Where = r.note()
	return e
}

// failFormulaLine reports why the line at r.pos, which starts with word, does not belong below a formula.
func (r *reader) failFormulaLine(word string) {
	code := r.word(r.pos, r.codeEnd())
	near, ok := nearest.Word(word, []string{"caution", "example", "needs", "source", "trust"})
	switch {
	case r.bad:
	case commentMark(code.Text) == 0:
		r.explain()
	case ok:
		r.fail("unknown-statement", r.pos, r.pos+len(word), "no statement begins with "+word,
			near+code.Text[len(word):])
	default:
		r.fail("misplaced", r.pos, int(code.Span.End),
			"below a formula come // lines, source, needs, trust, example and caution only",
			"indent other lines no deeper than the formula line")
	}
}
