package machine

// Width is how many draws are worked out at once. With fewer, finding out what an instruction is takes a larger share
// of the time; with more, less of what is at hand stays in the processor's first cache.
const Width = 64

// Block is a value for each draw.
type Block [Width]float64

// Lanes is code for a block of draws at once: see Trace. Nothing of it changes any more once it has been made.
type Lanes struct {
	code    []laneInstr
	parts   []lanePart
	consts  []float64
	fills   []fill  // constants that operands are
	blocks  int     // how many there are
	inputs  []int32 // blocks
	outputs []int32 // blocks, or ^ the number of a constant
	faults  bool    // something may have no result in every draw: see Waiting
	settled []bool  // outputs that read nothing that is lacking in every draw
}

// laneInstr is an instruction of which operands are the numbers of blocks, or where its Op says so of parts. While
// Lanes are made they are the numbers of values, or ^ those of constants.
type laneInstr struct {
	Op         Op
	D, A, B, C int32
}

// What only lanes do. P is a part.
const (
	laneOrElse  = Ops + iota // a if it is there, else b
	laneAsk                  // a; where it is not there the draw has to be worked out alone
	laneAskAt                // a if it is there; else b if register number c waits, which the host may know
	laneLookup               // of the list of part C the value in the row whose name is text a
	lanePlace                // the number of that register
	laneSum                  // the sum of the list of part C
	laneAddKept              // a + c if b, else a
	laneCount                // a + 1 if b, else a; c must be a number
	laneYes                  // a + 1 if b and c is 1, else a
	laneLeast                // the smaller of a and c if b, else a
	laneGreatest
	laneFirst // c if b and a is infinite, else a
	laneLast  // c if b, else a
	laneSame  // whether a and b are the same number
	laneRead  // what is read off at a between the rows of part C
	laneAlone // the instruction of part C, draw by draw
	laneSolve // part C searches for it
)

// lanePart is what does not fit into an instruction.
type lanePart struct {
	list  []int32 // values, or ^ constants; of laneRead three for each row: whether it counts, x and y
	start float64 // of laneSum: what is summed up already
	keys  map[int32]int32
	base  int32 // the register of the first row

	xs, ys []float64 // of laneRead: the rows, if they are the same in every draw and rise

	code []Instr // of laneAlone: one

	LaneSearch
}

// load is a register that code which is run draw by draw reads, and where its value is.
type load struct{ reg, from int32 }

// fill is a block that holds a constant.
type fill struct {
	block int32
	value float64
}

// LaneSearch is a search in all draws of a block.
type LaneSearch struct {
	Number                int32  // of the Search
	loads                 []load // what is read
	x, lo, hi, goal, left int32
	begin, end            int32 // of its code
}

// LaneHost is what LaneRun asks of whoever runs it.
type LaneHost interface {
	// Known is Host.Waiting, where that is the same for all draws.
	Known(reg int32) (waits, known bool)
	// Join is that of Host.
	Join(a, b float64) float64
	// Asked reports whether code that was run draw by draw has asked, since the last time, what is not known.
	Asked() bool
	// SearchLanes leaves what it finds in the block X, and has the code of the search run for it at last.
	SearchLanes(r *LaneRun, s *LaneSearch)
}

// LaneRun runs Lanes with blocks of its own.
type LaneRun struct {
	*Lanes
	Machine *Machine // for what is run draw by draw; what does not vary is in its registers
	Host    LaneHost
	N       int         // how many draws of the block are wanted
	Alone   [Width]bool // draws that have to be worked out alone
	v       []Block
}

// NewRun returns a run of lanes.
func (l *Lanes) NewRun(m *Machine, h LaneHost) *LaneRun {
	r := &LaneRun{Lanes: l, Machine: m, Host: h, v: make([]Block, l.blocks)}
	for _, f := range l.fills {
		for i := range r.v[f.block] {
			r.v[f.block][i] = f.value
		}
	}
	return r
}

// Input returns the block of an input, to be filled in.
func (r *LaneRun) Input(i int) *Block { return &r.v[r.inputs[i]] }

// Output puts the values of an output into to.
func (r *LaneRun) Output(j int, to *Block) {
	if at := r.outputs[j]; at >= 0 {
		*to = r.v[at]
		return
	}
	for i := range to {
		to[i] = r.consts[^r.outputs[j]]
	}
}

// Run works the first n draws of the block out, but those that Alone names afterwards.
func (r *LaneRun) Run(n int) {
	r.N, r.Alone = n, [Width]bool{}
	if !r.stopped() {
		r.run(0, int32(len(r.code)))
	}
}

func (r *LaneRun) stopped() bool { return r.Machine.Stop != nil && r.Machine.Stop.Load() }

// X is what is searched for; Lo and Hi are the ends of its range.
func (r *LaneRun) X(s *LaneSearch) *Block { return &r.v[s.x] }

// Range returns the ends of the range in each draw.
func (r *LaneRun) Range(s *LaneSearch) (lo, hi *Block) { return &r.v[s.lo], &r.v[s.hi] }

// Trial runs the code of a search for what is in X. It returns the goal, and the left side of the condition.
func (r *LaneRun) Trial(s *LaneSearch) (goal, left *Block) {
	if !r.stopped() {
		r.run(s.begin, s.end)
	}
	return &r.v[s.goal], &r.v[s.left]
}

// of returns the value of an entry of a list in a draw.
func (r *LaneRun) of(entry int32, lane int) float64 {
	if entry < 0 {
		return r.consts[^entry]
	}
	return r.v[entry][lane]
}

// load puts what a part reads in a draw into the registers of the Machine.
func (r *LaneRun) load(loads []load, lane int) {
	for _, l := range loads {
		r.Machine.Regs[l.reg] = r.of(l.from, lane)
	}
}

// Load puts what the code of a search reads in a draw into the registers of the Machine, so that this can run it.
func (r *LaneRun) Load(s *LaneSearch, lane int) { r.load(s.loads, lane) }
