package text

import (
	"fmt"
	"strings"
)

const (
	chartForm   = `chart "Drag against airspeed" speeds: drag against airspeed`
	outlineForm = `outline "Root rib" rib: y against x`
	pictureForm = `picture "Where it balances" parts: weight at station mark cg`
)

// maxMarks is how many marks a picture may have: more of them could not be told apart.
const maxMarks = 12

// chart reads what follows `chart`: "TITLE" TABLE: Y, Y against X.
func (r *reader) chart(lines Lines) Node {
	c := &Chart{Lines: lines}
	r.drawing(c, "the chart's title", "against", chartForm)
	c.Note = r.note()
	return c
}

// opensDrawing reports whether the word of a drawing is followed by what only a statement is: a title, or what should
// be one. Anywhere else it is a name.
func opensDrawing(word, after string) bool {
	join := statements[word].join
	after = strings.TrimLeft(after, " \t")
	return join != "" && (strings.HasPrefix(after, `"`) || nameAt(after) > 0 && strings.Contains(after, " "+join+" "))
}

// outline reads what follows `outline`: "TITLE" TABLE: Y against X.
func (r *reader) outline(lines Lines) Node {
	c := &Chart{Lines: lines, Outline: true}
	r.drawing(c, "the outline's title", "against", outlineForm)
	if len(c.Ys) > 1 {
		r.failAt(c.Ys[1], "stray-words", "an outline has one column against one other", outlineForm)
	}
	c.Note = r.note()
	return c
}

// picture reads what follows `picture`: "TITLE" TABLE: WEIGHT at STATION mark NAME, NAME.
func (r *reader) picture(lines Lines) Node {
	c := &Chart{Lines: lines, Picture: true}
	r.drawing(c, "the picture's title", "at", pictureForm)
	if len(c.Ys) > 1 {
		r.failAt(c.Ys[1], "stray-words", "a picture has one column of weights", pictureForm)
	}
	for more := r.takeWord("mark"); more; more = r.take(',') {
		c.Marks = append(c.Marks, r.marked())
	}
	if len(c.Marks) > maxMarks {
		r.failAt(c.Marks[maxMarks].Word, "picture-marks", fmt.Sprintf("a picture has %d marks at most", maxMarks),
			"leave some out, or draw a second picture")
	}
	c.Note = r.note()
	return c
}

// marked reads the name of a mark, which may be a path.
func (r *reader) marked() Path {
	path, read := readPath(r.text[r.pos:r.codeEnd()], r.pos, "")
	if read == 0 {
		r.missing("no-name", "there is no name of a mark here", pictureForm)
	}
	for _, part := range path.Parts {
		if !part.Row && reserved[part.Text] {
			r.failReserved(part.Word)
		}
	}
	r.pos += read
	return path
}

// drawing reads "TITLE" TABLE: Y, Y against X, or with another word between the columns.
func (r *reader) drawing(c *Chart, title, join, form string) {
	c.Title, c.Table = r.label(title, form), r.name("the table's name", form)
	if !r.take(':') {
		r.missing("no-mark", "a : is missing after the table's name", form)
	}
	for more := true; more; more = r.take(',') {
		c.Ys = append(c.Ys, r.name("the column's name", form))
	}
	if !r.takeWord(join) {
		r.missing("no-"+join, "an "+join+" is missing", form)
	}
	c.X = r.name("the column's name", form)
}
