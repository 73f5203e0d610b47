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
	page, joins := "", false
	for _, n := range file.Nodes {
		c, isComment := n.(*text.Comment)
		switch {
		case isComment && joins:
			last := &list[len(list)-1]
			last.Text += " " + c.Text.Text
			last.Line++
		case isComment && c.Text.Text != "":
			list = append(list, Comment{page, c.Text.Text, file.Source.Position(n.Extent().Start).Line})
		default:
			if p, isPage := n.(*text.Page); isPage {
				page = p.Name.Text
			}
		}
		joins = isComment && len(list) > 0
	}
	return list
}

// Intro returns the first sentence of what a sheet says of itself right below its title; empty where that is nothing.
func Intro(m *engine.Model) string {
	file := engine.TextOf(m)
	if file == nil {
		return ""
	}
	lines := ""
	below := false
	for _, n := range file.Nodes {
		switch n := n.(type) {
		case *text.Title:
			below = true
			continue
		case *text.Comment:
			if below {
				lines += " " + n.Text.Text
				continue
			}
		case *text.Blank:
			if lines == "" {
				continue
			}
		}
		if below {
			break
		}
	}
	first := FirstSentence(strings.TrimSpace(lines))
	if first != "" && !strings.HasSuffix(first, ".") {
		first += "."
	}
	return first
}
