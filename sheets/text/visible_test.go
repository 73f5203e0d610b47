package text

import (
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
)

func TestVisible(t *testing.T) {
	for in, want := range map[string]string{
		"": "", "marsh-tern 50.gusset": "marsh-tern 50.gusset", "flügel №2 – Ω.gusset": "flügel №2 – Ω.gusset",
		"⚠️":         "⚠️",
		"a\x1b[31mb": "a\ufffd[31mb", "a\r\nb\tc\x7f": "a\ufffd\ufffdb\ufffdc\ufffd",
		"a\u0085b\u009b": "a\ufffdb\ufffd",
		"a\u202eb\u2066": "a\ufffdb\ufffd", "a\u2028b": "a\ufffdb",
		"a\u3164b\u200fc\U000e0041": "a\ufffdb\ufffdc\ufffd",
		"a\xff\xfeb":                "a\ufffd\ufffdb",
	} {
		assert.Equal(t, want, Visible(in))
	}
}

// TestInvisible: of the characters that a name may hold by their category, those are not seen that the Unicode standard
// lists as default ignorable in DerivedCoreProperties.txt: the four Hangul fillers. The code points are from memory.
func TestInvisible(t *testing.T) {
	var letters []rune
	for c := rune(0); c <= unicode.MaxRune; c++ {
		if (unicode.IsLetter(c) || unicode.IsDigit(c)) && invisible(c) {
			letters = append(letters, c)
		}
	}
	assert.Equal(t, []rune{0x115f, 0x1160, 0x3164, 0xffa0}, letters)
	for _, c := range []rune{0xad, 0x34f, 0x61c, 0x180e, 0x200b, 0x200e, 0x200f, 0x2060, 0xfeff, 0xfff9, 0xe0000,
		0xe0041, 0xe01ef} {
		assert.True(t, invisible(c), "%U", c)
	}
	for _, c := range []rune{'a', ' ', 0xa0, 0x301, 0x600, 0x6dd, 0x4e00, 0xfe0f, 0x1f6e9} {
		assert.False(t, invisible(c), "%U", c)
	}
	assert.False(t, IsName("a\u3164"))
}
