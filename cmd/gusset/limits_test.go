//go:build unix

package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mostMemory is how much a run may take for any sheet, whoever wrote it.
const mostMemory = 300 << 20

// linesOf returns n lines of a form, in which # stands for the number of the line.
func linesOf(n int, form string) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(strings.ReplaceAll(form, "#", strconv.Itoa(i)) + "\n")
	}
	return b.String()
}

// ranged returns a table that makes its own rows, with n worked columns.
func ranged(n int, column string) string {
	return "table t\n  x from 1 to 10000 step 1\n" + linesOf(n, "  c# = "+column)
}

func letters(bytes int) string { return strings.Repeat("y", bytes) }

const (
	tooMuchPrinted  = "cut short: a command prints 64 MiB at most"
	tooManyValues   = "the file has more than 200 000 values"
	tooManyPoints   = "the charts of a project may draw 1000000 points at most"
	tooManyCompared = "at most 250000 values can be compared at once"
	tooManyMessages = "there is more like what was told before: 1000 messages of a kind are told at most"
)

// TestHostileSheets: whatever a sheet asks for, a run ends, with little memory. What is too much is refused in
// words that name the limit; what is not too much comes out whole.
func TestHostileSheets(t *testing.T) {
	if raced {
		t.Log("the race detector takes ten times the memory and the time")
		return
	}
	sheets := map[string]func() string{
		"texts":      func() string { return `a : "` + letters(2000) + "\"\n" + ranged(10, `a + "`+letters(2000)+`"`) },
		"many-texts": func() string { return `a : "` + letters(4000) + "\"\n" + ranged(100, `a + "#"`) },
		"joined": func() string {
			return "table r\n  n | k\n" + linesOf(10_000, `  r# | "#"`) + linesOf(50, `  c# = k + "`+letters(90)+`#"`)
		},
		"outlines": func() string {
			return "table o\n  n from 1 to 9999 step 1\n  x = n * cos(n * 1 [rad])\n  y = n * sin(n * 1 [rad])\n" +
				linesOf(30, "a# = outline_area(o.x, o.y)")
		},
		"outline": func() string {
			return "table o\n  turn [deg] from 0.036 to 360 step 0.036\n  far = mod(turn, 0.072 [deg]) < 0.001 [deg] ? 9 : 1\n" +
				"  x = far * cos(turn)\n  y = far * sin(turn)\n" + linesOf(9, "a# = outline_area(o.x, o.y)")
		},
		"pictures": func() string {
			return "table t\n  n from 1 to 9999 step 1\n  at = -n\n" +
				linesOf(60, `picture "p#" t: n at at mark `+strings.Repeat(`t["77"].at, `, 11)+`t["1"].n`)
		},
		"charts":      func() string { return ranged(0, "") + linesOf(1000, `chart "c#" t: x against x`) },
		"wide-charts": func() string { return wideCharts() },
		"page-charts": func() string { return ranged(2, "x * 2") + linesOf(30, `chart "c#" t: c0, c1 against x`) },
		"variants":    func() string { return linesOf(2000, "c# : 1") + linesOf(500, "variant \"v#\"\n  c0 : #") },
		"changed": func() string {
			return linesOf(2000, "c# : 1 ?") + "page At a glance\n" + linesOf(120, "s# = c# + c0") +
				"variant \"v\"\n" + linesOf(2000, "  c# : 2 // r#")
		},
		"changed-wide": func() string {
			return linesOf(2000, "c# : 1") + "page At a glance\n" + linesOf(2000, "s# = c#") +
				"variant \"v\"\n" + linesOf(2000, "  c# : 2")
		},
		"changed-long": func() string {
			return linesOf(2000, "c# : 1") + ranged(190, "x * c0") + "variant \"v\"\n" + linesOf(2000, "  c# : 2")
		},
		"columns": func() string { return "a : 1\n" + linesOf(50_000, "variant \"v#\"\n  a : #") },
		"ranges":  func() string { return linesOf(200, "table t#\n  x from 1 to 10000 step 1") },
		"wide":    func() string { return ranged(199, "x * 2") },
		"named":   func() string { return linesOf(200, "table t#\n  x from 0.1# to 12000 step 1.23456") },
		"readings": func() string {
			return "table t\n  x [degF] from 1 to 10000 step 1\n" + linesOf(199, "  c# [degC] = x")
		},
		"fails": func() string { return ranged(190, "1 / 0") },
		"waits": func() string { return "b :\n" + ranged(190, "b") },
		"moves": func() string { return "g : 1\n" + ranged(190, "x * g") },
		"trusts": func() string {
			return "formula f(x) = x\n" + linesOf(1500, "  trust x > #+1 // m#") + linesOf(20_000, "a# = f(0)")
		},
		"needs": func() string {
			return "formula f(x) = x\n" + linesOf(1500, "  needs x > #+1 // m#") + linesOf(20_000, "a# = f(0)")
		},
		"used":         func() string { return linesOf(63, `use "big#.gusset" as b#`) },
		"half-million": func() string { return linesOf(500_000, "a# : 1") },
		"entries": func() string {
			return "table t\n  n" + strings.ReplaceAll(
				linesOf(190, " | k#"), "\n", "",
			) + "\n" + linesOf(40_000, "  r#"+strings.Repeat("|1", 190))
		},
		"units":    func() string { return linesOf(200_000, "unit u# = 12.345# [in]") },
		"cautions": func() string { return linesOf(400_000, `caution "c#"`) },
		"unknown":  func() string { return linesOf(100_000, "a# [zork] : 1") },
		"unread":   func() string { return linesOf(400_000, "a# % 5") },
		"choices": func() string {
			return "table r\n  n | k\n" + linesOf(9000, "  r# | 1") + linesOf(9000, `a# [one of r] : "r1"`)
		},
		"filters": func() string {
			return "table r\n  n | k\n" + linesOf(9000, "  r# | 1") + linesOf(9000, `a# [one of filter(r, .k < #)] : "r1"`)
		},
		"rows":      func() string { return "table r\n  n | k\n  " + letters(15_000) + " | 1\n" },
		"names":     func() string { return letters(5000) + " : 1\n" },
		"long-text": func() string { return `a : "` + letters(5000) + "\"\n" },
		"padding": func() string {
			return "table t\n  n | k | l\n  r | \"" + letters(4000) + "\" | 1\n" + linesOf(60_000, `  r# | "a" | 1`)
		},
		"formulas": func() string {
			return "a : 1\n" + linesOf(2000, letters(55)+"# = 1") +
				linesOf(2000, "b# = "+strings.Repeat(letters(55)+"# + ", 100)+"1")
		},
		"comments": func() string { return "page A\na : 1\n" + linesOf(490_000, "//"+letters(31)) },
		"filled": func() string {
			return `a : "` + letters(4000) + "\"\n" +
				linesOf(900, "b# = "+strings.Repeat(`(a == "x") ? 1 : (`, 30)+"2"+strings.Repeat(")", 30)) + "c = 0" +
				strings.ReplaceAll(linesOf(900, " + b#"), "\n", "") + "\n"
		},
		"guesses": func() string {
			return linesOf(1000, "g# : 1 ?") + "s = 0" + strings.ReplaceAll(
				linesOf(900, " + g#"), "\n", "",
			) + "\n" + ranged(100, "x * s")
		},
		"guess-sums": func() string {
			return linesOf(3000, "g# : 1 ?") + linesOf(300, "s# = 0"+strings.ReplaceAll(linesOf(900, " + g#"), "\n", ""))
		},
		"long-lists": func() string {
			list := strings.ReplaceAll(linesOf(401, "g#, "), "\n", "")
			return linesOf(401, "g# : 1") + linesOf(2000, "s# = sum(["+strings.TrimSuffix(list, ", ")+"])")
		},
		"own-units": func() string {
			var b strings.Builder
			for i := range 24_000 {
				fmt.Fprintf(&b, "c%d [u%d] = n * 2 [u%d]\nd%d [u%d] : 3\n", i, i%990, i%990, i, i%990)
			}
			return linesOf(990, "unit u# = 12.345# [in]") + "n : 2\n" + b.String()
		},
		"long-waits": func() string {
			return "x [oz] :\ntable t\n  n from 1 to 10000 step 1\n  v [oz] = x * n\n" +
				linesOf(1000, "a# [oz] = sum(t.v)") + linesOf(1000, "b# [oz] = a# ?? 1 [oz]")
		},
		"cuts": func() string { // as many as a run takes, each of 2000 pieces of many sizes
			return "table p\n  n from 1 to 1000 step 1\n  l [mm] = (100 + mod(n * 377, 611)) * 1 [mm]\n  w [mm] = (10 + mod(n * 91, 67)) * 1 [mm]\n" +
				linesOf(248, "y# = stock_needed(p, 2, .l, .w, 915.# [mm], 76.# [mm], 1 [mm], yes)")
		},
		"one-cut": func() string {
			return "table p\n  n from 1 to 2000 step 1\n  l [mm] = (100 + mod(n * 377, 611)) * 1 [mm]\n" +
				"y = stock_needed(p, 1, .l, 50 [mm], 1000 [mm], 75 [mm], 1 [mm])\n"
		},
		"checked": func() string { // as many checks as a sheet may have, all of them of what is chosen
			return "n [1, 1] : 3\nm [1, 1] : 5\n" + linesOf(90_000, "check c# = n * m - # / 10000 > 20")
		},
		"searched": func() string {
			return "n [1, 1] : 3\n" + linesOf(40, "adjust a# from 0 to 9 so sin(a# * 1 [rad]) * 0.# = 0.0001 * n") +
				linesOf(40, "check c# = a# > 1")
		},
		"open": func() string { return linesOf(100_000, "a# : // m") + "check c = a0 + a1 > 3\n" },
		"tolerances": func() string {
			return linesOf(100_000, "a# [ft in, 1/8] : 4 ft 2 in ± 1/64 normal ?") +
				"table t\n  n | k [degF]\n" + linesOf(40_000, "  r# | 60 ± 5")
		},
		"drawn": func() string {
			return "table t\n  n | k\n" + linesOf(9000, "  r# | # ± 5") + "s = sum(t.k)\n" + linesOf(300, "a# = s * #")
		},
		"too-drawn": func() string { return "table t\n  n | k\n" + linesOf(20_000, "  r# | # ± 5") + "s = sum(t.k)\n" },
		"drawn-choice": func() string {
			return "n [1, 1] : 3\ntable t\n  n | k\n" + linesOf(2000, "  r# | # ± 5") + "s = sum(t.k) * n\ncheck c = s > n\n" +
				linesOf(10, "check c# = s > # * n")
		},
		"too-drawn-choice": func() string {
			return "n [1, 1] : 3\ntable t\n  n | k\n" + linesOf(20_000, "  r# | # ± 5") + "s = sum(t.k) * n\ncheck c = s > n\n"
		},
		"doubts": func() string {
			return "table t\n  n | k | w\n" + linesOf(9000, "  r# | # ± 5 |") + "  v = w ?? k\n" + linesOf(20, "s# = sum(t.v) * #")
		},
		"undrawn": func() string { return "table t\n  n | k\n" + linesOf(90_000, "  r# | # ") + "s = sum(t.k)\n" },
		"spreads": func() string {
			return "table t\n  n | k\n" + linesOf(1900, "  r# | # ± 5") + "s = sum(t.k)\n" +
				linesOf(51, "check c# = spread(s) < 1")
		},
		"spread-wide": func() string {
			return "table t\n  n | k\n" + linesOf(90_000, "  r# | # ± 5") + "s = sum(t.k)\n" +
				linesOf(50, "check c# = spread(s) < 1")
		},
		"spread-deep": func() string {
			return "a0 : 1 ± 1\n" + linesOf(90_000, "b# = #") + "table t\n  x from 1 to 10000 step 1\n  y = x * a0\n" +
				"s = sum(t.y)\n" + linesOf(50, "check c# = spread(s) < 1")
		},
		"wrong-tolerances": func() string { return linesOf(190_000, "a# [in] : 4 ± 1/64 zork") },
		"aliases":          func() string { return linesOf(50_000, `use "stock.gusset" as b#`) },
	}
	big := strings.Repeat("// "+letters(80)+"\n", 190_000)
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("stock.gusset", []byte("a : 1\n"), 0o644)) // aliases uses it
	for i := range 63 {
		if i == 0 {
			require.NoError(t, os.WriteFile("big0.gusset", []byte(big), 0o644))
			continue
		}
		require.NoError(t, os.Link("big0.gusset", fmt.Sprintf("big%d.gusset", i)))
	}
	type hostile struct {
		args   string
		status int
		words  string // in what it says
	}
	cases := []hostile{
		{"show texts", sheetErrors, tooMuchPrinted},
		{"export many-texts -o out.xlsx", fileTrouble, "a workbook takes 50000 at most"},
		{"show --json charts", sheetErrors, tooManyPoints},
		{"export charts -o out.xlsx", sheetErrors, tooManyPoints},
		{"compare variants", wrongUsage, tooManyCompared},
		{"compare --json variants", wrongUsage, tooManyCompared},
		{"compare variants --cells c0 --variant v1 --variant v2", allWell, "Values that differ: 1 of 1"},
		{"compare columns", wrongUsage, "at most 200 columns can be compared at once"},
		{"show used", sheetErrors, "with this one, the sheets of this project have more than 16 MiB together"},
		{"show half-million", sheetErrors, tooManyValues},
		{"tidy --check half-million", sheetErrors, tooManyValues},
		{"show entries", sheetErrors, tooManyValues},
		{"show choices", allWell, "a8999"},
		{"show --json choices", sheetErrors, tooMuchPrinted},
		{"show rows", sheetErrors, "the row's name has more than 255 bytes"},
		{"show names", sheetErrors, "the name has more than 64 bytes"},
		{"show long-text", sheetErrors, "the text has more than 4096 bytes"},
		{"tidy --check padding", checkUnmet, "r9963"},
		{"show formulas", sheetErrors, "the formulas of a project may have 8 MiB together"},
		{"show one-cut", allWell, "y =    807"},
		{"cut one-cut", allWell, "sheet 807 of 807"},
		{"cut --json one-cut", allWell, `"piece": "2000"`},
		{"why one-cut y", allWell, "and 795 more"},
		{"odds wide t", wrongUsage, "t has more than the 250000 values that can be compared at once"},
		{"odds too-drawn s", wrongUsage, "more than 10000 values behind these may be off"},
		{"choose too-drawn-choice n:1,2,3 --odds", wrongUsage, "more than 10000 values behind these may be off"},
		{"report cautions -o out.html", wrongUsage, "400000 cautions, at most 2000 can be shown"},
		{"report variants -o out.html", allWell, "KB"},
		{"report one-cut -o out.html", allWell, "KB"},
		{"show aliases", sheetErrors, "a sheet may use others under 256 names at most"},
		{"choose choices a0", wrongUsage, "a0: more than 4000 values"},
		{"choose searched n:1,2,3", checkUnmet, "3 combinations of n (3) tried: 0 hold"},
	}
	slow := []hostile{
		{"show cautions", allWell, "c399999"},
		{"show filters", sheetErrors, "the choices of a project may look through 500000 rows at most"},
		{"why --deep filled c", allWell, "and so on"},
		{"report half-million -o out.html", sheetErrors, tooManyValues},
		{"show --json texts", sheetErrors, tooMuchPrinted},
		{"show --json many-texts", sheetErrors, tooMuchPrinted},
		{"show --csv many-texts", sheetErrors, tooMuchPrinted},
		{"show joined", sheetErrors, "the texts that this project joins have more than 16 MiB together"},
		{"show charts", sheetErrors, tooManyPoints},
		{"show pictures", sheetErrors, tooManyPoints},
		{"show outlines", sheetErrors, "this takes too many steps to work out"},
		{"show outline", allWell, "a8 =  28.27"},
		{"changes changed --from v", allWell, "all 2000 together"},
		{"changes --json changed --from v", allWell, `"reason": "r1999"`},
		{"changes changed-wide --from v", wrongUsage, "at most 250000 can be compared at once"},
		{"changes changed-long --from v", wrongUsage, "working out 2000 changes takes more than 2000000000 steps"},
		{"show --json wide-charts", sheetErrors, tooMuchPrinted},
		{"compare wide ranges", wrongUsage, tooManyCompared},
		{"show ranges", allWell, "\n    10000\n"},
		{"show --json ranges", sheetErrors, tooMuchPrinted},
		{"show --csv ranges", sheetErrors, tooMuchPrinted},
		{"show wide", allWell, "10000  20000  20000"},
		{"show readings", allWell, "9999    5537"},
		{"show named", sheetErrors, "the rows that ranges make in a project may have 500000 different names at most"},
		{"why wide t.c5", allWell, "= x * 2"},
		{"choose checked n:1,2,3 m:1,2,3,4,5,6,7,8", checkUnmet, "24 combinations of n (3), m (8) tried: 0 hold"},
		{"choose moves g:1,2,3,4", wrongUsage, "this bears on 1900000 values; at most 250000 can be worked out"},
		{"choose one-cut x:1,2", wrongUsage, "unknown name x"},
		{"why wide t_", wrongUsage, "unknown name t_"},
		{"show fails", sheetErrors, "this is 0, and nothing can be divided by 0"},
		{"show cuts", allWell, "y123"},
		{"show waits", allWell, "1899999 more wait"},
		{"ripple --set g=2 moves", fileTrouble, "this bears on 1900001 values; at most 250000 can be compared at once"},
		{"watch wide", wrongUsage, "wide.gusset has 1990000 values; at most 125000 can be watched"},
		{"show trusts --all", allWell, tooManyMessages},
		{"why trusts a19999", allWell, "more than the 5000000 steps that there are to find out"},
		{"show needs --all", sheetErrors, "f: m0"},
		{"show units", sheetErrors, "a project may have 1000 units of its own at most"},
		{"show unknown --all", sheetErrors, tooManyMessages},
		{"show unread --all", sheetErrors, "399000 more messages about this file up to here: 1000 are told at most"},
		{"tidy --check unread", sheetErrors, "and 991 more"},
		{"tidy comments", allWell, ""}, // it would grow beyond what a sheet may have, and stays as it is
		{"show padding", allWell, "r59999"},
		{"show guesses", allWell, "Guesses left: 1000"},
		{"show long-waits", allWell, "=      1 oz"},
		{"fill open", allWell, "Left: 2 that a check or a chief result needs, 99998 others"},
		{"fill guesses", allWell, "Left: 0 that a check or a chief result needs, 1000 others"},
		{"fill moves", allWell, "Left: 0"},
		{"odds drawn --builds 2000", wrongUsage, "here are 9000 values behind 300 results"},
		{"odds drawn s a0 a1 a2 --builds 10000", allWell, "10 000 builds, in which 9000 values are drawn"},
		{"choose drawn-choice n:1,2,3 --least s --odds", allWell, "of each of the first 3"},
		{"fill doubts t.w", allWell, "To ask: 9000 values"},
		{"odds undrawn s", allWell, "90000 values behind these with neither a ± nor a weighing"},
		{"odds moves t.c0 --builds 100", wrongUsage, "at most 2000 results"},
		{"show spreads --all", sheetErrors, "a project may ask 50 times how far a value may be off"},
		{"show spread-wide --all", sheetErrors, "more than the 2000 given values behind s that can be looked at"},
		{"show spread-deep", allWell, "c49"},
		{"show tolerances", allWell, "a99999 : 4 ft 2 in ± 1/64 normal ?"},
		{"show --json tolerances", allWell, `"text": "± 5 degF"`},
		{"show wrong-tolerances --all", sheetErrors, tooManyMessages},
		{"export guess-sums -o out.xlsx", allWell, "and 290 more do not follow"},
		{"export long-lists -o out.xlsx", allWell, "and 1990 more do not follow"},
		{"export own-units -o out.xlsx", allWell, "24000 formulas"},
		{"report texts -o out.html", wrongUsage, "this is too much for a page"},
		{"report wide-charts -o out.html", wrongUsage, "this is too much for a page"},
		{"report page-charts -o out.html", allWell, "KB"},
		{"report cuts -o out.html", allWell, "KB"},
		{"report choices -o out.html", allWell, "KB"},
		{"report guesses -o out.html", wrongUsage, "this is too much for a page"},
		{"report guess-sums -o out.html", allWell, "KB"},
		{"report comments -o out.html", wrongUsage, "this is too much for a page"},
		{"report open -o out.html", wrongUsage, "this is too much for a page"},
	}
	if testing.Short() {
		t.Log("NOT tried under -short: sheets that take a command longer than a quarter of a second, and two of three others")
		for i := range len(cases) / 3 {
			cases[i] = cases[3*i]
		}
		cases = cases[:len(cases)/3]
	} else {
		cases = append(cases, slow...)
	}
	for i, c := range cases {
		args := strings.Fields(c.args)
		for k, a := range args {
			if sheet := sheets[a]; sheet != nil {
				args[k] += ".gusset"
				if _, err := os.Stat(args[k]); err != nil { // no command changes one, so that they serve several
					require.NoError(t, os.WriteFile(args[k], []byte(sheet()), 0o644))
				}
			} else if strings.HasPrefix(a, "out.") {
				args[k] = fmt.Sprintf("out%d%s", i, filepath.Ext(a))
			}
		}
		t.Run(c.args, func(t *testing.T) {
			t.Parallel()
			endsWithin(t, c.status, c.words, args...)
		})
	}
}

// TestAMillionBuilds: a million builds of ten results take no more than 100 MB, and a quarter more of them is refused.
func TestAMillionBuilds(t *testing.T) {
	if testing.Short() {
		t.Log("NOT tried under -short: what a million builds take of memory")
		return
	}
	if raced || runtime.GOOS != "linux" {
		t.Log("the race detector takes ten times the memory; elsewhere a process does not say what it takes")
		return
	}
	t.Chdir(t.TempDir())
	sheet := "a : 10 ± 1\nb : 20 ± 2 normal\nc : 5 ± 0.3 sd\n" + linesOf(10, "y# = a * b + # * c")
	require.NoError(t, os.WriteFile("ten.gusset", []byte(sheet), 0o644))
	cmd := process(t, "odds", "ten.gusset", "--builds", "1000000")
	peak := peakOf(t, cmd)
	out, err := cmd.CombinedOutput()
	require.NoError(t, err)
	require.Contains(t, string(out), "1 000 000 builds, in which 3 values are drawn")
	require.Less(t, peak(), 100_000_000)
	require.Greater(t, peak(), 40_000_000, "the builds alone take that")
	endsWithin(t, wrongUsage, "at most 1000000 builds of these can be worked out", "odds", "ten.gusset", "--builds",
		"1250000")
}

// peakOf has a process keep the most memory that it takes, and returns what tells it, in bytes, when that has ended; 0
// where it took no time, or the system does not say.
func peakOf(t *testing.T, cmd *exec.Cmd) func() int {
	t.Helper()
	file := filepath.Join(t.TempDir(), "peak")
	cmd.Env = append(cmd.Env, peakInto+"="+file)
	return func() int {
		peak, err := os.ReadFile(file)
		if err != nil {
			return 0
		}
		kilobytes, err := strconv.Atoi(string(peak))
		require.NoError(t, err)
		return kilobytes << 10
	}
}

// endsWithin runs gusset in a process of its own, which ends with a status and little memory, and says some words.
func endsWithin(t *testing.T, status int, words string, args ...string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute) // it only shows that there is an end
	defer cancel()
	cmd := process(t, args...)
	peak := peakOf(t, cmd)
	said := finder{words: []byte(words), found: words == ""}
	cmd.Stdout, cmd.Stderr = &said, &said
	require.NoError(t, cmd.Start())
	stop := context.AfterFunc(ctx, func() { cmd.Process.Kill() })
	err := cmd.Wait()
	stop()
	require.NoError(t, ctx.Err(), "it does not end")
	assert.Equal(t, status, cmd.ProcessState.ExitCode(), "%v: ... %s", err, said.end)
	assert.True(t, said.found, "%q is not in: ... %s", words, said.end)
	t.Logf("%v of CPU, %d MiB", cmd.ProcessState.UserTime()+cmd.ProcessState.SystemTime(), peak()>>20)
	assert.Less(t, peak(), mostMemory)
}

func wideCharts() string {
	var ys []string
	for i := range 150 {
		ys = append(ys, fmt.Sprintf("c%d", i))
	}
	return ranged(150, "x") + linesOf(2000, `chart "c#" t: `+strings.Join(ys, ", ")+" against x")
}

// finder looks for words in what a run says, of which it keeps the end.
type finder struct {
	words, end []byte
	found      bool
}

func (f *finder) Write(b []byte) (int, error) {
	all := append(f.end, b...)
	f.found = f.found || bytes.Contains(all, f.words)
	f.end = slices.Clone(all[max(0, len(all)-1000):])
	return len(b), nil
}

// TestLargeSheets: limits are for what is far beyond any model. What is merely large works, in the same memory.
func TestLargeSheets(t *testing.T) {
	if testing.Short() {
		t.Log("NOT tried under -short: what large sheets take of memory")
		return
	}
	if raced {
		t.Log("the race detector takes ten times the memory and the time")
		return
	}
	demos, err := filepath.Abs("../../testdata")
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	tern := filepath.Join(demos, "marsh-tern", "marsh-tern.gusset")
	var ten []string
	for range 10 {
		ten = append(ten, tern)
	}
	require.NoError(t, os.WriteFile("cells.gusset", []byte("g : 2\n"+linesOf(100_000, "a# = g * #")), 0o644))
	require.NoError(t, os.WriteFile("values.gusset", []byte("g : 2\n"+ranged(198, "x * g")), 0o644))
	require.NoError(t, os.WriteFile(
		"rows.gusset", []byte("table t\n  n | k\n"+linesOf(10_000, "  r# | #")+"s = sum(t.k)\n"), 0o644,
	))
	runs := [][]string{
		append([]string{"show"}, ten...), append([]string{"show", "--json"}, ten...), {"compare", tern},
		{"show", "rows.gusset"}, {"show", "--csv", "rows.gusset"}, {"export", "rows.gusset", "-o", "rows.xlsx"},
		append([]string{"compare"}, ten...), {"show", "cells.gusset"}, {"show", "--json", "cells.gusset"},
		{"ripple", "--set", "g=3", "cells.gusset"}, {"compare", "cells.gusset", "cells.gusset"},
		{"show", "values.gusset"}, {"why", "values.gusset", `t["7"].c5`},
	}
	for _, args := range runs {
		t.Run(strings.Join(args[:2], " "), func(t *testing.T) {
			t.Parallel()
			cmd := process(t, args...)
			peak := peakOf(t, cmd)
			var said finder
			cmd.Stdout, cmd.Stderr = &said, &said
			require.NoError(t, cmd.Run(), "%s", said.end)
			assert.Less(t, peak(), mostMemory)
		})
	}
}
