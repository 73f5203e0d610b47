package page

import (
	"bufio"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
)

// serve serves pages for a test, as gusset watch does.
func serve(t *testing.T) (l *Live, address string) {
	l = &Live{hosts: map[string]bool{}, newer: make(chan struct{})}
	server := httptest.NewServer(l)
	t.Cleanup(server.Close)
	t.Cleanup(server.CloseClientConnections)
	address = strings.TrimPrefix(server.URL, "http://")
	l.hosts[address] = true
	return l, address
}

// TestLiveServesOnePage asks for all that is not served: another name, another path, another method.
func TestLiveServesOnePage(t *testing.T) {
	l, address := serve(t)
	l.Show([]byte("<p>first"))
	ask := func(method, path, host string) int {
		r, err := http.NewRequest(method, "http://"+address+path, strings.NewReader("x"))
		require.NoError(t, err)
		r.Host = host
		answer, err := http.DefaultClient.Do(r)
		require.NoError(t, err)
		defer answer.Body.Close()
		assert.Equal(t, "nosniff", answer.Header.Get("X-Content-Type-Options"))
		assert.Equal(t, "frame-ancestors 'none'", answer.Header.Get("Content-Security-Policy"))
		return answer.StatusCode
	}
	assert.Equal(t, http.StatusOK, ask("GET", "/", address))
	assert.Equal(t, http.StatusOK, ask("GET", "/?x=1", address))
	for _, host := range []string{"example.org", "example.org:80", "127.0.0.1", "localhost", "", address + "."} {
		if host == "" {
			host = "[::1]"
		}
		assert.Equal(t, http.StatusMisdirectedRequest, ask("GET", "/", host), host)
	}
	for _, path := range []string{"/x", "/favicon.ico", "//", "/..%2f..%2fetc/passwd", "/m.gusset"} {
		assert.Equal(t, http.StatusNotFound, ask("GET", path, address), path)
	}
	for _, method := range []string{"POST", "PUT", "DELETE", "PATCH", "OPTIONS"} {
		assert.Equal(t, http.StatusMethodNotAllowed, ask(method, "/", address), method)
	}
}

// TestLiveTellsOfNewerPages reads what a browser is told.
func TestLiveTellsOfNewerPages(t *testing.T) {
	l, address := serve(t)
	l.Show(nil)
	r, err := http.NewRequest("GET", "http://"+address+"/", nil)
	require.NoError(t, err)
	r.Header.Set("Accept", "text/event-stream")
	answer, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	defer answer.Body.Close()
	lines := bufio.NewScanner(answer.Body)
	next := func() string {
		require.True(t, lines.Scan())
		said := lines.Text()
		require.True(t, lines.Scan())
		return said
	}
	assert.Equal(t, "data: 1", next())
	l.Show(nil)
	assert.Equal(t, "data: 2", next())
}

// TestLivePageFollows saves a sheet twice while a browser shows it: new numbers come in, what was changed on the page
// stays changed, mistakes are on top until they are mended, and the place where the reader was is kept.
func TestLivePageFollows(t *testing.T) {
	l, address := serve(t)
	const sheet = "sheet \"Gate Plover\"\npage Wing\n  a [in] : 3\n  given [in] : 1\n  b [in] = a * 2 + given\n" +
		"  check wide = b > 1 [in]\n"
	show := func(sheet string) {
		l.Show([]byte(written(t, load(t, sheet), Options{File: "m.gusset", Served: true})))
	}
	show(sheet)
	p := openPage(t, "http://"+address+"/", phone)
	text := func() string { return ask[string](p, "document.body.innerText") }
	assert.Contains(t, text(), "7 in")

	setField := func(label, value string) {
		ask[bool](p, `(() => {
			const field = document.querySelector('[aria-label^="`+label+`"]');
			field.value = '`+value+`';
			field.dispatchEvent(new FocusEvent('blur'));
			return true;
		})()`)
	}
	setField("given", "2")
	assert.Contains(t, text(), "8 in")
	show(strings.Replace(sheet, "a [in] : 3", "a [in] : 10", 1))
	p.until("document.body.innerText.includes('22 in')")
	assert.Contains(t, text(), "Changed here: 1")

	show(strings.Replace(sheet, ": 3", ": 3 furlongs", 1))
	p.until("document.body.innerText.includes('unknown unit furlongs')")
	assert.Contains(t, text(), "line 3")
	assert.Contains(t, text(), "The sheet has mistakes (1): to the messages")
	ask[bool](p, "document.querySelector('#mistakes a').click(), true")
	p.until("Math.abs(document.getElementById('messages').getBoundingClientRect().top) < 780")
	show(sheet)
	p.until("document.body.innerText.includes('8 in')")
	assert.NotContains(t, text(), "furlongs")
	assert.NotContains(t, text(), "mistakes")
	p.quiet()
}

// TestLivePageStaysInItsPlace scrolls down a long page and saves the sheet with other numbers, and with a mistake: what is
// read stays where it is on the screen, though all of the page is new.
func TestLivePageStaysInItsPlace(t *testing.T) {
	t.Parallel()
	l, address := serve(t)
	sheet, uses := library.Starter("powered", "")
	files := fstest.MapFS{}
	for _, name := range uses {
		data, err := fs.ReadFile(library.Starters(), name)
		require.NoError(t, err)
		files[name] = &fstest.MapFile{Data: data}
	}
	show := func(nose string) {
		now := strings.NewReplacer("Powered model", "Nose "+nose, ": 7-1/4 ± 1/16 ?", ": "+nose).Replace(string(sheet))
		files["m.gusset"] = &fstest.MapFile{Data: []byte(now)}
		m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, "m.gusset")
		require.NoError(t, err)
		l.Show([]byte(written(t, m, Options{File: "m.gusset", Served: true})))
	}
	show("7-1/4")
	p := openPage(t, "http://"+address+"/", desk)
	ask[bool](p, `(() => {
		window.heading = () => [...document.querySelectorAll('h2')].find((h) => h.textContent === 'Stability');
		heading().scrollIntoView();
		return true;
	})()`)
	const atRest = "[...document.querySelectorAll('main td')].every((td) => " + // all is laid out
		"td.checkVisibility({contentVisibilityAuto: true}) === td.checkVisibility())"
	p.until(atRest)
	const top = "heading().getBoundingClientRect().top"
	at := ask[float64](p, top)
	for _, nose := range []string{"7-1/2", "8", "8 furlongs", "7"} {
		show(nose)
		p.until("document.title === 'Nose " + nose + "' && !document.getElementById('printing').hidden && " + atRest)
		assert.InDelta(t, at, ask[float64](p, top), 8, nose)
	}
	p.quiet()
}
