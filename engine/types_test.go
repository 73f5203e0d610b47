package engine

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestAliasesNameTheirFields: go doc shows of an alias only its comment, so that names the fields and methods that there
// are, in the order of the type.
func TestAliasesNameTheirFields(t *testing.T) {
	door, err := filepath.Glob("types*.go")
	require.NoError(t, err)
	rooms := map[string]map[string]*ast.StructType{}
	methods := map[string][]string{}
	for _, room := range []string{"explain", "state", "differ", "choose", "odds", "portable", "program"} {
		rooms[room] = map[string]*ast.StructType{}
		files, err := filepath.Glob(filepath.Join(room, "*.go"))
		require.NoError(t, err)
		for _, name := range files {
			data, err := os.ReadFile(name)
			require.NoError(t, err)
			of, err := parser.ParseFile(token.NewFileSet(), name, data, 0)
			require.NoError(t, err)
			ast.Inspect(of, func(n ast.Node) bool {
				switch n := n.(type) {
				case *ast.TypeSpec:
					if s, ok := n.Type.(*ast.StructType); ok {
						rooms[room][n.Name.Name] = s
					}
				case *ast.FuncDecl:
					if n.Recv != nil && n.Name.IsExported() && n.Name.Name != "MarshalJSON" {
						of := room + "." + typeName(n.Recv.List[0].Type)
						methods[of] = append(methods[of], n.Name.Name)
					}
				}
				return true
			})
		}
	}
	named := 0
	var doc *ast.CommentGroup // of a declaration that is no group
	for _, name := range door {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments)
		require.NoError(t, err)
		ast.Inspect(f, func(n ast.Node) bool {
			if d, ok := n.(*ast.GenDecl); ok {
				doc = d.Doc
			}
			spec, ok := n.(*ast.TypeSpec)
			if !ok {
				return true
			}
			if spec.Doc != nil {
				doc = spec.Doc
			}
			of := spec.Type.(*ast.SelectorExpr)
			room := of.X.(*ast.Ident).Name
			s := rooms[room][of.Sel.Name]
			if s == nil { // a number
				return true
			}
			var fields []string
			for _, field := range s.Fields.List {
				for _, name := range field.Names {
					if name.IsExported() {
						fields = append(fields, name.Name)
					}
				}
				if len(field.Names) == 0 {
					fields = append(fields, typeName(field.Type))
				}
			}
			want := "Fields: " + strings.Join(fields, ", ") + "."
			if m := methods[room+"."+of.Sel.Name]; len(m) > 0 {
				want += " Methods: " + strings.Join(m, ", ") + "."
			}
			named++
			assert.Contains(t, strings.Join(strings.Fields(doc.Text()), " "), want, spec.Name.Name)
			return true
		})
	}
	assert.Greater(t, named, 25)
}

// TestEveryTypeHasANameAtTheDoor: what a field of a public type holds can be named by who takes it from there.
func TestEveryTypeHasANameAtTheDoor(t *testing.T) {
	t.Parallel()
	door, err := filepath.Glob("*.go")
	require.NoError(t, err)
	named := ""
	for _, name := range door {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		named += string(data)
	}
	seen := map[reflect.Type]bool{}
	var see func(of reflect.Type)
	see = func(of reflect.Type) {
		if seen[of] {
			return
		}
		seen[of] = true
		if room, ok := strings.CutPrefix(of.PkgPath(), "gusset/engine/"); ok {
			if room == "portable" {
				return // its package has what it holds
			}
			assert.True(t, strings.Contains(named, "= "+room+"."+of.Name()+"\n"), "%s has no name at the door", of)
		}
		switch of.Kind() {
		case reflect.Pointer, reflect.Slice:
			see(of.Elem())
		case reflect.Struct:
			for f := range of.Fields() {
				if f.IsExported() {
					see(f.Type)
				}
			}
		}
	}
	for _, v := range []any{
		Page{}, Entry{}, Reason{}, Ripple{}, Comparison{}, Changes{}, Odds{}, ChooseQuestion{}, ChooseAnswer{}, CutPlan{},
		GivenValue{}, Variant{}, Target{}, Sources{}, Error{}, Search{}, LibraryPage{}, Example{}, Sheet{}, UsedSheet{},
		Guessed{}, OddsOptions{}, Portable{},
	} {
		see(reflect.TypeOf(v))
	}
	assert.Greater(t, len(seen), 60)
}

// typeName returns the name of a type, without a star or a room.
func typeName(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.StarExpr:
		return typeName(e.X)
	case *ast.SelectorExpr:
		return e.Sel.Name
	case *ast.Ident:
		return e.Name
	}
	return ""
}
