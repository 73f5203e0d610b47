package fill_test

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/sheets/fill"
	"gusset/sheets/project"
)

// TestAnyLines: whatever is typed, the sheet in its file has no mistake, and the model is what loading it gives.
func TestAnyLines(t *testing.T) {
	folder, err := filepath.Abs("../../library/starters")
	require.NoError(t, err)
	write(t, nil)
	for _, name := range []string{"powered.gusset", "rack.gusset"} {
		data, err := os.ReadFile(filepath.Join(folder, name))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(name, data, 0o644))
	}
	rounds := 100
	if testing.Short() {
		rounds = 20
	}
	lines := []string{"", "", "ok", "<", "+ a new one", "+ like ", "+", "a | b", "1", "2.5", "-1/4", "7 g", "3 oz ?", "yes", "no",
		"balsa", `"birch ply 1/8" ?`, "f", `fitted["motor"].weighed : 2`, "rack.glue_share : 9 %", "span_on_print : 44",
		"all_up : 3", "x : y", "//", `"`, "= 3", "?", "1 ?", "[", "\x01", "ü : \"", `wood["ribs"].stock : balsa sheet 3/32`,
		`rack.stock["birch ply 1/8"].wood : pine`, "canopy", "3 ± 1"}
	rnd := rand.New(rand.NewPCG(1, 2))
	for _, names := range [][]string{nil, {"wood"}, {"fitted.weighed", "rack.stock"}} {
		s, err := fill.Open("powered.gusset", names, "")
		require.NoError(t, err)
		taken := 0
		for i := range rounds {
			s.Question()
			line := lines[rnd.IntN(len(lines))]
			r := s.Take(line)
			if r.Wrong == nil {
				taken++
			}
			if i%20 == 19 {
				again, err := project.Load("powered.gusset")
				require.NoError(t, err)
				require.Empty(t, again.Model.Mistakes(), line)
				require.Empty(t, engine.Between(s.Model(), again.Model).Moves, line)
			}
		}
		require.Greater(t, taken, rounds/5)
	}
}
