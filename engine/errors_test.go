package engine_test

import (
	"bytes"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/text"
)

// The corpus of slips: each archive in testdata/errors holds a family of faulty sheets, and the whole of what is said
// about each. A case is a sheet NAME.gusset and what is wanted, NAME.want; files before it, since the last case, are
// the project's other files. The sheet's first line says what the builder meant.

var update = flag.Bool("update", false, "rewrite what the archives of slips want")

// slipCase is one faulty sheet with the files beside it.
type slipCase struct {
	name  string // of the sheet, without its ending
	files fstest.MapFS
	want  string
}

// section is one file of an archive.
type section struct {
	name string
	data []byte
}

var sectionLine = regexp.MustCompile(`(?m)^-- (.+) --\n`)

// readSections cuts an archive at its lines `-- NAME --`. What stands before the first is its comment.
func readSections(t *testing.T, path string) (comment string, list []section) {
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	places := sectionLine.FindAllSubmatchIndex(data, -1)
	require.NotEmpty(t, places)
	for i, at := range places {
		end := len(data)
		if i+1 < len(places) {
			end = places[i+1][0]
		}
		list = append(list, section{string(data[at[2]:at[3]]), data[at[1]:end]})
	}
	return string(data[:places[0][0]]), list
}

// slipCases gathers the sections of an archive into cases.
func slipCases(t *testing.T, list []section) []slipCase {
	var cases []slipCase
	seen := map[string]bool{}
	files := fstest.MapFS{}
	for _, s := range list {
		name, isWant := strings.CutSuffix(s.name, ".want")
		if !isWant {
			files[s.name] = &fstest.MapFile{Data: s.data}
			continue
		}
		require.Contains(t, files, name+".gusset", "%s.want has no sheet", name)
		require.False(t, seen[name], "two cases are called %s", name)
		seen[name] = true
		cases = append(cases, slipCase{name, files, string(s.data)})
		files = fstest.MapFS{}
	}
	require.Empty(t, files, "a sheet without a .want")
	return cases
}

// TestSlips holds every faulty sheet against the whole of what is wanted to be said about it.
func TestSlips(t *testing.T) {
	archives, err := filepath.Glob("../testdata/errors/*.txtar")
	require.NoError(t, err)
	require.NotEmpty(t, archives)
	total := 0
	for _, path := range archives {
		family := strings.TrimSuffix(filepath.Base(path), ".txtar")
		comment, sections := readSections(t, path)
		cases := slipCases(t, sections)
		total += len(cases)
		got := map[string]string{}
		t.Run(family, func(t *testing.T) {
			for _, c := range cases {
				t.Run(c.name, func(t *testing.T) {
					got[c.name] = runSlip(t, family, c)
				})
			}
		})
		if *update {
			rewrite(t, path, comment, sections, got)
		}
	}
	assert.GreaterOrEqual(t, total, 75)
}

var meant = regexp.MustCompile(`^// meant(?: \((\d+) slips\))?: .+\n`)

// runSlip loads a faulty sheet and returns what is said about it.
func runSlip(t *testing.T, family string, c slipCase) string {
	sheet := c.name + ".gusset"
	head := meant.FindSubmatch(c.files[sheet].Data)
	require.NotNil(t, head, "the first line must be: // meant: ...")
	count := "1"
	if len(head[1]) > 0 {
		count = string(head[1])
	}
	diags := problems(t, family, c.files, sheet)
	require.NotEmpty(t, diags, "nothing is said about it")
	assert.Equal(t, count, fmt.Sprint(len(diags)), "messages; one slip is told of once\n%s", diags.Error())
	checkMessages(t, diags)
	said := diags.Error() + "\n"
	if !*update {
		assert.Equal(t, c.want, said)
	}
	return said
}

// problems loads a sheet and returns what is said about it. Only the family called library has the library at hand, so
// that the other families do not change when it grows.
func problems(t *testing.T, family string, files fs.FS, sheet string) text.Diags {
	src := engine.Sources{Files: files}
	if family == "library" {
		src.Library = library.Pages()
	}
	m, err := engine.Load(src, sheet)
	require.NoError(t, err)
	explainAll(t, m)
	return m.Problems()
}

// explainAll asks for the reason of every cell, and what else can be asked: a faulty sheet can be asked about like any
// other.
func explainAll(t *testing.T, m *engine.Model) {
	for _, page := range m.Pages() {
		for _, it := range page.Items {
			if it.Cell != nil {
				if _, err := m.Why(it.Cell.Name); err != nil {
					assert.NotEmpty(t, err.Error())
				}
			}
		}
	}
	m.Examples()
	m.Cautions()
	formulas := m.Formulas()
	for _, g := range engine.Givens(m) {
		assert.Nil(t, formulas(g.Place), g.Name)
		engine.WrittenAt(m, g.Place)
	}
	for _, c := range engine.Unused(m) {
		engine.DoubtOf(m, c.Place)
	}
	if _, err := engine.AsData(m); err != nil {
		assert.ErrorIs(t, err, engine.ErrUnread)
	}
}

// jargon is what no builder says.
var jargon = regexp.MustCompile(`(?i)\b(NaN|token|node|AST|identifier|expression|parser?|` +
	`parse error|operand|operator|dimension|argument|nil|null|boolean|string literal|syntax|slot|int|float)\b`)

// checkMessages sees to what holds of every message: it has a code and a place, starts in lower case, has no full stop,
// and speaks as builders do.
func checkMessages(t *testing.T, diags text.Diags) {
	for _, d := range diags {
		assert.NotEmpty(t, d.Code)
		require.NotEmpty(t, d.Msg)
		assert.Positive(t, d.Span.Len(), "%s marks nothing", d.Msg)
		assert.LessOrEqual(t, int(d.Span.End), len(d.Source.Text()))
		first, _ := utf8.DecodeRuneInString(d.Msg)
		quoted := strings.Contains(d.Source.Text(), strings.Fields(d.Msg)[0]) // a name of the builder's own
		assert.True(t, quoted || !unicode.IsUpper(first), "%s starts with a capital", d.Msg)
		assert.False(t, strings.HasSuffix(d.Msg, "."), "%s ends in a full stop", d.Msg)
		assert.NotContains(t, d.Hint, "\n")
		for _, line := range append([]string{d.Msg, d.Hint}, d.Notes...) {
			assert.NotRegexp(t, jargon, line)
			assert.NotContains(t, line, "%!", "a message with a hole")
		}
	}
}

// rewrite writes an archive with what is said now.
func rewrite(t *testing.T, path, comment string, sections []section, got map[string]string) {
	out := bytes.NewBufferString(comment)
	for _, s := range sections {
		if name, isWant := strings.CutSuffix(s.name, ".want"); isWant { // a case that was not run keeps what it wants
			if said, ran := got[name]; ran {
				s.data = []byte(said)
			}
		}
		out.WriteString("-- " + s.name + " --\n")
		out.Write(s.data)
	}
	require.NoError(t, os.WriteFile(path, out.Bytes(), 0o666))
}

// TestSlipsNotTyped holds slips that no archive of plain text can hold: bytes that are no text, and sheets that are too
// large. Wanted is the first line of each message.
func TestSlipsNotTyped(t *testing.T) {
	for _, tt := range []struct{ name, sheet, want string }{
		{"a sheet saved in another encoding", "gr\xf6sse [mm] : 120\n", "x.gusset:1:3: the file is not UTF-8 text"},
		{"a note saved in another encoding", "span [in] : 50 // 50\xbd on the plan\n",
			"x.gusset:1:21: the file is not UTF-8 text"},
		{"a sheet saved as UTF-16", "\xff\xfes\x00p\x00a\x00n\x00", "x.gusset:1:1: the file is not UTF-8 text"},
		{"a control character", "span [in] : 50\x07\n", "x.gusset:1:15: the file holds a control character (7 hex)"},
		{"a zero byte", "span [in] : 50\x00\n", "x.gusset:1:15: the file holds a control character (0 hex)"},
		{"a mark that turns writing round", "span [in] : 50 // \u202ereversed\n",
			"x.gusset:1:19: the file holds a control character (202E hex)"},
		{"a formula without end", "a = 1" + strings.Repeat(" + 1", 3000) + "\n",
			"x.gusset:1:5: the formula is longer than 8 KiB"},
		{"a formula of many parts", "a = 1" + strings.Repeat("+1", 1500) + "\n",
			"x.gusset:1:5: this formula has too many parts"},
		{"brackets in brackets", "a = " + strings.Repeat("(", 80) + "1" + strings.Repeat(")", 80) + "\n",
			"x.gusset:1:69: brackets are more than 64 deep"},
		{"brackets without end", "a = " + strings.Repeat("(", 5000) + "\n", "x.gusset:1:69: brackets are more than 64 deep"},
		{"signs in a row", "a = " + strings.Repeat("-", 40) + "1\n", "x.gusset:1:13: too many signs in a row"},
		{"a line without end", "span [in] : 50 // " + strings.Repeat("x", 20000) + "\n",
			"x.gusset:1:1: the line is longer than 16 KiB"},
		{"columns without end", "table t\n  a | b" + strings.Repeat(" | c", 300) + "\n",
			"x.gusset:2:15: the table has a column c already"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			diags := problems(t, "", fstest.MapFS{"x.gusset": {Data: []byte(tt.sheet)}}, "x.gusset")
			require.Len(t, diags, 1)
			first, _, _ := strings.Cut(diags.Error(), "\n")
			assert.Equal(t, tt.want, first)
			checkMessages(t, diags)
		})
	}
}
