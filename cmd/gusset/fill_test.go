package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/sheets/project"
)

// TestFillsAndAnEditorAtOnce: of two fills and an editor that write one sheet at the same time, all that each has
// written is in it at the end.
func TestFillsAndAnEditorAtOnce(t *testing.T) {
	t.Chdir(t.TempDir())
	const lines = 12
	var sheet strings.Builder
	for _, who := range []string{"a", "b", "c"} {
		for i := range lines {
			fmt.Fprintf(&sheet, "%s%d : // measured by %s\n", who, i, who)
		}
	}
	require.NoError(t, os.WriteFile("tern.gusset", []byte(sheet.String()), 0o644))
	said := make([]bytes.Buffer, 2)
	ended := make(chan error, 2)
	for k, who := range []string{"a", "b"} {
		cmd := process(t, "fill", "tern.gusset")
		cmd.Stdout, cmd.Stderr = &said[k], &said[k]
		in, err := cmd.StdinPipe()
		require.NoError(t, err)
		require.NoError(t, cmd.Start())
		go func() {
			for i := range lines {
				fmt.Fprintf(in, "%s%d : %d\n", who, i, i+1)
				time.Sleep(time.Duration(3+4*len(who)+k) * time.Millisecond)
			}
			in.Close()
			ended <- cmd.Wait()
		}()
	}
	for i := range lines { // as editors do that look whether the file is what they have read
		line := fmt.Sprintf("c%d : // measured by c\n", i)
		require.Eventually(t, func() bool {
			return project.Edit("tern.gusset", func(old []byte) ([]byte, error) {
				return bytes.Replace(old, []byte(line), fmt.Appendf(nil, "c%d : %d // by c\n", i, i), 1), nil
			}) == nil
		}, 10*time.Second, time.Millisecond)
		time.Sleep(5 * time.Millisecond)
	}
	first, second := <-ended, <-ended
	require.NoError(t, errors.Join(first, second), said[0].String()+said[1].String())
	data, err := os.ReadFile("tern.gusset")
	require.NoError(t, err)
	for i := range lines {
		assert.Contains(t, string(data), fmt.Sprintf("a%d : %d", i, i+1))
		assert.Contains(t, string(data), fmt.Sprintf("b%d : %d", i, i+1))
		assert.Contains(t, string(data), fmt.Sprintf("c%d : %d // by c\n", i, i))
	}
	assert.Equal(t, 3*lines, strings.Count(string(data), "\n"))
}

// TestFillKilled: whenever a fill is killed, the sheet is whole, and has each answer that the fill has told of.
func TestFillKilled(t *testing.T) {
	t.Chdir(t.TempDir())
	const lines = 300
	var sheet, answers strings.Builder
	for i := range lines {
		fmt.Fprintf(&sheet, "x%03d : // measured\n", i)
		fmt.Fprintf(&answers, "x%03d : %d\n", i, i)
	}
	rounds := 6
	if testing.Short() {
		rounds = 2
	}
	for round := range rounds {
		require.NoError(t, os.WriteFile("tern.gusset", []byte(sheet.String()), 0o644))
		cmd := process(t, "fill", "tern.gusset")
		cmd.Stdin = strings.NewReader(answers.String())
		out, err := cmd.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, cmd.Start())
		told, enough := 0, 5+7*round
		buf := make([]byte, 4096)
		for told < enough {
			n, err := out.Read(buf)
			told += strings.Count(string(buf[:n]), "written;")
			require.NoError(t, err)
		}
		require.NoError(t, cmd.Process.Kill())
		rest, _ := io.ReadAll(out)
		told += strings.Count(string(rest), "written;")
		cmd.Wait()
		data, err := os.ReadFile("tern.gusset")
		require.NoError(t, err)
		assert.Equal(t, lines, strings.Count(string(data), "\n"))
		for i := range told {
			assert.Contains(t, string(data), fmt.Sprintf("x%03d : %d", i, i))
		}
	}
	cmd := process(t, "fill", "tern.gusset") // what a killed run has left behind goes with the next answer
	cmd.Stdin = strings.NewReader("x299 : 7\n")
	require.NoError(t, cmd.Run())
	left, err := filepath.Glob(".gusset-*")
	require.NoError(t, err)
	assert.Empty(t, left)
}
