package report

import (
	"strings"

	"gusset/engine"
	"gusset/sheets/text"
)

// Comment is what a sheet says in lines of their own, above what they are about.
type Comment struct {
	Page string
	Text string // lines that follow one another, joined
	Line int    // the last of them: what comes below it is what it is about
}

// CommentsOf returns what the sheet that was asked for says in lines of their own, in their order. What is above the
// first page, such as what the sheet is, is on the page "". Comments inside tables, formulas and variants are left out.
func CommentsOf(m *engine.Model) []Comment {
	file := engine.TextOf(m)
	if file == nil {
		return nil
	}
	var list []Comment
	var lines []string // of one comment
	page := ""
	for i, n := range file.Nodes {
		if c, isComment := n.(*text.Comment); isComment {
			lines = append(lines, c.Text.Text)
			if i+1 < len(file.Nodes) {
				continue
			}
			i++
		}
		if said := strings.TrimSpace(strings.Join(lines, " ")); said != "" {
			at := file.Source.Position(file.Nodes[i-1].Extent().Start).Line
			list = append(list, Comment{page, said, at})
		}
		lines = nil
		if p, isPage := n.(*text.Page); isPage {
			page = p.Name.Text
		}
	}
	return list
}

// Intro returns the first sentence of what a sheet says of itself; empty where that is nothing.
func Intro(m *engine.Model) string {
	file := engine.TextOf(m)
	if file == nil {
		return ""
	}
	first := FirstSentence(strings.TrimSpace(file.About()))
	if first != "" && !strings.HasSuffix(first, ".") {
		first += "."
	}
	return first
}
