package machine

import (
	"fmt"
	"math"
)

// fold unrolls a fold. One that is the same in every draw is run now; what is too long, or takes all values at once, is
// left to each draw.
func (t *tracer) fold(in *Instr) {
	f := &t.m.Folds[in.A]
	switch {
	case !t.anyVaries(t.loads(*in)):
		t.now(in)
	case f.Kind == Median, f.Kind.OfPoints(), t.unrolled(f) > mostUnrolled:
		t.alone(in)
	case f.Kind == Interpolate:
		t.set(in.D, t.readOff(f))
	default:
		t.set(in.D, t.tally(f))
	}
}

// unrolled counts the instructions of all rows of a fold.
func (t *tracer) unrolled(f *Fold) float64 {
	each := 1.0
	for _, code := range [][]Instr{f.Keep, f.Each} {
		for i := range code {
			if each++; code[i].Op == FoldRows {
				each += t.unrolled(&t.m.Folds[code[i].A])
			}
		}
	}
	return each * float64(f.Rows)
}

// eachRow goes through the rows of a fold that may count. Keep is a constant 1, or varies, or is not known.
func (t *tracer) eachRow(f *Fold, visit func(keep, x, y int32)) {
	for row := range f.Rows {
		keep := t.constant(1)
		if len(f.Keep) > 0 {
			t.run(f.Keep, row)
			if keep = t.ref(f.KeepReg); keep < 0 && t.consts[^keep] == 0 {
				continue
			}
		}
		t.run(f.Each, row)
		x, y := t.ref(f.EachReg), int32(0)
		if f.Kind == Interpolate {
			y = t.ref(f.OtherReg)
		}
		visit(keep, x, y)
	}
}

// kept holds, for each kind, what brings one more row in, and what there is before the first.
var kept = map[FoldKind]struct {
	op     Op
	before float64
}{
	Sum: {laneAddKept, 0}, Mean: {laneAddKept, 0}, Count: {laneCount, 0},
	All: {laneYes, 0}, Any: {laneYes, 0}, None: {laneYes, 0}, Only: {laneYes, 0},
	Least: {laneLeast, math.Inf(1)}, Greatest: {laneGreatest, math.Inf(-1)},
	First: {laneFirst, math.Inf(1)}, Last: {laneLast, math.Inf(1)},
}

// tally brings the rows of a fold together one by one.
func (t *tracer) tally(f *Fold) int32 {
	how, ok := kept[f.Kind]
	if !ok {
		panic(fmt.Sprintf("no rule for lanes of folds of kind %d", f.Kind))
	}
	sum, rows := t.constant(how.before), t.constant(0)
	t.eachRow(f, func(keep, x, _ int32) {
		switch always := keep < 0 && t.consts[^keep] == 1; {
		case how.op == laneAddKept && always:
			sum = t.add(sum, x)
		default:
			sum = t.fixed(how.op, sum, keep, x)
		}
		if f.Kind == Mean || f.Kind == All {
			rows = t.fixed(laneCount, rows, keep, t.constant(1))
		}
	})
	switch f.Kind {
	case Mean:
		return t.fixed(Div, sum, rows, 0)
	case All:
		return t.fixed(laneSame, sum, rows, 0)
	case Any:
		return t.fixed(Not, t.fixed(laneSame, sum, t.constant(0), 0), 0, 0)
	case None:
		return t.fixed(laneSame, sum, t.constant(0), 0)
	case Only:
		return t.fixed(laneSame, sum, t.constant(1), 0)
	}
	return sum
}

// fixed is emit, but what is the same in every draw is worked out now.
func (t *tracer) fixed(op Op, a, b, c int32) int32 {
	in := laneInstr{Op: op, A: a, B: b, C: c}
	var x [3]float64
	for k, uses := range in.operands() {
		switch ref := [3]int32{a, b, c}[k]; {
		case uses && ref >= 0:
			return t.emit(op, a, b, c)
		case uses:
			x[k] = t.consts[^ref]
		}
	}
	switch op {
	case Div:
		t.faults = t.faults || x[1] == 0 // no rows
		return t.constant(divide(x[0], x[1]))
	case Not:
		return t.constant(1 - x[0])
	case laneSame:
		return t.constant(sameText(x[0], x[1]))
	}
	return t.constant(oneMoreRow(op, x[0], x[1], x[2]))
}

// readOff reads a table off between its rows.
func (t *tracer) readOff(f *Fold) int32 {
	at := t.ref(f.AtReg)
	p := lanePart{}
	fixed := true
	t.eachRow(f, func(keep, x, y int32) {
		p.list = append(p.list, keep, x, y)
		fixed = fixed && keep < 0 && t.consts[^keep] == 1 && x < 0 && y < 0
	})
	if !fixed {
		return t.emit(laneRead, at, 0, t.part(p))
	}
	r := Reading{At: 0, Result: nan()}
	for k := 0; k < len(p.list); k += 3 {
		x, y := t.consts[^p.list[k+1]], t.consts[^p.list[k+2]]
		if !r.Row(x, y) { // in no draw is anything read off
			return t.emit(laneRead, at, 0, t.part(lanePart{list: p.list}))
		}
		p.xs, p.ys = append(p.xs, x), append(p.ys, y)
	}
	p.list = nil
	return t.emit(laneRead, at, 0, t.part(p))
}

// alone leaves an instruction to each draw, unless it comes to the same in all.
func (t *tracer) alone(in *Instr) {
	loads := t.loads(*in)
	if !t.anyVaries(loads) {
		t.now(in)
		return
	}
	p := lanePart{code: []Instr{*in}, LaneSearch: LaneSearch{loads: loads}}
	t.set(in.D, t.emit(laneAlone, 0, 0, t.part(p)))
}

// search goes through a search: what its code gives is worked out once for each trial, in all draws, but for what does
// not depend on the unknown.
func (t *tracer) search(in *Instr) {
	f := &t.m.Searches[in.A]
	p := lanePart{
		LaneSearch: LaneSearch{
			Number: in.A, loads: t.loads(*in), x: t.value(), lo: t.ref(f.Lo), hi: t.ref(f.Hi),
		},
	}
	begin := len(t.code)
	t.set(f.Unknown, p.x)
	t.run(f.Body, 0)
	p.goal, p.left = t.ref(f.Goal), t.ref(f.Left)
	body := append([]laneInstr{}, t.code[begin:]...)
	depends := map[int32]bool{p.x: true}
	hangs := func(in *laneInstr) bool {
		if in.Op == laneSolve { // with all its code
			return true
		}
		found := false
		t.eachUse(in, func(v int32) { found = found || depends[v] })
		return found
	}
	t.code = t.code[:begin]
	inner := int32(0) // how many instructions belong to a search within this one
	var own []laneInstr
	for i := range body {
		switch {
		case inner > 0:
			inner--
		case body[i].Op == laneSolve:
			inner = t.parts[body[i].C].end
		case !hangs(&body[i]):
			t.code = append(t.code, body[i])
			continue
		}
		depends[body[i].D] = true
		own = append(own, body[i])
	}
	p.end = int32(len(own)) // from the instruction on, until all have their places
	t.code = append(append(t.code, laneInstr{Op: laneSolve, D: p.x, C: t.part(p)}), own...)
}

// eachUse visits the values that an instruction reads.
func (t *tracer) eachUse(in *laneInstr, visit func(v int32)) { eachUse(in, t.parts, visit) }
