package main

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"testing"
	"time"

	"github.com/aymanbagabas/go-udiff"
	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/sheets/project"
)

var update = flag.Bool("update", false, "rewrite the expected output in scripts and goldens")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"gusset": func() {
		if os.Getenv(interruptible) != "" {
			go sayInterruptible()
		}
		if file := os.Getenv(peakInto); file != "" {
			go writePeak(file)
		}
		main()
	}})
}

// interruptible is set where gusset is to say on standard error when an interrupt no longer ends it, but the work at
// hand: a script that sends one waits for that.
const interruptible = "SAY_WHEN_INTERRUPTIBLE"

// peakInto is set to the file into which gusset is to write the most memory that it has had so far, in KiB. What the
// system says of a process that has ended counts what the one had that started it.
const peakInto = "PEAK_INTO"

// writePeak keeps the most memory that this process has had so far in a file.
func writePeak(file string) {
	peak := regexp.MustCompile(`VmHWM:\s*(\d+) kB`)
	for ; ; time.Sleep(5 * time.Millisecond) {
		if status, err := os.ReadFile("/proc/self/status"); err == nil {
			if found := peak.FindSubmatch(status); found != nil {
				os.WriteFile(file+".new", found[1], 0o644)
				os.Rename(file+".new", file)
			}
		}
	}
}

// sayInterruptible waits until there is work that an interrupt ends, and says so.
func sayInterruptible() {
	for ; ; time.Sleep(time.Millisecond) {
		endings.Lock()
		set := endings.stop != nil
		endings.Unlock()
		if set {
			os.Stderr.WriteString("may be interrupted\n")
			return
		}
	}
}

// TestScripts runs the command line as a builder would: one script for each behaviour, named for its command. DEMO is
// the folder of demo projects. Under -short it is every second one, unless they are asked for by name.
func TestScripts(t *testing.T) {
	demos, err := filepath.Abs("../../testdata")
	require.NoError(t, err)
	scripts, err := filepath.Glob("testdata/script/*.txtar")
	require.NoError(t, err)
	if testing.Short() && flag.Lookup("test.run").Value.String() == "" && !*update {
		t.Log("NOT tried under -short: every second script")
		for i := range len(scripts) / 2 {
			scripts[i] = scripts[2*i]
		}
		scripts = scripts[:len(scripts)/2]
	}
	testscript.Run(t, testscript.Params{
		Files: scripts, UpdateScripts: *update, RequireExplicitExec: true, RequireUniqueNames: true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("DEMO", demos)
			e.Setenv("NO_COLOR", "1")
			e.Setenv("LC_ALL", "C.UTF-8")
			e.Values[readSoFar{}] = map[string]int{}
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"await": await, "retype": retype},
	})
}

// readSoFar is the key of how much of each file await has read.
type readSoFar struct{}

// await waits until something that matches a pattern is in a file that a program in the background writes: await FILE
// PATTERN. What stands before an earlier match does not count.
func await(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: await file pattern")
	}
	file, pattern := ts.MkAbs(args[0]), regexp.MustCompile("(?m)"+args[1])
	read := ts.Value(readSoFar{}).(map[string]int)
	for deadline := time.Now().Add(time.Minute); ; time.Sleep(10 * time.Millisecond) {
		data, err := os.ReadFile(file)
		if err == nil {
			if found := pattern.FindIndex(data[read[file]:]); found != nil {
				read[file] += found[1]
				return
			}
		}
		if time.Now().After(deadline) {
			ts.Fatalf("%s is not in %s:\n%s", pattern, args[0], data[min(read[file], len(data)):])
		}
	}
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

// load returns the model of the sheet in a file.
func load(file string) (*engine.Model, error) {
	s, err := project.Load(file)
	return s.Model, err
}
