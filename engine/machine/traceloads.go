package machine

// loader finds what code reads that it has not written itself.
type loader struct {
	t       *tracer
	written map[int32]bool
	found   []load
}

// loads returns what code that is run draw by draw must be given: the registers that it reads before it writes them,
// and the entries of columns that vary.
func (t *tracer) loads(code ...Instr) []load {
	l := &loader{t: t, written: map[int32]bool{}}
	l.run(code, 0)
	return l.found
}

func (t *tracer) anyVaries(loads []load) bool {
	for _, l := range loads {
		if l.from >= 0 {
			return true
		}
	}
	return false
}

func (l *loader) read(regs ...int32) {
	for _, reg := range regs {
		if !l.written[reg] {
			l.written[reg] = true // once is enough
			l.found = append(l.found, load{reg, l.t.ref(reg)})
		}
	}
}

// column reads registers of which those that do not vary are where they belong.
func (l *loader) column(first, n int32) {
	for k := range n {
		if l.t.varies(first + k) {
			l.read(first + k)
		}
	}
}

// run goes through code that is run for some rows, or for none.
func (l *loader) run(code []Instr, rows int32) {
	for i := range code {
		in := &code[i]
		operands := in.Operands()
		for _, o := range operands[1:] {
			switch o.Role {
			case Read:
				l.read(*o.Value)
			case Column:
				if in.Op == RowLoad {
					l.column(in.A, rows)
				} else {
					l.column(in.B, rowsOf(l.t.m.Keys[in.C]))
				}
			case Range:
				n := in.B
				if in.Op == SumProducts {
					n = in.C
				}
				l.column(*o.Value, n)
			case FoldNumber:
				l.fold(&l.t.m.Folds[*o.Value])
			case SearchNumber:
				s := &l.t.m.Searches[*o.Value]
				l.read(s.Lo, s.Hi)
				l.written[s.Unknown] = true
				l.run(s.Body, 0)
			}
		}
		if operands[0].Role == Written {
			l.written[in.D] = true
		}
	}
}

func (l *loader) fold(f *Fold) {
	l.run(f.Keep, f.Rows)
	l.run(f.Each, f.Rows)
	if len(f.Keep) > 0 {
		l.read(f.KeepReg)
	}
	if f.Cut != nil {
		l.read(f.Cut[:]...)
		return
	}
	l.read(f.EachReg)
	if f.Kind == Interpolate || f.Kind.OfPoints() {
		l.read(f.OtherReg)
	}
	if f.Kind == Interpolate {
		l.read(f.AtReg)
	}
}
