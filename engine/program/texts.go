package program

import (
	"math"
	"slices"

	"gusset/sheets/text"
)

// Texts gives numbers to texts, so that every value is a number. Those of a state are laid over those of its
// program, which do not change any more.
type Texts struct {
	under  *Texts // it has the numbers below first
	first  int32
	layers int // below it
	list   []string
	number map[string]int32
}

// Limits on texts that are joined from others, so that a stranger's sheet takes bounded memory.
const (
	MaxTextSize = text.MaxText
	MaxJoined   = 16 << 20 // bytes of all of them together
	LeastText   = 64       // as how many bytes a short one counts
)

// NewTexts returns texts over others, which may be nil and must not change from now on.
func NewTexts(under *Texts) *Texts {
	if under != nil && len(under.list) == 0 && under.under != nil {
		under = under.under
	}
	t := &Texts{under: under}
	if under != nil {
		t.first, t.layers = under.Len(), under.layers+1
	}
	if t.layers > maxLayers {
		t.under, t.layers = under.inOneLayer(), 2
	}
	return t
}

// maxLayers is how many layers there may be, so that the fork of a fork of a fork, each with texts of its own,
// finds a text as soon as the first one.
const maxLayers = 16

// inOneLayer returns the same texts, with all but those of the program in one layer.
func (t *Texts) inOneLayer() *Texts {
	var layers []*Texts
	for ; t.under != nil; t = t.under {
		layers = append(layers, t)
	}
	all := &Texts{under: t, first: t.Len(), layers: 1}
	for _, l := range slices.Backward(layers) {
		for _, s := range l.list {
			all.Add(s)
		}
	}
	return all
}

// Len returns how many texts there are.
func (t *Texts) Len() int32 { return t.first + int32(len(t.list)) }

// Find returns the number of a text; ok is false if it has none.
func (t *Texts) Find(s string) (n int32, ok bool) {
	for ; t != nil; t = t.under {
		if n, ok := t.number[s]; ok {
			return n, true
		}
	}
	return 0, false
}

// Add returns the number of a text, new if need be.
func (t *Texts) Add(s string) int32 {
	if n, ok := t.Find(s); ok {
		return n
	}
	if t.number == nil {
		t.number = map[string]int32{}
	}
	n := t.Len()
	t.list = append(t.list, s)
	t.number[s] = n
	return n
}

// At returns the text that has a number.
func (t *Texts) At(n int32) string {
	for n < t.first {
		t = t.under
	}
	return t.list[n-t.first]
}

// Of returns the text that a value is the number of; "" if there is none.
func (t *Texts) Of(v float64) string {
	if v >= 0 && v < float64(t.Len()) {
		return t.At(int32(v))
	}
	return ""
}

// joined returns the number of a text followed by another, NaN if the two have never been joined.
func (t *Texts) joined(a, b float64) float64 {
	if n, ok := t.Find(t.Of(a) + t.Of(b)); ok {
		return float64(n)
	}
	return math.NaN()
}
