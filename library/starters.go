package library

import (
	"fmt"
	"io/fs"
	"path"
	"strings"

	"gusset/sheets/text"
)

// StarterNames returns the names of the starters, in order.
func StarterNames() []string {
	var names []string
	files, _ := fs.Glob(Starters(), "*.gusset") // the pattern is a good one
	for _, f := range files {
		names = append(names, strings.TrimSuffix(f, ".gusset"))
	}
	return names
}

// StarterPath returns the name by which Starter and PagesFor know a starter, or its metric twin: each has one.
func StarterPath(name string, metric bool) string {
	if metric {
		return path.Join("metric", name)
	}
	return name
}

// Starter returns the starter of a name, under another title unless that is empty, and the files that it uses, which
// are starters too.
func Starter(name, title string) (data []byte, uses []string) {
	data, err := fs.ReadFile(Starters(), name+".gusset")
	if err != nil {
		panic(fmt.Sprintf("no starter %s", name))
	}
	f, _ := text.Parse(text.NewSource("starter", data))
	for _, n := range f.Nodes {
		switch n := n.(type) {
		case *text.Use:
			uses = append(uses, n.Path.Text)
		case *text.Title:
			if at := n.Name.Span; title != "" {
				data = []byte(string(data[:at.Start]) + text.Quote(title) + string(data[at.End:]))
			}
		}
	}
	return data, uses
}
