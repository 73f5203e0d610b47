package engine

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gusset/engine/bind"
	"gusset/library"
	"gusset/sheets/text"
)

// TestLibraryIndex: what is found by looking at the heads of lines alone is what reading the whole pages finds.
func TestLibraryIndex(t *testing.T) {
	set := bind.ReadLibrary(library.Pages())
	total := 0
	for i, p := range set.Pages {
		whole, diags := text.Parse(p.Src)
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
			require.True(t, set.Sets(name, formula), "%s on page %s", name, p.Name)
			for _, e := range set.Index[name] {
				if e.Page != i {
					continue
				}
				part, diags := p.Statement(e)
				require.Empty(t, diags)
				require.Equal(t, n, part, name)
			}
		}
	}
	require.Len(t, set.Index, total, "each name is set once in the whole library")
}
