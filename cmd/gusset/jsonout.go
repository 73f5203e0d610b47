package main

import (
	"bytes"
	"cmp"
	"encoding/json"
)

// jsonPrinter prints JSON as it comes: only the value at hand is held.
type jsonPrinter struct {
	b      sink
	indent string
	begun  bool // something stands already in what was opened last
	value  bytes.Buffer
	enc    *json.Encoder
	err    error // the first that there was
}

func newJSON(b sink) *jsonPrinter {
	j := &jsonPrinter{b: b}
	j.enc = json.NewEncoder(&j.value)
	j.enc.SetEscapeHTML(false)
	return j
}

// put prints a value under a name; without one it is the next value of a list.
func (j *jsonPrinter) put(name string, v any) {
	j.next(name)
	j.value.Reset()
	j.enc.SetIndent(j.indent, "  ")
	err := j.enc.Encode(v)
	_, unprinted := j.b.Write(bytes.TrimSuffix(j.value.Bytes(), []byte("\n")))
	j.err = cmp.Or(j.err, err, unprinted)
}

// printObject prints one object, and returns what went wrong.
func printObject(out sink, inside func(*jsonPrinter)) error {
	j := newJSON(out)
	j.object(func() { inside(j) })
	return asIOFailure(j.err)
}

// object prints what inside puts, as the next value of a list.
func (j *jsonPrinter) object(inside func()) { j.within("", "{}", inside) }

// list prints what inside puts, under a name or as the next value of a list.
func (j *jsonPrinter) list(name string, inside func()) { j.within(name, "[]", inside) }

func (j *jsonPrinter) within(name, brackets string, inside func()) {
	j.next(name)
	j.b.WriteString(brackets[:1])
	j.indent, j.begun = j.indent+"  ", false
	inside()
	j.indent = j.indent[2:]
	if j.begun {
		j.b.WriteString("\n" + j.indent)
	}
	j.begun = true
	j.b.WriteString(brackets[1:])
	if j.indent == "" {
		j.b.WriteString("\n")
	}
}

// next begins the next thing in what is open.
func (j *jsonPrinter) next(name string) {
	if j.begun {
		j.b.WriteString(",")
	}
	if j.begun = true; j.indent != "" {
		j.b.WriteString("\n" + j.indent)
	}
	if name != "" {
		j.b.WriteString(`"` + name + `": `)
	}
}

// putAll prints a list of what is made of each of some things.
func putAll[T, R any](j *jsonPrinter, name string, things []T, record func(T) R) {
	j.list(name, func() {
		for _, t := range things {
			j.put("", record(t))
		}
	})
}
