package text

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const insertedPage = "page Extra\n  more [in] = 2 * span\n"

// TestInsertPage: a page goes after the one that it is for, before what is said of the next, and no other line moves.
func TestInsertPage(t *testing.T) {
	const plan = "sheet \"A\"\n\npage Plan\n  span [in] : 40\n"
	for _, tt := range []struct{ name, sheet, want string }{
		{
			"before the next page and what is said of it",
			plan + "\n// how it flies\npage Flying\n  area [sq in] : 300\n",
			plan + "\n" + insertedPage + "\n// how it flies\npage Flying\n  area [sq in] : 300\n",
		},
		{"at the end", plan, plan + "\n" + insertedPage},
		{"without a line end", strings.TrimSuffix(plan, "\n"), plan + "\n" + insertedPage},
		{
			"before the variants, with what is said of them",
			plan + "\n// for calm days\nvariant \"long\"\n  span : 50\n",
			plan + "\n" + insertedPage + "\n// for calm days\nvariant \"long\"\n  span : 50\n",
		},
		{
			"the page it is for is not there",
			"page Flying\n  span [in] : 40\n\nvariant \"long\"\n  span : 50\n",
			"page Flying\n  span [in] : 40\n\n" + insertedPage + "\nvariant \"long\"\n  span : 50\n",
		},
		{
			"comments inside the page before stay there",
			plan + "  // a remark of its own\n\npage Flying\n",
			plan + "  // a remark of its own\n\n" + insertedPage + "\npage Flying\n",
		},
		{
			"nothing but remarks before the variants",
			"// a plan\n// for calm days\nvariant \"long\"\n  span : 50\n",
			"\n\n" + insertedPage + "\n// a plan\n// for calm days\nvariant \"long\"\n  span : 50\n",
		},
		{
			"a remark inside a page before the variants",
			plan + "  // a remark of its own\n\nvariant \"long\"\n  span : 50\n",
			plan + "  // a remark of its own\n\n" + insertedPage + "\nvariant \"long\"\n  span : 50\n",
		},
		{
			"Windows line ends",
			strings.ReplaceAll(plan, "\n", "\r\n"),
			strings.ReplaceAll(plan+"\n"+insertedPage, "\n", "\r\n"),
		},
	} {
		t.Run(tt.name, func(t *testing.T) {
			f, _ := Parse(NewSource("sheet", []byte(tt.sheet)))
			page, _ := Parse(NewSource("page", []byte(insertedPage)))
			got, err := InsertPage(f, page, "Plan")
			require.NoError(t, err)
			assert.Equal(t, tt.want, string(got))
		})
	}
}

// TestInsertPageRefuses: a page that is there, and a name that the sheet has for something else.
func TestInsertPageRefuses(t *testing.T) {
	page, _ := Parse(NewSource("page", []byte(insertedPage)))
	for sheet, want := range map[string]string{
		"page Plan\n\npage extra\n":               "the page Extra is there already (line 3)",
		"page Plan\n  more [in] : 3\n":            "the sheet has a more of its own (line 2), and so has the page",
		"table more\n  a | b\n  x | 1\n":          "the sheet has a more of its own (line 1), and so has the page",
		"check more = 1 < 2\n":                    "the sheet has a more of its own (line 1), and so has the page",
		"unit more = 3 [in]\n":                    "the sheet has a more of its own (line 1), and so has the page",
		"formula more(a) = a\n":                   "the sheet has a more of its own (line 1), and so has the page",
		"adjust more from 1 to 2 so more = 1.5\n": "the sheet has a more of its own (line 1), and so has the page",
	} {
		f, _ := Parse(NewSource("sheet", []byte(sheet)))
		_, err := InsertPage(f, page, "Plan")
		assert.EqualError(t, err, want)
	}
}
