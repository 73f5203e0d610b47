// Package search finds what speaks of the words that a builder types, the best first. It knows the trade's words that
// mean the same, which are in words.txt, and imports nothing of ours.
package search

import (
	"cmp"
	"math"
	"slices"
)

// Thing is something that can be found: how much a word counts depends on where it stands.
type Thing struct {
	Name  string
	Title string // what it is, in a sentence
	More  string // all else that is said of it
	Place string // the headings that it stands under
}

// What a word counts, where it stands.
const (
	inName  = 10
	inTitle = 5
	inMore  = 2
	inPlace = 1
)

// What a word counts less when it is not the one that was typed.
const (
	anotherWord = 0.9  // one that means the same
	furtherWord = 0.05 // and by how much less each further one on its line
	leastWord   = 0.5
	longerWord  = 0.6 // one that begins with it
)

// Find returns the numbers of the things that speak of most of what is typed, the best first, and whether they speak of
// all of it.
func Find(things []Thing, typed string) (found []int, all bool) {
	wanted := termsOf(stems(typed))
	if len(wanted) == 0 {
		return nil, false
	}
	counts := make([][]float64, len(things)) // of each thing, for each term
	known := make([]float64, len(wanted))    // how many things speak of a term
	for i, t := range things {
		counts[i] = t.counts(wanted)
		for k, c := range counts[i] {
			if c > 0 {
				known[k]++
			}
		}
	}
	most := 1
	scores := make([]float64, len(things))
	met := make([]int, len(things))
	for i, t := range things {
		for k, c := range counts[i] {
			if c > 0 {
				met[i]++
				scores[i] += c * math.Log(1+float64(len(things))/known[k]) // a rare word says more
			}
		}
		most = max(most, met[i])
		scores[i] += t.closeness(wanted)
	}
	for i := range things {
		if met[i] == most {
			found = append(found, i)
		}
	}
	slices.SortStableFunc(found, func(a, b int) int { return cmp.Compare(scores[b], scores[a]) })
	return found, len(found) > 0 && most == len(wanted)
}

// counts tells what each of the terms counts in a thing; 0 where it is not spoken of.
func (t Thing) counts(wanted []term) []float64 {
	counts := make([]float64, len(wanted))
	for _, part := range []struct {
		text   string
		weight float64
	}{{t.Name, inName}, {t.Title, inTitle}, {t.More, inMore}, {t.Place, inPlace}} {
		words := stems(part.text)
		for k, w := range wanted {
			counts[k] = max(counts[k], part.weight*w.share(words))
		}
	}
	return counts
}

// closeness is what a name counts more that has little beside what is asked for.
func (t Thing) closeness(wanted []term) float64 {
	name := stems(t.Name)
	covered := 0.0
	for _, w := range wanted {
		if w.share(name) == 1 {
			covered += float64(len(w.ways[0]))
		}
	}
	return inName * covered / float64(max(len(name), 1))
}

// term is one thing that is asked for, in all the ways to say it: first as it was typed.
type term struct{ ways [][]string }

// share tells how well some words say it: 1 as it was typed, 0 not at all.
func (t term) share(words []string) float64 {
	best := 0.0
	for i, way := range t.ways {
		share := 1.0
		if i > 0 {
			share = max(leastWord, anotherWord-furtherWord*float64(i-1))
		}
		if at := indexOf(words, way, false); at < 0 {
			if share *= longerWord; indexOf(words, way, true) < 0 {
				continue
			}
		}
		best = max(best, share)
	}
	return best
}

// indexOf finds a run of words among others; longer lets the last of them go on.
func indexOf(words, run []string, longer bool) int {
	last := len(run) - 1
	for i := range len(words) - last {
		same := slices.Equal(words[i:i+last], run[:last])
		switch end := words[i+last]; {
		case same && end == run[last]:
			return i
		case same && longer && len(run[last]) >= shortestBeginning && len(end) > len(run[last]) &&
			end[:len(run[last])] == run[last]:
			return i
		}
	}
	return -1
}

// shortestBeginning is how many letters tell what a longer word is about.
const shortestBeginning = 4

// Alike reports whether two names have most letters in common at their ends, so that the one can be a slip for the
// other.
func Alike(typed, name string) bool {
	short, i, k := min(len(typed), len(name)), 0, 0
	for i < short && typed[i] == name[i] {
		i++
	}
	for k < short-i && typed[len(typed)-1-k] == name[len(name)-1-k] {
		k++
	}
	return 10*(i+k) >= 7*max(len(typed), len(name))
}
