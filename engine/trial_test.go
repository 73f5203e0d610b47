package engine

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// insertion puts a text before the first place in a file at which another one is.
type insertion struct{ file, before, put string }

// A list function "product", as somebody begins to add it: its kind, its line in the table of functions, its
// samples.
var newFunction = []insertion{
	{"engine/machine/machine.go", "\tInterpolate //", "\tProduct\n"},
	{"engine/program/functions.go", "\t{Name: \"median\"", "\t{Name: \"product\", Least: 1, Most: 2, " +
		"Fold: machine.Product, IsFold: true, meaning: \"all multiplied\"},\n"},
	{"engine/oracle/samples.go", "\t{\"median\"", "\t{\"product\", \"product(t.p)\", 12},\n" +
		"\t{\"product\", `product(filter(t, .k == \"y\").p)`, 1},\n\t{\"product\", \"product(t, .p * two)\", 96},\n"},
}

// What the engine lacks then.
var itsArithmetic = []insertion{
	{"engine/check/lists.go", "machine.Sum, machine.Mean", "machine.Product, "},
	{"engine/machine/fold.go", "\tcase Sum, Mean:",
		"\tcase Product:\n\t\tif t.n == 1 {\n\t\t\tt.value = 1\n\t\t}\n\t\tt.value *= x\n"},
	{"engine/machine/fold.go", "Least, Greatest, First, Last:", "Product, "},
	{"engine/machine/slopefold.go", "\tcase Count:\n\t\treturn slope{}", "\tcase Product:\n\t\treturn s.total()\n"},
}

// TestTrialOfANewFunction adds a list function halfway, in copies of some files. Each place that has no rule for
// it says so: a test fails there by name, and nothing takes it for another function.
func TestTrialOfANewFunction(t *testing.T) {
	if testing.Short() {
		t.Skip("compiles the engine twice")
	}
	t.Parallel()
	begun := testsOf(t, newFunction, "./engine", "./engine/machine", "./engine/explain")
	for _, place := range []string{"checker", "machine", "oracle"} {
		assert.Regexp(t, `--- FAIL: TestEveryFunctionIsKnownEverywhere/product_\d+/`+place, begun)
	}
	assert.Regexp(t, `--- FAIL: TestEveryFunctionIsEvaluated/product_\d+`, begun)
	assert.Contains(t, begun, "no rule for folds of kind")
	assert.Contains(t, begun, "no values are known for folds of kind")

	half := testsOf(t, append(newFunction, itsArithmetic...), "./engine", "./engine/explain", "./sheets/workbook")
	assert.NotRegexp(t, `--- FAIL: .*/product_\d+/(reader|checker|machine|explanation)`, half)
	assert.NotContains(t, half, "--- FAIL: TestEveryFunctionIsEvaluated")
	assert.Regexp(t, `--- FAIL: TestEveryFunctionIsKnownEverywhere/product_\d+/oracle`, half)
	assert.Equal(t, 3, strings.Count(half, "product: a spreadsheet has nothing for it"), half)
}

// testsOf runs the tests of some packages that look at every function, with changes, and returns what they print.
func testsOf(t *testing.T, changes []insertion, packages ...string) string {
	t.Helper()
	top, err := filepath.Abs("..")
	require.NoError(t, err)
	changed := map[string]string{}
	for _, c := range changes {
		file := filepath.Join(top, c.file)
		if changed[file] == "" {
			data, err := os.ReadFile(file)
			require.NoError(t, err)
			changed[file] = string(data)
		}
		require.Contains(t, changed[file], c.before, c.file)
		changed[file] = strings.Replace(changed[file], c.before, c.put+c.before, 1)
	}
	dir, replace := t.TempDir(), map[string]string{}
	for file, text := range changed {
		replace[file] = filepath.Join(dir, strings.ReplaceAll(filepath.ToSlash(strings.TrimPrefix(file, top)), "/", "_"))
		require.NoError(t, os.WriteFile(replace[file], []byte(text), 0o600))
	}
	overlay, err := json.Marshal(map[string]any{"Replace": replace})
	require.NoError(t, err)
	list := filepath.Join(dir, "overlay.json")
	require.NoError(t, os.WriteFile(list, overlay, 0o600))
	args := []string{"test", "-short", "-vet=off", "-overlay", list, "-run", "^TestEvery(Function|Kind)"}
	run := exec.Command("go", append(args, packages...)...)
	run.Dir = top
	out, err := run.CombinedOutput()
	var failed *exec.ExitError
	require.ErrorAs(t, err, &failed, "something must fail: %s", out)
	require.NotContains(t, string(out), "[build failed]", string(out))
	return string(out)
}
