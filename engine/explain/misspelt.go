package explain

import (
	"fmt"
	"slices"

	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units/nearest"
)

// misspelt returns a remark for each comparison of a column with a text in quotes that no row has, where a row has one
// that is nearly the same: a filter that keeps nothing gives a sum of 0, which nobody would notice.
func (e *Explainer) misspelt() text.Diags {
	var ds text.Diags
	seen := map[int32]bool{}
	var g program.Effort
	for s, sl := range e.Slots {
		if sl.Root == program.None || seen[sl.Root] || !program.IsNumber(e.Mach.Regs[s]) { // what has no result has been reported
			continue
		}
		seen[sl.Root] = true
		e.Walk(sl.Root, func(n *program.Node) {
			if n.Op != program.OpEqual && n.Op != program.OpNotEqual {
				return
			}
			for _, sides := range [][2]int32{{n.A, n.B}, {n.B, n.A}} {
				if d, ok := e.misspeltText(e.Nodes[sides[0]], e.Nodes[sides[1]], &g); ok {
					d.Source = e.ModuleOf(int32(s)).Src
					if len(ds) == program.MaxListed {
						d = program.MoreListed(d)
					}
					if len(ds) <= program.MaxListed {
						ds = append(ds, d)
					}
				}
			}
		})
	}
	return ds
}

// misspeltText looks for a text among the given entries of a column.
func (e *Explainer) misspeltText(column, written program.Node, g *program.Effort) (d text.Diag, found bool) {
	if column.Op != program.OpEntry && column.Op != program.OpOwn || written.Op != program.OpText {
		return d, false
	}
	c := e.Columns[column.A]
	if !g.Allow(len(c.Table.RowName)) {
		return d, false
	}
	var known []string
	for row := range c.Table.RowName {
		s := c.Base + int32(row)
		if e.Slots[s].Kind != program.Given || !program.IsNumber(e.Mach.Regs[s]) || e.ColumnTypes[c.Number].Kind != program.Writing {
			return d, false // worked out, or not given yet
		}
		known = append(known, e.Texts.Of(e.Mach.Regs[s]))
	}
	typed := e.Texts.At(written.A)
	if slices.Contains(known, typed) {
		return d, false
	}
	near, ok := nearest.Word(typed, known)
	if !ok {
		return d, false
	}
	return text.Diag{
		Code: "text-unknown", Sev: text.Remark, Span: text.Span{Start: written.From, End: written.To},
		Msg: fmt.Sprintf("no row of %s has the %s %q", c.Table.Name.Text, c.Name.Text, typed), Hint: fmt.Sprintf("is it %q?", near),
	}, true
}
