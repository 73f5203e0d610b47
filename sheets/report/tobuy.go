package report

import (
	"slices"

	"gusset/engine"
)

// ToBuy is one line of a shopping list.
type ToBuy struct {
	Place engine.Place // of the number
	Name  string       // of what is bought
	Shown Shown        // how many
	None  bool         // none has to be bought
	For   string       // the row that it is for, where that is not what is bought
}

// ShoppingList is what a table says is to be bought.
type ShoppingList struct {
	Page, Table string
	Lines       []ToBuy
}

// buyColumn is the column by which a table is a shopping list, and stockColumns name what a row is made from, where the
// row is a piece.
const buyColumn = "buy"

var stockColumns = []string{"stock", "used"}

// ShoppingLists returns what is to be bought, table by table: the rows of each table with a column buy.
func ShoppingLists(pages []Page) []ShoppingList {
	var lists []ShoppingList
	for it := range Items(pages) {
		if it.Table == nil {
			continue
		}
		if lines := it.Table.toBuy(); len(lines) > 0 {
			lists = append(lists, ShoppingList{it.Table.Page, it.Table.Name, lines})
		}
	}
	return lists
}

// toBuy returns the lines of a table that is a shopping list; none of another.
func (t *Table) toBuy() []ToBuy {
	named := func(name string) int {
		return slices.IndexFunc(t.Columns, func(c engine.Column) bool { return c.Name == name })
	}
	buy := named(buyColumn)
	if buy < 0 {
		return nil
	}
	what := 0
	for _, name := range stockColumns {
		if k := named(name); k > 0 && t.Len() > 0 && t.Entry(0, k).IsText {
			what = k
			break
		}
	}
	var lines []ToBuy
	for row := range t.Len() {
		v := t.Entry(row, buy)
		if v.IsText {
			continue
		}
		line := ToBuy{Place: v.Place, Name: t.RowName(row), Shown: Show(v), None: v.Status == engine.OK && v.Number == 0}
		if made := t.Entry(row, what); what > 0 && made.Status == engine.OK && made.IsText {
			line.Name, line.For = made.Text, line.Name
		}
		lines = append(lines, line)
	}
	return lines
}
