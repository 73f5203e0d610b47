package workbook

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
)

// edges is a sheet of formulas whose values hang on what is passed over: the second side of a condition that
// the first has decided, a row that does not count, an entry that nobody asks for; and of those where the last
// digits decide.
const edges = `sheet "Edges"
formula plain(x) = x
  needs x > 0
formula unless_both(x, y) = x
  needs not (x > 5 and y > 2)
formula missed(c [yes/no]) [yes/no] = not c
formula unless_missed(x, y) = x
  needs missed(x > 5 and y > 2)
formula both(x, y) = x + y
  needs x > 2
  needs y > 0
formula first_of(x, y) = x
  needs x > 2
  needs y > 0
formula joined(x, y) = x
  needs x > 2 and y > 0 and not (x > 9 or y > 9)
formula checked(x) = x + sum(map(cut, plain(.long / 1 [in])))
  needs x > 0

page Edges
  blank :
  blank_long [in] :
  no_key :
  one : 1
  fitted : no
  word : "b"
  table cut
    piece | long [in] | wide [in] | wanted | heavy [oz]
    a | 4 | 1 | yes | 3
    b | 0 | | no | = 1 [oz] / (one - 1)
    c | 8 | 2 | yes | = 2 [oz] * blank
    d | 6 | 3 | yes | 5
    share = 1 [in] / long
  which : "Rib"
  table alike
    n | v
    rib | 1
    Rib | 2
  table warmth
    n | at [degC] | felt [degF]
    a | 10 | 50
    b | 20 | 70
  table half_made
    n | heavy [oz]
    a | 3
    b | = 1 [oz] / (one - 1)
  table none_wanted
    piece | long [in] | wanted
    a | 4 | no
  table curve
    n | x [in] | y [oz]
    a | 0 | 1
    b | 10 | 3
  table late
    n | x [in] | y [oz]
    a | 0.3 | 1
    b | 10 | 3
  table slack
    n | x [in] | y [oz]
    a | 0 | 1
    b | 10 | 3
    c | 10 | 4
    d | 20 | 5
  e1 = fitted and blank > 1 and blank < 3 ? 1 : 2
  e2 = not fitted or blank > 1 or blank < 3 ? 1 : 2
  e3 = (fitted ? blank : one) > 0 and blank > 3 ? 1 : 2
  e4 = (fitted ? blank : one) < 0 and blank > 3 ? 1 : 2
  e5 = unless_both(one, blank)
  e6 [oz] = first(cut.heavy)
  e7 [oz] = last(cut.heavy)
  e8 = len(cut.heavy)
  e9 = count(map(cut, .heavy / 1 [oz]))
  e10 = len([fitted ? 3 : 4, 5])
  e11 = first([one, one / (one - 1)])
  e12 = last([one / (one - 1), one])
  e13 [in] = sum(filter(none_wanted, .wanted), .long * blank)
  e14 = count(filter(filter(cut, .wanted), .wide > 1 [in]))
  e15 [in] = sum(filter(filter(cut, .wanted), .wide > 1 [in]), .wide)
  e16 = count(filter(cut, .wanted and .wide > 1 [in]))
  e17 [oz] = cut[no_key].heavy ?? 2 [oz]
  e18 [in] = cut[no_key].long ?? 2 [in]
  e19 [in] = cut[word].wide ?? 2 [in]
  e20 [oz] = cut[word].heavy ?? 2 [oz]
  e21 [oz] = interpolate(-1 [in] * one, curve.x, curve.y)
  e22 [oz] = e21 ?? 2 [oz]
  e81 [oz] = interpolate(0.3 [in] * one - 1e-13 [in], late.x, late.y)
  e82 [oz] = interpolate((7.1 [in] + 2.9 [in]) * one + 4e-13 [in], curve.x, curve.y)
  e23 [oz] = interpolate(11 [in] * one, curve.x, curve.y)
  e24 [oz] = e23 ?? 2 [oz]
  e25 [oz] = interpolate(15 [in] * one, slack.x, slack.y)
  e26 [oz] = first(filter(cut, .wanted).heavy)
  e27 [oz] = first(filter(cut, .long < 5 [in]).heavy)
  e28 [oz] = e27 ?? 2 [oz]
  e29 = checked(one)
  e30 = sum(filter(cut, .long > 0 [in]), checked(.long / 1 [in]))
  e31 = sum(map(filter(cut, .wanted), .wide / 1 [in]))
  e32 [oz] = find(cut, .long > 7 [in]).heavy
  e33 [in] = find(cut, .long > 7 [in]).wide
  e34 = any(none_wanted, .wanted and .long * blank > 1 [in]) ? 1 : 2
  e35 [in] = blank_long ?? cut["b"].wide ?? 3 [in]
  e36 = fitted == (blank > 1) ? 1 : 2
  e37 = first(cut.share)
  e38 = len(cut.share)
  e39 = last(cut.share)
  e40 = len(filter(cut, .long < 5 [in]).wide)
  e41 [degC] = interpolate(15 [degC], warmth.at, warmth.felt)
  e42 = first(map(cut, .long / .long))
  e43 = len(map(cut, .long / .long))
  e44 [oz] = sum(half_made.heavy)
  e45 [oz] = e44 ?? 2 [oz]
  e46 [oz] = sum(filter(half_made, .heavy > 1 [oz]).heavy)
  e47 [oz] = e46 ?? 2 [oz]
  e50 [oz] = interpolate(1 [oz] * one, half_made.heavy, half_made.heavy)
  e51 [oz] = e50 ?? 2 [oz]
  u1 [in oz] = area_under(slack.x, slack.y) * one
  u2 [in oz] = area_under(cut.long, cut.heavy)
  u3 [in^2] = area_under(cut.long, cut.long)
  u4 [in^2] = u3 ?? 2 [in^2]
  u5 [oz^2] = area_under(half_made.heavy, half_made.heavy)
  e52 = one + count(filter(cut, .long > 5 [in]))
  e53 [in] = min(filter(none_wanted, .wanted).long)
  e54 [in] = max(filter(none_wanted, .wanted).long)
  e55 [in] = mean(filter(none_wanted, .wanted).long)
  e56 [in] = median(filter(none_wanted, .wanted).long)
  e57 [in] = last(filter(none_wanted, .wanted).long)
  e58 = one(none_wanted, .wanted) or all(filter(none_wanted, .wanted), .long > 3 [in]) ? 1 : 2
  e59 = unless_missed(one, blank)
  e60 = alike[which].v
  n1 = both(one, blank)
  n2 = both(one * 1, blank + 1)
  n3 = both(blank, one * 0)
  n4 = first_of(one, blank)
  n5 = first_of(one * 1, blank + 1)
  n6 = first_of(3 * one, blank + 1)
  n7 = joined(one, blank)
  n8 = joined(10 * one, blank)
  n9 = joined(3 * one, blank)
  n11 = first_of(3 * one, one / (one - 1))
  n12 = n2 ?? 7
  n13 = n4 ?? 7
  n14 = n6 ?? 7
  n15 = n7 ?? 7
  n16 = n9 ?? 7
  n17 = n11 ?? 7
  n18 = n19 ?? 7
  n19 = sum(map(filter(cut, .wanted), both(.wide / 1 [in], blank)))
  e48 = len([one, 2 * one])
  check waiting = blank > 1
  check told = waiting ?? yes
  check either_side = blank > 1 and one > 3
  check other_side = one < 3 or 1 / (one - 1) > 1
  o1 = blank > 1 and one > 3 ? 1 : 2
  o2 = one > 3 and blank > 1 ? 1 : 2
  o3 = 1 / (one - 1) > 1 and one > 3 ? 1 : 2
  o4 = blank > 1 or one < 3 ? 1 : 2
  o5 = 1 / (one - 1) > 1 or one < 3 ? 1 : 2
  o6 = blank > 1 and 1 / (one - 1) > 1 ? 1 : 2
  o7 = 1 / (one - 1) > 1 and blank > 1 ? 1 : 2
  o8 = blank > 1 or 1 / (one - 1) > 1 or one > 3 ? 1 : 2
  o9 = blank > 1 or one > 3 or blank_long > 1 [in] ? 1 : 2
  o10 = count(filter(cut, .heavy > 4 [oz] and .piece == "d"))
  o11 = count(filter(filter(cut, .heavy > 4 [oz]), .piece == "d"))
  o12 = count(filter(cut, .piece == "d" or .heavy > 4 [oz]))
  o13 = any(cut, .heavy > 4 [oz] and .piece == "d") ? 1 : 2
  o14 = ln(-one) > 1 and 1 / (one - 1) > 1 and one < 3 ? 1 : 2
  o15 = blank ?? (one + 1)
  o16 = (blank ?? one) + 1
  r1 [in, 0.001] = round(1.005 [in] * one, 0.01 [in])
  r2 = round(100.4999999999995 * one)
  r3 = floor(12345678.9 * one, 0.1)
  r4 = floor((0.1 + 0.2) * 10 * one)
  r5 = ceil(1.0000000004 * one)
  r6 = floor(999999.9999995 * one)
  r7 = floor(-2.9999999999999 * one)
  r8 = ceil(-3.0000000000001 * one)
  r9 = round(-2.4999999999999 * one)
  r10 = round(2.499999999 * one)
  r11 = mod(-0.3 * one, 0.1)
  r12 = mod(7.5, -2 * one)
  r13 = floor(2.5 * one)
  r14 = ceil(1e-9 * one)
  r15 = round(5 * one, one - 1)
  r16 = floor(-7 * one, 2)
  o17 = (blank > 1 or one < 3) == (one > 0) and one > 0 ? 1 : 2
  o18 = (one > 0 and one * blank > 3) and one < 9 ? 1 : 2
  o19 = (one > 0) == (blank > 1 or one < 3) or one > 5 ? 1 : 2
  e61 = last(map(filter(cut, .wanted), 1 [in] / .long))
  e62 = first(map(filter(cut, .long < 5 [in]), 1 [in] / .long))
  e63 = e62 ?? 7
`

// What waits shows #N/A, and what fails another error: ?? gives way to the one and not to the other.
func TestOfficeAgreesOnEdges(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	m, src := loadText(t, edges)
	for _, d := range m.Problems() {
		require.Contains(t, runtimeCodes, d.Code, "%v", d)
	}
	data, sum, err := Write(m, src)
	require.NoError(t, err)
	assert.Empty(t, sum.NotLive, "all of it follows")
	got := office(t, []officeJob{{In: bytesFile(t, data), Recalculate: true}})[0].After
	agree(t, "edges", m, got, 1e-12)
	for _, s := range planOf(m).spots {
		if s.row > 0 && s.kind != engine.Check && s.value.Status == engine.None {
			c := got.sheet(t, s.page.sheet)[s.local()]
			assert.NotEqual(t, "#N/A", c.Text, "%s: %s", s.called, c.Formula)
		}
	}
	p := planOf(m)
	for name, want := range map[string]engine.Status{ // by hand, from the order of section 9 of the page on the format
		"n1": engine.None, "n2": engine.None, "n3": engine.None, "n4": engine.None, "n5": engine.None,
		"n6": engine.Waits, "n7": engine.None,
		"n8": engine.None, "n9": engine.Waits, "n11": engine.None, "n14": engine.OK, "n16": engine.OK,
	} {
		s := p.spotNamed(name)
		require.Equal(t, want, s.value.Status, name)
		assert.Equal(
			t, want == engine.Waits, got.sheet(t, s.page.sheet)[s.local()].Text == "#N/A", "%s: %s", name,
			got.sheet(t, s.page.sheet)[s.local()].Formula,
		)
	}
}
