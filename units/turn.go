package units

import (
	"fmt"
	"strings"
)

// Turn turns a quantity as it is written into a unit, after which a step may be, as in "in 1/16".
func (s *Set) Turn(from, to string) (string, error) {
	num, err := s.ParseNumber(from, Unit{})
	if err != nil {
		return "", err
	}
	var step Step
	if i := strings.LastIndexByte(to, ' '); i > 0 {
		if st, err := ParseStep(to[i+1:]); err == nil {
			step, to = st, strings.TrimRight(to[:i], ", ")
		}
	}
	u, err := s.Parse(to)
	if err != nil {
		return "", err
	}
	if num.Unit.Dim() != u.Dim() {
		return "", &Error{Code: "unlike", Msg: fmt.Sprintf("%s is %s, but %s is %s", from, num.Unit.Dim().Describe(), to,
			u.Dim().Describe())}
	}
	shown := Format(num.SI, u, step)
	rounded := false
	if !step.Given() && !u.Mixed() {
		shown, rounded = short(num.SI, u)
	}
	if !u.Mixed() && u.String() != "" {
		shown += " " + u.String()
	}
	if rounded {
		shown += ", rounded"
	}
	return shown, nil
}

// About says what a unit is.
func (s *Set) About(u Unit) string {
	for _, i := range s.Names() {
		if i.Unit.Equal(u) {
			return fmt.Sprintf("%s: %s, %s", i.Name, i.Describe, i.Definition)
		}
	}
	return fmt.Sprintf("%s: %s; 1 %s = %s %s", u, u.Dim().Describe(), u, Exact(u.ToSI(1), u.Dim().Unit()), u.Dim().Unit())
}

// Other returns a unit that a quantity in u may be turned into.
func (u Unit) Other() string {
	for _, pair := range [][2]string{
		{"in", "mm"}, {"oz", "g"}, {"ozf", "N"}, {"sq in", "dm^2"}, {"mph", "m/s"}, {"psi", "kPa"},
		{"oz-in", "kg-cm"}, {"oz/sq ft", "g/dm^2"},
	} {
		imperial, err := Builtin().Parse(pair[0])
		if err == nil && imperial.Dim() == u.Dim() {
			if imperial.Equal(u) {
				return pair[1]
			}
			return pair[0]
		}
	}
	return u.Dim().Unit().String()
}
