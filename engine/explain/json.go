package explain

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
)

// encoding/json refuses numbers that are none, and a value that waits has one. Each type that holds such a number
// beside others, or that is embedded where one is, has a MarshalJSON of its own: that of Value alone would be taken
// for that of a Cell, an Entry and a Move, which embed it, and leave out all else that they say. A type of its own for
// numbers would make everybody who calculates with them convert them first.

// MarshalJSON writes its fields as encoding/json does, with null for a Number that is none.
func (v Value) MarshalJSON() ([]byte, error) { return MarshalFields(v) }

// MarshalJSON writes its fields and those of its Value beside one another.
func (c Cell) MarshalJSON() ([]byte, error) { return MarshalFields(c) }

// MarshalJSON writes its fields and those of its Cell beside one another.
func (e Entry) MarshalJSON() ([]byte, error) { return MarshalFields(e) }

// MarshalJSON writes its fields and those of its Entry beside one another.
func (g GivenValue) MarshalJSON() ([]byte, error) { return MarshalFields(g) }

// MarshalText names the status: ok, waits, none or absent.
func (s Status) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// String returns ok, waits, none or absent.
func (s Status) String() string { return [...]string{"ok", "waits", "none", "absent"}[s] }

// MarshalText names the state: holds, fails, waits, none or absent.
func (s CheckState) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// String returns holds, fails, waits, none or absent.
func (s CheckState) String() string {
	return [...]string{"holds", "fails", "waits", "none", "absent"}[s]
}

// MarshalJSON writes its fields, with null for a number that is none.
func (w WeighedShare) MarshalJSON() ([]byte, error) { return MarshalFields(w) }

// MarshalJSON writes its fields, with null for a number that is none.
func (s Search) MarshalJSON() ([]byte, error) { return MarshalFields(s) }

// MarshalText names the kind as String does.
func (k Kind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// MarshalFields writes the fields of a struct, embedded ones included, as encoding/json does by default, but numbers
// that are none as null.
func MarshalFields(of any) ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	if err := writeFields(&b, reflect.ValueOf(of)); err != nil {
		return nil, err
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

func writeFields(b *bytes.Buffer, of reflect.Value) error {
	for field, v := range of.Fields() {
		if field.Anonymous {
			if err := writeFields(b, v); err != nil {
				return err
			}
			continue
		}
		if !field.IsExported() {
			continue
		}
		if b.Len() > 1 {
			b.WriteByte(',')
		}
		fmt.Fprintf(b, "%q:", field.Name)
		data, err := []byte("null"), error(nil)
		if x, number := v.Interface().(float64); !number || !math.IsNaN(x) && !math.IsInf(x, 0) {
			if data, err = json.Marshal(v.Interface()); err != nil {
				return err
			}
		}
		b.Write(data)
	}
	return nil
}
