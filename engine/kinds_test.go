package engine

import (
	"go/ast"
	"go/parser"
	"go/token"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/formula"
	"gusset/engine/program"
)

// TestEveryPieceOfAFormulaHasAMeaning finds that the resolver has a case for each type of a formula's tree, and a node
// for each operator.
func TestEveryPieceOfAFormulaHasAMeaning(t *testing.T) {
	var want, got []string
	tree, err := parser.ParseFile(token.NewFileSet(), "formula/tree.go", nil, 0)
	require.NoError(t, err)
	ast.Inspect(tree, func(n ast.Node) bool { // what begins with a place is a Node
		t, ok := n.(*ast.TypeSpec)
		if !ok {
			return true
		}
		if s, ok := t.Type.(*ast.StructType); ok && len(s.Fields.List[0].Names) == 0 {
			want = append(want, "*formula."+t.Name.Name)
		}
		return false
	})
	resolver, err := parser.ParseFile(token.NewFileSet(), "bind/expressions.go", nil, 0)
	require.NoError(t, err)
	ast.Inspect(resolver, func(n ast.Node) bool {
		f, ok := n.(*ast.FuncDecl)
		if !ok || f.Name.Name != "resolve" {
			return true
		}
		ast.Inspect(f, func(n ast.Node) bool {
			c, ok := n.(*ast.CaseClause)
			if !ok {
				return true
			}
			for _, e := range c.List {
				kind := e.(*ast.StarExpr).X.(*ast.SelectorExpr)
				got = append(got, "*"+kind.X.(*ast.Ident).Name+"."+kind.Sel.Name)
			}
			return true
		})
		return false
	})
	sort.Strings(want)
	sort.Strings(got)
	require.Greater(t, len(want), 10)
	assert.Equal(t, want, got)

	for op := formula.NoOp + 1; op < formula.Negate; op++ {
		assert.NotZero(t, program.BinaryOps[op], op.String())
	}
}
