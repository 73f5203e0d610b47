package machine

import "math"

// Waiting returns the draws of the last Run in which whatever has no value waits for something that is not given: no
// operation has failed in them. Of other draws nothing is said. It runs the code once more.
func (r *LaneRun) Waiting() (waiting [Width]bool) {
	if r.faults {
		return waiting
	}
	for i := range waiting {
		waiting[i] = !r.Alone[i]
	}
	for at := int32(0); at < int32(len(r.code)); at++ {
		in := &r.code[at]
		failing := r.mayFail(in)
		to := at + 1
		if in.Op == laneSolve {
			to = r.parts[in.C].end // its code comes once more, for what it fails at when the search is done
		}
		r.run(at, to)
		for i, v := range r.v[in.D] {
			if failing[i] == fails || failing[i] == ifNothing && !finite(v) {
				waiting[i] = false
			}
		}
	}
	for _, at := range r.outputs {
		if at >= 0 {
			for i, v := range r.v[at] {
				waiting[i] = waiting[i] && !math.IsInf(v, 0)
			}
		}
	}
	return waiting
}

// failing tells whether an instruction fails in a draw, before it is run.
type failing uint8

const (
	never     failing = iota // what it reads is lacking, or it only picks a value
	ifNothing                // if it comes to nothing
	fails
)

// mayFail looks at what an instruction reads.
func (r *LaneRun) mayFail(in *laneInstr) (all [Width]failing) {
	uses := in.operands()
	for i := range all {
		all[i] = ifNothing
		for k, at := range [3]int32{in.A, in.B, in.C} {
			if !uses[k] {
				continue
			}
			switch v := r.v[at][i]; {
			case math.IsInf(v, 0) && !(k == 0 && in.Op >= laneLeast && in.Op <= laneLast):
				all[i] = fails // it was too large, or there was no row
			case math.IsNaN(v) && all[i] == ifNothing:
				all[i] = never
			}
		}
		switch {
		case all[i] == fails:
		case all[i] == never && in.Op < Ops && r.stepFails(in, i):
			all[i] = fails
		default:
			all[i] = r.failsAt(in, i, all[i])
		}
	}
	return all
}

// stepFails reports whether the first step of a fused operation comes to nothing, where the second lacks something.
func (r *LaneRun) stepFails(in *laneInstr, lane int) bool {
	steps := in.Op.Shape().Plain
	if len(steps) == 0 {
		return false
	}
	a, b := r.v[in.A][lane], r.v[in.B][lane]
	return !math.IsNaN(a) && !math.IsNaN(b) && !finite(steps[0].Op.ofTwo(a, b))
}

// failsAt has the operations that do not just work out something of all that they read.
func (r *LaneRun) failsAt(in *laneInstr, lane int, usual failing) failing {
	switch in.Op {
	case Guard:
		if r.v[in.B][lane] == 0 {
			return fails
		}
		return never
	case And, Or, Not, Choose, laneOrElse, laneAsk, laneAskAt,
		laneSum, laneAddKept, laneCount, laneYes, laneLeast, laneGreatest, laneFirst, laneLast:
		return never
	case laneLookup:
		if usual == ifNothing {
			p := &r.parts[in.C]
			if row, ok := p.keys[int32(r.v[in.A][lane])]; ok && math.IsNaN(r.of(p.list[row], lane)) {
				return never
			}
		}
	case laneRead:
		if usual == ifNothing && r.rowsLack(&r.parts[in.C], lane) {
			return never
		}
	}
	return usual
}

// rowsLack reports whether something is lacking in the rows that are read off.
func (r *LaneRun) rowsLack(p *lanePart, lane int) bool {
	for row := p.list; len(row) > 0; row = row[3:] {
		keep := r.of(row[0], lane)
		if math.IsNaN(keep) || keep != 0 && (math.IsNaN(r.of(row[1], lane)) || math.IsNaN(r.of(row[2], lane))) {
			return true
		}
	}
	return false
}

// findSettled finds the outputs that wait in no draw in which all inputs are there.
func (l *Lanes) findSettled(values int32) {
	lacks := make([]bool, values)
	for again := true; again; { // once more for each search, whose goal comes after it
		again = false
		for i := range l.code {
			in := &l.code[i]
			found := in.Op == laneAlone || in.Op == laneAsk || in.Op == laneAskAt || // of which not all is looked at
				in.Op == laneSum && math.IsNaN(l.parts[in.C].start)
			in.eachOperand(l.parts, func(at *int32, _ bool) {
				found = found || (*at >= 0 && lacks[*at]) || (*at < 0 && math.IsNaN(l.consts[^*at]))
			})
			if found && !lacks[in.D] {
				lacks[in.D], again = true, true
			}
		}
	}
	for _, v := range l.outputs {
		l.settled = append(l.settled, v >= 0 && !lacks[v])
	}
}

// Settled reports whether an output waits for nothing in any draw in which all inputs are there.
func (r *LaneRun) Settled(j int) bool { return r.settled[j] }
