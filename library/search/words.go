package search

import (
	_ "embed"
	"slices"
	"strings"
	"sync"
	"unicode"
)

//go:embed words.txt
var trade string

// saying is a way to say something, and the other ways to say it.
type saying struct{ typed, others [][]string }

// sayings is what words.txt has.
var sayings = sync.OnceValue(func() []saying { return readSayings(trade) })

func readSayings(table string) []saying {
	var all []saying
	for line := range strings.Lines(table) {
		line, _, _ = strings.Cut(line, "#")
		typed, meant, _ := strings.Cut(line, ">")
		if s := (saying{typed: phrases(typed)}); len(s.typed) > 0 {
			s.others = append(phrases(meant), s.typed...)
			all = append(all, s)
		}
	}
	return all
}

// phrases cuts a list at its commas.
func phrases(list string) [][]string {
	var all [][]string
	for p := range strings.SplitSeq(list, ",") {
		if words := stems(p); len(words) > 0 {
			all = append(all, words)
		}
	}
	return all
}

// termsOf splits what is typed: the longest saying of the trade at each place, else a word.
func termsOf(words []string) []term {
	var terms []term
	for len(words) > 0 {
		long := 1
		for _, s := range sayings() {
			for _, way := range s.typed {
				if len(way) > long && len(way) <= len(words) && slices.Equal(words[:len(way)], way) {
					long = len(way)
				}
			}
		}
		t := term{[][]string{words[:long]}}
		for _, s := range sayings() {
			if slices.ContainsFunc(s.typed, func(way []string) bool { return slices.Equal(way, words[:long]) }) {
				t.ways = append(t.ways, s.others...)
			}
		}
		terms, words = append(terms, t), words[long:]
	}
	if exact := slices.DeleteFunc(slices.Clone(terms), term.isVague); len(exact) > 0 {
		return exact
	}
	return terms
}

// isVague reports whether a term says next to nothing beside others.
func (t term) isVague() bool { return len(t.ways) == 1 && slices.Contains(vague, t.ways[0][0]) }

// Words that say nothing of what is asked for, and, as stems, those that do so beside others.
var (
	idle  = strings.Fields("a an and at by do for from how i in is it many much my of on or the to what which with")
	vague = strings.Fields("size big larg right calculat work")
)

// stems returns the words of a text without their endings; names are cut at their underscores.
func stems(s string) []string {
	var all []string
	for w := range strings.FieldsFuncSeq(strings.ToLower(s), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r)
	}) {
		if !slices.Contains(idle, w) {
			all = append(all, stem(w))
		}
	}
	return all
}

// stem takes off what makes another form of the same word, as long as enough is left.
func stem(w string) string {
	const enough = 4
	cut := func(ending, instead string) bool {
		short, has := strings.CutSuffix(w, ending)
		if has && len(short) >= enough-1 {
			w = short + instead
			return true
		}
		return false
	}
	switch {
	case strings.HasSuffix(w, "ss"), strings.HasSuffix(w, "us"), strings.HasSuffix(w, "is"):
	case cut("ies", "y"), cut("ches", "ch"), cut("shes", "sh"), cut("xes", "x"), cut("sses", "ss"):
	default:
		cut("s", "")
	}
	if len(w) >= enough+3 && !cut("ing", "") {
		cut("ed", "")
	}
	if len(w) > enough {
		cut("e", "")
	}
	return w
}
