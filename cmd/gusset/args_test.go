package main

import (
	"bytes"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A builder who types tidy alone is asked for the sheet, and not left waiting; the null device stands for the keyboard.
func TestTidyDoesNotWaitForTheKeyboard(t *testing.T) {
	in, err := os.Open(os.DevNull)
	require.NoError(t, err)
	defer in.Close()
	var out, errs bytes.Buffer
	assert.Equal(t, wrongUsage, run([]string{"tidy"}, in, &out, &errs))
	assert.Equal(t, "which sheet? For example: gusset tidy my-model.gusset\n", errs.String())
	assert.Equal(t, allWell, run([]string{"tidy", "-"}, in, &out, &errs))
	assert.Equal(t, allWell, run([]string{"tidy"}, bytes.NewBufferString("a [in]:3\n"), &out, &errs))
	assert.Equal(t, "a               [in]        : 3\n", out.String())
}
