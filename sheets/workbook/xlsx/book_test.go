package xlsx

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadPlain(t *testing.T) {
	b := mustRead(t, plainWith(t))
	require.Len(t, b.Sheets, 1)
	wing := b.Sheets[0]
	assert.Equal(t, "Wing", wing.Name)
	assert.Equal(t, Cell{Kind: Number, Number: 8.25, Format: "# ?/16"}, wing.Cell(5, 2))
	assert.Equal(t, Cell{}, wing.Cell(2, 5))
	assert.Equal(t, Cell{}, wing.Cell(0, -1))
	assert.Equal(t, []Name{{Name: "chord", RefersTo: "Wing!$B$5"}}, b.Names)
}

func TestReadCells(t *testing.T) {
	const long = "0.66666666666666663"
	for _, c := range []struct {
		xml  string
		want Cell
	}{
		{`<c r="A1"><v>` + long + `</v></c>`, Cell{Kind: Number, Number: 2. / 3, Format: "General"}},
		{`<c r="A1" t="n" s="1"><v> -1.5E-3 </v></c>`, Cell{Kind: Number, Number: -0.0015, Format: "# ?/16"}},
		{`<c><f>B1*2</f><v>3</v></c>`, Cell{Kind: Number, Number: 3, Formula: true, Format: "General"}},
		{`<c><f>B1*2</f></c>`, Cell{Formula: true, Format: "General"}},
		{`<c t="s"><v>0</v></c>`, Cell{Kind: Text, Text: "spruce", Format: "General"}},
		{`<c t="str"><f>A2</f><v> 36 1/2 in</v></c>`, Cell{Kind: Text, Text: " 36 1/2 in", Formula: true, Format: "General"}},
		{`<c t="str"><f>A2</f><v></v></c>`, Cell{Kind: Text, Formula: true, Format: "General"}},
		{`<c t="inlineStr"><is><t>balsa &amp; ply &#xBD;</t></is></c>`, Cell{
			Kind: Text, Text: "balsa & ply ½", Format: "General",
		}},
		{`<c t="inlineStr"><is><t> a </t></is></c>`, Cell{Kind: Text, Text: "a", Format: "General"}},
		{`<c t="inlineStr"><is><t xml:space="preserve"> a </t></is></c>`, Cell{Kind: Text, Text: " a ", Format: "General"}},
		{
			`<c t="inlineStr"><is><r><t>hard </t></r><r><rPr><b/></rPr><t xml:space="preserve"> balsa</t></r><rPh sb="0" eb="1"><t>no</t></rPh></is></c>`,
			Cell{Kind: Text, Text: "hard balsa", Format: "General"},
		},
		{`<c t="inlineStr"><is><t>_x005F_x0041_ _x0041__xD83D__xDEE9_ _xZZZZ_ _x41_ _xD83D_.</t></is></c>`, Cell{
			Kind: Text, Text: "_x0041_ A🛩 _xZZZZ_ _x41_ \ufffd.", Format: "General",
		}},
		{`<c t="inlineStr"><is><t>a<!-- not this --><![CDATA[<b>]]></t></is></c>`, Cell{
			Kind: Text, Text: "a<b>", Format: "General",
		}},
		{`<c t="b"><v>1</v></c>`, Cell{Kind: Boolean, Number: 1, Format: "General"}},
		{`<c t="b"><f aca="false">TRUE()</f><v>1</v></c>`, Cell{Kind: Boolean, Number: 1, Format: "General"}},
		{`<c t="b"><f>NOT(TRUE())</f><v>0</v></c>`, Cell{Kind: Boolean, Formula: true, Format: "General"}},
		{`<c t="b"><v>false</v></c>`, Cell{Kind: Boolean, Format: "General"}},
		{`<c t="e"><f>1/0</f><v>#DIV/0!</v></c>`, Cell{Kind: Fault, Text: "#DIV/0!", Formula: true, Format: "General"}},
		{`<c t="d"><v>2026-05-12</v></c>`, Cell{Kind: Text, Text: "2026-05-12", Format: "General"}},
		{`<c s="1"/>`, Cell{}},
		{`<c s="1"><v></v></c>`, Cell{}},
		{`<c t="inlineStr"/>`, Cell{}},
	} {
		assert.Equal(t, c.want, cellsOf(t, `<row>`+c.xml+`</row>`).Cell(1, 1), c.xml)
	}
}

func TestReadCellsWithoutPlace(t *testing.T) {
	s := cellsOf(
		t,
		`<row><c><v>1</v></c><c r="D1"><v>4</v></c><c><v>5</v></c></row><row r="9"/><row><c><v>10</v></c></row>`,
	)
	assert.Equal(t, 1., s.Cell(1, 1).Number)
	assert.Equal(t, 4., s.Cell(1, 4).Number)
	assert.Equal(t, 5., s.Cell(1, 5).Number)
	assert.Equal(t, 10., s.Cell(10, 1).Number)
}

// TestReadArrays: one formula for a block is told at its first cell alone.
func TestReadArrays(t *testing.T) {
	s := cellsOf(t, `<row><c><f t="array" ref="A1:B2">X1:Y2*2</f><v>1</v></c><c><v>2</v></c><c><v>3</v></c></row>`+
		`<row><c><v>4</v></c><c><f t="array" ref="B2">1</f></c></row><row><c><v>5</v></c></row>`)
	assert.True(t, s.Cell(1, 1).Formula)
	assert.True(t, s.Cell(1, 2).Formula)
	assert.True(t, s.Cell(2, 1).Formula)
	assert.False(t, s.Cell(1, 3).Formula)
	assert.False(t, s.Cell(3, 1).Formula)
}

func TestReadNames(t *testing.T) {
	b := mustRead(t, plainWith(t,
		bookPart,
		`<workbook `+mainSpace+`><sheets><sheet name="Tail &apos;A&apos;" state="hidden" r:id="r0"/><sheet name="Chart" state="veryHidden" r:id="r1"/><sheet name="Wing" r:id="r2"/></sheets>`+
			`<definedNames><definedName name="_xlnm.Print_Area" localSheetId="2" hidden="1">Wing!$A$1:$B$9</definedName><definedName name="span" localSheetId="0">#REF!</definedName><definedName name="Span"> IF(1&lt;2,1) </definedName></definedNames></workbook>`,
		linksPart,
		linksTo("worksheet", "worksheets/sheet1.xml", "chartsheet", "charts/c.xml", "worksheet", "worksheets/SHEET2.xml"),
		"xl/worksheets/sheet2.xml", sheetOf(`<row><c><v>2</v></c></row>`)))
	require.Len(t, b.Sheets, 3)
	assert.Equal(t, "Tail 'A'", b.Sheets[0].Name)
	assert.Equal(t, Cell{}, b.Sheets[1].Cell(1, 1))
	assert.Equal(t, 2., b.Sheets[2].Cell(1, 1).Number)
	assert.Equal(t, []Name{
		{Name: "_xlnm.Print_Area", Sheet: b.Sheets[2], RefersTo: "Wing!$A$1:$B$9"},
		{Name: "span", Sheet: b.Sheets[0], RefersTo: "#REF!"},
		{Name: "Span", RefersTo: " IF(1<2,1) "},
	}, b.Names)
}

// TestReadStrict reads the strict spelling of the standard, with prefixes, a byte order mark and line ends of
// another system.
func TestReadStrict(t *testing.T) {
	parts := plainParts()
	for name, text := range parts {
		text = strings.ReplaceAll(
			text, "http://schemas.openxmlformats.org/officeDocument/2006/relationships",
			"http://purl.oclc.org/ooxml/officeDocument/relationships",
		)
		text = strings.ReplaceAll(
			text, "http://schemas.openxmlformats.org/spreadsheetml/2006/main",
			"http://purl.oclc.org/ooxml/spreadsheetml/main",
		)
		parts[name] = "\ufeff" + text + "\r\n<!-- the end -->\r\n"
	}
	parts[sheetPart] = `<x:worksheet xmlns:x="http://purl.oclc.org/ooxml/spreadsheetml/main"><x:sheetData><x:row r="5"><x:c r="B5" s="1"><x:v>8.25</x:v></x:c></x:row></x:sheetData></x:worksheet>`
	assert.Equal(t, mustRead(t, plainWith(t)), mustRead(t, pack(t, parts)))
}

// TestReadBare reads a workbook that has nothing but a sheet.
func TestReadBare(t *testing.T) {
	parts := plainParts()
	parts["_rels/.rels"] = linksTo("officeDocument", "xl/workbook.xml")
	parts[linksPart] = linksTo("worksheet", "worksheets/sheet1.xml")
	delete(parts, stylesPart)
	delete(parts, stringsPart)
	b := mustRead(t, pack(t, parts))
	assert.Equal(t, Cell{Kind: Number, Number: 8.25, Format: "General"}, b.Sheets[0].Cell(5, 2))
}

func TestReadFormats(t *testing.T) {
	styles := `<styleSheet ` + mainSpace + `><numFmts><numFmt numFmtId="14" formatCode="yyyy"/><numFmt numFmtId="170" formatCode="0.0&quot; oz&quot;"/></numFmts><cellStyleXfs><xf numFmtId="9"/></cellStyleXfs><cellXfs>` +
		`<xf numFmtId="0"/><xf numFmtId="9"/><xf numFmtId="12"/><xf numFmtId="14"/><xf numFmtId="22"/><xf numFmtId="170"/><xf numFmtId="171"/><xf/><xf numFmtId="31"/><xf numFmtId="49"/></cellXfs></styleSheet>`
	want := []string{"General", "0%", "# ?/?", "yyyy", "m/d/yy h:mm", `0.0" oz"`, "General", "General", "m/d/yyyy", "@"}
	row := `<row>`
	for i := range want {
		row += `<c s="` + string(rune('0'+i)) + `"><v>1</v></c>`
	}
	s := mustRead(t, plainWith(t, stylesPart, styles, sheetPart, sheetOf(row+`</row>`))).Sheets[0]
	for i, w := range want {
		assert.Equal(t, w, s.Cell(1, i+1).Format, i)
	}
}

// TestReadFollowsNothing: what lies outside the file is not looked for, and names that point there can be read.
func TestReadFollowsNothing(t *testing.T) {
	outside := strings.ReplaceAll(
		linksTo("worksheet", "worksheets/sheet1.xml", "externalLink", "file:///etc/hostname"), `hostname"`,
		`hostname" TargetMode="External"`,
	)
	book := strings.ReplaceAll(plainParts()[bookPart], "Wing!$B$5", "[1]Wing!$B$5")
	b := mustRead(t, plainWith(t, linksPart, outside, bookPart, book, stylesPart, ""))
	_, err := b.Resolve(b.Names[0].RefersTo)
	assert.EqualError(t, err, `"[1]Wing!$B$5" is in another file`)

	_, err = readBytes(plainWith(
		t, linksPart, strings.Replace(outside, `sheet1.xml"`, `sheet1.xml" TargetMode="External"`, 1),
	))
	assert.ErrorContains(t, err, `the sheet "Wing" is not in the file`)
}

// TestReadDamaged changes each byte of a workbook, and cuts it after each: what is read in the end is what was
// written, or nothing.
func TestReadDamaged(t *testing.T) {
	data := plainWith(t)
	want := mustRead(t, data)
	for i := range data {
		for _, flip := range []byte{1, 0x80, 0xff} {
			bad := bytes.Clone(data)
			bad[i] ^= flip
			if b, err := readBytes(bad); err == nil {
				require.Equal(t, want, b, "byte %d", i)
			}
		}
		_, err := readBytes(data[:i])
		require.Error(t, err, "cut after %d", i)
	}
}
