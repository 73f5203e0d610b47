package choose

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gusset/engine/explain"
	"gusset/engine/machine"
	"gusset/engine/program"
	"gusset/engine/state"
	"gusset/sheets/text"
	"gusset/units"
)

// varied is a given value with all that it is to be.
type varied struct {
	name    string
	slot    int32
	typed   []string  // as a sheet writes them, with the mark of a guess where the value is one now
	values  []float64 // SI; texts by their number
	changed []bool    // which of them are other than the sheet has
	each    int       // combinations from one of its values to the next
}

// in returns which of its values it has in a combination.
func (v *varied) in(index int) int { return index / v.each % len(v.values) }

// readVaried finds out what is to be tried. The base state takes the first value of each, so that it is known of what
// kind they are; st is the sheet as it stands.
func readVaried(st, base *state.State, asked []string) ([]*varied, error) {
	if len(asked) == 0 {
		return nil, program.Errorf(program.ErrNoSuchName, "", "which given values are to be chosen?")
	}
	var all []*varied
	decides := 0
	for _, a := range asked {
		v, err := findVaried(st, a)
		if err != nil {
			return nil, err
		}
		if slices.ContainsFunc(all, func(o *varied) bool { return o.slot == v.slot }) {
			return nil, program.Errorf(program.ErrNotOneValue, v.name, "%s is named twice", v.name)
		}
		if state.Decides(st, v.slot) {
			decides++
		}
		all = append(all, v)
	}
	if decides > 1 {
		return nil, program.Errorf(program.ErrNotAChoice, "", "two of these decide what may be chosen elsewhere; "+
			"vary one of them at a time")
	}
	first := make([]state.Setting, len(all))
	for i, v := range all {
		first[i] = state.Setting{Name: v.name, Value: v.typed[0]}
	}
	if err := base.SetAll(first...); err != nil {
		return nil, err
	}
	for i, v := range all {
		if err := v.read(st, base); err != nil {
			return nil, err
		}
		first[i].Value = v.typed[0]
	}
	return all, base.SetAll(first...)
}

// findVaried finds a given value and lists what it is to be, as it is typed.
func findVaried(st *state.State, asked string) (*varied, error) {
	t, err := text.ParseTried(asked)
	if err != nil {
		var diags text.Diags
		errors.As(err, &diags)
		return nil, program.Errorf(program.ErrNoSuchName, asked, "%s: %s", text.Visible(asked), diags[0].Msg)
	}
	name := t.Path.String()
	slot, err := st.FindGiven(name)
	if err != nil {
		return nil, err
	}
	v := &varied{name: st.SlotName(slot), slot: slot, typed: t.Values}
	choices, kind := st.SlotChoices(slot), st.SlotType(slot).Kind
	switch {
	case t.From != "":
		v.typed, err = rangeOf(st, slot, t)
	case t.Values != nil:
	case choices.List() != nil:
		for _, c := range choices.List() {
			v.typed = append(v.typed, text.Quote(c))
		}
	case kind == program.Boolean:
		v.typed = []string{"yes", "no"}
	default:
		err = notListed(st, slot, name, kind)
	}
	if err == nil && len(v.typed) == 0 {
		err = program.Errorf(program.ErrNotAChoice, name, "%s: no row may be chosen", name)
	}
	if err == nil && len(v.typed) > maxTried {
		err = tooManyOf(name)
	}
	return v, err
}

// notListed tells that nobody knows what a value may be.
func notListed(st *state.State, slot int32, name string, kind program.Kind) error {
	example := fmt.Sprintf(`'%s: VALUE, VALUE'`, name)
	switch kind {
	case program.Text:
		example = fmt.Sprintf(`'%s: "light", "hard"', or in the sheet %s [one of TABLE]`, name, name)
	case program.Number:
		unit := strings.TrimSpace("step 1 " + st.SlotShow(slot).Unit.String())
		example = fmt.Sprintf(`'%s: 2, 3' or '%s from 2 to 6 %s'`, name, name, unit)
	}
	return program.Errorf(program.ErrNotAChoice, name, "%s: the sheet does not say what it may be; write %s", name,
		example)
}

func tooManyOf(name string) error {
	return program.Errorf(program.ErrLimit, name, "%s: more than %d values; make the step larger, or list fewer",
		name, maxTried)
}

// rangeOf lists the values of a range, as the cell shows them where that is exact.
func rangeOf(st *state.State, slot int32, t text.Tried) ([]string, error) {
	name, sh := t.Path.String(), st.SlotShow(slot)
	if kind := st.SlotType(slot).Kind; kind != program.Number && kind != program.Unknown {
		return nil, program.Errorf(program.ErrWrongKind, name, "%s is %s, so it has no range; write '%s: VALUE, VALUE'",
			name, st.SlotType(slot), name)
	}
	set := st.ModuleOf(slot).Units
	var bounds [3]units.Number
	for i, typed := range []string{t.From, t.To, t.Step} {
		if typed == "" {
			step := strings.TrimSpace("step 1 " + sh.Unit.String())
			return nil, program.Errorf(program.ErrWrongKind, name,
				"%s: the step is missing; write for example '%s from %s to %s %s'", name, name, t.From, t.To, step)
		}
		n, err := set.ParseNumber(typed, sh.Unit)
		if err != nil {
			return nil, program.Errorf(program.ErrWrongKind, name, "%s: %w", name, err)
		}
		if n.Unit.Dim() != sh.Unit.Dim() {
			return nil, program.Errorf(program.ErrUnit, name, "%s: %s is %s, but it is counted in [%s]", name, typed,
				n.Unit.Dim().Describe(), sh.Unit)
		}
		bounds[i] = n
	}
	series, err := units.NewSeries(bounds[0], bounds[1], bounds[2], sh.Unit, maxTried+1)
	switch {
	case errors.Is(err, units.ErrSeriesLong):
		return nil, tooManyOf(name)
	case err != nil:
		return nil, program.Errorf(program.ErrWrongKind, name, "%s: a step of %s never leads from %s to %s", name, t.Step,
			t.From, t.To)
	}
	e := explain.New(st)
	typed := make([]string, series.Len())
	for i := range typed {
		_, typed[i] = series.Value(i)
		if sh.Unit.Mixed() {
			typed[i] = units.Exact(series.SI(i), sh.Unit)
		}
		shown := e.ViewNumber(slot, series.SI(i)).Text
		if n, err := set.ParseNumber(shown, sh.Unit); err == nil && n.SI == series.SI(i) {
			typed[i] = shown
		}
	}
	return typed, nil
}

// read reads what is typed, and sees which of it the sheet has already.
func (v *varied) read(st, base *state.State) error {
	now := st.Mach.Regs[v.slot]
	isText := base.SlotType(v.slot).Kind == program.Text
	for i, typed := range v.typed {
		x, err := state.Read(base, state.Setting{Name: v.name, Value: typed})
		if err != nil {
			return err
		}
		if !program.IsNumber(x) {
			return program.Errorf(program.ErrWrongKind, v.name, "%s: a value is missing", v.name)
		}
		same := func(y float64) bool { return machine.Compare(machine.Equal, x, y) == 1 }
		if isText {
			same = func(y float64) bool { return x == y }
			v.typed[i] = text.Quote(base.Texts.Of(x))
		}
		if k := slices.IndexFunc(v.values, same); k >= 0 {
			return program.Errorf(program.ErrNotAChoice, v.name, "%s: %s is listed twice", v.name,
				cmp.Or(v.typed[i], typed))
		}
		v.typed[i] = marked(st, v.slot, v.typed[i])
		v.values, v.changed = append(v.values, x), append(v.changed, !program.IsNumber(now) || !same(now))
	}
	return nil
}

// marked adds to a value what the sheet says of the one that it takes the place of: how far off it may be, and that it
// is a guess.
func marked(st *state.State, slot int32, typed string) string {
	v, err := text.ParseValue(typed)
	if off, says := st.Tolerance(slot); says && err == nil && v.Kind == text.NumberValue && !v.GiveOrTake().Given() &&
		!v.Guess().Given() {
		typed += " " + off.Text(st.SlotShow(slot).Unit)
	}
	if st.Guess(slot) && err == nil && !v.Guess().Given() {
		typed += " ?"
	}
	return typed
}

// roundedTo12 leaves out what adding up in another order does to the last digits of a number, so that numbers that
// somebody takes for the same are.
func roundedTo12(x float64) float64 {
	const lost = 12 // bits of 52: 40 are left, which is 12 digits
	if !program.IsNumber(x) {
		return math.NaN()
	}
	bits := math.Float64bits(x) + 1<<(lost-1)
	return math.Float64frombits(bits &^ (1<<lost - 1))
}
