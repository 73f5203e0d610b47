package library

import (
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"gusset/sheets/text"
)

// StarterNames returns the names of the starters, in order.
func StarterNames() []string { return startersIn("") }

// metricFolder has the metric twins of starters.
const metricFolder = "metric"

// MetricStarters returns the names of the starters that have a metric twin.
func MetricStarters() []string { return startersIn(metricFolder) }

// StarterPath returns the name by which Starter and PagesFor know a starter: that of its metric twin, where it has one
// and it is asked for.
func StarterPath(name string, metric bool) string {
	if metric && slices.Contains(MetricStarters(), name) {
		return path.Join(metricFolder, name)
	}
	return name
}

func startersIn(folder string) []string {
	var names []string
	files, _ := fs.Glob(Starters(), path.Join(folder, "*.gusset")) // the pattern is a good one
	for _, f := range files {
		names = append(names, strings.TrimSuffix(path.Base(f), ".gusset"))
	}
	return names
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
