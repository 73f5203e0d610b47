package project

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// write writes a file of a test.
func write(t testing.TB, file, data string) string {
	t.Helper()
	require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
	require.NoError(t, os.WriteFile(file, []byte(data), 0o644))
	return file
}

// requireText holds what is in a file against what should be.
func requireText(t testing.TB, want, file string) {
	t.Helper()
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Equal(t, want, string(data))
}

// requireAlone requires that a folder holds these files and nothing else: no temporary file is left.
func requireAlone(t testing.TB, folder string, names ...string) {
	t.Helper()
	entries, err := os.ReadDir(folder)
	require.NoError(t, err)
	var have []string
	for _, e := range entries {
		have = append(have, e.Name())
	}
	require.ElementsMatch(t, names, have)
}

func requireKind(t testing.TB, want Kind, err error) {
	t.Helper()
	require.Error(t, err)
	require.Equal(t, want, KindOf(err), err.Error())
}

func TestEdit(t *testing.T) {
	dir := t.TempDir()
	file := write(t, filepath.Join(dir, "tern.gusset"), "span : 30\n")
	require.NoError(t, Edit(file, func(old []byte) ([]byte, error) {
		return bytes.Replace(old, []byte("30"), []byte("31"), 1), nil
	}))
	requireText(t, "span : 31\n", file)

	// what stays the same is not written
	before, err := os.Stat(file)
	require.NoError(t, err)
	require.NoError(t, Edit(file, func(old []byte) ([]byte, error) { return old, nil }))
	after, err := os.Stat(file)
	require.NoError(t, err)
	require.True(t, os.SameFile(before, after))

	// an error of the change is that of Edit, and nothing is written
	mine := errors.New("mine")
	require.ErrorIs(t, Edit(file, func([]byte) ([]byte, error) { return []byte("lost"), mine }), mine)
	requireText(t, "span : 31\n", file)
	requireAlone(t, dir, "tern.gusset")

	requireKind(t, Missing, Edit(filepath.Join(dir, "none.gusset"), nil))
	requireKind(t, Missing, Edit(filepath.Join(dir, "nowhere", "none.gusset"), nil))
	requireKind(t, NotPlain, Edit(dir, nil))
}

// TestEditKeepsASave: what an editor saves between reading and writing stays, however it saves.
func TestEditKeepsASave(t *testing.T) {
	saves := map[string]func(t *testing.T, file string){
		"into the file": func(t *testing.T, file string) { write(t, file, "span : 32 // saved\n") },
		"of the same size": func(t *testing.T, file string) {
			info, err := os.Stat(file)
			require.NoError(t, err)
			write(t, file, "span : 99\n")
			require.NoError(t, os.Chtimes(file, info.ModTime(), info.ModTime()))
		},
		"by renaming": func(t *testing.T, file string) {
			require.NoError(t, os.Rename(write(t, file+"~", "span : 33\n"), file))
		},
		"by appending": func(t *testing.T, file string) {
			f, err := os.OpenFile(file, os.O_APPEND|os.O_WRONLY, 0)
			require.NoError(t, err)
			_, err = f.WriteString("chord : 5\n")
			require.NoError(t, errors.Join(err, f.Close()))
		},
		"emptied": func(t *testing.T, file string) { write(t, file, "") },
	}
	for name, save := range saves {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			file := write(t, filepath.Join(dir, "tern.gusset"), "span : 30\n")
			var saved []byte
			err := Edit(file, func(old []byte) ([]byte, error) {
				save(t, file)
				saved, _ = os.ReadFile(file)
				return append(old, "// ours\n"...), nil
			})
			requireKind(t, Changed, err)
			requireText(t, string(saved), file)
			requireAlone(t, dir, "tern.gusset")
		})
	}

	t.Run("deleted", func(t *testing.T) {
		dir := t.TempDir()
		file := write(t, filepath.Join(dir, "tern.gusset"), "span : 30\n")
		requireKind(t, Changed, Edit(file, func([]byte) ([]byte, error) { return nil, os.Remove(file) }))
		requireAlone(t, dir)
	})

	// of several files none is written when one has been saved meanwhile
	t.Run("of two", func(t *testing.T) {
		dir := t.TempDir()
		a, b := write(t, filepath.Join(dir, "a.gusset"), "a : 1\n"), write(t, filepath.Join(dir, "b.gusset"), "b : 1\n")
		requireKind(t, Changed, EditAll([]string{a, b}, func([][]byte) ([][]byte, error) {
			write(t, b, "b : 3\n")
			return [][]byte{[]byte("a : 2\n"), []byte("b : 2\n")}, nil
		}))
		requireText(t, "a : 1\n", a)
		requireText(t, "b : 3\n", b)
		requireAlone(t, dir, "a.gusset", "b.gusset")
	})
}

// TestEditsFollowOneAnother: of edits at the same time none is lost.
func TestEditsFollowOneAnother(t *testing.T) {
	dir := t.TempDir()
	file := write(t, filepath.Join(dir, "tern.gusset"), "")
	other := write(t, filepath.Join(dir, "stock", "rack.gusset"), "")
	const each = 8
	done := make(chan error)
	edit := func(files ...string) {
		for range each {
			if err := EditAll(files, func(old [][]byte) ([][]byte, error) {
				for i := range old {
					old[i] = append(old[i], "x"...)
				}
				return old, nil
			}); err != nil {
				done <- err
				return
			}
		}
		done <- nil
	}
	go edit(file)
	go edit(other, file)
	go edit(file, other)
	go edit(file)
	for range 4 {
		require.NoError(t, <-done)
	}
	requireText(t, strings.Repeat("x", 4*each), file)
	requireText(t, strings.Repeat("x", 2*each), other)
	requireAlone(t, dir, "tern.gusset", "stock")
}

func TestOutput(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	sheet := write(t, in("tern.gusset"), "span : 30\n")
	read := []string{in("bench.gusset"), sheet}
	require.NoError(t, Output(in("out.xlsx"), []byte("PK\x03\x04 one"), read))
	require.NoError(t, Output(in("out.xlsx"), []byte("PK\x03\x04 two"), read))
	requireText(t, "PK\x03\x04 two", in("out.xlsx"))

	// an empty file, as a dialogue for saving may make one, is written
	require.NoError(t, Output(write(t, in("empty.xlsx"), ""), []byte("PK\x03\x04"), read))

	requireKind(t, WouldBeRead, Output(sheet, []byte("PK\x03\x04"), read))
	requireKind(t, Exists, Output(write(t, in("notes.xlsx"), "P"), []byte("PK\x03\x04"), read))
	requireKind(t, Exists, Output(write(t, in("other.xlsx"), "a : 1\n"), []byte("PK\x03\x04"), read))
	requireKind(t, Missing, Output(in("nowhere/out.xlsx"), []byte("PK\x03\x04"), read))
	requireKind(t, NotPlain, Output(dir, []byte("PK\x03\x04"), read))
	requireText(t, "span : 30\n", sheet)
	requireAlone(t, dir, "tern.gusset", "out.xlsx", "empty.xlsx", "notes.xlsx", "other.xlsx")
}

func TestCreate(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "tern.gusset")
	require.NoError(t, Create(file, []byte("span : 30\n")))
	requireKind(t, Exists, Create(file, []byte("lost")))
	requireText(t, "span : 30\n", file)
	requireKind(t, Missing, Create(filepath.Join(dir, "nowhere", "tern.gusset"), nil))
	requireAlone(t, dir, "tern.gusset")
}

// TestLeftovers: temporary files of runs that were killed go with the next write in their folder, and no other file.
func TestLeftovers(t *testing.T) {
	dir := t.TempDir()
	file := write(t, filepath.Join(dir, "tern.gusset"), "span : 30\n")
	for _, name := range []string{".gusset-1", ".gusset-4000000000", ".gusset-mine", ".gusset-12.gusset", "x.gusset-1"} {
		write(t, filepath.Join(dir, name), "half")
	}
	require.NoError(t, os.Mkdir(filepath.Join(dir, ".gusset-7"), 0o755))
	require.NoError(t, Edit(file, func(old []byte) ([]byte, error) { return append(old, '\n'), nil }))
	requireAlone(t, dir, "tern.gusset", ".gusset-mine", ".gusset-12.gusset", "x.gusset-1", ".gusset-7")
}

func TestMessagesHaveTheNameThatWasTyped(t *testing.T) {
	t.Chdir(t.TempDir())
	write(t, "shelf/real.gusset", "span : 30\n")
	require.NoError(t, os.Chmod("shelf/real.gusset", 0o444))
	for _, tt := range []struct{ file, want string }{
		{
			"shelf/real.gusset",
			"shelf/real.gusset: this is marked read-only, so it is left as it is\n    hint: if it is to be written: " +
				makeWritable + " shelf/real.gusset",
		},
		{
			"./shelf/../shelf/real.gusset",
			"./shelf/../shelf/real.gusset: this is marked read-only, so it is left as it is\n    hint: if it is to be written: " + makeWritable + " ./shelf/../shelf/real.gusset",
		},
		{"a\x1b[31m\nb.gusset", "a\ufffd[31m\ufffdb.gusset: there is no such file"},
	} {
		err := Edit(tt.file, func(old []byte) ([]byte, error) { return nil, nil })
		assert.EqualError(t, err, tt.want)
	}
}
