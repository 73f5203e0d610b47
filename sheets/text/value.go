package text

// IsName reports whether s can be the name of a cell, a table or a used sheet.
func IsName(s string) bool { return isName(s) && !reserved[s] }

// ParseValue reads a value as it stands behind the mark of a given cell.
func ParseValue(s string) (Value, error) {
	file, diags := Parse(NewSource("value", []byte("x : "+s)))
	if err := diags.Err(); err != nil {
		return Value{}, err
	}
	if len(file.Nodes) == 1 {
		if c, ok := file.Nodes[0].(*Cell); ok && !c.Note.Given() {
			return c.Given, nil
		}
	}
	return Value{}, Diags{{Code: "value", Msg: "this is not one value", Source: file.Source}}
}
