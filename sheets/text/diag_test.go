package text

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// at returns a message about the first piece in text, as a builder sees it.
func at(text, piece string) string {
	start := strings.Index(text, piece)
	return Diag{Msg: "m", Source: NewSource("s", []byte(text)),
		Span: Span{int32(start), int32(start + len(piece))}}.Error()
}

func TestMarks(t *testing.T) {
	for _, tt := range []struct{ name, text, piece, want string }{
		{"one mark a character", "a = größe + 1", "größe", "s:1:5: m\n    a = größe + 1\n        ~~~~~"},
		{"tabs are copied", "\ta\t= x", "x", "s:1:6: m\n    \ta\t= x\n    \t \t  ~"},
		{"wide characters have two columns", "日本 = 語 + x", "語", "s:1:6: m\n    日本 = 語 + x\n           ~~"},
		{"and push what is after them", "日本 = 語 + x", "x", "s:1:10: m\n    日本 = 語 + x\n                ~"},
		{"a combining mark takes no room", "e\u0301 = x", "x", "s:1:6: m\n    e\u0301 = x\n        ~"},
		{"a byte order mark is not there", "\ufeffa = x", "x", "s:1:5: m\n    a = x\n        ~"},
		{"nothing has one mark all the same", "a = x", "", "s:1:1: m\n    a = x\n    ~"},
		{"the first line only", "a = x\nb = y\n", "x\nb = y", "s:1:5: m\n    a = x\n        ~"},
		{"line ends are left out", "a = x\r\n", "x\r\n", "s:1:5: m\n    a = x\n        ~"},
		{"a blank line is not shown", "a\n\nb", "\nb", "s:2:1: m"},
	} {
		assert.Equal(t, tt.want, at(tt.text, tt.piece), tt.name)
	}
	assert.Equal(t, "s:1:5: m\n    a = size\n        ~~~~", at("a = size", "size"), "the file ends where the piece does")
	d := Diag{Msg: "m", Source: NewSource("s", []byte("a = x")), Span: Span{5, 5}, Notes: []string{"x is 4 g"},
		Hint: "h"}
	assert.Equal(t, "s:1:6: m\n    a = x\n         ~\n    x is 4 g\n    hint: h", d.Error())
}

// A long line is shown around the mark; the mark stays under its piece.
func TestMarksOfLongLines(t *testing.T) {
	for _, before := range []int{0, 10, 90, 200, 1000} {
		for _, after := range []int{0, 10, 200, 1000} {
			for _, piece := range []string{"?", strings.Repeat("?", 50), strings.Repeat("?", 300)} {
				lines := strings.Split(at(strings.Repeat("a", before)+piece+strings.Repeat("b", after), piece), "\n")
				shown, mark := []rune(lines[1]), []rune(lines[2])
				assert.LessOrEqual(t, len(shown), 4+shownColumns+2)
				assert.LessOrEqual(t, len(mark), len(shown))
				for i, c := range mark {
					assert.Equal(t, c == '~', shown[i] == '?', "%s\n%s", string(shown), string(mark))
				}
				assert.Contains(t, string(mark), "~")
				if before >= 200 && after >= 200 && len(piece) < shownColumns { // as much is shown on either side
					assert.InDelta(t, strings.Count(string(shown), "a"), strings.Count(string(shown), "b"), 3)
				}
				assert.Equal(t, before+len(piece)+after > shownColumns, strings.Contains(string(shown), "…"))
			}
		}
	}
}

func TestPositions(t *testing.T) {
	s := NewSource("s", []byte("é = 1\n\nb"))
	for _, tt := range []struct {
		offset int32
		want   Position
	}{
		{0, Position{1, 1, 0}}, {2, Position{1, 2, 2}}, {6, Position{1, 6, 6}}, {7, Position{2, 1, 7}},
		{8, Position{3, 1, 8}}, {9, Position{3, 2, 9}},
		{-5, Position{1, 1, 0}}, {99, Position{3, 2, 9}},
	} {
		assert.Equal(t, tt.want, s.Position(tt.offset), tt.offset)
	}
	assert.Equal(t, []string{"", "é = 1", "", "b", ""}, []string{s.Line(0), s.Line(1), s.Line(2), s.Line(3), s.Line(4)})
	marked := NewSource("s", []byte("\ufeffa\n\ufeffb"))
	assert.Equal(t, "a", marked.Line(1), "a byte order mark is not part of the first line")
	assert.Equal(t, "\ufeffb", marked.Line(2), "and of another it is")
}

func TestDiags(t *testing.T) {
	s, other := NewSource("b", []byte("xyz")), NewSource("a", []byte("xyz"))
	ds := Diags{{Msg: "2", Source: s, Span: Span{2, 3}}, {Msg: "1", Source: s}, {Msg: "0", Source: other, Sev: Remark},
		{Msg: "1b", Source: s}}
	ds.Sort()
	var order []string
	for _, d := range ds {
		order = append(order, d.Msg)
	}
	assert.Equal(t, []string{"0", "1", "1b", "2"}, order)
	assert.NoError(t, ds[:1].Err(), "a remark is no error")
	assert.NoError(t, Diags(nil).Err())
	var all Diags
	assert.True(t, errors.As(ds.Err(), &all))
	assert.Len(t, all, 4)
}

// TestMessagesAsJSON: a message as JSON says whether it is an error or a remark, and where it begins.
func TestMessagesAsJSON(t *testing.T) {
	src := NewSource("s", []byte("a : 1\nb : 2\n"))
	said, err := json.Marshal(Diag{Code: "c", Msg: "m"})
	require.NoError(t, err)
	assert.JSONEq(t, `{"Code":"c","Msg":"m","File":"","Line":0,"Column":0,"Severity":"error","Notes":null,"Hint":""}`,
		string(said), "of no place in a text")
	for sev, want := range map[Severity]string{Error: "error", Remark: "remark"} {
		said, err := json.Marshal(Diag{Code: "c", Msg: "m", Source: src, Span: Span{8, 9}, Sev: sev, Hint: "h"})
		require.NoError(t, err)
		assert.JSONEq(t, `{"Code":"c","Msg":"m","File":"s","Line":2,"Column":3,"Severity":"`+want+
			`","Notes":null,"Hint":"h"}`, string(said))
	}
}

// TestMessagesWithoutAPlace: a message that nobody has given a source says what it has to say.
func TestMessagesWithoutAPlace(t *testing.T) {
	t.Parallel()
	assert.Empty(t, Diag{}.Error())
	assert.Equal(t, "what\n    note\n    hint: hint", Diag{Msg: "what", Notes: []string{"note"}, Hint: "hint"}.Error())
	assert.Equal(t, ":1:1: what", Diag{Msg: "what", Source: new(Source)}.Error())
	assert.NoError(t, Diags{}.Err())
}
