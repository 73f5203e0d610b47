package machine

import "gusset/engine/pack"

// Cutting holds the registers of what a Fold's StockNeeded takes, by part. The Fold's Each works out those of its
// pieces.
type Cutting [7]int32

// The parts of a Cutting, in the order in which stock_needed is given them.
const (
	pieces = iota
	pieceLong
	pieceWide
	stockLong
	stockWide
	kerf
	mayTurn
)

// CutSteps is how much searching one plan of cuts gets.
const CutSteps = 300_000

// stockNeeded returns how many whole stocks it takes to cut the pieces of all rows.
func (m *Machine) stockNeeded(f *Fold) float64 {
	at := func(part int) float64 { return m.Regs[f.Cut[part]] }
	stock := Stock{Long: at(stockLong), Wide: at(stockWide), Kerf: at(kerf)}
	var list []pack.Piece
	for row := range f.Rows {
		switch keep := m.keeps(f, row); {
		case !finite(keep):
			return nan()
		case keep == 0:
			continue
		}
		m.Run(f.Each, row)
		for _, part := range []int{pieces, pieceLong, pieceWide, mayTurn} {
			if !finite(at(part)) {
				return nan()
			}
		}
		list = append(list, pack.Piece{
			Long: at(pieceLong), Wide: at(pieceWide), Count: at(pieces), MayTurn: at(mayTurn) == 1,
		})
	}
	needed, fault := stock.Needed(list)
	if fault.Kind != pack.NoFault {
		return nan()
	}
	return float64(needed)
}

// Stock is one sheet or stick, of which there are as many as it takes.
type Stock struct{ Long, Wide, Kerf float64 }

// Cut makes the plan of how pieces are cut from the stock, with as much searching as any plan of a sheet gets.
func (s Stock) Cut(list []pack.Piece) (pack.Plan, pack.Fault) {
	return pack.Cut(s.job(list))
}

// Needed returns how many stocks that plan takes.
func (s Stock) Needed(list []pack.Piece) (int, pack.Fault) { return pack.Needed(s.job(list)) }

func (s Stock) job(list []pack.Piece) pack.Job {
	return pack.Job{Pieces: list, Long: s.Long, Wide: s.Wide, Kerf: s.Kerf, Steps: CutSteps}
}
