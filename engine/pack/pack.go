package pack

import "math"

// MaxPieces is how many pieces one job may have in all.
const MaxPieces = 2000

// StepsPerPiece is how much searching a job gets that does not say, for each of its pieces and as for 200 at least. 200
// pieces take well under 50 ms with it.
const StepsPerPiece = 6_000

// Job is what is to be cut from what.
type Job struct {
	Pieces []Piece
	Long   float64 // of one stock, along the grain
	Wide   float64 // of one stock, across the grain
	Kerf   float64 // what one cut takes away
	Steps  int     // of searching, at most; 0 stands for StepsPerPiece
}

// Piece is one row of the cutting list: so many pieces of one size.
type Piece struct {
	Long    float64 // along the grain
	Wide    float64 // across the grain
	Count   float64 // how many: a whole number, not below 0
	MayTurn bool    // the grain may also run across it
}

// Plan says how many stocks a job takes and where each piece is.
type Plan struct {
	Stocks []Stock // the fullest first, counted with kerfs, and where pieces are in a row by length alone
	Bound  int     // it cannot be done with fewer stocks than these
	Proven bool    // Bound is the number of Stocks: there is no better plan
	Steps  int     // how many steps of searching it took
}

// Needed returns how many whole stocks the job takes.
func (p Plan) Needed() int { return len(p.Stocks) }

// Stock is one sheet or stick and what is cut from it.
type Stock struct {
	Placed   []Placed // by Y, then by X
	Offcuts  []Rect   // free rectangles that do not overlap, a cut apart from the pieces and one another, largest first
	Used     float64  // the pieces' share of the area
	Straight bool     // it can be cut up with nothing but cuts from edge to edge of what is being cut
}

// Placed is one piece in its place.
type Placed struct {
	Piece  int // its index in Job.Pieces
	Number int // which of that row's pieces it is, from 0
	Turned bool
	Rect
}

// Rect is a rectangle on a stock; X and Long run along the grain of the stock, from its corner.
type Rect struct {
	X, Y       float64
	Long, Wide float64
}

// FaultKind is what is wrong with a job.
type FaultKind uint8

// The kinds of faults.
const (
	NoFault    FaultKind = iota
	BadStock             // Long or Wide is not a number above 0, or is one beyond all measure
	BadKerf              // Kerf is not a number of at least 0, or is one beyond all measure
	BadSteps             // Steps is below 0
	BadSize              // a piece's Long or Wide is not a number above 0, or is one beyond all measure
	BadCount             // a piece's Count is not a whole number of at least 0
	TooMany              // with this row there are more than MaxPieces
	DoesNotFit           // a piece is larger than the stock, whichever way it may be turned
)

// Fault is the first thing that is wrong with a job; the zero Fault means that nothing is.
type Fault struct {
	Kind  FaultKind
	Piece int // index of the row concerned; 0 where the fault is not with a row
}

// Cut makes a plan for a job. Where there is a fault there is no plan.
//
// The number of stocks does not depend on the order of the rows, nor on whether equal pieces are in one row or in
// several.
func Cut(job Job) (Plan, Fault) {
	items, fault := itemsOf(job)
	if fault.Kind != NoFault {
		return Plan{}, fault
	}
	steps := job.budget(items)
	p, sheets, bound := solve(items, steps, false)
	return Plan{
		Stocks: newWriter(p, job).stocks(sheets),
		Bound:  bound,
		Proven: bound == len(sheets),
		Steps:  steps.used,
	}, Fault{}
}

// Needed returns how many stocks the plan of a job takes, without making the plan: it ends as soon as there can be no
// better one.
func Needed(job Job) (int, Fault) {
	items, fault := itemsOf(job)
	if fault.Kind != NoFault {
		return 0, fault
	}
	_, sheets, _ := solve(items, job.budget(items), true)
	return len(sheets), Fault{}
}

// budget returns the steps of searching that a job gets.
func (j *Job) budget(items []item) *budget {
	limit := j.Steps
	if limit == 0 {
		limit = StepsPerPiece * max(200, len(items))
	}
	return &budget{limit: limit}
}

// MaxLength is the most that a length may be, far from where sums of lengths become infinite.
const MaxLength = 1e100

// check looks for the first fault of a job.
func check(job Job) Fault {
	positive := func(v float64) bool { return v > 0 && v <= MaxLength }
	switch {
	case !positive(job.Long) || !positive(job.Wide):
		return Fault{Kind: BadStock}
	case !(job.Kerf >= 0 && job.Kerf <= MaxLength):
		return Fault{Kind: BadKerf}
	case job.Steps < 0:
		return Fault{Kind: BadSteps}
	}
	total := 0
	for i, piece := range job.Pieces {
		count := math.Round(piece.Count)
		switch {
		case !(piece.Count >= 0) || math.Abs(piece.Count-count) > tolerance*count:
			return Fault{BadCount, i}
		case float64(total)+count > MaxPieces:
			return Fault{TooMany, i}
		case count == 0: // asks for nothing, whatever its size
		case !positive(piece.Long) || !positive(piece.Wide):
			return Fault{BadSize, i}
		}
		total += int(count)
	}
	return Fault{}
}
