package differ

import "gusset/engine/explain"

// MarshalJSON writes its fields and those of its Entry beside one another; numbers that are none are null.
func (m Move) MarshalJSON() ([]byte, error) { return explain.MarshalFields(m) }

// MarshalJSON writes its fields and those of its Entry beside one another; numbers that are none are null.
func (r ComparedRow) MarshalJSON() ([]byte, error) { return explain.MarshalFields(r) }
