package engine

import (
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"gusset/engine/program"
)

// Each benchmark of the engine stands beside the same arithmetic written by hand in Go. Compare the two of one run: the
// machines are shared and their speed drifts.
//
//	go test ./engine -run '^$' -bench . -benchmem

func loadText(tb testing.TB, sheet string) *Model {
	tb.Helper()
	m, err := Load(program.Sources{Files: fstest.MapFS{"x.gusset": {Data: []byte(sheet)}}}, "x.gusset")
	require.NoError(tb, err)
	require.Empty(tb, m.Problems())
	return m
}

// partSheet is a sheet of n groups of ten cells, each working out a beam of stock as builders do: size, weight,
// section, stress, reserve, deflection.
func partSheet(n int) string {
	var b strings.Builder
	b.WriteString("pull [m/s^2] : 9.80665\n")
	for i := range n {
		fmt.Fprintf(&b, `long%[1]d [m] : %[2]g
wide%[1]d [m] : 0.00%[3]d
thick%[1]d [m] = wide%[1]d * 0.75 + 0.0005 [m]
area%[1]d [m^2] = wide%[1]d * thick%[1]d
weight%[1]d [kg] = area%[1]d * long%[1]d * 160 [kg/m^3]
section%[1]d [m^3] = wide%[1]d * thick%[1]d^2 / 6
moment%[1]d [N m] = weight%[1]d * pull * long%[1]d / 8
stress%[1]d [Pa] = moment%[1]d / section%[1]d
reserve%[1]d = stress%[1]d < 1000000 [Pa] ? 21600000 [Pa] / stress%[1]d : 1
radius%[1]d [m] = sqrt(area%[1]d / pi)
`, i, 0.3+float64(i)*0.01, 3+i%6)
	}
	return b.String()
}

type part struct{ long, wide, thick, area, weight, section, moment, stress, reserve, radius float64 }

// partsByHand is partSheet in Go.
func partsByHand(parts []part, pull float64) {
	for i := range parts {
		p := &parts[i]
		p.thick = p.wide*0.75 + 0.0005
		p.area = p.wide * p.thick
		p.weight = p.area * p.long * 160
		p.section = p.wide * (p.thick * p.thick) / 6
		p.moment = p.weight * pull * p.long / 8
		p.stress = p.moment / p.section
		if p.stress < 1e6 {
			p.reserve = 21.6e6 / p.stress
		} else {
			p.reserve = 1
		}
		p.radius = math.Sqrt(p.area / math.Pi)
	}
}

func handParts(n int) []part {
	parts := make([]part, n)
	for i := range parts {
		parts[i].long, parts[i].wide = 0.3+float64(i)*0.01, float64(3+i%6)/1000
	}
	return parts
}

func TestPartSheetMatchesHand(t *testing.T) {
	m := loadText(t, partSheet(50))
	parts := handParts(50)
	partsByHand(parts, 9.80665)
	for i, p := range parts {
		v, err := m.Value(fmt.Sprintf("reserve%d", i))
		require.NoError(t, err)
		require.InEpsilon(t, p.reserve, v.Number, 1e-12)
	}
}

var sink float64

func BenchmarkModel500Engine(b *testing.B) {
	m := loadText(b, partSheet(50))
	b.ReportAllocs()
	for b.Loop() {
		m.st.Mach.Run(m.st.Instrs, 0)
	}
}

func BenchmarkModel500ByHand(b *testing.B) {
	parts := handParts(50)
	for b.Loop() {
		partsByHand(parts, 9.80665)
	}
	sink = parts[0].reserve
}

// wideSheet is n cells, each over three inputs.
func wideSheet(n int) string {
	var b strings.Builder
	for i := range 300 {
		fmt.Fprintf(&b, "in%d : %g\n", i, 1+float64(i)/100)
	}
	for i := range n {
		fmt.Fprintf(&b, "c%d = in%d * in%d + in%d\n", i, i%300, (i*7+1)%300, (i*13+2)%300)
	}
	return b.String()
}

func BenchmarkWide100kEngine(b *testing.B) {
	m := loadText(b, wideSheet(100_000))
	b.ReportAllocs()
	for b.Loop() {
		m.st.Mach.Run(m.st.Instrs, 0)
	}
}

func BenchmarkWide100kByHand(b *testing.B) {
	in := make([]float64, 300)
	for i := range in {
		in[i] = 1 + float64(i)/100
	}
	at := make([][3]int32, 100_000)
	for i := range at {
		at[i] = [3]int32{int32(i % 300), int32((i*7 + 1) % 300), int32((i*13 + 2) % 300)}
	}
	out := make([]float64, len(at))
	for b.Loop() {
		for i, k := range at {
			out[i] = in[k[0]]*in[k[1]] + in[k[2]]
		}
	}
	sink = out[0]
}

// chainSheet is n cells, each needing the one before.
func chainSheet(n int) string {
	var b strings.Builder
	b.WriteString("rate : 0.999\nc0 : 1\n")
	for i := 1; i < n; i++ {
		fmt.Fprintf(&b, "c%d = c%d * rate + 0.5\n", i, i-1)
	}
	return b.String()
}

func BenchmarkChain100kEngine(b *testing.B) {
	m := loadText(b, chainSheet(100_000))
	b.ReportAllocs()
	for b.Loop() {
		m.st.Mach.Run(m.st.Instrs, 0)
	}
}

func BenchmarkChain100kByHand(b *testing.B) {
	c := make([]float64, 100_000)
	c[0] = 1
	rate := 0.999
	for b.Loop() {
		last := c[0]
		for i := 1; i < len(c); i++ {
			last = last*rate + 0.5
			c[i] = last
		}
	}
	sink = c[len(c)-1]
}

// gridSheet is a table of rows x cols worked entries.
func gridSheet(rows, cols int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "k : 1.5\ntable grid\n  x from 1 to %d step 1\n", rows)
	b.WriteString("  w0 = x * k\n")
	for c := 1; c < cols; c++ {
		fmt.Fprintf(&b, "  w%d = w%d * 0.5 + x\n", c, c-1)
	}
	b.WriteString("total = sum(grid.w0)\n")
	return b.String()
}

func BenchmarkGrid1000x100Engine(b *testing.B) {
	m := loadText(b, gridSheet(1000, 100))
	b.ReportAllocs()
	for b.Loop() {
		m.st.Mach.Run(m.st.Instrs, 0)
	}
}

func BenchmarkGrid1000x100ByHand(b *testing.B) {
	const rows, cols = 1000, 100
	x := make([]float64, rows)
	for i := range x {
		x[i] = float64(i + 1)
	}
	w := make([][]float64, cols)
	for c := range w {
		w[c] = make([]float64, rows)
	}
	k := 1.5
	for b.Loop() {
		for i := range x {
			w[0][i] = x[i] * k
		}
		for c := 1; c < cols; c++ {
			for i := range x {
				w[c][i] = w[c-1][i]*0.5 + x[i]
			}
		}
		total := 0.0
		for _, v := range w[0] {
			total += v
		}
		sink = total
	}
}

func BenchmarkSetOneEngine(b *testing.B) {
	m := loadText(b, partSheet(500))
	s, err := m.st.FindSlot("wide7")
	require.NoError(b, err)
	i := 0
	b.ReportAllocs()
	for b.Loop() {
		m.st.Assign(s, 0.003+float64(i&7)*1e-4)
		i++
	}
}

func BenchmarkSetOneByHand(b *testing.B) {
	parts := handParts(500)
	i := 0
	for b.Loop() {
		parts[7].wide = 0.003 + float64(i&7)*1e-4
		partsByHand(parts[7:8], 9.80665)
		i++
	}
	sink = parts[7].reserve
}

func BenchmarkLoad500(b *testing.B) {
	src := program.Sources{Files: fstest.MapFS{"x.gusset": {Data: []byte(partSheet(50))}}}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Load(src, "x.gusset"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLoad100k(b *testing.B) {
	src := program.Sources{Files: fstest.MapFS{"x.gusset": {Data: []byte(wideSheet(100_000))}}}
	var before, after runtime.MemStats
	var m *Model
	for b.Loop() {
		m = nil
		runtime.GC()
		runtime.ReadMemStats(&before)
		var err error
		if m, err = Load(src, "x.gusset"); err != nil {
			b.Fatal(err)
		}
	}
	runtime.GC()
	runtime.ReadMemStats(&after)
	b.ReportMetric(float64(after.HeapAlloc-before.HeapAlloc)/100_000, "B/cell")
	runtime.KeepAlive(m)
}
