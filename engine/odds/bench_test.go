package odds

import (
	"context"
	"testing"
)

// BenchmarkOdds is a small sheet with a search, a choice and a count, 100 000 builds with everything that is said of
// them; BenchmarkDraws of package engine has the builds alone, beside the same arithmetic by hand.
func BenchmarkOdds(b *testing.B) {
	st := worked(b, bench)
	for b.Loop() {
		if _, err := Of(context.Background(), st, Options{Seed: 1, Builds: 100_000}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkSummarize sums up as many values as a million builds have.
func BenchmarkSummarize(b *testing.B) {
	values, work := make([]float32, 1_000_000), make([]float32, 1_000_000)
	s := streamOf(1, "x", 1)
	for i := range values {
		values[i] = float32(s.uniform(i))
	}
	for b.Loop() {
		copy(work, values)
		summarize(work)
	}
}
