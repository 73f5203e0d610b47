package odds

import "gusset/engine/explain"

// MarshalJSON writes its fields and those of its Entry beside one another, with null for a number that is none.
func (r Result) MarshalJSON() ([]byte, error) { return explain.MarshalFields(r) }

// MarshalJSON writes its fields, those of its Cell and those of its Outcome beside one another.
func (c CheckOdds) MarshalJSON() ([]byte, error) { return explain.MarshalFields(c) }

// MarshalJSON writes its fields, with null for a number that is none.
func (o Outcome) MarshalJSON() ([]byte, error) { return explain.MarshalFields(o) }

// MarshalJSON writes its fields, with null for a number that is none.
func (f FirstOrder) MarshalJSON() ([]byte, error) { return explain.MarshalFields(f) }

// MarshalJSON writes its fields, with null for a number that is none.
func (s Strip) MarshalJSON() ([]byte, error) { return explain.MarshalFields(s) }

// MarshalJSON writes its fields, with null for a number that is none.
func (s Share) MarshalJSON() ([]byte, error) { return explain.MarshalFields(s) }

// MarshalJSON writes its fields, with null for a number that is none.
func (u Undeclared) MarshalJSON() ([]byte, error) { return explain.MarshalFields(u) }
