package engine

import "gusset/engine/differ"

// ChangesFrom tells what was changed from a variant to the sheet as it stands, and what that moves among some entries:
// each change by itself, and all of them together. The Model stays as it is.
func ChangesFrom(m *Model, variant string, looked []Entry) (Changes, error) {
	st := m.state()
	st.Mu.Lock()
	defer st.Mu.Unlock()
	return differ.ChangesFrom(st, variant, looked)
}
