package page

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/sheets/report"
)

var update = flag.Bool("update", false, "rewrite the page that testdata has")

// written writes the page of a model.
func written(t *testing.T, m *engine.Model, o Options) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Write(&b, m, o))
	return b.String()
}

// elements match the parts of a page that are not its text.
var (
	styleElement  = regexp.MustCompile(`(?s)<style>(.*?)</style>`)
	scriptElement = regexp.MustCompile(`(?s)<script>(.*?)</script>`)
	dataElement   = regexp.MustCompile(`(?s)<script type="application/json".*?</script>`)
	policyElement = regexp.MustCompile(`(?s)<meta http-equiv="Content-Security-Policy" content="(.*?)">`)
)

// bare returns a page without its policy, style, script and data.
func bare(page string) string {
	for _, element := range []*regexp.Regexp{policyElement, styleElement, dataElement, scriptElement} {
		page = element.ReplaceAllString(page, "")
	}
	return page
}

// TestPageGolden holds the page of a small sheet against the one that testdata has.
func TestPageGolden(t *testing.T) {
	sheet, err := os.ReadFile("testdata/small.gusset")
	require.NoError(t, err)
	got := bare(written(t, load(t, string(sheet)), Options{File: "small.gusset", Variants: []string{"lighter"}}))
	golden := filepath.Join("testdata", "small.html")
	if *update {
		require.NoError(t, os.WriteFile(golden, []byte(got), 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, strings.Split(string(want), "\n"), strings.Split(got, "\n"), "-update rewrites it")
}

// TestPolicyFitsThePage holds the hashes of the policy against the style and the script that are on the page: a browser
// runs nothing else (W3C Content Security Policy Level 3, section 2.3.1).
func TestPolicyFitsThePage(t *testing.T) {
	for _, served := range []bool{false, true} {
		page := written(t, load(t, "a : 1\n"), Options{File: "a.gusset", Served: served})
		policy := policyElement.FindStringSubmatch(page)[1]
		for _, element := range []*regexp.Regexp{styleElement, scriptElement} {
			found := element.FindAllStringSubmatch(page, -1)
			require.Len(t, found, 1)
			sum := sha256.Sum256([]byte(found[0][1]))
			assert.Contains(t, policy, "'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"'")
		}
		assert.True(t, strings.HasPrefix(policy, "default-src 'none'; "), policy)
		assert.NotContains(t, policy, "unsafe")
		assert.Equal(t, served, strings.Contains(policy, "connect-src"))
	}
}

// evil is a text that would do harm as HTML, as an attribute, in a style or in a script.
const evil = `</script></style><script>document.title='harm'</script><img src=x onerror=document.title='harm'>` +
	`"' onmouseover=document.title='harm' x='{{.}}]]>-->` + "\u202e\u2066" + `&lt;`

// hostile returns a sheet with a text that would do harm in every text that it has.
func hostile() string {
	quoted := strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(strings.ReplaceAll(evil, "\u202e\u2066", ""))
	plain := strings.ReplaceAll(strings.ReplaceAll(evil, "\u202e\u2066", ""), "|", "")
	return fmt.Sprintf(`sheet "%[1]s"
// %[2]s

caution "%[1]s"

page "%[1]s"
  // %[2]s
  a [in]              : 3 ?                    // %[2]s
  word                : "%[1]s"                // %[2]s
  one_of [one of "%[1]s", "b"] : "b"
  empty [oz]          :                        // %[2]s
  check fails_here    = a > 4 [in]             // %[2]s
  nought              = a / (a - a)
  table points                                 // %[2]s
    point | x [in] | y [in] | buy [1] | name   // %[2]s
    "%[1]s" | 0      | 0      | 2     | "%[1]s"  // %[2]s
    b       | 5      | 0      | 0     | "%[1]s"
    c       | 5      | 5      |       | "%[1]s"
  chart "%[1]s" points: x against y            // %[2]s
  outline "%[1]s" points: y against x          // %[2]s
  chart "bars" points: buy against point

page Field card
  remarks             : "%[1]s"

variant "%[1]s"                                // %[2]s
  a                   : 4                      // %[2]s
`, quoted, plain)
}

// TestHostileSheetIsText writes a sheet full of HTML: none of it is markup on the page.
func TestHostileSheetIsText(t *testing.T) {
	m := load(t, hostile())
	require.Empty(t, m.Mistakes())
	page := written(t, m, Options{File: evil, Variants: []string{m.Variants()[0].Name}})
	require.Greater(t, strings.Count(page, "document.title"), 20)
	text := bare(page)
	assert.Len(t, scriptElement.FindAllString(page, -1), 1)
	assert.NotContains(t, text, "<script")
	assert.NotContains(t, text, "<img")
	assert.NotRegexp(t, `<[^>]*\son[a-z]+=`, regexp.MustCompile(`"[^"]*"`).ReplaceAllString(text, `""`))
	assert.NotContains(t, text, "ZgotmplZ", "something was written where it has no safe form")
}

// TestChangesAsAPage writes what was changed as a page: each change with its reason, all together, the checks that flip;
// and that of a hostile sheet, which is text.
func TestChangesAsAPage(t *testing.T) {
	changes := func(m *engine.Model) string {
		c, err := report.ChangesOf(m, m.Variants()[0].Name)
		require.NoError(t, err)
		var b bytes.Buffer
		require.NoError(t, WriteChanges(&b, c, report.FindWrong(m, m.Problems()), Options{File: "x.gusset"}))
		return bare(b.String())
	}
	page := changes(load(t, `page At a glance
all_up [oz, 0.1] = tail + motor
page Parts
tail [oz] : 0.8 ?
motor [oz] : 2
check light = all_up < 3 [oz]
variant "as drawn"
  tail : 1.4 // no room for lead
  motor : 3
`))
	for _, want := range []string{"1.4 → 0.8 oz", "no room for lead", "all 2 together<td>-1.6 ?", "-0.6 ?", "<b>holds now</b> light ?",
		"it rests on guesses"} {
		assert.Contains(t, page, want)
	}
	page = changes(load(t, hostile()))
	require.Greater(t, strings.Count(page, "document.title"), 2)
	assert.NotContains(t, page, "<script")
	assert.NotContains(t, page, "<img")
	assert.NotContains(t, page, "ZgotmplZ")
}

// TestTooLargeForAPage refuses what no browser would show, with a reason.
func TestTooLargeForAPage(t *testing.T) {
	table := "table speeds%d\n  airspeed [mph] from 1 to 9000 step 1\n  double [mph] = airspeed * 2\n"
	m := load(t, fmt.Sprintf(table+table+table+table, 1, 2, 3, 4))
	require.Empty(t, m.Mistakes())
	require.Greater(t, m.Count(), maxValues)
	require.ErrorIs(t, Write(&bytes.Buffer{}, m, Options{}), ErrTooLarge)
}

// TestPageOfASheetWithMistakes says what is wrong on top.
func TestPageOfASheetWithMistakes(t *testing.T) {
	page := bare(written(t, load(t, "sheet \"Slip\"\na [in] : 3 furlongs\nb [in] = a * 2\n"), Options{File: "m.gusset"}))
	assert.Contains(t, page, "1 mistake in the text, the first in x.gusset, line 2")
	assert.Contains(t, page, "furlongs")
}

// TestFullSizeIsFullSize finds the outline of a rib of 300 mm on its sheets of paper: each is as large as its viewBox
// says in mm, and its points are as far apart as they are on the rib.
func TestFullSizeIsFullSize(t *testing.T) {
	m := load(t, `table rib
  point | x [mm] | y [mm]
  a     | 0      | 0
  b     | 300    | 0
  c     | 150    | 40
outline "Rib" rib: y against x
`)
	v, err := viewOf(m, Options{})
	require.NoError(t, err)
	require.Len(t, v.Templates, 1)
	full := v.Templates[0]
	assert.Equal(t, "300 x 40 mm (11.81 x 1.575 in)", full.Size)
	require.Len(t, full.Tiles, 2, "190 mm each, 12 mm of which lie over one another")
	var xs []float64
	for _, tile := range full.Tiles {
		assert.Equal(t, "190mm", tile.Drawing.SizeWide)
		assert.InDelta(t, 190, tile.Drawing.Wide, 0)
		for _, s := range tile.Drawing.Shapes {
			if s.Kind != aPolyline {
				continue
			}
			var x1, y1, x2, y2, x3, y3 float64
			_, err := fmt.Sscanf(s.Points, "%g,%g %g,%g %g,%g", &x1, &y1, &x2, &y2, &x3, &y3)
			require.NoError(t, err)
			assert.InDelta(t, 300, x2-x1, 0.02)
			assert.InDelta(t, 40, y1-y3, 0.02, "y runs up on the outline and down on paper")
			xs = append(xs, x1)
		}
	}
	assert.InDelta(t, 190-12, xs[0]-xs[1], 0.02, "the second sheet begins where the first overlaps it")
}

// TestPageOfALargeSheet: a whole model with its cutting plans goes to a telephone in at most 400 KB.
func TestPageOfALargeSheet(t *testing.T) {
	assert.Less(t, len(written(t, sheets(t)["marsh-tern"], Options{})), 400_000)
}
