package text

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestTooManyValues: of a file with more values than it may have nothing else is said, and nothing is read.
func TestTooManyValues(t *testing.T) {
	wide := "table t\n  row"
	for i := range 99 {
		wide += fmt.Sprintf(" | c%d", i)
	}
	wide += "\n"
	row := "  x" + strings.Repeat(" | 1", 99) + "\n"
	f, diags := Parse(NewSource("x", []byte("x : 1 = 2\n"+wide+strings.Repeat(row, MaxValues/100))))
	assert.Equal(t, []string{"too-large"}, codesOf(diags))
	assert.Equal(t, Span{}, diags[0].Span, "it is about the whole file")
	assert.Zero(t, f.Values)
	f, diags = Parse(NewSource("x", []byte(wide+strings.Repeat(row, MaxValues/100-2))))
	assert.NotContains(t, codesOf(diags), "too-large")
	assert.LessOrEqual(t, MaxValues-200, f.Values)
	assert.GreaterOrEqual(t, MaxValues, f.Values)
}

// TestTooManyMistakes: of more mistakes than are reported it is said how many there are, where the last one is.
func TestTooManyMistakes(t *testing.T) {
	for _, more := range []int{0, 1, 7} {
		_, diags := Parse(NewSource("x", []byte(strings.Repeat("x : 1 = 2\n", MaxTold+more))))
		if more == 0 {
			require.Len(t, diags, MaxTold)
			assert.NotContains(t, codesOf(diags), "more-mistakes")
			continue
		}
		require.Len(t, diags, MaxTold+1)
		last := diags[MaxTold]
		assert.Equal(t, "more-mistakes", last.Code)
		assert.Equal(t, fmt.Sprintf("%d more messages about this file up to here: %d are told at most", more, MaxTold), last.Msg)
		assert.Equal(t, MaxTold+more, last.Source.Position(last.Span.Start).Line)
	}
}

// TestLongNames: names of anything may have so many bytes, and no more.
func TestLongNames(t *testing.T) {
	for _, line := range []string{
		"%s : 1", "%s = 1 + 1", "table %s\n  part", "table t\n  part | %s", "formula %s(x) = x", "formula f(%s) = 1",
		"adjust %s from 0 to 1 so x = 1", "check %s = 1 < 2", "use \"a.gusset\" as %s", "unit %s = 3 [mm]",
	} {
		for more, want := range map[int][]string{0: nil, 1: {"too-long"}} {
			_, diags := Parse(NewSource("x", []byte(fmt.Sprintf(line, strings.Repeat("n", MaxName+more))+"\n")))
			assert.Equal(t, want, codesOf(diags), "%s with %d", line, MaxName+more)
		}
	}
}

// TestMistakesInValues: the mark is under all of what is no value, and under the backslash of an escape that is none.
func TestMistakesInValues(t *testing.T) {
	for value, want := range map[string]Span{
		`"\q"`: {5, 6}, `"a\q"`: {6, 7}, "3 // oz": {4, 11},
	} {
		_, err := ParseValue(value)
		var diags Diags
		require.ErrorAs(t, err, &diags, value)
		assert.Equal(t, want, diags[0].Span, value)
	}
}

// codesOf returns the codes of messages.
func codesOf(diags Diags) (codes []string) {
	for _, d := range diags {
		codes = append(codes, d.Code)
	}
	return codes
}
