package explain

import (
	"fmt"
	"slices"
	"strings"

	"gusset/engine/program"
	"gusset/engine/state"
	"gusset/sheets/text"
	"gusset/units/nearest"
)

// misspelt returns a remark for each comparison of a column with a text in quotes that no row has, where a row has one
// that is nearly the same, or that another row has with other capitals: a filter that leaves rows out gives a sum that
// nobody would notice.
func misspelt(st *state.State) text.Diags {
	var ds text.Diags
	seen := map[int32]bool{}
	var g program.Effort
	for s, sl := range st.Slots {
		if sl.Root == program.None || seen[sl.Root] || !program.IsNumber(st.Mach.Regs[s]) {
			continue // what has no result has been reported
		}
		seen[sl.Root] = true
		st.Walk(sl.Root, func(n *program.Node) {
			if n.Op != program.OpEqual && n.Op != program.OpNotEqual {
				return
			}
			for _, sides := range [][2]int32{{n.A, n.B}, {n.B, n.A}} {
				if d, ok := misspeltText(st, st.Nodes[sides[0]], st.Nodes[sides[1]], &g); ok {
					d.Source = st.ModuleOf(int32(s)).Src
					ds, _ = program.AddListed(ds, d)
				}
			}
		})
	}
	return ds
}

// misspeltText looks for a text among the given entries of a column.
func misspeltText(st *state.State, column, written program.Node, g *program.Effort) (d text.Diag, found bool) {
	if column.Op != program.OpEntry && column.Op != program.OpOwn || written.Op != program.OpText {
		return d, false
	}
	c := st.Columns[column.A]
	if !g.Allow(len(c.Table.RowName)) {
		return d, false
	}
	if st.ColumnTypes[c.Number].Kind != program.Text {
		return d, false
	}
	typed := st.Texts.At(written.A)
	var known []string
	other := -1 // the row that has it with other capitals
	for row := range c.Table.RowName {
		s := c.Base + int32(row)
		if st.Slots[s].Kind != program.Given || !program.IsNumber(st.Mach.Regs[s]) {
			return d, false // worked out, or not given yet
		}
		is := st.Texts.Of(st.Mach.Regs[s])
		known = append(known, is)
		if other < 0 && is != typed && strings.EqualFold(is, typed) {
			other = row
		}
	}
	d = text.Diag{Code: "text-unknown", Sev: text.Remark, Span: text.Span{Start: written.From, End: written.To}}
	if slices.Contains(known, typed) {
		if other < 0 {
			return d, false
		}
		d.Msg = fmt.Sprintf("%s is %q, which is not %q", st.SlotName(c.Base+int32(other)), known[other], typed)
		d.Hint = "write both in the same way"
		return d, true
	}
	near, ok := nearest.Word(typed, known)
	if !ok {
		return d, false
	}
	d.Msg = fmt.Sprintf("no row of %s has the %s %q", c.Table.Name.Text, c.Name.Text, typed)
	d.Hint = fmt.Sprintf("is it %q?", near)
	return d, true
}
