package main

import (
	"io"
	"os"
	"sync"
)

// endings is what is done when a signal ends the program while it talks with somebody.
var endings ending

type ending struct {
	sync.Mutex
	words string
	undo  func() // makes the terminal what it was
	stop  func() // ends the work at hand, of which something is to be told yet
}

// atSignal sets what is said when a signal ends the program; nil: nothing.
func atSignal(words func() string) {
	said := ""
	if words != nil {
		said = words() + "\n"
	}
	endings.Lock()
	defer endings.Unlock()
	endings.words = said
}

func (e *ending) restore(undo func()) {
	e.Lock()
	defer e.Unlock()
	e.undo = undo
}

// restored makes the terminal what it was.
func (e *ending) restored() {
	e.Lock()
	defer e.Unlock()
	if e.undo != nil {
		e.undo()
	}
	e.undo = nil
}

// say says the last words.
func (e *ending) say() {
	e.restored()
	e.Lock()
	defer e.Unlock()
	io.WriteString(os.Stdout, e.words)
}

// onInterrupt has the first Ctrl-C end the work at hand, and not the program, until done is called.
func onInterrupt(stop func()) (done func()) {
	set := func(stop func()) {
		endings.Lock()
		defer endings.Unlock()
		endings.stop = stop
	}
	set(stop)
	return func() { set(nil) }
}

// interrupts ends the work at hand, if there is any to end.
func (e *ending) interrupts() bool {
	e.Lock()
	defer e.Unlock()
	stop := e.stop
	if e.stop = nil; stop != nil {
		stop()
	}
	return stop != nil
}
