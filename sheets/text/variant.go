package text

import "strings"

const variantForm = `variant "as drawn"`

// variant reads what follows `variant` and the settings below it.
func (p *parser) variant(i int, r *reader) Node {
	v := &Variant{Name: r.label("the variant's name", variantForm)}
	if !r.bad && v.Name.Text == "" {
		r.fail("no-name", int(v.Name.Span.Start), int(v.Name.Span.End), "the variant has no name", variantForm)
	}
	if r.takeWord("from") {
		v.From = r.quoted("the variant to start from", `variant "lighter" from "as drawn"`)
	}
	v.Note = r.note()
	if r.bad {
		return p.finishBlock(i)
	}
	p.at = p.block(i)
	v.Lines = p.extent(i, p.at)
	empty := true
	for j := i + 1; j < p.at; j++ {
		n, next := p.setting(j)
		v.Body = append(v.Body, n)
		j = min(next, p.at) - 1
		switch n.(type) {
		case *Setting, *Bad:
			empty = false
		}
	}
	if empty {
		p.report("empty-variant", int(v.Name.Span.Start), int(v.Name.Span.End), "the variant sets nothing",
			"indent its lines below it: NAME : VALUE")
	}
	return v
}

// setting reads line j, which is below a variant, and returns the line after it.
func (p *parser) setting(j int) (Node, int) {
	if n := p.plain(j); n != nil {
		return n, j + 1
	}
	r := p.reader(j)
	s := &Setting{Lines: p.extent(j, j+1)}
	from := r.pos
	if !r.odd() {
		s.Target = r.target()
		p.values++
	}
	if !r.bad {
		r.pos++
		r.failBracketed(s.Target.Text)
		s.Value = r.given(from)
		if r.bad {
			p.mendFormula(s.Target.Text)
		}
	}
	s.Note = r.note()
	if r.bad {
		next := max(j+1, r.swallow)
		return p.bad(j, min(next, len(p.lines))), next
	}
	return s, j + 1
}

// mendFormula makes sure that nobody is told to write a formula in a variant.
func (p *parser) mendFormula(target string) {
	if code := p.diags[len(p.diags)-1].Code; code == "formula-given" || code == "double-mark" {
		p.mendLast("a variant gives values, not formulas", "write the value itself: "+target+" : VALUE")
	}
}

// failBracketed reports an error when the unit of a value is in brackets, as it would at the cell itself.
func (r *reader) failBracketed(target string) {
	w := r.word(r.pos, r.codeEnd())
	open := strings.IndexByte(w.Text, '[')
	if r.bad || open <= 0 || !startsNumber(w.Text) || !strings.HasSuffix(w.Text, "]") {
		return
	}
	number := strings.TrimSpace(w.Text[:open])
	r.fail("late-unit", int(w.Span.Start)+open, int(w.Span.End), "the unit of a value has no brackets",
		target+" : "+number+" "+w.Text[open+1:len(w.Text)-1])
}

// target reads the cell or entry that a setting sets, up to its mark.
func (r *reader) target() Target {
	const form = `NAME : VALUE, or table["row"].column : VALUE`
	from := r.pos
	end := r.codeEnd()
	if r.bad {
		return Target{}
	}
	at := r.firstMark(from, end)
	if at < 0 {
		r.explain()
		return Target{}
	}
	t := Target{Word: r.word(from, at)}
	pos := r.targetNames(&t)
	switch rest := strings.TrimLeft(r.text[pos:t.Span.End], " \t"); {
	case len(t.Names) == 0 || rest != "" && rest[0] != '[':
		if commentMark(t.Text) == 0 {
			r.explain()
		}
		if n := len(t.Names); n > 1 {
			from = int(t.Names[n-1].Span.Start)
		}
		r.failName(from, at)
	case rest != "":
		r.targetEntry(&t, pos, at)
	}
	if !r.bad && r.text[at] == '=' {
		r.fail("wrong-mark", at, at+1, "a variant sets given values, with :", form)
	}
	if !r.bad {
		r.pos = at
	}
	return t
}

// targetNames reads the names that a target begins with, and returns the place after them.
func (r *reader) targetNames(t *Target) int {
	pos := int(t.Span.Start)
	for {
		n := nameAt(r.text[pos:t.Span.End])
		if n == 0 {
			return pos
		}
		w := r.word(pos, pos+n)
		if reserved[w.Text] {
			r.failReserved(w)
		}
		t.Names = append(t.Names, w)
		pos += n
		if !strings.HasPrefix(r.text[pos:t.Span.End], ".") || nameAt(r.text[pos+1:t.Span.End]) == 0 {
			return pos
		}
		pos++
	}
}

// targetEntry reads what is in brackets at pos, after a table's name, and the column after it; at is the place of the
// setting's mark.
func (r *reader) targetEntry(t *Target, pos, at int) {
	table, value := r.text[t.Span.Start:pos], r.text[at:r.codeEnd()]
	open := pos + strings.IndexByte(r.text[pos:], '[')
	inner := r.text[open+1 : t.Span.End]
	shut := strings.LastIndexByte(inner, ']')
	column := strings.TrimPrefix(inner[shut+1:], ".")
	isColumn := shut >= 0 && len(column) < len(inner)-shut-1 && isName(column) && !reserved[column]
	end := closingQuote(inner, 0, len(inner))
	switch quoted := strings.HasPrefix(inner, `"`); {
	case quoted && end == shut-1 && isColumn:
		t.Row = Word{r.unquote(open+2, open+1+end), Span{int32(open + 1), int32(open + 2 + end)}}
		t.Column = r.word(int(t.Span.End)-len(column), int(t.Span.End))
	case quoted && end == shut-1 && reserved[column]:
		r.failReserved(r.word(int(t.Span.End)-len(column), int(t.Span.End)))
	case quoted:
		r.fail("row-alone", int(t.Span.Start), int(t.Span.End), "a row alone has no value",
			"name one of its columns: "+table+"["+inner[:max(end+1, 0)]+"].column "+value)
	case isColumn:
		r.fail("no-quotes", open+1, open+1+shut, "the row's name goes in quotes",
			table+"["+Quote(strings.TrimSpace(inner[:shut]))+"]."+column+" "+value)
	default:
		r.fail("stray-unit", open, int(t.Span.End), "a variant sets values only; the unit is at the cell itself",
			table+" "+value)
	}
}
