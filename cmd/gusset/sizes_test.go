package main

import (
	"bufio"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a reader can hold in mind.
const (
	longestFile = 400 // lines
	longestLine = 120 // characters, tabs counted as one
	mostMethods = 40  // of one type
)

// TestSizesOfTheHouse keeps files, lines and types at a size that can be read, outside tests.
func TestSizesOfTheHouse(t *testing.T) {
	methods := map[string]int{}
	err := fs.WalkDir(os.DirFS("../.."), ".", func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return err
		}
		src, err := os.ReadFile(filepath.Join("../..", file))
		require.NoError(t, err)
		line := 0
		for lines := bufio.NewScanner(strings.NewReader(string(src))); lines.Scan(); {
			line++
			assert.LessOrEqual(t, utf8.RuneCountInString(lines.Text()), longestLine, "%s:%d", file, line)
		}
		assert.LessOrEqual(t, line, longestFile, file)
		parsed, err := parser.ParseFile(token.NewFileSet(), file, src, parser.SkipObjectResolution)
		require.NoError(t, err)
		for _, d := range parsed.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && f.Recv != nil {
				methods[path.Dir(file)+"."+typeName(f.Recv.List[0].Type)]++
			}
		}
		return nil
	})
	require.NoError(t, err)
	require.Greater(t, len(methods), 100)
	for name, n := range methods {
		assert.LessOrEqual(t, n, mostMethods, "methods of %s", name)
	}
}

// typeName returns the name of a receiver's type.
func typeName(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.StarExpr:
		return typeName(e.X)
	case *ast.IndexExpr:
		return typeName(e.X)
	case *ast.Ident:
		return e.Name
	}
	return ""
}
