package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	ossignal "os/signal"
	"runtime"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestChooseTellsWhatItHas: Ctrl-C ends the search, not the run: what was found so far is told, and said to be no more.
func TestChooseTellsWhatItHas(t *testing.T) {
	if runtime.GOOS == "windows" || ossignal.Ignored(os.Interrupt) {
		t.Log("one process sends another no signals there")
		return
	}
	t.Chdir(t.TempDir())
	sheet := "n : 1\nm : 1\ntable t\n  x from 1 to 3000 step 1\n  y = mod(x * 37, 101)\n" +
		"s = sum(filter(t, .y > n * 0.1), .y * m)\ncheck c = s > 1000\n"
	require.NoError(t, os.WriteFile("long.gusset", []byte(sheet), 0o644))
	for wait := 50 * time.Millisecond; ; wait *= 2 { // a process that has not begun to search ends at once
		cmd := process(t, "choose", "long.gusset", "n from 1 to 800 step 1", "m from 1 to 800 step 1", "--least", "s")
		var out bytes.Buffer
		cmd.Stdout = &out
		require.NoError(t, cmd.Start())
		time.Sleep(wait)
		require.NoError(t, cmd.Process.Signal(syscall.SIGINT))
		_ = cmd.Wait()
		require.Equal(t, 130, shellStatus(cmd), "it has ended by itself")
		if out.Len() > 0 {
			assert.Contains(t, out.String(), " of 640 000 combinations of n (800), m (800); what follows is of these alone: ")
			return
		}
	}
}

// TestChooseIsShowOfEach: the best is that of all that show --set gives, command by command.
func TestChooseIsShowOfEach(t *testing.T) {
	file := "../../testdata/marsh-tern/marsh-tern.gusset"
	stocks := []string{"balsa sheet 1/16", "balsa sheet 3/32", "balsa sheet 1/8"}
	unweighed := `parts["wing frame"].weighed=`
	var out, errs bytes.Buffer
	ask := func(args ...string) map[string]any {
		out.Reset()
		run(args, nil, &out, &errs)
		var m map[string]any
		require.NoError(t, json.Unmarshal(out.Bytes(), &m), out.String()+errs.String())
		return m
	}
	list := ""
	for _, s := range stocks {
		list += ", " + s
	}
	chosen := ask("choose", file, "rib_stock: "+list[2:], "skin_stock: "+list[2:], "--least", "all_up", "--set", unweighed,
		"--without", "balance_agrees", "--json")
	hold, least, best := 0, math.Inf(1), ""
	for _, ribs := range stocks {
		for _, skin := range stocks {
			shown := ask("show", file, "--json", "--set", unweighed, "--set", "rib_stock="+ribs, "--set", "skin_stock="+skin)
			holds := true
			for _, c := range shown["checks"].([]any) {
				check := c.(map[string]any)
				holds = holds && (check["state"] == "holds" || check["name"] == "balance_agrees")
			}
			for _, c := range shown["cells"].([]any) {
				if cell := c.(map[string]any); cell["name"] == "all_up" && holds {
					hold++
					if x := cell["value"].(float64); x < least {
						least, best = x, fmt.Sprint(map[string]any{"rib_stock": ribs, "skin_stock": skin})
					}
				}
			}
		}
	}
	require.Positive(t, hold)
	first := chosen["best"].([]any)[0].(map[string]any)
	assert.EqualValues(t, 9, chosen["tried"])
	assert.EqualValues(t, hold, chosen["hold"])
	assert.Equal(t, best, fmt.Sprint(first["choices"]))
	assert.InDelta(t, least, first["goals"].(map[string]any)["all_up"], 1e-9)
}
