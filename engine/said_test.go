package engine

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/explain"
	"gusset/engine/program"
	"gusset/library"
)

// TestReasonsNameSomething: what is searched for and what its condition rests on need one another; each says what it
// waits for all the same, in whatever order they are asked.
func TestReasonsNameSomething(t *testing.T) {
	m, err := Load(program.Sources{Files: os.DirFS("../testdata/mill-wagtail"), Library: library.Pages()},
		"mill-wagtail.gusset")
	require.NoError(t, err)
	require.NoError(t, m.Set("cell_in_use", "-4 V"))
	lacking := 0
	for _, e := range m.Entries() {
		if e.Status == explain.Waits {
			lacking++
			assert.Regexp(t, "given yet$|^waits for .*[^ ]", e.Reason, e.Name)
		}
	}
	assert.Greater(t, lacking, 10)
	reasons := map[string]string{}
	for _, e := range m.Entries() {
		reasons[e.Name] = e.Reason
	}
	assert.Equal(t, "waits for static_rpm, which has no result", reasons["taken_power"])
}

// TestWhatMessagesNeed: a value that only the message about another one needs is not lacking, and no guess of it counts.
func TestWhatMessagesNeed(t *testing.T) {
	m := load(t, `
formula rate(push, give) = push / give
  needs push > 0 and give > 0
push : -3
give :
hard : 2 ?
stiff = rate(push, give ?? hard)
check soft = stiff < 3 or push < 0
`)
	v, err := m.Value("soft")
	assert.NoError(t, err)
	assert.Equal(t, CheckHolds, v.State())
	assert.Zero(t, v.Guesses)
	assert.NoError(t, m.Set("hard", ""))
	assert.Equal(t, "(none: rate: it needs push > 0)", shown(t, m, "stiff"))
	assert.NoError(t, m.Set("push", "3"))
	assert.Equal(t, "(waits: waits for hard)", shown(t, m, "stiff"))
}
