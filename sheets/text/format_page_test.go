package text

import (
	"os"
	"regexp"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What the page about the format shows is right, and tidy, and its list of words is complete.
func TestFormatPage(t *testing.T) {
	data, err := os.ReadFile("../FORMAT.md")
	require.NoError(t, err)
	page := string(data)

	examples := regexp.MustCompile("(?s)```\n(.*?)```").FindAllStringSubmatch(page, -1)
	indented := regexp.MustCompile(`(?m)(?:^    .*\n)+`).FindAllString(page, -1)
	var words []string
	for _, block := range indented {
		text := regexp.MustCompile(`(?m)^    `).ReplaceAllString(block, "")
		switch first, _, _ := strings.Cut(text, " "); first {
		case "table", "formula":
			examples = append(examples, []string{"", text})
		case "sheet":
			words = strings.Fields(text)
		}
	}
	require.Len(t, examples, 4)
	for _, e := range examples {
		f := parse(t, e[1])
		assert.Equal(t, e[1], string(Format(f)))
	}

	var taken []string
	for w := range reserved {
		taken = append(taken, w)
	}
	sort.Strings(taken)
	sort.Strings(words)
	assert.Equal(t, taken, words)
}
