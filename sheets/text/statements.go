package text

import (
	"maps"
	"slices"
	"strings"
)

// statement is what is known of a statement by the word that it begins with.
type statement struct {
	read   func(*reader, Lines) Node // reads what follows the word, and the block below; nil: it is below a formula
	block  bool                      // lines below it belong to it
	named  bool                      // its second word is the name that it sets
	equals bool                      // an = belongs on its line
	text   bool                      // a text follows the word, or a name of several words may
	join   string                    // between its columns; of what is drawn, the word of which is a name elsewhere
}

var (
	statements     map[string]statement
	statementWords []string
)

func init() { // what reads a statement looks for others, so this cannot be made where it is declared
	statements = map[string]statement{
		"adjust":  {read: (*reader).adjust, named: true, equals: true},
		"caution": {read: (*reader).caution, text: true},
		"chart":   {read: (*reader).chart},
		"check":   {read: (*reader).check, named: true, equals: true},
		"formula": {read: (*reader).formula, block: true, named: true, equals: true},
		"outline": {read: (*reader).outline, join: "against"},
		"page":    {read: (*reader).page, text: true},
		"picture": {read: (*reader).picture, join: "at"},
		"sheet":   {read: (*reader).title, text: true},
		"table":   {read: (*reader).table, block: true, named: true, text: true},
		"unit":    {read: (*reader).unitDef, named: true, equals: true},
		"use":     {read: (*reader).use, text: true},
		"variant": {read: (*reader).variant, block: true},
		"example": {equals: true}, "needs": {}, "source": {}, "trust": {},
	}
	statementWords = slices.Sorted(maps.Keys(statements))
}

// isStatement reports whether a statement begins with a word, anywhere.
func isStatement(word string) bool {
	_, is := statements[word]
	return is
}

// title reads what follows `sheet`.
func (r *reader) title(lines Lines) Node {
	from := int(r.p.lines[r.line].from)
	if r.p.titled {
		r.fail("title-twice", from, r.pos, "the sheet has a title already", "one sheet line is enough")
	}
	r.p.titled = true
	return &Title{lines, r.label("the sheet's title", `sheet "Marsh Tern 50"`), r.note()}
}

// use reads what follows `use`.
func (r *reader) use(lines Lines) Node {
	const form = `use "rack.gusset" as rack`
	u := &Use{Lines: lines, Path: r.path()}
	if u.Path.Text == "" {
		r.failAt(u.Path, "no-text", "the file has no name", form)
	}
	if r.takeWord("as") {
		u.As = r.name("the name that the sheet goes by", form)
	}
	u.Note = r.note()
	return u
}

// page reads what follows `page`.
func (r *reader) page(lines Lines) Node {
	p := &Page{Lines: lines}
	switch r.next() {
	case 0:
		r.missing("no-name", "the page has no name", "page Wing")
	case '"':
		p.Name = r.label("the page's name", "page Wing")
		if p.Name.Text == "" {
			r.failAt(p.Name, "no-name", "the page has no name", "page Wing")
		}
	default:
		switch p.Name = r.keep(r.rest(), MaxLabel, "the page's name"); {
		case strings.HasPrefix(p.Name.Text, "|"): // the row of a table
			r.strayRow(r.word(int(r.p.lines[r.line].from), int(p.Name.Span.End)))
		case holdsBar(p.Name.Text):
			r.failAt(p.Name, "bar-name", "a page's name with a bar goes in quotes",
				"page "+Quote(p.Name.Text))
		}
	}
	p.Note = r.note()
	return p
}

// caution reads what follows `caution`.
func (r *reader) caution(lines Lines) Node {
	return &Caution{lines, r.keep(r.quoted("the caution", `caution "check the glue joints before the first flight"`),
		MaxText, "the caution"), r.note()}
}

// unitDef reads what follows `unit`: NAME = NUMBER [UNIT].
func (r *reader) unitDef(lines Lines) Node {
	const form = "unit notch = 15 [deg]"
	u := &UnitDef{Lines: lines, Name: r.name("the unit's name", form)}
	r.equals(form)
	u.Value, u.Unit = r.numberAndTag(form)
	u.Note = r.note()
	return u
}

// numberAndTag reads a number, as written, and the unit after it.
func (r *reader) numberAndTag(form string) (Word, UnitTag) {
	if r.next() == 0 || r.next() == '[' {
		r.missing("no-value", "the number is missing", form)
	}
	end := r.codeEnd()
	open := r.findByte('[', r.pos, end)
	if open < 0 {
		return r.rest(), UnitTag{}
	}
	number := r.word(r.pos, open)
	r.pos = open
	return number, r.plainTag()
}

// check reads what follows `check`: NAME = CONDITION.
func (r *reader) check(lines Lines) Node {
	const form = "check fits_the_loft = span <= loft_door"
	c := &Check{Lines: lines, Name: r.name("the check's name", form)}
	if r.next() == '[' {
		r.fail("stray-unit", r.pos, r.pieceEnd(), "a check has no unit", form)
	}
	r.equals(form)
	if c.Condition = r.rest(); !c.Condition.Given() {
		r.missing("no-condition", "the check has no condition", form)
	}
	r.checkFormula(c.Condition)
	c.Note = r.note()
	return c
}

const adjustForm = "adjust incidence [deg] from -3 to 6 so lift = weight"

// adjust reads what follows `adjust`: NAME [UNIT, STEP] from A to B so LEFT = RIGHT.
func (r *reader) adjust(lines Lines) Node {
	f := &Adjust{Lines: lines, Name: r.name("the name of what to adjust", adjustForm)}
	if from := r.findWord("from", r.pos, r.codeEnd()); from > r.pos {
		r.blanks()
		r.failMoreWords(f.Name, "adjust", from)
	}
	f.Unit = r.unitOnly(r.tag())
	end := r.codeEnd()
	f.From = r.part("from", "to", end, adjustForm)
	f.To = r.part("to", "so", end, adjustForm)
	r.takeWord("so")
	r.thatAfterSo(end)
	f.Left, f.Right = r.sides(end)
	f.Note = r.note()
	return f
}

// thatAfterSo reports `so that`, which is how people say it.
func (r *reader) thatAfterSo(end int) {
	at := r.pos
	if !r.takeWord("that") {
		return
	}
	if nameAt(r.text[min(r.pos+1, end):end]) > 0 {
		r.fail("stray-words", r.pos-len("that"), r.pos, "so is enough here, without that",
			"so "+r.word(r.pos, end).Text)
	}
	r.pos = at // a cell of that name
}

// part reads `WORD TEXT` up to the word stop, or up to end when stop is empty.
func (r *reader) part(word, stop string, end int, form string) Word {
	if !r.takeWord(word) {
		r.missing("no-"+word, "a "+word+" is missing", form)
	}
	to := end
	if stop != "" {
		to = r.findWord(stop, r.pos, end)
	}
	if to < 0 {
		r.failStop(stop, end, form)
	}
	w := r.word(r.pos, max(to, r.pos))
	if !w.Given() {
		r.missing("no-value", "there is no value after "+word, form)
	}
	r.checkFormula(w)
	r.pos = to
	return w
}

// failStop reports that stop is missing after what comes next; a bracket that is never closed would hide it.
func (r *reader) failStop(stop string, end int, form string) {
	open := -1
	r.outside(r.pos, end, func(i, depth int) bool {
		if depth == 0 {
			open = -1
		}
		if depth == 0 && strings.IndexByte("([{", r.text[i]) >= 0 {
			open = i
		}
		return true
	})
	if open >= 0 {
		r.fail("open-bracket", open, end, "this bracket is never closed", form)
	}
	if w := r.word(r.pos, end); w.Given() {
		r.failAt(w, "no-"+stop, "a "+stop+" is missing after this", form)
	}
}

// sides reads LEFT = RIGHT up to end.
func (r *reader) sides(end int) (left, right Word) {
	from := r.pos
	at := r.findEquals(from, end)
	if !r.blanks() {
		r.missing("no-condition", "there is nothing after so", adjustForm)
	}
	if at < 0 {
		r.failCondition(r.word(from, end))
	}
	left, right = r.word(from, at), r.word(at+1, end)
	if !left.Given() {
		r.fail("no-left", at, at+1, "there is nothing before the =", adjustForm)
	}
	if !right.Given() {
		r.fail("no-right", at, at+1, "there is nothing after the =", adjustForm)
	}
	r.checkFormula(left)
	r.checkFormula(right)
	r.pos = end
	return left, right
}
