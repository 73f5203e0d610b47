package text_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/sheets/text"
)

// TestParsePath reads paths as a shell hands them on, with and without the quotes of a row's name.
func TestParsePath(t *testing.T) {
	for typed, want := range map[string]string{
		"span": "span", " span ": "span", "rack.price": "rack.price", "flügel.höhe": "flügel.höhe",
		"kit.rack.stock.price": "kit.rack.stock.price",
		`parts["wing"].weight`: `parts["wing"].weight`, "parts[wing].weight": `parts["wing"].weight`,
		"parts['wing'].weight": `parts["wing"].weight`, `parts ["wing"].weight`: `parts["wing"].weight`,
		"parts[wing]": `parts["wing"]`, "stock[balsa 1/16].price": `stock["balsa 1/16"].price`,
		`stock[3/4" ply].price`: `stock["3/4\" ply"].price`, `stock["3/4\" ply"].price`: `stock["3/4\" ply"].price`,
		`stock["a\\b"].price`: `stock["a\\b"].price`, `stock["a\b"].price`: `stock["a\\b"].price`,
		"t[a[1]b].x": `t["a[1]b"].x`, "t[a]b].x": `t["a]b"].x`, `t["a].b"].x`: `t["a].b"].x`,
		"t[a[1].b].x": `t["a[1].b"].x`, `t[""].x`: `t[""].x`,
		"t[a=b].x": `t["a=b"].x`, `t["a"]["b"]`: `t["a"]["b"]`,
	} {
		p, err := text.ParsePath(typed)
		require.NoError(t, err, typed)
		assert.Equal(t, want, p.String(), typed)
		again, err := text.ParsePath(p.String())
		require.NoError(t, err)
		assert.Equal(t, want, again.String())
		for _, part := range p.Parts {
			inSheet := typed[part.Span.Start:part.Span.End]
			assert.True(t, inSheet == part.Text || part.Row, "%s has its span", part.Text)
		}
	}
	for _, typed := range []string{
		"", " ", "a.", ".a", "a..b", "a b", "2x", "a[b", "a[", "a]", "a + b", "_a", `t["a"].`, `t["a"]x`,
	} {
		_, err := text.ParsePath(typed)
		var diags text.Diags
		require.ErrorAs(t, err, &diags, typed)
		assert.Equal(t, text.Span{Start: 0, End: int32(len(typed))}, diags[0].Span, typed)
	}
}

// TestPartsOfAPath shows what is before a part, and that it has its place.
func TestPartsOfAPath(t *testing.T) {
	const typed = `kit.stock["ply"].price`
	p, err := text.ParsePath(typed)
	require.NoError(t, err)
	require.Len(t, p.Parts, 4)
	assert.Equal(t, "price", p.Last().Text)
	assert.Equal(t, "price", typed[p.Last().Span.Start:p.Last().Span.End])
	assert.Equal(t, `"ply"`, typed[p.Parts[2].Span.Start:p.Parts[2].Span.End])
	assert.Equal(t, `kit.stock["ply"]`, p.Before().String())
	for n, want := range map[int]string{1: "kit", 2: "kit.stock", 3: `kit.stock["ply"]`, 4: typed} {
		first := p.First(n)
		assert.Equal(t, want, first.String())
		assert.Equal(t, want, typed[first.Span.Start:first.Span.End])
	}
}

// TestParseSetting reads NAME=VALUE, where an = may be in the name of a row, and in the value.
func TestParseSetting(t *testing.T) {
	for typed, want := range map[string][2]string{
		"span=50": {"span", "50"}, "span = 4 ft 6 in": {"span", "4 ft 6 in"}, "span=": {"span", ""},
		"stock=a=b": {"stock", "a=b"}, `t["a=b"].x=3`: {`t["a=b"].x`, "3"}, "t[a=b].x=3": {`t["a=b"].x`, "3"},
		`t[3/4" ply].x=3`: {`t["3/4\" ply"].x`, "3"},
		`t["a]=b"].x=3`:   {`t["a]=b"].x`, "3"}, "stock=a]b": {"stock", "a]b"}, "t[a].x=[b]": {`t["a"].x`, "[b]"},
	} {
		p, value, err := text.ParseSetting(typed, "=")
		require.NoError(t, err, typed)
		assert.Equal(t, want, [2]string{p.String(), value}, typed)
	}
	for _, typed := range []string{"", "=3", "span", "span 3", "2x=3", "a b=3", "a.=3", "t[a=3"} {
		_, _, err := text.ParseSetting(typed, "=")
		assert.ErrorContains(t, err, "write NAME=VALUE", typed)
	}
}

// TestPathsThatGoOn shows what is said in a variant of what follows the name of a row and is not a column.
func TestPathsThatGoOn(t *testing.T) {
	for _, target := range []string{`t["a"].`, `t["a"]x`, `t["a"].2`, `kit.t["a"] x`} {
		_, diags := text.Parse(text.NewSource("s", []byte("variant \"v\"\n  "+target+" : 5\n")))
		require.Len(t, diags, 1, target)
		assert.Equal(t, "row-alone", diags[0].Code, target)
		assert.Contains(t, diags[0].Hint, `t["a"].column : 5`)
	}
}
