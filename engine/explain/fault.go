package explain

import (
	"fmt"

	"gusset/engine/program"
	"gusset/engine/state"
	"gusset/sheets/text"
)

// fault is why an operation has no result, or, among those of trust, why its result is not to be relied on.
type fault struct {
	code  string // of text.Diag, as are msg, hint and notes
	msg   string
	hint  string
	notes []string
	node  int32     // what to point at ...
	span  text.Span // ... unless this is not empty

	said  bool // a message about the text tells of it already
	part  bool // it is that of a part of the formula with a slot of its own, where it is reported
	widen bool // of a search: the hint is to widen its range

	missing program.RowKey // the row that is not there, if that is the fault
	level   int            // for a value given to a call: 1 more than the depth of the formula its node belongs to
}

// unwhole is why nothing goes through the rows of a table, as a fault of a node.
func unwhole(st *state.State, t *program.Table, node int32) *fault {
	msg := st.MendWords("the table "+st.AliasOf(t.Mod)+t.Name.Text, t.Mod, t.Mend)
	return &fault{node: node, said: true, code: "not-whole", msg: msg}
}

// blankVariant is why nothing has a value in the variant in use; nil if it was read whole.
func blankVariant(st *state.State, node int32) *fault {
	if msg := unreadVariant(st); msg != "" {
		return &fault{node: node, said: true, code: "not-whole", msg: msg}
	}
	return nil
}

// unreadVariant says what to mend where the variant in use was not read whole.
func unreadVariant(st *state.State) string {
	v := st.InUse.ToMend()
	if v == nil {
		return ""
	}
	return st.MendWords(fmt.Sprintf("the variant %q", v.Node.Name.Text), st.Root, v.Mend)
}

// Unread says why nothing has a value: the variant in use was not read whole. It is empty where that is not so.
func (e *Explainer) Unread() string { return unreadVariant(e.State) }
