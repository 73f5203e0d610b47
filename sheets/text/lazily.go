package text

import (
	"regexp"
	"sync"
)

// lazily returns what compiles a pattern when it is first asked for. Nearly all belong to mistakes: a sheet without any
// is not to wait for them.
func lazily(pattern string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(pattern) })
}
