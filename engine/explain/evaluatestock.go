package explain

import (
	"fmt"
	"math"

	"gusset/engine/machine"
	"gusset/engine/pack"
	"gusset/engine/program"
	"gusset/units"
)

// stockCall is one use of stock_needed with the values that it is given.
type stockCall struct {
	node  int32 // the OpStock
	at    *frame
	table *program.Table
	rows  []int32 // of the table, one for each of the list
	list  []pack.Piece
	stock machine.Stock

	plan  pack.Plan
	fault pack.Fault
}

// effortOfCut is how many nodes making a plan of cuts is counted as.
const effortOfCut = 10_000

// stock finds how many whole stocks it takes to cut the pieces of all rows.
func (ev *evaluator) stock(i int32, f *frame) float64 {
	c, sound := ev.stockCall(i, f)
	if !sound || i == ev.readOnly {
		return math.NaN()
	}
	ev.steps += effortOfCut
	needed := 0
	if ev.cuts != nil {
		c.plan, c.fault = c.stock.Cut(c.list)
		needed = c.plan.Needed()
		*ev.cuts = append(*ev.cuts, c)
	} else {
		needed, c.fault = c.stock.Needed(c.list)
	}
	if c.fault.Kind != pack.NoFault {
		return ev.refused(c)
	}
	return float64(needed)
}

// stockCall works out what a use of stock_needed is given, and reports whether all of it has a value.
func (ev *evaluator) stockCall(i int32, f *frame) (c stockCall, sound bool) {
	parts := ev.st.Operands(i)
	c = stockCall{node: i, at: f, stock: machine.Stock{
		Long: ev.eval(parts[program.StockLong], f), Wide: ev.eval(parts[program.StockWide], f),
		Kerf: ev.eval(parts[program.StockKerf], f),
	}}
	sound = ev.eachRow(parts[program.StockPieces], f, func(at *frame) bool {
		of := func(part int) float64 { return ev.eval(parts[part], at) }
		turn := of(program.StockTurn)
		p := pack.Piece{
			Count: of(program.StockPieces), Long: of(program.StockPieceLong), Wide: of(program.StockPieceWide),
			MayTurn: turn == 1,
		}
		c.rows, c.list = append(c.rows, at.at), append(c.list, p)
		return program.IsNumber(p.Count) && program.IsNumber(p.Long) && program.IsNumber(p.Wide) && program.IsNumber(turn)
	})
	c.table, _ = ev.st.ListRows(parts[program.StockPieces], f.describe(&program.Env{}))
	for _, x := range []float64{c.stock.Long, c.stock.Wide, c.stock.Kerf} {
		sound = sound && program.IsNumber(x)
	}
	return c, sound
}

// refused notes why there is no plan.
func (ev *evaluator) refused(c stockCall) float64 {
	parts := ev.st.Operands(c.node)
	var row string
	var piece pack.Piece
	if c.fault.Kind >= pack.BadSize {
		row, piece = ev.st.Texts.At(c.table.RowName[c.rows[c.fault.Piece]]), c.list[c.fault.Piece]
	}
	sized := func(part int, long, wide float64) string {
		return ev.measure(c, part, long).Quantity() + " x " + ev.measure(c, part+1, wide).Quantity()
	}
	fail := func(part int, code, msg, hint string, notes ...string) float64 {
		return ev.fail(parts[part], code, msg, hint, notes...)
	}
	switch c.fault.Kind {
	case pack.BadStock:
		part := program.StockLong
		if c.stock.Long > 0 && c.stock.Long <= pack.MaxLength {
			part = program.StockWide
		}
		return fail(part, "stock-size", "there is no stock of "+sized(program.StockLong, c.stock.Long, c.stock.Wide),
			"give the length and the width of one sheet or stick as it is bought",
			ev.st.ValueNotes(parts[part], c.at.row)...)
	case pack.BadKerf:
		return fail(program.StockKerf, "stock-kerf",
			"a cut cannot take away "+ev.measure(c, program.StockKerf, c.stock.Kerf).Quantity(),
			"give the thickness of the saw's cut, or 0 for a knife",
			ev.st.ValueNotes(parts[program.StockKerf], c.at.row)...)
	case pack.BadSize:
		part := program.StockPieceLong
		if piece.Long > 0 && piece.Long <= pack.MaxLength {
			part = program.StockPieceWide
		}
		size := sized(program.StockPieceLong, piece.Long, piece.Wide)
		return fail(part, "piece-size", fmt.Sprintf("there is no piece of %s (%s)", size, row),
			"a piece is longer and wider than 0")
	case pack.BadCount:
		hint := "give 0 or more"
		if piece.Count > 0 {
			hint = "round it up with ceil(); of pieces that are nested in pairs, count the pairs"
		}
		count := ev.st.Texts.Format(piece.Count, program.PlainType, &program.Show{})
		return fail(program.StockPieces, "piece-count",
			fmt.Sprintf("pieces are whole and not below 0, but of %s there are %s", row, count), hint)
	case pack.TooMany:
		return fail(program.StockPieces, "too-many-pieces",
			fmt.Sprintf("there are more than the %d pieces that one plan takes", pack.MaxPieces),
			"filter the rows, one call for each kind of stock")
	case pack.DoesNotFit:
		return ev.tooLarge(c, row, piece)
	}
	panic(fmt.Sprintf("no rule for fault %d of a plan of cuts", c.fault.Kind))
}

// tooLarge notes that a piece does not fit the stock, with both sizes and a way out.
func (ev *evaluator) tooLarge(c stockCall, row string, piece pack.Piece) float64 {
	part, way := program.StockPieceWide, "take wider stock, or glue it up from strips"
	if piece.Long > c.stock.Long {
		part, way = program.StockPieceLong, "take longer stock, or make it of shorter pieces with a splice"
		if piece.Wide > c.stock.Wide {
			way = "take larger stock, or make it of smaller pieces"
		}
	}
	if !piece.MayTurn && piece.Long <= c.stock.Wide && piece.Wide <= c.stock.Long {
		way = "take wider stock, glue it up from strips, or, where its grain may run across, let it be turned"
	}
	sizes := []*Value{
		ev.measure(c, program.StockPieceLong, piece.Long), ev.measure(c, program.StockPieceWide, piece.Wide),
		ev.measure(c, program.StockLong, c.stock.Long), ev.measure(c, program.StockWide, c.stock.Wide),
	}
	MoreDigits(func() bool {
		apart := func(piece, stock *Value) bool { p, _ := piece.Printed(); s, _ := stock.Printed(); return p > s }
		return apart(sizes[0], sizes[2]) == (piece.Long > c.stock.Long) &&
			apart(sizes[1], sizes[3]) == (piece.Wide > c.stock.Wide)
	}, sizes...)
	msg := fmt.Sprintf("%s, %s x %s, does not fit the stock, %s x %s",
		row, sizes[0].Quantity(), sizes[1].Quantity(), sizes[2].Quantity(), sizes[3].Quantity())
	return ev.fail(ev.st.Operands(c.node)[part], "does-not-fit", msg, way)
}

// measure returns a length as a part of the call is shown.
func (ev *evaluator) measure(c stockCall, part int, si float64) *Value {
	node := ev.st.Operands(c.node)[part]
	show := *nodeShow(ev.st, node)
	if step, ok := benchSteps[show.Unit.String()]; ok && !show.Step.Given() {
		if n := si / show.Unit.ToSI(step.Value()); part != program.StockKerf || math.Abs(n-math.Round(n)) < 1e-9 {
			show.Step = step // a kerf that is finer than that is shown as it is
		}
	}
	v := printNumber(ev.st, si, ev.st.TypeAt(node), &show)
	return &v
}

// benchSteps is how finely lengths are marked out on wood, where the sheet does not say.
var benchSteps = map[string]units.Step{"in": benchStep("1/64"), "mm": benchStep("0.1"), "cm": benchStep("0.01")}

func benchStep(s string) units.Step {
	step, _ := units.ParseStep(s)
	return step
}
