package main

import (
	"fmt"
	"os"
	"os/exec"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// keyboard is a pseudo-terminal with a program on it (pts(4) of the Linux manual).
type keyboard struct {
	t      *testing.T
	master *os.File
	cmd    *exec.Cmd
	mu     sync.Mutex
	shown  strings.Builder
	seen   int
}

// onTerminal starts gusset on a terminal of its own.
func onTerminal(t *testing.T, args ...string) *keyboard {
	t.Helper()
	master, err := os.OpenFile("/dev/ptmx", os.O_RDWR|syscall.O_NOCTTY, 0)
	require.NoError(t, err)
	t.Cleanup(func() { master.Close() })
	fd := int(master.Fd())
	require.NoError(t, unix.IoctlSetPointerInt(fd, unix.TIOCSPTLCK, 0))
	n, err := unix.IoctlGetInt(fd, unix.TIOCGPTN)
	require.NoError(t, err)
	require.NoError(t, unix.IoctlSetWinsize(fd, unix.TIOCSWINSZ, &unix.Winsize{Row: 40, Col: 100}))
	slave, err := os.OpenFile(fmt.Sprintf("/dev/pts/%d", n), os.O_RDWR|syscall.O_NOCTTY, 0)
	require.NoError(t, err)
	defer slave.Close()
	k := &keyboard{t: t, master: master, cmd: process(t, args...)}
	k.cmd.Stdin, k.cmd.Stdout, k.cmd.Stderr = slave, slave, slave
	k.cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	require.NoError(t, k.cmd.Start())
	go func() {
		buf := make([]byte, 4096)
		for {
			n, err := master.Read(buf)
			k.mu.Lock()
			k.shown.Write(buf[:n])
			k.mu.Unlock()
			if err != nil {
				return // EIO once nobody has the other side open
			}
		}
	}()
	return k
}

// await waits until something new is on the screen.
func (k *keyboard) await(text string) {
	k.t.Helper()
	for deadline := time.Now().Add(20 * time.Second); ; time.Sleep(5 * time.Millisecond) {
		k.mu.Lock()
		all := k.shown.String()
		at := strings.Index(all[k.seen:], text)
		if at >= 0 {
			k.seen += at + len(text)
		}
		k.mu.Unlock()
		if at >= 0 {
			return
		}
		require.True(k.t, time.Now().Before(deadline), "%q is not on the screen:\n%s", text, all)
	}
}

func (k *keyboard) press(keys string) {
	k.t.Helper()
	_, err := k.master.WriteString(keys)
	require.NoError(k.t, err)
}

const terminalSheet = `sheet "Tern"
span [in]    :     // tip to tip
chord [in]   : 5 ? // at the root
grain [one of "along", "across"] :
tip [in]     :     // at the last rib
check small  = span * (chord + tip) < 400 [sq in] and grain == "across"
`

// TestFillOnTerminal: with a keyboard a line can be edited, a choice completed, a refused answer typed again, and
// Ctrl-C and . end it with what was written and what is left.
func TestFillOnTerminal(t *testing.T) {
	t.Chdir(t.TempDir())
	t.Setenv("NO_COLOR", "1")
	require.NoError(t, os.WriteFile("tern.gusset", []byte(terminalSheet), 0o644))
	k := onTerminal(t, "fill", "tern.gusset")
	k.await("span [in]  tip to tip")
	k.await("not given > ")
	k.press("3 oz\r")
	k.await("this is a mass, but [in] is a length")
	k.await("not given > ")
	k.press("365\x7f\x01\x1b[C\x1b[C\r") // a 5 too many, rubbed out; to the begin of the line, and right
	k.await("grain")
	k.await("not given > ")
	k.press("ac\t")
	k.await("across")
	k.press("\r")
	k.await("tip [in]")
	k.press("<\r")
	k.await("grain")
	k.await("across > ")
	k.press("\r")
	k.await("tip [in]")
	k.await("not given > ")
	k.press("\x03")
	k.await("Written: 2 answers in tern.gusset. Left: 2 that a check or a chief result needs, 0 others")
	require.NoError(t, k.cmd.Wait())
	data, err := os.ReadFile("tern.gusset")
	require.NoError(t, err)
	assert.Contains(t, string(data), "span [in]    : 36  // tip to tip\n")
	assert.Contains(t, string(data), "grain [one of \"along\", \"across\"] : \"across\"\n")

	k = onTerminal(t, "fill", "tern.gusset")
	k.await("not given > ")
	k.press("4\rok\r") // pasted
	k.await("small holds now ?")
	k.await("5 in ? > ")
	k.await("confirmed")
	k.await("Nothing is left to ask")
	require.NoError(t, k.cmd.Wait())
}

// TestFillIsTerminated: a signal ends a fill with what was written, and leaves the terminal as it was.
func TestFillIsTerminated(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("tern.gusset", []byte(terminalSheet), 0o644))
	k := onTerminal(t, "fill", "tern.gusset")
	k.await("not given > ")
	before, err := unix.IoctlGetTermios(int(k.master.Fd()), unix.TCGETS)
	require.NoError(t, err)
	assert.Zero(t, before.Lflag&unix.ICANON, "it reads key by key")
	require.NoError(t, k.cmd.Process.Signal(syscall.SIGTERM))
	k.await("Written: nothing.")
	require.Error(t, k.cmd.Wait())
	assert.Equal(t, 128+15, shellStatus(k.cmd))
	after, err := unix.IoctlGetTermios(int(k.master.Fd()), unix.TCGETS)
	require.NoError(t, err)
	assert.NotZero(t, after.Lflag&unix.ICANON, "it reads line by line again")
}
