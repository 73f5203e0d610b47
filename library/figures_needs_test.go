package library_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/text"
)

// guarded are the pages whose formulas refuse in their own words whatever they cannot take.
var guarded = []string{
	"balance.gusset", "ground.gusset", "joints.gusset", "loads.gusset", "plan.gusset", "shop.gusset",
	"structure.gusset", "tail.gusset", "wing.gusset", "wire.gusset", "wood.gusset",
}

// TestWhatCannotBeIsRefusedInWords puts nothing, a minus sign and a million times too much in the place of
// every argument of every example. The formula gives a number or says in its own words what it needs; a builder
// never reads of a division by nothing or a root of a negative number.
func TestWhatCannotBeIsRefusedInWords(t *testing.T) {
	said := needed(t)
	for _, page := range parseAll(t, library.Pages()) {
		if !slices.Contains(guarded, page.name) {
			continue
		}
		for _, n := range page.file.Nodes {
			if f, ok := n.(*text.Formula); ok {
				t.Run(f.Name.Text, func(t *testing.T) { refuseInWords(t, f, said) })
			}
		}
	}
}

func refuseInWords(t *testing.T, f *text.Formula, said []string) {
	t.Helper()
	given := arguments(f.Examples[0].Call.Text)
	require.Len(t, given, len(f.Params), f.Examples[0].Call.Text)
	for i, p := range f.Params {
		if p.Unit.Choice != nil {
			continue
		}
		for _, factor := range []string{"0", "-1", "1000000"} {
			changed := slices.Clone(given)
			changed[i] = spoiled(given[i], factor)
			call := fmt.Sprintf("%s(%s)", f.Name.Text, strings.Join(changed, ", "))
			tag := ""
			switch unit := f.Unit.Unit.Text; unit {
			case "text":
			case "money": // the example has one currency of all
				tag = fmt.Sprintf(" [%s]", f.Examples[0].Unit.Unit.Text)
			default:
				tag = fmt.Sprintf(" [%s]", unitOr1(unit))
			}
			m := loadSheet(t, fmt.Sprintf("spoiled%s = %s\n", tag, call))
			v, err := m.Value("spoiled")
			require.NoError(t, err)
			if v.Status != engine.OK {
				ownWords := slices.ContainsFunc(said, func(message string) bool { return strings.HasSuffix(v.Reason, message) })
				assert.True(t, ownWords, "%s: %s", call, v.Reason)
			}
		}
	}
}

// spoiled is an argument times a factor; a list has its first entry spoiled.
func spoiled(given, factor string) string {
	if list, ok := strings.CutPrefix(given, "["); ok {
		entries := arguments("f(" + strings.TrimSuffix(list, "]") + ")")
		return "[" + strings.Join(append([]string{entries[0] + " * " + factor}, entries[1:]...), ", ") + "]"
	}
	return "(" + given + ") * " + factor
}

// arguments parts what stands in the brackets of a call.
func arguments(call string) []string {
	_, inside, _ := strings.Cut(call, "(")
	inside = strings.TrimSuffix(inside, ")")
	var all []string
	deep, from := 0, 0
	for i, r := range inside {
		switch {
		case strings.ContainsRune("([", r):
			deep++
		case strings.ContainsRune(")]", r):
			deep--
		case r == ',' && deep == 0:
			all = append(all, strings.TrimSpace(inside[from:i]))
			from = i + 1
		}
	}
	return append(all, strings.TrimSpace(inside[from:]))
}

// needed returns the messages of every `needs` of the library.
func needed(t *testing.T) []string {
	t.Helper()
	var all []string
	for _, f := range formulas(t) {
		for _, c := range f.Needs {
			all = append(all, c.Message.Text)
		}
	}
	return all
}
