package units

import "unicode/utf8"

// vulgar lists the fractions that are one character.
var vulgar = map[rune]exact{
	'½': {n: 1, d: 2}, '¼': {n: 1, d: 4}, '¾': {n: 3, d: 4},
	'⅛': {n: 1, d: 8}, '⅜': {n: 3, d: 8}, '⅝': {n: 5, d: 8}, '⅞': {n: 7, d: 8},
	'⅓': {n: 1, d: 3}, '⅔': {n: 2, d: 3}, '⅕': {n: 1, d: 5}, '⅖': {n: 2, d: 5}, '⅗': {n: 3, d: 5}, '⅘': {n: 4, d: 5},
	'⅙': {n: 1, d: 6}, '⅚': {n: 5, d: 6}, '⅒': {n: 1, d: 10},
}

func (p *numberParser) vulgar() (exact, bool) {
	if p.at == p.end || p.text[p.at] < utf8.RuneSelf {
		return exact{}, false
	}
	r, n := utf8.DecodeRuneInString(p.rest())
	x, ok := vulgar[r]
	if ok {
		p.at += n
	}
	return x, ok
}
