package page

import (
	"fmt"
	"net/http"
	"sync"
)

// Live serves one page, the newest, to browsers on this machine, and tells them when there is a newer one. It can only
// be read, at one path. Whoever asks for it under another name than its address is refused: a page from elsewhere that
// has its name lead here (DNS rebinding) gets nothing.
type Live struct {
	hosts map[string]bool

	mu      sync.Mutex
	page    []byte
	version int
	newer   chan struct{} // closed when there is a newer page
}

// NewLive returns a Live that answers to some hosts, each with its port.
func NewLive(hosts ...string) *Live {
	l := &Live{hosts: map[string]bool{}, newer: make(chan struct{})}
	for _, h := range hosts {
		l.hosts[h] = true
	}
	return l
}

// Show puts a page in the place of the one before.
func (l *Live) Show(page []byte) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.page = page
	l.version++
	close(l.newer)
	l.newer = make(chan struct{})
}

// newest returns the newest page, its number, and what is closed when there is a newer one.
func (l *Live) newest() (page []byte, version int, newer chan struct{}) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.page, l.version, l.newer
}

// ServeHTTP answers with the page, or with the numbers of newer ones as they come (WHATWG HTML, section 9.2,
// Server-sent events) where that is what is asked for.
func (l *Live) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Cache-Control", "no-store")
	h.Set("Content-Security-Policy", "frame-ancestors 'none'")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("X-Content-Type-Options", "nosniff")
	switch {
	case !l.hosts[r.Host]:
		http.Error(w, "not known by this name", http.StatusMisdirectedRequest)
	case r.URL.Path != "/":
		http.NotFound(w, r)
	case r.Method != http.MethodGet && r.Method != http.MethodHead:
		h.Set("Allow", "GET, HEAD")
		http.Error(w, "this can only be read", http.StatusMethodNotAllowed)
	case r.Header.Get("Accept") == "text/event-stream":
		l.tell(w, r)
	default:
		page, version, _ := l.newest()
		h.Set("Content-Type", "text/html; charset=utf-8")
		h.Set("Gusset-Version", fmt.Sprint(version))
		w.Write(page) // a reader that has gone away wants nothing more
	}
}

// tell tells of each newer page, until the reader goes away.
func (l *Live) tell(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "text/event-stream")
	for {
		_, version, newer := l.newest()
		if _, err := fmt.Fprintf(w, "data: %d\n\n", version); err != nil {
			return
		}
		if err := http.NewResponseController(w).Flush(); err != nil {
			return
		}
		select {
		case <-newer:
		case <-r.Context().Done():
			return
		}
	}
}
