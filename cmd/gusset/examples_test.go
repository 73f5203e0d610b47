package main

import (
	"bytes"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/require"
)

// shellWord matches a word of an example, in quotes of either kind or none.
var shellWord = regexp.MustCompile(`'[^']*'|"[^"]*"|[^\s'"]+(?:'[^']*'|"[^"]*")?`)

// TestExamplesOfHelp runs every example of every command's help beside a fresh model of the starter that help shows,
// with a variant and what else the examples name: none is refused. Under -short it is the first of each command.
func TestExamplesOfHelp(t *testing.T) {
	root := rootCommand()
	ready := t.TempDir()
	prepareExamples(t, ready)
	for _, cmd := range root.Commands() {
		for i, line := range strings.Split(strings.TrimSpace(cmd.Example), "\n") {
			if line = strings.TrimSpace(line); line == "" || testing.Short() && i > 0 {
				continue
			}
			t.Run(line, func(t *testing.T) { runExample(t, cmd, line, ready) })
		}
	}
}

func runExample(t *testing.T, cmd *cobra.Command, line, ready string) {
	t.Chdir(t.TempDir())
	if cmd.Name() != "new" {
		require.NoError(t, os.CopyFS(".", os.DirFS(ready)))
	}
	line, _, _ = strings.Cut(line, " > ")
	line, input, _ := strings.Cut(line, " < ")
	args := shellWord.FindAllString(line, -1)[1:]
	for i, a := range args {
		args[i] = strings.NewReplacer("'", "", "*.gusset", "my-model.gusset").Replace(strings.Trim(a, `"`))
	}
	if args[0] == "watch" { // which goes on for ever: show takes what it takes, but for serving
		args[0] = "show"
		args = slices.DeleteFunc(args, func(a string) bool { return a == "--serve" })
	}
	if testing.Short() && args[0] == "odds" && !slices.Contains(args, "--builds") {
		args = append(args, "--builds", "500")
	}
	in := bytes.NewReader(nil)
	if input != "" {
		data, err := os.ReadFile(input)
		require.NoError(t, err)
		in = bytes.NewReader(data)
	}
	var out, errs bytes.Buffer
	status := run(args, in, &out, &errs)
	require.Contains(t, []int{allWell, checkUnmet}, status, errs.String())
}

// prepareExamples makes the files that examples name, in a folder.
func prepareExamples(t *testing.T, folder string) {
	t.Chdir(folder)
	do := func(args ...string) {
		var out, errs bytes.Buffer
		require.Equal(t, allWell, run(args, nil, &out, &errs), errs.String())
	}
	put := func(file string, data []byte) { require.NoError(t, os.WriteFile(file, data, 0o644)) }
	for _, folder := range []string{"old", "my-models"} {
		require.NoError(t, os.Mkdir(folder, 0o755))
	}
	do("new", "my-model.gusset", "--from", "powered")
	do("new", "my-models/my-model.gusset", "--from", "powered")
	model, err := os.ReadFile("my-model.gusset")
	require.NoError(t, err)
	model = append(model, "\nvariant \"as drawn\"\n  tip_on_print : 6\n"...)
	rack, err := os.ReadFile("rack.gusset")
	require.NoError(t, err)
	put("old/rack.gusset", bytes.Replace(rack, []byte(": 20 "), []byte(": 15 "), 1))
	for _, file := range []string{"my-model.gusset", "first-plan.gusset", "second-plan.gusset", "new-name.gusset"} {
		put(file, model)
	}
	put("my-model.txt", []byte("// My model\n// file my-model.gusset\ntip_on_print : 6 // was 6-1/4 ± 1/32\n"))
	put("measured.txt", []byte("11-15/16\n"))
	do("export", "my-model.gusset", "-o", "my-model.xlsx")
}
