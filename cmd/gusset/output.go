package main

import (
	"bufio"
	"fmt"
	"io"

	"github.com/spf13/cobra"
)

// maxPrinted is how many bytes a command prints at most: pages that nobody can look through, and yet not so many that a
// stranger's sheet of a few lines fills a disk.
const maxPrinted = 64 << 20

// sink takes what is printed.
type sink interface {
	io.Writer
	io.StringWriter
}

// output is where a command prints to, as it goes: nothing is held until the end. When it becomes too much it ends the
// command, by a panic that run expects: whoever prints is far from whoever could stop.
type output struct {
	to   *bufio.Writer
	left int
}

// tooMuch is the value of that panic.
type tooMuch struct{}

func newOutput(to io.Writer) *output { return &output{bufio.NewWriterSize(to, 64<<10), maxPrinted} }

func (o *output) Write(b []byte) (int, error) {
	o.need(len(b))
	return o.to.Write(b)
}

func (o *output) WriteString(s string) (int, error) {
	o.need(len(s))
	return o.to.WriteString(s)
}

func (o *output) need(n int) {
	if o.left -= n; o.left < 0 {
		panic(tooMuch{})
	}
}

// willPrint stops a command that is about to print so many bytes, where it would become too much.
func willPrint(b sink, n int) {
	if o, ok := b.(*output); ok {
		o.need(n)
		o.left += n
	}
}

// again allows as much anew, for a command that goes on for as long as somebody looks on.
func (o *output) again() {
	o.to.Flush()
	o.left = maxPrinted
}

// messages is where a command's messages go, after what it has printed before.
type messages struct {
	output
	printed *output
}

func (m *messages) Write(b []byte) (int, error) {
	m.printed.to.Flush()
	m.need(len(b))
	defer m.to.Flush()
	return m.to.Write(b)
}

// execute runs a command, and returns its error or that of printing.
func execute(root *cobra.Command, out *output) (err error) {
	defer func() {
		if r := recover(); r != nil {
			if _, ours := r.(tooMuch); !ours {
				panic(r)
			}
			msg := fmt.Sprintf("cut short: a command prints %d MiB at most", maxPrinted>>20)
			fmt.Fprintf(out.to, "\n%s\n", msg) // so that what stands above is not taken for all
			err = fmt.Errorf("%s; ask for less, such as a page with --page, or make the sheet smaller", msg)
			err = &failure{sheetErrors, err}
		}
		if bad := out.to.Flush(); bad != nil && err == nil {
			err = ioFailure(bad)
		}
	}()
	return root.Execute()
}

// printed returns where a command prints to.
func printed(cmd *cobra.Command) sink { return cmd.OutOrStdout().(*output) }
