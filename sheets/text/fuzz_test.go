package text

import (
	"bytes"
	"flag"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// seeds are all sheets among the goldens, tidy or not, right or wrong.
func seeds(t testing.TB) [][]byte {
	paths, err := filepath.Glob("testdata/*.txtar")
	require.NoError(t, err)
	require.NotEmpty(t, paths)
	var all [][]byte
	for _, path := range paths {
		_, parts := readArchive(t, path)
		for _, p := range parts {
			all = append(all, p.data)
		}
	}
	return all
}

// mostFuzzed is how long a sheet may be, in bytes, that the laws are tried on: short ones, so that very many can be
// tried.
const mostFuzzed = 1000

func FuzzSheet(f *testing.F) {
	minimizeBriefly()
	for _, s := range seeds(f) {
		for i, block := range bytes.Split(s, []byte("\n\n")) { // whole files, which take long, have tests of their own
			if len(block) == 0 || len(block) > mostFuzzed/2 {
				continue
			}
			if f.Add(block); i%8 == 0 {
				f.Add(bytes.ReplaceAll(block, []byte("\n"), []byte("\r\n")))
			}
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) <= mostFuzzed {
			checkLaws(t, data)
		}
	})
}

// checkLaws fails unless data, whatever it is, keeps the promises of Parse, Bytes, Format and the edits.
func checkLaws(t *testing.T, data []byte) {
	file, diags := Parse(NewSource("fuzz.gusset", data))
	require.Equal(t, data, append([]byte{}, file.Bytes()...), "an untouched file prints back byte for byte")
	checkTiling(t, file.Nodes, 0, int32(len(data)))
	checkDiags(t, file, diags)

	tidy := Format(file)
	again, after := Parse(NewSource("fuzz.gusset", tidy))
	require.Equal(t, string(tidy), string(Format(again)), "a tidy file stays the same")
	require.Equal(t, codes(diags), codes(after), "tidying neither makes nor hides a slip")
	if diags.Err() == nil {
		require.Equal(t, dump(file.Nodes), dump(again.Nodes), "tidying leaves what the sheet says")
	}
	checkEdits(t, file)
	checkRows(t, file)
}

// codes returns the codes of the errors.
func codes(diags Diags) (all []string) {
	for _, d := range diags {
		if d.Sev == Error { // a bar too many at the edge, which is a remark, is taken off
			all = append(all, d.Code)
		}
	}
	return all
}

// checkTiling fails unless nodes cover [from, to) without a gap.
func checkTiling(t *testing.T, nodes []Node, from, to int32) {
	for _, n := range nodes {
		s := n.Extent()
		require.Equal(t, from, s.Start, "%T", n)
		require.Less(t, s.Start, s.End+1, "%T", n)
		from = s.End
		var body []Node
		switch n := n.(type) {
		case *Table:
			body = n.Body
		case *Formula:
			body = n.Body
		case *Variant:
			body = n.Body
		}
		if len(body) > 0 {
			checkTiling(t, body, body[0].Extent().Start, s.End)
		}
	}
	require.Equal(t, to, from)
}

func checkDiags(t *testing.T, file *File, diags Diags) {
	size := int32(len(file.Source.Text()))
	seen := make(map[int]bool)
	for _, d := range diags {
		require.LessOrEqual(t, int32(0), d.Span.Start, d.Code)
		require.LessOrEqual(t, d.Span.Start, d.Span.End, d.Code)
		require.LessOrEqual(t, d.Span.End, size, d.Code)
		require.NotEmpty(t, d.Msg, d.Code)
		require.NotContains(t, d.Error(), "\x1b", "a message steers no terminal")
		line := file.Source.Position(d.Span.Start).Line
		require.False(t, seen[line], "two messages for line %d: %s", line, d.Msg)
		seen[line] = true
	}
}

// checkEdits gives every given cell another value and fails unless all other lines stay.
func checkEdits(t *testing.T, file *File) {
	edits := 0
	for _, n := range file.Nodes {
		c, ok := n.(*Cell)
		if !ok || edits == 3 {
			continue
		}
		edits++
		for _, value := range []string{"8-1/4", `"text with // and |"`, "", "no"} {
			next, err := SetGiven(file, c.Name.Text, value)
			if err != nil {
				continue // another cell of that name is worked out
			}
			checkOneLine(t, file, next)
		}
	}
}

// checkRows adds a row to every table and fails unless it is there then, on one line more.
func checkRows(t *testing.T, file *File) {
	for _, table := range NodesOf[*Table](file)[:min(2, len(NodesOf[*Table](file)))] {
		for _, name := range []string{"new", `1 | "2" // 3`} {
			next, err := AddRow(file, table.Name.Text, name)
			if err != nil {
				continue // the table cannot be read whole, or makes its own rows
			}
			require.Equal(t, bytes.Count(append(file.Bytes(), '\n'), []byte("\n"))+1,
				bytes.Count(append(next.Bytes(), '\n'), []byte("\n")), "%s", table.Name.Text)
			_, there := RowEntries(next, table.Name.Text, name)
			require.True(t, there, "%s: %s", table.Name.Text, name)
		}
	}
}

// checkOneLine fails when two files differ in more than one line.
func checkOneLine(t *testing.T, file, next *File) {
	before, after := strings.SplitAfter(file.Source.Text(), "\n"), strings.SplitAfter(next.Source.Text(),
		"\n")
	require.Len(t, after, len(before))
	differ := 0
	for i := range before {
		if before[i] != after[i] {
			differ++
		}
	}
	require.LessOrEqual(t, differ, 1, "an edit touches one line")
}

// minimizeBriefly keeps Go from spending a minute on each input that shows something new to make it smaller: what it
// tries grows with the square of the length, and whole files are long. -fuzzminimizetime has its say all the same.
func minimizeBriefly() {
	if f := flag.Lookup("test.fuzzminimizetime"); f != nil && f.Value.String() == f.DefValue {
		f.Value.Set("10x")
	}
}
