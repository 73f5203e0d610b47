package report

import (
	"fmt"

	"gusset/engine"
)

// OriginOf says where a value, or a column, that another rests on comes from.
func OriginOf(r *engine.Reason) []string {
	var list []string
	say := func(said string) {
		if said != "" {
			list = append(list, said)
		}
	}
	at := " (" + r.Place + ")"
	if r.Page != "" {
		at = ", page " + r.Page + at
	}
	switch {
	case r.Library != "":
		at = "library, page " + r.Library
		if r.Kind != engine.Given {
			at = "= " + r.Formula + ", " + at
		}
		say(at)
	case r.Kind == engine.Given && StateOf(r.Value) == NotGiven && !r.Column:
		say("to be given" + at)
	case r.Kind == engine.Given && r.Value.Guess:
		say("given, a guess" + at)
	case r.Kind == engine.Given:
		say("given" + at)
	case r.Kind == engine.Adjusted:
		say("adjusted " + r.Formula + at)
	default:
		say("= " + r.Formula + at)
	}
	if r.Kind != engine.Given {
		say(restsOn(r.Value))
	}
	for _, u := range r.Uses {
		said := fmt.Sprintf("%s: %s", u.Name, u.Page)
		if len(u.Sources) > 0 {
			said += ", source: " + u.Sources[0]
		}
		say(said)
	}
	for _, remark := range r.Value.Remarks {
		say(OutsideMark + " " + remark)
	}
	say(r.Note)
	return list
}
