package main

import (
	"io/fs"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/library"
)

// TestASheetIsLikeWhatItBeganAs: where several starters have a page of a name, a sheet gets that of its own.
func TestASheetIsLikeWhatItBeganAs(t *testing.T) {
	for _, starter := range library.StarterNames() {
		data, err := fs.ReadFile(library.Starters(), starter+".gusset")
		require.NoError(t, err)
		assert.Equal(t, starter, likest(data, library.StarterNames()), starter)
	}
}
