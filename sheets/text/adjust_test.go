package text

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestAdjustCanBeAName shows that adjust begins a statement only where a name follows it.
func TestAdjustCanBeAName(t *testing.T) {
	for in, want := range map[string]string{
		"adjust : 3":           `Cell{Name:adjust Value:{Kind:number Word:3}}`,
		"adjust [in] : 3":      `Cell{Name:adjust Unit:{Unit:in} Value:{Kind:number Word:3}}`,
		"adjust=2":             `Cell{Name:adjust Value:{Kind:formula Word:2}}`,
		"page adjust":          `Page{Name:adjust}`,
		"check adjust = a < 2": `Check{Name:adjust Condition:"a < 2"}`,
		"adjust adjust from 0 to 9 so adjust = 4":  `Adjust{Name:adjust From:0 To:9 Left:adjust Right:4}`,
		"variant \"v\"\n  adjust : 4":              `Variant{Name:v Body:Setting{Target:adjust Value:{Kind:number Word:4}}}`,
		"table adjust\n  adjust | a\n  adjust | 2": `Table{Name:adjust Head:{Name:adjust} {Name:a} Body:HeadLine{} Row{Name:adjust Values:{Kind:number Word:2}}}`,
		"table t\n  a | b\n  adjust=b":             `Table{Name:t Head:{Name:a} {Name:b} Body:HeadLine{} Cell{Name:adjust Value:{Kind:formula Word:b}}}`,
	} {
		assert.Equal(t, want, strings.TrimSuffix(dump(parse(t, in+"\n").Nodes), "\n"), in)
	}
}
