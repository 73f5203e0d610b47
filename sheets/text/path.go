package text

import "strings"

// This file reads the path of a name, for everything that names something in a sheet.

// Path leads to something in a sheet, by way of the sheets that it uses: span, rack.price, parts.weight,
// kit.rack.stock["ply"].price. What its names stand for is not known here.
type Path struct {
	Word         // as written
	Parts []Part // the first is a name
}

// Part is one step of a Path: a name, or in brackets that of a table's row.
type Part struct {
	Word
	Row bool
}

// String writes the path as it is written in a sheet.
func (p Path) String() string {
	var b strings.Builder
	for i, part := range p.Parts {
		switch {
		case part.Row:
			b.WriteString("[" + Quote(part.Text) + "]")
			continue
		case i > 0:
			b.WriteByte('.')
		}
		b.WriteString(part.Text)
	}
	return b.String()
}

// Last returns the last part.
func (p Path) Last() Part { return p.Parts[len(p.Parts)-1] }

// First returns the first n parts as a path of their own.
func (p Path) First(n int) Path {
	end := p.Parts[n-1].Span.End
	if p.Parts[n-1].Row {
		end++ // its bracket
	}
	return Path{Word{Span: Span{p.Span.Start, end}}, p.Parts[:n]}
}

// Before returns the path without its last part.
func (p Path) Before() Path { return p.First(len(p.Parts) - 1) }

// ParsePath reads a path that was typed on a command line, where the shell may have taken the quotes of a row's name.
// Its error is a Diags of one message.
func ParsePath(s string) (Path, error) {
	p, end := readPath(s, 0, ".[=")
	if end < len(strings.TrimRight(s, " \t")) || end == 0 {
		return p, noPath(s, `a name has one of the forms NAME, SHEET.NAME, TABLE.COLUMN, TABLE["ROW"].COLUMN`)
	}
	return p, nil
}

// ParseSetting reads PATH=VALUE as ParsePath does, or with another mark PATH : VALUE. What the value says is not looked
// at.
func ParseSetting(s, mark string) (p Path, value string, err error) {
	p, end := readPath(s, 0, ".["+mark)
	rest := strings.TrimLeft(s[end:], " \t")
	if end == 0 || !strings.HasPrefix(rest, mark) {
		return p, "", noPath(s, `write NAME`+mark+`VALUE, where NAME may be SHEET.NAME or TABLE["ROW"].COLUMN`)
	}
	return p, strings.TrimSpace(rest[1:]), nil
}

func noPath(s, msg string) error {
	return Diags{{Code: "path-form", Msg: msg, Source: NewSource("name", []byte(s)), Span: Span{0, int32(len(s))}}}
}

// readPath reads the path that s begins with, and returns where it ends; offset is the place of s in its file. The name
// of a row is in quotes; where a shell may have taken them, after has the characters that may follow its bracket.
func readPath(s string, offset int, after string) (p Path, end int) {
	at := len(s) - len(strings.TrimLeft(s, " \t"))
	p.Span.Start = int32(offset + at)
	for end = 0; ; end = at {
		from := at
		switch bracket := at + len(s[at:]) - len(strings.TrimLeft(s[at:], " \t")); {
		case end == 0 || strings.HasPrefix(s[at:], "."):
			from += min(end, 1) // past the dot
			at = from + nameAt(s[from:])
			if at == from {
				return p, end
			}
			p.Parts = append(p.Parts, Part{Word{s[from:at], Span{int32(offset + from), int32(offset + at)}}, false})
		case strings.HasPrefix(s[bracket:], "["):
			row, shut := readRow(s[bracket:], after)
			if shut < 0 {
				return p, end
			}
			at = bracket + shut + 1
			p.Parts = append(p.Parts, Part{Word{row, Span{int32(offset + bracket + 1), int32(offset + at - 1)}}, true})
		default:
			return p, end
		}
		p.Text, p.Span.End = s[p.Span.Start-int32(offset):at], int32(offset+at)
	}
}

// readRow reads the name of a row in the brackets that s begins with, and returns the place of the one that ends it; -1
// if that is not to be found.
func readRow(s, after string) (name string, shut int) {
	if strings.HasPrefix(s, `["`) {
		quote := closingQuote(s, 1, len(s))
		if quote > 0 && strings.HasPrefix(s[quote+1:], "]") {
			if name, bad := unescape(s[2:quote]); bad < 0 {
				return name, quote + 1
			}
		}
	}
	if after == "" {
		return "", -1
	}
	depth := 0
	for i := range s {
		switch s[i] {
		case '[':
			depth++
		case ']':
			depth--
			rest := strings.TrimLeft(s[i+1:], " \t")
			if depth <= 0 && (rest == "" || strings.IndexByte(after, rest[0]) >= 0) {
				return strings.Trim(s[1:i], `"'`), i
			}
		}
	}
	return "", -1
}

// unescape returns what is between two quotes without its backslashes, or the place of one that comes before something
// else than a quote or another one; else bad is -1.
func unescape(s string) (plain string, bad int) {
	if strings.IndexByte(s, '\\') < 0 {
		return s, -1
	}
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] == '\\' {
			if i++; i == len(s) || s[i] != '"' && s[i] != '\\' {
				return "", i - 1
			}
		}
		b.WriteByte(s[i])
	}
	return b.String(), -1
}
