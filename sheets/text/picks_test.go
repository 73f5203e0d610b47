package text

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestSplitNames: commas part names, but for those in brackets, and blanks around names do not count.
func TestSplitNames(t *testing.T) {
	for _, tt := range []struct {
		lists, want []string
	}{
		{nil, nil},
		{[]string{"a"}, []string{"a"}},
		{[]string{" a , b,,", "c"}, []string{"a", "b", "c"}},
		{[]string{`a["b, c"].d,e`, "f[g[h,i],j],k"}, []string{`a["b, c"].d`, "e", "f[g[h,i],j]", "k"}},
		{[]string{"a[b,c", "d"}, []string{"a[b,c", "d"}},
	} {
		assert.Equal(t, tt.want, SplitNames(tt.lists), "%q", tt.lists)
	}
}
