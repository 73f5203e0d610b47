package engine_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"

	"gusset/engine"
	"gusset/library"
)

// club serves one sheet to its members, each of whom has values of their own.
type club struct {
	sheet   *engine.Model
	mu      sync.Mutex // of what follows
	members map[string]*engine.Model
}

// of returns a member's own values.
func (c *club) of(member string) *engine.Model {
	c.mu.Lock()
	defer c.mu.Unlock()
	m, known := c.members[member]
	if !known {
		m = c.sheet.Fork()
		c.members[member] = m
	}
	return m
}

// set sets what the request says, for this member, and answers with what that moved. Of two requests of one member at
// the same time the later one counts.
func (c *club) set(w http.ResponseWriter, r *http.Request) {
	var settings []engine.Setting
	if err := json.NewDecoder(r.Body).Decode(&settings); err != nil {
		http.Error(w, err.Error(), http.StatusBadRequest)
		return
	}
	m := c.of(r.PathValue("member")).ForkContext(r.Context()) // a request that is given up changes nothing
	moved, err := m.Ripple(settings...)
	if err != nil {
		refuse(w, err)
		return
	}
	c.mu.Lock()
	c.members[r.PathValue("member")] = m.ForkContext(context.Background())
	c.mu.Unlock()
	answer(w, moved)
}

// value answers with one value.
func (c *club) value(w http.ResponseWriter, r *http.Request) {
	v, err := c.of(r.PathValue("member")).Value(r.FormValue("name"))
	if err != nil {
		refuse(w, err)
		return
	}
	answer(w, v)
}

// refuse answers with an error, and a status by its kind.
func refuse(w http.ResponseWriter, err error) {
	status := http.StatusUnprocessableEntity // what was typed does not fit
	switch {
	case errors.Is(err, engine.ErrNoSuchName):
		status = http.StatusNotFound
	case errors.Is(err, engine.ErrNotGiven), errors.Is(err, engine.ErrNotOneValue):
		status = http.StatusConflict
	case errors.Is(err, engine.ErrLimit):
		status = http.StatusRequestEntityTooLarge
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		status = http.StatusServiceUnavailable
	}
	http.Error(w, err.Error(), status)
}

// answer writes what is read as JSON.
func answer(w http.ResponseWriter, v any) {
	data, err := json.Marshal(v)
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "application/json")
	w.Write(data)
}

// A club's web service: one sheet, loaded once, and values of their own for all who ask.
func Example_service() {
	m, err := engine.Load(engine.Sources{
		Files: project, Library: library.Pages(), Limits: engine.Limits{Bytes: 1 << 20},
	}, "sparrow.gusset")
	if err != nil {
		fmt.Println(err)
		return
	}
	c := &club{sheet: m, members: map[string]*engine.Model{}}
	mux := http.NewServeMux()
	mux.HandleFunc("POST /{member}/set", c.set)
	mux.HandleFunc("GET /{member}/value", c.value)
	ask := func(method, path, body string) {
		w := httptest.NewRecorder()
		mux.ServeHTTP(w, httptest.NewRequest(method, path, strings.NewReader(body)))
		var v struct{ Text, Unit, Status string }
		if w.Code != http.StatusOK {
			fmt.Print(w.Code, " ", w.Body)
		} else if json.Unmarshal(w.Body.Bytes(), &v); v.Text != "" {
			fmt.Println(v.Text, v.Unit, v.Status)
		}
	}
	ask("POST", "/ann/set", `[{"Name": "chord", "Value": "5-1/2"}]`)
	ask("GET", "/ann/value?name=loading", "")
	ask("GET", "/bob/value?name=loading", "")
	ask("POST", "/bob/set", `[{"Name": "chord", "Value": "6 oz"}]`)
	ask("GET", "/bob/value?name=lodaing", "")
	// Output:
	// 10.9 oz/sq ft ok
	// 10.0 oz/sq ft ok
	// 422 chord: 6 oz is a mass, but [in] is a length
	// 404 unknown name lodaing; is it loading? It is set on line 15
}
