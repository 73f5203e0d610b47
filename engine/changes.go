package engine

import "gusset/engine/differ"

// ChangesFrom tells what was changed from a variant to the sheet as it stands, and what that moves among some entries:
// each change by itself, and all of them together. Values that have been set do not count, nor does the variant in use.
// The Model stays as it is.
//
// Errors are ErrNoSuchName for a variant, or an entry, that is not there, ErrUnread for a variant that was not read
// whole, and ErrLimit where there is more to work out or to compare than there is room for.
func ChangesFrom(m *Model, variant string, looked []Entry) (Changes, error) {
	st, done := change(m)
	defer done()
	return differ.ChangesFrom(st, variant, looked)
}
