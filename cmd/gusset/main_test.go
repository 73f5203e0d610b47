package main

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/aymanbagabas/go-udiff"
	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "rewrite the expected output in scripts and goldens")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"gusset": main})
}

// TestScripts runs the command line as a builder would: one script for each behaviour, named for its command. DEMO is
// the folder of demo projects.
func TestScripts(t *testing.T) {
	demos, err := filepath.Abs("../../testdata")
	require.NoError(t, err)
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script", UpdateScripts: *update, RequireExplicitExec: true, RequireUniqueNames: true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("DEMO", demos)
			e.Setenv("NO_COLOR", "1")
			e.Setenv("LC_ALL", "C.UTF-8")
			return nil
		},
	})
}

// TestGoldenDemos holds what show prints of each demo project against testdata/golden.
func TestGoldenDemos(t *testing.T) {
	for _, demo := range []string{"marsh-tern/marsh-tern", "dune-whimbrel/dune-whimbrel", "mill-wagtail/mill-wagtail"} {
		t.Run(demo, func(t *testing.T) {
			var out, errs bytes.Buffer
			t.Chdir("../../testdata")
			status := run([]string{"show", demo + ".gusset"}, nil, &out, &errs)
			require.Equal(t, allWell, status, errs.String())
			golden := filepath.Join("golden", filepath.Base(demo)+".txt")
			if *update {
				require.NoError(t, os.WriteFile(golden, out.Bytes(), 0o644))
			}
			want, err := os.ReadFile(golden)
			require.NoError(t, err)
			if diff := udiff.Unified(golden, "show", string(want), out.String()); diff != "" {
				t.Fatalf("-update rewrites the golden:\n%s", diff)
			}
		})
	}
}
