package engine_test

import (
	"context"
	"os"
	"testing"

	"gusset/engine"
	"gusset/library"
)

// marshTern loads the demo with the wing not weighed yet, so that its wood counts.
func marshTern(tb testing.TB) *engine.Model {
	tb.Helper()
	m, err := engine.Load(engine.Sources{Files: os.DirFS("../testdata/marsh-tern"), Library: library.Pages()},
		"marsh-tern.gusset")
	if err != nil {
		tb.Fatal(err)
	}
	if err := m.Set(`parts["wing frame"].weighed`, ""); err != nil {
		tb.Fatal(err)
	}
	return m
}

// fiveStocks varies five stocks of the demo, ten ways each.
func fiveStocks() engine.ChooseQuestion {
	const sheets = `balsa sheet 1/32, balsa sheet 1/16, balsa sheet 1/16 light, balsa sheet 1/16 hard, balsa sheet 3/32, ` +
		`balsa sheet 1/8, balsa sheet 3/16, balsa sheet 1/4, birch ply 1/32, light ply 1/8`
	const strips = `spruce strip 1/8 x 1/4, spruce strip 3/16 x 1/4, spruce strip 1/4 sq, basswood strip 1/8 sq, ` +
		`balsa strip 1/8 sq, balsa strip 3/16 sq, balsa strip 1/4 sq, balsa strip 3/8 sq, birch dowel 3/16, birch dowel 1/4`
	return engine.ChooseQuestion{
		Vary: []string{
			"rib_stock: " + sheets, "skin_stock: " + sheets, "web_stock: " + sheets, "spar_stock: " + strips,
			"side_stock: " + sheets,
		},
		Goals:   []engine.ChooseGoal{{Name: "all_up"}, {Name: "total_bill"}},
		Without: []string{"balance_agrees"},
	}
}

// BenchmarkChoose tries the 100 000 combinations of five stocks; the aim is 3 s on two processors, better 1 s.
func BenchmarkChoose(b *testing.B) {
	m := marshTern(b)
	for b.Loop() {
		a, err := engine.Choose(context.Background(), m, fiveStocks())
		if err != nil || a.Tried != 100_000 || a.Hold == 0 {
			b.Fatal(a.Tried, a.Hold, err)
		}
	}
}
