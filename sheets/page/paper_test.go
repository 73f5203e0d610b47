package page

import (
	"bytes"
	"context"
	"encoding/xml"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	printing "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
)

// Pages on paper, as a browser prints them into a PDF.

// papers are the sizes of paper, in mm (ISO 216; ASME Y14.1).
var papers = map[string][2]float64{"A4": {210, 297}, "Letter": {215.9, 279.4}}

const mmPerInch = 25.4

// edge is how near to an edge printers can print, in points.
const edge = 4 * 72 / mmPerInch

// poppler returns a program of poppler-utils.
func poppler(t *testing.T, name string) string {
	t.Helper()
	program, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("there is no %s: apt-get install poppler-utils", name)
		}
		t.Skipf("there is no %s to read what is printed", name)
	}
	return program
}

// printOn prints a page and returns the file.
func (p *shownPage) printOn(paper string) string {
	p.t.Helper()
	size := papers[paper]
	var pdf []byte
	p.do(chromedp.Func(func(ctx context.Context, tab *chromedp.Target) error {
		asked := printing.PrintToPDFParams{PaperWidth: size[0] / mmPerInch, PaperHeight: size[1] / mmPerInch}
		asked.GenerateTaggedPDF = new(false) // tags take as long as all else, and move nothing
		res, err := cdp.Call(ctx, tab, printing.PrintToPDF, asked)
		if err == nil {
			pdf = res.Data
		}
		return err
	}))
	file := filepath.Join(p.t.TempDir(), paper+".pdf")
	require.NoError(p.t, os.WriteFile(file, pdf, 0o644))
	return file
}

// printedWords are the words on sheets of paper, with their places in points of 1/72 in from the upper left.
type printedWords struct {
	Pages []struct {
		Wide  float64 `xml:"width,attr"`
		High  float64 `xml:"height,attr"`
		Words []struct {
			Left   float64 `xml:"xMin,attr"`
			Top    float64 `xml:"yMin,attr"`
			Right  float64 `xml:"xMax,attr"`
			Bottom float64 `xml:"yMax,attr"`
			Text   string  `xml:",chardata"`
		} `xml:"word"`
	} `xml:"body>doc>page"`
}

// paperOf returns the paper on which a sheet is printed at home.
func paperOf(name string) string {
	if strings.HasPrefix(name, "metric") || name == "dune-whimbrel" {
		return "A4"
	}
	return "Letter"
}

// wholeTable returns what is to be read where all of a table is on the paper: the last part of each column's name,
// and the pages after it.
func wholeTable(t *testing.T, m *engine.Model, name string) []string {
	of, err := m.Table(name)
	require.NoError(t, err)
	words := []string{"measure", "buy", "Cautions", "balance_flown"}
	for _, c := range of.Columns {
		words = append(words, c.Name[strings.LastIndex(c.Name, "_")+1:])
	}
	return words
}

// wordsOn prints the page and reads it.
func (p *shownPage) wordsOn(paper string) (printed printedWords) {
	p.t.Helper()
	words, err := exec.Command(poppler(p.t, "pdftotext"), "-bbox", p.printOn(paper), "-").Output()
	require.NoError(p.t, err)
	d := xml.NewDecoder(bytes.NewReader(words))
	d.Strict = false
	require.NoError(p.t, d.Decode(&printed))
	require.NotEmpty(p.t, printed.Pages)
	return printed
}

// isOnPaper prints the page: no word is nearer to an edge than printers can print, and some are there.
func (p *shownPage) isOnPaper(paper string, some ...string) {
	p.t.Helper()
	printed := p.wordsOn(paper)
	var all strings.Builder
	for i, sheet := range printed.Pages {
		for _, w := range sheet.Words {
			all.WriteString(w.Text + " ")
			if w.Left < edge || w.Right > sheet.Wide-edge || w.Top < edge || w.Bottom > sheet.High-edge {
				assert.Fail(p.t, "a word is at the edge", "%s, sheet %d: %q %v", paper, i+1, w.Text, w)
			}
		}
	}
	assert.Greater(p.t, len(strings.Fields(all.String())), 20)
	for _, word := range some {
		assert.Contains(p.t, all.String(), word)
	}
}

// paperWidth is how wide A4 is between the page's margins, 186 mm, at 96 to the inch.
const paperWidth = 703

// nothingIsCutOnPaper looks at the page as it goes on paper: nothing is wider than the paper, and no row, which is not
// broken, is higher than a sheet of it.
func (p *shownPage) nothingIsCutOnPaper() {
	p.t.Helper()
	p.do(chromedp.EmulateViewport(paperWidth, 780))
	p.do(media("print", ""))
	ask[bool](p, "window.dispatchEvent(new Event('beforeprint')), true")
	wide := ask[[]string](p, `[...document.querySelectorAll('main *:not(wbr)')].filter((el) => !el.closest('.tile') &&
		el.getBoundingClientRect().right > document.documentElement.clientWidth + 1).slice(0, 5).map((el) =>
		el.closest('table')?.caption?.textContent + ': ' + el.outerHTML.slice(0, 120))`)
	assert.Empty(p.t, wide)
	high := ask[float64](p, `Math.max(0, ...[...document.querySelectorAll('tr, .cells > div')].map((el) =>
		el.getBoundingClientRect().height))`)
	assert.Less(p.t, high, 900.0)
	ask[bool](p, "window.dispatchEvent(new Event('afterprint')), true")
	p.do(media("", ""))
}

// TestCheckBarOnPaper measures on the paper: the check bar of a template is 100 mm, or 4 in where the sheet is in inches,
// and a side of the outline as long as the sheet says, within 0.2 mm.
func TestCheckBarOnPaper(t *testing.T) {
	pdftoppm := poppler(t, "pdftoppm")
	for unit, want := range map[string][2]float64{"mm": {100, 60}, "in": {101.6, 63.5}} {
		long := map[string]string{"mm": "60", "in": "2.5"}[unit]
		high := map[string]string{"mm": "30", "in": "1"}[unit]
		m := load(t, fmt.Sprintf("table rib\n  point | x [%s] | y [%s]\n  a | 0 | 0\n  b | %s | 0\n  c | 0 | %s\n"+
			"outline \"Rib\" rib: y against x\n", unit, unit, long, high))
		p := showPage(t, m, Options{File: "rib.gusset"}, desk)
		for paper := range papers {
			ask[bool](p, "document.body.dataset.only = 'templates', true")
			file := p.printOn(paper)
			const dpi = 600
			scan, err := exec.Command(pdftoppm, "-r", fmt.Sprint(dpi), "-gray", "-f", "2", "-l", "2", file).Output()
			require.NoError(t, err, "the template is on the second sheet")
			var wide, high int
			header := string(scan[:min(40, len(scan))]) // of a grey map of Netpbm
			_, err = fmt.Sscanf(header, "P5\n%d %d\n255\n", &wide, &high)
			require.NoError(t, err)
			const mm = dpi / mmPerInch
			bar, side := longestRuns(scan[len(scan)-wide*high:], wide, 5*mm)
			assert.InDelta(t, want[0], bar/mm-0.15, 0.2, "%s on %s: the bar, without its line", unit, paper)
			assert.InDelta(t, want[1], side/mm-0.25, 0.2, "%s on %s: the side, without its line", unit, paper)
		}
	}
}

// longestRuns returns how long the longest dark runs along rows of a picture are, in pixels, each of which is a byte of
// grey: the longest of all, and the longest that is not within so many pixels of it, up or down.
func longestRuns(picture []byte, wide int, apart float64) (first, second float64) {
	runs := make([]int, len(picture)/wide)
	for y := range runs {
		run := 0
		for _, grey := range picture[y*wide : (y+1)*wide] {
			if grey < 0x80 {
				run++
				runs[y] = max(runs[y], run)
			} else {
				run = 0
			}
		}
	}
	at := 0
	for y, run := range runs {
		if run > runs[at] {
			at = y
		}
	}
	for y, run := range runs {
		if y < at-int(apart) || y > at+int(apart) {
			second = max(second, float64(run))
		}
	}
	return float64(runs[at]), second
}

// TestMessagesOnPaper prints messages, one of them longer than a line of the paper: a mistake is on top, and remarks are
// after the pages, once.
func TestMessagesOnPaper(t *testing.T) {
	t.Parallel()
	printed := func(sheet string) string {
		p := showPage(t, load(t, sheet), Options{File: "x.gusset"}, desk)
		assert.LessOrEqual(t, ask[int](p, layOutAll+"document.documentElement.scrollWidth"), desk)
		var all strings.Builder
		for _, sheet := range p.wordsOn("A4").Pages {
			for _, w := range sheet.Words {
				all.WriteString(w.Text) // of a name that is broken, without the break
				assert.Less(t, w.Right, sheet.Wide-edge, w.Text)
			}
		}
		return all.String()
	}
	long := strings.Repeat("spar_of_the_wing_", 12)
	mistake := printed("first : 1\ny = first + " + long + "\n")
	assert.Regexp(t, "unknownname"+long+"y=first.*~hint:.*first:", mistake)
	remark := printed("first : 1\nformula stall_speed(a) = a\ny = stall_speed(first)\n")
	assert.Regexp(t, "first:.*remark:", remark)
	assert.Equal(t, 1, strings.Count(remark, "remark:"))
}

// TestWideTableWithoutScripts prints a table of forty columns in a browser that runs no scripts, which would fold it: it
// lies across the paper, and all of its columns are there.
func TestWideTableWithoutScripts(t *testing.T) {
	heads, row := "  part", "  wing"
	for i := range 40 {
		heads += fmt.Sprintf(" | c%d", i)
		row += " | 12.5"
	}
	p := &shownPage{t: t, ctx: tab(t)}
	file := filepath.Join(t.TempDir(), "page.html")
	page := written(t, load(t, "before : 1\ntable wide\n"+heads+"\n"+row+"\nafter : 2\n"), Options{File: "wide.gusset"})
	require.NoError(t, os.WriteFile(file, []byte(page), 0o644))
	p.do(chromedp.Func(func(ctx context.Context, tab *chromedp.Target) error {
		_, err := cdp.Call(ctx, tab, emulation.SetScriptExecutionDisabled,
			emulation.SetScriptExecutionDisabledParams{Value: true})
		return err
	}))
	p.do(chromedp.Navigate("file://" + file))
	across, upright := "", ""
	for _, sheet := range p.wordsOn("A4").Pages {
		for _, w := range sheet.Words {
			if sheet.Wide > sheet.High {
				across += w.Text + " "
			} else {
				upright += w.Text + " "
			}
			assert.Less(t, w.Right, sheet.Wide)
		}
	}
	for i := range 40 {
		assert.Contains(t, across, fmt.Sprintf("c%d ", i))
	}
	assert.Contains(t, upright, "before")
	assert.Contains(t, upright, "after")
}

// TestWithoutDecompression opens a page in a browser that cannot unpack its data: the page says so, and shows what it was
// made with.
func TestWithoutDecompression(t *testing.T) {
	p := &shownPage{t: t, ctx: tab(t)}
	file := filepath.Join(t.TempDir(), "page.html")
	require.NoError(t, os.WriteFile(file, []byte(written(t, small(t), Options{File: "small.gusset"})), 0o644))
	p.do(chromedp.Func(func(ctx context.Context, tab *chromedp.Target) error {
		_, err := cdp.Call(ctx, tab, printing.AddScriptToEvaluateOnNewDocument,
			printing.AddScriptToEvaluateOnNewDocumentParams{Source: "delete window.DecompressionStream"})
		return err
	}))
	p.do(chromedp.Navigate("file://" + file))
	p.until("!document.getElementById('printing').hidden")
	assert.Contains(t, ask[string](p, "document.getElementById('able').textContent"), "cannot unpack")
	assert.Contains(t, ask[string](p, "document.querySelector('.chief').innerText"), "6.6 oz")
	assert.Zero(t, ask[int](p, "document.querySelectorAll('.field, [role=button]').length"))
	ask[bool](p, "document.querySelector('.ticks input').click(), document.querySelector('.chief dd').click(), true")
	assert.False(t, ask[bool](p, "document.getElementById('why').open"))
}
