package engine

import (
	"fmt"
	"slices"

	"gusset/sheets/text"
	"gusset/units/nearest"
)

// misspelt returns a remark for each comparison of a column with a text in quotes that no row has, where a row has one
// that is nearly the same: a filter that keeps nothing gives a sum of 0, which nobody would notice.
func (e *explainer) misspelt() text.Diags {
	var ds text.Diags
	seen := map[int32]bool{}
	var g effort
	for s, sl := range e.slots {
		if sl.root == none || seen[sl.root] || !isNumber(e.mach.Regs[s]) { // what has no result has been reported
			continue
		}
		seen[sl.root] = true
		e.walk(sl.root, func(n *node) {
			if n.op != OpEqual && n.op != OpNotEqual {
				return
			}
			for _, sides := range [][2]int32{{n.a, n.b}, {n.b, n.a}} {
				if d, ok := e.misspeltText(e.nodes[sides[0]], e.nodes[sides[1]], &g); ok {
					d.Source = e.moduleOf(int32(s)).src
					if len(ds) == maxListed {
						d = moreListed(d)
					}
					if len(ds) <= maxListed {
						ds = append(ds, d)
					}
				}
			}
		})
	}
	return ds
}

// misspeltText looks for a text among the given entries of a column.
func (e *explainer) misspeltText(column, written node, g *effort) (d text.Diag, found bool) {
	if column.op != OpEntry && column.op != OpOwn || written.op != OpText {
		return d, false
	}
	c := e.columns[column.a]
	if !g.allow(len(c.table.rowName)) {
		return d, false
	}
	var known []string
	for row := range c.table.rowName {
		s := c.base + int32(row)
		if e.slots[s].kind != given || !isNumber(e.mach.Regs[s]) || e.columnTypes[c.number].kind != writing {
			return d, false // worked out, or not given yet
		}
		known = append(known, e.texts.Of(e.mach.Regs[s]))
	}
	typed := e.texts.At(written.a)
	if slices.Contains(known, typed) {
		return d, false
	}
	near, ok := nearest.Word(typed, known)
	if !ok {
		return d, false
	}
	return text.Diag{
		Code: "text-unknown", Sev: text.Remark, Span: text.Span{Start: written.from, End: written.to},
		Msg: fmt.Sprintf("no row of %s has the %s %q", c.table.name.Text, c.name.Text, typed), Hint: fmt.Sprintf("is it %q?", near),
	}, true
}
