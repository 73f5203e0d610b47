package engine

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/expr-lang/expr"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// formulaMaker writes random formulas over the plain numbers a to f, each in two notations: as a sheet has it, and for
// the machine of github.com/expr-lang/expr, with a watch on every value on the way.
type formulaMaker struct{ rnd *rand.Rand }

type twoNotations struct{ sheet, watched string }

var cellNames = []string{"a", "b", "c", "d", "e", "f"}

func (g formulaMaker) pick(makers ...func(depth int) twoNotations) func(int) twoNotations {
	return makers[g.rnd.IntN(len(makers))]
}

// number makes a formula that gives a number.
func (g formulaMaker) number(depth int) twoNotations {
	if depth == 0 || g.rnd.IntN(8) == 0 {
		return g.leaf()
	}
	return g.pick(g.sum, g.sum, g.product, g.product, g.power, g.negative, g.choice, g.least, g.function)(depth - 1)
}

func (g formulaMaker) leaf() twoNotations {
	if g.rnd.IntN(3) > 0 {
		n := cellNames[g.rnd.IntN(len(cellNames))]
		return twoNotations{n, n}
	}
	constants := []float64{0, 1, 2, 3, 0.5, 0.25, 10, 1.5, 7, 100, 1e-3}
	v := constants[g.rnd.IntN(len(constants))]
	written := fmt.Sprint(v)
	if v == math.Trunc(v) {
		written = fmt.Sprintf("%.1f", v) // expr keeps whole numbers apart
	}
	return twoNotations{fmt.Sprint(v), written}
}

func watch(of string) string { return "watch(" + of + ")" }

func (g formulaMaker) binary(depth int, marks ...string) twoNotations {
	l, r := g.number(depth), g.number(depth)
	mark := marks[g.rnd.IntN(len(marks))]
	return twoNotations{"(" + l.sheet + mark + r.sheet + ")", watch(l.watched + mark + r.watched)}
}

func (g formulaMaker) sum(depth int) twoNotations     { return g.binary(depth, " + ", " - ") }
func (g formulaMaker) product(depth int) twoNotations { return g.binary(depth, " * ", " / ") }

// power raises to small powers, of which 2, 3, 4 and 1/2 have code of their own.
func (g formulaMaker) power(depth int) twoNotations {
	base := g.number(depth)
	exponents := []string{"1.0", "2.0", "3.0", "4.0", "0.5", "-1.0", "5.0", "0.0", "a"}
	e := exponents[g.rnd.IntN(len(exponents))]
	return twoNotations{"(" + base.sheet + ")^" + e, watch("(" + base.watched + ")^" + e)}
}

func (g formulaMaker) negative(depth int) twoNotations {
	n := g.number(depth)
	return twoNotations{"(-" + n.sheet + ")", watch("-" + n.watched)}
}

func (g formulaMaker) choice(depth int) twoNotations {
	c, l, r := g.truth(depth), g.number(depth), g.number(depth)
	return twoNotations{"(" + c.sheet + " ? " + l.sheet + " : " + r.sheet + ")", "(" + c.watched + " ? " + l.watched + " : " + r.watched + ")"}
}

func (g formulaMaker) least(depth int) twoNotations {
	l, r := g.number(depth), g.number(depth)
	name := []string{"min", "max"}[g.rnd.IntN(2)]
	return twoNotations{name + "(" + l.sheet + ", " + r.sheet + ")", watch(name + "(" + l.watched + ", " + r.watched + ")")}
}

func (g formulaMaker) function(depth int) twoNotations {
	n := g.number(depth)
	switch g.rnd.IntN(4) {
	case 0:
		return twoNotations{"abs(" + n.sheet + ")", watch("abs(" + n.watched + ")")}
	case 1:
		return twoNotations{"sqrt(" + n.sheet + ")", watch("root(" + n.watched + ")")}
	case 2:
		return twoNotations{"ceil(" + n.sheet + ")", watch("ceil(edge(" + n.watched + "))")}
	}
	return twoNotations{"floor(" + n.sheet + ")", watch("floor(edge(" + n.watched + "))")}
}

// truth makes a formula that gives yes or no.
func (g formulaMaker) truth(depth int) twoNotations {
	if depth > 0 {
		switch g.rnd.IntN(6) {
		case 0:
			c := g.truth(depth - 1)
			return twoNotations{"not (" + c.sheet + ")", "not (" + c.watched + ")"}
		case 1, 2:
			l, r := g.truth(depth-1), g.truth(depth-1)
			mark, decides := " and ", "decide(false, "
			if g.rnd.IntN(2) == 1 {
				mark, decides = " or ", "decide(true, "
			}
			return twoNotations{"(" + l.sheet + mark + r.sheet + ")", decides + "before(), " + l.watched + ", before(), " + r.watched + ")"}
		}
	}
	l, r := g.number(max(0, depth-1)), g.number(max(0, depth-1))
	mark := []string{" < ", " <= ", " > ", " >= ", " == ", " != "}[g.rnd.IntN(6)]
	return twoNotations{"(" + l.sheet + mark + r.sheet + ")", "(apart(" + l.watched + ", " + r.watched + ")" + mark + r.watched + ")"}
}

// watcher is the environment in which expr works a formula out, and what it saw on the way.
type watcher struct {
	noNumber bool // some value on the way was infinite or no number
	tie      bool // two numbers were compared, or rounded, that differ by rounding only
}

func nearly(x, y float64) bool { return x != y && math.Abs(x-y) <= 1e-9*max(math.Abs(x), math.Abs(y)) }

func (w *watcher) env(values map[string]float64) map[string]any {
	env := map[string]any{
		"watch": func(x float64) float64 {
			w.noNumber = w.noNumber || !isNumber(x)
			return x
		},
		"apart": func(x, y float64) float64 {
			w.tie = w.tie || nearly(x, y)
			return x
		},
		"edge": func(x float64) float64 {
			near := math.Round(x)
			w.tie = w.tie || x != near && math.Abs(x-near) <= 1e-9*max(1, math.Abs(x))
			return x
		},
		"root": math.Sqrt,
		"before": func() bool { // returns what has been seen so far, and begins anew
			seen := w.noNumber
			w.noNumber = false
			return seen
		},
		"decide": func(decisive, before, left, inLeft, right bool) bool { // both sides are worked out
			inRight := w.noNumber
			w.noNumber = before
			switch {
			case !inLeft && left == decisive || !inRight && right == decisive:
				return decisive
			case inLeft || inRight:
				w.noNumber = true
			}
			return !decisive
		},
	}
	for n, v := range values {
		env[n] = v
	}
	return env
}

// randomCells gives the cells values of all sizes and signs, some of them alike and some 0.
func randomCells(rnd *rand.Rand) map[string]float64 {
	values := map[string]float64{}
	for _, n := range cellNames {
		switch rnd.IntN(6) {
		case 0:
			values[n] = 0
		case 1:
			values[n] = float64(rnd.IntN(7) - 3)
		case 2:
			values[n] = math.Pow(10, float64(rnd.IntN(60)-30))
		default:
			values[n] = (rnd.Float64() - 0.5) * math.Pow(10, float64(rnd.IntN(5)))
		}
	}
	return values
}

// withCells writes the cells into a sheet.
func withCells(b *strings.Builder, values map[string]float64) {
	for _, n := range cellNames {
		fmt.Fprintf(b, "%s : %s\n", n, strings.Replace(fmt.Sprint(values[n]), "e+", "e", 1))
	}
}

// TestAgainstAnotherMachine works 20 000 random formulas out with the engine and with the machine of expr. They agree to
// 1e-12 of the value, and where expr meets an infinity or no number anywhere on the way the engine says that the cell
// failed.
func TestAgainstAnotherMachine(t *testing.T) {
	const sheets, formulas = 200, 105
	g := formulaMaker{rand.New(rand.NewPCG(11, 12))}
	worked, failed, ties := 0, 0, 0
	for range sheets {
		values := randomCells(g.rnd)
		var b strings.Builder
		withCells(&b, values)
		made := make([]twoNotations, formulas)
		for k := range made {
			made[k] = g.number(1 + g.rnd.IntN(5))
			fmt.Fprintf(&b, "y%d = %s\n", k, made[k].sheet)
		}
		m := load(t, b.String())
		for k, f := range made {
			w := &watcher{}
			want, err := expr.Eval(f.watched, w.env(values))
			require.NoError(t, err, f.watched)
			v, err := m.Value(fmt.Sprintf("y%d", k))
			require.NoError(t, err)
			switch {
			case w.tie:
				ties++
			case w.noNumber:
				failed++
				require.Equal(t, None, v.Status, "%s with %v gives %v", f.sheet, values, v.Number)
			default:
				worked++
				require.Equal(t, OK, v.Status, "%s with %v: %s", f.sheet, values, v.Reason)
				require.InDelta(t, want, v.Number, 1e-12*math.Abs(want.(float64)), "%s with %v", f.sheet, values)
			}
		}
		requireWalked(t, m)
	}
	assert.Greater(t, worked, 10_000)
	assert.Greater(t, failed, 2_000)
	assert.Less(t, ties, sheets*formulas/10)
}

// TestPowers raises to powers that have code of their own and to such as have not.
func TestPowers(t *testing.T) {
	for e := -3.0; e <= 6; e += 0.25 {
		m := load(t, fmt.Sprintf("a : 1.7\nb : 0\ny = a^%v\nz = b^%v\n", e, e))
		require.InEpsilon(t, math.Pow(1.7, e), worth(t, m, "y"), 1e-15, "%v", e)
		v, err := m.Value("z")
		require.NoError(t, err)
		if want := math.Pow(0, e); isNumber(want) {
			require.Equal(t, want, v.Number)
		} else {
			require.Equal(t, None, v.Status)
		}
	}
}

// requireWalked works every slot of a model out a second time, by walking its tree, and fails unless the machine's
// value is the walker's to 1e-12.
func requireWalked(t *testing.T, m *Model) {
	t.Helper()
	for s, sl := range m.slots {
		if _, broken := m.broken[int32(s)]; sl.root == none || broken {
			continue
		}
		w := walker{m: m}
		want, got := w.value(sl.root, &place{row: sl.row, at: none}), m.mach.Regs[s]
		if !isNumber(got) {
			require.False(t, isNumber(want), "%s walks to %v in\n%s", m.slotName(int32(s)), want, m.root.src.Data)
			require.True(t, w.fault != nil || len(w.missing) > 0, "%s has no value for no reason", m.slotName(int32(s)))
			continue
		}
		require.InDelta(t, want, got, 1e-12*math.Abs(want), "%s in\n%s", m.slotName(int32(s)), m.root.src.Data)
	}
}
