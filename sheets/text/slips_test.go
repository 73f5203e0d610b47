package text

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSlips(t *testing.T) {
	golden(t, "testdata/slips.txtar", func(t *testing.T, in []byte) string {
		checkLaws(t, in)
		_, diags := Parse(NewSource("s", in))
		for _, d := range diags {
			assert.Positive(t, d.Span.Len(), "%s marks nothing", d.Msg)
		}
		return diags.Error() + "\n"
	})
}
