package text

import "testing"

func TestFormat(t *testing.T) {
	golden(t, "testdata/tidy.txtar", func(t *testing.T, in []byte) string {
		checkLaws(t, in)
		f, _ := Parse(NewSource("in.gusset", in))
		return string(Format(f))
	})
}
