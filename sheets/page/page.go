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
	switch data, err := Collect(m); {
	case errors.Is(err, engine.ErrLimit):
		v.AsSent = "it is too large to be worked out in a browser"
	case errors.Is(err, engine.ErrUnread):
		v.AsSent = "the sheet has mistakes"
	case err != nil:
		return err
	default:
		written, err := data.JSON()
		if err != nil {
			return err
		}
		v.Data, v.Fingerprint = template.JS(written), data.Fingerprint
	}
	script := Script() + behaviour
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
