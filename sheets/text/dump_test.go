package text

import (
	"fmt"
	"reflect"
	"strings"
)

// dump writes nodes as text, one a line, without places and blank lines: what a sheet says rather than how it looks.
func dump(nodes []Node) string {
	var b strings.Builder
	for _, n := range nodes {
		if _, blank := n.(*Blank); !blank {
			b.WriteString(dumpValue(reflect.ValueOf(n)))
			b.WriteByte('\n')
		}
	}
	return b.String()
}

func dumpValue(v reflect.Value) string {
	switch x := v.Interface().(type) {
	case Word:
		if strings.ContainsAny(x.Text, " {}") || x.Text == "" && x.Given() {
			return fmt.Sprintf("%q", x.Text)
		}
		return x.Text
	case Path:
		return dumpValue(reflect.ValueOf(x.Parts))
	case Part:
		return dumpValue(reflect.ValueOf(x.Word))
	case ValueKind:
		return []string{"", "number", "text", "yes/no", "formula"}[x]
	case *Blank, Lines, Span:
		return ""
	}
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if v.IsNil() {
			return ""
		}
		return dumpValue(v.Elem())
	case reflect.Bool:
		return map[bool]string{true: "yes"}[v.Bool()]
	case reflect.Slice:
		return dumpAll(v)
	}
	return dumpStruct(v)
}

func dumpAll(v reflect.Value) string {
	var all []string
	for i := range v.Len() {
		if s := dumpValue(v.Index(i)); s != "" {
			all = append(all, s)
		}
	}
	return strings.Join(all, " ")
}

// dumpStruct leaves out what a body says again, and the bars at the edges of a table, which are only its layout.
func dumpStruct(v reflect.Value) string {
	var all []string
	for i := range v.NumField() {
		f := v.Type().Field(i)
		if f.Name == "Edges" || f.Name == "Rows" && v.Type().Name() == "Table" || f.Name == "Worked" ||
			f.Name == "Doc" || f.Name == "Sources" ||
			f.Name == "Needs" || f.Name == "Trusts" ||
			f.Name == "Examples" || f.Name == "Cautions" {
			continue
		}
		if s := dumpValue(v.Field(i)); s != "" {
			all = append(all, f.Name+":"+s)
		}
	}
	name := v.Type().Name()
	switch name {
	case "UnitTag", "Value", "Doubt", "Range", "Column", "Param":
		name = ""
	}
	if len(all) == 0 && name == "" {
		return ""
	}
	return name + "{" + strings.Join(all, " ") + "}"
}
