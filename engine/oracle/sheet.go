// Package oracle is a second opinion on every value of a sheet, for tests. It was written from sheets/FORMAT.md
// and shares nothing with the engine but the reading of lines (sheets/text) and of units and numbers
// (units): it has a formula parser, arithmetic, lists, comparisons, lookups and searches of its own, which are as
// plain as can be and slow. It checks no dimensions and finds no mistakes: it is asked about sheets that have none
// but lines that cannot be read.
//
// Every value is worked out together with a bound on what rounding may have done to it. So results are compared as
// closely as they can be, and where rounding decides (the two sides of a comparison differ by the last digit, say)
// the oracle says that it is not sure.
//
// Only tests import it.
package oracle

import (
	"fmt"
	"io/fs"
	"path"
	"strconv"
	"strings"

	"gusset/sheets/text"
	"gusset/units"
)

// Sheet is a sheet that has been read, with all that it uses.
type Sheet struct {
	root    *module
	files   fs.FS
	modules map[string]*module
	library []*module
	given   map[*slot]text.Value // that a variant or a setting has put in the place of what the sheet gives
	blank   bool                 // a variant that was not read whole is in use

	worlds []world          // those of the searches that are going on, and the sheet itself at the bottom
	busy   map[running]bool // what is being worked out
	deep   int              // the innermost search whose unknown the value at hand rests on; 0: none
}

// world is what is known while a search tries one value for its unknown.
type world struct {
	unknown *slot
	trial   value
	memo    map[*slot]value
}

type running struct {
	slot *slot
	deep int
}

// slot is one value: a cell or an entry of a table.
type slot struct {
	mod     *module
	name    string
	given   *text.Value
	tag     text.UnitTag
	formula string
	read    *node // the formula, once it has been read
	adjust  *text.Adjust
	broken  bool // its line could not be read

	table *table // of an entry
	row   int
}

type table struct {
	mod     *module
	names   []string // of the rows
	columns map[string][]*slot
	heads   []text.Column
	unread  bool
}

// rowNamed returns the number of a row, or -1 if there is none, or more than one.
func (t *table) rowNamed(name string) int {
	found := -1
	for i, n := range t.names {
		switch {
		case n == name && found >= 0:
			return -1
		case n == name:
			found = i
		}
	}
	return found
}

type module struct {
	units    *units.Set
	names    map[string]any // *slot, *table, *module or *text.Formula
	formulas map[string]*formula
	variants map[string]*text.Variant
}

type formula struct {
	mod   *module
	text  *text.Formula
	body  *node
	needs []*node
}

// Load reads a sheet of files, in which library pages are at hand.
func Load(files, library fs.FS, file string) (s *Sheet, err error) {
	defer func() {
		if r := recover(); r != nil {
			e, ok := r.(error)
			if !ok {
				panic(r)
			}
			err = e
		}
	}()
	s = &Sheet{files: files, modules: map[string]*module{}, given: map[*slot]text.Value{}}
	if library != nil {
		for _, page := range must(fs.Glob(library, "*.gusset")) {
			s.library = append(s.library, s.readModule(library, page))
		}
	}
	s.root = s.module(file)
	s.forget()
	return s, nil
}

// forget takes back all that has been worked out.
func (s *Sheet) forget() {
	s.worlds = []world{{memo: map[*slot]value{}}}
	s.busy = map[running]bool{}
}

func (s *Sheet) module(file string) *module {
	if s.modules[file] == nil {
		s.modules[file] = s.readModule(s.files, file)
	}
	return s.modules[file]
}

func (s *Sheet) readModule(files fs.FS, file string) *module {
	parsed, _ := text.Parse(text.NewSource(file, must(fs.ReadFile(files, file))))
	m := &module{
		units: units.Builtin(), names: map[string]any{},
		formulas: map[string]*formula{}, variants: map[string]*text.Variant{},
	}
	for _, n := range parsed.Nodes {
		if n, ok := n.(*text.UnitDef); ok {
			u := m.unit(n.Unit)
			m.units = must(m.units.With(n.Name.Text, u.Value(m.number(n.Value.Text, u)), u))
		}
	}
	for _, n := range parsed.Nodes {
		s.declare(m, n, file)
	}
	return m
}

// declare takes a statement in. The first one of a name counts.
func (s *Sheet) declare(m *module, n text.Node, file string) {
	set := func(name string, what any) {
		if m.names[name] == nil {
			m.names[name] = what
		}
	}
	switch n := n.(type) {
	case *text.Cell:
		sl := &slot{mod: m, name: n.Name.Text, tag: n.Unit, formula: n.Formula().Text}
		if n.IsGiven() {
			sl.given = &n.Value
		}
		set(sl.name, sl)
	case *text.Check:
		set(n.Name.Text, &slot{mod: m, name: n.Name.Text, formula: n.Condition.Text})
	case *text.Adjust:
		set(n.Name.Text, &slot{mod: m, name: n.Name.Text, tag: n.Unit, adjust: n})
	case *text.Bad:
		if n.Name.Given() && n.Kind != text.BadStatement {
			set(n.Name.Text, &slot{mod: m, name: n.Name.Text, broken: true})
		}
	case *text.Table:
		set(n.Name.Text, newTable(m, n))
	case *text.Use:
		set(n.Name().Text, s.module(path.Join(path.Dir(file), n.Path.Text)))
	case *text.Formula:
		m.formulas[n.Name.Text] = &formula{mod: m, text: n}
	case *text.Variant:
		m.variants[n.Name.Text] = n
	}
}

// unit returns the unit of a tag; the plain number where there is none.
func (m *module) unit(tag text.UnitTag) units.Unit {
	if tag.Unit.Text == "" || tag.Unit.Text == "text" || tag.Unit.Text == "yes/no" {
		return units.Unit{}
	}
	return must(m.units.Parse(tag.Unit.Text))
}

// number returns a workshop number, SI.
func (m *module) number(written string, in units.Unit) float64 {
	return must(m.units.ParseNumber(written, in)).SI
}

func newTable(m *module, n *text.Table) *table {
	t := &table{mod: m, columns: map[string][]*slot{}, heads: n.Head, unread: len(n.Unread) > 0}
	seen := map[string]bool{}
	for _, name := range t.rowNames(n) {
		t.unread = t.unread || seen[name]
		seen[name] = true
		t.names = append(t.names, name)
	}
	entry := func(head text.Word, tag text.UnitTag, row int, v *text.Value, formula string) {
		name := fmt.Sprintf("%s[%s].%s", n.Name.Text, text.Quote(t.names[row]), head.Text)
		at := &slot{mod: m, name: name, tag: tag, table: t, row: row}
		if at.given, at.formula = v, formula; v != nil && v.Kind == text.FormulaValue {
			at.given, at.formula = nil, v.Word.Text
		}
		t.columns[head.Text] = append(t.columns[head.Text], at)
	}
	for row, name := range t.names {
		first := &text.Value{Kind: text.TextValue, Word: text.Word{Text: name}}
		if n.Range != nil {
			first.Kind = text.NumberValue
		}
		entry(n.Head[0].Name, n.Head[0].Unit, row, first, "")
		if n.Range == nil {
			for k, head := range n.Head[1:] {
				entry(head.Name, head.Unit, row, &n.Rows[row].Values[k], "")
			}
		}
		for _, w := range n.Worked {
			entry(w.Name, w.Unit, row, nil, w.Formula().Text)
		}
	}
	return t
}

// rowNames returns the names of rows. Those of a range are its values: twelve digits are all that a sheet's
// numbers have.
func (t *table) rowNames(n *text.Table) []string {
	var names []string
	for _, r := range n.Rows {
		names = append(names, r.Name.Text)
	}
	if n.Range == nil {
		return names
	}
	in := t.mod.unit(n.Head[0].Unit)
	at := func(w text.Word) float64 { return in.Value(t.mod.number(w.Text, in)) }
	from, to, step := at(n.Range.From), at(n.Range.To), at(n.Range.Step)
	for i := 0; from+float64(i)*step <= to+step*1e-9; i++ {
		x := must(strconv.ParseFloat(strconv.FormatFloat(from+float64(i)*step, 'g', 12, 64), 64))
		names = append(names, strconv.FormatFloat(x, 'f', -1, 64))
	}
	return names
}

// Set gives a cell or an entry of a table another value, as engine.Model.Set does.
func (s *Sheet) Set(name, written string) error {
	v, err := text.ParseValue(written)
	if err != nil {
		return err
	}
	sl := s.find(name)
	if sl == nil {
		return fmt.Errorf("no value is called %s", name)
	}
	s.given[sl] = v
	s.forget()
	return nil
}

// UseVariant puts the values of a variant in the place of all others.
func (s *Sheet) UseVariant(name string) {
	clear(s.given)
	s.forget()
	s.blank = false
	var chain []*text.Variant
	for v := s.root.variants[name]; v != nil; v = s.root.variants[v.From.Text] {
		chain = append([]*text.Variant{v}, chain...)
	}
	for _, v := range chain {
		for _, line := range v.Body {
			switch line := line.(type) {
			case *text.Bad:
				s.blank = true
			case *text.Setting:
				sl := s.find(line.Target.Text)
				s.blank = s.blank || sl == nil
				s.given[sl] = line.Value
			}
		}
	}
}

// find returns the slot that a name stands for, [SHEET.]NAME or [SHEET.]TABLE["ROW"].COLUMN; nil if there is none.
func (s *Sheet) find(name string) *slot {
	m := s.root
	for {
		head := name[:len(name)-len(strings.TrimLeftFunc(name, func(r rune) bool { return r != '.' && r != '[' }))]
		rest := name[len(head):]
		switch what := m.names[head].(type) {
		case *slot:
			return what
		case *module:
			m, name = what, rest[1:]
		case *table:
			at := strings.LastIndex(rest, "].")
			key, err := text.ParseValue(rest[1:at])
			if err != nil {
				return nil
			}
			row := what.rowNamed(key.Word.Text)
			if column := what.columns[rest[at+2:]]; row >= 0 && column != nil {
				return column[row]
			}
			return nil
		default:
			return nil
		}
	}
}
