package text

import (
	"strings"
)

// oneOf matches the head of a tag that lists choices.
var oneOf = lazily(`^\[\s*one\s+of\b`)

// tag reads a unit tag, if there is one.
func (r *values) tag() UnitTag {
	if r.next() != '[' {
		return UnitTag{}
	}
	from := r.pos
	if oneOf().MatchString(r.text[from:r.end]) {
		return r.choiceTag(from)
	}
	n := strings.IndexAny(r.text[from+1:r.end], "[]")
	if n < 0 || r.text[from+1+n] == '[' {
		r.failOpenTag(from)
	}
	to := from + 1 + n
	tag := UnitTag{Span: Span{int32(from), int32(to + 1)}, Unit: r.word(from+1, to)}
	comma := strings.LastIndexByte(r.text[from:to], ',')
	if comma >= 0 {
		tag.Unit, tag.Step = r.word(from+1, from+comma), r.word(from+comma+1, to)
	}
	switch {
	case !tag.Unit.Given() && comma < 0:
		r.fail("empty-unit", from, to+1, "there is no unit between the brackets",
			"a plain number has no brackets, or [1]")
	case !tag.Unit.Given():
		r.fail("empty-unit", from, to+1, "there is no unit before the comma", "a plain number is [1, 0.1]")
	case comma >= 0 && !tag.Step.Given():
		r.fail("empty-step", from, to+1, "there is no step after the comma",
			"write how finely to show it: ["+tag.Unit.Text+", 0.1]")
	}
	r.pos = to + 1
	return tag
}

// failOpenTag reports that the bracket at from is not closed. The mark goes up to what looks like the end of the unit.
func (r *values) failOpenTag(from int) {
	to := r.end
	if n := strings.IndexAny(r.text[from+1:r.end], ":=[|\""); n >= 0 {
		to = from + 1 + n
	}
	if n := strings.Index(r.text[from:to], "//"); n >= 0 {
		to = from + n
	}
	w := r.word(from, to)
	r.fail("open-bracket", from, int(w.Span.End), "this bracket is never closed",
		"write "+strings.TrimRight(w.Text, ")}> ")+"]")
}

// plainTag reads a unit that has no step.
func (r *values) plainTag() UnitTag { return r.unitOnly(r.steplessTag()) }

// steplessTag reads a unit or choices, without a step.
func (r *values) steplessTag() UnitTag {
	tag := r.tag()
	if tag.Step.Given() {
		r.failAt(tag.Step, "stray-step", "a step has no meaning here",
			"write ["+tag.Unit.Text+"]")
	}
	return tag
}
