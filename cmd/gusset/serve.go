package main

import (
	"bytes"
	"fmt"
	"html"
	"net"
	"net/http"
	"path/filepath"
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/page"
	"gusset/sheets/project"
)

// livePage is the page of a sheet under watch, shown to browsers on this machine. All its methods do nothing where
// there is none.
type livePage struct {
	live    *page.Live
	address string
	last    *engine.Model // that could be read
}

// beginServing begins to serve, on the loopback address alone, where that is asked for.
func beginServing(cmd *cobra.Command, o watchOptions) (*livePage, error) {
	if !o.serve {
		if cmd.Flags().Changed("port") {
			return nil, usage("--port goes with --serve")
		}
		return nil, nil
	}
	if o.port < 0 || o.port > 65535 {
		return nil, usage("--port %d: a port is a number from 1 to 65535", o.port)
	}
	listener, err := net.Listen("tcp4", net.JoinHostPort("127.0.0.1", strconv.Itoa(o.port)))
	if err != nil {
		return nil, ioFailure(fmt.Errorf("the page cannot be served: %v", err))
	}
	port := strconv.Itoa(listener.Addr().(*net.TCPAddr).Port)
	l := &livePage{live: page.NewLive("127.0.0.1:"+port, "localhost:"+port), address: "http://127.0.0.1:" + port + "/"}
	server := &http.Server{Handler: l.live, ReadHeaderTimeout: 10 * time.Second, MaxHeaderBytes: 16 << 10}
	go server.Serve(listener) // until the program ends
	return l, nil
}

// say prints where the page is.
func (l *livePage) say(cmd *cobra.Command) {
	if l != nil {
		fmt.Fprintf(cmd.OutOrStdout(), "\nIn a browser on this machine: %s\n", l.address)
	}
}

// show shows a sheet as it is now.
func (l *livePage) show(file string, m *engine.Model) {
	if l != nil {
		l.last = m
		l.write(file, m, "")
	}
}

// trouble says on top of the page why the sheet cannot be read; below are its last numbers.
func (l *livePage) trouble(file string, err error) {
	if l != nil {
		l.write(file, l.last, fmt.Sprintf("Not read at the last save: %v. These are the numbers from before.", err))
	}
}

func (l *livePage) write(file string, m *engine.Model, trouble string) {
	var b bytes.Buffer
	o := page.Options{File: project.Shown(filepath.Base(file)), Served: true, Trouble: trouble}
	if err := page.Write(&b, m, o); err != nil {
		b.Reset()
		fmt.Fprintf(&b, "<!doctype html><title>gusset</title><p>This sheet cannot be shown as a page: %s",
			html.EscapeString(err.Error()))
	}
	l.live.Show(b.Bytes())
}
