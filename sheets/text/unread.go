package text

// markUnread notes at each table the lines that could not be read and that may have been meant for it: those of its
// body, and those after it, up to the next page, that hold a bar. A table of one column has rows without a bar: there
// the lines count that come right after it.
func markUnread(f *File) {
	var t *Table // the nearest one above
	next := false
	var mark func(n Node)
	mark = func(n Node) {
		switch n := n.(type) {
		case *Page:
			t = nil
		case *Table:
			for _, line := range n.Body {
				if bad, isBad := line.(*Bad); isBad {
					n.Unread = append(n.Unread, bad.Span)
				}
			}
			t, next = n, true
			return
		case *Variant:
			for _, line := range n.Body {
				mark(line)
			}
		case *Formula:
			for _, line := range n.Body {
				mark(line)
			}
		case *Bad:
			if t == nil {
				return
			}
			if oneColumn := len(t.Head) == 1 && t.Range == nil; next && oneColumn || f.mayBeRow(n) {
				t.Unread = append(t.Unread, n.Span)
			}
			return
		case *Blank, *Comment:
			return
		}
		next = false
	}
	for _, n := range f.Nodes {
		mark(n)
	}
}

// mayBeRow reports whether lines that could not be read hold a row of a table. The rows below a table line are those of
// a table of its own.
func (f *File) mayBeRow(n *Bad) bool {
	lines := splitLines(f.Source.text, int(n.Span.Start), int(n.Span.End))
	for i, l := range lines {
		line := f.Source.text[l.from:l.to]
		if holdsBar(line) {
			return true
		}
		if i == 0 && line[:nameAt(line)] == "table" {
			return false
		}
	}
	return false
}

// holdsBar reports whether a line has a bar outside quotes and in front of its note. Where a quote is never closed, any
// bar after it counts.
func holdsBar(line string) bool {
	for _, b := range outsideQuotes(line) {
		if b == '|' {
			return true
		}
	}
	return false
}
