package library

import (
	"io/fs"
	"path"
	"slices"
	"strings"

	"gusset/sheets/text"
)

// StarterPage is a page that can be added to a sheet that began as a starter.
type StarterPage struct {
	Name  string
	About string   // what it is for, in one line
	After string   // the page of the starter that it follows
	also  []string // other starters that it serves as well
	File  *text.File
}

// The first line of the file of a page begins with afterWord, as in "after Speed: what the servos must hold". Where the
// page serves other starters too, it names them: "after Speed, also for biplane: what the servos must hold".
const (
	afterWord = "after "
	alsoWords = ", also for "
)

// PagesFor returns the pages that can be added to a starter, in the order in which they are in it. They are files of
// sheet text in a folder of the starter's name, or of another starter beside it with which it shares them.
func PagesFor(starter string) []StarterPage {
	files, _ := fs.Glob(Starters(), path.Join(path.Dir(starter), "*", "*.gusset")) // the pattern is a good one
	var pages []StarterPage
	for _, file := range files {
		data, err := fs.ReadFile(Starters(), file)
		if err != nil {
			continue
		}
		page := readPage(file, data)
		if path.Dir(file) == starter || slices.Contains(page.also, path.Base(starter)) {
			pages = append(pages, page)
		}
	}
	order := OwnPages(starter)
	slices.SortStableFunc(pages, func(a, b StarterPage) int {
		return slices.Index(order, a.After) - slices.Index(order, b.After)
	})
	return pages
}

// OwnPages returns the names of a starter's own pages, in order.
func OwnPages(starter string) (names []string) {
	data, err := fs.ReadFile(Starters(), starter+".gusset")
	if err != nil {
		return nil
	}
	f, _ := text.Parse(text.NewSource(starter, data))
	for _, p := range text.NodesOf[*text.Page](f) {
		names = append(names, p.Name.Text)
	}
	return names
}

// readPage takes the file of a page apart: its first line, which says where the page goes and what it is for, and the
// page.
func readPage(file string, data []byte) StarterPage {
	first, rest, _ := strings.Cut(string(data), "\n")
	first = strings.TrimPrefix(strings.TrimSpace(strings.TrimPrefix(first, "//")), afterWord)
	var page StarterPage
	first, page.About, _ = strings.Cut(first, ": ")
	place, others, _ := strings.Cut(first, alsoWords)
	page.After, page.also = place, strings.Split(others, " and ")
	page.File, _ = text.Parse(text.NewSource(file, []byte(rest)))
	for _, p := range text.NodesOf[*text.Page](page.File) {
		page.Name = p.Name.Text
	}
	return page
}
