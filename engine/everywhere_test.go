package engine

import (
	"fmt"
	"slices"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/formula"
	"gusset/engine/machine"
	"gusset/engine/oracle"
	"gusset/engine/program"
)

// TestEveryFunctionIsKnownEverywhere takes every function and operator through each place that has to know it, and
// names the place that does not. Of causes and of workbooks TestEveryFunctionIsEvaluated of explain and
// TestEveryFunctionIsTranslated of sheets/workbook say the same.
func TestEveryFunctionIsKnownEverywhere(t *testing.T) {
	sampled := map[string]bool{}
	for i, s := range oracle.Samples {
		sampled[s.Name] = true
		t.Run(fmt.Sprintf("%s %d", s.Name, i), func(t *testing.T) {
			sheet := oracle.SampleSheet + "y = " + s.Formula + "\n"
			var m *Model
			knownTo(t, "reader", func(t *testing.T) {
				_, mistakes := formula.Parse(s.Formula, 0)
				require.Empty(t, mistakes)
			})
			knownTo(t, "checker", func(t *testing.T) {
				m = load(t, sheet)
				require.Empty(t, m.Mistakes())
			})
			knownTo(t, "machine", func(t *testing.T) { require.InDelta(t, s.Want, worth(t, m, "y"), 1e-12) })
			knownTo(t, "explanation", func(t *testing.T) {
				_, err := m.Why("y")
				require.NoError(t, err)
			})
			knownTo(t, "oracle", func(t *testing.T) {
				o, err := oracle.Load(fstest.MapFS{"x.gusset": {Data: []byte(sheet)}}, nil, "x.gusset")
				require.NoError(t, err)
				problem, sure := o.Differs("y", oracle.Answer{Number: s.Want})
				require.Empty(t, problem)
				require.True(t, sure)
			})
		})
	}
	for _, f := range program.Functions {
		assert.True(t, sampled[f.Name], "oracle.Samples has no formula for %s", f.Name)
	}
	for op := formula.NoOp + 1; op < formula.Ops; op++ {
		assert.True(t, sampled[op.String()], "oracle.Samples has no formula for %s", op)
	}
}

// knownTo runs a part of a test. A place that panics has failed like any other.
func knownTo(t *testing.T, name string, test func(t *testing.T)) {
	t.Run(name, func(t *testing.T) {
		defer func() {
			if r := recover(); r != nil {
				t.Errorf("%v", r)
			}
		}()
		test(t)
	})
}

// TestSamplesHaveEveryOperator finds every Op of the checked tree among the samples, and every kind of fold and
// function of the machine in the table of functions.
func TestSamplesHaveEveryOperator(t *testing.T) {
	seen := map[program.Op]bool{}
	for _, s := range oracle.Samples {
		st := load(t, oracle.SampleSheet+"y = "+s.Formula+"\n").st
		for _, n := range st.Nodes {
			seen[n.Op] = true
		}
		isToolOnly := func(in machine.Instr) bool { return in.Op.Shape().ToolOnly }
		assert.Equal(t, oracle.ToolOnly[s.Name], slices.ContainsFunc(st.Instrs, isToolOnly), s.Formula)
	}
	for _, n := range load(t, "a : 1 ± 1\ncheck c = spread(a) < 9\n").st.Nodes { // which no formula of a cell may have
		seen[n.Op] = true
	}
	ops, err := oracle.Constants("program/tree.go", "Op")
	require.NoError(t, err)
	require.Greater(t, len(ops), 30)
	for op, name := range ops[1:] { // the first is OpBroken
		assert.True(t, seen[program.Op(op+1)], "no sample comes to %s", name)
	}
	for kind := range machine.FoldKinds {
		isKind := func(f program.Function) bool {
			takes := f.IsFold || f.Op == program.OpPoints
			return takes && f.Fold == kind || kind == machine.Interpolate
		}
		assert.True(t, slices.ContainsFunc(program.Functions, isKind), "no function is of kind %d", kind)
	}
	works, err := oracle.Constants("machine/func.go", "Func")
	require.NoError(t, err)
	for fn, name := range works {
		assert.NotNil(t, program.FunctionOf(machine.Func(fn)), "no function works by %s", name)
	}
}
