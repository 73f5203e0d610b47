package main

import (
	"bufio"
	"io"
	"os"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"gusset/sheets/fill"
	"gusset/sheets/text"
)

// pipe reads answers that do not come from a keyboard.
type pipe struct {
	lines *bufio.Scanner
	b     sink
}

// newLines returns what reads answers from where they come from.
func newLines(cmd *cobra.Command) lineReader {
	if in, ok := cmd.InOrStdin().(*os.File); ok && term.IsTerminal(int(in.Fd())) {
		return newTerminal(in)
	}
	lines := bufio.NewScanner(cmd.InOrStdin())
	lines.Buffer(nil, text.MaxFile)
	return &pipe{lines, printed(cmd)}
}

// read prints the answer after its question, so that a log shows both.
func (p *pipe) read(prompt string, _ []string) (string, error) {
	p.b.WriteString(prompt)
	if !p.lines.Scan() {
		if prompt != "" {
			p.b.WriteString("\n")
		}
		if err := p.lines.Err(); err != nil {
			return "", err
		}
		return "", io.EOF
	}
	if prompt == "" {
		p.b.WriteString("    > ")
	}
	p.b.WriteString(text.Visible(p.lines.Text()) + "\n")
	return p.lines.Text(), nil
}

func (p *pipe) pipe() bool { return true }

// terminal reads answers from a keyboard, line by line, with the keys that one edits a line with. It is a terminal of
// its own only while it reads, so that Ctrl-C ends the program in between.
type terminal struct {
	fd      int
	t       *term.Terminal
	options []string // that Tab completes
}

func newTerminal(in *os.File) *terminal {
	t := &terminal{fd: int(in.Fd())}
	t.t = term.NewTerminal(struct {
		io.Reader
		io.Writer
	}{in, os.Stdout}, "")
	t.t.AutoCompleteCallback = t.complete
	return t
}

func (t *terminal) pipe() bool { return false }

func (t *terminal) read(prompt string, options []string) (string, error) {
	before, err := term.MakeRaw(t.fd)
	if err != nil {
		return "", err
	}
	endings.restore(func() { term.Restore(t.fd, before) })
	defer endings.restored()
	if w, h, err := term.GetSize(int(os.Stdout.Fd())); err == nil && w > 0 {
		t.t.SetSize(w, h)
	}
	t.options = options
	t.t.SetPrompt(prompt)
	line, err := t.t.ReadLine()
	if err == term.ErrPasteIndicator {
		err = nil
	}
	if err != nil {
		io.WriteString(os.Stdout, "\r\n")
	}
	return line, err
}

// complete completes a choice as far as its beginning says which.
func (t *terminal) complete(line string, pos int, key rune) (string, int, bool) {
	if key != '\t' || pos != len(line) {
		return "", 0, false
	}
	found := fill.Options(t.options, line)
	if len(found) == 0 {
		return line, pos, true
	}
	shared := found[0]
	for _, o := range found[1:] {
		for len(fill.Options([]string{o}, shared)) == 0 {
			shared = shared[:len(shared)-1]
		}
	}
	return shared, len(shared), true
}
