package report

import (
	"fmt"

	"gusset/engine"
)

// OriginOf says where a value, or a column, that another rests on comes from.
func OriginOf(r *engine.Reason) string {
	at := " (" + r.Place + ")"
	if r.Page != "" {
		at = ", page " + r.Page + at
	}
	from := "= " + r.Formula + at
	switch {
	case r.Library != "" && r.Kind == engine.Given:
		from = "library, page " + r.Library
	case r.Library != "":
		from = "= " + r.Formula + ", library, page " + r.Library
	case r.Kind == engine.Given && StateOf(r.Value) == NotGiven && !r.Column:
		from = "to be given" + at
	case r.Kind == engine.Given && r.Value.Guess:
		from = "given, a guess" + at
	case r.Kind == engine.Given:
		from = "given" + at
	case r.Kind == engine.Adjusted:
		from = "adjusted " + r.Formula + at
	}
	list := []string{from}
	if r.Kind != engine.Given {
		list = append(list, restsOn(r.Value))
	}
	for _, u := range r.Uses {
		said := fmt.Sprintf("%s: %s", u.Name, u.Page)
		if len(u.Sources) > 0 {
			said += ", source: " + u.Sources[0]
		}
		list = append(list, said)
	}
	for _, remark := range r.Value.Remarks {
		list = append(list, OutsideMark+" "+remark)
	}
	return joined(append(list, r.Note)...)
}
