package xlsx

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf16"
)

// readStrings reads the texts that cells share. The counts that the part gives of them are not believed.
func (r *bookReader) readStrings(name string) error {
	return r.read(name, "sst", func(d *document) error {
		return d.each("si", func(tag) error {
			text, err := d.richText()
			if len(r.texts) >= maxStrings {
				return tooMuch("the workbook has over %d texts", maxStrings)
			}
			if err == nil {
				err = r.keepText(text)
			}
			r.texts = append(r.texts, text)
			return err
		})
	})
}

// keepText counts a text that is kept.
func (r *bookReader) keepText(text string) error {
	if r.kept += len(text); r.kept > maxTexts {
		return tooMuch("the texts of the workbook have more than %d MiB together", maxTexts>>20)
	}
	return nil
}

// richText returns the text within the tag that was opened last, or that of its runs (r). How it is spoken
// (rPh) is left out.
func (d *document) richText() (string, error) {
	var b strings.Builder
	add := func(t tag) error {
		text, err := d.text()
		if t.prefixed("space") != "preserve" {
			text = strings.Trim(text, " \t\r\n")
		}
		if b.WriteString(unescape(text)); b.Len() > maxText {
			return d.failed(errLongToken)
		}
		return err
	}
	err := d.each("", func(t tag) error {
		switch t.Name.Local {
		case "t":
			return add(t)
		case "r":
			return d.each("t", add)
		}
		return nil
	})
	return b.String(), err
}

// unescape returns a text with the characters that _x0041_ and the like stand for, which are units of UTF-16.
func unescape(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		unit, ok := escapeAt(s, i)
		if !ok {
			b.WriteByte(s[i])
			i++
			continue
		}
		i += len("_x0041_")
		if low, ok := escapeAt(s, i); ok && utf16.DecodeRune(unit, low) != unicode.ReplacementChar {
			unit = utf16.DecodeRune(unit, low)
			i += len("_x0041_")
		}
		b.WriteRune(unit)
	}
	return b.String()
}

func escapeAt(s string, i int) (rune, bool) {
	if len(s) < i+7 || s[i:i+2] != "_x" || s[i+6] != '_' {
		return 0, false
	}
	unit, err := strconv.ParseUint(s[i+2:i+6], 16, 16)
	return rune(unit), err == nil
}
