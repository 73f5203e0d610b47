package text

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestCorpus reads the faulty sheets of the whole project. What is reported of a sheet's text is what the whole program
// reports, word for word; testdata/corpus.txt says which of the messages are ours, by their codes, and, in brackets,
// what the lines that could not be read were to be: a cell, a check or something else, and the name that it was to set.
func TestCorpus(t *testing.T) {
	archives, err := filepath.Glob("../../testdata/errors/*.txtar")
	require.NoError(t, err)
	require.NotEmpty(t, archives)
	var codes strings.Builder
	for _, path := range archives {
		topic := strings.TrimSuffix(filepath.Base(path), ".txtar")
		_, parts := readArchive(t, path)
		var found Diags
		var unread []*Bad
		for _, p := range parts {
			if !strings.HasSuffix(p.name, ".want") {
				if !strings.HasSuffix(p.name, ".gusset") {
					continue
				}
				checkLaws(t, p.data)
				f, diags := Parse(NewSource(p.name, p.data))
				checkFirstLine(t, p.data, diags)
				found = append(found, diags...)
				unread = append(unread, badNodes(f)...)
				continue
			}
			name := strings.TrimSuffix(p.name, ".want")
			for _, d := range found {
				assert.Contains(t, string(p.data), d.Error(), "%s: %s", topic, name)
			}
			if len(found) > 0 {
				fmt.Fprintf(&codes, "%s %s:", topic, name)
				for _, d := range found {
					fmt.Fprintf(&codes, " %s", d.Code)
				}
				for _, b := range unread {
					fmt.Fprintf(&codes, " (%s%s)", []string{"", "cell ", "check "}[b.Kind], b.Name.Text)
				}
				codes.WriteByte('\n')
			}
			found, unread = nil, nil
		}
	}
	const golden = "testdata/corpus.txt"
	if *update {
		require.NoError(t, os.WriteFile(golden, []byte(codes.String()), 0o666))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, string(want), codes.String())
}

// checkFirstLine shows that a line is judged alike where it is the first of a file: the comment above it is left out.
func checkFirstLine(t *testing.T, data []byte, diags Diags) {
	_, rest, ok := bytes.Cut(data, []byte("\n"))
	if !ok || !bytes.HasPrefix(data, []byte("// ")) {
		return
	}
	type said struct {
		code string
		at   Span
	}
	gone := int32(len(data) - len(rest))
	var want, got []said
	for _, d := range diags {
		want = append(want, said{d.Code, Span{d.Span.Start - gone, d.Span.End - gone}})
	}
	_, without := Parse(NewSource("x.gusset", rest))
	for _, d := range without {
		got = append(got, said{d.Code, d.Span})
	}
	require.Equal(t, want, got, "%s", rest)
}

// badNodes returns what could not be read, in tables and below them too.
func badNodes(f *File) (all []*Bad) {
	add := func(nodes []Node) {
		for _, n := range nodes {
			if b, ok := n.(*Bad); ok {
				all = append(all, b)
			}
		}
	}
	add(f.Nodes)
	for _, n := range f.Nodes {
		switch n := n.(type) {
		case *Table:
			add(n.Body)
		case *Formula:
			add(n.Body)
		case *Variant:
			add(n.Body)
		}
	}
	return all
}

// TestGoodSheets reads the sheets that are right, those of the library and of the demos: nothing is reported of them,
// and they are laid out as Format does.
func TestGoodSheets(t *testing.T) {
	n := 0
	for _, pattern := range []string{"../../library/*.gusset", "../../library/starters/*.gusset",
		"../../testdata/*/*.gusset"} {
		sheets, err := filepath.Glob(pattern)
		require.NoError(t, err)
		for _, path := range sheets {
			data, err := os.ReadFile(path)
			require.NoError(t, err)
			f, diags := Parse(NewSource(path, data))
			assert.Empty(t, diags, path)
			assert.Equal(t, string(data), string(Format(f)), path)
			checkLaws(t, data)
			n++
		}
	}
	require.Greater(t, n, 20)
}
