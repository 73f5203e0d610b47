package text

import "strings"

// IsName reports whether s can be the name of a cell, a table or a used sheet.
func IsName(s string) bool { return isName(s) && !reserved[s] }

// ParseValue reads a value as it is written after the mark of a given cell. Its error is a Diags of one message, whose
// hint is for the value alone.
func ParseValue(s string) (Value, error) {
	line := "x : " + strings.TrimSpace(s)
	file, diags := Parse(NewSource("value", []byte(line)))
	if diags.Err() != nil {
		hint, _, _ := strings.Cut(strings.TrimPrefix(diags[0].Hint, "x :"), "//") // the value alone, without a note
		diags[0].Hint = strings.TrimSpace(hint)
		return Value{}, diags
	}
	c := file.Nodes[0].(*Cell) // or there would have been a message
	if end := c.Value.End(); line != "x : " && int(end) != len(line) {
		return Value{}, Diags{{
			Code: "value", Msg: "a value is a number, text in quotes, or yes or no",
			Source: file.Source, Span: Span{4, int32(len(line))},
		}}
	}
	return c.Value, nil
}
