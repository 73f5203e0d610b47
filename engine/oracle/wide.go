package oracle

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// wideFormulas are what a wide sheet's formulas may call.
var wideFormulas = []string{
	"formula weighed(each w, k) = sum(w * k) / 2",
	"formula careful(x, y) = x > 0 ? sqrt(x) * y : -x\n    needs x < 90 // too much",
	"formula twice(x, y) = careful(x + y, y) + (y == 0 ? 0 : careful(y, x))\n    needs x > -40\n    needs y != 7.25",
	"formula read_off(x, each at, each of) = interpolate(x, at, of) - min(of)\n    needs len(at) > 1",
	"formula marked(name [one of \"one\", \"two\", \"r1\"], by) = name == \"two\" ? by : by / 2",
	"formula spread(each v) = max(v) - min(v) + count(v)",
}

// NewWideSheet makes a sheet in which all that the language has may occur: texts, choices, tables that are read
// off, rows that a range makes, lists within lists, all functions, formulas that call one another, variants. With
// bad, some of its lines cannot be read.
func NewWideSheet(rnd *rand.Rand, bad bool) *RandomSheet {
	s := &RandomSheet{Rnd: rnd, Given: map[string]string{}, wide: true}
	for _, f := range wideFormulas {
		s.block(f)
	}
	s.block("key : {key}\ngrain [one of \"along\", \"across\"] : {grain}\npoint [one of curve] : {point}\n" +
		"ripe [one of filter(curve, .fit and .kind != \"old\")] : {ripe}\nfitted : {fitted}")
	for _, name := range []string{"key", "grain", "point", "ripe", "fitted"} {
		s.keep(name, s.Another(name))
	}
	if bad && rnd.IntN(2) == 0 {
		s.block("spoilt [1 : 3")
		s.usable = append(s.usable, "spoilt")
	}
	s.cells()
	s.curve(bad && rnd.IntN(3) == 0)
	s.table()
	if table := len(s.Blocks) - 1; bad && rnd.IntN(2) == 0 {
		head, rest, _ := strings.Cut(s.Blocks[table], "\n  r1")
		s.Blocks[table] = head + s.oneOf("\n  bad | 1", "\n  bad | 1 | 2 | \"one\" | 4",
			"\n  r0 | 1 | 2 | \"one\"") + "\n  r1" + rest
	}
	s.block("table r\n  u from " +
		s.oneOf("-1 to 4 step 0.5", "0 to 4 step 1/4", "0.4 to 4 step 0.1", "0.5 to 6 step 3.5") +
		"\n  e = u * " + s.formula(1, false))
	for i := range 9 {
		if i%4 == 2 {
			s.search(fmt.Sprintf("x%d", i))
			continue
		}
		s.worked(fmt.Sprintf("y%d", i), s.formula(3, true))
	}
	s.block("label = " + s.words(2) + "\nlonger = label + \" \" + " + s.words(1))
	s.block("check sound = " + s.condition(2, true) + "\ncheck told = " + s.condition(1, true))
	rnd.Shuffle(len(s.Blocks), func(i, j int) { s.Blocks[i], s.Blocks[j] = s.Blocks[j], s.Blocks[i] })
	s.variants(bad)
	return s
}

// curve is a table that is read off; now and then its x does not rise, or it has a row twice.
func (s *RandomSheet) curve(twice bool) {
	var b strings.Builder
	b.WriteString("table curve\n  n | x | y | fit | kind")
	x := 0.0
	for r := range 4 {
		x += []float64{0.5, 1, 2.5, 4, 7}[s.Rnd.IntN(5)]
		if s.Rnd.IntN(16) == 0 {
			x -= 5
		}
		fit, kind := "yes", `"new"`
		if r%2 == 0 {
			fit, kind = s.oneOf("yes", "no"), s.oneOf(`"new"`, `"old"`)
		}
		name := fmt.Sprintf("curve[\"c%d\"].y", r)
		fmt.Fprintf(&b, "\n  c%d | %v | {%s} | %s | %s", r, x, name, fit, kind)
		s.keep(name, s.value())
	}
	if twice {
		b.WriteString("\n  c2 | 40 | 1 | yes | \"new\"")
	}
	b.WriteString("\n  steep = y / x\n  rank = count(curve, .x > x) + 1" +
		"\n  same = count(curve, .kind == kind and .fit)\n  called = n + \"-\" + kind")
	s.block(b.String())
}

// variants writes variants that set some of what is given.
func (s *RandomSheet) variants(bad bool) {
	for k, head := range []string{`variant "one"`, `variant "two" from "one"`, `variant "three"`} {
		lines := []string{head}
		seen := map[string]bool{}
		for range 1 + s.Rnd.IntN(4) {
			if name := s.oneOf(s.Names...); !seen[name] {
				seen[name] = true
				lines = append(lines, "  "+name+" : "+s.Another(name))
			}
		}
		if bad && k == 2 && s.Rnd.IntN(2) == 0 {
			lines = append(lines, "  g1 ; 3")
		}
		s.block(strings.Join(lines, "\n"))
	}
}

// wideFormula makes a formula that gives a number.
func (s *RandomSheet) wideFormula(depth int, whole bool) string {
	form := s.oneOf(
		"abs(A)", "sign(A)", "sqrt(A)", "cbrt(A)", "exp(A / 20)", "ln(A)", "log10(abs(A) + B ^ 2)", "hypot(A, B)",
		"mod(A, B)", "mod(A, 0.25)",
		"sin((A) * 1 [rad])", "cos((A) * 1 [deg])", "tan(atan(A))", "asin((A) / 100) / 1 [deg]",
		"acos((A) / 10) / 1 [rad]", "atan2(A, B) / 1 [rad]",
		"floor(A)", "ceil(A)", "round(A)", "floor(A, 0.5)", "ceil(A, 3)", "round((A) / 3, 1/8)", "round(A, B)",
		"min(A, B, 3)", "max(A, B, -2)", "-(A)", "-(A)^2", "(A)^2", "(A)^3", "(A)^0.5", "(A)^-1", "2^((A) / 10)",
		"(A)^(B)", "(A)^2^0.5",
		"floor((A) * 0.3 / 0.1)", "ceil((A) * 0.7 / 0.1)", "round((A) * 0.15, 0.1)", "mod((A) * 0.3, 0.1)",
		"twice(A, B)", "careful(twice(B, 1), A)", "marked(key, A)", "marked(\"two\", B)", "sum([A, B, 1])",
		"mean([A, B])", "median([A, B, 0.5, 3])", "len([A, B])",
		"first([A, B])", "last([A, B])", "max([A, B])", "(A - B * 3 / 0.5 + 1)", "(A / B / 2)",
		"(2 * (A) * 3 [ft] / 1 [in])", "(A) * 30 [%]", "30 [%] * (B) + 1/4",
	)
	a, b := s.formula(depth-1, whole), s.formula(depth-1, whole)
	if strings.ContainsAny(form, "[") && !strings.Contains(form, " [") { // values in brackets are the same in every row
		a, b = s.oneOf(s.usable...), s.oneOf(s.usable...)
	}
	return "(" + strings.NewReplacer("A", a, "B", b).Replace(form) + ")"
}

// wideCondition makes a formula that gives yes or no.
func (s *RandomSheet) wideCondition(depth int, whole bool) string {
	a, b := s.formula(depth, whole), s.formula(depth, whole)
	form := s.oneOf(
		"(0 < A <= B)", "(A <= B)", "(A > B)", "(A != B)", "(A == B or fitted)", "(fitted and A < B)",
		"(not fitted)", "(fitted == (A > B))",
		`(grain == "along")`, `(grain != "across" and A > 0)`, `(key == "r1" or key == "r2")`,
		`(point == "c0")`, `(ripe != "c1")`,
		"(fitted ? A > 1 : B > 1)",
		// and what differs by rounding only
		"(A * 3 / 3 == A)", "(A + 0.1 + 0.2 <= A + 0.3)", "(A * 0.7 / 0.7 < A)", "(A * 3 [ft] != A * 36 [in])",
	)
	if whole && s.Rnd.IntN(3) == 0 {
		form = s.oneOf(
			"any(t, .v > A)", "all(t, .p < B or .q < A)", "none(curve, .y > A)", "one(curve, .fit and .y < B)",
			`any(filter(t, .k == "one"), .w > B)`,
			`curve[point].fit`, `(curve[ripe].kind == "new")`, `(grain + "/" + key == "along/r1")`, `(first(t.k) == last(t.k))`,
			`(find(curve, .y > A).called == "c1-new")`,
		)
	}
	return strings.NewReplacer("A", "("+a+")", "B", "("+b+")").Replace(form)
}

// words makes a formula that gives a text.
func (s *RandomSheet) words(depth int) string {
	if depth == 0 {
		return s.oneOf("grain", "key", "point", "ripe", `"/"`, `"balsa"`, `t["r1"].k`, "curve[point].kind",
			"first(curve).called", `find(curve, .x > 2).n`, "last(t.k)", "t[key].k")
	}
	a, b := s.words(depth-1), s.words(depth-1)
	return s.oneOf("("+a+" + "+b+")", "("+a+" + \"/\" + "+b+")", "("+s.condition(depth-1, true)+" ? "+a+" : "+b+")")
}

// ofLists brings lists together in ways that ofTable does not.
func (s *RandomSheet) ofLists() string {
	cell := s.oneOf(s.usable...)
	column, y := s.oneOf("p", "q", "v", "w"), s.oneOf("x", "y", "steep", "rank", "same")
	form := s.oneOf(
		"interpolate(CELL, curve.x, curve.y)", "interpolate(CELL, curve.x, curve.COL)",
		"interpolate(abs(CELL), curve.x, curve.x * curve.y)",
		"interpolate(3, filter(curve, .fit).x, filter(curve, .fit).y)",
		"outline_area(curve.x, curve.COL)", "outline_length(t.TAB, t.v)", "outline_x(t.v, t.TAB)",
		"outline_moment_x(t.TAB, t.v * CELL)", "outline_y(filter(curve, .fit).x, filter(curve, .fit).COL)",
		"outline_moment_y(r.u, r.e)", "area_under(curve.x, curve.COL)", "area_under(curve.COL, curve.x * CELL)",
		"interpolate(CELL, r.u, r.e)", "interpolate(0.5, r.u, r.e)", "read_off(CELL, curve.x, curve.COL)",
		"read_off(2.5, filter(curve, .fit).x, filter(curve, .fit).COL)",
		"sum(map(t, count(curve, .y > 1) * .TAB))", "sum(map(t, .TAB - mean(filter(t, .v > 0).v)))",
		"sum(map(filter(t, .TAB > CELL), sum(filter(curve, .x < 5), .COL) * .v))",
		"count(t, .v >= max(t.v))", "sum(map(t, sum(map(curve, .COL * count(t, .v > CELL)))))",
		"max(map(t, min(.TAB, CELL, 2)))", "sum(t, .v > CELL ? .TAB : 1)",
		"mean(filter(t, .k == \"one\" and .v > CELL).TAB)", "median(filter(curve, not .fit or .y > CELL).COL)",
		"min(filter(filter(t, .TAB > CELL), .v < 9).q)", "last(filter(t, .v < CELL)).TAB",
		"first(filter(t, .k == \"two\").TAB)", "find(curve, .COL > CELL).y", "spread(t.TAB)",
		"spread(map(curve, twice(.COL, CELL)))", "spread(filter(t, .k == \"one\").TAB * 2)",
		"len(filter(t, .TAB < CELL))",
		"count(filter(curve, .fit), .y > CELL)", "sum(t.TAB * t.v - t.q)",
		"sum(filter(t, .k == \"one\").TAB * filter(t, .k == \"one\").v)", "max(abs(t.TAB - CELL))",
		"sum(max(t.TAB, t.v))", "mean(t.TAB > CELL ? t.p : t.q)",
		"sum(map(t, interpolate(.TAB, curve.x, curve.y)))", "sum(map(curve, t[\"r2\"].TAB * .COL))",
		"sum(map(t, .p ?? .q ?? CELL))", "curve[point].COL", "(curve[ripe].y ?? t[key].p ?? CELL)",
		"(t[\"r0\"].p ?? t[\"r1\"].q ?? CELL)", "(CELL ?? curve[\"c1\"].y ?? 3)",
		"curve[fitted ? \"c3\" : \"c0\"].COL", "curve[\"c\" + \"2\"].y", "sum(r.e)", "max(r.u * r.e)", "r[\"4\"].e",
		"r[\"0.5\"].e",
		"sum(map(t, marked(.k, .TAB)))", "(any(curve, .called == \"c1-new\") ? CELL : 2)",
		"count(curve, .kind == \"new\" and .COL > CELL)", "sum(map(r, .e * sum(t.TAB)))",
		"weighed(map(t, careful(.TAB, 2)), CELL)", "sum(map(t, round(.TAB, 0.25)))", "count(map(t, .TAB))",
		"mean(map(filter(curve, .COL > 0), ln(.COL)))",
		"stock_needed(t, round(abs(.TAB)), abs(.v) * 1 [in], 2 [in], 9 [in], 5 [in], 1/32 [in], .k == \"one\")",
		"stock_needed(curve, 3, abs(.COL) * 1 [in], 1 [in], abs(CELL) * 5 [in], 1 [in], 0.1 [in])",
		"stock_needed(filter(t, .v > CELL), 12, 5 [in] + abs(.v) * 0.1 [in], 1.5 [in], 36 [in], abs(CELL + 20) * 1 [in])",
	)
	return strings.NewReplacer("CELL", cell, "TAB", column, "COL", y).Replace(form)
}
