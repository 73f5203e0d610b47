package xlsx

import (
	"bufio"
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
)

// document is the XML of one part, read from tag to tag within the limits.
type document struct {
	name  string
	book  *bookReader
	xml   *xml.Decoder
	meter *meter
	depth int                // of the tag that was opened last
	tags  [maxDepth]xml.Name // that are open
}

// tag is a tag that was opened.
type tag xml.StartElement

// attr returns an attribute that has no prefix, or nothing.
func (t tag) attr(name string) string {
	for _, a := range t.Attr {
		if a.Name.Local == name && a.Name.Space == "" {
			return a.Value
		}
	}
	return ""
}

// prefixed returns an attribute that has a prefix, whichever it is.
func (t tag) prefixed(name string) string {
	for _, a := range t.Attr {
		if a.Name.Local == name && a.Name.Space != "" {
			return a.Value
		}
	}
	return ""
}

// meter hands bytes to the decoder, which takes them one by one, up to maxText for a token.
type meter struct {
	*bufio.Reader
	token int
}

var errLongToken = errors.New("a tag or a text is too long")

var errNotUTF8 = errors.New("a part is not written in UTF-8")

func (m *meter) ReadByte() (byte, error) {
	if m.token++; m.token > maxText {
		return 0, errLongToken
	}
	return m.Reader.ReadByte()
}

// read opens a part whose outermost tag is root, lets visit read what is in it, and reads on to its end, where
// zip checks it.
func (r *bookReader) read(name, root string, visit func(d *document) error) error {
	f := r.parts[strings.ToLower(name)]
	if f == nil {
		return damaged("the part %s is missing", inQuotes(name))
	}
	if r.unpacked += f.UncompressedSize64; r.unpacked > maxUnpacked { // zip keeps a part to the size that it claims
		return tooMuch("the workbook is larger than %d MiB when it is unpacked", maxUnpacked>>20)
	}
	in, err := f.Open()
	if err != nil {
		return damaged("the part %s is damaged", inQuotes(name))
	}
	defer in.Close()
	d := &document{name: name, book: r, meter: &meter{Reader: bufio.NewReader(in)}}
	d.xml = xml.NewDecoder(d.meter)
	d.xml.CharsetReader = func(string, io.Reader) (io.Reader, error) { return nil, errNotUTF8 }
	if err := d.open(root); err != nil {
		return err
	}
	if err := visit(d); err != nil {
		return err
	}
	return d.close()
}

// open reads up to the outermost tag.
func (d *document) open(root string) error {
	switch head, _ := d.meter.Peek(3); {
	case bytes.HasPrefix(head, []byte{0xff, 0xfe}), bytes.HasPrefix(head, []byte{0xfe, 0xff}),
		bytes.IndexByte(head, 0) >= 0:
		return d.failed(errNotUTF8)
	case string(head) == "\ufeff":
		d.meter.Discard(len(head))
	}
	switch start, err := d.outermost(); {
	case err != nil:
		return err
	case start == nil:
		return damaged("the part %s is empty", inQuotes(d.name))
	case start.Name.Local != root:
		return damaged("the part %s holds %s where %s belongs", inQuotes(d.name), inQuotes(start.Name.Local), inQuotes(root))
	}
	return nil
}

// close reads to the end of the part, after which nothing may follow.
func (d *document) close() error {
	for d.depth > 0 {
		if _, err := d.next(); err != nil {
			return err
		}
	}
	start, err := d.outermost()
	if start != nil {
		return damaged("the part %s goes on after its end", inQuotes(d.name))
	}
	return err
}

// outermost reads on to the next tag outside all others, where no text may be. There is none at the end of the part.
func (d *document) outermost() (*xml.StartElement, error) {
	for {
		tok, err := d.next()
		if err == io.EOF {
			return nil, nil
		}
		if err != nil {
			return nil, err
		}
		switch t := tok.(type) {
		case xml.StartElement:
			return &t, nil
		case xml.CharData:
			if len(bytes.TrimSpace(t)) > 0 {
				return nil, damaged("the part %s has text outside its tags", inQuotes(d.name))
			}
		}
	}
}

// next returns the next token. It returns io.EOF at the end of a part that is whole.
func (d *document) next() (xml.Token, error) {
	if d.book.tokens++; d.book.tokens > maxTokens {
		return nil, tooMuch("the workbook has over %d million tags", maxTokens/1_000_000)
	}
	d.meter.token = 0
	tok, err := d.xml.RawToken() // what prefixes stand for is of no use here, and costs half as much again
	if err == io.EOF && d.depth > 0 {
		return nil, d.unsound()
	}
	if err != nil {
		return nil, d.failed(err)
	}
	switch t := tok.(type) {
	case xml.StartElement:
		if d.depth == maxDepth {
			return nil, damaged("the part %s has more than %d tags within one another", inQuotes(d.name), maxDepth)
		}
		d.tags[d.depth] = t.Name
		d.depth++
	case xml.EndElement:
		if d.depth == 0 || d.tags[d.depth-1] != t.Name {
			return nil, d.unsound()
		}
		d.depth--
	case xml.Directive:
		return nil, damaged("the part %s has definitions of its own (<!...>)", inQuotes(d.name))
	}
	return tok, nil
}

// unsound returns the error for tags that are not closed as they are opened.
func (d *document) unsound() error {
	line, _ := d.xml.InputPos()
	return d.failed(&xml.SyntaxError{Line: line})
}

// failed says what went wrong with a token.
func (d *document) failed(err error) error {
	var slip *xml.SyntaxError
	switch {
	case err == io.EOF:
		return io.EOF
	case errors.Is(err, errLongToken):
		return tooMuch("the part %s has a tag or a text of over %d MiB", inQuotes(d.name), maxText>>20)
	case errors.As(err, &slip):
		return damaged("the part %s is not sound on its line %d", inQuotes(d.name), slip.Line)
	case errors.Is(err, errNotUTF8):
		return damaged("the part %s is not written in UTF-8", inQuotes(d.name))
	}
	return damaged("the part %s is damaged", inQuotes(d.name))
}

// each calls visit for every tag of a name, or of any if it is empty, directly within the tag that was opened last, and
// reads to the end of that. What visit leaves unread is passed over.
func (d *document) each(name string, visit func(t tag) error) error {
	for inside := d.depth; d.depth >= inside; {
		tok, err := d.next()
		if err != nil {
			return err
		}
		start, ok := tok.(xml.StartElement)
		if !ok || d.depth != inside+1 || name != "" && start.Name.Local != name {
			continue
		}
		if err := visit(tag(start)); err != nil {
			return err
		}
	}
	return nil
}

// text returns the text directly within the tag that was opened last, and reads to the end of that.
func (d *document) text() (string, error) {
	var b strings.Builder
	for inside := d.depth; d.depth >= inside; {
		tok, err := d.next()
		if err != nil {
			return "", err
		}
		if text, ok := tok.(xml.CharData); ok && d.depth == inside {
			b.Write(text)
		}
		if b.Len() > maxText {
			return "", d.failed(errLongToken)
		}
	}
	return b.String(), nil
}
