package text

import "testing"

func TestSlips(t *testing.T) {
	golden(t, "testdata/slips.txtar", func(t *testing.T, in []byte) string {
		checkLaws(t, in)
		_, diags := Parse(NewSource("s", in))
		return diags.Error() + "\n"
	})
}
