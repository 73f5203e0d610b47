package workbook

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"gusset/engine"
	"gusset/units"
)

// rowsOf is what a fold goes through.
type rowsOf struct {
	table *tableSpot // nil for a list that stands in the formula
	count int
	keeps []kept
}

// kept is a condition on the rows of a fold, and where it stands.
type kept struct {
	cond *engine.Expr
	at   *place
}

// fold writes what brings the rows of a list together.
func (tr *translator) fold(e *engine.Expr, at *place, want *units.Scale) term {
	list := e.Args[0]
	rows, ok := tr.rows(list, at)
	if !ok {
		return tr.fail(errNoRow)
	}
	tr.folds++
	if rows.table != nil && rows.count == 0 {
		return tr.ofNothing(e.Func)
	}
	t := tr.bring(e, at, rows, want)
	if rows.table != nil && rows.table.counted != "" {
		t.needs = append(t.needs, need{cond: rows.table.counted})
	}
	return t
}

// bring brings the rows of a list together, all at once where that can be done.
func (tr *translator) bring(e *engine.Expr, at *place, rows rowsOf, want *units.Scale) term {
	list := e.Args[0]
	inner := inFold(at, tr.folds, -1)
	if rows.table == nil {
		return tr.oneByOne(e, at, rows, want)
	}
	read := tr.write
	if aggregates[e.Func] != "" || e.Func == "first" || e.Func == "last" { // which give one reading of many, or a mean of them
		read = tr.reading
	}
	v, err := tr.trial(read, list, inner, want)
	keep, err2 := tr.keep(rows, inner)
	if err != nil || err2 != nil || outside(v, keep, inner.fold) {
		return tr.oneByOne(e, at, rows, want)
	}
	return tr.together(e, v, keep, rows, inner.fold)
}

// inFold returns the place within a fold, and the places of the formulas around it, which see the same row.
func inFold(at *place, fold, row int) *place {
	inner := *at
	inner.fold, inner.at = fold, row
	return &inner
}

// outside reports whether what a fold works out for a row depends on the row of a fold around it, too.
func outside(v term, keep *term, fold int) bool {
	other := func(t *term) bool {
		return t != nil && slices.ContainsFunc(t.folds, func(f int) bool { return f != fold })
	}
	return other(&v) || other(keep)
}

// trial writes an expression for all rows at once, or tells that this cannot be done.
func (tr *translator) trial(write writer, e *engine.Expr, at *place, want *units.Scale) (t term, err error) {
	defer func() {
		if f, failed := recover().(failure); failed {
			err = f.error
		}
	}()
	return write(e, at, want), nil
}

// writer is write or reading.
type writer func(e *engine.Expr, at *place, want *units.Scale) term

// keep writes which rows count, or returns nil when all do.
func (tr *translator) keep(rows rowsOf, at *place) (*term, error) {
	var all []part
	for _, k := range rows.keeps {
		t, err := tr.trial(tr.write, k.cond, inFold(k.at, at.fold, at.at), nil)
		if err != nil {
			return nil, err
		}
		all = append(all, tr.partOf(t, k.cond, k.at))
	}
	switch len(all) {
	case 0:
		return nil, nil
	case 1:
		return &all[0].term, nil
	}
	t := tr.decided(engine.OpAnd, all)
	return &t, nil
}

// rows finds what rows a list goes through.
func (tr *translator) rows(e *engine.Expr, at *place) (r rowsOf, ok bool) {
	switch e.Op {
	case engine.OpColumn:
		if e.Column < 0 {
			return rowsOf{count: len(e.Args)}, true
		}
		t := tr.plan.columns[e.Column].table
		return rowsOf{table: t, count: t.rows()}, true
	case engine.OpRows:
		t := tr.plan.tables[e.Table]
		return rowsOf{table: t, count: t.rows()}, true
	case engine.OpKeep:
		r, ok = tr.rows(e.Args[0], at)
		r.keeps = append(r.keeps, kept{e.Args[1], at})
		return r, ok
	case engine.OpEach:
		return tr.rows(e.Args[0], at)
	case engine.OpParam:
		caller := *at.caller
		return tr.rows(at.args[e.Param], &caller)
	}
	for _, a := range e.Args {
		if a.List {
			return tr.rows(a, at)
		}
	}
	return rowsOf{}, false
}

// ofNothing is what a table without rows comes to.
func (tr *translator) ofNothing(fold string) term {
	switch fold {
	case "sum", "count":
		return term{text: "0", level: whole, constant: true, free: true}
	case "all", "none":
		return term{text: "TRUE", level: whole, truth: true}
	case "any", "one":
		return term{text: "FALSE", level: whole, truth: true}
	case "mean", "median", "min", "max", "first", "last":
		return term{text: noResult, level: multiplying}
	}
	return tr.fail(errNothing)
}

// ofAllRows returns what a term needs in a fold's rows as needs of whole columns.
func ofAllRows(t term, fold int) []need {
	needs := slices.Clone(t.needs)
	for i := range needs {
		if needs[i].fold == fold {
			needs[i].fold, needs[i].rows = 0, true
		}
	}
	return needs
}

// together writes a fold over all rows at once.
func (tr *translator) together(e *engine.Expr, v term, keep *term, rows rowsOf, fold int) term {
	parts := []term{v}
	if keep != nil {
		parts = append(parts, *keep)
	}
	t := with("", whole, parts...)
	t.folds = slices.DeleteFunc(t.folds, func(f int) bool { return f == fold })
	t.scale, t.zero = v.scale, v.zero
	t.truth = e.IsTruth
	always := slices.DeleteFunc(slices.Clone(t.needs), func(n need) bool { return n.cond == "" })
	if keep == nil {
		t.needs = ofAllRows(v, fold)
		tr.ofAll(e, v, rows, &t)
		return t
	}
	for _, p := range []*term{&v, keep} {
		p.needs = slices.DeleteFunc(slices.Clone(p.needs), func(n need) bool { return n.cond != "" })
	}
	t.needs = append(ofAllRows(*keep, fold), always...)
	tr.ofKept(e, v, *keep, rows, &t)
	t.array = true
	return t
}

// ofAll writes a fold over rows that all count.
func (tr *translator) ofAll(e *engine.Expr, v term, rows rowsOf, t *term) {
	varies, plain := len(v.folds) > 0, v.text == v.ref
	v.array = v.array || varies && calls.MatchString(v.text)
	count := fmt.Sprintf("ROWS(%s)", rows.table.key().name)
	switch e.Func {
	case "count":
		t.text, t.scale, t.typed = count, units.Scale{}, true
		if varies && (!plain || v.mixed) {
			t.text, t.array = "SUM("+counted(v).text+")", true
		}
	case "sum":
		switch {
		case !varies:
			t.text, t.level = count+"*"+v.at(multiplying), multiplying
		case plain || v.array:
			t.text, t.array = "SUM("+v.text+")", v.array
		default:
			t.text = "SUMPRODUCT(" + v.text + ")"
		}
	case "mean", "median", "min", "max":
		t.text = aggregates[e.Func] + "(" + v.text + ")"
		t.array = t.array || varies && !plain
	case "first", "last":
		row := map[string]string{"first": "1", "last": count}[e.Func]
		t.text = pick(v, row)
		if varies && (!plain || v.mixed) { // all have to be there, as in the sheet
			t.text, t.array = fmt.Sprintf("IF(SUM(IF(ISERROR(%s),%s,0))=0,%s)", v.text, v.text, t.text), true
		}
	case "all", "any", "none", "one":
		t.text, t.level = "SUMPRODUCT(1*("+v.text+"))", whole
		if t.array = v.array || !varies; t.array {
			t.text = "SUM(IF(" + v.text + ",1,0))"
		}
		t.text, t.level = t.text+map[string]string{"all": "=" + count, "any": ">0", "none": "=0", "one": "=1"}[e.Func], comparing
		if !varies { // it holds for every row, or for none
			t.text = strings.Replace(t.text, "SUM(", count+"*SUM(", 1)
		}
	default:
		tr.fail(errNothing)
	}
}

// calls finds calls of functions. Of a column, not every program works one out row by row within SUMPRODUCT: only in an
// array formula.
var calls = regexp.MustCompile(`[A-Z0-9]\(`)

// aggregates are what brings numbers together, by the names that spreadsheets know.
var aggregates = map[string]string{"sum": "SUM", "mean": "AVERAGE", "median": "MEDIAN", "min": "MIN", "max": "MAX"}

// ofKept writes a fold over rows of which some count.
func (tr *translator) ofKept(e *engine.Expr, v, keeping term, rows rowsOf, t *term) {
	asked := !slices.ContainsFunc(v.needs, func(n need) bool { return !slices.Contains(keeping.needs, n) })
	sure := v.text == v.ref && !v.mixed && asked
	v, keep := v.guardedFor(keeping.needs), keeping.text
	kept := "SUM(IF(" + keep + ",1,0))"
	some := func(name string) string { return name + "(IF(" + keep + "," + v.text + `,""))` }
	unlessNone := func(text string) string { return "IF(" + kept + "=0," + noResult + "," + text + ")" }
	yes := func(yes, no string) string {
		return "SUM(IF(" + keep + ",IF(" + v.text + "," + yes + "," + no + "),0))"
	}
	switch e.Func {
	case "count":
		t.text, t.scale, t.typed = kept, units.Scale{}, true
		if !v.constant {
			t.text = "SUM(IF(" + keep + "," + counted(v).text + ",0))"
		}
	case "sum":
		t.text = "SUM(IF(" + keep + "," + v.text + ",0))"
	case "mean":
		t.text = some("AVERAGE")
	case "median":
		t.text = some("MEDIAN")
	case "min":
		t.text = unlessNone(some("MIN"))
	case "max":
		t.text = unlessNone(some("MAX"))
	case "first", "last": // all that count have to be there, as in the sheet
		key := rows.table.key().name
		row := "MATCH(TRUE," + keep + ",0)"
		if e.Func == "last" {
			row = fmt.Sprintf("MAX(IF(%s,ROW(%s)-MIN(ROW(%s))+1,0))", keep, key, key)
		}
		t.text = pick(v, row)
		if !sure {
			t.text = fmt.Sprintf("IF(SUM(IF(%s,IF(ISERROR(%s),%s,0),0))=0,%s)", keep, v.text, v.text, t.text)
		}
		t.text = unlessNone(t.text)
	case "all":
		t.text, t.level = yes("0", "1")+"=0", comparing
	case "any":
		t.text, t.level = yes("1", "0")+">0", comparing
	case "none":
		t.text, t.level = yes("1", "0")+"=0", comparing
	case "one":
		t.text, t.level = yes("1", "0")+"=1", comparing
	default:
		tr.fail(errNothing)
	}
}

// pick writes the value of one row.
func pick(v term, row string) string {
	if len(v.folds) == 0 {
		return v.text
	}
	return "INDEX(" + v.text + "," + row + ")"
}

// oneByOne writes a fold row after row, where it cannot be written for all rows at once.
func (tr *translator) oneByOne(e *engine.Expr, at *place, rows rowsOf, want *units.Scale) term {
	var values []term
	fold := tr.folds
	for row := range rows.count {
		v := tr.write(e.Args[0], inFold(at, fold, row), want)
		if len(rows.keeps) > 0 {
			keep, err := tr.keep(rows, inFold(at, fold, row))
			if err != nil {
				return tr.fail(err)
			}
			v = tr.unless(e, v, *keep)
		} else if e.Func == "count" {
			v = counted(v)
		}
		values = append(values, v)
	}
	if len(values) == 0 {
		return tr.ofNothing(e.Func)
	}
	t := tr.joined(e, values, want)
	if rows.table != nil && rows.table.counted != "" { // a row more would not be among them
		t.needs = append(t.needs, need{cond: fmt.Sprintf("ROWS(%s)=%d", rows.table.key().name, rows.count)})
	}
	return t
}

// counted returns 1 for what has a value: what cannot be worked out cannot be counted.
func counted(v term) term {
	t := with("IF(ISERROR("+v.text+"),"+v.text+",1)", whole, v)
	if v.constant {
		t.text = "1"
	}
	return t
}

// unless returns what a row that may not count brings into a sum or a count.
func (tr *translator) unless(e *engine.Expr, v, keep term) term {
	v = guarded(v)
	no := "0"
	switch e.Func {
	case "sum":
	case "count":
		v = counted(v)
	case "any", "none", "one":
		no = "FALSE"
	case "all":
		no = "TRUE"
	default:
		return tr.fail(errNoRow)
	}
	t := with("IF("+keep.text+","+v.text+","+no+")", whole, keep, v)
	t.scale, t.truth = v.scale, v.truth
	return t
}

// joined brings the values of single rows together.
func (tr *translator) joined(e *engine.Expr, values []term, want *units.Scale) term {
	var refs []*term
	var texts []string
	for i := range values {
		refs = append(refs, &values[i])
	}
	scale := units.Scale{}
	if !values[0].truth && !e.IsText {
		scale = alike(want, refs...)
	}
	for _, v := range values {
		texts = append(texts, v.text)
	}
	all := strings.Join(texts, ",")
	t := with("", whole, values...)
	t.scale, t.truth = scale, e.IsTruth
	yes := "(IF(" + strings.Join(texts, ",1,0)+IF(") + ",1,0))"
	switch e.Func {
	case "sum", "mean", "median", "min", "max":
		t.text = aggregates[e.Func] + "(" + all + ")"
	case "count":
		t.text, t.scale, t.typed = "SUM("+all+")", units.Scale{}, true
	case "first", "last":
		one := values[0]
		if e.Func == "last" {
			one = values[len(values)-1]
		}
		t.text = one.text
		if len(values) > 1 { // all have to be there, as in the sheet
			t.text = "IF(OR(ISERROR(" + strings.Join(texts, "),ISERROR(") + ")),NA()," + one.text + ")"
		}
	case "all":
		t.text = "AND(" + all + ")"
	case "any":
		t.text = "OR(" + all + ")"
	case "none":
		t.text = "NOT(OR(" + all + "))"
	case "one":
		t.text, t.level = yes+"=1", comparing
	default:
		return tr.fail(errNothing)
	}
	if len(texts) > maxArguments && t.text != texts[0] {
		return tr.fail(errLong)
	}
	return t
}

// maxArguments is how many values a spreadsheet's function takes.
const maxArguments = 255
