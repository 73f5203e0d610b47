package explain

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"gusset/engine/oracle"
	"gusset/engine/program"
)

// TestEveryFunctionIsEvaluated holds the evaluator against the worked figures of the oracle: what finds causes has to
// know every function and operator too. A function that it panics at has failed like any other.
func TestEveryFunctionIsEvaluated(t *testing.T) {
	for i, s := range oracle.Samples {
		t.Run(fmt.Sprintf("%s %d", s.Name, i), func(t *testing.T) {
			defer func() {
				if r := recover(); r != nil {
					t.Errorf("%v", r)
				}
			}()
			e := load(t, oracle.SampleSheet+"y = "+s.Formula+"\n")
			root := e.Slots[e.Cells[e.Root.Names["y"].Num].Slot].Root
			require.NotEqual(t, program.None, root)
			require.InDelta(t, s.Want, e.causes.eval(root, rowFrame(program.None)), 1e-12)
		})
	}
}
