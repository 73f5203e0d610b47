package engine

import (
	"math/rand/v2"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/oracle"
)

// TestManyReaders reads a model from several goroutines while values are set; run it with -race. At the end all readers
// see what a fresh load gives.
func TestManyReaders(t *testing.T) {
	s := oracle.NewRandomSheet(rand.New(rand.NewPCG(31, 32)))
	m := load(t, s.Text())
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
		name := s.Change()
		require.NoError(t, m.Set(name, s.Given[name]))
	}
	readers.Wait()
	want, _ := account(load(t, s.Text()))
	got, _ := account(m)
	assert.Equal(t, want, got)
}
