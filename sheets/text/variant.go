package text

import "strings"

const variantForm = `variant "as drawn"`

// variant reads what follows `variant` and the settings below it.
func (p *parser) variant(i int, r *reader) Node {
	v := &Variant{Name: r.quoted("the variant's name", variantForm)}
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
		p.tell("empty-variant", int(v.Name.Span.Start), int(v.Name.Span.End), "the variant sets nothing", "indent its lines below it: NAME : VALUE")
	}
	return v
}

// setting reads line j, which stands below a variant, and returns the line after it.
func (p *parser) setting(j int) (Node, int) {
	if n := p.plain(j); n != nil {
		return n, j + 1
	}
	r := p.reader(j)
	s := &Setting{Lines: p.extent(j, j+1)}
	from := r.pos
	if !r.odd() {
		s.Target = r.target()
	}
	if !r.bad {
		r.pos++
		s.Value = r.given(from)
	}
	s.Note = r.note()
	if r.bad {
		next := max(j+1, r.swallow)
		return p.bad(j, min(next, len(p.lines))), next
	}
	return s, j + 1
}

// target reads the cell or entry that a setting sets, up to its mark.
func (r *reader) target() Word {
	const form = `NAME : VALUE, or table["row"].column : VALUE`
	from := r.pos
	end := r.codeEnd()
	if r.bad {
		return Word{}
	}
	at := r.firstMark(from, end)
	if at < 0 {
		r.explain()
		return Word{}
	}
	w := r.word(from, at)
	n := nameAt(w.Text)
	behind := strings.TrimLeft(w.Text[n:], " \t")
	switch {
	case n == 0 || !strings.HasPrefix(behind, "[") && behind != "":
		if commentMark(w.Text) == 0 {
			r.explain()
		}
		r.failName(from, at)
	case strings.HasPrefix(behind, "[") && !isEntry(w.Text[n:]):
		open := from + n + strings.IndexByte(w.Text[n:], '[')
		r.fail("stray-unit", open, int(w.Span.End), "a variant sets values only; the unit stands at the cell itself", w.Text[:n]+" :"+r.text[at+1:end])
	case reserved[w.Text[:n]]:
		r.failReserved(r.word(from, from+n))
	case r.text[at] == '=':
		r.fail("wrong-mark", at, at+1, "a variant sets given values, with :", form)
	}
	if !r.bad {
		r.pos = at
	}
	return w
}

// isEntry reports whether s goes ["row"].column.
func isEntry(s string) bool {
	s, ok := strings.CutPrefix(s, `["`)
	if !ok {
		return false
	}
	end := closingQuote(`"`+s, 0, len(s)+1)
	if end < 0 {
		return false
	}
	s, ok = strings.CutPrefix(s[end:], "].")
	return ok && isName(s) && !reserved[s]
}
