package state

import (
	"errors"
	"math"

	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

// readSetting reads a value typed for a given slot.
func (st *State) readSetting(s int32, value string) (x float64, t program.Type, guess bool, err error) {
	v, err := text.ParseValue(value)
	guess = err == nil && v.Guess().Given()
	x, t, err = st.readAny(s, value, v, err)
	if err == nil && t.Kind == program.Text && !canBeTyped(st.Texts.Of(x)) {
		return 0, t, guess, program.Errorf(program.ErrWrongKind, "",
			"a text is one line of characters that can be seen, and of at most %d bytes", text.MaxText)
	}
	if of := st.SlotChoices(s); err == nil && t.Kind == program.Text && !of.Allows(int32(x)) {
		chosen := st.Texts.Of(x)
		hint := of.Hint(st.Program, new(program.Effort), chosen)
		err = program.Errorf(program.ErrNotAChoice, "", "it cannot be %q; %s", chosen, hint)
	}
	return x, t, guess, err
}

// canBeTyped reports whether a sheet can hold a text as it is.
func canBeTyped(s string) bool {
	v, err := text.ParseValue(text.Quote(s))
	return err == nil && v.Kind == text.TextValue && v.Word.Text == s
}

// readAny reads a value for a slot; v is how it reads in a sheet, unless err says that it does not.
func (st *State) readAny(s int32, value string, v text.Value, err error) (float64, program.Type, error) {
	known := st.settledType(s)
	sh := st.SlotShow(s)
	if known.Kind == program.Text && (err != nil || v.Kind != text.NoValue && v.Kind != text.TextValue) {
		return float64(st.Texts.Add(value)), program.TextType, nil // the shell has taken the quotes
	}
	said := err
	if err != nil {
		v = text.Value{Kind: text.NumberValue, Word: text.Word{Text: value}}
	}
	switch v.Kind {
	case text.NoValue:
		return math.NaN(), program.Type{}, nil
	case text.TextValue:
		if known.Kind == program.Number || known.Kind == program.Boolean {
			return 0, program.Type{}, program.Errorf(program.ErrWrongKind, "", "this needs %s, not a text", known)
		}
		return float64(st.Texts.Add(v.Word.Text)), program.TextType, nil
	case text.YesNoValue:
		if known.Kind == program.Number || known.Kind == program.Text {
			return 0, program.Type{}, program.Errorf(program.ErrWrongKind, "", "this needs %s, not yes or no", known)
		}
		return program.BooleanValue(v.Word.Text == "yes"), program.BooleanType, nil
	}
	if known.Kind == program.Boolean {
		return 0, program.Type{}, program.Errorf(program.ErrWrongKind, "", "this needs yes or no")
	}
	if v.GiveOrTake().Given() {
		return 0, program.Type{}, program.Errorf(program.ErrWrongKind, "",
			"how far off it may be (±) is not taken into account yet: leave out the ± and what follows it")
	}
	num, err := st.ModuleOf(s).Units.ParseNumber(v.Word.Text, sh.Unit)
	if err != nil {
		if known.Kind == program.Unknown {
			return float64(st.Texts.Add(value)), program.TextType, nil
		}
		if marked := aboutGuess(said); marked != nil {
			return 0, program.Type{}, marked
		}
		return 0, program.Type{}, unreadNumber(err)
	}
	switch {
	case sh.Whole() && num.Unit.Dim().IsPlain() && !program.IsWhole(num.SI):
		return 0, program.Type{}, program.Errorf(program.ErrWrongKind, "",
			"without a unit and with a step of 1 it is counted in whole numbers (%s)", program.WholeHint(num.SI))
	case !num.HasUnit || num.Unit.Dim() == sh.Unit.Dim():
		return num.SI, program.TypeOf(sh.Unit), nil
	case sh.Unit.String() == "":
		return 0, program.Type{}, program.Errorf(program.ErrUnit, "", "%s is %s, but this names no unit", value,
			num.Unit.Dim().Describe())
	}
	return 0, program.Type{}, program.Errorf(program.ErrUnit, "", "%s is %s, but [%s] is %s", value,
		num.Unit.Dim().Describe(), sh.Unit, sh.Unit.Dim().Describe())
}

// aboutGuess returns what a sheet says of a value in which words or marks stand where that of a guess should, or stands
// by itself; nil where it says something else.
func aboutGuess(said error) error {
	var diags text.Diags
	if !errors.As(said, &diags) {
		return nil
	}
	switch d := diags[0]; {
	case d.Code == "no-value":
		return program.Errorf(program.ErrWrongKind, "", "%s (write nothing)", d.Msg)
	case d.Code == "not-sure" || d.Code == "guess-first" || d.Code == "guess-twice":
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
