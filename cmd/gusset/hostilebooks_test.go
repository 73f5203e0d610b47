//go:build unix

package main

import (
	"archive/zip"
	"bufio"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Parts of a workbook as gusset export packs them, of a sheet with one page.
const (
	bookPart   = "xl/workbook.xml"
	stylesPart = "xl/styles.xml"
	linksPart  = "xl/_rels/workbook.xml.rels"
	pagePart   = "xl/worksheets/sheet2.xml"
	tiePart    = "xl/worksheets/sheet3.xml" // the hidden page that ties the workbook to its sheet
)

// A rewrite writes a part of a workbook in another way. It keeps none of it in memory: what the test's program
// takes would be counted for those that it starts.
type rewrite func(w *bufio.Writer, part string)

// rebuilt copies a workbook with some of its parts rewritten.
func rebuilt(t *testing.T, from, to string, parts map[string]rewrite) {
	t.Helper()
	in, err := zip.OpenReader(from)
	require.NoError(t, err)
	defer in.Close()
	f, err := os.Create(to)
	require.NoError(t, err)
	out := zip.NewWriter(f)
	left := len(parts)
	for _, p := range in.File {
		r, err := p.Open()
		require.NoError(t, err)
		part, err := io.ReadAll(r)
		require.NoError(t, err)
		w, err := out.Create(p.Name)
		require.NoError(t, err)
		b := bufio.NewWriter(w)
		if write := parts[p.Name]; write != nil {
			left--
			write(b, string(part))
		} else {
			b.Write(part)
		}
		require.NoError(t, b.Flush())
	}
	require.Zero(t, left)
	require.NoError(t, out.Close())
	require.NoError(t, f.Close())
}

// many writes a form n times, in which # stands for its number.
func many(n int, form string) func(w *bufio.Writer) {
	pieces := strings.Split(form, "#")
	return func(w *bufio.Writer) {
		for i := range n {
			for j, piece := range pieces {
				if j > 0 {
					w.WriteString(strconv.Itoa(i))
				}
				w.WriteString(piece)
			}
		}
	}
}

// inside puts more in front of a mark of a part.
func inside(t *testing.T, mark string, more ...func(w *bufio.Writer)) rewrite {
	return func(w *bufio.Writer, part string) {
		head, tail, ok := strings.Cut(part, mark)
		require.True(t, ok, mark)
		w.WriteString(head)
		for _, write := range more {
			write(w)
		}
		w.WriteString(mark + tail)
	}
}

// inCells is a row of cells that hold texts.
func inCells(texts ...string) string {
	var b strings.Builder
	for _, text := range texts {
		b.WriteString(`<c t="inlineStr"><is><t>` + text + `</t></is></c>`)
	}
	return "<row>" + b.String() + "</row>"
}

// TestHostileWorkbooks: whatever is in a workbook that someone sent, import ends, with little memory.
func TestHostileWorkbooks(t *testing.T) {
	if testing.Short() {
		t.Log("NOT tried under -short: workbooks that ask for much; sheets/workbook/xlsx tries smaller ones")
		return
	}
	if raced {
		t.Log("the race detector takes ten times the memory and the time")
		return
	}
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile(
		"tern.gusset", []byte("a : 1\nt : \"x\"\ntable r\n  n | k\n"+linesOf(9, "  r# | 1")), 0o644,
	))
	endsWithin(t, allWell, "", "export", "tern.gusset", "-o", "tern.xlsx")
	rows := func(more ...func(w *bufio.Writer)) rewrite { return inside(t, "</sheetData>", more...) }
	names := func(more ...func(w *bufio.Writer)) rewrite { return inside(t, "</definedNames>", more...) }
	inputs := func(n int, form string) rewrite {
		return rows(many(n, inCells(
			"input", form, "a", "", "", "", "9",
		)))
	} // all in one cell
	renamed := func(name, refersTo string) rewrite {
		return func(w *bufio.Writer, part string) {
			head, tail, ok := strings.Cut(part, `<definedName name="`+name+`">`)
			require.True(t, ok)
			_, tail, _ = strings.Cut(tail, "<")
			w.WriteString(head + `<definedName name="` + name + `">`)
			w.WriteString(refersTo)
			w.WriteString("<" + tail)
		}
	}
	long := letters(100_000)
	const tooManyTexts = "the texts of the workbook have more than 32 MiB together"
	type hostile struct {
		name   string
		status int
		words  string
		parts  map[string]rewrite
	}
	cases := []hostile{
		{"comments", fileTrouble, "a tag or a text of over 1 MiB", map[string]rewrite{
			pagePart: rows(many(1, "<!--"), many(20, long), many(1, "-->")),
		}},
		{"texts", fileTrouble, tooManyTexts, map[string]rewrite{pagePart: rows(many(400, inCells(long)))}},
		{"names", fileTrouble, "the workbook has over 100000 defined names", map[string]rewrite{
			bookPart: names(many(300_000, `<definedName name="n#">A!$A$1</definedName>`)),
		}},
		{"sheets", fileTrouble, "the workbook has over 1000 sheets", map[string]rewrite{
			bookPart:  inside(t, "</sheets>", many(400_000, `<sheet name="s#" r:id="x"/>`)),
			linksPart: inside(t, "</Relationships>", many(1, `<Relationship Id="x" Type="http://x/chartsheet" Target=""/>`)),
		}},
		{"formats", fileTrouble, "a number format has more than 1000 bytes", map[string]rewrite{stylesPart: func(w *bufio.Writer, _ string) {
			w.WriteString(`<styleSheet><numFmts><numFmt numFmtId="200" formatCode="` + long + `"/></numFmts></styleSheet>`)
		}}},
		{"blocks", fileTrouble, "over 256 formulas for blocks of cells", map[string]rewrite{
			pagePart: rows(many(4000, `<row><c><f t="array" ref="AA1:AB1048576"/></c></row>`)),
		}},
		{"twice", fileTrouble, "what ties this workbook to its sheet has been changed", map[string]rewrite{
			tiePart: inputs(2, "a"),
		}},
		{"tags", fileTrouble, "the workbook has over 6 million tags", map[string]rewrite{
			pagePart: rows(many(12<<20, "<x/>")),
		}},
		{"attributes", allWell, "No given value has been changed", map[string]rewrite{
			pagePart: rows(many(50, `<x `+strings.Repeat(`a="" `, 100_000)+`/>`)),
		}},
		{"cells", fileTrouble, "the workbook has over 600000 cells", map[string]rewrite{
			pagePart: rows(many(700, "<row>"+strings.Repeat("<c><v>1</v></c>", 1000)+"</row>")),
		}},
		{"results", fileTrouble, tooManyTexts, map[string]rewrite{
			pagePart: rows(many(400, `<row><c t="str"><v>`+long+"</v></c></row>")),
		}},
		{"faults", fileTrouble, tooManyTexts, map[string]rewrite{
			pagePart: rows(many(400, `<row><c t="e"><v>`+long+"</v></c></row>")),
		}},
		{"long-names", fileTrouble, tooManyTexts, map[string]rewrite{
			bookPart: names(many(600, `<definedName name="n#">`+long+"</definedName>")),
		}},
		{"blocked", sheetErrors, "is not in the sheet any more", map[string]rewrite{
			tiePart: rows(many(49_000, inCells(
				"input", "z#", "a", "", "", "", "9",
			)), many(256, `<row><c><f t="array" ref="AA1:AB1048576"/></c></row>`)),
		}},
		{"lines", fileTrouble, "what ties this workbook to its sheet has been changed", map[string]rewrite{
			tiePart: inputs(70_000, "z#"),
		}},
		{"long-lines", sheetErrors, "others: each is not in the sheet any more", map[string]rewrite{
			tiePart: inputs(49_000, letters(400)+"#"),
		}},
		{"long-areas", sheetErrors, "and 39998 others: each cannot be found", map[string]rewrite{
			tiePart: inputs(40_000, "z#"), bookPart: renamed("a", long),
		}},
		{"added-rows", sheetErrors, "has 178999 more rows that were added", map[string]rewrite{
			pagePart: rows(many(1, `<row r="100000"/>`), many(179_999, inCells(letters(60)+"#"))),
			bookPart: renamed("r_n", "&#39;tern&#39;!$A$100001:$A$279999"),
		}},
	}
	const choices = 5000
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			rebuilt(t, "tern.xlsx", c.name+".xlsx", c.parts)
			endsWithin(t, c.status, c.words, "import", c.name+".xlsx", "tern.gusset")
		})
	}
	t.Run("choices", func(t *testing.T) {
		require.NoError(t, os.WriteFile(
			"many.gusset",
			[]byte("table r\n  n | k\n"+linesOf(choices, "  spruce # | 1")+
				linesOf(choices, `a# [one of r] : "spruce #"`)),
			0o644,
		))
		endsWithin(t, allWell, "", "export", "many.gusset", "-o", "many.xlsx")
		rebuilt(t, "many.xlsx", "choices.xlsx", map[string]rewrite{pagePart: func(w *bufio.Writer, part string) {
			w.WriteString(strings.ReplaceAll(part, "spruce ", "sprice "))
		}})
		endsWithin(
			t, sheetErrors, fmt.Sprintf(`a%[1]d says "sprice %[1]d", which is not one of its choices`, choices-1),
			"import", "choices.xlsx", "many.gusset",
		)
	})
}
