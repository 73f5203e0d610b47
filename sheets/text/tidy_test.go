package text

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestFormat(t *testing.T) {
	golden(t, "testdata/tidy.txtar", func(t *testing.T, in []byte) string {
		checkLaws(t, in)
		f, _ := Parse(NewSource("in.gusset", in))
		return string(Format(f))
	})
}

func TestFormatOfNothing(t *testing.T) {
	for _, in := range []string{"", "\n", "\n \n\n"} {
		f, _ := Parse(NewSource("in.gusset", []byte(in)))
		assert.Empty(t, string(Format(f)), "%q", in)
	}
}
