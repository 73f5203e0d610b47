package xlsx

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"fmt"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// allocated returns the bytes that work takes from memory, kept or not.
func allocated(work func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	work()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// refuses fails unless a file is refused with words in the message, and for at most so many MiB of memory.
func refuses(t *testing.T, data []byte, mostMiB uint64, words string) {
	t.Helper()
	var err error
	took := allocated(func() { _, err = readBytes(data) })
	require.Error(t, err)
	assert.Contains(t, err.Error(), words)
	assert.NotContains(t, err.Error(), "\x1b")
	assert.Less(t, took, mostMiB<<20)
}

const (
	saveAgain = "; open it in a spreadsheet program and save it again as .xlsx"
	takeOut   = ", more than a workbook of a model needs; take out what does not belong to it"
)

func TestRefuseOtherKinds(t *testing.T) {
	for _, c := range []struct {
		words string
		data  []byte
	}{
		{"the file is empty; export the workbook again", nil},
		{"this is not a workbook" + saveAs, []byte("span,chord\n40,6.5\n")},
		{"this is not a workbook" + saveAs, []byte("x")},
		{"this workbook has a password, or is of the old kind (.xls)" + saveAs +
			" without a password", append([]byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"), make([]byte, 600)...)},
		{"this is an OpenDocument file (.ods)" + saveAs, pack(t, map[string]string{
			"mimetype": "application/vnd.oasis.opendocument.spreadsheet",
		})},
		{"this is a packed file, but not a workbook" + saveAs, pack(t, map[string]string{"plan.pdf": "%PDF"})},
		{"this is a workbook of the binary kind (.xlsb)" + saveAs, plainWith(
			t, "_rels/.rels", linksTo("officeDocument", "xl/workbook.bin"),
		)},
		{`the part "xl/workbook.xml" holds "document" where "workbook" belongs` + saveAgain, plainWith(
			t, bookPart, `<w:document xmlns:w="w"/>`,
		)},
		{"this workbook has macros, which are not let in" + saveAs + ", which leaves them out", plainWith(
			t, "xl/vbaProject.bin", "",
		)},
		{"this workbook has macros", plainWith(
			t, linksPart, linksTo("worksheet", "worksheets/sheet1.xml", "vbaProject", "v.bin"),
		)},
		{"this workbook has macros", plainWith(t, linksPart, linksTo("xlMacrosheet", "worksheets/sheet1.xml"))},
		{"the file is larger than 16 MiB" + takeOut, append([]byte("PK\x03\x04"), make([]byte, maxFile)...)},
	} {
		refuses(t, c.data, 8, c.words)
	}
}

func TestRefuseBrokenParts(t *testing.T) {
	for _, c := range []struct{ words, part, text string }{
		{`the part "../../xl/b.xml" is missing`, linksPart, linksTo("worksheet", "../../../xl/b.xml")},
		{`the part "etc/hostname" is missing`, linksPart, linksTo("worksheet", "/../../etc/hostname")},
		{`the sheet "Wing" is not in the file`, linksPart, linksTo()},
		{`the part "xl/workbook.xml" is not written in UTF-8`, bookPart, "\xff\xfe<\x00a\x00/\x00>\x00"},
		{`the part "xl/workbook.xml" is not written in UTF-8`, bookPart, "<\x00a\x00/\x00>\x00"},
		{
			`the part "xl/workbook.xml" is not written in UTF-8`, bookPart,
			`<?xml version="1.0" encoding="UTF-16"?><workbook/>`,
		},
		{`the part "xl/workbook.xml" is not sound on its line 2`, bookPart, "<workbook>\n<sheets></workbook>"},
		{`the part "xl/workbook.xml" is not sound on its line 1`, bookPart, "<workbook>"},
		{`the part "xl/workbook.xml" is not sound on its line 1`, bookPart, "<workbook>&\x1b[2J;</workbook>"},
		{`the part "xl/workbook.xml" is not sound on its line 1`, bookPart, "<workbook>\xff</workbook>"},
		{`the part "xl/workbook.xml" is empty`, bookPart, " \n"},
		{`the part "xl/workbook.xml" goes on after its end`, bookPart, "<workbook/><workbook/>"},
		{`the part "xl/workbook.xml" has text outside its tags`, bookPart, "<workbook/> and so on"},
		{`the part "xl/workbook.xml" has text outside its tags`, bookPart, "so <workbook/>"},
		{
			`the sheet "wING" is there twice`, bookPart,
			`<workbook ` + mainSpace + `><sheets><sheet name="Wing" r:id="r0"/><sheet name="wING" r:id="r1"/></sheets></workbook>`,
		},
		{
			`the sheet "Tail" takes the place of another one`, bookPart,
			`<workbook ` + mainSpace + `><sheets><sheet name="Wing" r:id="r0"/><sheet name="Tail" r:id="r0"/></sheets></workbook>`,
		},
		{
			`the name "CHORD" is there twice`, bookPart,
			`<workbook><definedNames><definedName name="chord">1</definedName><definedName name="CHORD">2</definedName></definedNames></workbook>`,
		},
		{
			`the name "chord" belongs to a sheet that is not there`, bookPart,
			`<workbook><definedNames><definedName name="chord" localSheetId="0"/></definedNames></workbook>`,
		},
		{
			`the number format "0.0" has no number`, stylesPart,
			`<styleSheet><numFmts><numFmt formatCode="0.0"/></numFmts></styleSheet>`,
		},
	} {
		refuses(t, plainWith(t, c.part, c.text), 8, c.words+saveAgain)
	}
}

// TestRefuseEntities: what a part defines for itself could grow without end, or bring in other files.
func TestRefuseEntities(t *testing.T) {
	for _, definition := range []string{
		`<!DOCTYPE sst [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>`,
		`<!DOCTYPE sst [<!ENTITY b SYSTEM "file:///etc/hostname">]>`,
		`<!DOCTYPE sst SYSTEM "http://127.0.0.1/x.dtd">`,
	} {
		text := definition + `<sst><si><t>&b;</t></si></sst>`
		refuses(
			t, plainWith(t, stringsPart, text), 8,
			`the part "xl/sharedStrings.xml" has definitions of its own (<!...>)`+saveAgain,
		)
	}
	refuses(
		t, plainWith(t, stringsPart, `<sst><si><t>&b;</t></si></sst>`), 8,
		`the part "xl/sharedStrings.xml" is not sound on its line 1`,
	)
	refuses(t, plainWith(t, stringsPart, `<sst><!DOCTYPE a></sst>`), 8, "has definitions of its own")
}

func TestRefuseCells(t *testing.T) {
	in := func(row, cell string) string { return `the sheet "Wing" has a cell "` + cell + `" in its row ` + row }
	for _, c := range []struct{ words, rows string }{
		{in("1", "A0"), `<row r="1"><c r="A0"><v>1</v></c></row>`},
		{in("1", "AAAA1"), `<row r="1"><c r="AAAA1"><v>1</v></c></row>`},
		{in("1", "XFE1"), `<row r="1"><c r="XFE1"><v>1</v></c></row>`},
		{in("1", "R1C1"), `<row r="1"><c r="R1C1"><v>1</v></c></row>`},
		{in("1", "A-1"), `<row r="1"><c r="A-1"><v>1</v></c></row>`},
		{in("1", "A+1"), `<row r="1"><c r="A+1"><v>1</v></c></row>`},
		{in("1", "1"), `<row r="1"><c r="1"><v>1</v></c></row>`},
		{in("1", "B2"), `<row r="1"><c r="B2"><v>1</v></c></row>`},
		{`the sheet "Wing" has a row "-5"`, `<row r="-5"/>`},
		{`the sheet "Wing" has a row "0"`, `<row r="0"/>`},
		{`the sheet "Wing" has a row "1048577"`, `<row r="1048577"/>`},
		{`the sheet "Wing" has a row "99999999999999999999"`, `<row r="99999999999999999999"/>`},
		{`the sheet "Wing" has a row ""`, `<row r="1048576"/><row/>`},
		{`cell XFE1 of the sheet "Wing" is beyond the last column`, `<row><c r="XFD1"/><c/></row>`},
		{`cell B5 of the sheet "Wing" is there twice`, `<row r="5"><c r="B5"><v>1</v></c><c r="B5"><v>1</v></c></row>`},
		{`cell A1 of the sheet "Wing" shows text number "1" of 1`, `<row><c t="s"><v>1</v></c></row>`},
		{`cell A1 of the sheet "Wing" shows text number "-1" of 1`, `<row><c t="s"><v>-1</v></c></row>`},
		{`cell A1 of the sheet "Wing" shows text number "" of 1`, `<row><c t="s"><v/></c></row>`},
		{`cell A1 of the sheet "Wing" has style "2" of 2`, `<row><c s="2"><v>1</v></c></row>`},
		{`cell A1 of the sheet "Wing" has style "-1" of 2`, `<row><c s="-1"><v>1</v></c></row>`},
		{`cell A1 of the sheet "Wing" holds "NaN", which is not a number`, `<row><c><v>NaN</v></c></row>`},
		{`cell A1 of the sheet "Wing" holds "-Inf", which is not a number`, `<row><c><v>-Inf</v></c></row>`},
		{`cell A1 of the sheet "Wing" holds "0x1p-2", which is not a number`, `<row><c><v>0x1p-2</v></c></row>`},
		{`cell A1 of the sheet "Wing" holds "1_000", which is not a number`, `<row><c><v>1_000</v></c></row>`},
		{`cell A1 of the sheet "Wing" holds "1e999", which is not a number`, `<row><c><v>1e999</v></c></row>`},
		{`cell A1 of the sheet "Wing" holds "36,5", which is not a number`, `<row><c><v>36,5</v></c></row>`},
		{`cell A1 of the sheet "Wing" holds "yes", which is neither true nor false`, `<row><c t="b"><v>yes</v></c></row>`},
		{`cell A1 of the sheet "Wing" is of an unknown type, "q"`, `<row><c t="q"><v>1</v></c></row>`},
		{
			`cell A1 of the sheet "Wing" has a formula for the block "A1:ZZZZ9"`,
			`<row><c><f t="array" ref="A1:ZZZZ9"/></c></row>`,
		},
	} {
		refuses(t, plainWith(t, sheetPart, sheetOf(c.rows)), 8, c.words+saveAgain)
	}
}

// TestFarCells: a cell costs the same wherever it stands.
func TestFarCells(t *testing.T) {
	var rows strings.Builder
	for i := range 2000 {
		fmt.Fprintf(&rows, `<row r="%d"><c r="XFD%d"><v>%d</v></c></row>`, i+1, i+1, i)
	}
	rows.WriteString(`<row r="1048576"><c r="A1048576"><v>-1</v></c></row>`)
	data := plainWith(t, sheetPart, sheetOf(rows.String()))
	var b *Book
	assert.Less(t, allocated(func() { b = mustRead(t, data) }), uint64(16<<20))
	assert.Equal(t, 1999., b.Sheets[0].Cell(2000, sheetColumns).Number)
	assert.Equal(t, -1., b.Sheets[0].Cell(sheetRows, 1).Number)
}

func TestRefuseDepth(t *testing.T) {
	deep := `<worksheet>` + strings.Repeat("<x>", 3_000_000) + strings.Repeat("</x>", 3_000_000) + `</worksheet>`
	refuses(
		t, plainWith(t, sheetPart, deep), 8,
		`the part "xl/worksheets/sheet1.xml" has more than 64 tags within one another`+saveAgain,
	)
	mustRead(t, plainWith(
		t, sheetPart,
		`<worksheet>`+strings.Repeat("<x>", maxDepth-1)+strings.Repeat("</x>", maxDepth-1)+`</worksheet>`,
	))
}

func TestRefuseManyNames(t *testing.T) {
	var names strings.Builder
	for i := range 300_000 {
		fmt.Fprintf(&names, `<definedName name="n%d">Wing!$A$1</definedName>`, i)
	}
	refuses(
		t, plainWith(t, bookPart, `<workbook><definedNames>`+names.String()+`</definedNames></workbook>`), 256,
		"the workbook has over 100000 defined names"+takeOut,
	)
}

func TestRefuseLongTexts(t *testing.T) {
	long := strings.Repeat("<b/>", 10) + strings.Repeat(" ", maxText+1)
	tag := `<c r="` + long[40:] + `"/>`
	pieces := strings.Repeat(strings.Repeat("x", 1000)+"<!-- -->", 1100)
	runs := strings.Repeat("<r><t>"+strings.Repeat("x", 1000)+"</t></r>", 1100)
	for _, text := range []string{long, tag, `<t>` + pieces + `</t>`, runs} {
		refuses(
			t, plainWith(t, stringsPart, `<sst><si>`+text+`</si></sst>`), 32,
			`the part "xl/sharedStrings.xml" has a tag or a text of over 1 MiB`+takeOut,
		)
	}
}

// TestLimits reads the small workbook with limits all but reached.
func TestLimits(t *testing.T) {
	arrays := `<row>` + strings.Repeat(`<c><f t="array" ref="A1:A2"/></c>`, maxArrays+1) + `</row>`
	for _, c := range []struct {
		words string
		data  []byte
		spend func(r *bookReader)
	}{
		{"the workbook has over 6 million tags", plainWith(t), func(r *bookReader) { r.tokens = maxTokens - 50 }},
		{
			"the workbook is larger than 128 MiB when it is unpacked", plainWith(t),
			func(r *bookReader) { r.unpacked = maxUnpacked - 1000 },
		},
		{"the workbook has over 600000 cells", plainWith(t), func(r *bookReader) { r.cells = maxCells }},
		{"the workbook has over 600000 texts", plainWith(t), func(r *bookReader) { r.texts = make([]string, maxStrings) }},
		{
			"the texts of the workbook have more than 32 MiB together", plainWith(t),
			func(r *bookReader) { r.kept = maxTexts - 3 },
		},
		{
			"the workbook has over 1000 sheets", plainWith(t),
			func(r *bookReader) { r.book.Sheets = make([]*Sheet, maxSheets) },
		},
		{
			"the workbook has over 65536 cell formats", plainWith(t),
			func(r *bookReader) { r.formats = make([]string, maxStyles) },
		},
		{
			`the sheet "Wing" has over 256 formulas for blocks of cells`,
			plainWith(t, sheetPart, sheetOf(arrays)), func(*bookReader) {},
		},
		{
			`the part "_rels/.rels" has over 2000 links`,
			plainWith(t, "_rels/.rels", `<Relationships>`+strings.Repeat(`<Relationship/>`, maxParts+1)+`</Relationships>`),
			func(*bookReader) {},
		},
	} {
		parts, err := openParts(bytes.NewReader(c.data), int64(len(c.data)))
		require.NoError(t, err)
		r := newBookReader(parts)
		c.spend(r)
		require.EqualError(t, r.readBook(), c.words+takeOut)
	}
}

// rawPart is a part as it stands in the file: packed, and with what the list of parts says of it.
type rawPart struct {
	zip.FileHeader
	packed []byte
}

// packRaw packs the small workbook and parts that do not say what is true. They take the place of its own.
func packRaw(t *testing.T, raw ...rawPart) []byte {
	t.Helper()
	parts := plainParts()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, p := range raw {
		delete(parts, p.Name)
		p.CompressedSize64 = uint64(len(p.packed))
		w, err := z.CreateRaw(&p.FileHeader)
		require.NoError(t, err)
		_, err = w.Write(p.packed)
		require.NoError(t, err)
	}
	for name, text := range parts {
		w, err := z.Create(name)
		require.NoError(t, err)
		_, err = w.Write([]byte(text))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return out.Bytes()
}

// blanks returns so many MiB of blanks, deflated. All of them but the first are packed alike.
func blanks(t *testing.T, mib int) []byte {
	t.Helper()
	var out bytes.Buffer
	w, err := flate.NewWriter(&out, flate.BestCompression)
	require.NoError(t, err)
	one := bytes.Repeat([]byte(" "), 1<<20)
	sizes := []int{0}
	for range 2 {
		_, err = w.Write(one)
		require.NoError(t, err)
		require.NoError(t, w.Flush())
		sizes = append(sizes, out.Len())
	}
	second := bytes.Clone(out.Bytes()[sizes[1]:])
	out.Truncate(sizes[1])
	out.Write(bytes.Repeat(second, mib-1))
	out.Write([]byte{1, 0, 0, 0xff, 0xff}) // an empty last block
	return out.Bytes()
}

func TestRefuseBlanks(t *testing.T) {
	bomb := blanks(t, 1024)
	require.Less(t, len(bomb), 2<<20)
	for _, name := range []string{sheetPart, stringsPart, "xl/theme/theme1.xml"} {
		open := zip.FileHeader{Name: name, Method: zip.Deflate, UncompressedSize64: 1 << 30}
		refuses(t, packRaw(t, rawPart{open, bomb}), 8, `the part "`+name+`" is larger than 64 MiB`+takeOut)
	}
	for _, claimed := range []uint64{1, 1000, maxPart} {
		lying := zip.FileHeader{Name: sheetPart, Method: zip.Deflate, UncompressedSize64: claimed}
		refuses(t, packRaw(t, rawPart{lying, bomb}), 8, `the part "xl/worksheets/sheet1.xml" `)
	}
}

// TestRefuseLies: a part is as long as it claims, whole, and packed in a way that is known, or it is not read.
func TestRefuseLies(t *testing.T) {
	text := []byte(plainParts()[sheetPart])
	header := zip.FileHeader{Name: sheetPart, Method: zip.Store, UncompressedSize64: uint64(len(text))}
	mustRead(t, packRaw(t, rawPart{header, text})) // its sum is not given, so it is not compared
	const bad = `the part "xl/worksheets/sheet1.xml" is damaged` + saveAgain
	for _, c := range []struct {
		words  string
		change func(h *zip.FileHeader)
	}{
		{bad, func(h *zip.FileHeader) { h.CRC32 = 7 }},
		{bad, func(h *zip.FileHeader) { h.UncompressedSize64-- }},
		{bad, func(h *zip.FileHeader) { h.UncompressedSize64++ }},
		{bad, func(h *zip.FileHeader) { h.Method = 99 }},
		{"this file is packed with a password" + saveAs + " without a password", func(h *zip.FileHeader) { h.Flags = 1 }},
		{`the part "xl/workbook.xml" is there twice` + saveAgain, func(h *zip.FileHeader) { h.Name = "XL/workbook.xml" }},
	} {
		h := header
		c.change(&h)
		refuses(t, packRaw(t, rawPart{h, text}), 8, c.words)
	}
}

func TestRefusePaths(t *testing.T) {
	for _, name := range []string{
		"../x", "/etc/hostname", "xl/../../x", "./x", "xl//x", "xl\\x", "..", "x\x00.xml", "\x1b[2J/../x",
	} {
		words := "a part has the name " + inQuotes(name) + ", which leads out of the workbook" + saveAgain
		refuses(t, packRaw(t, rawPart{zip.FileHeader{Name: name}, nil}), 8, words)
	}
}

// TestRefuseManyParts: the list of parts is itself read within limits.
func TestRefuseManyParts(t *testing.T) {
	raw := make([]rawPart, 20_000)
	for i := range raw {
		raw[i].Name = fmt.Sprint(i)
	}
	refuses(t, packRaw(t, raw...), 32, "the file is packed from over 2000 parts"+takeOut)
}
