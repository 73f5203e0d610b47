package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	ossignal "os/signal"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/sheets/project"
)

// process is gusset as a process of its own: the test's program runs main when it is called so.
func process(t *testing.T, args ...string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	require.NoError(t, err)
	return &exec.Cmd{Path: self, Args: append([]string{"gusset"}, args...), Env: os.Environ()}
}

// TestWritesAtOnce: of 20 runs that each write another cell of one sheet at the same time, each value is in it
// at the end.
func TestWritesAtOnce(t *testing.T) {
	t.Chdir(t.TempDir())
	const runs = 20
	var sheet, want strings.Builder
	for i := range runs {
		fmt.Fprintf(&sheet, "a%d : 1 // as it was\n", i)
		fmt.Fprintf(&want, "a%d : %d // as it was\n", i, i+100)
	}
	require.NoError(t, os.WriteFile("tern.gusset", []byte(sheet.String()), 0o644))
	all := make([]*exec.Cmd, runs)
	said := make([]bytes.Buffer, runs)
	for i := range all {
		all[i] = process(t, "ripple", "--set", fmt.Sprintf("a%d=%d", i, i+100), "--write", "tern.gusset")
		all[i].Stdout, all[i].Stderr = &said[i], &said[i]
		require.NoError(t, all[i].Start())
	}
	for i := range all {
		require.NoError(t, all[i].Wait(), said[i].String())
		assert.Contains(t, said[i].String(), fmt.Sprintf("written: tern.gusset:%d: a%d : %d\n", i+1, i, i+100))
	}
	data, err := os.ReadFile("tern.gusset")
	require.NoError(t, err)
	require.Equal(t, want.String(), string(data))
	left, err := filepath.Glob(".gusset-*")
	require.NoError(t, err)
	require.Empty(t, left)
}

// shellStatus returns the exit status that a shell gives a process that has ended.
func shellStatus(cmd *exec.Cmd) int {
	if ws, ok := cmd.ProcessState.Sys().(syscall.WaitStatus); ok && ws.Signaled() {
		return 128 + int(ws.Signal())
	}
	return cmd.ProcessState.ExitCode()
}

// TestEveryCommandEnds: a signal ends a run at once, with the status that shells give it.
func TestEveryCommandEnds(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Log("one process sends another no signals there")
		return
	}
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("tern.gusset", []byte("a   :   1\n"), 0o644))
	begun, done, released := make(chan bool), make(chan bool), make(chan error)
	go func() {
		released <- project.Edit("tern.gusset", func(old []byte) ([]byte, error) { begun <- true; <-done; return old, nil })
	}()
	<-begun
	for _, args := range [][]string{
		{"watch", "tern.gusset"},
		{"tidy"},                                // waits for what comes in
		{"ripple", "--was", "-", "tern.gusset"}, // the same
		{"tidy", "tern.gusset"},                 // waits for the run that writes the file
		{"ripple", "--set", "a=2", "--write", "tern.gusset"}, // the same
	} {
		for signal, status := range map[syscall.Signal]int{syscall.SIGINT: 130, syscall.SIGTERM: 143, syscall.SIGHUP: 129} {
			if ossignal.Ignored(signal) || testing.Short() && signal != syscall.SIGINT {
				continue // as under nohup, which every process started there inherits
			}
			cmd := process(t, args...)
			in, err := cmd.StdinPipe()
			require.NoError(t, err)
			require.NoError(t, cmd.Start())
			time.Sleep(50 * time.Millisecond)
			require.NoError(t, cmd.Process.Signal(signal))
			late := time.AfterFunc(20*time.Second, func() { cmd.Process.Kill() })
			require.Error(t, cmd.Wait())
			late.Stop()
			assert.Equal(t, status, shellStatus(cmd), "%v after %v", args, signal)
			in.Close()
		}
	}
	done <- true
	require.NoError(t, <-released)
	data, err := os.ReadFile("tern.gusset")
	require.NoError(t, err)
	require.Equal(t, "a   :   1\n", string(data))

	// a signal that is to be ignored, as under nohup, is ignored
	cmd := process(t)
	cmd.Args = []string{"sh", "-c", `trap "" HUP; exec "$0" tidy`, filepath.Join(t.TempDir(), "gusset")}
	require.NoError(t, os.Symlink(cmd.Path, cmd.Args[3]))
	shell, err := exec.LookPath("sh")
	require.NoError(t, err)
	cmd.Path = shell
	in, err := cmd.StdinPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	time.Sleep(200 * time.Millisecond)
	require.NoError(t, cmd.Process.Signal(syscall.SIGHUP))
	require.NoError(t, in.Close())
	require.NoError(t, cmd.Wait())
}

// TestEndedWhileWriting: a run that is told to end at any moment leaves the old file or the new one, and nothing else.
func TestEndedWhileWriting(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Log("one process sends another no signals there")
		return
	}
	t.Chdir(t.TempDir())
	old := strings.Repeat("// a line of a long sheet\n", 20000) + "a   :   1\n"
	require.NoError(t, os.WriteFile("tern.gusset", []byte(old), 0o644))
	start := time.Now()
	require.NoError(t, process(t, "tidy", "tern.gusset").Run())
	whole := time.Since(start)
	data, err := os.ReadFile("tern.gusset")
	require.NoError(t, err)
	tidy := string(data)
	require.NotEqual(t, old, tidy)
	const rounds = 12
	for i := range rounds {
		require.NoError(t, os.WriteFile("tern.gusset", []byte(old), 0o644))
		cmd := process(t, "tidy", "tern.gusset")
		require.NoError(t, cmd.Start())
		time.Sleep(whole * time.Duration(i+1) / rounds)
		_ = cmd.Process.Signal(syscall.SIGTERM) // it may have ended
		_ = cmd.Wait()
		assert.Contains(t, []int{allWell, 143}, shellStatus(cmd))
		data, err := os.ReadFile("tern.gusset")
		require.NoError(t, err)
		require.True(t, string(data) == old || string(data) == tidy)
		entries, err := os.ReadDir(".")
		require.NoError(t, err)
		require.Len(t, entries, 1)
	}
}

// TestNamesOfFilesAreMadeVisible: whatever a file is called, no command sends what steers a terminal to it.
func TestNamesOfFilesAreMadeVisible(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Log("files cannot be called so there")
		return
	}
	t.Chdir(t.TempDir())
	const bad = "e\x1b[31mX\x1b]0;owned\a\nY\u202e"
	sheet, faulty, used := bad+".gusset", "f"+bad+".gusset", "dir"+bad+"/"+bad+".gusset"
	require.NoError(t, os.Mkdir(filepath.Dir(used), 0o755))
	write := func(file, data string) { require.NoError(t, os.WriteFile(file, []byte(data), 0o644)) }
	write(sheet, "a   :   1\nb = a * 2\ncheck c = b > 5\nvariant \"v\"\n  a : 2\n")
	write(faulty, "use \"none.gusset\"\na : 1\nb = aa * 2\nc = d\n")
	write("changed.gusset", "a : 3\n")
	write(used, "use \"rack.gusset\"\nb = rack.a\n")
	write("dir"+bad+"/rack.gusset", "a : 1\n")
	cuts := "cut" + bad + ".gusset"
	write(cuts, "table t\n  n | l [in]\n  a | 40\ny = stock_needed(t, 1, .l, 1 [in], 36 [in], 3 [in])\n")
	none, book := "none"+bad, "out"+bad+".xlsx"
	calls := map[string][][]string{
		"show": {
			{sheet}, {faulty}, {sheet, used}, {none}, {sheet, "--page", "Wing"}, {sheet, "--csv"},
			{sheet, "--set", "x=1"}, {sheet, "--variant", "w"}, {filepath.Dir(used)},
		},
		"why":     {{sheet, "b"}, {sheet, "none"}, {faulty, "b"}, {none, "b"}, {sheet}, {sheet, "b", "c"}},
		"compare": {{sheet}, {sheet, used}, {faulty}, {sheet, none}, {"changed.gusset"}},
		"changes": {
			{sheet, "--from", bad}, {faulty, "--from", "x"}, {none, "--from", "x"}, {sheet}, {used}, {sheet, cuts},
		},
		"ripple": {
			{"--set", "a=2", sheet}, {"--set", "rack.a=2", filepath.Dir(used)},
			{"--set", "rack.a=2", "--csv", used}, {"--set", "a=2", "--write", sheet}, {"--set", "a=2", faulty},
			{"--set", "x=2", sheet}, {"--set", "a=2", none}, {"--was", sheet, "--now", sheet, used},
			{"--was", faulty, used}, {"--was", used, sheet},
		},
		"choose": {
			{sheet, "a: 1, 2"}, {faulty, "a: 1, 2"}, {none, "a"}, {sheet, bad}, {sheet, "a: 1, 2", "--least", bad},
			{sheet, "a: 1, 2", "--without", bad}, {sheet, bad + ": 1, 2"}, {sheet, "a: " + bad}, {sheet},
			{sheet, "a: 3, 4", "--least", "b", "--csv"}, {sheet, "a: 3, 4", "--write"}, {"a", sheet},
			{used, "rack.a: 3, 4", "--write"},
		},
		"odds": {{sheet}, {sheet, "b"}, {sheet, "x"}, {faulty}, {none}, {sheet, used}},
		"cut":  {{cuts}, {cuts, "--stock", bad}, {cuts, "--json"}, {sheet}, {faulty}, {none}, {sheet, cuts}},
		"fill": {{sheet}, {sheet, "a"}, {sheet, "--page", "x"}, {used}, {faulty}, {none}, {sheet, bad}},
		"tidy": {{"--check", sheet}, {sheet}, {faulty}, {none}},
		"export": {
			{sheet}, {sheet, "-o", book}, {faulty, "-o", book}, {sheet, "-o", none},
			{sheet, "-o", none + "/x.xlsx"}, {sheet, "-o", sheet + ".xlsx"},
		},
		"report": {
			{sheet}, {sheet, "-o", bad + ".html"}, {faulty, "-o", bad + ".html"}, {sheet, "-o", none},
			{sheet, "-o", none + "/x.html"}, {sheet, "-o", sheet + ".html"}, {sheet, "--variant", bad, "-o", "x.html"},
		},
		"import": {
			{book, sheet}, {book, faulty}, {book, used}, {book, sheet, "--write"}, {none + ".xlsx", sheet},
			{book}, {sheet, book}, {none, sheet}, {none + ".txt", sheet},
		},
		"new": {
			{"new" + bad}, {sheet}, {none + "/x.gusset"}, {"p" + bad, "powered"},
			{"powered" + bad + ".gusset", "--from", "powered"}, {"x", "--from", bad},
		},
		"units": {{bad}}, "library": {{bad}},
		"watch":      {{none}, {sheet, "--page", "Wing"}, {sheet, used}},
		"completion": {{bad}},
		"help":       {{bad}},
	}
	order := []string{
		"show", "why", "odds", "compare", "changes", "ripple", "choose", "cut", "fill", "tidy", "report", "export", "import",
		"new", "units", "library", "watch", "completion", "help",
	}
	for _, cmd := range rootCommand().Commands() {
		require.Contains(t, order, cmd.Name(), "this command is not tried")
	}
	for _, name := range order {
		for _, args := range calls[name] {
			var out, errs bytes.Buffer
			status := run(append([]string{name}, args...), strings.NewReader(""), &out, &errs)
			for _, said := range []string{out.String(), errs.String()} {
				for _, c := range said {
					require.False(t, c != '\n' && c != '\t' && (unicode.IsControl(c) || c == 0x202e), "%s %q: %q", name, args, said)
				}
				require.NotContains(t, said, "\nY", "%s %q", name, args)
			}
			require.True(t, name == "tidy" || out.Len()+errs.Len() > 0, "%s %q, status %d", name, args, status)
		}
	}
}
