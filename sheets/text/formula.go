package text

import (
	"strings"

	"gusset/units/nearest"
)

// The forms of statements have units that people write whatever else they measure in.
const formulaForm = "formula power(voltage [V], current [A]) [W] = voltage * current"

// formula reads what follows `formula` and the block below it.
func (r *reader) formula(Lines) Node {
	f := &Formula{Name: r.name("the formula's name", formulaForm)}
	f.Params = r.params()
	f.Unit = r.plainTag()
	r.equals(formulaForm)
	f.Expr = r.formulaText()
	f.Note = r.note()
	f.Body, f.Lines = r.p.body(r.line, (*reader).formulaLine)
	head := true
	for _, n := range f.Body {
		f.sort(n)
		c, isComment := n.(*Comment)
		if head = head && isComment; head {
			f.Doc = append(f.Doc, c.Text)
		}
	}
	return f
}

// params reads (PARAM, ...), each of them [each] NAME [UNIT].
func (r *reader) params() []Param {
	if !r.take('(') {
		r.missing("no-params", "there is no ( after the formula's name", formulaForm)
	}
	if r.take(')') {
		return nil
	}
	var params []Param
	seen := make(map[string]bool)
	for more := true; more; more = r.take(',') {
		p := Param{Each: r.takeWord("each")}
		p.Name = r.name("the name of a value", formulaForm)
		p.Unit = r.steplessTag()
		if seen[p.Name.Text] {
			r.failAt(p.Name, "argument-twice", "the formula takes a value "+p.Name.Text+" already",
				"give one of the two another name")
		}
		seen[p.Name.Text] = true
		params = append(params, p)
	}
	if !r.take(')') {
		r.missing("no-params", "a , or ) is missing", formulaForm)
	}
	return params
}

// sort puts a line of the body where it belongs.
func (f *Formula) sort(n Node) {
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

// formulaLine reads a line that is below a formula.
func (r *reader) formulaLine(lines Lines) Node {
	r.odd()
	from, word := r.pos, r.nameHere()
	r.pos += len(word)
	switch word {
	case "source":
		return &Citation{lines, r.quoted("the source", `source "author, title, year, page"`), r.note()}
	case "needs", "trust":
		return r.condition(lines, word)
	case "example":
		return r.example(lines)
	case "caution":
		return r.caution(lines)
	}
	r.pos = from
	r.failFormulaLine(word)
	return nil
}

// condition reads what follows `needs` or `trust`.
func (r *reader) condition(lines Lines, word string) Node {
	form := word + " area > 0 // the area is more than nothing"
	c := &Condition{Lines: lines, Trust: word == "trust", Cond: r.rest()}
	if !c.Cond.Given() {
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
	if at < 0 {
		r.missing("no-mark", "an example is a call, an = and its value", form)
	}
	if e.Call = r.word(r.pos, at); !e.Call.Given() || !strings.HasSuffix(e.Call.Text, ")") || nameAt(e.Call.Text) == 0 {
		r.missing("no-call", "an example is a call, an = and its value", form)
	}
	r.checkFormula(e.Call)
	if r.pos = at + 1; r.next() == '"' {
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
