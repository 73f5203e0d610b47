package units

import "testing"

func BenchmarkParse(b *testing.B) {
	for _, text := range []string{"in", "oz/sq ft"} {
		b.Run("known "+text, func(b *testing.B) {
			s := newSet(nil)
			for b.Loop() {
				if _, err := s.Parse(text); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	b.Run("new oz/sq ft", func(b *testing.B) {
		s := newSet(nil)
		for b.Loop() {
			if _, err := s.parse("oz/sq ft"); err != nil {
				b.Fatal(err)
			}
		}
	})
}

func BenchmarkParseNumber(b *testing.B) {
	inch := unit(b, "in")
	for _, text := range []string{"8.25", "8-1/4", "4 ft 2-1/2 in", "155 g", "30 deg", "68 degF"} {
		b.Run(text, func(b *testing.B) {
			for b.Loop() {
				if _, err := Builtin().ParseNumber(text, inch); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkFormat(b *testing.B) {
	inch := unit(b, "in")
	sixteenth := step(b, "1/16")
	tenth := step(b, "0.1")
	b.Run("8-1/4", func(b *testing.B) {
		for b.Loop() {
			Format(0.20955, inch, sixteenth)
		}
	})
	b.Run("worked, step 0.1", func(b *testing.B) {
		for b.Loop() {
			Format(0.20955123456789123, inch, tenth)
		}
	})
	b.Run("worked, no step", func(b *testing.B) {
		for b.Loop() {
			Format(0.20955123456789123, inch, Step{})
		}
	})
}

func BenchmarkExact(b *testing.B) {
	inch := unit(b, "in")
	for b.Loop() {
		Exact(0.20955123456789123, inch)
	}
}
