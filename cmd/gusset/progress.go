package main

import (
	"fmt"
	"io"
	"os"
	"time"

	"golang.org/x/term"
)

// progress shows how far a long run has come, on a terminal, for one goroutine.
type progress struct {
	to           io.Writer // nil: messages do not go to a terminal
	since, shown time.Time
}

// How long a run takes before anything is shown of it, and between two times that it is.
const (
	progressAfter = time.Second
	progressEvery = 200 * time.Millisecond
)

func newProgress() *progress {
	p := &progress{since: time.Now()}
	if term.IsTerminal(int(os.Stderr.Fd())) {
		p.to = os.Stderr
	}
	return p
}

// show shows how far it has come, if it is time to.
func (p *progress) show(format string, args ...any) {
	now := time.Now()
	if p.to == nil || now.Sub(p.since) < progressAfter || now.Sub(p.shown) < progressEvery {
		return
	}
	p.shown = now
	fmt.Fprintf(p.to, "\r"+format, args...)
}

// clear takes the line away.
func (p *progress) clear() {
	if !p.shown.IsZero() {
		fmt.Fprintf(p.to, "\r%*s\r", narrowest, "")
	}
}
