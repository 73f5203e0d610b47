package text

import (
	"slices"
	"strings"
)

const variantForm = `variant "as drawn"`

// variant reads what follows `variant` and the settings below it.
func (r *reader) variant(Lines) Node {
	v := &Variant{Name: r.label("the variant's name", variantForm)}
	if v.Name.Text == "" {
		r.failAt(v.Name, "no-name", "the variant has no name", variantForm)
	}
	if r.takeWord("from") {
		v.From = r.quoted("the variant to start from", `variant "lighter" from "as drawn"`)
	}
	v.Note = r.note()
	v.Body, v.Lines = r.p.body(r.line, (*reader).setting)
	if !slices.ContainsFunc(v.Body, func(n Node) bool { return !isPlain(n) }) {
		r.p.report("empty-variant", int(v.Name.Span.Start), int(v.Name.Span.End), "the variant sets nothing",
			"indent its lines below it: NAME : VALUE")
	}
	return v
}

// isPlain reports whether a line is blank or a comment.
func isPlain(n Node) bool {
	switch n.(type) {
	case *Blank, *Comment:
		return true
	}
	return false
}

// setting reads a line that is below a variant.
func (r *reader) setting(lines Lines) Node {
	r.odd()
	from := r.pos
	r.p.values++
	s := &Setting{Lines: lines, Target: r.readTarget()}
	r.pos++
	r.target = s.Target.Text
	s.Value = r.given(from)
	s.Note = r.note()
	return s
}

// readTarget reads the path of what a setting sets, up to its mark.
func (r *reader) readTarget() Path {
	from := r.pos
	end := r.codeEnd()
	at := r.firstMark(from, end)
	if at < 0 {
		r.explain()
	}
	w := r.word(from, at)
	path, read := readPath(w.Text, int(w.Span.Start), "")
	for _, part := range path.Parts {
		if !part.Row && reserved[part.Text] {
			r.failReserved(part.Word)
		}
	}
	if read < len(w.Text) || read == 0 {
		r.failTarget(path, w, at)
	}
	if r.text[at] == '=' {
		r.fail("wrong-mark", at, at+1, "a variant sets given values, with :",
			`NAME : VALUE, or table["row"].column : VALUE`)
	}
	r.pos = at
	return path
}

// failTarget reports what keeps w, before the mark at at, from being a path; path is what could be read of it.
func (r *reader) failTarget(path Path, w Word, at int) {
	rest := strings.TrimLeft(w.Text[len(path.Text):], " \t")
	names := len(path.Parts)
	switch {
	case names > 0 && path.Parts[names-1].Row:
		r.failAt(w, "row-alone", "a row alone has no value",
			"name one of its columns: "+path.String()+".column "+r.text[at:r.codeEnd()])
	case names > 0 && strings.HasPrefix(rest, "["):
		r.failRow(path, int(w.Span.End)-len(rest), w, at)
	default:
		if commentMark(w.Text) == 0 {
			r.explain()
		}
		from := int(w.Span.Start)
		if names > 1 {
			from = int(path.Parts[names-1].Span.Start)
		}
		r.failName(from, at)
	}
}

// failRow reports what is wrong in the brackets at open, after a table's name.
func (r *reader) failRow(table Path, open int, w Word, at int) {
	inner, value := r.text[open+1:w.Span.End], r.text[at:r.codeEnd()]
	shut := strings.LastIndexByte(inner, ']')
	if quote := closingQuote(inner, 0, len(inner)); quote > 0 && inner[0] == '"' && quote == shut-1 {
		r.unquote(open+2, open+1+quote)
	}
	if column, dotted := strings.CutPrefix(inner[shut+1:], "."); shut >= 0 && dotted && IsName(column) {
		from, to := open+1, open+1+shut
		if from == to { // nothing, between brackets that can be marked
			from, to = open, open+2
		}
		r.fail("no-quotes", from, to, "the row's name goes in quotes",
			table.String()+"["+Quote(strings.TrimSpace(inner[:shut]))+"]."+column+" "+value)
	}
	r.fail("stray-unit", open, int(w.Span.End), "a variant sets values only; the unit is at the cell itself",
		table.String()+" "+value)
}
