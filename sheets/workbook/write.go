package workbook

import (
	"archive/zip"
	"bufio"
	"bytes"
	"compress/flate"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"regexp"
	"slices"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"gusset/engine"
)

// Source is the text that a model was loaded from.
type Source struct {
	File string // its name, without a folder
	Text []byte
}

// Summary tells what a workbook could not take over as it was.
type Summary struct {
	NotLive  []Remark // values that do not follow when others change, and why
	Adjusted []string // values that were searched for and do not follow
	Renamed  []Remark // names, and how they are written in the workbook
	Sheets   int
	Cells    int // that follow
}

// Remark is something about one name.
type Remark struct{ Name, Text string }

// maxValues is how many values a workbook takes: more would need more memory than is fair to a stranger's sheet, or
// to the program that is to open it. A value takes up to sixteen cells, and what is written has to be read back.
const maxValues = 50_000

// maxGuesses is how many guesses a workbook takes; each is a line of a page.
const maxGuesses = 10_000

// maxPages and maxCharts are how many pages and charts a workbook takes: programs open all of them at once.
const maxPages, maxCharts = 200, 500

// Write returns a worked model as a workbook: the same bytes for the same sheet. The model must be free of mistakes.
func Write(m *engine.Model, src Source) ([]byte, *Summary, error) {
	b, err := build(m, src)
	if err != nil {
		return nil, nil, err
	}
	defer b.file.Close()
	sum := b.summary()
	data, err := b.pack(zip.Deflate)
	if err != nil {
		return nil, nil, err
	}
	return data, sum, nil
}

// build fills the worksheets of a model.
func build(m *engine.Model, src Source) (*builder, error) {
	if m.Mistakes().Err() != nil {
		return nil, errors.New("there are mistakes in the sheet")
	}
	if n := m.Count(); n > 2*maxValues { // before the plan is made of all of them
		return nil, fmt.Errorf("the sheet has %d values; a workbook takes %d at most", n, maxValues)
	}
	p, err := newPlan(m)
	if err != nil {
		return nil, err
	}
	b := &builder{
		plan: p, file: excelize.NewFile(),
		styles: map[look]styleID{}, rules: map[conditionalLook]int{}, grids: map[string]*grid{},
	}
	b.note(b.file.SetSheetName("Sheet1", startSheet))
	if len(p.guesses) > 0 {
		_, err := b.file.NewSheet(guessSheet)
		b.note(err)
	}
	for _, pg := range b.plan.pages {
		b.page(pg)
	}
	b.asides()
	b.wrongWords()
	recount(b)
	closeOutlines(b)
	writeMarks(b)
	b.guessPage()
	g := b.start(src.File)
	b.exported(src)
	b.furnishStart(len(g.cells) - 1)
	b.properties(src)
	b.file.SetActiveSheet(0)
	return b, b.err
}

// pack puts the workbook together, its parts packed by a method of package zip.
func (b *builder) pack(method uint16) ([]byte, error) {
	p := &packer{method: method, grids: b.sheetParts(), names: b.namesXML(), parts: map[string]*bytes.Buffer{}}
	b.plan, b.grids = nil, nil // what is left of a large sheet is in p, and goes as it is written
	var out bytes.Buffer
	b.file.SetZipWriter(func(w io.Writer) excelize.ZipWriter {
		p.out = w
		return p
	})
	if err := b.file.Write(&out); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// beyondWorkbook tells that a model has more of something than a workbook takes.
func beyondWorkbook(p *plan) error {
	values, charts, guesses := 0, 0, 0
	for s := range p.everySpot() {
		values++
		if s.value.Guess {
			guesses++
		}
	}
	for _, it := range p.items() {
		if it.Chart != nil {
			charts++
		}
	}
	for _, limit := range []struct {
		have, most int
		what       string
	}{
		{values, maxValues, "values"}, {len(p.pages), maxPages, "pages"}, {charts, maxCharts, "charts"},
		{guesses, maxGuesses, "guesses"},
	} {
		if limit.have > limit.most {
			return fmt.Errorf("the sheet has %d %s; a workbook takes %d at most", limit.have, limit.what, limit.most)
		}
	}
	return nil
}

// namesXML returns the defined names (section 18.2.5). A large sheet has too many of them to be handed over one by one.
func (b *builder) namesXML() string {
	var x strings.Builder
	for _, d := range b.plan.defined {
		fmt.Fprintf(&x, `<definedName name="%s">%s</definedName>`, escaped(d.name), escaped(d.refersTo))
	}
	return x.String()
}

// properties sets the document's properties. There is no time of making in them: the same sheet gives the same
// workbook.
func (b *builder) properties(src Source) {
	b.note(b.file.SetDocProps(&excelize.DocProperties{
		Title: b.plan.model.Title(), Subject: "Calculation for a model aircraft",
		Creator: "Gusset", LastModifiedBy: "Gusset",
		Created: epoch.Format(time.RFC3339), Modified: epoch.Format(time.RFC3339), Description: "Made from " + src.File,
	}))
	b.note(b.file.SetAppProps(&excelize.AppProperties{Application: "Gusset", AppVersion: "1.0000"}))
	yes := true
	b.note(b.file.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &yes}))
}

// epoch stands for a time that does not matter: the first that a zip archive can tell.
var epoch = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

func (b *builder) summary() *Summary {
	s := &Summary{Sheets: len(b.plan.pages), NotLive: b.plan.notLive, Renamed: b.plan.renamed}
	for _, pg := range b.plan.pages {
		for _, row := range b.grids[pg.sheet].cells {
			for _, c := range row {
				if c.formula != "" && int(c.col) < pg.hiddenFrom {
					s.Cells++
				}
			}
		}
	}
	for at := range b.plan.everySpot() {
		if at.stays() {
			s.Adjusted = append(s.Adjusted, at.called)
		}
	}
	return s
}

// sheetParts returns the cells of each worksheet by the name of its part.
func (b *builder) sheetParts() map[string]*grid {
	parts := map[string]*grid{}
	for i, name := range b.file.GetSheetList() {
		parts[fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1)] = b.grids[name]
	}
	return parts
}

// packer puts the parts of a workbook together in an order of their own, with no time on them, the cells into the
// worksheets, and the names into the list of them: excelize compares each with all others, which takes minutes where
// there are many.
type packer struct {
	out    io.Writer
	method uint16
	grids  map[string]*grid
	names  string
	parts  map[string]*bytes.Buffer
}

// Create takes a part.
func (p *packer) Create(name string) (io.Writer, error) {
	p.parts[name] = new(bytes.Buffer)
	return p.parts[name], nil
}

// AddFS is asked for only where parts have been put aside on disk, which is never done here.
func (p *packer) AddFS(fs.FS) error { return fmt.Errorf("the workbook has grown too large") }

var (
	conditional  = regexp.MustCompile(`<dxf><numFmt numFmtId="\d+"`)
	dimension    = regexp.MustCompile(`<dimension ref="[^"]*"`)
	sheetData    = regexp.MustCompile(`(?s)<sheetData>.*</sheetData>|<sheetData\s*/>`)
	protection   = regexp.MustCompile(`<sheetProtection[^>]*>(</sheetProtection>)?`) // which merged cells follow
	fileVersion  = regexp.MustCompile(`<fileVersion [^>]*>(</fileVersion>)?`)        // which program wrote it
	defaultTypes = regexp.MustCompile(`<Default [^>]*>(</Default>)?`)
)

// largePart is from how many bytes of formulas on a worksheet is packed quickly: that takes a third of the time, and a
// fifth more room.
const largePart = 1 << 20

// Close writes everything.
func (p *packer) Close() error {
	z := zip.NewWriter(p.out)
	level := flate.DefaultCompression
	z.RegisterCompressor(zip.Deflate, func(to io.Writer) (io.WriteCloser, error) {
		return flate.NewWriter(to, level)
	})
	for _, name := range slices.Sorted(maps.Keys(p.parts)) {
		part := p.parts[name].Bytes()
		switch name {
		case "xl/workbook.xml":
			part = fileVersion.ReplaceAllLiteral(part, []byte(`<fileVersion appName="Gusset"></fileVersion>`))
			part = bytes.Replace(part, []byte("</definedNames>"), []byte(p.names+"</definedNames>"), 1)
		case "xl/styles.xml":
			part = ownFormatNumbers(part)
		case "[Content_Types].xml":
			part = sortedTypes(part)
		}
		g := p.grids[name]
		if level = flate.DefaultCompression; g != nil && g.formulaBytes() > largePart {
			level = flate.BestSpeed + 1
		}
		w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: p.method, Modified: epoch})
		if err != nil {
			return err
		}
		b := bufio.NewWriter(w)
		if g != nil { // the cells can be very many: they go out as they come
			part = replaced(b, part, dimension, func([]byte) { fmt.Fprintf(b, `<dimension ref="%s"`, g.extent()) })
			part = replaced(b, part, sheetData, func([]byte) { g.xml(b) })
			part = replaced(b, part, protection, func(found []byte) {
				b.Write(found)
				g.mergesXML(b)
			})
		}
		b.Write(part)
		if err := b.Flush(); err != nil { // with the first error of them all
			return err
		}
		delete(p.parts, name)
		delete(p.grids, name)
	}
	return z.Close()
}

// replaced writes a part up to what is found in it and something else in the place of that, and returns the rest.
func replaced(b *bufio.Writer, part []byte, what *regexp.Regexp, write func(found []byte)) []byte {
	at := what.FindIndex(part)
	if at == nil {
		return part
	}
	b.Write(part[:at[0]])
	write(part[at[0]:at[1]])
	return part[at[1]:]
}

// firstConditional is the number of the first format that belongs to a condition. Below it are those of cells.
const firstConditional = 1000

// ownFormatNumbers gives the number formats of conditions numbers of their own: those that they come with belong to
// other formats too.
func ownFormatNumbers(part []byte) []byte {
	n := firstConditional - 1
	return conditional.ReplaceAllFunc(part, func([]byte) []byte {
		n++
		return fmt.Appendf(nil, `<dxf><numFmt numFmtId="%d"`, n)
	})
}

// sortedTypes puts the types of parts by their ending in order; they come in any.
func sortedTypes(part []byte) []byte {
	types := defaultTypes.FindAllString(string(part), -1)
	slices.Sort(types)
	i := 0
	return []byte(defaultTypes.ReplaceAllStringFunc(string(part), func(string) string { i++; return types[i-1] }))
}
