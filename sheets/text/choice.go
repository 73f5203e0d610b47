package text

// Choice is what a text may be: `[one of "flat", "on edge"]`, `[one of TABLE]` or `[one of filter(TABLE, CONDITION)]`,
// where a unit would be.
type Choice struct {
	Whole Word   // all between the brackets, as written
	Texts []Word // those that are listed
	Rows  Word   // or else the rows that they are the names of, as a formula: TABLE, or filter(TABLE, CONDITION)
}

const choiceForm = `[one of rack.stock], [one of "flat", "on edge"] or [one of filter(rack.stock, .kind == "sheet")]`

// choiceTag reads a tag that begins with `one of`, at the bracket at from. It goes to its own closing bracket: quotes
// and inner brackets are part of it.
func (r *values) choiceTag(from int) UnitTag {
	to := r.findByte(']', from, r.end)
	if to < 0 {
		r.fail("open-bracket", from, from+len(oneOf().FindString(r.text[from:r.end])), "this bracket is never closed",
			"put ] after the last choice")
	}
	r.pos = from + 1
	c := &Choice{Whole: r.word(from+1, to)}
	tag := UnitTag{Span: Span{int32(from), int32(to + 1)}, Choice: c}
	r.takeWord("one")
	r.takeWord("of")
	if r.next() == '"' {
		r.choiceTexts(c, to)
	} else if c.Rows = r.word(r.pos, to); !c.Rows.Given() || r.pos >= to || r.findByte(',', r.pos, to) >= 0 {
		r.fail("choice-form", from, to+1, "after one of comes a table, or texts in quotes", choiceForm)
	}
	r.pos = to + 1
	return tag
}

// choiceTexts reads texts in quotes, separated by commas, up to the bracket at to.
func (r *values) choiceTexts(c *Choice, to int) {
	seen := map[string]bool{}
	for more := true; more; more = r.take(',') {
		if r.next() != '"' {
			r.failChoice(c)
		}
		w := r.quoted("a choice", "")
		if seen[w.Text] {
			r.failAt(w, "choice-twice", "this choice is listed twice",
				"leave one of the two out")
		}
		seen[w.Text] = true
		c.Texts = append(c.Texts, w)
	}
	if r.pos < to && r.word(r.pos, to).Given() {
		r.failChoice(c)
	}
}

func (r *values) failChoice(c *Choice) {
	r.failAt(c.Whole, "choice-form", "this cannot be read as choices", choiceForm)
}

// unitOnly refuses choices where only a unit makes sense.
func (r *values) unitOnly(tag UnitTag) UnitTag {
	if tag.Choice != nil {
		r.failAt(Word{Span: tag.Span}, "stray-choice",
			"only a given text, a text column and what a formula takes have choices", "leave the brackets out")
	}
	return tag
}

// takeGuess moves past the ? after a value, which says that the value is only a guess.
func (r *values) takeGuess(v Value) Value {
	if r.next() != '?' {
		return v
	}
	v.Doubt = &Doubt{GiveOrTake: v.GiveOrTake(), Spread: v.Spread(), Guess: r.word(r.pos, r.pos+1)}
	r.pos++
	if r.next() == '?' {
		r.fail("guess-twice", int(v.Guess().Span.Start), r.pos+1, "one ? is enough for a guess", "leave the other out")
	}
	return v
}
