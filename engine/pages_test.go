package engine

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gusset/library"
	"gusset/sheets/text"
)

// TestLibraryIndex: what is found by looking at the heads of lines alone is what reading the whole pages finds.
func TestLibraryIndex(t *testing.T) {
	set := readLibrary(library.Pages())
	total := 0
	for i, p := range set.pages {
		whole, diags := text.Parse(p.src)
		require.Empty(t, diags)
		for _, n := range whole.Nodes {
			name, formula := "", false
			switch n := n.(type) {
			case *text.Formula:
				name, formula = n.Name.Text, true
			case *text.Cell:
				name = n.Name.Text
			case *text.Table:
				name = n.Name.Text
			default:
				continue
			}
			total++
			require.True(t, set.sets(name, formula), "%s on page %s", name, p.name)
			for _, e := range set.index[name] {
				if e.page != i {
					continue
				}
				part, diags := p.statement(e)
				require.Empty(t, diags)
				require.Equal(t, n, part, name)
			}
		}
	}
	require.Len(t, set.index, total, "each name is set once in the whole library")
}
