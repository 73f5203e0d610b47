package state

import (
	"errors"
	"math"

	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

// readSetting reads a value typed for a given slot.
func (st *State) readSetting(s int32, value string) (change, error) {
	v, err := text.ParseValue(value)
	r := change{Slot: s, doubt: doubt{guess: err == nil && v.Guess().Given()}}
	if err := readAny(st, &r, value, v, err); err != nil {
		return r, err
	}
	if r.typ.Kind == program.Text && !canBeTyped(st.Texts.Of(r.value)) {
		return r, program.Errorf(program.ErrWrongKind, "",
			"a text is one line of characters that can be seen, and of at most %d bytes", text.MaxText)
	}
	if of := st.SlotChoices(s); r.typ.Kind == program.Text && !of.Allows(int32(r.value)) {
		chosen := st.Texts.Of(r.value)
		hint := of.Hint(st.Program, new(program.Effort), chosen)
		return r, program.Errorf(program.ErrNotAChoice, "", "it cannot be %q; %s", chosen, hint)
	}
	return r, nil
}

// canBeTyped reports whether a sheet can hold a text as it is.
func canBeTyped(s string) bool {
	v, err := text.ParseValue(text.Quote(s))
	return err == nil && v.Kind == text.TextValue && v.Word.Text == s
}

// readAny reads a value for a slot; v is how it reads in a sheet, unless said tells why it does not.
func readAny(st *State, r *change, value string, v text.Value, said error) error {
	known, sh := st.settledType(r.Slot), st.SlotShow(r.Slot)
	asText := func(s string) error {
		r.value, r.typ = float64(st.Texts.Add(s)), program.TextType
		return nil
	}
	if known.Kind == program.Text && (said != nil || v.Kind != text.NoValue && v.Kind != text.TextValue) {
		return asText(value) // the shell has taken the quotes
	}
	if said != nil {
		v = text.Value{Kind: text.NumberValue, Word: text.Word{Text: value}}
	}
	switch v.Kind {
	case text.NoValue:
		r.value = math.NaN()
		return nil
	case text.TextValue:
		if known.Kind == program.Number || known.Kind == program.Boolean {
			return program.Errorf(program.ErrWrongKind, "", "this needs %s, not a text", known)
		}
		return asText(v.Word.Text)
	case text.YesNoValue:
		if known.Kind == program.Number {
			return program.Errorf(program.ErrWrongKind, "", "this needs %s, not yes or no", known)
		}
		r.value, r.typ = program.BooleanValue(v.Word.Text == "yes"), program.BooleanType
		return nil
	}
	if known.Kind == program.Boolean {
		return program.Errorf(program.ErrWrongKind, "", "this needs yes or no")
	}
	num, err := st.ModuleOf(r.Slot).Units.ParseNumber(v.Word.Text, sh.Unit)
	if err != nil {
		if known.Kind == program.Unknown {
			return asText(value)
		}
		if marked := aboutDoubt(said); marked != nil {
			return marked
		}
		return unreadNumber(err)
	}
	r.value, r.typ = num.SI, program.TypeOf(sh.Unit)
	switch {
	case sh.Whole() && num.Unit.Dim().IsPlain() && !program.IsWhole(num.SI):
		return program.Errorf(program.ErrWrongKind, "",
			"without a unit and with a step of 1 it is counted in whole numbers (%s)", program.WholeHint(num.SI))
	case num.Unit.Dim() == sh.Unit.Dim():
		r.off, err = readTolerance(st, r.Slot, v, num)
		return err
	case sh.Unit.String() == "":
		return program.Errorf(program.ErrUnit, "", "%s is %s, but this names no unit", value,
			num.Unit.Dim().Describe())
	}
	return program.Errorf(program.ErrUnit, "", "%s is %s, but [%s] is %s", value,
		num.Unit.Dim().Describe(), sh.Unit, sh.Unit.Dim().Describe())
}

// readTolerance reads what a value says of how far off it may be.
func readTolerance(st *State, s int32, v text.Value, num units.Number) (*program.Tolerance, error) {
	off, err := program.ReadTolerance(st.ModuleOf(s).Units, v, num, st.SlotShow(s))
	var diags text.Diags
	switch {
	case err == nil:
		return off, nil
	case errors.As(err, &diags) && diags[0].Hint != "":
		return nil, program.Errorf(program.ErrWrongKind, "", "%s (%s)", diags[0].Msg, diags[0].Hint)
	case len(diags) > 0:
		return nil, program.Errorf(program.ErrWrongKind, "", "%s", diags[0].Msg)
	}
	return nil, unreadNumber(err)
}

// aboutDoubt returns what a sheet says of a value in which words or marks are where those of a guess or of a give or
// take should be, or where these are all that there is; nil where it says something else.
func aboutDoubt(said error) error {
	var diags text.Diags
	if !errors.As(said, &diags) {
		return nil
	}
	switch d := diags[0]; {
	case d.Code == "no-value":
		return program.Errorf(program.ErrWrongKind, "", "%s (write nothing)", d.Msg)
	case d.Code == "tolerance-missing":
		return program.Errorf(program.ErrWrongKind, "", "%s (%s)", d.Msg, d.Hint)
	case d.Code == "not-sure" || d.Code == "guess-first" || d.Code == "guess-twice" ||
		d.Code == "tolerance-kind" || d.Code == "tolerance-words":
		return program.Errorf(program.ErrWrongKind, "", "%s (write %s)", d.Msg, d.Hint)
	}
	return nil
}

// unreadNumber tells what is wrong with a number.
func unreadNumber(err error) error {
	kind := program.ErrWrongKind
	var e *units.Error
	if errors.As(err, &e) {
		switch e.Code {
		case "unknown-unit", "unit-form", "which-unit", "power", "two-currencies":
			kind = program.ErrUnit
		}
	}
	return program.Errorf(kind, "", "%w", err)
}
