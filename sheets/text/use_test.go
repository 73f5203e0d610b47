package text

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNameOfAUsedSheet(t *testing.T) {
	for line, want := range map[string]string{
		`use "rack.gusset"`: "rack", `use "wood/rack 2.gusset"`: "rack_2", `use "wood\rack-3.gusset"`: "rack_3",
		`use "é_9.gusset" // n`: "é_9", `use "rack.gusset" as wood`: "wood", `use "rack"`: "rack",
		`use "a.b.gusset"`: "a_b",
	} {
		assert.Equal(t, want, parse(t, line).Nodes[0].(*Use).Name().Text, line)
	}
}

// The characters that reorder a line or end it are those of the Unicode Standard, section 23.2 (bidirectional controls)
// and UAX #14 (U+2028, U+2029); their neighbours are harmless.
func TestSteers(t *testing.T) {
	for _, c := range []rune{0, 0x1f, 0x7f, 0x85, 0x9f, 0x2028, 0x2029, 0x202a, 0x202e, 0x2066, 0x2069} {
		assert.True(t, steers(c), "%U", c)
	}
	for _, c := range []rune{' ', 0xa0, 0x2027, 0x202f, 0x2065, 0x206a} {
		assert.False(t, steers(c), "%U", c)
	}
}

// A file keeps the line ends that most of its lines have, and its byte order mark.
func TestFormatKeepsTheFile(t *testing.T) {
	for in, want := range map[string]string{
		"// a\r\n// b\r\n// c\n": "// a\r\n// b\r\n// c\r\n",
		"// a\r\n// b\n":         "// a\n// b\n",
		"// a\n// b\n// c\r\n":   "// a\n// b\n// c\n",
		"\ufeff// a\n":           "\ufeff// a\n",
	} {
		f, _ := Parse(NewSource("in.gusset", []byte(in)))
		assert.Equal(t, want, string(Format(f)), "%q", in)
	}
}
