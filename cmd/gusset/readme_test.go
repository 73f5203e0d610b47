package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const readmeFile = "../../README.md"

// TestReadme keeps the README honest: its sheet gives the output that it shows, and its list of exit statuses and
// commands is that of the program.
func TestReadme(t *testing.T) {
	readme, err := os.ReadFile(readmeFile)
	require.NoError(t, err)
	blocks := regexp.MustCompile("(?s)```(gusset|text)\n(.*?)```").FindAllStringSubmatch(string(readme), -1)
	require.GreaterOrEqual(t, len(blocks), 4)
	sheet, shown, why, slip := blocks[0][2], blocks[1][2], blocks[2][2], blocks[3][2]

	t.Chdir(t.TempDir())
	try := func(sheet string, args ...string) (stdout, stderr string) {
		require.NoError(t, os.WriteFile("hedge-lantern.gusset", []byte(sheet), 0o644))
		var out, errs bytes.Buffer
		run(args, nil, &out, &errs)
		return out.String(), errs.String()
	}
	out, errs := try(sheet, "show", "hedge-lantern.gusset")
	require.Equal(t, shown, out)
	require.Empty(t, errs)
	out, _ = try(sheet, "tidy", "--check", "hedge-lantern.gusset")
	require.Empty(t, out)
	out, _ = try(sheet, "why", "hedge-lantern.gusset", "loading")
	require.True(t, strings.HasPrefix(out, why), out)
	_, errs = try(strings.Replace(sheet, "30 [%] * chord", "30 [%] * cord", 1), "show", "hedge-lantern.gusset")
	require.Equal(t, slip, errs)

	for _, c := range rootCommand().Commands() {
		if !c.Hidden && c.Name() != "help" {
			require.Contains(t, string(readme), "`gusset "+c.Name())
		}
	}
}

// mostOfTour is how many lines of the README a newcomer reads at most, up to the end of its tour.
const mostOfTour = 150

// TestReadmeTour takes the tour of the README, command by command, in one folder: every screen in it is what the program
// prints, up to a line of ... and after it. What is typed in a screen follows > at the end of a question.
func TestReadmeTour(t *testing.T) {
	file, err := filepath.Abs(readmeFile)
	require.NoError(t, err)
	readme, err := os.ReadFile(file)
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	screen := regexp.MustCompile("(?s)```console\n\\$ gusset (.*?)\n(.*?)```\n")
	tour := screen.ReplaceAllStringFunc(string(readme), func(block string) string {
		m := screen.FindStringSubmatch(block)
		return "```console\n$ gusset " + m[1] + "\n" + playScreen(m[1], m[2]) + "```\n"
	})
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(tour), 0o644))
		return
	}
	assert.Equal(t, strings.Split(string(readme), "\n"), strings.Split(tour, "\n"), "-update rewrites the screens")
	assert.GreaterOrEqual(t, len(screen.FindAllString(tour, -1)), 7)
	toEnd, _, found := strings.Cut(tour, "\n## What a sheet looks like\n")
	require.True(t, found)
	assert.LessOrEqual(t, strings.Count(toEnd, "\n"), mostOfTour)
}

// playScreen runs a command with the answers that a screen has, and returns what the screen shows then: as much as it
// shows now, before and after its line of ..., or else all.
func playScreen(command, shown string) string {
	const prompt, cut = " > ", "..."
	var args, answers []string
	for _, a := range regexp.MustCompile(`'[^']*'|\S+`).FindAllString(command, -1) {
		args = append(args, strings.Trim(a, "'"))
	}
	lines := strings.SplitAfter(shown, "\n")
	lines = lines[:len(lines)-1]
	for _, line := range lines {
		if _, answer, asked := strings.Cut(line, prompt); asked {
			answers = append(answers, answer)
		}
	}
	var out, errs bytes.Buffer
	run(args, strings.NewReader(strings.Join(answers, "")), &out, &errs)
	var made []string
	for line := range strings.Lines(out.String() + errs.String()) {
		line = strings.TrimRight(line, "\n")
		if strings.HasSuffix(line, prompt) && len(answers) > 0 {
			line += strings.TrimRight(answers[0], "\n")
			answers = answers[1:]
		}
		made = append(made, strings.TrimRight(line, " ")+"\n")
	}
	if at := slices.Index(lines, cut+"\n"); at >= 0 && len(lines) <= len(made) {
		made = slices.Concat(made[:at], []string{cut + "\n"}, made[len(made)-(len(lines)-at-1):])
	}
	return strings.Join(made, "")
}
