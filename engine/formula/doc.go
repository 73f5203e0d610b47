// Package formula reads the text of a formula into a tree.
//
// It is given the text as a builder typed it, and the place in the sheet where it begins. It gives a tree, always, and
// the mistakes that it found, in the order of the text: at most ten, no two of which overlap, each with the exact place
// and, where one helps, a hint that can be typed. What names mean, and what is measured in which unit, it does not
// know.
//
// A formula is read in three steps, each by a type of its own; all three report to one list of mistakes.
//
//  1. The scanner (scan.go, marks.go) cuts the text into tokens. Marks that mean nothing here stand for what was most
//     likely meant by them.
//  2. The mender (mend.go, brackets.go, beside.go) reports the mistakes that people make, and puts out (output.go) a
//     formula without a mistake. So there is a tree whatever is typed, and several mistakes are reported at once.
//  3. The parser of github.com/expr-lang/expr knows what binds how tightly. The tree builder (build.go, coalesce.go)
//     shows it the mended formula with an a in the place of each value: 2 [oz] * f(b) is a*a(a). What it finds is
//     turned into our own tree (tree.go), with the places of the tokens in the builder's text.
//
// Nothing of that parser is seen outside this package, neither its types nor what it complains of.
//
// These hold, and are fuzzed: a tree whose mistakes are none has no Bad in it; every place is within the text; nothing
// that is typed, however long or deep, takes more than bounded time and stack, since a limit that is met makes the
// whole formula one Bad. Places count bytes.
//
// To follow a formula through: "a + 2 oz" comes from the scanner as a, +, 2, oz. The mender takes a and +, then 2 where
// a value has to come, and meets oz with nothing between: it reports that a unit goes in brackets, 2 [oz], and puts out
// one bad value for both. The parser is shown a+a, and the tree is Binary{Add, Name a, Bad}.
package formula
