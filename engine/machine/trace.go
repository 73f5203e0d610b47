package machine

import "math"

// Limits on lanes: a sheet that goes beyond is worked out draw by draw, and a fold that does alone.
const (
	mostLaneCode = 400_000 // instructions
	mostUnrolled = 100_000 // instructions of one fold, for all its rows
	mostBlocks   = 16_384  // which take 8 MB for each run
)

// tracer makes Lanes of code. It goes through the code as a run would, and works out at once what is the same in every
// draw; for the rest it keeps instructions of which each gives a value of its own. Folds are unrolled: of most tables
// only a few entries vary. What has been worked out already is not worked out twice.
type tracer struct {
	m     *Machine // its registers hold what comes of the code in some draw, and so what is the same in all
	known func(reg int32) (waits, known bool)

	slots  int32   // registers below are those of slots
	val    []int32 // of each register the number of its value; -1: it is the same in every draw
	made   []bool  // registers that the code has written
	values int32   // how many there are
	code   []laneInstr
	parts  []lanePart
	same   map[laneInstr]int32 // values by the instruction, without D, that gives them
	consts []float64
	number map[uint64]int32 // of a constant
	faults bool             // something may have no result in every draw, rather than wait
}

// Trace makes Lanes of code, in which some registers vary from draw to draw, for some that are looked at. The
// registers of m hold what comes of the code in some draw, those of slots first; those of values on the way are
// written over. Known tells whether a slot that holds no number waits for something not given, if that is the same for
// all draws. It returns nil where the lanes would be too large.
func (m *Machine) Trace(
	code []Instr, slots int, inputs, outputs []int32, known func(reg int32) (waits, known bool),
) *Lanes {
	t := &tracer{
		m: m, known: known, slots: int32(slots), val: make([]int32, len(m.Regs)), made: make([]bool, len(m.Regs)),
		same: map[laneInstr]int32{}, number: map[uint64]int32{},
	}
	for reg := range t.val {
		t.val[reg] = -1
	}
	for _, reg := range inputs {
		if t.val[reg] < 0 {
			t.val[reg] = t.value()
		}
	}
	from := make([]int32, len(inputs))
	for i, reg := range inputs {
		from[i] = t.val[reg]
	}
	t.run(code, 0)
	if len(t.code) > mostLaneCode {
		return nil
	}
	to := make([]int32, len(outputs))
	for j, reg := range outputs {
		to[j] = t.ref(reg)
	}
	l := &Lanes{code: t.code, parts: t.parts, consts: t.consts, inputs: from, outputs: to, faults: t.faults}
	l.findSettled(t.values)
	l.dropUnused(t.values)
	l.place(t.values)
	if l.blocks > mostBlocks {
		return nil
	}
	return l
}

func (t *tracer) value() int32 {
	t.values++
	return t.values - 1
}

func (t *tracer) constant(x float64) int32 {
	bits := math.Float64bits(x)
	k, ok := t.number[bits]
	if !ok {
		k = int32(len(t.consts))
		t.number[bits], t.consts = k, append(t.consts, x)
	}
	return ^k
}

// ref returns the value of a register, or ^ the number of a constant.
func (t *tracer) ref(reg int32) int32 {
	if t.val[reg] >= 0 {
		return t.val[reg]
	}
	return t.constant(t.fixedAt(reg))
}

// fixedAt returns the value of a register that is the same in every draw.
func (t *tracer) fixedAt(reg int32) float64 {
	x := t.m.Regs[reg]
	switch {
	case math.IsInf(x, 0): // too large, or there was no row
		t.faults = true
	case !math.IsNaN(x) || t.made[reg]: // what the code has written has been looked at
	case reg >= t.slots:
		t.faults = true
	default:
		waits, known := t.known(reg)
		t.faults = t.faults || !waits || !known
	}
	return x
}

func (t *tracer) varies(reg int32) bool { return t.val[reg] >= 0 }

// set gives a register a value.
func (t *tracer) set(reg, ref int32) {
	t.made[reg] = true
	if t.val[reg] = ref; ref < 0 {
		t.val[reg], t.m.Regs[reg] = -1, t.consts[^ref]
	}
}

// emit keeps an instruction and returns the value that it gives.
func (t *tracer) emit(op Op, a, b, c int32) int32 {
	in := laneInstr{Op: op, A: a, B: b, C: c}
	if v, ok := t.same[in]; ok {
		return v
	}
	v := t.value()
	t.same[in] = v
	in.D = v
	t.code = append(t.code, in)
	return v
}

// part keeps a part and returns its number.
func (t *tracer) part(p lanePart) int32 {
	t.parts = append(t.parts, p)
	return int32(len(t.parts) - 1)
}

// run goes through code.
func (t *tracer) run(code []Instr, row int32) {
	for i := range code {
		if len(t.code) > mostLaneCode || t.m.Stop != nil && t.m.Stop.Load() {
			return
		}
		in := code[i]
		if of := in.Op.Shape().Then; of != 0 {
			in.Op = of
		}
		t.step(&in, row)
	}
}

// step goes through an instruction. All that picks one of several values, and knows which, needs no instruction.
func (t *tracer) step(in *Instr, row int32) {
	switch in.Op {
	case Move:
		t.set(in.D, t.ref(in.A))
	case RowLoad:
		t.set(in.D, t.ref(in.A+row))
	case RowPlace:
		t.set(in.D, t.constant(float64(in.A+row)))
	case Choose, Guard, And, Or:
		if !t.picked(in) {
			t.plain(in)
		}
	case Lookup, LookupPlace:
		t.lookup(in)
	case FirstGiven:
		t.set(in.D, t.given(t.ref(in.A), t.ref(in.B), in.A))
	case FirstGivenAt:
		t.givenAt(in)
	case SumRange:
		t.sumRange(in)
	case SumProducts:
		t.sumProducts(in)
	case FoldRows:
		t.fold(in)
	case StockNeeded:
		t.alone(in)
	case Solve:
		t.search(in)
	default:
		t.plain(in)
	}
}

// plain goes through an instruction that works values out one by one.
func (t *tracer) plain(in *Instr) {
	one := laneInstr{Op: in.Op}
	at := [3]*int32{&one.A, &one.B, &one.C}
	varies := false
	operands := in.Operands()
	for k, o := range operands[1:] {
		if *at[k] = *o.Value; o.Role == Read {
			varies = varies || t.varies(*o.Value)
		}
	}
	if !varies {
		t.now(in)
		return
	}
	if steps := in.Op.Shape().Plain; len(steps) == 2 && in.D != in.C { // which the second reads
		if first := in.step(steps[0], in.D); !t.varies(first.A) && !t.varies(first.B) {
			second := in.step(steps[1], in.D)
			t.plain(&first)
			t.plain(&second)
			return
		}
	}
	for k, o := range operands[1:] {
		if o.Role == Read {
			*at[k] = t.ref(*o.Value)
		}
	}
	t.set(in.D, t.emit(one.Op, one.A, one.B, one.C))
}

// now runs an instruction that comes to the same in every draw.
func (t *tracer) now(in *Instr) {
	sound := true
	operands := in.Operands()
	for _, o := range operands[1:] {
		if o.Role == Read {
			sound = finite(t.fixedAt(*o.Value)) && sound
		}
	}
	t.m.Run([]Instr{*in}, 0)
	t.faults = t.faults || sound && !finite(t.m.Regs[in.D])
	t.val[in.D], t.made[in.D] = -1, true
}

// picked goes through a choice or a condition that is the same in every draw, or half of one.
func (t *tracer) picked(in *Instr) bool {
	at := func(reg int32) float64 { // NaN also where it varies
		if t.varies(reg) {
			return nan()
		}
		return t.fixedAt(reg)
	}
	a, b := at(in.A), at(in.B)
	pick := func(reg int32) bool {
		t.set(in.D, t.ref(reg))
		return true
	}
	switch {
	case in.Op == Choose && a == 1, in.Op == And && a == 1, in.Op == Or && a == 0:
		return pick(in.B)
	case in.Op == Choose && a == 0:
		return pick(in.C)
	case in.Op == Guard && b == 1, in.Op == And && b == 1, in.Op == Or && b == 0:
		return pick(in.A)
	case in.Op == Choose && !t.varies(in.A), in.Op == Guard && b == 0: // else what it guards may fail all the same
		t.faults = t.faults || in.Op == Guard
		t.set(in.D, t.constant(nan()))
		return true
	case in.Op == And && (a == 0 || b == 0):
		t.set(in.D, t.constant(0))
		return true
	case in.Op == Or && (a == 1 || b == 1):
		t.set(in.D, t.constant(1))
		return true
	}
	return false
}

// lookup goes through a row that is found by its name.
func (t *tracer) lookup(in *Instr) {
	if !t.varies(in.A) {
		row, ok := t.m.find(in)
		switch {
		case !ok:
			t.faults = t.faults || finite(t.fixedAt(in.A))
			t.set(in.D, t.constant(nan()))
		case in.Op == Lookup:
			t.set(in.D, t.ref(in.B+row))
		default:
			t.set(in.D, t.constant(float64(in.B+row)))
		}
		return
	}
	p := lanePart{keys: t.m.Keys[in.C], base: in.B}
	op := lanePlace
	if in.Op == Lookup {
		op = laneLookup
		for row := range rowsOf(p.keys) {
			p.list = append(p.list, t.ref(in.B+row))
		}
	}
	t.set(in.D, t.emit(op, t.ref(in.A), 0, t.part(p)))
}

// rowsOf returns how many rows keys may lead to.
func rowsOf(keys map[int32]int32) (rows int32) {
	for _, row := range keys {
		rows = max(rows, row+1)
	}
	return rows
}

// given returns a value if it is there, or else another, if the register that it comes from waits.
func (t *tracer) given(a, b, reg int32) int32 {
	if a < 0 && finite(t.consts[^a]) {
		return a
	}
	switch waits, known := t.known(reg); {
	case !known:
		return t.emit(laneAsk, a, 0, 0)
	case !waits:
		return a
	case a < 0:
		return b
	}
	return t.emit(laneOrElse, a, b, 0)
}

func (t *tracer) givenAt(in *Instr) {
	a, b := t.ref(in.A), t.ref(in.B)
	if t.varies(in.C) {
		t.set(in.D, t.emit(laneAskAt, a, b, t.ref(in.C)))
	} else if at := t.fixedAt(in.C); finite(at) {
		t.set(in.D, t.given(a, b, int32(at)))
	} else {
		t.set(in.D, a)
	}
}

func (t *tracer) sumRange(in *Instr) {
	p := lanePart{}
	for k := range in.B {
		if reg := in.A + k; len(p.list) == 0 && !t.varies(reg) {
			p.start += t.fixedAt(reg)
		} else {
			p.list = append(p.list, t.ref(reg))
		}
	}
	if len(p.list) == 0 {
		t.set(in.D, t.constant(p.start))
		return
	}
	t.set(in.D, t.emit(laneSum, 0, 0, t.part(p)))
}

func (t *tracer) sumProducts(in *Instr) {
	sum := t.constant(0)
	for k := range in.C {
		a, b := in.A+k, in.B+k
		if t.varies(a) || t.varies(b) {
			sum = t.emit(MulAdd, t.ref(a), t.ref(b), sum)
			continue
		}
		sum = t.add(sum, t.constant(float64(t.fixedAt(a)*t.fixedAt(b))))
	}
	t.set(in.D, sum)
}

// add returns the sum of two values.
func (t *tracer) add(a, b int32) int32 {
	if a < 0 && b < 0 {
		return t.constant(t.consts[^a] + t.consts[^b])
	}
	return t.emit(Add, a, b, 0)
}
