package text

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestParseTried reads what is to be tried as it is typed: commas in quotes part nothing, also where one is never
// closed.
func TestParseTried(t *testing.T) {
	for typed, want := range map[string]Tried{
		"span":                       {},
		" span ":                     {},
		"span: 50 in":                {Values: []string{"50 in"}},
		"span:50,60":                 {Values: []string{"50", "60"}},
		"span : 50, 4 ft 2 in":       {Values: []string{"50", "4 ft 2 in"}},
		`stock: "a, b", "c\", d", e`: {Values: []string{`"a, b"`, `"c\", d"`, "e"}},
		`stock: "a, b`:               {Values: []string{`"a`, "b"}},
		"span from 40 to 60 step 5":  {From: "40", To: "60", Step: "5"},
		"span from 40 to 60":         {From: "40", To: "60"}, // the step is missing, which is told when it is read
		"span from 1 step to 2 to 3 step 4 step 5": {From: "1 step", To: "2 to 3", Step: "4 step 5"},
	} {
		got, err := ParseTried(typed)
		require.NoError(t, err, typed)
		assert.Contains(t, []string{"span", "stock"}, got.Path.String(), typed)
		assert.Equal(t, got.Path.Text, typed[got.Path.Span.Start:got.Path.Span.End], typed)
		got.Path = Path{}
		assert.Equal(t, want, got, typed)
	}
	for typed, want := range map[string]string{
		"":                          triedForm,
		"50":                        triedForm,
		"span 50":                   triedForm,
		"span: 50,":                 "a value is missing: " + triedForm,
		"span: , 50":                "a value is missing: " + triedForm,
		"span from 40":              triedForm,
		"span from 40 to 60 step":   triedForm,
		"span from to 60 step 5":    triedForm,
		"span from 40 to step 5":    triedForm,
		"span from  to 60 step 5":   triedForm,
		"span from 40 to  step 5":   triedForm,
		"span to 60 step 5 from 40": triedForm,
	} {
		_, err := ParseTried(typed)
		assert.ErrorContains(t, err, want, typed)
	}
}

// TestTypedAndConfirmed shows a value without the mark of a guess, and with how far off it may be or not.
func TestTypedAndConfirmed(t *testing.T) {
	for _, tt := range []struct{ value, typed, confirmed string }{
		{`50`, `50`, `50`},
		{`4 ft 2 in ?`, `4 ft 2 in`, `4 ft 2 in`},
		{`7 ± 1.5 sd ?`, `7`, `7 ± 1.5 sd`},
		{`"a \"b\" c"`, `"a \"b\" c"`, `"a \"b\" c"`},
		{`yes`, `yes`, `yes`},
	} {
		v, err := ParseValue(tt.value)
		require.NoError(t, err)
		assert.Equal(t, tt.typed, v.Typed(), tt.value)
		assert.Equal(t, tt.confirmed, v.Confirmed(), tt.value)
	}
}
