package odds

import (
	"math"

	"gusset/engine/state"
)

// slopes returns, for each of some slots, how steeply it follows each input, in SI; NaN for one that has no value. They
// are taken from small steps either way.
func slopes(st *state.State, outputs, inputs []int32) ([][]float64, error) {
	d, err := state.NewDraws(st, inputs, outputs)
	if err != nil {
		return nil, err
	}
	all := make([][]float64, len(outputs))
	for j := range all {
		all[j] = make([]float64, len(inputs))
	}
	for i, s := range inputs {
		x := st.Mach.Regs[s]
		h := 1e-6 * max(math.Abs(x), 1e-3)
		d.Input(i)[0], d.Input(i)[1] = x+h, x-h
		d.Run(2)
		d.Input(i)[0], d.Input(i)[1] = x, x
		for j := range outputs {
			all[j][i] = (d.Output(j)[0] - d.Output(j)[1]) / (2 * h)
		}
	}
	return all, nil
}
