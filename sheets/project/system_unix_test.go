//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package project

import (
	"io"
	"io/fs"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// TestMain runs a part of a test in a process of its own when it is asked to.
func TestMain(m *testing.M) {
	switch os.Getenv("GUSSET_TEST_PART") {
	case "edit":
		err := Edit(os.Args[1], func(old []byte) ([]byte, error) { return append(old, "ours\n"...), nil })
		if err != nil {
			os.Stderr.WriteString(err.Error())
		}
		os.Exit(int(KindOf(err)))
	case "wait":
		waitHalfway(os.Args[1])
	case "abandon":
		abandonHalfway(os.Args[1], os.Args[2])
	}
	os.Exit(m.Run())
}

// part runs a part of a test with some arguments.
func part(t *testing.T, name string, args ...string) *exec.Cmd {
	self, err := os.Executable()
	require.NoError(t, err)
	cmd := exec.Command(self, args...)
	cmd.Env = append(os.Environ(), "GUSSET_TEST_PART="+name)
	return cmd
}

// TestNothingBlocks: a pipe, a socket or a device is not opened, to be read or to be written over.
func TestNothingBlocks(t *testing.T) {
	dir := t.TempDir()
	pipe, socket := filepath.Join(dir, "pipe.gusset"), filepath.Join(dir, "s")
	require.NoError(t, syscall.Mkfifo(pipe, 0o644))
	l, err := net.Listen("unix", socket)
	require.NoError(t, err)
	defer l.Close()
	user := write(t, filepath.Join(dir, "user.gusset"), "use \"pipe.gusset\" as q\na = q.x\n")
	for _, file := range []string{pipe, socket, "/dev/null", dir} {
		_, err := Read(file)
		requireKind(t, NotPlain, err)
		_, err = Load(file)
		requireKind(t, NotPlain, err)
		requireKind(t, NotPlain, Edit(file, nil))
		requireKind(t, NotPlain, Output(file, nil, nil))
		requireKind(t, Exists, Create(file, nil))
	}
	s, err := Load(user)
	require.NoError(t, err)
	require.Error(t, s.Model.Problems().Err())
	require.NoError(t, os.Remove(filepath.Join(dir, "user.gusset")))
	require.NoError(t, syscall.Mkfifo(filepath.Join(dir, "bench.gusset"), 0o644))
	_, err = Load(write(t, filepath.Join(dir, "in", "tern.gusset"), "a : 1\n"))
	require.NoError(t, err)
}

// TestWhatBelongsToAFile: mode, owner and group stay with a file, links to it stay links, and what cannot be
// kept is not lost in silence.
func TestWhatBelongsToAFile(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	grow := func(old []byte) ([]byte, error) { return append(old, "b : 2\n"...), nil }
	const grown = "a : 1\nb : 2\n"

	for _, mode := range []fs.FileMode{0o600, 0o640, 0o666, 0o755 | fs.ModeSetgid} {
		file := write(t, in("mode.gusset"), "a : 1\n")
		require.NoError(t, os.Chmod(file, mode))
		require.NoError(t, Edit(file, grow))
		requireText(t, grown, file)
		info, err := os.Stat(file)
		require.NoError(t, err)
		require.Equal(t, mode, info.Mode())
	}

	file := write(t, in("real.gusset"), "a : 1\n")
	require.NoError(t, os.Symlink("real.gusset", in("link.gusset")))
	require.NoError(t, Edit(in("link.gusset"), grow))
	requireText(t, grown, file)
	to, err := os.Readlink(in("link.gusset"))
	require.NoError(t, err)
	require.Equal(t, "real.gusset", to)

	require.NoError(t, os.Symlink("nothing", in("dangling")))
	requireKind(t, Missing, Edit(in("dangling"), grow))
	requireKind(t, Missing, Output(in("dangling"), []byte("x"), nil))
	requireKind(t, Exists, Create(in("dangling"), []byte("x")))

	require.NoError(t, os.Link(file, in("twin.gusset")))
	requireKind(t, WouldLose, Edit(file, grow))
	requireText(t, grown, in("twin.gusset"))

	marked := write(t, in("marked.gusset"), "a : 1\n")
	require.NoError(t, os.Chmod(marked, 0o444))
	requireKind(t, WouldLose, Edit(marked, grow))
	requireKind(t, WouldLose, Output(marked, []byte("a : 2\n"), nil))
	requireText(t, "a : 1\n", marked)
}

// TestAnothersFile: the super-user leaves a file to its owner; somebody else does not take it over.
func TestAnothersFile(t *testing.T) {
	if os.Getuid() != 0 {
		t.Log("only the super-user can make a file that belongs to somebody else")
		return
	}
	const owner, other = 54321, 54322
	dir := t.TempDir()
	require.NoError(t, os.Chmod(dir, 0o777))
	require.NoError(t, os.Chmod(filepath.Dir(dir), 0o755))
	file := write(t, filepath.Join(dir, "tern.gusset"), "a : 1\n")
	require.NoError(t, os.Chown(file, owner, owner))
	require.NoError(t, os.Chmod(file, 0o666))
	require.NoError(t, part(t, "edit", file).Run())
	requireText(t, "a : 1\nours\n", file)
	info, err := os.Stat(file)
	require.NoError(t, err)
	require.EqualValues(t, owner, info.Sys().(*syscall.Stat_t).Uid)
	require.EqualValues(t, owner, info.Sys().(*syscall.Stat_t).Gid)
	require.Equal(t, fs.FileMode(0o666), info.Mode())

	program, err := os.ReadFile(must(os.Executable()))
	require.NoError(t, err)
	self := filepath.Join(dir, "program")
	require.NoError(t, os.WriteFile(self, program, 0o755))
	cmd := part(t, "edit", file)
	cmd.Path = self
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: other, Gid: other}}
	out, err := cmd.CombinedOutput()
	require.Error(t, err)
	require.Equal(t, int(WouldLose), cmd.ProcessState.ExitCode(), string(out))
	requireText(t, "a : 1\nours\n", file)
	require.NoError(t, os.Remove(self))
	requireAlone(t, dir, "tern.gusset")
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// abandonHalfway leaves a process in the middle of its work: one file is about to be replaced, another half created.
func abandonHalfway(file, created string) {
	_ = Edit(file, func([]byte) ([]byte, error) {
		t := must(locate(file))
		r := must(t.prepare(locks{filepath.Dir(t.real): func() {}}, []byte("half")))
		c := must(newTemporary(created, 0o666))
		must(c.WriteString("half"))
		before := len(must(os.ReadDir(filepath.Dir(file))))
		Abandon()
		go func() { _ = r.finish() }() // comes too late: it waits until the process has ended
		os.Exit(before)
		return nil, nil
	})
}

// TestAbandon: a process that is told to end leaves nothing half written.
func TestAbandon(t *testing.T) {
	dir := t.TempDir()
	file := write(t, filepath.Join(dir, "tern.gusset"), "a : 1\n")
	cmd := part(t, "abandon", file, filepath.Join(dir, "new.gusset"))
	out, err := cmd.CombinedOutput()
	require.Error(t, err)
	require.Equal(t, 3, cmd.ProcessState.ExitCode(), "both were there: %s", out)
	requireAlone(t, dir, "tern.gusset")
	requireText(t, "a : 1\n", file)
	require.NoError(
		t, Edit(file, func(old []byte) ([]byte, error) { return append(old, '\n'), nil }),
		"the lock went with the process",
	)
}

// waitHalfway writes beside a file, tells so, and goes on when its input ends.
func waitHalfway(file string) {
	err := Edit(file, func(old []byte) ([]byte, error) {
		t := must(newTemporaryIn(filepath.Dir(file), 0o666))
		defer t.remove()
		os.Stdout.WriteString("halfway\n")
		_, err := io.ReadAll(os.Stdin)
		return append(old, "theirs\n"...), err
	})
	os.Exit(int(KindOf(err)))
}

// TestTemporaryFileOfAnotherRun: what another process is writing is waited for, and its temporary file is let alone.
func TestTemporaryFileOfAnotherRun(t *testing.T) {
	dir := t.TempDir()
	file := write(t, filepath.Join(dir, "tern.gusset"), "a : 1\n")
	theirs := part(t, "wait", file)
	in := must(theirs.StdinPipe())
	out := must(theirs.StdoutPipe())
	require.NoError(t, theirs.Start())
	_, err := io.ReadFull(out, make([]byte, len("halfway\n")))
	require.NoError(t, err)
	ours := make(chan error)
	go func() {
		ours <- Edit(file, func(old []byte) ([]byte, error) { return append(old, "ours\n"...), nil })
	}()
	select {
	case err := <-ours:
		t.Fatal("not waited for", err)
	case <-time.After(100 * time.Millisecond):
	}
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, entries, 2)
	require.NoError(t, in.Close())
	require.NoError(t, theirs.Wait())
	require.NoError(t, <-ours)
	requireText(t, "a : 1\ntheirs\nours\n", file)
	requireAlone(t, dir, "tern.gusset")
}
