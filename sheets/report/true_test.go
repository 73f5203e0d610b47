package report_test

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/report"
	"gusset/units"
)

// TestWhatWhyPrintsIsTrue reads the numbers that why prints, as somebody with a pencil would: each comparison holds of
// them or does not, as it is said, each difference is that of the two numbers, and the entries of a column add up. It
// knows nothing of how they were printed.
func TestWhatWhyPrintsIsTrue(t *testing.T) {
	files, err := filepath.Glob("../../library/starters/*.gusset")
	require.NoError(t, err)
	demos, err := filepath.Glob("../../testdata/*/*.gusset")
	require.NoError(t, err)
	r := rand.New(rand.NewPCG(3, 14))
	var read pencil
	from, to := 0, 4
	if testing.Short() {
		from, to = 1, 2
	}
	for i, f := range append(files, demos...) {
		if testing.Short() && i%2 != 0 {
			continue
		}
		m, err := engine.Load(engine.Sources{Files: os.DirFS(filepath.Dir(f)), Library: library.Pages()}, filepath.Base(f))
		require.NoError(t, err)
		for round := range to {
			if round >= from {
				read.all(t, m)
			}
			for _, e := range m.Entries() {
				if e.Given && e.Status == engine.OK && e.IsNumber() && !e.Whole() && r.IntN(10) == 0 {
					_ = m.SetNumber(e.Name, e.Unit.ToSI(e.Number)*(0.8+0.4*r.Float64())) // one out of range is left as it is
				}
			}
		}
	}
	assert.Greater(t, read.held, 50*(to-from))
	assert.Greater(t, read.failed, 10*(to-from))
	assert.Greater(t, read.sums, 5*(to-from))
}

// pencil counts what it has read.
type pencil struct{ held, failed, sums int }

// all reads the explanation of every check and every worked cell of a model.
func (p *pencil) all(t *testing.T, m *engine.Model) {
	for _, e := range m.Entries() {
		if e.Table != "" || e.Kind == engine.Given || e.Status != engine.OK {
			continue
		}
		r, err := m.WhyOneStep(e.Name)
		require.NoError(t, err)
		if e.IsCheck {
			p.condition(t, r)
		}
		p.sum(t, r)
	}
}

var (
	joinedBy  = regexp.MustCompile(` and `)
	comparing = regexp.MustCompile(`^(.*?) (<=|>=|==|!=|<|>) (.*)$`)
	summing   = regexp.MustCompile(`^sum\([a-z_]+\.[a-z_]+\)$`)
)

// number reads a number with its unit.
func number(text string) (float64, bool) {
	n, err := units.Builtin().ParseNumber(strings.NewReplacer("[", "", "]", "").Replace(text), units.Unit{})
	return n.SI, err == nil
}

// condition reads a check: comparisons of two numbers, one or several joined by and.
func (p *pencil) condition(t *testing.T, r *engine.Reason) {
	for _, u := range r.Unmet {
		p.unmet(t, r, u)
	}
	if strings.Contains(r.Filled, " or ") || strings.Contains(r.Filled, "not ") {
		return
	}
	allHold, allRead := true, true
	for _, c := range joinedBy.Split(r.Filled, -1) {
		parts := comparing.FindStringSubmatch(c)
		if parts == nil {
			return
		}
		a, ok1 := number(parts[1])
		b, ok2 := number(parts[3])
		allRead = allRead && ok1 && ok2
		near := math.Abs(a-b) <= 1e-12*math.Max(math.Abs(a), math.Abs(b))
		holds := map[string]bool{"<": a < b && !near, "<=": a < b || near, ">": a > b && !near, ">=": a > b || near,
			"==": near, "!=": !near}[parts[2]]
		allHold = allHold && holds
	}
	if !allRead {
		return
	}
	said := r.Value.State() == engine.CheckHolds
	assert.Equal(t, said, allHold, "%s: %s", r.Name, r.Filled)
	if said {
		p.held++
	} else {
		p.failed++
	}
}

// unmet reads what is said of a part of a check that fails.
func (p *pencil) unmet(t *testing.T, r *engine.Reason, u engine.Unmet) {
	for _, row := range u.Rows {
		for _, part := range row.Parts {
			p.unmet(t, r, part)
		}
	}
	for _, part := range u.Of {
		p.unmet(t, r, part)
	}
	a, ok1 := number(u.Left.Quantity())
	b, ok2 := number(u.Right.Quantity())
	if u.Left.IsText || !ok1 || !ok2 || u.Order != engine.Less && u.Order != engine.Greater {
		return
	}
	said := report.UnmetParts([]engine.Unmet{u}, u.Text)
	assert.Equal(t, u.Order == engine.Greater, a > b, "%s: %s", r.Name, said)
	by, ok := number(strings.TrimLeft(u.By, "+-"))
	assert.True(t, ok, "%s: %s", r.Name, said)
	assert.InEpsilon(t, math.Abs(a-b), by, 0.05, "%s: %s", r.Name, said)
}

// sum adds up the entries of a column, of which the formula is the sum.
func (p *pencil) sum(t *testing.T, r *engine.Reason) {
	if !summing.MatchString(r.Formula) || len(r.Rests) == 0 || !r.Rests[0].Column {
		return
	}
	column, total := r.Rests[0], 0.0
	for _, row := range column.Rows {
		si, ok := row.Values[0].Printed()
		if !ok {
			return
		}
		total += si
	}
	p.sums++
	assert.Equal(t, r.Value.Text, units.Format(total, r.Value.Unit, r.Value.Step), "%s = %s", r.Name, r.Formula)
}
