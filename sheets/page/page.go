package page

import (
	"bytes"
	"compress/flate"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"errors"
	"fmt"
	"html/template"
	"io"
	"regexp"
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
	Served   bool     // by a Live: it takes in the newer page when there is one
	Trouble  string   // what is said on top, such as that the sheet cannot be read at present
}

// What a page may have: more than that no browser of a phone shows in time.
const (
	maxValues   = 30_000
	maxPoints   = 60_000 // in pictures
	maxDoubts   = 1_000  // of those are asked how far off they may be
	maxPieces   = 5_000  // in cutting plans
	maxCautions = 2_000
	maxBytes    = 8 << 20
)

// ErrTooLarge says that a sheet has more than a page can hold.
var ErrTooLarge = errors.New("this is too much for a page")

// layouts are those of all pages, read when the first page is written.
var layouts = sync.OnceValue(func() *template.Template {
	t := template.Must(template.New("sheet").Funcs(template.FuncMap{"breaks": breakable}).Parse(layout))
	template.Must(t.New("changes").Parse(changesLayout))
	return t
})

// execute writes a page by its layout.
func execute(w io.Writer, layout string, view any) error {
	var b bytes.Buffer
	if err := layouts().ExecuteTemplate(&limited{&b}, layout, view); err != nil {
		return err
	}
	_, err := w.Write(b.Bytes())
	return err
}

// Write writes the page of a model, with the values that it has, and variants beside it. The model stays as it is. The
// error is that of w, ErrTooLarge, or engine.ErrNoSuchName for a variant that there is not.
func Write(w io.Writer, m *engine.Model, o Options) error {
	if n := m.Count() * (1 + len(o.Variants)); n > maxValues {
		return fmt.Errorf("%w: %d values, at most %d can be shown", ErrTooLarge, n, maxValues)
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
		if v.Data, err = packed(data); err != nil {
			return err
		}
		v.Fingerprint = data.Fingerprint
	}
	script := Script() + comment.ReplaceAllString(behaviour, "")
	v.Style, v.Script = template.CSS(styleSent()), template.JS(script)
	v.Policy = template.HTMLAttr(`content="` + policy(styleSent(), script, o.Served) + `"`)
	return execute(w, "sheet", v)
}

// remark matches what is in the style for whoever works on it: remarks, how far a line is from the edge, empty lines.
var remark = regexp.MustCompile(`(?m)/\*[^*]*\*/\n?|^\s+`)

// styleSent is the style as it is on a page.
func styleSent() string { return remark.ReplaceAllString(style, "") }

// packed returns data as a JSON string: deflated (RFC 1951), since it is as much as all else on the page, and in
// base64.
func packed(data *Data) (template.JS, error) {
	written, err := data.JSON()
	if err != nil {
		return "", err
	}
	var b bytes.Buffer
	w, err := flate.NewWriter(&b, flate.BestCompression)
	if err != nil {
		return "", err
	}
	if _, err := w.Write(written); err != nil {
		return "", err
	}
	if err := w.Close(); err != nil {
		return "", err
	}
	return template.JS(`"` + base64.StdEncoding.EncodeToString(b.Bytes()) + `"`), nil
}

// limited refuses to hold more than a page may have.
type limited struct{ *bytes.Buffer }

func (l *limited) Write(b []byte) (int, error) {
	if l.Len()+len(b) > maxBytes {
		return 0, fmt.Errorf("%w: it would have more than %d MiB", ErrTooLarge, maxBytes>>20)
	}
	return l.Buffer.Write(b)
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
