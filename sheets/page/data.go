package page

import (
	"bytes"
	_ "embed" // the machine of the page
	"encoding/json"
	"regexp"
	"strings"

	"gusset/engine"
	"gusset/sheets/text"
)

// Data is all that a page needs to work a sheet out by itself.
type Data struct {
	Title       string `json:"title"`
	File        string `json:"file"`
	Fingerprint string `json:"fingerprint"` // of the sheet's text: see text.Fingerprint
	*engine.Portable
}

// Collect returns the data of a model, with the values that it has. The error is of the kind engine.ErrLimit where a
// page cannot hold as much, and engine.ErrUnread where nothing has a value: such a page shows what it was made with.
func Collect(m *engine.Model) (*Data, error) {
	program, err := engine.AsData(m)
	if err != nil {
		return nil, err
	}
	d := &Data{Title: m.Title(), Portable: program}
	for _, sheet := range m.Sheets() {
		if f := engine.TextsOf(m)[sheet.Path]; sheet.Alias == "" && !sheet.Library && f != nil {
			d.File, d.Fingerprint = sheet.Path, text.Fingerprint([]byte(f.Source.Text()))
			break
		}
	}
	return d, nil
}

// Place returns the number by which GussetModel knows a value; ok is false for one that the page does not have.
func (d *Data) Place(v engine.Value) (place int, ok bool) {
	_, ok = d.Slots[int32(v.Place)]
	return int(v.Place), ok
}

// JSON returns the data as JSON that can be put in a script element of type application/json, whatever is in the sheet.
func (d *Data) JSON() ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b) // which writes <, >, &, U+2028 and U+2029 as \u003c and the like
	if err := e.Encode(d); err != nil {
		return nil, err
	}
	return bytes.TrimSpace(b.Bytes()), nil
}

//go:embed numbers.js
var numbersScript string

//go:embed machine.js
var machineScript string

//go:embed walk.js
var walkScript string

//go:embed model.js
var modelScript string

// comment matches what is in the JavaScript for whoever works on it: lines of remarks, remarks after code, empty lines.
var comment = regexp.MustCompile(`(?m)^\s*(//.*)?\n|[ \t]+// .*$`)

// Script returns the JavaScript that works Data out: one classic script that sets GussetModel, and nothing else. What
// is for whoever works on it, and not on a page, is left out.
func Script() string {
	all := strings.Join([]string{numbersScript, machineScript, walkScript, modelScript}, "\n")
	return "'use strict';\nconst GussetModel = (() => {\n" + comment.ReplaceAllString(all, "") +
		"return GussetModel;\n})();\n"
}
