package text

import (
	"bytes"
	"flag"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "rewrite what the goldens in testdata want")

// part is one file of a txtar archive.
type part struct {
	name string
	data []byte
}

var partLine = regexp.MustCompile(`(?m)^-- (.+) --\n`)

// readArchive returns the files of a txtar archive: text separated by lines such as `-- NAME --`. What is before the
// first is its comment.
func readArchive(t testing.TB, path string) (comment string, parts []part) {
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	places := partLine.FindAllSubmatchIndex(data, -1)
	require.NotEmpty(t, places)
	for i, m := range places {
		end := len(data)
		if i+1 < len(places) {
			end = places[i+1][0]
		}
		parts = append(parts, part{string(data[m[2]:m[3]]), data[m[1]:end]})
	}
	return string(data[:places[0][0]]), parts
}

// golden runs each pair NAME.in, NAME.want of an archive.
func golden(t *testing.T, path string, run func(t *testing.T, in []byte) string) {
	comment, parts := readArchive(t, path)
	require.Zero(t, len(parts)%2)
	out := bytes.NewBufferString(comment)
	for i := 0; i < len(parts); i += 2 {
		in, want := parts[i], parts[i+1]
		name := strings.TrimSuffix(in.name, ".in")
		require.Equal(t, name+".want", want.name)
		t.Run(name, func(t *testing.T) {
			got := run(t, in.data)
			if *update {
				want.data = []byte(got)
			}
			assert.Equal(t, string(want.data), got)
		})
		for _, p := range []part{in, want} {
			out.WriteString("-- " + p.name + " --\n")
			out.Write(p.data)
		}
	}
	if *update {
		require.NoError(t, os.WriteFile(path, out.Bytes(), 0o666))
	}
}
