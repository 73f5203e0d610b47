package main

import (
	"os"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/fatih/color"
	"github.com/mattn/go-runewidth"
	"golang.org/x/term"
)

// The widths of a page.
const (
	widest    = 100 // as wide as a text can be read with ease, and as anything where there is no terminal
	narrowest = 40  // below it columns make no sense
	endless   = 400 // beyond it nobody follows a line
)

// How wide what is printed may be: texts, and what is in columns.
var (
	pageWidth  = widest
	tableWidth = widest
)

// fitPage takes the width of a page from COLUMNS, the environment variable for the width of the terminal (POSIX.1-2017,
// Base Definitions, section 8.3), or else from the terminal itself, 0 where there is none. What is not a number is
// passed over. Texts do not get wider than they are read with ease.
func fitPage(columns string, terminal int) {
	if n, err := strconv.Atoi(columns); err == nil && n > 0 {
		terminal = n
	}
	tableWidth = widest
	if terminal > 0 {
		tableWidth = min(max(terminal, narrowest), endless)
	}
	pageWidth = min(tableWidth, widest)
}

// terminalWidth returns how wide the terminal is that is printed to; 0 where there is none.
func terminalWidth() int {
	width, _, err := term.GetSize(int(os.Stdout.Fd()))
	if err != nil {
		return 0
	}
	return width
}

// paint marks pieces of what is printed. Every piece reads the same without colour.
var paint = struct{ heading, name, faint, good, bad, waiting func(a ...any) string }{
	heading: color.New(color.Bold, color.Underline).SprintFunc(),
	name:    color.New(color.Bold).SprintFunc(),
	faint:   color.New(color.Faint).SprintFunc(),
	good:    color.New(color.FgGreen).SprintFunc(),
	bad:     color.New(color.FgRed, color.Bold).SprintFunc(),
	waiting: color.New(color.FgYellow).SprintFunc(),
}

// widthOf returns how many columns a text takes, painted or not.
func widthOf(s string) int {
	if strings.IndexByte(s, '\x1b') >= 0 {
		s = inkMark.ReplaceAllString(s, "")
	}
	return runewidth.StringWidth(s)
}

// inkMark matches what paint puts around a piece (ECMA-48, section 8.3.117).
var inkMark = regexp.MustCompile(`\x1b\[[0-9;]*m`)

// widestOf returns the width of the widest of what is said of some things.
func widestOf[T any](things []T, said func(T) string) int {
	w := 0
	for _, t := range things {
		w = max(w, widthOf(said(t)))
	}
	return w
}

// itself says a text.
func itself(s string) string { return s }

// padRight pads s on its right to width w.
func padRight(s string, w int) string { return s + strings.Repeat(" ", max(0, w-widthOf(s))) }

// padLeft pads s on its left to width w.
func padLeft(s string, w int) string { return strings.Repeat(" ", max(0, w-widthOf(s))) + s }

// wrap breaks a text into lines of at most w columns, between words where it can.
func wrap(s string, w int) []string {
	var lines []string
	line := ""
	for word := range strings.FieldsSeq(s) {
		for widthOf(beginning(word, w)) > w {
			cut := runewidth.Truncate(beginning(word, w), w, "")
			if cut == "" || line != "" {
				break
			}
			lines = append(lines, cut)
			word = word[len(cut):]
		}
		switch {
		case line == "":
			line = word
		case widthOf(line)+1+widthOf(word) <= w:
			line += " " + word
		default:
			lines = append(lines, line)
			line = word
		}
	}
	if line != "" || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// beginning returns as much of a text as tells whether it is wider than w, so that a very long one is looked through
// once.
func beginning(s string, w int) string {
	n := 16 * (w + 1) // bytes; letters with all their marks have fewer each
	if len(s) <= n {
		return s
	}
	for !utf8.RuneStart(s[n]) {
		n--
	}
	return s[:n]
}

// writeHanging writes s after a lead, wrapped, with later lines indented to where it begins.
func writeHanging(b sink, lead, s string, mark func(a ...any) string) {
	at := widthOf(lead)
	for i, line := range wrap(s, max(20, pageWidth-at)) {
		if i > 0 {
			lead = strings.Repeat(" ", at)
		}
		b.WriteString(strings.TrimRight(lead+mark(line), " ") + "\n")
	}
}

func plain(a ...any) string { return a[0].(string) }

// cutTo shortens a text to at most w columns; three dots stand for what is left out.
func cutTo(s string, w int) string {
	if widthOf(s) <= w {
		return s
	}
	return runewidth.Truncate(s, w, "...")
}
