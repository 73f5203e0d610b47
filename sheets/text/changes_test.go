package text

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestCompare(t *testing.T) {
	old := parse(t, `sheet "Rack"
film_price [GBP] : 13.50
glue_price [GBP] : 6.80 // one bottle
old_price : 3
kind : "film"
sure : yes
total = film_price + glue_price
twice_old = 2 * old_price
formula half(x) = x / 2
page Rack
  table rack
    stock | density [lb/cu ft] | price [GBP] | kind
    sheet | 8                  | 2.10        | "flat"
    strip | = film_price       | 0.90        |
    wire  | 490                | 1            | "round"
    value = price
`)
	now := parse(t, `sheet "Rack"
glue_price [GBP] : 6.80 // a bottle
film_price [GBP] : 14
kind : "film" // as ever
sure : no
total = film_price
formula half(x) = 0.5 * x
page Rack
  table rack
    stock | kind   | density [kg/m^3] | price [GBP] | on_hand
    sheet | "flat" | 128              | = film_price | 1
    strip | "long" | 28               | 0.90         | 2
    ply   | "flat" | 43               | 9.80         | 3
    value = price
new_price : 4
`)
	c := Compare(old, now)
	assert.Equal(t, []string{"rack.on_hand", `rack["ply"]`, "new_price"}, c.Added)
	assert.Equal(t, []string{"old_price", "twice_old", `rack["wire"]`}, c.Gone)
	assert.Equal(t, []string{"total", "half( )", `rack["sheet"].price`}, c.Reworked)
	assert.Equal(t, Changes{}, Compare(now, now))
}

func TestCompareOfKinds(t *testing.T) {
	old := parse(t, `given : 5
worked = 5
formula gone(x) = x
table parts
  part | weight [oz] | price
  wing | 3           | 1
  tail | 2 |
  total = weight * price
`)
	now := parse(t, `given = 2 * 3
worked : 5
formula new(x) = x
table parts
  item | weight [oz] | price
  wing | 3           | 1
  tail | 2           | = given
  total = price * weight
`)
	c := Compare(old, now)
	assert.Equal(t, []string{"new( )"}, c.Added)
	assert.Equal(t, []string{"gone( )"}, c.Gone)
	assert.Equal(t, []string{"given", `parts["tail"].price`, "parts.total"}, c.Reworked)
}

// TestGiven: what a builder has given goes by the names that formulas have for it.
func TestGiven(t *testing.T) {
	given := Given(parse(t, `span [in] : 50
area = span * 8
table parts
  part | weight [oz] | price
  wing | 3           | = area
  tail |             | 2
  moment = weight
`))
	got := map[string]string{}
	for name, v := range given {
		got[name] = v.Typed()
	}
	assert.Equal(t, map[string]string{
		"span": "50", `parts["wing"].weight`: "3", `parts["tail"].weight`: "", `parts["tail"].price`: "2",
	}, got)
}
