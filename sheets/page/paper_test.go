package page

import (
	"bytes"
	"context"
	"encoding/xml"
	"fmt"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	printing "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Pages on paper, as a browser prints them into a PDF.

// papers are the sizes of paper, in mm (ISO 216; ASME Y14.1).
var papers = map[string][2]float64{"A4": {210, 297}, "Letter": {215.9, 279.4}}

const mmPerInch = 25.4

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
		res, err := cdp.Call(ctx, tab, printing.PrintToPDF, printing.PrintToPDFParams{
			PaperWidth: size[0] / mmPerInch, PaperHeight: size[1] / mmPerInch})
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

// TestEveryWordIsOnThePaper prints pages on both papers: no word is nearer to an edge than printers can print, 4 mm.
func TestEveryWordIsOnThePaper(t *testing.T) {
	pdftotext := poppler(t, "pdftotext")
	all := sheets(t)
	for _, name := range some(all) {
		p := showPage(t, all[name], Options{File: name + ".gusset"}, desk)
		for paper := range papers {
			words, err := exec.Command(pdftotext, "-bbox", p.printOn(paper), "-").Output()
			require.NoError(t, err)
			var printed printedWords
			d := xml.NewDecoder(bytes.NewReader(words))
			d.Strict = false
			require.NoError(t, d.Decode(&printed))
			require.NotEmpty(t, printed.Pages)
			const edge = 4 * 72 / mmPerInch
			count := 0
			for i, sheet := range printed.Pages {
				for _, w := range sheet.Words {
					count++
					if w.Left < edge || w.Right > sheet.Wide-edge || w.Top < edge || w.Bottom > sheet.High-edge {
						assert.Fail(t, "a word is at the edge", "%s on %s, sheet %d: %q %v", name, paper, i+1, w.Text, w)
					}
				}
			}
			assert.Greater(t, count, 20, name)
		}
		p.quiet()
	}
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
		for paper := range papers {
			p := showPage(t, m, Options{File: "rib.gusset"}, desk)
			ask[bool](p, "document.body.dataset.only = 'templates', true")
			file := p.printOn(paper)
			const dpi = 600
			shown, err := exec.Command(pdftoppm, "-r", fmt.Sprint(dpi), "-gray", "-png", "-l", "4", file, file).CombinedOutput()
			require.NoError(t, err, string(shown))
			rendered, err := filepath.Glob(file + "*.png")
			require.NoError(t, err)
			require.NotEmpty(t, rendered)
			scan, err := os.Open(rendered[len(rendered)-1]) // the template is on the last sheet
			require.NoError(t, err)
			defer scan.Close()
			picture, err := png.Decode(scan)
			require.NoError(t, err)
			const mm = dpi / mmPerInch
			bar, side := longestRuns(picture, 5*mm)
			assert.InDelta(t, want[0], bar/mm-0.15, 0.2, "%s on %s: the bar, without its line", unit, paper)
			assert.InDelta(t, want[1], side/mm-0.25, 0.2, "%s on %s: the side, without its line", unit, paper)
		}
	}
}

// longestRuns returns how long the longest dark runs along rows of a picture are, in pixels: the longest of all, and the
// longest that is not within so many pixels of it, up or down.
func longestRuns(picture image.Image, apart float64) (first, second float64) {
	b := picture.Bounds()
	runs := make([]int, b.Dy())
	for y := range runs {
		run := 0
		for x := b.Min.X; x < b.Max.X; x++ {
			if r, _, _, _ := picture.At(x, b.Min.Y+y).RGBA(); r < 0x8000 {
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
