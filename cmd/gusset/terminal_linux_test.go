package main

import (
	"bytes"
	"fmt"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// TestPageIsAsWideAsTheTerminal shows that columns have the terminal's own width, that COLUMNS wins, and that without a
// terminal a page is as wide as a text can be read.
func TestPageIsAsWideAsTheTerminal(t *testing.T) {
	out := os.Stdout
	t.Cleanup(func() {
		os.Stdout = out
		fitPage("", 0)
	})
	os.Stdout = terminalOf(t, 132)
	fitPage("", terminalWidth())
	assert.Equal(t, []int{132, widest}, []int{tableWidth, pageWidth})
	fitPage("72", terminalWidth())
	assert.Equal(t, []int{72, 72}, []int{tableWidth, pageWidth})
	fitPage("none", terminalWidth())
	assert.Equal(t, 132, tableWidth)
	var err error
	os.Stdout, err = os.Create(t.TempDir() + "/file")
	require.NoError(t, err)
	fitPage("", terminalWidth())
	assert.Equal(t, []int{widest, widest}, []int{tableWidth, pageWidth})
}

// terminalOf returns a terminal of some columns.
func terminalOf(t *testing.T, columns uint16) *os.File {
	other, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	if err != nil {
		t.Skip("no terminals here: ", err)
	}
	t.Cleanup(func() { other.Close() })
	fd := int(other.Fd())
	require.NoError(t, unix.IoctlSetPointerInt(fd, unix.TIOCSPTLCK, 0))
	number, err := unix.IoctlGetInt(fd, unix.TIOCGPTN)
	require.NoError(t, err)
	terminal, err := os.OpenFile(fmt.Sprintf("/dev/pts/%d", number), os.O_RDWR|unix.O_NOCTTY, 0)
	require.NoError(t, err)
	t.Cleanup(func() { terminal.Close() })
	require.NoError(t, unix.IoctlSetWinsize(fd, unix.TIOCSWINSZ, &unix.Winsize{Row: 40, Col: columns}))
	return terminal
}

// A builder who types tidy alone is asked for the sheet, and not left waiting; what comes in from elsewhere is tidied.
func TestTidyDoesNotWaitForTheKeyboard(t *testing.T) {
	var out, errs bytes.Buffer
	assert.Equal(t, wrongUsage, run([]string{"tidy"}, terminalOf(t, 80), &out, &errs))
	assert.Equal(t, "which sheet? For example: gusset tidy my-model.gusset\n", errs.String())
	nothing, err := os.Open(os.DevNull)
	require.NoError(t, err)
	defer nothing.Close()
	assert.Equal(t, allWell, run([]string{"tidy", "-"}, nothing, &out, &errs))
	assert.Equal(t, allWell, run([]string{"tidy"}, nothing, &out, &errs))
	assert.Empty(t, out.String())
	assert.Equal(t, allWell, run([]string{"tidy"}, bytes.NewBufferString("a [in]:3\n"), &out, &errs))
	assert.Equal(t, "a               [in]        : 3\n", out.String())
}
