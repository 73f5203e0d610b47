// Package page writes a worked sheet as one file of HTML, to look at, to print and to change: it works by itself in a
// browser, with no network.
//
// What is on it comes from package report; here is only how it looks. view.go puts it together, page.html writes it, and
// pictures are lists of shapes (drawing.go) that it writes as SVG. Every text of the sheet goes through html/template,
// and a content-security policy in the page itself allows nothing but the style and the script that are in it, by their
// hashes.
package page

import (
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"errors"
	"fmt"
	"html/template"
	"io"
	"sync"

	"gusset/engine"
)

var (
	//go:embed page.html
	layout string
	//go:embed page.css
	style string
	//go:embed ui.js
	behaviour string
)

// Options are what a page needs to know beside the model.
type Options struct {
	File     string   // the name of the sheet's file
	Variants []string // that are put beside the sheet as it stands
	Served   bool     // it is served, and asks for new numbers as the sheet is saved
}

// maxValues is how many values a page may have: more than that no browser of a phone shows in time.
const maxValues = 30_000

// ErrTooLarge says that a sheet has more values than a page can hold.
var ErrTooLarge = errors.New("too many values for a page")

// pageTemplate is the layout, read when the first page is written.
var pageTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("html").Funcs(template.FuncMap{"breaks": breakable}).Parse(layout))
})

// Write writes the page of a model: of the sheet as it stands, with its variants beside it.
func Write(w io.Writer, m *engine.Model, o Options) error {
	if n := m.Count() * (1 + len(o.Variants)); n > maxValues {
		return fmt.Errorf("%w: it has %d, at most %d can be shown", ErrTooLarge, n, maxValues)
	}
	v, err := viewOf(m, o)
	if err != nil {
		return err
	}
	script := behaviour
	v.Style, v.Script = template.CSS(style), template.JS(script)
	v.Policy = template.HTMLAttr(`content="` + policy(style, script, o.Served) + `"`)
	return pageTemplate().Execute(w, v)
}

// policy is the content-security policy (W3C Content Security Policy Level 3) of a page with a style and a script.
func policy(style, script string, served bool) string {
	hash := func(s string) string {
		sum := sha256.Sum256([]byte(s))
		return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	p := "default-src 'none'; base-uri 'none'; form-action 'none'; style-src " + hash(style) +
		"; script-src " + hash(script)
	if served {
		p += "; connect-src 'self'"
	}
	return p
}
