package explain

import "gusset/engine/program"

// ReadBy returns the slots that the value of a slot has used.
func ReadBy(e *Explainer, s int32) []int32 { return e.causes.evaluator().readBy(s, nil) }

// CauseOf tells why a slot has no value: what it lacks, or what of it has no result. With neither, nothing is given
// yet.
func CauseOf(e *Explainer, s int32) (missing []int32, fault string) {
	c := e.causes.of(s)
	if c.fault != nil {
		fault = c.fault.msg
	}
	return c.missing, fault
}

// UnreadTable says why nothing goes through the rows of a table that was not read whole; it is empty for any other.
func UnreadTable(e *Explainer, t *program.Table) string {
	if t.Lost == program.None {
		return ""
	}
	return unwhole(e.State, t, 0).msg
}

// NameOf names a slot as what something waits for: of what a spread comes to, a give or take that is not known.
func NameOf(e *Explainer, s int32) string { return lackedName(e, s) }
