package machine

// operands tells which of A, B and C are values.
func (in *laneInstr) operands() [3]bool {
	switch in.Op {
	case laneOrElse, laneSame:
		return [3]bool{true, true, false}
	case laneAsk, laneLookup, lanePlace, laneRead:
		return [3]bool{true, false, false}
	case laneAskAt, laneAddKept, laneCount, laneYes, laneLeast, laneGreatest, laneFirst, laneLast:
		return [3]bool{true, true, true}
	case laneSum, laneAlone, laneSolve:
		return [3]bool{}
	}
	s := in.Op.Shape()
	return [3]bool{s.A == Read, s.B == Read, s.C == Read}
}

// hasPart reports whether C is the number of a part.
func (in *laneInstr) hasPart() bool {
	switch in.Op {
	case laneLookup, lanePlace, laneSum, laneRead, laneAlone, laneSolve:
		return true
	}
	return false
}

// eachUse visits the values that an instruction reads.
func eachUse(in *laneInstr, parts []lanePart, visit func(v int32)) {
	in.eachOperand(parts, func(at *int32, _ bool) {
		if *at >= 0 {
			visit(*at)
		}
	})
}

// eachOperand visits what an instruction reads: values, and ^ constants. Whole tells that it must be a block.
func (in *laneInstr) eachOperand(parts []lanePart, visit func(at *int32, whole bool)) {
	uses := in.operands()
	for k, at := range [3]*int32{&in.A, &in.B, &in.C} {
		if uses[k] {
			visit(at, true)
		}
	}
	if !in.hasPart() {
		return
	}
	p := &parts[in.C]
	for k := range p.list {
		visit(&p.list[k], false)
	}
	for k := range p.loads {
		visit(&p.loads[k].from, false)
	}
	if in.Op == laneSolve {
		for _, at := range []*int32{&p.lo, &p.hi, &p.goal, &p.left} {
			visit(at, true)
		}
	}
}

// dropUnused leaves out what no output needs. Of a search that is needed all is kept that its goal needs.
func (l *Lanes) dropUnused(values int32) {
	made := make([]int32, values) // by which instruction; -1: by none
	around := make([]int32, len(l.code))
	for v := range made {
		made[v] = -1
	}
	var open []int32 // searches
	for i := range l.code {
		for len(open) > 0 && int32(i) > open[len(open)-1]+l.parts[l.code[open[len(open)-1]].C].end {
			open = open[:len(open)-1]
		}
		made[l.code[i].D], around[i] = int32(i), -1
		if len(open) > 0 {
			around[i] = open[len(open)-1]
		}
		if l.code[i].Op == laneSolve {
			open = append(open, int32(i))
		}
	}
	needed := make([]bool, len(l.code))
	var work []int32
	need := func(i int32) {
		if i >= 0 && !needed[i] {
			needed[i] = true
			work = append(work, i)
		}
	}
	for _, v := range l.outputs {
		if v >= 0 {
			need(made[v])
		}
	}
	for len(work) > 0 {
		i := work[len(work)-1]
		work = work[:len(work)-1]
		need(around[i])
		eachUse(&l.code[i], l.parts, func(v int32) { need(made[v]) })
	}
	dropped := make([]int32, len(l.code)+1) // before each instruction
	code := l.code[:0:0]
	for i := range l.code {
		dropped[i+1] = dropped[i]
		if !needed[i] {
			dropped[i+1]++
		}
	}
	for i, in := range l.code {
		if !needed[i] {
			continue
		}
		if in.Op == laneSolve {
			p := &l.parts[in.C]
			end := int32(i) + 1 + p.end
			p.end = end - dropped[end] // where its code ends
		}
		code = append(code, in)
	}
	l.code = code
}

// place gives every value a block. A block is used again for another value once nobody reads it any more; what a search
// reads from outside its code is kept until the end of it. Inputs and outputs keep theirs.
func (l *Lanes) place(values int32) {
	last := l.lastUses(values)
	block := make([]int32, values)
	for v := range block {
		block[v] = -1
	}
	var free []int32
	take := func() int32 {
		if n := len(free); n > 0 {
			b := free[n-1]
			free = free[:n-1]
			return b
		}
		l.blocks++
		return int32(l.blocks - 1)
	}
	for k, v := range l.inputs {
		if block[v] < 0 {
			block[v] = take()
			last[v] = int32(len(l.code)) + 1
		}
		l.inputs[k] = block[v]
	}
	constants := map[int32]int32{}
	ends := make(map[int32][]int32, len(l.code)) // values, by the instruction that reads them last
	for v, i := range last {
		if int(i) < len(l.code) { // beyond, it is kept
			ends[i] = append(ends[i], int32(v))
		}
	}
	give := func(i int32) {
		for _, v := range ends[i] {
			if block[v] >= 0 {
				free = append(free, block[v])
			}
		}
	}
	for i := range l.code {
		in := &l.code[i]
		early := in.Op != laneSum && in.Op != laneSolve // these read after they have begun to write
		if early {
			give(int32(i))
		}
		made := in.D
		if block[made] < 0 {
			block[made] = take()
		}
		in.D = block[made]
		if !early {
			give(int32(i))
		}
	}
	at := func(at *int32, whole bool) {
		switch {
		case *at >= 0:
			*at = block[*at]
		case whole:
			b, ok := constants[*at]
			if !ok {
				b = int32(l.blocks)
				l.blocks++
				constants[*at] = b
				l.fills = append(l.fills, fill{b, l.consts[^*at]})
			}
			*at = b
		}
	}
	for i := range l.code {
		l.code[i].eachOperand(l.parts, at)
		if in := &l.code[i]; in.Op == laneSolve {
			l.parts[in.C].x, l.parts[in.C].begin = in.D, int32(i)+1
		}
	}
	for j, v := range l.outputs {
		if v >= 0 {
			l.outputs[j] = block[v]
		}
	}
}

// lastUses returns, for each value, the last instruction that reads it: there is one, unless it is an input, or no
// instruction gives the value any more.
func (l *Lanes) lastUses(values int32) []int32 {
	last, made := make([]int32, values), make([]int32, values)
	type region struct{ from, end int32 }
	var open []region
	for i := range l.code {
		at := int32(i)
		for len(open) > 0 && at >= open[len(open)-1].end {
			open = open[:len(open)-1]
		}
		in := &l.code[i]
		made[in.D] = at
		eachUse(in, l.parts, func(v int32) {
			until := at
			if in.Op == laneSolve {
				until = l.parts[in.C].end
			}
			for _, r := range open { // outermost first
				if made[v] < r.from {
					until = max(until, r.end)
					break
				}
			}
			last[v] = max(last[v], until)
		})
		if in.Op == laneSolve {
			end := l.parts[in.C].end
			open = append(open, region{at, end})
			last[in.D] = max(last[in.D], end)
		}
	}
	for _, v := range l.outputs {
		if v >= 0 {
			last[v] = int32(len(l.code)) + 1
		}
	}
	return last
}
