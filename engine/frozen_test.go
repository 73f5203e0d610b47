package engine

import (
	"fmt"
	"hash/maphash"
	"math"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/units"
)

// TestRunsWriteNoDefinition: whatever is set, used or asked of a state, its program and its code stay as they are, to
// the last number of every slice behind what is in use, so that any number of states can share them without a lock.
func TestRunsWriteNoDefinition(t *testing.T) {
	m := loadText(t, `
size : "light"
battery [oz] : 6
note :
extra :
doubled = extra + extra
label = size + " " + size
table parts
  part    | station [in] | weight [oz] | mark
  wing    | 4            | 4           |
  tail    | 28           | 1           |
  battery | = at         | = battery   |
  moment [oz in] = weight * station
all_up [oz] = sum(parts.weight)
cg [in] = sum(parts.moment) / all_up
adjust at [in] from -40 to 10 so cg = 2.4 [in]
check light = all_up < 12 [oz]

variant "lighter"
  battery : 4.5
variant "worded"
  extra : "a text"
`)
	f := m.Fork()
	frozen := f.st.Code
	before := contents(frozen)
	for _, v := range []string{"lighter", "worded", "", "worded"} {
		require.NoError(t, f.UseVariant(v))
		require.NoError(t, f.Set("note", `"`+v+`x"`))
		require.NoError(t, f.Set("size", `"heavy `+v+`"`))
		require.NoError(t, f.Set(`parts["tail"].mark`, "yes"))
		_, err := f.Ripple(Setting{Name: "battery", Value: "3"}, Setting{Name: `parts["wing"].weight`, Value: "5"})
		require.NoError(t, err)
		for _, name := range []string{"cg", "at", "label", "doubled", "parts.moment"} {
			_, err := f.Why(name)
			require.NoError(t, err)
		}
		assert.Error(t, f.Set("lable", "3"))
		assert.Error(t, f.Set("battery", "3 V"))
		assert.NotEmpty(t, f.Sheets())
		f.Problems()
		assert.Len(t, f.Fork().Entries(), len(m.Entries()))
	}
	assert.NotEqual(t, frozen, f.st.Code, "the last variant has code of its own")
	assert.Equal(t, before, contents(frozen))

	frozen.Nodes[len(frozen.Nodes)-1].Type++
	assert.NotEqual(t, before, contents(frozen), "a change in a node is seen")
}

// contents returns a number for all that can be reached from a value. What a lock guards, or is worked out once, is
// left out: the units that a Set has read before, and the graph the other way round.
func contents(of any) uint64 {
	var h maphash.Hash
	h.SetSeed(contentsSeed)
	seen := map[any]bool{}
	var add func(v reflect.Value)
	note := func(what ...any) { fmt.Fprint(&h, what...) }
	add = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Pointer:
			if v.IsNil() || seen[v.Pointer()] || v.Type() == reflect.TypeFor[*units.Set]() {
				return
			}
			seen[v.Pointer()] = true
			add(v.Elem())
		case reflect.Interface:
			if !v.IsNil() {
				add(v.Elem())
			}
		case reflect.Struct:
			for i := range v.NumField() {
				add(v.Field(i))
			}
		case reflect.Slice:
			note("[", v.Len(), v.Cap())
			for v = v.Slice(0, v.Cap()); v.Len() > 0; v = v.Slice(1, v.Len()) {
				add(v.Index(0))
			}
		case reflect.Array:
			for i := range v.Len() {
				add(v.Index(i))
			}
		case reflect.Map:
			note("{", v.Len())
			var sum uint64 // whatever their order is
			for k, x := range v.Seq2() {
				if k.Kind() == reflect.Pointer || k.Kind() == reflect.Struct || x.Kind() == reflect.Pointer ||
					x.Kind() == reflect.Interface {
					continue // what these lead to is reached in other ways
				}
				sum += maphash.String(contentsSeed, fmt.Sprint(k, x))
			}
			note(sum)
		case reflect.Float64:
			note(math.Float64bits(v.Float()), ";")
		case reflect.Func:
		default:
			note(v, ";")
		}
	}
	add(reflect.ValueOf(of))
	return h.Sum64()
}

var contentsSeed = maphash.MakeSeed()
