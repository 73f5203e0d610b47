package xlsx

import (
	"archive/zip"
	"bytes"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const (
	mainSpace   = `xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"`
	linkTypes   = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/"
	sheetPart   = "xl/worksheets/sheet1.xml"
	bookPart    = "xl/workbook.xml"
	stringsPart = "xl/sharedStrings.xml"
	stylesPart  = "xl/styles.xml"
	linksPart   = "xl/_rels/workbook.xml.rels"
)

// plainParts are the parts of a small workbook with the sheet Wing, and in its B5 the number 8.25.
func plainParts() map[string]string {
	return map[string]string{
		"_rels/.rels": linksTo("officeDocument", "xl/workbook.xml"),
		linksPart: linksTo(
			"worksheet", "worksheets/sheet1.xml", "sharedStrings", "/xl/sharedStrings.xml", "styles",
			"styles.xml",
		),
		bookPart: `<?xml version="1.0" encoding="UTF-8"?><workbook ` + mainSpace +
			`><sheets><sheet name="Wing" sheetId="7" r:id="r0"/></sheets>` +
			`<definedNames><definedName name="chord">Wing!$B$5</definedName></definedNames></workbook>`,
		sheetPart: sheetOf(`<row r="5"><c r="B5" s="1"><v>8.25</v></c></row>`),
		stringsPart: `<sst ` + mainSpace +
			` count="9999999999" uniqueCount="9999999999"><si><t>spruce</t></si></sst>`,
		stylesPart: `<styleSheet ` + mainSpace +
			`><numFmts><numFmt numFmtId="164" formatCode="# ?/16"/></numFmts><cellXfs><xf numFmtId="0"/><xf numFmtId="164"/></cellXfs></styleSheet>`,
	}
}

// linksTo writes links from pairs of a kind and a target; their ids are r0, r1 and so on.
func linksTo(pairs ...string) string {
	var b strings.Builder
	b.WriteString(`<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`)
	for i := 0; i < len(pairs); i += 2 {
		b.WriteString(`<Relationship Id="r` + string(rune('0'+i/2)) + `" Type="` + linkTypes + pairs[i] + `" Target="` +
			pairs[i+1] + `"/>`)
	}
	return b.String() + `</Relationships>`
}

func sheetOf(rows string) string {
	return `<worksheet ` + mainSpace + `><sheetData>` + rows + `</sheetData></worksheet>`
}

// pack packs parts into a file.
func pack(t testing.TB, parts map[string]string) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, name := range slices.Sorted(maps.Keys(parts)) {
		w, err := z.Create(name)
		require.NoError(t, err)
		_, err = w.Write([]byte(parts[name]))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return out.Bytes()
}

// plainWith packs the small workbook with other parts in place of its own: pairs of a name and a text.
func plainWith(t testing.TB, pairs ...string) []byte {
	t.Helper()
	parts := plainParts()
	for i := 0; i < len(pairs); i += 2 {
		parts[pairs[i]] = pairs[i+1]
	}
	return pack(t, parts)
}

func readBytes(data []byte) (*Book, error) {
	return Read(bytes.NewReader(data), int64(len(data)))
}

func mustRead(t testing.TB, data []byte) *Book {
	t.Helper()
	b, err := readBytes(data)
	require.NoError(t, err)
	return b
}

// cellsOf reads the small workbook with other rows.
func cellsOf(t testing.TB, rows string) *Sheet {
	t.Helper()
	return mustRead(t, plainWith(t, sheetPart, sheetOf(rows))).Sheets[0]
}
