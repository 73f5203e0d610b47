package oracle

import (
	"math"
	"slices"

	"gusset/sheets/text"
)

// place is where a formula is worked out.
type place struct {
	mod    *module
	own    *slot                   // the entry whose formula it is, if it is one of a table
	at     *element                // the row that the innermost list function is at
	params map[string]func() value // what the formula was given
}

// read returns what another formula gets to know of a slot.
func (s *Sheet) read(sl *slot) value {
	v := s.slot(sl)
	if v.state == NoResult || v.state == Waits {
		return value{state: Waits, lost: v.state == NoResult || v.lost}
	}
	return v
}

// slot works a slot out. What does not rest on the unknown of a search is kept from trial to trial.
func (s *Sheet) slot(sl *slot) value {
	for k, w := range slices.Backward(s.worlds) {
		if w.unknown == sl {
			s.deep = max(s.deep, k)
			return w.trial
		}
		if v, known := w.memo[sl]; known {
			s.deep = max(s.deep, k)
			return v
		}
	}
	run := running{sl, len(s.worlds)}
	if s.busy[run] {
		panic("values need each other in a circle: " + sl.name)
	}
	s.busy[run] = true
	before := s.deep
	s.deep = 0
	v := s.fresh(sl)
	s.worlds[s.deep].memo[sl] = v
	s.deep = max(s.deep, before)
	delete(s.busy, run)
	return v
}

func (s *Sheet) fresh(sl *slot) value {
	names := sl.table != nil && sl.table.columns[sl.table.heads[0].Name.Text][sl.row] == sl
	switch {
	case s.blank && !names, sl.broken:
		return noResult()
	case sl.adjust != nil:
		return s.search(sl)
	case sl.given == nil:
		if sl.read == nil {
			sl.read = parse(sl.formula, sl.mod.units)
		}
		return s.eval(sl.read, &place{mod: sl.mod, own: sl})
	}
	if v, set := s.given[sl]; set {
		return s.givenValue(sl, v)
	}
	return s.givenValue(sl, *sl.given)
}

func (s *Sheet) givenValue(sl *slot, v text.Value) value {
	switch v.Kind {
	case text.TextValue:
		if c := sl.tag.Choice; c != nil && !s.isChoice(sl, c, v.Word.Text) {
			return noResult()
		}
		return value{kind: words, text: v.Word.Text}
	case text.YesNoValue:
		return of(v.Word.Text == "yes")
	case text.NumberValue:
		return exact(sl.mod.number(v.Word.Text, sl.mod.unit(sl.tag)))
	}
	return value{state: Waits}
}

// isChoice reports whether a text is one of those that a cell or an argument may have.
func (s *Sheet) isChoice(sl *slot, c *text.Choice, of string) bool {
	if len(c.Texts) > 0 {
		return slices.ContainsFunc(c.Texts, func(w text.Word) bool { return w.Text == of })
	}
	allowed := s.eval(parse(c.Rows.Text, sl.mod.units), &place{mod: sl.mod})
	for _, e := range allowed.rows.elements {
		if e.table.names[e.row] == of && e.kept.state == Known {
			return true
		}
	}
	return false
}

// eval works a formula out.
func (s *Sheet) eval(n *node, p *place) value {
	switch n.op {
	case "number":
		return exact(n.num)
	case "text":
		return value{kind: words, text: n.name}
	case "truth":
		return of(n.num == 1)
	case "name":
		return s.name(n.name, p)
	case "row":
		return s.read(p.at.table.columns[n.name][p.at.row])
	case "member":
		return s.member(n, p)
	case "call":
		return s.call(n, p)
	case "list":
		return s.listed(n, p)
	case "??":
		return s.firstGiven(n.args, p)
	case "?:":
		c := s.eval(n.args[0], p)
		switch {
		case c.kind == list:
			return rowByRow([]value{c, s.eval(n.args[1], p), s.eval(n.args[2], p)}, chosen)
		case c.state != Known:
			return merge(c)
		case c.x == 1:
			return s.eval(n.args[1], p)
		}
		return s.eval(n.args[2], p)
	}
	args := make([]value, len(n.args))
	for k, a := range n.args {
		args[k] = s.eval(a, p)
	}
	return rowByRow(args, func(args []value) value { return operate(n.op, args) })
}

// chosen is A ? B : C for values that are known, or lacking, already.
func chosen(args []value) value {
	switch c := args[0]; {
	case c.state != Known:
		return merge(c)
	case c.x == 1:
		return args[1]
	}
	return args[2]
}

// operate does an operator on single values.
func operate(op string, args []value) value {
	if op == "and" || op == "or" {
		return both(args[0], args[1], op == "or")
	}
	if m := merge(args...); m.state != Known {
		return m
	}
	switch a := args[0]; {
	case op == "neg":
		return neg(a)
	case op == "not":
		return of(a.x == 0)
	case op == "+" && a.kind == words:
		return joined(a.text + args[1].text)
	}
	if do := arithmetic[op]; do != nil {
		return do(args[0], args[1])
	}
	return compare(op, args[0], args[1])
}

// arithmetic does the operators on two numbers.
var arithmetic = map[string]func(a, b value) value{
	"+": add, "-": func(a, b value) value { return add(a, neg(b)) }, "*": mul, "/": div, "^": power,
}

// longest is how many bytes a text may have that is joined from others (section 10).
const longest = 4096

func joined(s string) value {
	if len(s) > longest {
		return noResult()
	}
	return value{kind: words, text: s}
}

// both is "and", of which one no is enough, or "or", of which one yes is; decisive is that value. What the other
// side lacks does not matter then. Otherwise what either lacks counts.
func both(a, b value, decisive bool) value {
	for _, v := range []value{a, b} {
		if v.state == Known && (v.x == 1) == decisive {
			return of(decisive)
		}
	}
	if m := merge(a, b); m.state != Known {
		return m
	}
	return of(!decisive)
}

// name finds what a name stands for: an argument or a column of the row, then the sheet's own, then the library's.
func (s *Sheet) name(name string, p *place) value {
	if get := p.params[name]; get != nil {
		return get()
	}
	if p.own != nil && p.own.table != nil {
		if column := p.own.table.columns[name]; column != nil {
			return s.read(column[p.own.row])
		}
	}
	v, ok := s.valueOf(s.lookUp(name, p.mod))
	switch {
	case ok:
		return v
	case name == "pi":
		return measure(math.Pi, 0)
	}
	panic("no such name: " + name)
}

// valueOf returns the value of a cell, or all rows of a table.
func (s *Sheet) valueOf(what any) (v value, ok bool) {
	switch what := what.(type) {
	case *slot:
		return s.read(what), true
	case *table:
		return what.all(nil), true
	}
	return value{}, false
}

func (s *Sheet) lookUp(name string, m *module) any {
	if what := m.names[name]; what != nil {
		return what
	}
	for _, page := range s.library {
		if what := page.names[name]; what != nil {
			return what
		}
	}
	return nil
}

// thing returns what a chain of names leads to when it is a used sheet, a cell or a table; nil otherwise.
func (s *Sheet) thing(n *node, p *place) any {
	switch n.op {
	case "name":
		column := p.own != nil && p.own.table != nil && p.own.table.columns[n.name] != nil
		if p.params[n.name] == nil && !column {
			return s.lookUp(n.name, p.mod)
		}
	case "member":
		if m, ok := s.thing(n.args[0], p).(*module); ok {
			return m.names[n.name]
		}
	}
	return nil
}

// member works out A.NAME.
func (s *Sheet) member(n *node, p *place) value {
	if v, ok := s.valueOf(s.thing(n, p)); ok {
		return v
	}
	base := n.args[0]
	if t, ok := s.thing(base, p).(*table); ok {
		return t.all(func(row int) value { return s.read(t.columns[n.name][row]) })
	}
	if base.op == "index" {
		sl, lacking := s.entry(n, p)
		if sl == nil {
			return lacking
		}
		return s.read(sl)
	}
	v := s.eval(base, p)
	column := v.each(func(e *element) value { return s.read(e.table.columns[n.name][e.row]) })
	switch {
	case v.kind != pick:
		return column
	case v.last:
		return fold("last", column)
	}
	return fold("first", column)
}

// entry returns the slot of TABLE["ROW"].COLUMN, or what is lacking to know it.
func (s *Sheet) entry(n *node, p *place) (*slot, value) {
	index := n.args[0]
	t := s.thing(index.args[0], p).(*table)
	key := s.eval(index.args[1], p)
	if key.state != Known {
		return nil, merge(key)
	}
	row := t.rowNamed(key.text)
	if row < 0 {
		return nil, noResult()
	}
	return t.columns[n.name][row], value{}
}

// firstGiven works out A ?? B ?? C. Only what waits gives way, not what has no result.
func (s *Sheet) firstGiven(args []*node, p *place) value {
	first := args[0]
	if first.op == "??" {
		return s.firstGiven(append(slices.Clone(first.args), args[1:]...), p)
	}
	if len(args) == 1 {
		return s.eval(first, p)
	}
	if first.op == "member" && first.args[0].op == "index" {
		if sl, lacking := s.entry(first, p); sl == nil { // which row it is, is not known
			return lacking
		}
	}
	v := s.eval(first, p)
	if v.state == Waits && !v.lost {
		return s.firstGiven(args[1:], p)
	}
	return v
}

// call works out F(A, B).
func (s *Sheet) call(n *node, p *place) value {
	callee, args := n.args[0], n.args[1:]
	m := p.mod
	if callee.op == "member" {
		m = s.thing(callee.args[0], p).(*module)
	} else if v, ok := s.function(callee.name, args, p); ok {
		return v
	}
	f := m.formulas[callee.name]
	for _, page := range s.library {
		if f == nil {
			f = page.formulas[callee.name]
		}
	}
	if f == nil {
		panic("no such formula: " + callee.name)
	}
	return s.formula(f, args, p)
}

// formula works a formula of a sheet out, for what it is given. What it does not use does not matter.
func (s *Sheet) formula(f *formula, args []*node, p *place) value {
	if f.body == nil {
		f.body = parse(f.text.Expr.Text, f.mod.units)
		for _, c := range f.text.Needs {
			f.needs = append(f.needs, parse(c.Cond.Text, f.mod.units))
		}
	}
	inner := &place{mod: f.mod, params: map[string]func() value{}}
	lacking := value{}
	for k, param := range f.text.Params {
		var v *value
		inner.params[param.Name.Text] = func() value {
			if v == nil {
				x := s.eval(args[k], p)
				v = &x
			}
			return *v
		}
		if c := param.Unit.Choice; c != nil && len(c.Texts) > 0 && !param.Each {
			v := inner.params[param.Name.Text]()
			if lacking = merge(lacking, v); v.state == Known && !s.isChoice(nil, c, v.text) {
				lacking = merge(lacking, noResult())
			}
		}
	}
	for _, need := range f.needs {
		met := s.eval(need, inner)
		if lacking = merge(lacking, met); met.state == Known && met.x == 0 {
			lacking = merge(lacking, noResult())
		}
	}
	if lacking.state != Known {
		return lacking
	}
	return s.eval(f.body, inner)
}
