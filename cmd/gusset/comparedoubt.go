package main

import (
	"gusset/engine"
	"gusset/sheets/report"
)

// changed returns the change of a value, marked where it is within what may be off.
func (p *comparison) changed(r engine.ComparedRow, k int) string {
	text := r.Values[k].ChangeText
	if within := p.within[r.Name]; within != nil && within[k] && text != "" {
		text += " " + report.DoubtMark
	}
	return text
}
