package workbook

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/sheets/text"
)

const linesSheet = `sheet "Tern"
span [in, 1/8] : 48
left [%] : 60 ± 5 ?
grain [one of "along", "across"] : "along"
one_piece : yes
cells [1, 1] : 3
late [oz] :
t [degC] : 20 ?
table p
  n | v [oz] | w [mm]
  x | 3 ?    | 1.5
  y |        | 2
area [sq in] = span ^ 2
`

// TestLinesAfterARequest: what comes back is compared with a model that changes no more, as its context is done.
func TestLinesAfterARequest(t *testing.T) {
	t.Parallel()
	m, src := loadText(t, linesSheet)
	want, err := ReturnLines([]byte("span : 47\nleft : 200 oz\n"), m, src, true)
	require.NoError(t, err)
	require.Len(t, want.Changes, 1)
	request, over := context.WithCancel(t.Context())
	over()
	got, err := ReturnLines([]byte("span : 47\nleft : 200 oz\n"), m.ForkContext(request), src, true)
	require.NoError(t, err)
	assert.Equal(t, want, got)
}

// A sheet whose text is what it was is the one, whatever the file and the sheet are called; layout does not count.
func TestLinesKnowTheirSheet(t *testing.T) {
	m, src := loadText(t, linesSheet)
	back := func(head string) (*Returned, error) {
		return ReturnLines([]byte(head+"span : 47\nleft : 60 ± 5\n"), m, src, false)
	}
	loose := strings.ReplaceAll(linesSheet, " : ", "   :\t")
	r, err := back("// Heron\r\n// file heron.gusset\r\n// fingerprint " + text.Fingerprint([]byte(loose)) + "\r\n")
	require.NoError(t, err)
	assert.True(t, r.SameText)
	assert.False(t, r.Other)
	assert.Empty(t, r.Notes)
	require.Len(t, r.Changes, 1)
	assert.Equal(t, "47 in", r.Changes[0].Now)
	require.Len(t, r.Measured, 1)
	assert.Equal(t, "60 ± 5", r.Measured[0].Value)

	r, err = back("// Tern\n")
	require.NoError(t, err)
	assert.False(t, r.SameText)
	assert.False(t, r.Changed, "nobody says what the sheet was")
	assert.Empty(t, r.Notes)
	r, err = back("// Tern\n// fingerprint 0\n")
	require.NoError(t, err)
	assert.True(t, r.Changed)
	assert.Len(t, r.Notes, 1)

	var other *OtherSheet
	_, err = back("// file heron.gusset\n")
	require.ErrorAs(t, err, &other)
	_, err = back("length : 9\n// Heron\n// file heron.gusset\n")
	require.ErrorAs(t, err, &other)
	assert.Empty(t, other.From+other.Title, "notes below a line say nothing of the sheet")
	_, err = back("")
	require.ErrorAs(t, err, &other)
}

// The limits of lines: how many bytes, and how many of them.
func TestLinesAreLimited(t *testing.T) {
	m, src := loadText(t, linesSheet)
	_, err := ReturnLines(make([]byte, MaxLinesBytes+1), m, src, true)
	require.ErrorContains(t, err, fmt.Sprint(MaxLinesBytes))
	var b strings.Builder
	for i := range maxLines + 1 {
		fmt.Fprintf(&b, "a%d : 1\n", i)
	}
	_, err = ReturnLines([]byte(b.String()), m, src, true)
	require.ErrorContains(t, err, fmt.Sprint(maxLines))
}

// What is taken goes into the sheet, and once it is there the same lines bring nothing more.
func FuzzReturnLines(f *testing.F) {
	for _, lines := range []string{
		"span : 47-1/2 // was 48\nleft : 35\np[\"y\"].v : 2 ± 0.1 ?\n", "grain : \"across\"\none_piece : no // was yes\n",
		"span : 4 ft 2 in ?\ncells : 3.5\nlate : 155 g\n", "t : 68 degF\nt : 20\nspan\n", "p[\"x\"].v : 3\np[x].w : 1/16 in\n",
		"left : 60 ± 4 sd ?\nspan : // was 48\narea : 3\n", "// file model.gusset\nspan : 1e300\np.v : 3\n\"", "span : 48\nvariant \"x\"\n  left : 3\n",
	} {
		f.Add(lines)
	}
	f.Fuzz(func(t *testing.T, lines string) {
		m, src := loadText(t, linesSheet)
		r, err := ReturnLines([]byte(lines), m, src, true)
		if err != nil {
			return
		}
		sheet, _ := text.Parse(text.NewSource("model.gusset", src.Text))
		for _, c := range append(r.Changes, r.Measured...) {
			sheet, err = c.Put(sheet)
			require.NoError(t, err, "%s : %s", c.Name, c.Value)
		}
		m, src = loadText(t, string(sheet.Bytes()))
		require.Empty(t, m.Mistakes(), "%s", sheet.Bytes())
		again, err := ReturnLines([]byte(lines), m, src, true)
		require.NoError(t, err)
		assert.Empty(t, again.Changes, "%s", sheet.Bytes())
		assert.Empty(t, again.Measured, "%s", sheet.Bytes())
	})
}
