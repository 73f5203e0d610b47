package engine

import (
	"math/rand/v2"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestManyReaders reads a model from several goroutines while values are set; run it with -race. At the end all readers
// see what a fresh load gives.
func TestManyReaders(t *testing.T) {
	s := newRandomSheet(rand.New(rand.NewPCG(31, 32)))
	m := load(t, s.text())
	var readers sync.WaitGroup
	for range 4 {
		readers.Go(func() {
			for range 20 {
				account(m)
				_, err := m.Why("nosuch")
				assert.Error(t, err)
				_, err = m.Why("sound")
				assert.NoError(t, err)
			}
		})
	}
	for range 60 {
		name := s.change()
		require.NoError(t, m.Set(name, s.given[name]))
	}
	readers.Wait()
	want, _ := account(load(t, s.text()))
	got, _ := account(m)
	assert.Equal(t, want, got)
}
